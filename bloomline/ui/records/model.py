"""The records as a table: filtered and sorted here, painted by a view."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import (
    QAbstractTableModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
)
from PySide6.QtGui import QColor

from bloomline.plan.records.facts import Fact
from bloomline.plan.records.stages import SEEN_ORDER
from bloomline.plan.season.lesson import RecordRow
from bloomline.ui.page_kit import day_words, span_words
from bloomline.ui.records.marks import stage_icon
from bloomline.ui.records.words import (
    apart_words,
    readable,
    record_words,
    seen_words,
    signed_days,
)
from bloomline.ui.theme import current_theme, tone_of

Index = QModelIndex | QPersistentModelIndex
Role = Qt.ItemDataRole
DAY, SEASON, CULTIVAR, POT, SEEN, FORECAST, DAYS, QUESTION, NOTE = range(9)
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
_FAR = 10_000.0


class RecordsModel(QAbstractTableModel):
    """Thin over rows: changes nothing itself."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._all: tuple[RecordRow, ...] = ()
        self._shown: list[RecordRow] = []
        self._at: dict[str, int] = {}
        self._facts: dict[str, Fact] = {}
        self._questions: dict[str, str] = {}
        self._season: int | None = None
        self._cultivar_id: str | None = None
        self._odd_only = False
        self._sort: tuple[int, Qt.SortOrder] = (DAY, Qt.SortOrder.DescendingOrder)
        self._icons = {seen: stage_icon(seen) for seen in SEEN_ORDER}

    # What is shown

    def show_rows(self, rows: tuple[RecordRow, ...]) -> None:
        """Show other records."""
        self._all = rows
        self._arrange()

    def show_lesson(self, facts: dict[str, Fact], questions: dict[str, str]) -> None:
        """Show forecasts and questions beside the records."""
        self._facts, self._questions = facts, questions
        if self._odd_only or self._sort[0] in (FORECAST, DAYS, QUESTION):
            self._arrange()
        elif self._shown:
            last = self.index(len(self._shown) - 1, NOTE)
            self.dataChanged.emit(self.index(0, FORECAST), last)

    def filter(
        self, *, season: int | None, cultivar_id: str | None, odd_only: bool = False
    ) -> None:
        """Show the records of a season, of a cultivar, or those that are questioned."""
        wish = (season, cultivar_id, odd_only)
        if wish != (self._season, self._cultivar_id, self._odd_only):
            self._season, self._cultivar_id, self._odd_only = wish
            self._arrange()

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Sort by a column; records of the same stay in the order of their days."""
        self._sort = (column, order)
        self._arrange()

    def _arrange(self) -> None:
        self.beginResetModel()
        self._at = {}
        self._shown = [row for row in self._all if self._is_wanted(row)]
        column, order = self._sort
        is_down = order == Qt.SortOrder.DescendingOrder
        if (column, is_down) != (DAY, True):  # in which they come
            self._shown.sort(key=self._key(column), reverse=is_down)
        self.endResetModel()

    def _is_wanted(self, row: RecordRow) -> bool:
        return (
            (self._season is None or row.season_year == self._season)
            and (self._cultivar_id is None or row.cultivar_id == self._cultivar_id)
            and (not self._odd_only or row.record.id in self._questions)
        )

    def _key(self, column: int) -> Callable[[RecordRow], Any]:
        facts, questions = self._facts, self._questions

        def expected(row: RecordRow) -> int:
            fact = facts.get(row.record.id)
            return fact.expected.toordinal() if fact and fact.expected else 0

        def apart(row: RecordRow) -> float:
            fact = facts.get(row.record.id)
            return fact.residual_days if fact and fact.expected else -_FAR

        keys: dict[int, Callable[[RecordRow], Any]] = {
            DAY: lambda row: row.record.day.toordinal(),
            SEASON: lambda row: (row.season_year, row.record.day.toordinal()),
            CULTIVAR: lambda row: row.cultivar_name.casefold(),
            POT: lambda row: row.pot_name.casefold(),
            SEEN: lambda row: SEEN_ORDER.index(row.record.seen),
            FORECAST: expected,
            DAYS: apart,
            QUESTION: lambda row: questions.get(row.record.id, ""),
            NOTE: lambda row: (row.record.note.casefold(), row.record.photo or ""),
        }
        return keys[column]

    def row(self, index: Index) -> RecordRow | None:
        """The record of a row."""
        if not index.isValid() or index.row() >= len(self._shown):
            return None
        return self._shown[index.row()]

    def find(self, record_id: str) -> QModelIndex:
        """Where a record stands; invalid when it isn't shown."""
        if not self._at and self._shown:
            self._at = {row.record.id: at for at, row in enumerate(self._shown)}
        at = self._at.get(record_id)
        return QModelIndex() if at is None else self.index(at, DAY)

    @property
    def shown(self) -> Sequence[RecordRow]:
        """The rows shown, in their order."""
        return self._shown

    # What Qt asks

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else len(self._shown)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        return 0 if parent.isValid() else NOTE + 1

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Role.DisplayRole
    ) -> Any:
        if orientation is not Qt.Orientation.Horizontal:
            return None
        if role == Role.TextAlignmentRole:
            left = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
            return _RIGHT if section == DAYS else left
        if role != Role.DisplayRole:
            return None
        return (
            self.tr("Day"),
            self.tr("Season"),
            self.tr("Cultivar"),
            self.tr("Pot"),
            self.tr("What"),
            self.tr("Forecast"),
            self.tr("Off by"),
            self.tr("Question"),
            self.tr("Note"),
        )[section]

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        row = self.row(index)
        if row is None:
            return None
        column = index.column()
        if role == Role.DisplayRole:
            return self._words(row, column)
        if role == Role.DecorationRole and column == SEEN:
            return self._icons[row.record.seen]
        if role == Role.TextAlignmentRole and column == DAYS:
            return _RIGHT
        if role == Role.ToolTipRole:
            return self._tip(row, column)
        if role == Role.ForegroundRole:
            return self._colour(row, column)
        if role == Role.AccessibleTextRole:
            if column == DAY:
                return record_words(row.record, row.cultivar_name)
            return self._tip(row, column) or self._words(row, column)
        return None

    def _words(self, row: RecordRow, column: int) -> str:
        record, fact = row.record, self._facts.get(row.record.id)
        if column == DAY:
            return day_words(record.day, year=True)
        if column == SEASON:
            return str(row.season_year)
        if column == CULTIVAR:
            return row.cultivar_name
        if column == POT:
            return row.pot_name
        if column == SEEN:
            return seen_words(record.seen)
        if column == FORECAST:
            if fact is None:
                return ""
            return self.tr("no flower") if fact.expected is None else day_words(fact.expected)
        if column == DAYS:
            return "" if fact is None or fact.expected is None else signed_days(fact.residual_days)
        if column == QUESTION:
            if record.id in self._questions:
                return f"? {readable(self._questions[record.id])}"
            if record.confirmed and fact is not None and fact.problem:
                return self.tr("confirmed; nothing is learned from it")
            return self.tr("confirmed") if record.confirmed else ""
        note = record.note.replace("\n", " ")
        return f"{note} ▣".strip() if record.photo else note

    def _tip(self, row: RecordRow, column: int) -> str:
        fact = self._facts.get(row.record.id)
        if column in (FORECAST, DAYS) and fact is not None and fact.p10 and fact.p90:
            return self.tr("{apart}; in 8 years of 10 from {band}").format(
                apart=apart_words(fact.residual_days), band=span_words(fact.p10, fact.p90)
            )
        if column == QUESTION:
            problem = "" if fact is None else fact.problem
            return readable(self._questions.get(row.record.id, problem))
        if column == NOTE:
            photo = ""
            if row.record.photo:
                photo = self.tr("photo: {name}").format(name=row.record.photo)
            return "\n".join(filter(None, (row.record.note, photo)))
        return row.cultivar_name if column == CULTIVAR else ""

    def _colour(self, row: RecordRow, column: int) -> QColor | None:
        tone = tone_of(current_theme())
        if column == QUESTION and row.record.id in self._questions:
            return QColor(tone.warning)
        return QColor(tone.muted) if column in (SEASON, POT, FORECAST) else None
