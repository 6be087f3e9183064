"""What a site does to the air: a sunny wall, a frame, a greenhouse, a shed or garage until a day.

A shed follows the outside with the lag of its walls and floor. What leans against a heated
house lies between the air and the house, by the share that building standards call 1 − b.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.climate import WeatherYears

Floats = NDArray[np.float64]

HOUSE_C = 20.0
"""How warm a heated house is: internal design temperature of living rooms, EN 12831:2003. [°C]"""

_FORGOTTEN = 0.01  # days that weigh less than this in a lagged mean are left out


@dataclass(frozen=True, slots=True)
class SiteEffect:
    """How a site's air differs from the weather station's.

    tmin_offset_c, tmax_offset_c : added to the daily minimum and maximum. [°C]
    swing_factor : part of the daily swing that is left (a shed evens it out).
    from_day, until_day : axis days on which the pot comes in from the open, and goes out there
    again; None when it has always been there, or stays.
    vented_above_c : a maximum is not raised above this (a frame is opened on warm days).
    ground_share : part of the site's warmth that comes from the ground under its floor, which
    keeps the year's mean.
    lag_days : time in which walls and floor make up 63 % of a step of the outside's daily mean.
    house_share : part of the way from the outside up to a heated house's HOUSE_C.
    """

    tmin_offset_c: float = 0.0
    tmax_offset_c: float = 0.0
    swing_factor: float = 1.0
    until_day: int | None = None
    vented_above_c: float = 100.0
    ground_share: float = 0.0
    lag_days: float = 0.0
    house_share: float = 0.0
    from_day: int | None = None

    @property
    def is_open(self) -> bool:
        """Whether the air is simply the weather station's."""
        return self == SiteEffect(from_day=self.from_day, until_day=self.until_day)

    def lowest_c(self, low_c: Floats) -> Floats:
        """How cold a site gets when single nights in the open reach `low_c`, any shape. [°C]

        On the safe side: what lag and floor even out is left out.
        """
        low = low_c + self.tmin_offset_c
        return np.asarray(low + self.house_share * np.maximum(HOUSE_C - low, 0.0))


def _lagged(mean: Floats, days: float) -> Floats:
    """Daily means of a body of one time constant, shape (n_years, n_days); begins as the air.

    Each day weighs e^(−1/days) of the next one.
    """
    keep = math.exp(-1.0 / days)
    n = min(max(math.ceil(math.log(_FORGOTTEN) / math.log(keep)), 1), mean.shape[1])
    weights = keep ** np.arange(n)
    before = np.concatenate([np.repeat(mean[:, :1], n - 1, axis=1), mean], axis=1)
    total = np.zeros_like(mean)
    for back, weight in enumerate(weights):
        at = n - 1 - back
        total += weight * before[:, at : at + mean.shape[1]]
    return total / float(weights.sum())


def site_air(weather: WeatherYears, *, effect: SiteEffect) -> tuple[Floats, Floats]:
    """Daily minimum and maximum at a site, each of shape (n_years, n_days). [°C]"""
    low, high = weather.tmin_c, weather.tmax_c
    if effect.is_open:
        return low, high
    middle = 0.5 * (low + high)
    if effect.lag_days > 0.0:
        middle = _lagged(middle, effect.lag_days)
    if effect.ground_share > 0.0:
        yearly = middle[:, :365].mean()
        middle = middle + effect.ground_share * (yearly - middle)
    if effect.house_share > 0.0:
        middle = middle + effect.house_share * np.maximum(HOUSE_C - middle, 0.0)
    half = 0.5 * (high - low) * effect.swing_factor
    site_low = middle - half + effect.tmin_offset_c
    raised = middle + half + effect.tmax_offset_c
    site_high = np.where(
        effect.tmax_offset_c > 0.0,
        np.maximum(np.minimum(raised, effect.vented_above_c), middle + half),
        raised,
    )
    site_high = np.maximum(site_high, site_low + 0.1)
    if effect.from_day is None and effect.until_day is None:
        return site_low, site_high
    days = np.arange(low.shape[1])
    sheltered = np.ones(len(days), dtype=bool)
    if effect.from_day is not None:
        sheltered &= days >= effect.from_day
    if effect.until_day is not None:
        sheltered &= days < effect.until_day
    return np.where(sheltered, site_low, low), np.where(sheltered, site_high, high)
