"""What a site does to the air: a sunny wall, a frame, a greenhouse, a shed until a day."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.climate import WeatherYears

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SiteEffect:
    """How a site's air differs from the weather station's.

    tmin_offset_c, tmax_offset_c : added to the daily minimum and maximum. [°C]
    swing_factor : part of the daily swing that is left (a shed evens it out).
    until_day : axis day on which the pot moves into the open; None when it stays.
    vented_above_c : a maximum is not raised above this (a frame is opened on warm days).
    ground_share : part of the site's warmth that comes from the ground under its floor, which
    keeps the year's mean.
    """

    tmin_offset_c: float = 0.0
    tmax_offset_c: float = 0.0
    swing_factor: float = 1.0
    until_day: int | None = None
    vented_above_c: float = 100.0
    ground_share: float = 0.0

    @property
    def is_open(self) -> bool:
        """Whether the air is simply the weather station's."""
        return self == SiteEffect(until_day=self.until_day)


def site_air(weather: WeatherYears, *, effect: SiteEffect) -> tuple[Floats, Floats]:
    """Daily minimum and maximum at a site, each of shape (n_years, n_days). [°C]"""
    low, high = weather.tmin_c, weather.tmax_c
    if effect.is_open:
        return low, high
    middle = 0.5 * (low + high)
    if effect.ground_share > 0.0:
        yearly = middle[:, :365].mean()
        middle = middle + effect.ground_share * (yearly - middle)
    half = 0.5 * (high - low) * effect.swing_factor
    site_low = middle - half + effect.tmin_offset_c
    raised = middle + half + effect.tmax_offset_c
    site_high = np.where(
        effect.tmax_offset_c > 0.0,
        np.maximum(np.minimum(raised, effect.vented_above_c), middle + half),
        raised,
    )
    site_high = np.maximum(site_high, site_low + 0.1)
    if effect.until_day is None:
        return site_low, site_high
    sheltered = np.arange(low.shape[1]) < effect.until_day
    return np.where(sheltered, site_low, low), np.where(sheltered, site_high, high)
