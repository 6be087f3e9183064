"""Asks what was seen of an unknown flower, and lists what it could be."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from PySide6.QtCore import QDate, Qt, Signal, Slot
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDateEdit,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)

from bloomline.model.colours import Family
from bloomline.model.yard import Yard
from bloomline.plan.paper.finder import Candidate
from bloomline.plan.words.benches import pot_words
from bloomline.plan.words.colours import colour_words
from bloomline.ui.dressed import say_as
from bloomline.ui.units import LengthSpinBox, units_of
from bloomline.words import tr

_SHOWN = 12
_LEAST_SHARE = 0.01


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen of a flower; None where it was not."""

    colour: Family | None = None
    scent: bool | None = None
    opened: date | None = None
    height_cm: float | None = None
    pot_id: str | None = None

    @property
    def is_empty(self) -> bool:
        """Whether nothing was seen at all."""
        return self == Seen()


class FinderBox(QWidget):
    """What was seen, and a list of layers it could be."""

    asked = Signal()
    """Something else was seen."""
    chosen = Signal(str)
    """A layer of the list was chosen (its id)."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("finder")
        self._filling = False
        head = QLabel(tr("Which one is this?"), self)
        say_as(head, "heading")
        about = QLabel(
            tr("A label is lost? Say what you see; the likeliest layers come first."), self
        )
        say_as(about, "muted")
        about.setWordWrap(True)
        self.colour = QComboBox(self)
        self.colour.setObjectName("finder_colour")
        self.colour.addItem(tr("Any"), None)
        for family in Family:
            self.colour.addItem(
                colour_words(family), family.value
            )  # Qt would turn it into a plain word
        self.scent = QComboBox(self)
        self.scent.setObjectName("finder_scent")
        self.scent.addItem(tr("Not noticed"), None)
        self.scent.addItem(tr("Scented"), True)
        self.scent.addItem(tr("No scent"), False)
        self.has_day = QCheckBox(tr("Opened on"), self)
        self.has_day.setObjectName("finder_has_day")
        self.day = QDateEdit(self)
        self.day.setObjectName("finder_day")
        self.day.setCalendarPopup(True)
        self.day.setEnabled(False)
        self.day.setAccessibleName(tr("Day of the first flower"))
        self.height_box = LengthSpinBox(self, most_cm=250.0)
        self.height_box.setObjectName("finder_height")
        self.height_box.setSpecialValueText(tr("Not measured"))
        self.pot = QComboBox(self)
        self.pot.setObjectName("finder_pot")
        # A long name of a pot must not make the column wider than the window.
        for box in (self.pot, self.colour, self.scent):
            box.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            box.setMinimumContentsLength(12)
        self.results = QListWidget(self)
        self.results.setObjectName("finder_results")
        self.results.setWordWrap(True)
        self.results.setAlternatingRowColors(True)
        self.results.setSpacing(3)
        self.results.setAccessibleName(tr("What it could be, the likeliest first"))
        self.note = QLabel(self)
        say_as(self.note, "muted")
        self.note.setWordWrap(True)
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.addRow(tr("Colour"), self.colour)
        form.addRow(tr("Scent"), self.scent)
        day_row = QHBoxLayout()
        day_row.addWidget(self.day, 1)
        form.addRow(self.has_day, day_row)
        form.addRow(tr("Height"), self.height_box)
        form.addRow(tr("Pot"), self.pot)
        layout = QVBoxLayout(self)
        layout.addWidget(head)
        layout.addWidget(about)
        layout.addLayout(form)
        layout.addWidget(self.note)
        layout.addWidget(self.results, 1)
        self.colour.currentIndexChanged.connect(self._ask)
        self.scent.currentIndexChanged.connect(self._ask)
        self.pot.currentIndexChanged.connect(self._ask)
        self.has_day.toggled.connect(self.day.setEnabled)
        self.has_day.toggled.connect(self._ask)
        self.day.dateChanged.connect(self._ask)
        self.height_box.length_changed.connect(self._ask)
        self.results.itemActivated.connect(self._choose)
        self.results.itemClicked.connect(self._choose)

    def show_yard(self, yard: Yard, day: date) -> None:
        """Offer the yard's pots; the day starts at the one that is looked at."""
        self._filling = True
        kept = self.pot.currentData()
        self.pot.clear()
        self.pot.addItem(tr("Any"), None)
        for pot in yard.pots:
            self.pot.addItem(pot_words(pot), pot.id)
        self.pot.setCurrentIndex(max(0, self.pot.findData(kept)))
        self.height_box.set_units(units_of(yard))
        if not self.has_day.isChecked():
            self.day.setDate(QDate(day.year, day.month, day.day))
        self._filling = False

    def seen(self) -> Seen:
        """What was seen."""
        day = self.day.date()
        height = self.height_box.length_cm
        colour = self.colour.currentData()
        return Seen(
            colour=None if colour is None else Family(colour),
            scent=self.scent.currentData(),
            opened=date(day.year(), day.month(), day.day()) if self.has_day.isChecked() else None,
            height_cm=height if height > 0 else None,
            pot_id=self.pot.currentData(),
        )

    def show_found(self, candidates: tuple[Candidate, ...]) -> None:
        """List what it could be."""
        self.results.clear()
        for place, each in enumerate(candidates[:_SHOWN]):
            if place > 0 and each.share < _LEAST_SHARE:
                break
            share = self.locale().toString(100.0 * each.share, "f", 0)
            head = tr("{share} %  {name}, {pot}", share=share, name=each.name, pot=each.pot_name)
            item = QListWidgetItem(head + "\n" + "; ".join(each.why))
            item.setData(Qt.ItemDataRole.UserRole, each.layer_id)
            self.results.addItem(item)
        self.note.setText(
            tr("Click a line, or press Enter on it, to select the layer in the yard.")
            if candidates
            else tr("Nothing in this yard can be that.")
        )

    def show_words(self, words: str) -> None:
        """Say something in place of a list."""
        self.results.clear()
        self.note.setText(words)

    @Slot()
    def _ask(self) -> None:
        if not self._filling:
            self.asked.emit()

    @Slot(QListWidgetItem)
    def _choose(self, item: QListWidgetItem) -> None:
        self.chosen.emit(str(item.data(Qt.ItemDataRole.UserRole)))
