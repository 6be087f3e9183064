"""Companions on top of bulb pots: their season by the calendar, frost, poison, and their room.

They need no cold and no heat sum here: a table's dates, turned by half a year in the southern
half of the earth, say when they are in leaf or flower.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.climate import WeatherYears
from bloomline.engine.sites import SiteEffect, site_air
from bloomline.errors import UnknownNameError
from bloomline.model.advice import Advice, Severity
from bloomline.model.companion import CompanionPlanting
from bloomline.model.cultivar import Companion
from bloomline.model.yard import Pot
from bloomline.plan.climate.surroundings import standing_of, surroundings_of
from bloomline.plan.forecast.report import CompanionForecast
from bloomline.plan.forecast.solved import Solved
from bloomline.plan.words.days import as_date
from bloomline.plan.words.shares import of_ten
from bloomline.reference.catalogue import load_companions
from bloomline.reference.folding import fold, near_names
from bloomline.words import tr

_HALF_A_YEAR = timedelta(days=182)
_FROST_SHARE = 0.05


def companion_of(companion_id: str) -> Companion:
    """A companion by its id. Raises UnknownNameError with near ids."""
    found = _by_id().get(companion_id)
    if found is None:
        near = near_names(companion_id, ((fold(name), name) for name in _by_id()))
        raise UnknownNameError("companion", companion_id, near=near)
    return found


@lru_cache(maxsize=1)
def _by_id() -> dict[str, Companion]:
    return {companion.id: companion for companion in load_companions()}


def season_on(
    companion: Companion, planted: date, *, taken_out: date | None, southern: bool
) -> tuple[date, date] | None:
    """First and last day of its season in a pot, None when it is taken out before.

    A plant set within its season is in season at once; one set before it waits. It has one
    season, but for evergreens, which stay until they are taken out.
    """
    last: date | None
    if companion.is_all_year:
        first, last = planted, taken_out - timedelta(days=1) if taken_out else date.max
        return first, last
    turn = _HALF_A_YEAR if southern else timedelta(0)
    # The season that ends next after planting, read by a northern calendar.
    north = planted - turn
    last = next(
        end
        for year in (north.year, north.year + 1)
        if (end := companion.season_end.in_year(year)) > north
    )
    begin = companion.season_start.in_year(last.year)
    if begin > last:
        begin = companion.season_start.in_year(last.year - 1)
    first, last = max(planted, begin + turn), last + turn
    if taken_out is not None:
        last = min(last, taken_out - timedelta(days=1))
    return (first, last) if first <= last else None


def planting_span(companion: Companion, day: date, *, southern: bool) -> tuple[date, date]:
    """The usual days for setting it out in the planting time nearest to a day."""
    turn = _HALF_A_YEAR if southern else timedelta(0)
    spans = []
    for year in (day.year - 2, day.year - 1, day.year, day.year + 1):
        first = companion.planted_from.in_year(year)
        last = companion.planted_to.in_year(year)
        if last < first:
            last = companion.planted_to.in_year(year + 1)
        spans.append((first + turn, last + turn))

    def distance(span: tuple[date, date]) -> int:
        return max((span[0] - day).days, (day - span[1]).days, 0)

    return min(spans, key=distance)


def companion_forecast(
    pot: Pot, planting: CompanionPlanting, *, solved: Solved, site_offset_c: float, pets: bool
) -> CompanionForecast:
    """When a companion is in season on the axis of a solved yard, and whether frost takes it.

    Raises UnknownNameError.
    """
    companion = companion_of(planting.companion_id)
    southern = solved.garden.is_southern
    begins = as_date(solved.first_day)
    ends = begins + timedelta(days=solved.weather.tmin_c.shape[1] - 1)
    season = season_on(companion, planting.planted, taken_out=planting.taken_out, southern=southern)
    first = last = None
    if season is not None and season[0] <= ends and season[1] >= begins:
        first, last = max(season[0], begins), min(season[1], ends)
    killed = 0.0
    if last is not None:
        killed = _killed_share(
            pot,
            companion,
            solved=solved,
            site_offset_c=site_offset_c,
            first=max(planting.planted, begins),
            last=last,
        )
    return CompanionForecast(
        planting_id=planting.id,
        pot_id=pot.id,
        companion_id=companion.id,
        name=companion.name,
        colour=companion.colour,
        colour_hex=companion.colour_hex,
        height_cm=companion.height_cm,
        spread_cm=companion.spread_cm,
        scent=companion.scent,
        is_leaf=companion.is_leaf,
        count=planting.count,
        planted=planting.planted,
        first=first,
        last=last,
        killed_share=killed,
        goes_on=companion.is_all_year and planting.taken_out is None,
        advice=tuple(_advice(companion, planting, killed=killed, southern=southern, pets=pets)),
    )


def _killed_share(
    pot: Pot,
    companion: Companion,
    *,
    solved: Solved,
    site_offset_c: float,
    first: date,
    last: date,
) -> float:
    """Share of the weather years whose air falls below what the plant stands."""
    from bloomline.engine.heat import GrowthLaw

    standing = standing_of(pot, site_offset_c=site_offset_c)
    place = surroundings_of(standing, first_day=solved.first_day, law=GrowthLaw())
    low = _site_low_c(solved.weather, place.site)
    begins = as_date(solved.first_day)
    span = low[:, (first - begins).days : (last - begins).days + 1]
    return float((span < companion.lowest_air_c).any(axis=1).mean()) if span.size else 0.0


@lru_cache(maxsize=8)
def _site_low_c(weather: WeatherYears, site: SiteEffect) -> NDArray[np.float64]:
    """Daily minimum at a site, which many companions share. [°C]"""
    return site_air(weather, effect=site)[0]


def _advice(
    companion: Companion,
    planting: CompanionPlanting,
    *,
    killed: float,
    southern: bool,
    pets: bool,
) -> Iterable[Advice]:
    earliest, latest = planting_span(companion, planting.planted, southern=southern)
    if not earliest <= planting.planted <= latest:
        way = tr("earlier") if planting.planted < earliest else tr("later")
        yield Advice(
            severity=Severity.NOTE,
            topic="date",
            message=tr(
                "Planted {way} than usual: between {earliest} and {latest} is common.",
                way=way,
                earliest=earliest,
                latest=latest,
            ),
            source=companion.source,
        )
    if killed >= _FROST_SHARE:
        yield Advice(
            severity=Severity.WARNING if killed >= 0.3 else Severity.CAUTION,
            topic="frost",
            message=(
                tr(
                    "Frost: the air falls below {lowest_air_c:g} °C, more than it "
                    "stands, in {killed}. Plant later, or keep the pot under cover.",
                    lowest_air_c=companion.lowest_air_c,
                    killed=of_ten(killed, "year"),
                )
            ),
            source=companion.source,
        )
    if companion.toxic_pets:
        severe = companion.toxic_pets >= 2
        severity = Severity.CAUTION if pets or severe else Severity.NOTE
        if pets and severe:
            severity = Severity.WARNING
        yield Advice(
            severity=severity,
            topic="poison",
            message=tr(
                "Keep pets and children from eating it: {toxic_note}.",
                toxic_note=tr(companion.toxic_note),
            ),
            source=companion.source,
        )


def surface_share(pot: Pot, plantings: Iterable[CompanionPlanting]) -> float:
    """Share of a pot's surface that companions take, each a square of its usual spacing.

    Above 1 they stand closer than usual. Common practice, no source.
    """
    if pot.shape == "round":
        area = np.pi / 4.0 * pot.top_width_cm**2
    else:
        area = pot.top_width_cm * (pot.top_length_cm or pot.top_width_cm)
        if pot.shape == "oval":
            area *= np.pi / 4.0
    taken = sum(
        planting.count * companion_of(planting.companion_id).spacing_cm ** 2
        for planting in plantings
    )
    return float(taken / area)
