"""Growth of a shoot and ageing of a flower, by temperature and day length.

The growth rate is our own form: a power of the temperature above a base, held level above a
cap, in units of a day at 10 °C and twelve hours of light. Published degree-day methods stand
beside it in `degree_days.py`.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

_EQUINOX_H = 12.0
_TABLE_LOW_C = -60.0
_TABLE_HIGH_C = 70.0
_TABLE_STEP_C = 0.02


@dataclass(frozen=True, slots=True)
class GrowthLaw:
    """The constants that all cultivars share; fitted on dated sightings (see DEVELOPERS.md).

    base_c, power, cap_c : rate ∝ (T − base)^power up to the cap.
    day_length_power : rate also ∝ (day length / 12 h)^day_length_power; from the autumn equinox
    to midwinter the shortest day counts, since days that grow shorter hurry no spring flower.
    cooled_c : heat counts from the day on which the place's normal mean has fallen below it;
    where winter is hardly colder, below `over_coldest_c` above the coldest day's mean.
    summer_base_c, summer_power : rate of summer kinds, ∝ (T − base)^power without day length
    (bases of 2 to 6 °C are reported for lilies, gladioli and dahlias; from memory of the
    greenhouse literature).
    unmet_rate : part of the full rate at which a bulb without any cold develops.
    need_factor : cold weeks at which the rate is full, as a multiple of the handbook's best.
    ground_lag_days : lag of open ground at bulb depth behind the air.
    air_share : part of the air's temperature that the growing point feels, in ground and pot
    alike; the rest is the root zone's.
    model_sd_days : what the model itself misses, one standard deviation, beside the
    cultivar's and the garden's own uncertainty.
    """

    base_c: float = 0.6
    power: float = 1.3
    cap_c: float = 22.3
    day_length_power: float = 2.0
    unmet_rate: float = 0.08
    need_factor: float = 0.85
    ground_lag_days: float = 10.0
    air_share: float = 0.85
    model_sd_days: float = 2.0
    garden_sd_days: float = 3.0
    cooled_c: float = 7.0
    over_coldest_c: float = 2.5
    summer_base_c: float = 3.0
    summer_power: float = 1.0


def growth_rate(temp_c: ArrayLike, *, law: GrowthLaw) -> Floats:
    """Growth rate at a temperature, 1 at 10 °C. [days at 10 °C per day], any shape."""
    temp = np.asarray(temp_c, dtype=np.float64)
    above = np.maximum(np.minimum(temp, law.cap_c) - law.base_c, 0.0)
    return np.asarray((above / (10.0 - law.base_c)) ** law.power)


def summer_growth_rate(temp_c: ArrayLike, *, law: GrowthLaw) -> Floats:
    """Growth rate of a summer kind at a temperature, 1 at 10 °C. Any shape."""
    temp = np.asarray(temp_c, dtype=np.float64)
    above = np.maximum(np.minimum(temp, law.cap_c) - law.summer_base_c, 0.0)
    return np.asarray((above / (10.0 - law.summer_base_c)) ** law.summer_power)


def spring_light_h(day_length_h: ArrayLike) -> Floats:
    """Day length that counts for spring kinds: midwinter's from the autumn equinox on. [h]

    day_length_h : shape (n_days,), of consecutive days, a year of them or more.
    """
    hours = np.asarray(day_length_h, dtype=np.float64)
    shortens = np.gradient(hours) < 0.0
    return np.where(shortens & (hours < _EQUINOX_H), hours.min(), hours)


class RateTable:
    """A rate over temperature, tabulated: one look-up instead of a power for every value.

    The step is 0.02 °C, so a value is at most 0.01 °C off its place.
    """

    __slots__ = ("_values",)

    def __init__(self, values: Floats) -> None:
        self._values = values.astype(np.float32)

    @staticmethod
    def grid_c() -> Floats:
        """The temperatures at which the table holds values. [°C]"""
        return np.arange(_TABLE_LOW_C, _TABLE_HIGH_C, _TABLE_STEP_C)

    def __call__(self, temp_c: NDArray[np.float32]) -> NDArray[np.float32]:
        """Rates at temperatures between −60 and 70 °C (held level outside), any shape."""
        at = temp_c * np.float32(1.0 / _TABLE_STEP_C)
        at += np.float32(0.5 - _TABLE_LOW_C / _TABLE_STEP_C)
        return np.take(self._values, at.astype(np.int32), mode="clip")


def day_length_factor(day_length_h: ArrayLike, *, law: GrowthLaw) -> Floats:
    """Factor on the growth rate, 1 at twelve hours of light. [-], any shape."""
    return np.asarray((np.asarray(day_length_h, dtype=np.float64) / 12.0) ** law.day_length_power)


@dataclass(frozen=True, slots=True)
class AgeingLaw:
    """How fast open flowers and green leaves age: the rate grows `q10`-fold every 10 °C.

    q10 2.15 is the middle of the range reported for cut flowers (2.0 to 2.3; from memory of
    the post-harvest literature). full_share : part of a flower's life after which the layer
    stands at its best. leaf_days : days at 10 °C from the last flower to yellow leaves, six
    weeks at usual spring temperatures (common practice, no source), where the catalogue has none
    of the kind's own. winter_leaf_days : the same
    for autumn-flowering bulbs, whose leaves stand until spring; late_leaf_days : for those whose
    leaves come in spring and stand until early summer (both common practice, no source).
    nose_share : part of the way to flowering at which the shoot's tip shows above the compost,
    once it has had `nose_cold_share` of the cold for its full rate, and `nose_days` before the
    flower at the latest (all three judgement, no source).
    """

    q10: float = 2.15
    full_share: float = 1.0 / 3.0
    leaf_days: float = 46.0
    winter_leaf_days: float = 150.0
    late_leaf_days: float = 220.0
    nose_share: float = 0.30
    nose_cold_share: float = 0.7
    nose_days: float = 14.0


def ageing_rate(mean_c: ArrayLike, *, law: AgeingLaw) -> Floats:
    """Ageing per day, 1 at 10 °C. [days at 10 °C per day], any shape."""
    temp = np.asarray(mean_c, dtype=np.float64)
    return np.asarray(law.q10 ** ((np.maximum(temp, 0.0) - 10.0) / 10.0))
