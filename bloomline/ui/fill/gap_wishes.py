"""What is wished of a kind that fills a gap: scent, no harm, no more than a height."""

from __future__ import annotations

from PySide6.QtCore import Signal, Slot
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from bloomline.plan.fill.wishes import Wishes
from bloomline.plan.season.outlook import Outlook
from bloomline.ui.theme import em
from bloomline.ui.units import LengthSpinBox, units_of
from bloomline.words import tr


class GapWishes(QWidget):
    """Tells when a wish has changed; `wishes()` is what is wished for now."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("gap_wishes")
        self._showing = self._asked_pets = False
        self.scent = self._box("gap_scent", tr("With &scent"))
        self.scent.setToolTip(
            tr("Scented kinds; any kind in a pot where one that is scented stays.")
        )
        self.harmless = self._box("gap_harmless", tr("&Harmless"))
        self.harmless.setToolTip(tr("Leaves out all kinds that do harm when eaten."))
        self.tallest = LengthSpinBox(self, most_cm=300.0)
        self.tallest.setObjectName("gap_height")
        self.tallest.setSpecialValueText(tr("any height"))
        self.tallest.valueChanged.connect(self._tell)
        label = QLabel(tr("No &taller than"), self)
        label.setBuddy(self.tallest)
        gap = round(em() * 0.4)
        boxes, height = QHBoxLayout(), QHBoxLayout()
        for row in (boxes, height):
            row.setSpacing(gap)
        boxes.addWidget(self.scent)
        boxes.addWidget(self.harmless)
        boxes.addStretch(1)
        height.addWidget(label)
        height.addWidget(self.tallest)
        height.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(gap)
        column.addLayout(boxes)
        column.addLayout(height)

    def _box(self, name: str, words: str) -> QCheckBox:
        box = QCheckBox(words, self)
        box.setObjectName(name)
        box.toggled.connect(self._tell)
        return box

    def follow(self, outlook: Outlook) -> None:
        """Show lengths as the yard does; where pets are about, begin with harmless kinds."""
        self._showing = True
        self.tallest.set_units(units_of(outlook.yard))
        if outlook.yard.settings.pets and not self._asked_pets:
            self._asked_pets = True
            self.harmless.setChecked(True)
        self._showing = False

    def wishes(self) -> Wishes:
        """What is wished for, without days."""
        return Wishes(
            scent=self.scent.isChecked(),
            harmless=self.harmless.isChecked(),
            height_most_cm=self.tallest.length_cm or None,
        )

    @Slot()
    def _tell(self, *_: object) -> None:
        if not self._showing:
            self.changed.emit()
