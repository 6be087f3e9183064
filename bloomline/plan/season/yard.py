"""A whole yard's season: every layer's windows, bare and crowded stretches, weeks of colour."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import compress

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import in_flower_chance
from bloomline.engine.season import Run, bare_runs, crowded_runs
from bloomline.plan.forecast.advice import station_advice
from bloomline.plan.forecast.mixed import part_chances
from bloomline.plan.forecast.report import SeasonReport, Stretch
from bloomline.plan.forecast.solved import Solved
from bloomline.plan.season.colour import YardColour, in_flower
from bloomline.plan.season.forecasts import YardForecasts
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.season.solve import SolvedYard, solve_yard
from bloomline.plan.words.days import as_date
from bloomline.words import tr

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_LIKELY = 0.5


@kept
def season_report(outlook: Outlook) -> SeasonReport:
    """The season of a yard, as every view, export and command shows it."""
    worked = solve_yard(outlook)
    report = report_of(worked)
    if worked.every_year is None or outlook.weather_year is None:
        return report
    label = year_label(outlook.weather_year, count=worked.every_year.weather.n_years)
    return replace(
        report, weather_label=_with_learned(label, worked), weather_year=outlook.weather_year
    )


def prepared_season(outlook: Outlook) -> SeasonReport:
    """The season with what views read of every layer worked out beforehand."""
    report = season_report(outlook)
    _ = report.alike  # with their dates
    return report


def year_label(rank: int, *, count: int) -> str:
    """What a single weather year is called, by its rank from the coldest."""
    if rank == 0:
        return tr("the coldest of {count} weather years", count=count)
    if rank == count - 1:
        return tr("the warmest of {count} weather years", count=count)
    return tr("weather year {rank} of {count}, from coldest to warmest", rank=rank + 1, count=count)


def report_of(worked: SolvedYard) -> SeasonReport:
    """Put a solved yard into the values that are shown."""
    yard, solved, garden = worked.yard, worked.solved, worked.garden
    n_days = worked.n_days
    start, end = solved.in_flower()
    chance = in_flower_chance(
        start,
        end=end,
        sd_days=solved.uncertainty.together,
        n_days=n_days,
    )
    parts: dict[int, Floats] = {}
    for mixed in solved.mixed:
        parts[mixed.row] = part_chances(solved, mixed, n_days=n_days)
        chance[mixed.row] = mixed.shares @ parts[mixed.row]
    flowers = in_flower(solved)
    layers = worked.layers_of_rows()
    everything = YardColour(worked, layers, flowers=flowers)
    scent = YardColour(worked, worked.layers_of_rows(scented=True), flowers=flowers)
    coverage = everything.spread()
    bare, season = everything.bare()
    forecasts = YardForecasts(worked, chance=chance, part_chance=parts, flowers=flowers)
    first_day = as_date(solved.first_day)
    settings = yard.settings

    def stretch(run: Run, layer_ids: tuple[str, ...] = (), note: str = "") -> Stretch:
        return Stretch(
            first=first_day + timedelta(days=run.first),
            last=first_day + timedelta(days=run.last),
            layer_ids=layer_ids,
            note=note,
        )

    def crowd_of(run: Run) -> tuple[str, ...]:
        """The layers that are likely to be in flower, and never fewer than make a crowd."""
        best = chance[:, run.first : run.last + 1].max(axis=1)
        order = np.argsort(best)[::-1]
        more = np.cumsum(layers[order]) > settings.crowd_limit
        enough = best[order[np.argmax(more)]]
        who = np.append(best >= min(_LIKELY, enough), False)[worked.rows]
        return tuple(compress(worked.plots.layer_ids, who.tolist()))

    crowd, crowd_chance = everything.crowded(limit=settings.crowd_limit)
    crowded = [stretch(run, crowd_of(run)) for run in crowded_runs(crowd_chance, likely=_LIKELY)]
    return SeasonReport(
        yard_name=yard.name,
        place_label=garden.label,
        station_id=garden.station_id or garden.station_name,
        climate_source=garden.source,
        season_year=yard.season_year,
        first_day=first_day,
        pots=forecasts.pots(),
        coverage=coverage,
        expected_layers=layers @ chance,
        bare=tuple(
            stretch(run)
            for run in bare_runs(coverage, season=season, threshold=settings.bare_threshold)
        ),
        crowded=tuple(crowded),
        bare_threshold=settings.bare_threshold,
        crowd_limit=settings.crowd_limit,
        weeks_of_colour=everything.weeks(),
        weeks_of_scent=scent.weeks(),
        bare_days=bare,
        crowded_days=crowd,
        usual_season=None if season is None else stretch(season),
        weather_label=_with_learned(_weather_label(solved), worked),
        advice=tuple(station_advice(garden)),
        learned_offset_days=worked.learned.offset_days,
        learned_sd_days=worked.learned.sd_days if worked.learned.n_records else None,
        garden_sd_days=float(solved.uncertainty.garden),
        learned_by_site=tuple((site, days) for site, (days, _) in worked.learned.by_site.items()),
        learned_from=worked.learned.n_records,
        learned_words=worked.learned.words(),
        work_out_alike=forecasts.alike,
        layout=worked.plots,
    )


def _with_learned(label: str, worked: SolvedYard) -> str:
    words = worked.learned.words()
    return f"{label}, {words}" if words else label


def _weather_label(solved: Solved) -> str:
    years = tr("{n_years} weather years", n_years=solved.weather.n_years)
    known = int(solved.weather.known.sum())
    return (
        years if known == 0 else tr("{known} recorded days, then {years}", known=known, years=years)
    )
