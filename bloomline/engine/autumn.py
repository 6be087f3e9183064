"""Autumn-flowering bulbs: they open as the year cools, near a day that the season sets.

Flowers formed in summer's warmth stand ready in the bulb and emerge as it cools: those of
saffron at 15 to 17 °C (Molina et al. 2005, Scientia Horticulturae 103, 361–379). Yet the day
moves far less from place to place than the day on which the air passes that mark, since the
shortening day is everywhere the same. So a kind opens on its usual day, moved by a share of the
days by which the place cools later, or earlier, than the reference garden.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.sorting import distinct

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

_YEAR_DAYS = 365
_WARMEST_DAY = 50  # of the axis: about 20 July in the north
_LOOK_BEFORE_DAYS, _LOOK_DAYS = 30, 90  # around the usual day, for whether it cools at all


@dataclass(frozen=True, slots=True)
class AutumnLaw:
    """How autumn kinds follow the cooling of the year.

    cooled_c : the mean of the last `window_days` that says the year has cooled; the middle of the
    15 to 17 °C of Molina et al. (2005). below_warmest_c : where summer is hardly warmer than
    that, it has cooled when so far below the place's warmest mean (judgement). share : part of a
    place's lead or delay that moves the flower, and most_days : the most it can be moved (both
    judgement, chosen on the saffron harvests and the usual seasons under shared/observations).
    never_c : where the mean stays above it in the months around the usual day, nothing opens
    (judgement: flowers of saffron form at 23 to 27 °C and stay in the bulb there). nose_days :
    from nose to flower (common practice, no source).
    """

    cooled_c: float = 16.0
    below_warmest_c: float = 2.0
    window_days: int = 20
    share: float = 0.2
    most_days: float = 20.0
    never_c: float = 21.0
    nose_days: float = 8.0


def _trailing_mean_c(mean_c: Floats, *, days: int) -> Floats:
    """Mean of a day and those before it, shape as given; fewer days at the beginning."""
    running = np.cumsum(mean_c, axis=-1)
    out = running.copy()
    out[..., days:] -= running[..., :-days]
    counts = np.minimum(np.arange(1, mean_c.shape[-1] + 1), days)
    return np.asarray(out / counts)


def cooled_on(mean_c: Floats, *, year: int, law: AutumnLaw) -> Floats:
    """Axis day on which the air has cooled after the warmest time of a year of the axis.

    mean_c : daily mean of the air, shape (n, n_years, n_days). year : 0 for the axis' first
    summer, 1 for its second. Where the air never cools so far, the coldest day of the next half
    year. Shape (n, n_years).
    """
    first = min(_WARMEST_DAY + year * _YEAR_DAYS, mean_c.shape[-1] - 2)
    smooth = _trailing_mean_c(mean_c, days=law.window_days)[..., first : first + _YEAR_DAYS // 2]
    warmest = smooth.mean(axis=1).max(axis=-1)
    cool = smooth <= np.minimum(law.cooled_c, warmest - law.below_warmest_c)[:, None, None]
    hit = np.where(cool.any(axis=-1), cool.argmax(axis=-1), smooth.argmin(axis=-1))
    return np.asarray(hit + first, dtype=np.float64)


def autumn_opening(
    mean_c: Floats, *, site: Ints, usual_start: Floats, cooled: Floats, law: AutumnLaw
) -> Floats:
    """Axis day of first flower in each weather year, NaN where it stays too warm, (n, n_years).

    mean_c : daily mean of the air at each site, shape (n_sites, n_years, n_days); site : shape
    (n,), which of them. usual_start : axis day on which each kind opens at the reference garden;
    cooled : that on which the air has cooled there, both shape (n,).
    """
    years = np.asarray(usual_start >= _WARMEST_DAY + _YEAR_DAYS - 30, dtype=np.int64)
    here = np.empty((len(site), mean_c.shape[1]))
    for year in distinct(years):
        by_site = cooled_on(mean_c, year=int(year), law=law)
        rows = years == year
        here[rows] = by_site[site[rows]]
    moved = np.clip(law.share * (here - cooled[:, None]), -law.most_days, law.most_days)
    opens = usual_start[:, None] + moved
    return np.where(_stays_warm(mean_c, site=site, usual_start=usual_start, law=law), np.nan, opens)


def _stays_warm(mean_c: Floats, *, site: Ints, usual_start: Floats, law: AutumnLaw) -> Bools:
    """Whether the air stays too warm for flowers around their usual day, shape (n, n_years)."""
    smooth = _trailing_mean_c(mean_c, days=law.window_days)
    first = np.maximum(usual_start.astype(np.int64) - _LOOK_BEFORE_DAYS, 0)
    spans = [smooth[s, :, a : a + _LOOK_DAYS] for s, a in zip(site, first, strict=True)]
    return np.array([span.min(axis=-1) > law.never_c for span in spans])
