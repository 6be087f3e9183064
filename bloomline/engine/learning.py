"""A garden's own offset from what was seen there: shrinkage with known variances, pure.

Residuals are days seen minus days forecast. What they have in common (a season's weather, a
cultivar's table date) stands in their covariance, so ten records of one mild spring weigh
hardly more than one. With a normal prior and normal errors the answer is a closed form:

    posterior precision = P⁻¹ + Xᵀ V⁻¹ X;   posterior mean = precision⁻¹ Xᵀ V⁻¹ r

For one effect and independent errors this is the textbook mean r̄ · τ² / (τ² + σ²/n). Source:
Bayes' rule for the normal mean with known variance, as in any textbook of Bayesian data
analysis; from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

QUESTION_SD = 4.0
"""A residual further off than this many standard deviations is questioned."""
MONTH_SD = 2.2
"""From here on a residual is questioned if a whole month explains it; judgement, no source."""
MONTH_DAYS = 30.4


@dataclass(frozen=True, slots=True)
class Effects:
    """Posterior of the effects. mean : shape (k,) [days]. covariance : (k, k) [days²]."""

    mean: Floats
    covariance: Floats

    @property
    def sd(self) -> Floats:
        """Standard deviations, shape (k,)."""
        return np.asarray(np.sqrt(np.diag(self.covariance)))


def shrink(
    residual_days: Floats, *, design: Floats, covariance: Floats, prior_sd_days: Floats
) -> Effects:
    """Posterior of effects with independent normal priors round 0.

    residual_days : (n,). design : (n, k), which effects a record feels. covariance : (n, n) of
    the errors, positive definite. prior_sd_days : (k,), all above 0.
    """
    prior = np.diag(prior_sd_days**2)
    if len(residual_days) == 0:
        return Effects(np.zeros(len(prior_sd_days)), prior)
    whitened = np.linalg.solve(covariance, np.column_stack([design, residual_days]))
    precision = np.diag(prior_sd_days**-2.0) + design.T @ whitened[:, :-1]
    posterior = np.linalg.inv(precision)
    mean = np.asarray(posterior @ (design.T @ whitened[:, -1]), dtype=np.float64)
    return Effects(mean, np.asarray(0.5 * (posterior + posterior.T), dtype=np.float64))


def error_covariance(
    weather_days: Floats,
    *,
    season: Ints,
    cultivar: Ints,
    cultivar_sd_days: Floats,
    model_sd_days: float,
    seen_sd_days: Floats,
) -> Floats:
    """Covariance of the residuals about the garden's offset, shape (n, n) [days²].

    weather_days : (n, n_years), the forecast of each record in every weather year; its spread
    is the weather's share, zero where the weather is recorded. Records of one season share the
    weather as far as the weather years say so. cultivar_sd_days : (n,), shared by all records
    of a cultivar. model_sd_days : shared by records of one cultivar in one season.
    seen_sd_days : (n,), each record's own.
    """
    n = len(season)
    if n == 0:
        return np.zeros((0, 0))
    one_season = season[:, None] == season
    one_cultivar = cultivar[:, None] == cultivar
    centred = weather_days - weather_days.mean(axis=1, keepdims=True)
    weather = centred @ centred.T / max(1, weather_days.shape[1] - 1)
    total: Floats = np.where(one_season, weather, 0.0)
    total += np.where(one_cultivar, np.outer(cultivar_sd_days, cultivar_sd_days), 0.0)
    total += np.where(one_season & one_cultivar, model_sd_days**2, 0.0)
    total[np.arange(n), np.arange(n)] += seen_sd_days**2
    return total


def questioned(
    residual_days: Floats,
    *,
    design: Floats,
    covariance: Floats,
    prior_sd_days: Floats,
    confirmed: Bools,
) -> Bools:
    """Which records don't agree with the others and with the forecast, shape (n,).

    Records come in one by one, the one that agrees best with the forecast and those that are in
    already first; when the best of the rest is odd, all the rest is out. Wrong records are so
    never among those the right ones are held against, as long as fewer than half are wrong.
    Those that are in are then held against each other, and those out once more. Records
    `confirmed` against the odds are not questioned, nor are others for their sake.
    """
    whole = covariance + (design * prior_sd_days**2) @ design.T
    out = _left_out(residual_days, whole)
    while True:
        kept = np.flatnonzero(~out)
        if len(kept) == 0:
            break
        inverse = np.linalg.inv(whole[np.ix_(kept, kept)])
        variance = 1.0 / np.diag(inverse)
        apart = (inverse @ residual_days[kept]) * variance
        odd = oddness(apart, sd_days=np.sqrt(variance))
        worst = int(np.argmax(odd))
        if odd[worst] < 1.0:
            break
        out[kept[worst]] = True
    _let_in_again(out, residual_days, whole)
    return out & ~confirmed


def _left_out(residual_days: Floats, whole: Floats) -> Bools:
    """Which records stay outside when those that agree come in one by one, shape (n,).

    A record that comes in shifts what is expected of the rest, and narrows it: one step of a
    pivoted Cholesky factorisation, so that all steps together cost what one solution does.
    """
    out = np.ones(len(residual_days), dtype=bool)
    apart = np.array(residual_days, dtype=np.float64)
    rest = np.array(whole, dtype=np.float64)
    for _ in range(len(residual_days)):
        variance = np.maximum(np.diag(rest), 1e-9)
        odd = np.where(out, oddness(apart, sd_days=np.sqrt(variance)), np.inf)
        best = int(np.argmin(odd))
        if odd[best] >= 1.0:
            break
        out[best] = False
        gain = rest[:, best] / variance[best]
        apart -= gain * apart[best]
        rest -= np.outer(gain, rest[best])
    return out


def _let_in_again(out: Bools, residual_days: Floats, whole: Floats) -> None:
    kept = np.flatnonzero(~out)
    gone = np.flatnonzero(out)
    if len(kept) == 0 or len(gone) == 0:
        return
    weights = np.linalg.solve(whole[np.ix_(kept, kept)], whole[np.ix_(kept, gone)])
    variance = np.diag(whole)[gone] - np.einsum("kg,kg->g", weights, whole[np.ix_(kept, gone)])
    apart = residual_days[gone] - residual_days[kept] @ weights
    out[gone] = oddness(apart, sd_days=np.sqrt(variance)) >= 1.0


def oddness(apart_days: Floats, *, sd_days: Floats) -> Floats:
    """How odd a record is, 1 and more to be questioned: far off, or a whole month off."""
    distance = np.abs(apart_days) / sd_days
    month = np.abs(np.abs(apart_days) - MONTH_DAYS) <= np.maximum(0.8 * sd_days, 2.0)
    return np.asarray(
        np.where(month & (distance >= MONTH_SD), 1.0 + distance, distance / QUESTION_SD)
    )
