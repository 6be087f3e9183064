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
from bloomline.draw.season.wish_lane import WishSpan, told_spans
from bloomline.errors import BloomlineError
from bloomline.model.yard import Yard
from bloomline.plan.carry.collision import Conflict
from bloomline.plan.carry.succession import successions
from bloomline.plan.fill.targets import targets
from bloomline.plan.forecast.report import SeasonReport
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.season.yard import season_report

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
    by_first_flower: bool = False

    def options(
        self, conflicts: tuple[Conflict, ...] = (), wishes: tuple[WishSpan, ...] = ()
    ) -> ChartOptions:
        """The layout. The pots are chosen by the report, not here."""
        return ChartOptions(
            width=self.width,
            theme=self.theme,
            today=self.today,
            title=self.title,
            show_planted=self.show_planted,
            by_first_flower=self.by_first_flower,
            conflicts=conflicts,
            wishes=wishes,
        )


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


def report_of_pots(outlook: Outlook, pot_ids: tuple[str, ...] | None) -> SeasonReport:
    """The season of these pots alone, so that bare and crowded days are theirs."""
    if pot_ids is None or len(pot_ids) == len(outlook.yard.pots):
        return season_report(outlook)
    return season_report(_of_pots(outlook, pot_ids))


def plan_chart(outlook: Outlook, wish: ChartWish) -> ChartPlan:
    """The chart of a wish, laid out."""
    try:
        conflicts = successions(outlook)
    except BloomlineError:
        conflicts = ()  # the yard names what isn't known: the chart is made without marks
    report = report_of_pots(outlook, wish.pot_ids)
    is_whole = len(report.pots) == len(outlook.yard.pots)  # wishes are of the whole yard
    wishes = told_spans(targets(outlook)) if is_whole else ()
    return plan_season(report, wish.options(conflicts, wishes))


@kept
def _of_pots(outlook: Outlook, pot_ids: tuple[str, ...]) -> Outlook:
    return outlook.what_if(yard=yard_of_pots(outlook.yard, pot_ids))


def yard_of_pots(yard: Yard, pot_ids: tuple[str, ...]) -> Yard:
    """The yard with these pots only."""
    wanted = set(pot_ids)
    pots = tuple(pot for pot in yard.pots if pot.id in wanted)
    layers = {layer.id for pot in pots for layer in pot.layers}
    records = tuple(record for record in yard.records if record.layer_id in layers)
    return yard.model_copy(update={"pots": pots, "records": records})


def previewing(
    wish: ChartWish, outlook: Outlook, *, room: tuple[int, int], ratio: float
) -> Callable[[], object]:
    """A job that paints the chart to fit a room of device-independent pixels."""

    def work() -> ChartPreview:
        plan = plan_chart(outlook, wish)
        fit = min(room[0] / plan.page.width, room[1] / plan.page.height, 1.0)
        image = render_image(plan, dpi=PX_PER_INCH * fit * ratio)
        image.setDevicePixelRatio(ratio)
        return ChartPreview(wish, image, plan.page.width, plan.page.height)

    return work


def picturing(wish: ChartWish, outlook: Outlook) -> Callable[[], object]:
    """A job that paints the chart at full size, for the clipboard."""

    def work() -> QImage:
        return render_image(plan_chart(outlook, wish), dpi=wish.dpi)

    return work


class _StoppedError(Exception):
    """The writing was stopped."""


def writing(
    wish: ChartWish, outlook: Outlook, target: Path, stopped: threading.Event
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
            return write_plan(
                plan_chart(outlook, wish), target, dpi=wish.dpi, a4=wish.a4, told=told
            )
        except _StoppedError:
            return None

    return work
