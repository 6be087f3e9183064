"""Forecast against fact: the picture, how many fell inside the band, errors by year and kind."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from bloomline.plan.records.facts import FactRow, against_facts
from bloomline.plan.season.lesson import Lesson
from bloomline.ui.details.cards import wrapping
from bloomline.ui.dressed import Splitter
from bloomline.ui.quiet_table import Line, QuietTable
from bloomline.ui.records.fact_plot import FactPlot
from bloomline.ui.records.words import plain_days, signed_days
from bloomline.ui.theme import em
from bloomline.words import tr


class FactView(QWidget):
    """How the forecasts did, without what was learned."""

    record_chosen = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.coverage = wrapping("", "heading", self)
        self.plot = FactPlot(self)
        self.plot.record_chosen.connect(self.record_chosen)
        self.table = QuietTable(
            self,
            name="fact_table",
            heads=(
                tr("Group"),
                tr("Records"),
                tr("Seen less forecast"),
                tr("Usual error"),
                tr("Inside the band"),
            ),
            wide=0,
        )
        self.table.setAccessibleName(tr("Errors by year and by kind"))
        self.note = wrapping(
            tr(
                "In days. The forecasts are those without what was learned. Entries that are "
                "questioned are left out, noses too from the table: their days are a rough guess."
            ),
            "muted",
            self,
        )
        split = Splitter(Qt.Orientation.Vertical, self)
        split.addWidget(self.plot)
        split.addWidget(self.table)
        split.setStretchFactor(0, 3)
        split.setStretchFactor(1, 2)
        split.setSizes([round(20 * em()), round(12 * em())])
        column = QVBoxLayout(self)
        gap = round(em() * 0.5)
        column.setContentsMargins(gap, gap, gap, gap)
        column.setSpacing(gap)
        column.addWidget(self.coverage)
        column.addWidget(split, 1)
        column.addWidget(self.note)

    def show_lesson(self, lesson: Lesson | None) -> None:
        """Show how the forecasts did."""
        counted = () if lesson is None else lesson.learned.counted
        self.plot.show_facts(counted)
        all_of_them = against_facts(counted, by=lambda fact: "")
        if not all_of_them:
            self.coverage.setText(
                tr("No record stands beside a forecast yet.")
                if lesson is not None
                else tr("Working it out…")
            )
            self.table.show_lines(())
            return
        whole = all_of_them[0]
        inside = round(whole.inside_share * whole.n)
        self.coverage.setText(
            tr(
                "{inside} of {all} inside the band that 8 years of 10 should fall into",
                inside=inside,
                all=whole.n,
            )
        )
        rows = [self._cells(whole, tr("All"))]
        by_year = against_facts(counted, by=lambda fact: str(fact.season_year))
        by_kind = against_facts(counted, by=lambda fact: fact.cultivar.common_type)
        rows += [self._cells(row, row.name) for row in (*reversed(by_year), *by_kind)]
        self.table.show_lines([Line(each) for each in rows], right=(1, 2, 3, 4))

    def _cells(self, row: FactRow, name: str) -> tuple[str, ...]:
        inside = tr("{inside} of {all}", inside=round(row.inside_share * row.n), all=row.n)
        return (
            name,
            str(row.n),
            signed_days(row.bias_days, 1),
            plain_days(row.error_days),
            inside,
        )
