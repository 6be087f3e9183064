"""How far single days stray from a place's normals, against a reference station."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class VariabilityLaw:
    """How far single days stray at a place, against the reference station.

    A departure d of the reference station becomes, before the month's mean is restored,

        scale · d / sqrt(1 + (min(d, 0) / bend)²)

    so that warm spells are scaled only, and cold ones also bent: the worst cold is not as many
    times worse than a usual frost elsewhere as it is at the reference station, which continental
    air reaches now and then.

    scale = clip(base + per_range · (warmest − coldest monthly minimum) + per_degree · low
    + per_mild_degree · mild + calm · c + stormy · s, lowest, highest), `low` the normal minimum
    of the day, not below `coldest_c`, `mild` how far it lies above `turn_c`, up to `settled_c`:
    a mild month between winter and summer has cold snaps, a mild winter of the south has few.
    bend = bend_c · exp(bend_per_degree · coldest monthly minimum, within `bend_from_c` and
    `bend_to_c`, + bend_calm · c + bend_stormy · s). [°C]

    c and s, 0 to 1, say where on earth a place is (`continents`): winters of East Asia are cold
    day by day but steady, those of North America swing more than their means tell.

    Fitted by least squares (tests/benchmarks/calibrate_weather.py) on every other station of a
    published table: frost-day counts and lowest minima (WMO normals 1991-2020), and on every
    other place of a map of mean annual minima of the United States, with the lowest of two of its
    cities from memory, since the table has none there. On the other halves frost days err by 1.03
    a month (root mean square), the lowest of 21 years lies 0.8 °C above that of 30 published ones
    (median; within 4 °C at 80 %) and the mean annual minimum 0.9 °C above the middle of its band
    of 2.8 °C: tests/outside/test_winter_extremes.py. With whole regions left out the lowest stays
    within 4 °C at two thirds to nine tenths of their stations. Weak: the Baltic lands come out up
    to 5 °C too mild, mild coasts some 3 °C too cold at the lowest.
    """

    base: float = 0.907
    per_range: float = 0.0098
    per_degree: float = -0.0358
    coldest_c: float = -12.0
    turn_c: float = 3.0
    settled_c: float = 11.0
    per_mild_degree: float = 0.0538
    calm: float = -0.254
    stormy: float = 0.184
    lowest: float = 0.3
    highest: float = 2.6
    bend_c: float = 20.1
    bend_per_degree: float = -0.0372
    bend_from_c: float = -4.0
    bend_to_c: float = 6.0
    bend_calm: float = -0.605
    bend_stormy: float = -0.178


def continents(latitude_deg: float, *, longitude_deg: float | None) -> tuple[float, float]:
    """How much a place shares the steady winters of East Asia and the unsteady of North America.

    Returns two numbers from 0 to 1. They fade over some 10 degrees of longitude at the edges of
    80 to 156° E and 120 to 60° W. Lands of the southern half, which no continent sends polar
    air to, count as steady: mean annual minima of Melbourne, Cape Town and Christchurch come out
    within two degrees so, against values from memory; no table of theirs was at hand. Without a
    longitude both are 0 in the north.
    """
    if latitude_deg < 0.0:
        return 1.0, 0.0
    if longitude_deg is None:
        return 0.0, 0.0

    def within(middle_deg: float, half_width_deg: float) -> float:
        away_deg = abs((longitude_deg - middle_deg + 180.0) % 360.0 - 180.0)
        return float(1.0 / (1.0 + np.exp((away_deg - half_width_deg) / 5.0)))

    return within(118.0, 38.0), within(-90.0, 30.0)


def spread(
    low: Floats, low12: Floats, law: VariabilityLaw, where: tuple[float, float]
) -> tuple[Floats, float]:
    """The law's scale on each day, shape (n_days,), and its bend [°C].

    low : the normal minimum of each day, low12 : of each month. [°C]
    where : what `continents` says of the place.
    """
    calm, stormy = where
    mild = np.clip(low - law.turn_c, 0.0, law.settled_c - law.turn_c)
    scale = np.clip(
        law.base
        + law.per_range * float(np.ptp(low12))
        + law.per_degree * np.maximum(low, law.coldest_c)
        + law.per_mild_degree * mild
        + law.calm * calm
        + law.stormy * stormy,
        law.lowest,
        law.highest,
    )
    coldest = float(np.clip(low12.min(), law.bend_from_c, law.bend_to_c))
    exponent = law.bend_per_degree * coldest + law.bend_calm * calm + law.bend_stormy * stormy
    return scale, law.bend_c * float(np.exp(exponent))


def bent(departure: Floats, scale: Floats, bend: float) -> Floats:
    """Departures as the law scales and bends them; their mean is no longer that of the months.

    departure : shape (n_years, n_days) [°C], scale : shape (n_days,), bend [°C].
    """
    # In place: this runs for every place that a slider passes.
    work = np.minimum(departure, 0.0)
    work *= 1.0 / bend
    work *= work
    work += 1.0
    np.sqrt(work, out=work)
    np.divide(departure, work, out=work)
    work *= scale
    return work
