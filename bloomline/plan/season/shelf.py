"""When each kind on the shelf would flower at a garden, all kinds worked out in one pass."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from bloomline.model.cultivar import Cultivar, MonthDay
from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.forecast.cold import cold_plans, is_short
from bloomline.plan.forecast.outcomes import outcomes
from bloomline.plan.forecast.planting_day import usual_planting_day
from bloomline.plan.forecast.plantings import Planting
from bloomline.plan.forecast.report import Band
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.season.solve import learned_of, within_season

_FLOWERS_WELL_SHARE = 0.9
_FROST_SHARE = 0.05
"""From this share of the years on the forecast warns of frost."""


@dataclass(frozen=True, slots=True)
class ShelfWindow:
    """What a kind is expected to do here, planted on its usual day.

    `start` and `end` are None when it does not flower; `reason` then says why. `share` is the
    part of the weather years in which it flowers. `months` are those in flower in a typical
    year, 1 to 12.
    """

    cultivar_id: str
    planted: date
    start: Band | None
    end: Band | None
    reason: str | None
    share: float
    cold_weeks: float
    cold_weeks_needed: float | None
    killed_share: float
    months: frozenset[int]

    @property
    def flowers(self) -> bool:
        """Whether it flowers in most years."""
        return self.start is not None

    @property
    def cold_short(self) -> bool:
        """Whether it gets fewer weeks of cold than it should."""
        return is_short(self.cold_weeks, self.cold_weeks_needed)

    @property
    def frost_risk(self) -> bool:
        """Whether frost kills the bulbs often enough to be told."""
        return self.killed_share >= _FROST_SHARE

    @property
    def flowers_well(self) -> bool:
        """Whether it gets its cold, stands the frost and opens in nine years of ten."""
        return (
            self.flowers
            and self.share >= _FLOWERS_WELL_SHARE
            and not self.cold_short
            and not self.frost_risk
        )


@kept
def shelf_windows(outlook: Outlook) -> dict[str, ShelfWindow]:
    """Expected windows of all kinds by cultivar id, as `windows_of` tells them."""
    return windows_of(outlook, tuple(outlook.kinds))


def windows_of(outlook: Outlook, kinds: tuple[Cultivar, ...]) -> dict[str, ShelfWindow]:
    """Expected windows by cultivar id, each planted on its usual day of the season.

    Thought in a clay pot of 30 cm in the open, over all weather years, with what the yard's
    records taught of its open ground.
    """
    garden, season_year = outlook.garden, outlook.yard.season_year
    forecaster, recorded = outlook.forecaster, outlook.recorded
    learned = learned_of(outlook)
    pot = Standing(site_offset_c=outlook.yard.site_offsets.get("open", 0.0))
    first_day = yard_axis_start(season_year, garden=garden)
    # Many kinds share their usual day, and it rests on nothing else of them.
    usual: dict[tuple[MonthDay, str], date] = {}
    for kind in kinds:
        key = (kind.ref_planted, kind.season_planted)
        if key not in usual:
            usual[key] = usual_planting_day(kind, garden=garden, first_day=first_day)
    plantings = [
        Planting(
            cultivar=learned.narrowed(kind),
            rooted=usual[kind.ref_planted, kind.season_planted],
            standing=pot,
            shift_days=learned.offset_at("open") + learned.kind_shift_days(kind, established=False),
        )
        for kind in kinds
    ]
    if not plantings:
        return {}
    solved = within_season(
        forecaster.solve(
            plantings,
            garden=garden,
            first_day=first_day,
            recorded=recorded,
            garden_sd_days=learned.garden_sd_days(forecaster.growth_law.garden_sd_days),
        ),
        season_year,
    )
    shares = solved.flowering_share()
    answers = outcomes(solved, plans=cold_plans(solved, forecaster=forecaster, recorded=recorded))
    return {
        planting.cultivar.id: ShelfWindow(
            cultivar_id=planting.cultivar.id,
            planted=planting.rooted,
            start=outcome.start,
            end=outcome.end,
            reason=outcome.reason,
            share=float(share),
            cold_weeks=outcome.cold_weeks,
            cold_weeks_needed=outcome.cold_weeks_needed,
            killed_share=outcome.killed_share,
            months=months_of(outcome.start, outcome.end),
        )
        for planting, outcome, share in zip(plantings, answers, shares, strict=True)
    }


def months_of(start: Band | None, end: Band | None) -> frozenset[int]:
    """Months with a flower in them in a typical year; the last day is the one before the end."""
    if start is None or end is None:
        return frozenset()
    day, last = start.p50, max(end.p50 - timedelta(days=1), start.p50)
    months = {last.month}
    while day < last and len(months) < 12:
        months.add(day.month)
        day = (day.replace(day=1) + timedelta(days=32)).replace(day=1)
    return frozenset(months)
