"""The yard's places: their list, buttons to make and remove them, and the form of one."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bloomline.model.stage_edits import add_place, remove_place
from bloomline.model.yard import Yard
from bloomline.plan.stage.words import kind_words
from bloomline.ui.document import Document
from bloomline.ui.dressed import say_as
from bloomline.ui.season_service import SeasonService
from bloomline.ui.stage.place_page import PlacePage
from bloomline.ui.theme import em
from bloomline.words import tr

_ROWS_SEEN = 6


class PlacesBox(QWidget):
    """Where pots can stand."""

    said = Signal(str)
    chosen = Signal(str)
    """Name of the place that is shown."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._seen: object = None
        self._filling = False
        self.list = QListWidget(self)
        self.list.setObjectName("stage_places")
        self.list.setAccessibleName(tr("Places"))
        self.list.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.form = PlacePage(document, service, self)
        self.form.setObjectName("stage_place_form")
        self.form.renamed.connect(self._renamed)
        self.form.refused.connect(self.said)
        self._heading = QLabel(tr("Places"), self)
        say_as(self._heading, "heading")
        self._buttons = QHBoxLayout()
        self._buttons.addWidget(self._heading, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(round(0.4 * em()))
        column.addLayout(self._buttons)
        column.addWidget(self.list)
        column.addWidget(self.form, 1)
        self.list.currentRowChanged.connect(self._choose)
        document.yard_changed.connect(self._follow)
        self._follow(document.yard)

    def put_buttons(self, buttons: Sequence[QPushButton]) -> None:
        """Let buttons stand over the list; those with a picture do without words."""
        for button in buttons:
            button.setAccessibleName(button.text())
            if not button.icon().isNull():
                button.setText("")
            self._buttons.addWidget(button)

    @property
    def name(self) -> str | None:
        """The place that is chosen."""
        return self.form.target

    # Following the yard

    @Slot(object)
    def _follow(self, yard: Yard) -> None:
        seen = (yard.display_places, yard.settings)
        if seen == self._seen or self.form.is_renaming:
            return
        self._seen = seen
        names = [place.name for place in yard.display_places]
        row = self.list.currentRow()
        if self.form.target in names:
            row = names.index(self.form.target)
        self._filling = True
        while self.list.count() > len(names):
            self.list.takeItem(self.list.count() - 1)
        while self.list.count() < len(names):
            self.list.addItem(QListWidgetItem())
        for at, place in enumerate(yard.display_places):
            item = self.list.item(at)
            words = place.name
            if place.kind != "display":
                words = tr("{place} ({kind})", place=place.name, kind=kind_words(place))
            item.setText(words)
            item.setToolTip(words)
        line = self.list.sizeHintForRow(0) if names else round(1.2 * em())
        high = min(max(len(names), 2), _ROWS_SEEN) * line
        self.list.setFixedHeight(high + 2 * self.list.frameWidth() + 2)
        row = min(max(row, 0), len(names) - 1)
        self.list.setCurrentRow(row)
        self._filling = False
        self.form.setVisible(bool(names))
        self.form.show_place(names[row] if names else None)

    @Slot(int)
    def _choose(self, row: int) -> None:
        places = self._document.yard.display_places
        if not self._filling and 0 <= row < len(places):
            self.form.flush()
            self.form.show_place(places[row].name)
            self.chosen.emit(places[row].name)

    @Slot(str)
    def _renamed(self, _name: str) -> None:
        self._follow(self._document.yard)

    # Changing it

    @Slot()
    def add(self) -> None:
        """Make a place and put the keyboard into its name."""
        yard = self._document.yard
        known = {place.name for place in yard.display_places}
        name, number = tr("New place"), 2
        while name in known:
            name = tr("New place {number}", number=number)
            number += 1
        if self._document.edit(tr("Add a place"), lambda yard: add_place(yard, name)):
            self.list.setCurrentRow(self.list.count() - 1)
            self.form.edit_name()

    @Slot()
    def rename(self) -> None:
        """Put the keyboard into the name of the place."""
        if self.name is not None:
            self.form.edit_name()

    @Slot()
    def remove(self) -> None:
        """Remove the place that is chosen; undo brings it back with all that stood there."""
        name = self.name
        if name is not None and self._document.edit(
            tr("Remove a place"), lambda yard: remove_place(yard, name)
        ):
            self.said.emit(tr("{place} is removed; undo brings it back", place=name))
