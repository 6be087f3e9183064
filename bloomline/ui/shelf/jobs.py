"""Work that the shelf has done beside the window."""

from __future__ import annotations

from collections.abc import Callable

from bloomline.model.yard import Yard
from bloomline.plan.forecaster import Forecaster
from bloomline.plan.garden import garden_of
from bloomline.plan.shelf_season import ShelfWindow, shelf_windows
from bloomline.plan.surroundings import Standing
from bloomline.plan.weather import RecordedWeather
from bloomline.reference.catalogue import Catalogue


def windows_job(
    yard: Yard,
    *,
    catalogue: Catalogue,
    forecaster: Forecaster,
    recorded: RecordedWeather | None,
) -> Callable[[], dict[str, ShelfWindow]]:
    """Work out the expected windows of all kinds, to be called in a thread of its own."""

    def work() -> dict[str, ShelfWindow]:
        return shelf_windows(
            catalogue.with_own(yard.own_cultivars),
            garden=garden_of(yard.place),
            season_year=yard.season_year,
            forecaster=forecaster,
            standing=Standing(site_offset_c=yard.site_offsets.get("open", 0.0)),
            recorded=recorded,
        )

    return work
