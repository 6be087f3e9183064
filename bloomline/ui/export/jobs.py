"""What the export does beside the window: plain data in, a picture or a file out."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal

from PySide6.QtGui import QImage

from bloomline.draw.base.export import MM_PER_INCH, PX_PER_INCH
from bloomline.draw.base.petals import ThemeName
from bloomline.draw.season.chart import ChartOptions, ChartPlan, plan_season
from bloomline.draw.season.chart_export import render_image, write_plan
from bloomline.errors import BloomlineError
from bloomline.model.yard import Yard
from bloomline.plan.carry.collision import Conflict
from bloomline.plan.carry.succession import successions
from bloomline.plan.climate.weather import RecordedWeather
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.report import SeasonReport
from bloomline.plan.season.solve import find_cultivar
from bloomline.plan.season.yard import season_report
from bloomline.reference.catalogue import Catalogue

Format = Literal["png", "svg", "pdf"]


@dataclass(frozen=True, slots=True)
class ChartWish:
    """What is to be made. `width` in px of 1/96 inch; `dpi` counts for PNG and the clipboard."""

    format: Format = "png"
    width: float = 1600.0
    dpi: float = 96.0
    theme: ThemeName = "light"
    title: str | None = None
    pot_ids: tuple[str, ...] | None = None
    today: date | None = None
    show_planted: bool = False
    a4: bool = False

    def options(self, conflicts: tuple[Conflict, ...] = ()) -> ChartOptions:
        """The layout. The pots are chosen by the report, not here."""
        return ChartOptions(
            width=self.width,
            theme=self.theme,
            today=self.today,
            title=self.title,
            show_planted=self.show_planted,
            conflicts=conflicts,
        )


@dataclass(frozen=True, slots=True)
class ChartSource:
    """Where the season comes from: the report on show, and all to work out another."""

    report: SeasonReport
    yard: Yard
    catalogue: Catalogue
    forecaster: Forecaster
    recorded: RecordedWeather | None = None
    weather_year: int | None = None
    learned: bool = True


@dataclass(frozen=True, slots=True)
class ChartPreview:
    """A picture for the wish it answers, and how large the chart is. [px of 1/96 inch]"""

    wish: ChartWish
    image: QImage
    width: float
    height: float

    @property
    def pixels(self) -> tuple[int, int]:
        """Size of a PNG in pixels."""
        factor = self.wish.dpi / PX_PER_INCH
        return round(self.width * factor), round(self.height * factor)

    @property
    def paper_mm(self) -> tuple[float, float]:
        """Size on paper."""
        inch = MM_PER_INCH / PX_PER_INCH
        return self.width * inch, self.height * inch


class PotReports:
    """Reports of some of the pots; the last one is kept, since most changes are of looks."""

    def __init__(self, source: ChartSource) -> None:
        self._source = source
        self._kept: tuple[tuple[str, ...], SeasonReport] | None = None
        self._lock = threading.Lock()

    def of(self, pot_ids: tuple[str, ...] | None) -> SeasonReport:
        """The season of these pots alone, so that bare and crowded days are theirs."""
        source = self._source
        if pot_ids is None or len(pot_ids) == len(source.yard.pots):
            return source.report
        with self._lock:
            if self._kept is not None and self._kept[0] == pot_ids:
                return self._kept[1]
            report = season_report(
                yard_of_pots(source.yard, pot_ids),
                catalogue=source.catalogue,
                forecaster=source.forecaster,
                recorded=source.recorded,
                weather_year=source.weather_year,
                learned=source.learned,
            )
            self._kept = (pot_ids, report)
            return report

    def plan(self, wish: ChartWish) -> ChartPlan:
        """The chart of a wish, laid out."""
        return plan_season(self.of(wish.pot_ids), wish.options(self.conflicts()))

    def conflicts(self) -> tuple[Conflict, ...]:
        """Plantings of the yard that are due while their pot isn't free."""
        yard, catalogue = self._source.yard, self._source.catalogue
        try:
            return successions(
                yard,
                self._source.report,
                cultivar_of=lambda name: find_cultivar(yard, name, catalogue=catalogue),
            )
        except BloomlineError:
            return ()  # the yard names what isn't known: the chart is made without marks


def yard_of_pots(yard: Yard, pot_ids: tuple[str, ...]) -> Yard:
    """The yard with these pots only."""
    wanted = set(pot_ids)
    pots = tuple(pot for pot in yard.pots if pot.id in wanted)
    layers = {layer.id for pot in pots for layer in pot.layers}
    records = tuple(record for record in yard.records if record.layer_id in layers)
    return yard.model_copy(update={"pots": pots, "records": records})


def previewing(
    wish: ChartWish, reports: PotReports, *, room: tuple[int, int], ratio: float
) -> Callable[[], object]:
    """A job that paints the chart to fit a room of device-independent pixels."""

    def work() -> ChartPreview:
        plan = reports.plan(wish)
        fit = min(room[0] / plan.page.width, room[1] / plan.page.height, 1.0)
        image = render_image(plan, dpi=PX_PER_INCH * fit * ratio)
        image.setDevicePixelRatio(ratio)
        return ChartPreview(wish, image, plan.page.width, plan.page.height)

    return work


def picturing(wish: ChartWish, reports: PotReports) -> Callable[[], object]:
    """A job that paints the chart at full size, for the clipboard."""

    def work() -> QImage:
        return render_image(reports.plan(wish), dpi=wish.dpi)

    return work


class _StoppedError(Exception):
    """The writing was stopped."""


def writing(
    wish: ChartWish, reports: PotReports, target: Path, stopped: threading.Event
) -> Callable[[], object]:
    """A job that writes the file; stopped in time, nothing is left and nothing replaced.

    Answers the path, or None when stopped. Raises BloomlineError.
    """

    def told(_share: float) -> None:
        if stopped.is_set():
            raise _StoppedError

    def work() -> Path | None:
        try:
            told(0.0)
            return write_plan(reports.plan(wish), target, dpi=wish.dpi, a4=wish.a4, told=told)
        except _StoppedError:
            return None

    return work
