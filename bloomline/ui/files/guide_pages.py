"""The three steps of a first yard: where it is, which pots, which kinds."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractItemView,
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

from bloomline.model.yard import PlaceChoice, Pot
from bloomline.plan.carry.first_yard import (
    READY_POTS,
    ReadyPot,
    SlotChoice,
    Suggestion,
    default_season_year,
)
from bloomline.plan.climate.garden import garden_of
from bloomline.ui.conditions.chooser import PlaceChooser
from bloomline.ui.conditions.words import place_words
from bloomline.ui.units import Units
from bloomline.words import short_day_words, tr

_MOST_POTS = 12


class PlacePage(QWidget):
    """A town is typed and chosen; and the year of the spring."""

    changed = Signal()

    def __init__(
        self, *, today: date, home: PlaceChoice | None = None, parent: QWidget | None = None
    ) -> None:
        """home : the place of the yard that was open; its country comes after the system's."""
        super().__init__(parent)
        self._today = today
        self._year_is_chosen = False
        self.chooser = PlaceChooser(
            self,
            name="guide",
            describe=lambda found: place_words(garden_of(found.choice), Units()),
            waiting=tr("The weather stations around give the climate of your yard."),
        )
        self.search, self.list, self.hint = (
            self.chooser.search,
            self.chooser.list,
            self.chooser.hint,
        )
        self.chooser.places.show_home(home)
        self.chooser.chosen.connect(self._chosen)
        self.year = QSpinBox(self)
        self.year.setObjectName("guide_year")
        self.year.setRange(1901, 2198)
        self.year.setGroupSeparatorShown(False)
        self.year.setValue(default_season_year(today, southern=False))
        self.year.valueChanged.connect(self._year_chosen)
        heading = QLabel(tr("&Place"), self)
        heading.setBuddy(self.search)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(heading)
        layout.addWidget(self.chooser, 1)
        spring = QFormLayout()
        spring.addRow(tr("&Spring of"), self.year)
        layout.addLayout(spring)
        self.chooser.places.prepare()

    def choice(self) -> PlaceChoice | None:
        """The place chosen."""
        found = self.chooser.found()
        return None if found is None else found.choice

    @Slot()
    def _chosen(self) -> None:
        place = self.choice()
        if place is not None and not self._year_is_chosen:
            southern = place.latitude_deg < 0
            self.year.blockSignals(True)
            self.year.setValue(default_season_year(self._today, southern=southern))
            self.year.blockSignals(False)
        self.changed.emit()

    @Slot(int)
    def _year_chosen(self, _year: int) -> None:
        self._year_is_chosen = True
        self.changed.emit()

    def stop(self) -> None:
        """End the search."""
        self.chooser.stop()


class PotsPage(QWidget):
    """Two pots to begin with; sizes as they are sold."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._sizes: list[ReadyPot] = []
        self.list = QListWidget(self)
        self.list.setObjectName("guide_pots")
        self.list.setAccessibleName(tr("Pots of the yard"))
        self.list.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
        )
        self.list.currentRowChanged.connect(self._refresh)
        self.measures = QLabel(self)
        self.measures.setObjectName("muted")
        self.size_box = QComboBox(self)
        self.size_box.setObjectName("guide_sizes")
        self.size_box.setAccessibleName(tr("Size of the next pot"))
        for ready in READY_POTS:
            self.size_box.addItem(f"{self.name_of(ready)}, {self.measures_of(ready)}", ready)
        self.add_button = QPushButton(tr("&Add this pot"), self)
        self.add_button.setObjectName("guide_add")
        self.add_button.setAutoDefault(False)
        self.add_button.clicked.connect(self._add_chosen)
        self.remove_button = QPushButton(tr("&Remove"), self)
        self.remove_button.setObjectName("guide_remove")
        self.remove_button.setAutoDefault(False)
        self.remove_button.clicked.connect(self.remove)
        delete = QShortcut(QKeySequence(Qt.Key.Key_Delete), self.list, self.remove)
        delete.setContext(Qt.ShortcutContext.WidgetShortcut)
        row = QHBoxLayout()
        row.addWidget(self.size_box, 1)
        row.addWidget(self.add_button)
        row.addWidget(self.remove_button)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.measures)
        layout.addLayout(row)
        self.add(READY_POTS[1])
        self.add(READY_POTS[0])
        self.list.setCurrentRow(0)

    def name_of(self, ready: ReadyPot) -> str:
        """What a size is called."""
        names = {
            "medium": tr("Medium clay pot"),
            "large": tr("Large clay pot"),
            "bowl": tr("Clay bowl"),
            "square": tr("Square planter"),
            "trough": tr("Wooden trough"),
            "half-barrel": tr("Half barrel"),
        }
        return names[ready.id]

    def measures_of(self, ready: ReadyPot) -> str:
        """Its measures in words."""
        if ready.length_cm is not None:
            return tr(
                "{length:.0f} × {width:.0f} cm, {height:.0f} cm high",
                length=ready.length_cm,
                width=ready.top_cm,
                height=ready.height_cm,
            )
        return tr(
            "{width:.0f} cm wide, {height:.0f} cm high", width=ready.top_cm, height=ready.height_cm
        )

    def add(self, ready: ReadyPot) -> None:
        """Put a pot of that size at the end."""
        names = {self.list.item(i).text() for i in range(self.list.count())}
        stem = name = self.name_of(ready)
        number = 2
        while name in names:
            name = f"{stem} {number}"
            number += 1
        item = QListWidgetItem(name)
        item.setFlags(item.flags() | Qt.ItemFlag.ItemIsEditable)
        item.setToolTip(self.measures_of(ready))
        self._sizes.append(ready)
        self.list.addItem(item)
        self.list.setCurrentItem(item)
        self._refresh()
        self.changed.emit()

    @Slot()
    def _add_chosen(self) -> None:
        self.add(READY_POTS[self.size_box.currentIndex()])

    @Slot()
    def remove(self) -> None:
        """Take the chosen pot away."""
        row = self.list.currentRow()
        if row < 0 or len(self._sizes) == 1:
            return
        del self._sizes[row]
        self.list.takeItem(row)
        self._refresh()
        self.changed.emit()

    @Slot()
    @Slot(int)
    def _refresh(self, _row: int = 0) -> None:
        row = self.list.currentRow()
        self.remove_button.setEnabled(row >= 0 and len(self._sizes) > 1)
        self.add_button.setEnabled(len(self._sizes) < _MOST_POTS)
        words = ""
        if 0 <= row < len(self._sizes):
            words = tr(
                "{measures}. F2 renames it, Delete takes it away.",
                measures=self.measures_of(self._sizes[row]),
            )
        self.measures.setText(words)

    def pots(self) -> list[Pot]:
        """The pots as they stand in the list."""
        return [
            ready.pot(f"pot-{i + 1}", self.list.item(i).text().strip()[:120] or self.name_of(ready))
            for i, ready in enumerate(self._sizes)
        ]


class KindsPage(QWidget):
    """An early, a middle and a late kind, suggested for this place, each to be changed."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._suggestion: Suggestion | None = None
        self.boxes: list[QComboBox] = []
        self.pot_labels: list[QLabel] = []
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        for name, words in (
            ("early", tr("&Early")),
            ("middle", tr("&Middle")),
            ("late", tr("&Late")),
        ):
            box = QComboBox(self)
            box.setObjectName(f"guide_{name}")
            box.setSizeAdjustPolicy(
                QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
            )
            box.setMinimumContentsLength(28)
            box.currentIndexChanged.connect(self._picked)
            label = QLabel(self)
            label.setObjectName("muted")
            cell = QVBoxLayout()
            cell.addWidget(box)
            cell.addWidget(label)
            form.addRow(words, cell)
            form_label = form.labelForField(cell)
            if isinstance(form_label, QLabel):
                form_label.setBuddy(box)
            self.boxes.append(box)
            self.pot_labels.append(label)
        layout.addLayout(form)
        self.why = QLabel(self)
        self.why.setObjectName("guide_why")
        self.why.setWordWrap(True)
        layout.addWidget(self.why)
        layout.addStretch(1)

    def show_waiting(self) -> None:
        """Say that it is being worked out."""
        self._suggestion = None
        for box in self.boxes:
            box.blockSignals(True)
            box.clear()
            box.blockSignals(False)
            box.setEnabled(False)
        self.why.setText(tr("Looking which kinds flower well at your place…"))

    def show_suggestion(self, suggestion: Suggestion) -> None:
        """List what could stand in each slot, the suggested one chosen."""
        self._suggestion = suggestion
        names = {pot.id: pot.name for pot in suggestion.pots}
        for slot, box in enumerate(self.boxes):
            box.blockSignals(True)
            box.clear()
            for choice in suggestion.choices[slot]:
                box.addItem(_words_of(choice))
            box.setCurrentIndex(-1)
            if suggestion.chosen:
                box.setCurrentIndex(suggestion.choices[slot].index(suggestion.chosen[slot]))
            box.blockSignals(False)
            box.setEnabled(box.count() > 0)
            self.pot_labels[slot].setText(tr("in {pot}", pot=names[suggestion.pot_ids[slot]]))
        self.changed.emit()

    def chosen(self) -> list[tuple[str, SlotChoice]]:
        """Pot id and kind of each layer; empty while nothing is suggested."""
        if self._suggestion is None:
            return []
        found = []
        for slot, box in enumerate(self.boxes):
            at = box.currentIndex()
            if 0 <= at < len(self._suggestion.choices[slot]):
                found.append((self._suggestion.pot_ids[slot], self._suggestion.choices[slot][at]))
        return found

    @Slot(int)
    def _picked(self, _index: int) -> None:
        self.changed.emit()


def _words_of(choice: SlotChoice) -> str:
    first, last = (short_day_words(day) for day in (choice.first, choice.last))
    about = tr("about {first} – {last}")
    return f"{choice.cultivar.name} · {about.format(first=first, last=last)}"
