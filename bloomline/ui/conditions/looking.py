"""Says that another place is only looked at, with the two ways on from there.

It stands in the status line, whose height is kept for it: nothing moves when it comes or goes.
"""

from __future__ import annotations

from PySide6.QtCore import Slot
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from bloomline.ui.conditions.slider import ElidedLabel
from bloomline.ui.document import Document
from bloomline.ui.dressed import say_as
from bloomline.ui.hands.plain import shown
from bloomline.ui.theme import em
from bloomline.words import tr


class LookingBar(QWidget):
    """There while the season is shown as at another place than the yard's."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self.setObjectName("looking")
        self.words = ElidedLabel(most_em=60.0)
        self.words.setParent(self)
        say_as(self.words, "caution")
        self.move_button = QPushButton(tr("&Move the yard here"), self)
        self.move_button.setObjectName("move_here")
        self.move_button.clicked.connect(self.move_here)
        self.back_button = QPushButton(tr("&Back"), self)
        self.back_button.setObjectName("look_back")
        self.back_button.clicked.connect(self.back)
        for button in (self.move_button, self.back_button):
            button.setAutoDefault(False)
        row = QHBoxLayout(self)
        margin = round(em() * 0.6)
        row.setContentsMargins(margin, 0, margin, 0)
        row.addWidget(self.words, 1)
        row.addWidget(self.move_button)
        row.addWidget(self.back_button)
        document.place_looked_at_changed.connect(self._show)
        document.yard_changed.connect(self._show)
        self._show()

    @Slot()
    def _show(self, *_: object) -> None:
        place = self._document.place_looked_at
        self.setVisible(place is not None)
        if place is not None:
            self.words.setText(
                tr(
                    "Looking at {there}; the yard stays at {here}.",
                    there=shown(place.name),
                    here=shown(self._document.yard.place.name),
                )
            )
            words = tr(
                "Looking at {there}: season, shelf and figures are as there. The yard stays at "
                "{here}, and so do its work, shopping list and papers."
            )
            whole = words.format(
                there=shown(place.name), here=shown(self._document.yard.place.name)
            )
            self.words.setToolTip(whole)
            self.setAccessibleDescription(whole)

    @Slot()
    def move_here(self) -> None:
        """Move the yard to where it is looked at, as one step to undo."""
        place = self._document.place_looked_at
        if place is not None:
            self._document.set_place(place)

    @Slot()
    def back(self) -> None:
        """Look at the yard where it is."""
        self._document.look_at_place(None)
