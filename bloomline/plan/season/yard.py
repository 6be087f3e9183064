"""A whole yard's season: every layer's windows, bare and crowded stretches, weeks of colour."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import in_flower_chance
from bloomline.engine.season import Run, bare_runs, crowded_runs
from bloomline.model.advice import Advice
from bloomline.model.yard import Yard
from bloomline.plan.forecast.advice import planting_advice, poison_advice, station_advice
from bloomline.plan.forecast.forecaster import Solved
from bloomline.plan.forecast.mixed import MixedRow, part_bands, part_chances
from bloomline.plan.forecast.one_planting import Outcome, bands_of, dates_of, outcomes
from bloomline.plan.forecast.planting_day import usual_planting_span
from bloomline.plan.forecast.report import LayerForecast, PartForecast, SeasonReport, Stretch
from bloomline.plan.season.colour import YardColour, in_flower, pot_forecasts
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.season.solve import SolvedLayer, SolvedYard, solve_yard
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
    bands = bands_of(solved)
    answers = outcomes(solved, bands=bands, plans=worked.cold_plans)
    start, end = solved.in_flower()
    chance = in_flower_chance(
        start,
        end=end,
        sd_days=solved.uncertainty.together,
        n_days=n_days,
    )
    parts: dict[int, tuple[PartForecast, ...]] = {}
    for mixed in solved.mixed:
        chances = part_chances(solved, mixed, n_days=n_days)
        chance[mixed.row] = mixed.shares @ chances
        parts[mixed.row] = _part_forecasts(solved, mixed, chances)
    # One more row, all zero, answers the layers that are planted after this season.
    chance = np.concatenate([chance, np.zeros((1, n_days))])
    rows = np.array([place.row for place in worked.places], dtype=np.int64)
    layer_chance = chance[rows]
    of_row = list(chance)  # equal layers share theirs
    scented = np.array([place.cultivar.scent > 0 for place in worked.places], dtype=bool)
    flowers = in_flower(solved)
    copies = np.array([place.pot.copies for place in worked.places], dtype=np.int64)
    everything = YardColour(worked, rows[rows >= 0], copies=copies[rows >= 0], flowers=flowers)
    smelt = (rows >= 0) & scented
    scent = YardColour(worked, rows[smelt], copies=copies[smelt], flowers=flowers)
    coverage = everything.spread()
    bare, season = everything.bare()
    notes = _Notes(yard, worked)
    forecasts = [
        _layer_forecast(
            place,
            answers[place.row] if place.row >= 0 else None,
            chance=of_row[place.row],
            parts=parts.get(place.row, ()),
            notes=notes,
        )
        for place in worked.places
    ]
    pots = pot_forecasts(worked, forecasts, scented=scented, bands=bands, flowers=flowers)
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
        best = layer_chance[:, run.first : run.last + 1].max(axis=1)
        order = np.argsort(best)[::-1]
        more = np.cumsum(copies[order]) > settings.crowd_limit
        enough = best[order[np.argmax(more)]]
        who = np.flatnonzero(best >= min(_LIKELY, enough))
        return tuple(worked.places[i].layer.id for i in who)

    crowd, crowd_chance = everything.crowded(limit=settings.crowd_limit)
    crowded = [stretch(run, crowd_of(run)) for run in crowded_runs(crowd_chance, likely=_LIKELY)]
    return SeasonReport(
        yard_name=yard.name,
        place_label=garden.label,
        station_id=garden.station_id or garden.station_name,
        climate_source=garden.source,
        season_year=yard.season_year,
        first_day=first_day,
        pots=pots,
        coverage=coverage,
        expected_layers=_counted(layer_chance, copies),
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
    )


def _counted(chance: Floats, copies: Ints) -> Floats:
    """Expected number of layers in flower by day, each counted in every copy of its pot."""
    if (copies > 1).any():
        chance = chance * copies[:, None]
    return np.asarray(chance.sum(axis=0))


def _with_learned(label: str, worked: SolvedYard) -> str:
    words = worked.learned.words()
    return f"{label}, {words}" if words else label


def _part_forecasts(solved: Solved, mixed: MixedRow, chances: Floats) -> tuple[PartForecast, ...]:
    bands = {
        stage: dates_of(part_bands(solved, mixed, stage), solved)
        for stage in ("nose", "start", "end", "leaves_over")
    }
    return tuple(
        PartForecast(
            kind.name,
            kind.colour_hex,
            kind.second_colour_hex,
            float(mixed.shares[at]),
            chances[at],
            **{stage: dates[at] for stage, dates in bands.items()},
        )
        for at, kind in enumerate(mixed.kinds)
    )


class _Notes:
    """Advice that many layers share, worded once."""

    def __init__(self, yard: Yard, worked: SolvedYard) -> None:
        self._pets = yard.settings.pets
        self._usual = worked.usual_days
        self._poison: dict[str, list[Advice]] = {}

    def on(self, place: SolvedLayer, *, flowers: bool) -> list[Advice]:
        """Advice on a layer beside what its forecast says."""
        cultivar = place.cultivar
        if cultivar.id not in self._poison:
            self._poison[cultivar.id] = poison_advice(cultivar, pets=self._pets)
        planting = planting_advice(
            planted=place.layer.planted,
            usual=self._usual[cultivar.id],
            established=place.established or place.row < 0,
            prechilled=place.layer.prechill_weeks > 0.0,
            flowers=flowers,
            window=usual_planting_span(cultivar, usual=self._usual[cultivar.id]),
        )
        return planting + self._poison[cultivar.id]


def _layer_forecast(
    place: SolvedLayer,
    outcome: Outcome | None,
    *,
    chance: Floats,
    parts: tuple[PartForecast, ...],
    notes: _Notes,
) -> LayerForecast:
    cultivar, layer = place.cultivar, place.layer
    reason = tr("planted after this season") if outcome is None else outcome.reason
    frail = outcome is not None and max(outcome.too_little_cold_share, outcome.killed_share) >= 0.5
    if reason is not None and layer.lifted_on is not None and outcome is not None and not frail:
        reason = tr(
            "no flower this season: to be lifted on {lifted_on}, before it opens",
            lifted_on=layer.lifted_on,
        )
    return LayerForecast(
        layer_id=layer.id,
        pot_id=place.pot.id,
        cultivar_id=cultivar.id,
        name=cultivar.name,
        common_type=cultivar.common_type,
        colour=cultivar.colour,
        colour_hex=cultivar.colour_hex,
        second_colour_hex=cultivar.second_colour_hex,
        height_cm=cultivar.height_cm,
        scent=cultivar.scent,
        count=layer.count,
        planted=layer.planted,
        established=place.established,
        start=outcome.start if outcome else None,
        full=outcome.full if outcome else None,
        end=outcome.end if outcome else None,
        nose=outcome.nose if outcome else None,
        leaves_over=outcome.leaves_over if outcome else None,
        reason=reason,
        after_season=outcome is None,
        cold_weeks=outcome.cold_weeks if outcome else 0.0,
        cold_weeks_needed=outcome.cold_weeks_needed if outcome else None,
        too_little_cold_share=outcome.too_little_cold_share if outcome else 0.0,
        killed_share=outcome.killed_share if outcome else 0.0,
        chance=chance,
        cold_met_on=outcome.cold_met_on if outcome else None,
        cold_plan=outcome.cold_plan if outcome else None,
        date_source=f"{cultivar.date_basis}: {cultivar.date_note}".rstrip(": "),
        advice=(
            *(outcome.advice if outcome else ()),
            *notes.on(place, flowers=outcome is not None and outcome.start is not None),
        ),
        parts=parts,
    )


def _weather_label(solved: Solved) -> str:
    years = tr("{n_years} weather years", n_years=solved.weather.n_years)
    known = int(solved.weather.known.sum())
    return (
        years if known == 0 else tr("{known} recorded days, then {years}", known=known, years=years)
    )
