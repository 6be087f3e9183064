"""Under the table twin: bare stretches and wishes for the season, as the strip shows them."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QSize, Qt, Signal, Slot
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QSizePolicy, QWidget

from bloomline.model.yard import Yard
from bloomline.plan.fill.target_words import target_line
from bloomline.ui.season.shown import Shown
from bloomline.ui.season.words import SeasonWords
from bloomline.ui.theme import em
from bloomline.words import tr

_GAP = Qt.ItemDataRole.UserRole
_MOST_ROWS = 5


class SeasonNotes(QListWidget):
    """A line each; Enter or a double click on a bare stretch asks what would fill it."""

    gap_asked = Signal(object, object)

    def __init__(self, words: SeasonWords, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("season_notes")
        self.setAccessibleName(tr("Bare stretches and wishes for the season"))
        self.setAccessibleDescription(tr("Enter on a bare stretch shows what would fill it"))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._words = words
        self.itemActivated.connect(self._ask)
        self.hide()

    def show_season(self, shown: Shown, yard: Yard, *, is_table: bool) -> None:
        """Show what the strip shows; hidden beside the timeline and where there is nothing."""
        lines: list[tuple[str, tuple[date, date] | None]] = []
        if shown.report is not None:
            for each in sorted(shown.report.bare, key=lambda stretch: stretch.first):
                words = self._words.bare_line(each)
                lines.append((words, (each.first, each.last)))
        lines += [(target_line(each, yard), None) for each in shown.targets]
        if is_table and lines != [(item.text(), item.data(_GAP)) for item in self._items()]:
            self.clear()
            for words, gap in lines:
                item = QListWidgetItem(words, self)
                item.setData(_GAP, gap)
                item.setToolTip(words)
            self.updateGeometry()
        self.setVisible(is_table and bool(lines))

    def _items(self) -> list[QListWidgetItem]:
        return [self.item(at) for at in range(self.count())]

    @Slot(QListWidgetItem)
    def _ask(self, item: QListWidgetItem) -> None:
        gap = item.data(_GAP)
        if gap is not None:
            self.gap_asked.emit(*gap)

    def sizeHint(self) -> QSize:
        rows = min(max(self.count(), 1), _MOST_ROWS)
        height = max(self.sizeHintForRow(0), round(em() * 1.2))
        return QSize(round(em() * 20), rows * height + 2 * self.frameWidth() + 2)

    def minimumSizeHint(self) -> QSize:
        return QSize(round(em() * 10), self.sizeHint().height())
