"""Chooses what is printed: labels, the list of pots or cards; sheet, pots, used labels."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from bloomline.model.yard import Yard
from bloomline.plan.words.benches import pot_words
from bloomline.reference.label_sheets import DEFAULT_SHEET, label_sheet, load_label_sheets
from bloomline.ui.dressed import say_as
from bloomline.ui.labels.jobs import CARD_PAPERS, PrintWish
from bloomline.words import tr


class LabelChoices(QWidget):
    """What is to be printed."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("label_choices")
        self._filling = False
        head = QLabel(tr("Print"), self)
        say_as(head, "heading")
        self.what = QComboBox(self)
        self.what.setObjectName("label_what")
        self.what.addItem(tr("Labels"), "labels")
        self.what.addItem(tr("What is in which pot"), "overview")
        self.what.addItem(tr("Planting cards, A5"), "small-cards")
        self.what.addItem(tr("Planting cards, A4"), "cards")
        self.what.addItem(tr("Planting cards, Letter"), "letter-cards")
        self.sheet = QComboBox(self)
        self.sheet.setObjectName("label_sheet")
        for sheet in load_label_sheets():
            self.sheet.addItem(sheet.label, sheet.id)
        self.sheet.setCurrentIndex(self.sheet.findData(DEFAULT_SHEET))
        for box in (self.what, self.sheet):
            box.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            box.setMinimumContentsLength(18)
        self.skip = QSpinBox(self)
        self.skip.setObjectName("label_skip")
        self.skip.setToolTip(tr("How many labels of the first sheet are used already"))
        self.cut_marks = QCheckBox(tr("&Cut marks"), self)
        self.cut_marks.setObjectName("label_cut_marks")
        self.every_pot = QCheckBox(tr("One for ever&y pot of a bench"), self)
        self.every_pot.setObjectName("label_every_pot")
        self.every_pot.setToolTip(tr("When off, one label says for how many equal pots it is"))
        self.pots = QListWidget(self)
        self.pots.setObjectName("label_pots")
        self.pots.setAccessibleName(tr("Pots to print for"))
        all_pots = QPushButton(tr("All"), self)
        all_pots.setObjectName("label_all_pots")
        all_pots.setAccessibleName(tr("All pots"))
        all_pots.clicked.connect(self._tick_all)
        no_pots = QPushButton(tr("None"), self)
        no_pots.setObjectName("label_no_pots")
        no_pots.setAccessibleName(tr("No pots"))
        no_pots.clicked.connect(self._tick_none)
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.addRow(tr("What"), self.what)
        form.addRow(tr("Sheet"), self.sheet)
        form.addRow(tr("Used labels"), self.skip)
        form.addRow("", self.cut_marks)
        form.addRow("", self.every_pot)
        buttons = QHBoxLayout()
        buttons.addWidget(QLabel(tr("Pots"), self), 1)
        buttons.addWidget(all_pots)
        buttons.addWidget(no_pots)
        layout = QVBoxLayout(self)
        layout.addWidget(head)
        layout.addLayout(form)
        layout.addLayout(buttons)
        layout.addWidget(self.pots, 1)
        self.what.currentIndexChanged.connect(self._adapt)
        self.sheet.currentIndexChanged.connect(self._adapt)
        self.skip.valueChanged.connect(self._tell)
        self.cut_marks.toggled.connect(self._tell)
        self.every_pot.toggled.connect(self._tell)
        self.pots.itemChanged.connect(self._tell)
        self._adapt()

    def show_yard(self, yard: Yard) -> None:
        """Offer the yard's pots; those that were left out stay so."""
        self._filling = True
        left_out = {
            str(item.data(Qt.ItemDataRole.UserRole))
            for item in self._items()
            if item.checkState() == Qt.CheckState.Unchecked
        }
        current = self.pots.currentRow()
        self.pots.clear()
        for pot in yard.pots:
            item = QListWidgetItem(pot_words(pot))
            item.setData(Qt.ItemDataRole.UserRole, pot.id)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            ticked = pot.id not in left_out
            item.setCheckState(Qt.CheckState.Checked if ticked else Qt.CheckState.Unchecked)
            self.pots.addItem(item)
        self.pots.setCurrentRow(min(max(current, 0), self.pots.count() - 1))
        self._filling = False

    def choose(self, what: str) -> None:
        """Choose what is printed by its name, as in a wish."""
        self.what.setCurrentIndex(self.what.findData(what))

    def wish(self) -> PrintWish:
        """What is chosen."""
        ticked = tuple(
            str(item.data(Qt.ItemDataRole.UserRole))
            for item in self._items()
            if item.checkState() == Qt.CheckState.Checked
        )
        what = str(self.what.currentData())
        labels = what == "labels"
        return PrintWish(
            sheet_id=str(self.sheet.currentData()),
            what=what,
            pot_ids=None if len(ticked) == self.pots.count() else ticked,
            skip=self.skip.value() if labels else 0,
            cut_marks=self.cut_marks.isChecked() and labels,
            every_pot=self.every_pot.isChecked() and labels,
        )

    def _items(self) -> list[QListWidgetItem]:
        return [self.pots.item(row) for row in range(self.pots.count())]

    @Slot()
    def _tick_all(self) -> None:
        self._tick(Qt.CheckState.Checked)

    @Slot()
    def _tick_none(self) -> None:
        self._tick(Qt.CheckState.Unchecked)

    def _tick(self, state: Qt.CheckState) -> None:
        self._filling = True
        for item in self._items():
            item.setCheckState(state)
        self._filling = False
        self.changed.emit()

    @Slot()
    def _adapt(self) -> None:
        was_filling, self._filling = self._filling, True
        labels = self.what.currentData() == "labels"
        self.sheet.setEnabled(self.what.currentData() not in CARD_PAPERS)
        self.skip.setEnabled(labels)
        self.cut_marks.setEnabled(labels)
        self.every_pot.setEnabled(labels)
        self.skip.setRange(0, label_sheet(str(self.sheet.currentData())).count - 1)
        self._filling = was_filling
        self._tell()

    @Slot()
    def _tell(self) -> None:
        if not self._filling:
            self.changed.emit()
