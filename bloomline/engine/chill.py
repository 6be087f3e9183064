"""Cold summed the ways growers and bulb forcers count it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

CHILL_HOUR_MAX_C = 7.2
"""Warmest temperature of a chill hour [°C], 45 °F: Weinberger (1950)."""

# Upper edges of the classes [°C] and the unit that an hour in each class earns: Richardson,
# Seeley & Walker (1974), table 1. The last class has no upper edge.
_UTAH_UPPER_EDGE_C = np.array([1.4, 2.4, 9.1, 12.4, 15.9, 18.0])
_UTAH_UNIT = np.array([0.0, 0.5, 1.0, 0.5, 0.0, -0.5, -1.0])

# Dynamic model: Fishman, Erez & Couvillon (1987), constants as tabulated by Luedeling et al.
# (2009), Agricultural and Forest Meteorology 149, 1854-1864.
_E0_K = 4153.5
_E1_K = 12888.8
_A0_PER_H = 139500.0
_A1_PER_H = 2.567e18
_SLOPE = 1.6
_TRANSITION_K = 277.0
# The authors' own worksheets add 273, not 273.15; stated needs in portions were found that way.
_KELVIN_OFFSET = 273.0


@dataclass(frozen=True)
class ColdResponse:
    """How much an hour or day at a temperature counts towards a bulb's cold need, a trapezoid.

    0 up to `none_below_c`, rising to 1 at `full_from_c`, 1 to `full_to_c`, falling to 0 at
    `none_above_c` [°C]. Source: bulb-forcing handbooks state the need in weeks at 2-9 °C (Holland
    Bulb Forcer's Guide, International Flower Bulb Centre; from memory); the slopes on either side
    are an assumption with which observed first-flower dates are met.
    Raises ValueError where the four temperatures are not in rising order.
    """

    none_below_c: float = -3.0
    full_from_c: float = 0.0
    full_to_c: float = 9.0
    none_above_c: float = 14.0

    def __post_init__(self) -> None:
        if not self.none_below_c < self.full_from_c <= self.full_to_c < self.none_above_c:
            raise ValueError(
                "a cold response needs none_below_c < full_from_c <= full_to_c < none_above_c, "
                f"not {self.none_below_c}, {self.full_from_c}, {self.full_to_c}, "
                f"{self.none_above_c} °C"
            )


DEFAULT_COLD_RESPONSE = ColdResponse()


def chill_hours(temp_c: ArrayLike) -> FloatArray:
    """Running sum of hours above 0 and up to 7.2 °C [h].

    `temp_c` and the result: (..., n_hours), hourly. Source: Weinberger (1950), Proc. Am. Soc.
    Hort. Sci. 56, 122-128, with the lower limit at freezing that later users added.
    """
    temperature = np.asarray(temp_c, dtype=np.float64)
    counts = (temperature > 0.0) & (temperature <= CHILL_HOUR_MAX_C)
    return np.cumsum(np.where(np.isnan(temperature), np.nan, counts), axis=-1)


def utah_units(temp_c: ArrayLike) -> FloatArray:
    """Running sum of Utah chill units [chill unit]; falls in warm hours.

    `temp_c` and the result: (..., n_hours), hourly. Source: Richardson, Seeley & Walker (1974),
    HortScience 9(4), 331-332. Sums start where the series starts: the source starts them in
    autumn when the sum is at its lowest.
    """
    temperature = np.asarray(temp_c, dtype=np.float64)
    units = _UTAH_UNIT[np.searchsorted(_UTAH_UPPER_EDGE_C, temperature, side="left")]
    return np.cumsum(np.where(np.isnan(temperature), np.nan, units), axis=-1)


def chill_portions(temp_c: ArrayLike) -> FloatArray:
    """Running sum of chill portions [chill portion] of the Dynamic model; never falls.

    `temp_c` and the result: (..., n_hours), hourly, at least one hour. An intermediate made by
    cold and unmade by warmth turns, once it reaches 1, partly into a portion that stays. It is 0
    in the first hour. A missing value makes the rest of its series missing.

    Source: Fishman, Erez & Couvillon (1987), J. Theor. Biol. 124, 473-483; constants and order
    of the steps as Luedeling et al. (2009), doi:10.1016/j.agrformet.2009.06.013.
    """
    temperature = np.asarray(temp_c, dtype=np.float64)
    if temperature.ndim == 0 or temperature.shape[-1] == 0:
        raise ValueError("chill_portions needs an axis of at least one hour")
    # Hours first, so that each pass of the loop reads and writes one unbroken row.
    kelvin = np.ascontiguousarray(np.moveaxis(temperature, -1, 0)) + _KELVIN_OFFSET
    hours = kelvin.shape[0]
    kelvin = kelvin.reshape(hours, -1)
    converted = 1.0 / (1.0 + np.exp(-_SLOPE * _TRANSITION_K * (kelvin - _TRANSITION_K) / kelvin))
    balance = (_A0_PER_H / _A1_PER_H) * np.exp((_E1_K - _E0_K) / kelvin)
    left = np.exp(-_A1_PER_H * np.exp(-_E1_K / kelvin))
    made = balance * (1.0 - left)
    kept = 1.0 - converted

    intermediate = np.zeros_like(kelvin)
    carried = np.zeros(kelvin.shape[1])
    for hour in range(1, hours):
        level = intermediate[hour]
        np.multiply(carried, left[hour], out=level)
        level += made[hour]
        np.copyto(carried, level)
        np.multiply(level, kept[hour], out=carried, where=level >= 1.0)

    earned = np.where(intermediate < 1.0, 0.0, intermediate * converted)
    portions = np.cumsum(earned, axis=0).reshape((hours, *temperature.shape[:-1]))
    return np.ascontiguousarray(np.moveaxis(portions, 0, -1))


def bulb_cold_weight(
    temp_c: ArrayLike, *, response: ColdResponse = DEFAULT_COLD_RESPONSE
) -> FloatArray:
    """How much time at these root-zone temperatures counts as cold, 0 to 1, any shape."""
    temperature = np.asarray(temp_c, dtype=np.float64)
    rising = (temperature - response.none_below_c) / (response.full_from_c - response.none_below_c)
    falling = (response.none_above_c - temperature) / (response.none_above_c - response.full_to_c)
    weight: FloatArray = np.clip(np.minimum(rising, falling), 0.0, 1.0)
    return weight


def bulb_cold_weeks(
    temp_c: ArrayLike,
    *,
    steps_per_day: int = 1,
    prechill_weeks: ArrayLike = 0.0,
    response: ColdResponse = DEFAULT_COLD_RESPONSE,
) -> FloatArray:
    """Running sum of bulb cold weeks [week] from planting, weeks in the refrigerator included.

    `temp_c`: root-zone temperature (..., n_steps) with `steps_per_day` even steps a day; the
    result has the same shape. `prechill_weeks` [week] broadcasts to the leading axes.
    """
    if steps_per_day < 1:
        raise ValueError(f"steps_per_day must be at least 1, not {steps_per_day}")
    weeks = np.cumsum(bulb_cold_weight(temp_c, response=response), axis=-1) / (7.0 * steps_per_day)
    total: FloatArray = weeks + np.asarray(prechill_weeks, dtype=np.float64)[..., np.newaxis]
    return total
