"""What if: two scenarios of the yard side by side, in a timeline and a table."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QEvent, Qt, Slot
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from bloomline.plan.climate.weather import reference_departures
from bloomline.plan.forecast.later import LaterItems
from bloomline.plan.forecast.report import Band
from bloomline.plan.season.scenarios import Comparison, Scenario, compare
from bloomline.plan.season.words import rounded
from bloomline.ui.compare.picker import ScenarioPicker
from bloomline.ui.compare.timeline import CompareTimeline
from bloomline.ui.document import Document
from bloomline.ui.dressed import Splitter, say_as
from bloomline.ui.page_frame import PageFrame
from bloomline.ui.quiet_table import Line, QuietTable
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import em
from bloomline.words import number_words, short_day_words, tr


class ComparePage(PageFrame):
    """Two scenarios side by side; B is two degrees warmer until something else is asked."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, service, parent, name="compare_page")
        self.setAccessibleName(tr("Compare"))
        self.answer: Comparison | None = None
        self._comparing = self._beside(self._take)
        self._comparing.busy_changed.connect(self._show_busy)
        self._make_parts()
        self._make_actions()
        self._lay_out()
        home = document.yard.place
        self.a.show_scenario(Scenario(), home=home)
        self.b.show_scenario(Scenario(warmer_c=2.0), home=home)
        self.a.changed.connect(self.refresh)
        self.b.changed.connect(self.refresh)
        self._follow_document()

    def _make_parts(self) -> None:
        self.a = ScenarioPicker("A", self)
        self.b = ScenarioPicker("B", self)
        self.a.missed.connect(self._say)
        self.b.missed.connect(self._say)
        self.figures = QLabel(self)
        say_as(self.figures, "heading")
        self.figures.setWordWrap(True)
        self.told = QLabel(self)
        say_as(self.told, "muted")
        self.told.setWordWrap(True)
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        self.timeline = CompareTimeline(self)
        self.table = QuietTable(
            self,
            name="compare_table",
            heads=(
                tr("Pot"),
                tr("Cultivar"),
                tr("Opens, A"),
                tr("Opens, B"),
                tr("Days"),
                tr("Over, A"),
                tr("Over, B"),
                tr("Days"),
            ),
            wide=1,
        )
        self.table.setAccessibleName(tr("Differences, layer by layer"))

    def _make_actions(self) -> None:
        self._action("action_compare_warmer", self.show_warmer)
        self._action("action_compare_ends", self.show_ends)
        self._action("action_compare_later", self.show_later)
        self._warmest = reference_departures().n_years - 1

    def _lay_out(self) -> None:
        gap = round(em() * 0.6)
        sides = QHBoxLayout()
        sides.setSpacing(gap)
        sides.addWidget(self.a, 1)
        sides.addWidget(self.b, 1)
        often = QHBoxLayout()
        for action in self._actions:
            often.addWidget(self._button(action))
        often.addStretch(1)
        scroll = QScrollArea(self)
        scroll.setObjectName("compare_scroll")
        scroll.setAccessibleName(tr("Two seasons side by side"))
        scroll.setWidgetResizable(True)
        holder = QWidget(scroll)
        inner = QVBoxLayout(holder)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.addWidget(self.timeline)
        inner.addStretch(1)
        scroll.setWidget(holder)
        split = Splitter(Qt.Orientation.Horizontal, self)
        split.setObjectName("compare_split")
        split.addWidget(scroll)
        split.addWidget(self.table)
        split.setSizes([560, 640])
        column = QVBoxLayout(self)
        column.setContentsMargins(gap, gap, gap, gap)
        column.setSpacing(gap)
        column.addLayout(sides)
        column.addLayout(often)
        column.addWidget(self.figures)
        column.addWidget(self.told)
        column.addWidget(split, 1)

    # Ready questions

    @Slot()
    def show_warmer(self) -> None:
        """The yard as it is, and two degrees warmer."""
        self._show(Scenario(), Scenario(warmer_c=2.0))

    @Slot()
    def show_ends(self) -> None:
        """The coldest weather year and the warmest."""
        self._show(Scenario(weather_year=0), Scenario(weather_year=self._warmest))

    @Slot()
    def show_later(self) -> None:
        """The yard as it is, and planted two weeks later."""
        self._show(Scenario(), Scenario(later_weeks=2))

    def _show(self, a: Scenario, b: Scenario) -> None:
        home = self._document.yard.place
        self.a.show_scenario(a, home=home)
        self.b.show_scenario(b, home=home)

    # Working it out

    def stop(self) -> None:
        """End the work beside the window; safe to call twice."""
        for picker in (self.a, self.b):
            picker.place.stop()
        super().stop()

    @Slot(object)
    def _follow(self, yard: object) -> None:
        home = self._document.yard.place
        self.a.show_home(home)
        self.b.show_home(home)
        super()._follow(yard)

    @Slot()
    def refresh(self) -> None:
        """Work both seasons out anew, now or when the page is shown."""
        self._stale = True
        if self.isVisible():
            super().refresh()

    def _work_out(self) -> None:
        self._comparing.ask(partial(compare, self._outlook, self.a.scenario, self.b.scenario))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self.timeline.update()

    @Slot(bool)
    def _show_busy(self, is_busy: bool) -> None:
        self.figures.setEnabled(not is_busy)

    @Slot(str)
    def _say(self, words: str) -> None:
        self.told.setText(words)

    @Slot(object)
    def _take(self, answer: object) -> None:
        if not isinstance(answer, Comparison):
            self.answer = None
            self.figures.setText(tr("These two seasons can't be compared."))
            self.told.setText(str(answer))
            return
        self.answer = answer
        self.figures.setText(self._sentence(answer))
        self.told.setText(f"A: {answer.a_words} · B: {answer.b_words}")
        self.timeline.show_answer(answer)
        self._fill(answer)

    def _sentence(self, answer: Comparison) -> str:
        if not answer.layers:
            return tr("Nothing is planted in this yard yet; fill a pot on the Yard page.")
        days = answer.median_start_days
        if days is None:
            first = tr("No layer flowers in both.")
        elif abs(days) < 0.5:
            first = tr("B opens with A.")
        elif days < 0:
            first = tr("B opens {days} days earlier (middle layer).", days=number_words(-days, 0))
        else:
            first = tr("B opens {days} days later (middle layer).", days=number_words(days, 0))
        rest = tr(
            "Weeks of colour: A {a}, B {b}. Bare days: A {c}, B {d}.",
            a=number_words(rounded(answer.a.weeks_of_colour.expected, 1), 1),
            b=number_words(rounded(answer.b.weeks_of_colour.expected, 1), 1),
            c=number_words(rounded(answer.a.bare_days.expected), 0),
            d=number_words(rounded(answer.b.bare_days.expected), 0),
        )
        return f"{first} {rest}"

    def _fill(self, answer: Comparison) -> None:
        def line(at: int) -> Line:
            each = answer.layers[at]
            why = "\n".join(
                f"{side}: {layer.reason}"
                for side, layer in (("A", each.a), ("B", each.b))
                if layer.reason
            )
            cells = (
                each.pot_name,
                each.a.name,
                self._day(each.a.start),
                self._day(each.b.start),
                _signed(each.start_days),
                self._day(each.a.end),
                self._day(each.b.end),
                _signed(each.end_days),
            )
            return Line(cells, why)

        self.table.show_lines(LaterItems(len(answer.layers), line), right=(4, 7))

    def _day(self, band: Band | None) -> str:
        return tr("no flower") if band is None else short_day_words(band.p50)


def _signed(days: int | None) -> str:
    return "" if days is None else f"{days:+d}".replace("-", "−") if days else "0"
