"""Pots to choose from, each with a box."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QSize, Qt, Signal, Slot
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QSizePolicy, QWidget

from bloomline.model.yard import Pot
from bloomline.plan.words.benches import pot_words
from bloomline.ui.theme import em

_POT = Qt.ItemDataRole.UserRole
_MOST_ROWS = 10


class PotsList(QListWidget):
    """Tells when other pots are chosen; as high as its pots, up to ten."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.itemChanged.connect(self._tell)

    def show_pots(self, pots: Sequence[Pot], *, checked: bool) -> None:
        """Show pots; those known stay as they are, new ones are `checked` or not."""
        known = {str(each.data(_POT)): each.checkState() for each in self._items()}
        new = Qt.CheckState.Checked if checked else Qt.CheckState.Unchecked
        self.blockSignals(True)
        self.clear()
        for pot in pots:
            item = QListWidgetItem(pot_words(pot), self)
            item.setToolTip(item.text())
            item.setData(_POT, pot.id)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(known.get(pot.id, new))
        self.blockSignals(False)
        self.updateGeometry()

    def choose(self, pot_ids: Sequence[str]) -> None:
        """Choose these pots and no others."""
        for item in self._items():
            is_in = str(item.data(_POT)) in pot_ids
            item.setCheckState(Qt.CheckState.Checked if is_in else Qt.CheckState.Unchecked)

    def pot_ids(self) -> tuple[str, ...]:
        """The pots that are chosen."""
        return tuple(
            str(item.data(_POT))
            for item in self._items()
            if item.checkState() is Qt.CheckState.Checked
        )

    def _items(self) -> list[QListWidgetItem]:
        return [self.item(at) for at in range(self.count())]

    @Slot()
    def _tell(self, *_: object) -> None:
        self.changed.emit()

    def sizeHint(self) -> QSize:
        rows = min(max(self.count(), 2), _MOST_ROWS)
        height = max(self.sizeHintForRow(0), round(em() * 1.1))
        return QSize(round(em() * 15), rows * height + 2 * self.frameWidth() + 2)

    def minimumSizeHint(self) -> QSize:
        return QSize(round(em() * 8), self.sizeHint().height())
