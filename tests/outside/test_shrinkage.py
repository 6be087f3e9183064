"""The yard's offset against the textbook's normal mean with known variances.

Source: Bayes' rule for a normal mean with known variance under a normal prior, as in any
textbook of Bayesian data analysis (from memory): with prior N(0, τ²) and n values of mean r̄ and
standard deviation σ, the posterior is N(r̄ τ²/(τ² + σ²/n), 1/(1/τ² + n/σ²)).
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import multivariate_normal

from bloomline.engine.learning import error_covariance, shrink


@pytest.mark.parametrize("n", [1, 3, 10, 30])
@pytest.mark.parametrize("sigma", [4.0, 6.0])
def test_independent_records_give_the_textbook_mean_and_variance(n: int, sigma: float) -> None:
    tau = 4.0
    seen = np.random.default_rng(n).normal(5.0, sigma, n)
    found = shrink(
        seen,
        design=np.ones((n, 1)),
        covariance=np.eye(n) * sigma**2,
        prior_sd_days=np.array([tau]),
    )
    assert found.mean[0] == pytest.approx(seen.mean() * tau**2 / (tau**2 + sigma**2 / n))
    assert found.sd[0] ** 2 == pytest.approx(1.0 / (1.0 / tau**2 + n / sigma**2))


def test_one_record_moves_little_and_ten_move_most() -> None:
    def moved(n: int) -> float:
        one = {"design": np.ones((n, 1)), "covariance": np.eye(n) * 25.0}
        return float(shrink(np.ones(n), **one, prior_sd_days=np.array([4.0])).mean[0])

    assert moved(1) == pytest.approx(16 / 41)  # by hand: 16/(16 + 25)
    assert moved(10) == pytest.approx(16 / 18.5)


def test_a_fully_shared_error_makes_ten_records_one() -> None:
    shared = np.full((10, 10), 25.0) + np.eye(10) * 1e-9
    found = shrink(
        np.full(10, 6.0),
        design=np.ones((10, 1)),
        covariance=shared,
        prior_sd_days=np.array([4.0]),
    )
    assert found.mean[0] == pytest.approx(6.0 * 16 / 41, abs=1e-6)


def test_correlated_records_against_a_numerical_posterior() -> None:
    rng = np.random.default_rng(7)
    weather = rng.normal(0.0, 7.0, (6, 21))
    covariance = error_covariance(
        weather,
        season=np.array([1, 1, 1, 2, 2, 2]),
        cultivar=np.array([0, 0, 1, 0, 1, 2]),
        cultivar_sd_days=np.full(6, 5.0),
        model_sd_days=2.0,
        seen_sd_days=np.full(6, 1.5),
    )
    seen = rng.normal(3.0, 8.0, 6)
    grid = np.linspace(-30.0, 30.0, 6001)
    density = multivariate_normal(np.zeros(6), covariance).logpdf(seen - grid[:, None])
    weight = np.exp(density - 0.5 * (grid / 4.0) ** 2 - density.max())
    weight /= weight.sum()
    mean = float(weight @ grid)
    found = shrink(
        seen, design=np.ones((6, 1)), covariance=covariance, prior_sd_days=np.array([4.0])
    )
    assert found.mean[0] == pytest.approx(mean, abs=1e-4)
    assert found.sd[0] == pytest.approx(float(np.sqrt(weight @ (grid - mean) ** 2)), abs=1e-4)
