"""One cultivar's records across the years: the picture and its table."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QComboBox, QScrollArea, QVBoxLayout, QWidget

from bloomline.plan.records.stages import SEEN_ORDER
from bloomline.plan.season.lesson import Lesson, RecordRow
from bloomline.ui.details.cards import wrapping
from bloomline.ui.dressed import Splitter
from bloomline.ui.quiet_table import Line, QuietTable
from bloomline.ui.records.history_plot import HistoryPlot, SeasonLine, Sighting, lines_of
from bloomline.ui.records.words import COMMON_YEAR, apart_words, season_day, seen_words
from bloomline.ui.theme import em
from bloomline.words import plural, short_day_words, tr

_MOST_DAYS = 6


class HistoryView(QWidget):
    """Which year was early: each season's stages by date, below each other."""

    record_chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[RecordRow, ...] = ()
        self._lesson: Lesson | None = None
        self.which = QComboBox(self)
        self.which.setObjectName("history_which")
        self.which.setAccessibleName(tr("Cultivar or layer"))
        self.which.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.which.setMinimumContentsLength(30)
        self.which.currentIndexChanged.connect(self._show)
        self.words = wrapping("", "heading", self)
        self.plot = HistoryPlot(self)
        self.plot.record_chosen.connect(self.record_chosen)
        scroll = QScrollArea(self)
        scroll.setObjectName("history_scroll")
        scroll.setAccessibleName(tr("Picture of the years"))
        scroll.setWidgetResizable(True)
        scroll.setWidget(self.plot)
        self.table = QuietTable(
            self,
            name="history_table",
            heads=(
                tr("Season"),
                *(seen_words(seen) for seen in SEEN_ORDER),
                tr("First flower against the mean"),
            ),
            wide=5,
        )
        self.table.setAccessibleName(tr("Dates of each season"))
        split = Splitter(Qt.Orientation.Vertical, self)
        split.addWidget(scroll)
        split.addWidget(self.table)
        split.setStretchFactor(0, 3)
        split.setStretchFactor(1, 2)
        split.setSizes([round(22 * em()), round(11 * em())])
        column = QVBoxLayout(self)
        gap = round(em() * 0.5)
        column.setContentsMargins(gap, gap, gap, gap)
        column.setSpacing(gap)
        column.addWidget(self.which)
        column.addWidget(self.words)
        column.addWidget(split, 1)

    # What is shown

    def show_rows(self, rows: tuple[RecordRow, ...]) -> None:
        """Show other records; the same cultivar or layer stays chosen."""
        self._rows = rows
        chosen = self.which.currentData()
        self.which.blockSignals(True)
        self.which.clear()
        kinds = {row.cultivar_id: row.cultivar_name for row in rows}
        layers: dict[str, dict[str, str]] = {}
        for row in rows:
            layers.setdefault(row.cultivar_id, {})[row.record.layer_id] = row.pot_name
        for cultivar_id, name in sorted(kinds.items(), key=lambda each: each[1].casefold()):
            self.which.addItem(name, ("cultivar", cultivar_id))
            if len(layers[cultivar_id]) > 1:
                for layer_id, pot in layers[cultivar_id].items():
                    words = tr("{cultivar}, only in {pot}", cultivar=name, pot=pot)
                    self.which.addItem(words, ("layer", layer_id))
        at = self._find(chosen)
        if at < 0 and rows:  # the one with the longest history says most
            seasons: dict[str, set[int]] = {}
            for row in rows:
                seasons.setdefault(row.cultivar_id, set()).add(row.season_year)
            at = self._find(("cultivar", max(seasons, key=lambda each: len(seasons[each]))))
        self.which.setCurrentIndex(at)
        self.which.blockSignals(False)
        self._show()

    def show_lesson(self, lesson: Lesson) -> None:
        """Show the forecasts behind what was seen."""
        self._lesson = lesson
        self._show()

    def choose(self, cultivar_id: str) -> None:
        """Show another cultivar, unless one of its layers is shown."""
        chosen = self.which.currentData()
        of_layer = {row.record.layer_id for row in self._rows if row.cultivar_id == cultivar_id}
        if chosen is not None and chosen[0] == "layer" and chosen[1] in of_layer:
            return
        at = self._find(("cultivar", cultivar_id))
        if at >= 0:
            self.which.setCurrentIndex(at)

    def _find(self, wanted: object) -> int:
        # findData compares tuples as lists of Qt's own, which finds nothing.
        return next(
            (i for i in range(self.which.count()) if tuple(self.which.itemData(i)) == wanted), -1
        )

    def sightings(self) -> list[Sighting]:
        """What was seen of the cultivar or layer chosen."""
        chosen = self.which.currentData()
        if chosen is None:
            return []
        kind, name = chosen
        facts = {} if self._lesson is None else self._lesson.facts
        return [
            Sighting(row.record, row.season_year, facts.get(row.record.id))
            for row in self._rows
            if (row.cultivar_id if kind == "cultivar" else row.record.layer_id) == name
        ]

    @Slot()
    def _show(self, *_: object) -> None:
        questions = {} if self._lesson is None else self._lesson.questions
        sightings = [each for each in self.sightings() if each.record.id not in questions]
        lines = lines_of(sightings)
        self.plot.show_lines(lines)
        firsts = first_days(lines)
        mean = sum(firsts.values()) / len(firsts) if firsts else 0.0
        self.words.setText(
            self._summary(firsts, mean, n_out=len(self.sightings()) - len(sightings))
        )
        rows = []
        for line in lines:
            cells = [str(line.season_year)]
            for seen in SEEN_ORDER:
                named = dict.fromkeys(short_day_words(each.record.day) for each in line.of(seen))
                more = "…" if len(named) > _MOST_DAYS else ""
                cells.append(", ".join(list(named)[:_MOST_DAYS]) + more)
            apart = ""
            if line.season_year in firsts and len(firsts) > 1:
                days = firsts[line.season_year] - mean
                apart = apart_words(days) if round(days) else tr("as on average")
            rows.append(Line((*cells, apart)))
        self.table.show_lines(rows)

    def _summary(self, firsts: dict[int, float], mean: float, *, n_out: int) -> str:
        if len(firsts) < 2:
            words = tr("First flowers of two seasons or more show which year was early.")
        else:
            early = min(firsts, key=lambda year: firsts[year])
            late = max(firsts, key=lambda year: firsts[year])
            words = tr(
                "First flower {mean} on average; earliest {early} ({first}), "
                "latest {late} ({last})",
                mean=_day_of(mean),
                early=early,
                first=_day_of(firsts[early]),
                late=late,
                last=_day_of(firsts[late]),
            )
        if n_out:
            words += ". " + plural(
                "{n} questioned record left out", "{n} questioned records left out", n_out
            )
        return words


def first_days(lines: Sequence[SeasonLine]) -> dict[int, float]:
    """Day of first flower of each season that has one, the mean where pots differ."""
    found = {}
    for line in lines:
        days = [season_day(e.record.day, line.season_year) for e in line.of("first-flower")]
        if days:
            found[line.season_year] = sum(days) / len(days)
    return found


def _day_of(season_days: float) -> str:
    return short_day_words(date(COMMON_YEAR, 1, 1) + timedelta(days=round(season_days)))
