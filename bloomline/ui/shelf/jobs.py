"""Work that the shelf has done beside the window."""

from __future__ import annotations

from collections.abc import Callable

from bloomline.model.yard import Yard
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.climate.weather import RecordedWeather
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.report import SeasonReport
from bloomline.plan.season.shelf import ShelfWindow, shelf_windows
from bloomline.reference.catalogue import Catalogue


def learned_of(report: SeasonReport | None) -> tuple[float, float | None]:
    """What the yard's records taught of its open ground: offset and what is still not known."""
    return (0.0, None) if report is None else (report.learned_at("open"), report.garden_sd_days)


def windows_job(
    yard: Yard,
    *,
    catalogue: Catalogue,
    forecaster: Forecaster,
    recorded: RecordedWeather | None,
    report: SeasonReport | None,
) -> Callable[[], dict[str, ShelfWindow]]:
    """Work out the expected windows of all kinds, to be called in a thread of its own.

    report : the season on show, whose learned offset the shelf shares.
    """
    shift_days, garden_sd_days = learned_of(report)

    def work() -> dict[str, ShelfWindow]:
        return shelf_windows(
            catalogue.with_own(yard.own_cultivars),
            garden=garden_of(yard.place),
            season_year=yard.season_year,
            forecaster=forecaster,
            standing=Standing(site_offset_c=yard.site_offsets.get("open", 0.0)),
            recorded=recorded,
            shift_days=shift_days,
            garden_sd_days=garden_sd_days,
        )

    return work
