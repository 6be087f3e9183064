"""Which pots a new yard has: form, size and material, as they are sold."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bloomline.model.yard import Material, Pot
from bloomline.plan.pot.ready_pots import POT_FORMS, PotForm, ready_pot
from bloomline.reference.rules import load_rules
from bloomline.ui.dressed import say_as
from bloomline.ui.shelf.filters import QuietComboBox
from bloomline.ui.units import Units
from bloomline.words import tr

_MOST_POTS = 12
_CONTENTS = 32


@dataclass(frozen=True, slots=True)
class _Chosen:
    form: PotForm
    width_cm: float
    material: Material

    def pot(self, pot_id: str, name: str) -> Pot:
        return ready_pot(self.form, self.width_cm, self.material, pot_id=pot_id, name=name)


def form_words(form: PotForm) -> str:
    """What a form is called."""
    return {
        "pot": tr("Flower pot"),
        "deep": tr("Deep pot"),
        "bowl": tr("Bowl"),
        "square": tr("Square planter"),
        "trough": tr("Trough"),
        "barrel": tr("Half barrel"),
    }[form.id]


class PotsPage(QWidget):
    """Two pots to begin with; each is chosen by form, size and material."""

    changed = Signal()

    def __init__(self, units: Units, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._units = units
        self._chosen: list[_Chosen] = []
        self.form_box = self._choice("guide_form", tr("Form of the next pot"))
        self.size_box = self._choice("guide_sizes", tr("Size of the next pot"))
        self.material_box = self._choice("guide_material", tr("Material of the next pot"))
        for form in POT_FORMS:
            self.form_box.addItem(form_words(form), form)
        self.form_box.currentIndexChanged.connect(self._form_chosen)
        self.list = QListWidget(self)
        self.list.setObjectName("guide_pots")
        self.list.setAccessibleName(tr("Pots of the yard"))
        self.list.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
        )
        self.list.currentRowChanged.connect(self._refresh)
        self.measures = QLabel(self)
        say_as(self.measures, "muted")
        self.measures.setWordWrap(True)
        self.add_button = self._button("guide_add", tr("&Add this pot"), self._add_chosen)
        self.remove_button = self._button("guide_remove", tr("&Remove"), self.remove)
        delete = QShortcut(QKeySequence(Qt.Key.Key_Delete), self.list, self.remove)
        delete.setContext(Qt.ShortcutContext.WidgetShortcut)
        self._lay_out()
        self._form_chosen()
        self._add(_Chosen(POT_FORMS[0], 40.0, "fired-clay-twice"))
        self._add(_Chosen(POT_FORMS[0], 32.0, "fired-clay-twice"))
        self.list.setCurrentRow(0)

    def _choice(self, name: str, words: str) -> QuietComboBox:
        box = QuietComboBox(self)
        box.setObjectName(name)
        box.setAccessibleName(words)
        box.setMinimumContentsLength(_CONTENTS)
        return box

    def _button(self, name: str, words: str, what: object) -> QPushButton:
        button = QPushButton(words, self)
        button.setObjectName(name)
        button.setAutoDefault(False)
        button.clicked.connect(what)
        return button

    def _lay_out(self) -> None:
        form = QFormLayout()
        for words, box in (
            (tr("&Form"), self.form_box),
            (tr("&Size outside"), self.size_box),
            (tr("&Made of"), self.material_box),
        ):
            form.addRow(words, box)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.FieldsStayAtSizeHint)
        row = QHBoxLayout()
        row.addWidget(self.add_button)
        row.addWidget(self.remove_button)
        row.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addLayout(form)
        layout.addLayout(row)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.measures)

    @Slot()
    def _form_chosen(self, *_: object) -> None:
        form: PotForm = self.form_box.currentData()
        self.size_box.clear()
        for width in form.widths_cm:
            self.size_box.addItem(self._size_words(form, width), width)
        self.size_box.setCurrentIndex(self.size_box.findData(form.usual_width_cm))
        self.material_box.clear()
        materials = load_rules().materials
        for material in form.materials:
            self.material_box.addItem(tr(materials[material].label), material)

    def _size_words(self, form: PotForm, width_cm: float) -> str:
        length = self._units.length
        high = length(width_cm * form.height, decimals=0)
        wide = length(width_cm, decimals=0)
        if form.length:
            long = length(width_cm * form.length, decimals=0)
            return tr("{long} long, {wide} wide, {high} high", long=long, wide=wide, high=high)
        return tr("{wide} wide, {high} high", wide=wide, high=high)

    @Slot()
    def _add_chosen(self) -> None:
        self._add(
            _Chosen(
                self.form_box.currentData(),
                self.size_box.currentData(),
                self.material_box.currentData(),
            )
        )

    def _add(self, chosen: _Chosen) -> None:
        names = {self.list.item(i).text() for i in range(self.list.count())}
        stem = name = self._name_of(chosen)
        number = 2
        while name in names:
            name = f"{stem} ({number})"
            number += 1
        item = QListWidgetItem(name)
        item.setFlags(item.flags() | Qt.ItemFlag.ItemIsEditable)
        item.setToolTip(self._measures_of(chosen))
        self._chosen.append(chosen)
        self.list.addItem(item)
        self.list.setCurrentItem(item)
        self._refresh()
        self.changed.emit()

    def _name_of(self, chosen: _Chosen) -> str:
        wide = self._units.length(chosen.width_cm, decimals=0)
        return tr("{form}, {wide}", form=form_words(chosen.form), wide=wide)

    def _measures_of(self, chosen: _Chosen) -> str:
        pot = chosen.pot("pot", "pot")
        return tr(
            "{outside}, {material}; inside {wide} wide at the rim and {high} high",
            outside=self._size_words(chosen.form, chosen.width_cm),
            material=tr(load_rules().materials[chosen.material].label),
            wide=self._units.length(pot.top_width_cm, decimals=1),
            high=self._units.length(pot.inside_height_cm, decimals=1),
        )

    @Slot()
    def remove(self) -> None:
        """Take the chosen pot away."""
        row = self.list.currentRow()
        if row < 0 or len(self._chosen) == 1:
            return
        del self._chosen[row]
        self.list.takeItem(row)
        self._refresh()
        self.changed.emit()

    @Slot()
    @Slot(int)
    def _refresh(self, _row: int = 0) -> None:
        row = self.list.currentRow()
        self.remove_button.setEnabled(row >= 0 and len(self._chosen) > 1)
        self.add_button.setEnabled(len(self._chosen) < _MOST_POTS)
        words = ""
        if 0 <= row < len(self._chosen):
            words = tr(
                "{measures}. F2 renames it, Delete takes it away.",
                measures=self._measures_of(self._chosen[row]),
            )
        self.measures.setText(words)

    def pots(self) -> list[Pot]:
        """The pots as they stand in the list."""
        return [
            chosen.pot(
                f"pot-{i + 1}", self.list.item(i).text().strip()[:120] or self._name_of(chosen)
            )
            for i, chosen in enumerate(self._chosen)
        ]
