"""How warm it is where the bulb lies: in a pot that freezes slowly, or in open ground.

A pot is one lumped body that follows the air of its site with the time constant of a cylinder
cooled at its wall, and stays at 0 °C while its water freezes or thaws. A frozen one is held a
little above the air by the ground it stands on. No snow lies on it: what falls isn't known, and
a bare pot is the worse case. Open ground follows the air's daily mean over weeks and hardly
cools below freezing under snow and mulch.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

HOURS_PER_DAY = 24.0
DAYS_PER_YEAR = 365.25

GROUND_CONTACT = 0.1
"""Part of a frozen pot's heat that comes from the ground under it, which stays near 0 °C. [-]

For a pot as deep as it is wide: half its depth of compost in series with a disk on a half-space
(shape factor 4·a, Incropera & DeWitt), against what wall and surface lose; 0.08 to 0.15 for pots
of 16 to 80 cm. In nursery trials containers on the ground were warmer than on pallets
(Scandinavian Journal of Forest Research 1 (1986), 37-47).
"""

_GROUND_DIFFUSIVITY_M2_S = 5.0e-7
"""Moist garden soil: about 4 to 6·10⁻⁷ m² per s in tables of soil physics (from memory)."""

_WAY_DAYS_PER_CM = 0.3
"""What a shoot's way through one more centimetre costs; judgement for a size between sources.

In pots on a greenhouse bench hyacinths and lilies came up later the deeper they lay, 0 to 20 cm
(Addai & Scott 2011, International Research Journal of Applied and Basic Sciences 2(7)); in beds
tulips and daffodils flowered later at 15, 30 and 45 cm (Cavins & Dole 2002, HortScience 37,
79-83). Neither abstract gives days; a garden trial of daffodils in California told of a week or
more from one depth to the next, of less in the north-west (a magazine's report).
"""

_SHALLOWEST_CM, _DEEPEST_CM = -10.0, 30.0


@dataclass(frozen=True, slots=True)
class CompostPhysics:
    """Thermal values of moist potting compost.

    conductivity_w_mk 0.5, volumetric heat 2.5 MJ per m³ K (diffusivity 2·10⁻⁷ m² per s) and
    45 % water by volume: usual for a moist peat or bark mix, from memory of the literature;
    latent heat of fusion of water 334 kJ per kg (CRC Handbook).
    surface_w_m2k : heat passed from the wall to moving air, 10 W per m² K (from memory).
    """

    conductivity_w_mk: float = 0.5
    volumetric_heat_j_m3k: float = 2.5e6
    water_fraction: float = 0.45
    latent_heat_j_m3: float = 334.0e6
    surface_w_m2k: float = 10.0

    @property
    def diffusivity_m2_s(self) -> float:
        """Thermal diffusivity. [m² per s]"""
        return self.conductivity_w_mk / self.volumetric_heat_j_m3k

    @property
    def plateau_c(self) -> float:
        """Latent heat of the pot's water as an equivalent temperature change. [°C]"""
        return self.water_fraction * self.latent_heat_j_m3 / self.volumetric_heat_j_m3k


def _bessel_ratio(zeta: float) -> float:
    """ζ·J1(ζ)/J0(ζ) by the power series of both functions (DLMF 10.2.2), 0 ≤ ζ < 2.4.

    The series converges in a few terms here, and saves the tenths of a second that loading
    a library of special functions would add to every start.
    """
    quarter = -(zeta * zeta) / 4.0
    j0 = j1 = 0.0
    term0, term1 = 1.0, zeta / 2.0
    for k in range(1, 40):
        j0 += term0
        j1 += term1
        term0 *= quarter / (k * k)
        term1 *= quarter / (k * (k + 1))
    return zeta * j1 / j0


@lru_cache(maxsize=1024)
def cylinder_eigenvalue(biot: float) -> float:
    """First root of ζ·J1(ζ) = Bi·J0(ζ) for a long cylinder cooled at its surface.

    Raises ValueError unless 0 < biot < 1000.
    Source: Incropera & DeWitt, one-term approximation of transient conduction.
    """
    if not 0.0 < biot < 1000.0:
        raise ValueError(f"the Biot number must be between 0 and 1000, got {biot}")
    low, high = 0.0, 2.404825
    for _ in range(60):
        middle = 0.5 * (low + high)
        if _bessel_ratio(middle) < biot:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def pot_time_constant_h(
    radius_cm: float,
    *,
    wall_cm: float = 0.0,
    wall_conductivity_w_mk: float = 1.0,
    physics: CompostPhysics | None = None,
) -> float:
    """Hours in which a pot makes up 63 % of a step of the air's temperature. [h]

    radius_cm : half of the pot's mean inside width. wall_cm, wall_conductivity_w_mk : the
    wall stands in series with the air film at its outside.
    Raises ValueError when the radius is not positive.
    Source: one-term solution of the long cylinder, Incropera & DeWitt.
    """
    if radius_cm <= 0:
        raise ValueError(f"a pot needs a positive radius, got {radius_cm} cm")
    values = physics or CompostPhysics()
    radius_m = radius_cm / 100.0
    resistance = 1.0 / values.surface_w_m2k + (wall_cm / 100.0) / wall_conductivity_w_mk
    biot = radius_m / (resistance * values.conductivity_w_mk)
    eigenvalue = cylinder_eigenvalue(round(biot, 6))
    return radius_m**2 / (values.diffusivity_m2_s * eigenvalue**2) / 3600.0


@dataclass(frozen=True, slots=True)
class RootZone:
    """How a bulb's surroundings follow the air.

    time_constant_h : lag of the daily mean. plateau_c : latent heat as an equivalent
    temperature change (0 where freezing is not modelled as a plateau). below_zero : factor on
    temperatures below 0 °C (about 0.9 in a pot on the ground; 0.05 in ground under snow).
    air_share : part of the air's own daily swing and mean that the growing point feels; the
    rest is the root zone's.
    """

    time_constant_h: float
    plateau_c: float = 0.0
    below_zero: float = 1.0
    air_share: float = 0.0


def open_ground(*, lag_days: float, air_share: float = 0.0) -> RootZone:
    """Open ground at bulb depth: the air's mean over `lag_days`, hardly below freezing."""
    return RootZone(time_constant_h=lag_days * HOURS_PER_DAY, below_zero=0.05, air_share=air_share)


def depth_days(extra_cover_cm: float, *, in_ground: bool) -> float:
    """How much later a bulb flowers that lies deeper than its kind usually does. [days]

    extra_cover_cm : against the usual depth, negative for shallower; −10 to 30 count. In open
    ground the year's warmth itself comes later with depth: z/√(2αω), the lag of a wave of one
    year in a half-space (Carslaw & Jaeger, Conduction of Heat in Solids), 2.6 days for 10 cm.
    Inside a pot that lag is hours. In both the shoot has a longer way.
    """
    extra_cm = min(max(extra_cover_cm, _SHALLOWEST_CM), _DEEPEST_CM)
    days = _WAY_DAYS_PER_CM * extra_cm
    if in_ground:
        omega = 2.0 * math.pi / (DAYS_PER_YEAR * 86400.0)
        days += extra_cm / 100.0 / math.sqrt(2.0 * _GROUND_DIFFUSIVITY_M2_S * omega) / 86400.0
    return days


def coldest_c(day_c: Floats, *, swing_c: Floats, zone: RootZone) -> Floats:
    """Lowest temperature of a root zone within each day, all arrays of one shape. [°C]

    day_c : its daily mean; swing_c : the air's daily range. Water that still freezes holds a pot
    at 0 °C through the night.
    """
    half = 0.5 * swing_share(zone.time_constant_h) * swing_c
    if zone.plateau_c > 0.0:
        above = np.maximum(day_c - half, 0.0)
        return np.where(day_c >= 0.0, above, day_c - half * zone.below_zero)
    return day_c - half * np.where(day_c > 0.0, 1.0, zone.below_zero)


def swing_share(time_constant_h: float) -> float:
    """Share of the air's daily swing left in a lumped body. [-]

    Source: amplitude of a first-order lag at one cycle a day, 1/√(1 + (ωτ)²).
    """
    omega = 2.0 * math.pi / HOURS_PER_DAY
    return 1.0 / math.sqrt(1.0 + (omega * time_constant_h) ** 2)


def daily_root_zone_c(
    mean_c: Floats, *, zones: tuple[RootZone, ...], site: Ints | None = None
) -> Floats:
    """Daily mean temperature of root zones, shape (n_zones, n_years, n_days). [°C]

    mean_c : daily mean air temperature of sites, shape (n_sites, n_years, n_days). site : which of
    them each zone stands at, shape (n_zones,); without it, one each.
    The body starts at the first day's mean. In a pot each day's heat first melts or freezes water
    before it changes the temperature; the lag within the day is the exact solution for a constant
    air temperature. In memory the answer lies day by day.
    """
    n_years, n_days = mean_c.shape[1:]
    air_of = np.moveaxis(mean_c, -1, 0)
    by_day = air_of.take(np.arange(len(zones)) if site is None else site, axis=1)
    by_day = by_day.reshape(n_days, -1)

    def column(values: list[float]) -> Floats:
        return np.repeat(np.array(values, dtype=np.float64), n_years)

    gain = HOURS_PER_DAY / column([zone.time_constant_h for zone in zones])
    plateau = column([zone.plateau_c for zone in zones])
    keep = np.exp(-gain)
    within = (1.0 - keep) / gain  # mean over the day of what is left of the morning's excess
    # Ground has no plateau and may go below zero on its own path; a floor far down keeps it
    # out of the careful branch, which only bodies that freeze need.
    floor = np.where(plateau > 0.0, 0.0, -1e9)
    # In air above freezing a body above it stays so: most days need no closer look.
    may_freeze: list[bool] = np.asarray((by_day <= floor).any(axis=1)).tolist()
    out = np.empty_like(by_day)
    body = by_day[0].copy()  # above 0: temperature; −plateau..0: freezing; below: frozen
    after, excess = np.empty_like(body), np.empty_like(body)
    is_frozen = True
    for air, shown, may in zip(by_day, out, may_freeze, strict=True):
        np.subtract(body, air, out=excess)
        np.multiply(excess, within, out=shown)
        shown += air
        excess *= keep
        np.add(excess, air, out=after)
        if is_frozen or may:
            careful = (np.minimum(body, after) <= floor).nonzero()[0]
            is_frozen = len(careful) > 0
            if is_frozen:
                after[careful], shown[careful] = _freezing_day(
                    body[careful], air[careful], gain=gain[careful], plateau=plateau[careful]
                )
        body, after = after, body
    below = column([zone.below_zero for zone in zones])
    np.multiply(out, below, out=out, where=out < 0.0)
    return out.T.reshape(len(zones), n_years, n_days)


def _freezing_day(
    body: Floats, air: Floats, *, gain: Floats, plateau: Floats
) -> tuple[Floats, Floats]:
    """One day of bodies that freeze or thaw: heat content and mean temperature after it.

    All arrays have shape (n,). `gain` is the day in time constants. In air of one temperature
    a day has at most three phases, each solved exactly: the way to 0 °C, then freezing or
    melting, then the way on from 0 °C.
    """
    warming = air > 0.0
    sign = np.where(warming, 1.0, -1.0)
    strength = np.abs(air) + 1e-12
    water = np.minimum(np.maximum(body, -plateau), 0.0)  # 0 melted, −plateau frozen
    # Along the way that the air pulls: below zero is on this side of 0 °C, above is beyond it.
    ahead = sign * (body - water)
    times = np.empty((2, len(body)))  # of the way to 0 °C, and of the way on
    first, third = times
    np.minimum(np.log1p(np.maximum(-ahead, 0.0) / strength), gain, out=first)
    np.copyto(first, gain, where=ahead > 0.0)
    rest = gain - first
    room = np.where(warming, -water, water + plateau)
    second = np.minimum(rest, room / strength)
    np.subtract(rest, second, out=third)
    gone, gone_beyond = 1.0 - np.exp(-times)
    warmth = strength * (first + third - gone - gone_beyond) + ahead * gone
    at_end = np.where(rest > 0.0, strength * gone_beyond, ahead + (strength - ahead) * gone)
    shown = sign * at_end
    frozen = np.where(shown < 0.0, shown - plateau, water + sign * strength * second)
    return np.where(shown > 0.0, shown, frozen), sign * warmth / gain


def colder_than(
    root_c: NDArray[np.floating], *, zone: Ints, first: Ints, last: Floats, limit_c: Floats
) -> Bools:
    """Whether a day's mean of the root zone fell below a limit, shape (n, n_years).

    Limits are measured as what a bulb stands for 24 hours; a night's few coldest hours are not.
    root_c : daily means, shape (n_zones, n_years, n_days). zone, first : shape (n,); last :
    shape (n, n_years), NaN counts as the end of the axis.
    limit_c : shape (n,). One running count is made for each zone and limit that meet.
    """
    n_years, n_days = root_c.shape[1:]
    result = np.zeros((len(zone), n_years), dtype=bool)
    until = np.where(np.isfinite(last), np.ceil(last), n_days).astype(np.int64)
    until = np.clip(until, first[:, None], n_days)
    coldest = root_c.min(axis=(1, 2))
    years = np.arange(n_years)
    at_risk = np.flatnonzero(coldest[zone] < limit_c)
    # NumPy's own search for pairs loads its masked arrays, a tenth of a command's time.
    pairs = set(zip(zone[at_risk].tolist(), limit_c[at_risk].tolist(), strict=True))
    for zone_number, limit in sorted(pairs):
        counts = np.zeros((n_years, n_days + 1), dtype=np.int16)
        below = root_c[zone_number] < limit
        np.cumsum(below, axis=1, out=counts[:, 1:])
        which = at_risk[(zone[at_risk] == zone_number) & (limit_c[at_risk] == limit)]
        result[which] = counts[years, until[which]] > counts[years, first[which, None]]
    return result
