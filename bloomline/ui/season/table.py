"""The table twin of the timeline: the same season in rows and columns, for every reader."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QSortFilterProxyModel,
    Qt,
)

from bloomline.draw.season.days import Plant
from bloomline.plan.carry.collision import Conflict
from bloomline.plan.forecast.report import Band, LayerForecast, SeasonReport
from bloomline.plan.words.benches import times_words
from bloomline.ui.season.geometry import SeasonRow, plan_rows
from bloomline.ui.season.words import SeasonWords, qdate
from bloomline.words import tr

SORT_ROLE = Qt.ItemDataRole.UserRole + 1
LAYER_ROLE = Qt.ItemDataRole.UserRole + 2
COMPANION_ROLE = Qt.ItemDataRole.UserRole + 3
_LAST = date.max
_Index = QModelIndex | QPersistentModelIndex
_NO_PARENT = QModelIndex()


@dataclass(frozen=True, slots=True)
class _Column:
    """A column: its heading, the sense of its heading, a cell's words and its place in order."""

    title: str
    tip: str
    show: Callable[[SeasonRow], str]
    key: Callable[[SeasonRow], object]
    is_number: bool = False


class SeasonTable(QAbstractTableModel):
    """A thin model over the report: one row a layer, and one for companions on top."""

    def __init__(self, words: SeasonWords, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._words = words
        self._lines: tuple[SeasonRow, ...] = ()
        self._ids: list[str] = []
        self._planted: dict[str, date] = {}
        self._conflicts: Mapping[str, Conflict] = {}
        self._waiting: Callable[[], None] | None = None
        self._columns = self._make_columns()

    def take(
        self,
        report: SeasonReport,
        *,
        planted: dict[str, date],
        conflicts: Mapping[str, Conflict] | None = None,
        by_first_flower: bool = False,
        rows: Sequence[SeasonRow] | None = None,
        is_seen: bool = True,
    ) -> None:
        """Show a report, in the order of the timeline; the rows stay while the plants do.

        conflicts : plantings that are due while their pot isn't free, by their ids. rows : those
        of the report in that order, where they are at hand. is_seen : else the report waits for
        `catch_up`, as while a slider moves the timeline.
        """
        self._waiting = None
        if not is_seen:
            self._waiting = partial(
                self.take,
                report,
                planted=planted,
                conflicts=conflicts,
                by_first_flower=by_first_flower,
                rows=rows,
            )
            return
        self._conflicts = conflicts or {}
        if rows is None:
            rows = plan_rows(report, by_first_flower=by_first_flower).rows
        lines = tuple(row for row in rows if row.plant is not None)
        before, self._ids = self._ids, [line.part_id for line in lines]
        if before and before == self._ids:
            self._lines, self._planted = lines, planted
            last = self.index(len(lines) - 1, len(self._columns) - 1)
            self.dataChanged.emit(self.index(0, 0), last)
            return
        self.beginResetModel()
        self._lines, self._planted = lines, planted
        self.endResetModel()

    @property
    def is_waiting(self) -> bool:
        """Whether a report waits to be shown."""
        return self._waiting is not None

    def catch_up(self) -> None:
        """Show the report that waits, if one does."""
        if self._waiting is not None:
            self._waiting()

    def rows_of(self, names: Collection[str]) -> list[int]:
        """The rows of layers and companions."""
        wanted = set(names)
        return [row for row, name in enumerate(self._ids) if name in wanted] if wanted else []

    def retranslate(self) -> None:
        """Take words and dates from the locale anew."""
        self.beginResetModel()
        self._columns = self._make_columns()
        self.endResetModel()

    def row_of(self, name: str | None) -> int | None:
        """The row of a layer or of companions."""
        for row, line in enumerate(self._lines):
            if line.part_id == name:
                return row
        return None

    def _make_columns(self) -> tuple[_Column, ...]:
        words = self._words
        columns = [
            _Column(
                tr("Pot"),
                tr("The pot that holds the plants"),
                lambda line: times_words(line.pot.name, line.pot.copies),
                lambda line: line.pot.name.casefold(),
            ),
            _Column(
                tr("Cultivar"),
                tr("What is planted in the layer, or on top"),
                lambda line: _plant(line).name,
                lambda line: _plant(line).name.casefold(),
            ),
            _Column(
                tr("Bulbs"),
                tr("How many bulbs or plants"),
                lambda line: words.number(_plant(line).count),
                lambda line: _plant(line).count,
                is_number=True,
            ),
            _Column(
                tr("Planted"),
                tr("Planting day"),
                lambda line: words.short(self._planted_on(line)),
                self._planted_on,
            ),
            *self._band_columns(
                (tr("Opens, early"), tr("Opens"), tr("Opens, late")),
                tr("First flower"),
                _opens,
            ),
            *self._band_columns(
                (tr("Over, early"), tr("Over"), tr("Over, late")),
                tr("Last flower"),
                _closes,
            ),
            _Column(
                tr("Weeks"),
                tr("Weeks in flower, between the middle dates"),
                lambda line: words.number(_weeks(line), 1) if _weeks(line) else "–",
                _weeks,
                is_number=True,
            ),
            _Column(
                tr("Advice"),
                tr("Why there is no flower, and what to mind"),
                self._advice,
                lambda line: self._advice(line).casefold(),
            ),
        ]
        return tuple(columns)

    def _band_columns(
        self,
        titles: tuple[str, str, str],
        what: str,
        band_of: Callable[[SeasonRow], Band | date | None],
    ) -> list[_Column]:
        tips = (
            tr("{what}: earlier in one year of ten"),
            tr("{what}: earlier in half of the years"),
            tr("{what}: later in one year of ten"),
        )
        columns = []
        for title, tip, name in zip(titles, tips, ("p10", "p50", "p90"), strict=True):

            def day_of(line: SeasonRow, name: str = name) -> date | None:
                band = band_of(line)
                if isinstance(band, Band):
                    day: date = getattr(band, name)
                    return day
                return band if name == "p50" else None  # one day, no early and no late one

            def show(line: SeasonRow, day_of: Callable[[SeasonRow], date | None] = day_of) -> str:
                day = day_of(line)
                return "–" if day is None else self._words.short(day)

            def key(line: SeasonRow, day_of: Callable[[SeasonRow], date | None] = day_of) -> object:
                return day_of(line) or _LAST

            columns.append(_Column(title, tip.format(what=what), show, key))
        return columns

    def _planted_on(self, line: SeasonRow) -> date:
        return self._planted.get(line.part_id, _plant(line).planted)

    def _advice(self, line: SeasonRow) -> str:
        if line.layer is not None:
            said = self._words.advice(line.layer)
        else:
            assert line.companion is not None
            said = self._words.companion_advice(line.companion)
        conflict = self._conflicts.get(line.part_id)
        return said if conflict is None else " · ".join([conflict.words, *([said] if said else [])])

    # The model

    def rowCount(self, parent: _Index = _NO_PARENT) -> int:
        return 0 if parent.isValid() else len(self._lines)

    def columnCount(self, parent: _Index = _NO_PARENT) -> int:
        return 0 if parent.isValid() else len(self._columns)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or index.row() >= len(self._lines):
            return None
        line, column = self._lines[index.row()], self._columns[index.column()]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.show(line)
        if role == Qt.ItemDataRole.ToolTipRole:
            words = column.show(line)
            return words if words != "–" or line.layer is None else line.layer.reason
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return f"{column.title}: {column.show(line)}"
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _alignment(column)
        if role == SORT_ROLE:
            key = column.key(line)
            return qdate(key) if isinstance(key, date) else key
        if role == LAYER_ROLE:
            return line.part_id if line.layer is not None else None
        if role == COMPANION_ROLE:
            return line.part_id if line.companion is not None else None
        return None

    def headerData(
        self,
        section: int,
        orientation: Qt.Orientation,
        role: int = Qt.ItemDataRole.DisplayRole,
    ) -> Any:
        if orientation is Qt.Orientation.Vertical or not 0 <= section < len(self._columns):
            return None
        if role == Qt.ItemDataRole.DisplayRole:
            return self._columns[section].title
        if role == Qt.ItemDataRole.ToolTipRole:
            return self._columns[section].tip
        if role == Qt.ItemDataRole.TextAlignmentRole:
            return _alignment(self._columns[section])
        return None


def _alignment(column: _Column) -> Qt.AlignmentFlag:
    side = Qt.AlignmentFlag.AlignRight if column.is_number else Qt.AlignmentFlag.AlignLeft
    return side | Qt.AlignmentFlag.AlignVCenter


def _plant(line: SeasonRow) -> Plant:
    assert line.plant is not None  # headings are no rows of the table
    return line.plant


def _opens(line: SeasonRow) -> Band | date | None:
    """First flower: a band of bulbs, a day of companions."""
    plant = _plant(line)
    return plant.start if isinstance(plant, LayerForecast) else plant.first


def _closes(line: SeasonRow) -> Band | date | None:
    plant = _plant(line)
    return plant.end if isinstance(plant, LayerForecast) else plant.last


def _weeks(line: SeasonRow) -> float:
    first, last = (
        each.p50 if isinstance(each, Band) else each for each in (_opens(line), _closes(line))
    )
    if first is None or last is None:
        return 0.0
    return max((last - first).days + 1, 0) / 7


class SortedSeason(QSortFilterProxyModel):
    """The table in an order of one column; without one, in the order of the yard."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.setSortRole(SORT_ROLE)
        self.setDynamicSortFilter(True)
