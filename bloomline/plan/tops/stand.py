"""How companions stand on a day, and when and how many are usually planted on a pot."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Literal

from bloomline.model.companion import CompanionPlanting
from bloomline.model.cultivar import Companion
from bloomline.model.yard import Pot
from bloomline.plan.tops.companions import companion_of, planting_span, season_on, surface_share

CompanionStand = Literal["planned", "leaf", "flower", "gone"]

USUAL_SHARE = 1.0 / 3.0
"""Share of the surface that companions are planted for: bulbs come up between them.

Common practice, no source.
"""
LATE_DAYS = 45
"""So long after its usual time a companion is still set out with bulbs; judgement, no source."""


def days_in_pot(planting: CompanionPlanting, *, southern: bool) -> tuple[date, date]:
    """First and last day in the pot: until it is taken out, else to the end of its season."""
    companion = companion_of(planting.companion_id)
    season = season_on(companion, planting.planted, taken_out=None, southern=southern)
    last = season[1] if season is not None else planting.planted
    if planting.taken_out is not None:
        last = planting.taken_out - timedelta(days=1)
    return planting.planted, max(last, planting.planted)


def stand_on(planting: CompanionPlanting, day: date, *, southern: bool) -> CompanionStand:
    """How it stands on a day; a leaf plant is in leaf all the time."""
    first, last = days_in_pot(planting, southern=southern)
    if day < first:
        return "planned"
    if day > last:
        return "gone"
    companion = companion_of(planting.companion_id)
    if companion.is_leaf:
        return "leaf"
    season = season_on(companion, planting.planted, taken_out=planting.taken_out, southern=southern)
    in_season = season is not None and season[0] <= day <= season[1]
    return "flower" if in_season else "leaf"


def share_of_one(pot: Pot, companion_id: str) -> float:
    """Share of a pot's surface that one plant takes."""
    one = CompanionPlanting(id="one", companion_id=companion_id, count=1, planted=date(2000, 1, 1))
    return surface_share(pot, [one])


def usual_count(pot: Pot, companion_id: str) -> int:
    """As many as take about a third of the surface, at least one."""
    return max(1, round(USUAL_SHARE / share_of_one(pot, companion_id)))


def company(
    pot: Pot, first: date, last: date, *, southern: bool, without: str | None = None
) -> tuple[CompanionPlanting, ...]:
    """The companion plantings that are in a pot on any day of a stretch."""
    found = []
    for planting in pot.companions:
        begins, ends = days_in_pot(planting, southern=southern)
        if planting.id != without and begins <= last and ends >= first:
            found.append(planting)
    return tuple(found)


def fullest_share(pot: Pot, *, southern: bool) -> float:
    """The largest share of the surface that companions take on any day. Above 1 is crowded."""
    shares = [
        surface_share(pot, company(pot, day, day, southern=southern))
        for day in {planting.planted for planting in pot.companions}
    ]
    return max(shares, default=0.0)


def usual_companion_day(
    companion: Companion, pot: Pot, *, season_begins: date, southern: bool
) -> date:
    """The day for setting it out on a pot: with the bulbs where that is its usual time.

    Else the begin of its next usual time; never before the bulbs, on which it is set. In a
    pot without bulbs it is the first usual day of the season that begins with
    `season_begins`.
    """
    anchors = sorted({max(layer.planted, season_begins) for layer in pot.layers})
    if not anchors:
        return _next_span(companion, season_begins, southern=southern)[0]
    days = [(_day_with(companion, anchor, southern=southern), anchor) for anchor in anchors]
    return min(days, key=lambda pair: (abs((pair[0] - pair[1]).days), pair[0]))[0]


def _day_with(companion: Companion, bulbs: date, *, southern: bool) -> date:
    first, last = planting_span(companion, bulbs, southern=southern)
    if first <= bulbs <= last or 0 < (bulbs - last).days <= LATE_DAYS:
        return bulbs
    return _next_span(companion, bulbs, southern=southern)[0]


def _next_span(companion: Companion, day: date, *, southern: bool) -> tuple[date, date]:
    """The first usual planting time that begins on a day or later."""
    if (companion.planted_from, companion.planted_to) == ((1, 1), (12, 31)):
        return day, day + timedelta(days=364)
    later = (day + timedelta(days=30 * months) for months in range(15))
    spans = {planting_span(companion, each, southern=southern) for each in later}
    return min(span for span in spans if span[0] >= day)
