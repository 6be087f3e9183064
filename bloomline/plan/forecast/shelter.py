"""Where bulbs that frost would kill in their place live through the winter: worked out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.heat import GrowthLaw
from bloomline.engine.rootzone import colder_than, daily_root_zone_c
from bloomline.engine.sites import SiteEffect, site_air
from bloomline.engine.sums import Surroundings
from bloomline.plan.climate.surroundings import Standing, surroundings_of
from bloomline.plan.forecast.solved import Solved
from bloomline.reference.rules import load_rules
from bloomline.words import tr

Floats = NDArray[np.float64]
Refuge = Literal["shed", "garage", "ground"]

ENOUGH = 0.1
"""A place that loses the bulbs in more winters of ten than one is no advice; judgement."""

_FROM_COLDEST: tuple[Refuge, ...] = ("shed", "garage", "ground")


def refuges_of(
    solved: Solved, rows: Sequence[int], *, law: GrowthLaw | None = None
) -> dict[int, Refuge]:
    """For rows of a solved table: the first of shed, garage and ground in which they live.

    Rows that frost would often kill in all three are left out. Bulbs stay there until they would
    flower where they are now.
    """
    left = list(rows)
    found: dict[int, Refuge] = {}
    for refuge in _FROM_COLDEST:
        there = {row: _moved(solved.plantings[row].standing, refuge) for row in left}
        asked = [row for row in left if there[row] is not None]
        if not asked:
            continue
        share = _killed_share(solved, asked, [there[row] or Standing() for row in asked], law)
        found |= {row: refuge for row, part in zip(asked, share, strict=True) if part <= ENOUGH}
        left = [row for row in left if row not in found]
    return found


@lru_cache(maxsize=4096)
def _moved(standing: Standing, refuge: Refuge) -> Standing | None:
    """The same pot in a shelter, or its bulbs in the ground; None where they stand there now."""
    if refuge == "ground":
        return Standing(where="ground")
    if standing.where == "ground" or standing.site in (refuge, "garage"):
        return None
    return replace(
        standing, site=refuge, site_offset_c=0.0, sheltered_from=None, sheltered_until=None
    )


def _killed_share(
    solved: Solved, rows: list[int], standings: list[Standing], law: GrowthLaw | None
) -> Floats:
    """Share of the weather years in which frost kills rows elsewhere, shape (n_rows,)."""
    zones: dict[Surroundings, int] = {}
    of_standing: dict[Standing, int] = {}
    for standing in standings:
        if standing not in of_standing:
            place = surroundings_of(standing, first_day=solved.first_day, law=law or GrowthLaw())
            of_standing[standing] = zones.setdefault(place, len(zones))
    airs: dict[SiteEffect, Floats] = {}
    for place in zones:
        if place.site not in airs:
            low, high = site_air(solved.weather, effect=place.site)
            airs[place.site] = 0.5 * (low + high)
    plantings = [solved.plantings[row] for row in rows]
    rules = load_rules()
    killed = colder_than(
        daily_root_zone_c(
            np.stack([airs[place.site] for place in zones]),
            zones=tuple(place.zone for place in zones),
        ),
        zone=np.array([of_standing[each] for each in standings], dtype=np.int64),
        first=np.array([p.rooted.toordinal() - solved.first_ordinal for p in plantings]),
        last=solved.days.start[rows],
        limit_c=np.array(
            [rules.lethal_c(p.cultivar.genus, p.cultivar.group).bulb_c for p in plantings]
        ),
    )
    return np.asarray(killed.mean(axis=1))


def refuge_words(standing: Standing, refuge: Refuge | None) -> str:
    """What to do with bulbs that frost kills where they stand; begins in lower case, no stop."""
    if standing.where == "ground":
        return tr("plant deeper and mulch, or choose a hardier kind")
    if refuge == "shed":
        return tr("winter the pot in a shed or detached garage, which is warm enough here")
    if refuge == "garage":
        return tr(
            "a detached shed is too cold here: winter the pot in a garage against the house or in "
            "a cellar"
        )
    if refuge == "ground":
        return tr("a shed or garage is too cold here: plant in the ground")
    return tr("no shed or garage is warm enough here: choose a hardier kind")
