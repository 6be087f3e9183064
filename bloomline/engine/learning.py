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

from bloomline.engine.sorting import median

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]

QUESTION_SD = 3.0
"""A residual further off than this many standard deviations is questioned."""
MONTH_SD = 2.2
"""From here on a residual is questioned if a whole month explains it; judgement, no source."""
MONTH_DAYS = 30.4
_ROUNDS = 12
"""So often are records weighed anew; the weights hardly change any more."""


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


def part_of_errors(
    residual_days: Floats, *, whole: Floats, scale_days: Floats
) -> tuple[float, float]:
    """Posterior mean and standard deviation of one of the causes of errors, a standard normal.

    residual_days : (n,). whole : (n, n), their covariance with that cause and all others in it.
    scale_days : (n,), how many days it moves each, 0 for those that don't feel it. The textbook
    conditional of jointly normal variables: mean sᵀ W⁻¹ r, variance 1 − sᵀ W⁻¹ s; from memory.
    """
    solved = np.linalg.solve(whole, np.column_stack([residual_days, scale_days]))
    variance = 1.0 - float(scale_days @ solved[:, 1])
    return float(scale_days @ solved[:, 0]), float(np.sqrt(max(variance, 0.0)))


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
    one_season = season[:, None] == season
    one_cultivar = cultivar[:, None] == cultivar
    total = weather_covariance(weather_days, season=season)
    total += np.where(one_cultivar, np.outer(cultivar_sd_days, cultivar_sd_days), 0.0)
    total += np.where(one_season & one_cultivar, model_sd_days**2, 0.0)
    total[np.diag_indices(len(season))] += seen_sd_days**2
    return total


def weather_covariance(weather_days: Floats, *, season: Ints) -> Floats:
    """The weather's share of `error_covariance`: what all records of a season share, (n, n)."""
    if len(season) == 0:
        return np.zeros((0, 0))
    centred = weather_days - weather_days.mean(axis=1, keepdims=True)
    weather = centred @ centred.T / max(1, weather_days.shape[1] - 1)
    return np.where(season[:, None] == season, weather, 0.0)


def questioned(
    residual_days: Floats,
    *,
    design: Floats,
    covariance: Floats,
    weather: Floats,
    prior_sd_days: Floats,
    confirmed: Bools,
) -> Bools:
    """Which records don't agree with the others and with the forecast, shape (n,).

    The half that agrees best on the garden and on the weather of each season comes in first,
    then the rest one by one, that which agrees best with those that are in before the others;
    when the best of the rest is odd, all the rest is out. Wrong records are so not among those
    that the right ones are held against, as long as they are fewer and don't agree. Those that
    are in are then held against each other, and those out once more. weather : (n, n), the
    weather's share of the covariance. Records `confirmed` against the odds are not questioned,
    nor are others for their sake.
    """
    prior = (design * prior_sd_days**2) @ design.T
    whole = covariance + prior
    first = _best_half(residual_days, prior + weather, np.diag(covariance) - np.diag(weather))
    out = _left_out(residual_days, whole, first=first)
    _hold_against_each_other(out, residual_days, whole)
    _let_in_again(out, residual_days, whole)
    return out & ~confirmed


def _best_half(residual_days: Floats, common: Floats, own_variance: Floats) -> Bools:
    """The half of the records nearest to what most of them have in common, shape (n,).

    The posterior of the common part under errors with Laplace tails, whose one optimum the
    majority of each season decides; reached by reweighting (iteratively reweighted least
    squares, a textbook method; from memory).
    """
    sd = np.sqrt(np.maximum(own_variance, 1e-6))
    apart = np.zeros(len(residual_days))
    for _ in range(_ROUNDS):
        variance = sd * np.maximum(np.abs(apart), 0.1 * sd)
        total = common + np.diag(variance)
        apart = variance * np.linalg.solve(total, residual_days)
    far = np.abs(apart) / sd
    return np.asarray((far <= median(far)) & (far < QUESTION_SD))


def _left_out(residual_days: Floats, whole: Floats, *, first: Bools) -> Bools:
    """Which records stay outside when those that agree come in one by one, shape (n,).

    A record that comes in shifts what is expected of the rest, and narrows it: one step of a
    pivoted Cholesky factorisation, whose columns are made as they are wanted, so that all steps
    together cost what one solution does.
    """
    out = ~first
    rest = np.flatnonzero(out)
    apart, among = residual_days[rest], whole[np.ix_(rest, rest)]
    if first.any() and len(rest):
        gain = np.linalg.solve(whole[np.ix_(first, first)], whole[np.ix_(first, rest)])
        apart = apart - residual_days[first] @ gain
        among = among - whole[np.ix_(rest, first)] @ gain
    variance = np.diag(among).copy()
    factor = np.zeros((len(rest), len(rest)))
    outside = np.ones(len(rest), dtype=bool)
    for step in range(len(rest)):
        variance = np.maximum(variance, 1e-9)
        odd = np.where(outside, oddness(apart, sd_days=np.sqrt(variance)), np.inf)
        best = int(np.argmin(odd))
        if odd[best] >= 1.0:
            break
        outside[best] = False
        column = among[:, best] - factor[:, :step] @ factor[best, :step]
        apart = apart - column * (apart[best] / variance[best])
        factor[:, step] = column / np.sqrt(variance[best])
        variance = variance - factor[:, step] ** 2
    out[rest] = outside
    return out


def _hold_against_each_other(out: Bools, residual_days: Floats, whole: Floats) -> None:
    """Take out those that are in and don't agree with all others that are, the oddest first."""
    kept = np.flatnonzero(~out)
    if len(kept) == 0:
        return
    inverse = np.linalg.inv(whole[np.ix_(kept, kept)])
    while len(kept):
        variance = 1.0 / np.diag(inverse)
        apart = (inverse @ residual_days[kept]) * variance
        odd = oddness(apart, sd_days=np.sqrt(variance))
        worst = int(np.argmax(odd))
        if odd[worst] < 1.0:
            return
        out[kept[worst]] = True
        # Without one of them: the inverse of a matrix that lacks a row and a column (Schur).
        others = np.delete(np.arange(len(kept)), worst)
        row = inverse[worst, others]
        inverse = inverse[np.ix_(others, others)] - np.outer(row, row) / inverse[worst, worst]
        kept = kept[others]


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
