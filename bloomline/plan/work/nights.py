"""How cold the nights of a yard are: of the air at each site, and of the roots in each pot."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.climate import WeatherYears
from bloomline.engine.flowering import Surroundings
from bloomline.engine.rootzone import coldest_c, daily_root_zone_c
from bloomline.engine.sites import SiteEffect, site_air

Floats = NDArray[np.float64]

_AT_ONCE = 32  # places whose tables take some ten megabytes


@dataclass(frozen=True, slots=True, eq=False)
class Nights:
    """Every day of every weather year in one kind of place, shape (n_years, n_days). [°C]

    air_c, root_c : lowest of the air and of the root zone; root_mean_c : the latter's daily mean.
    """

    air_c: Floats
    root_c: Floats
    root_mean_c: Floats


def nights_of(weather: WeatherYears, places: Sequence[Surroundings]) -> Iterator[Nights]:
    """The nights of each place, in their order; the days are walked for many places at once."""
    airs: dict[SiteEffect, tuple[Floats, Floats]] = {}
    for place in places:
        if place.site not in airs:
            airs[place.site] = site_air(weather, effect=place.site)
    for at in range(0, len(places), _AT_ONCE):
        some = places[at : at + _AT_ONCE]
        means = np.stack([0.5 * (airs[each.site][0] + airs[each.site][1]) for each in some])
        roots = daily_root_zone_c(means, zones=tuple(each.zone for each in some))
        for place, root in zip(some, roots, strict=True):
            low, high = airs[place.site]
            yield Nights(low, coldest_c(root, swing_c=high - low, zone=place.zone), root)
