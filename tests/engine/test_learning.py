"""Covariance of residuals, and which records are questioned."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.engine.learning import (
    error_covariance,
    oddness,
    questioned,
    shrink,
    weather_covariance,
)

PRIOR = np.array([4.0])


def common_weather(n: int, *, weather_sd: float = 6.0, seed: int = 1):
    return np.tile(np.random.default_rng(seed).normal(0.0, weather_sd, 21), (n, 1))


def covariance(n: int, *, weather_sd: float = 6.0, seed: int = 1):
    return error_covariance(
        common_weather(n, weather_sd=weather_sd, seed=seed),
        season=np.arange(n) // 5,
        cultivar=np.arange(n) % 5,
        cultivar_sd_days=np.full(n, 4.0),
        model_sd_days=2.0,
        seen_sd_days=np.full(n, 1.5),
    )


def odd_ones(residual, matrix, *, confirmed=(), weather_sd=6.0):
    n = len(residual)
    shared = weather_covariance(common_weather(n, weather_sd=weather_sd), season=np.arange(n) // 5)
    return np.flatnonzero(
        questioned(
            residual,
            design=np.ones((n, 1)),
            covariance=matrix,
            weather=shared,
            prior_sd_days=PRIOR,
            confirmed=np.isin(np.arange(n), confirmed),
        )
    ).tolist()


def test_what_records_share_stands_in_their_covariance() -> None:
    found = error_covariance(
        np.array([[1.0, -1.0], [2.0, -2.0], [1.0, -1.0]]),
        season=np.array([1, 1, 2]),
        cultivar=np.array([0, 1, 0]),
        cultivar_sd_days=np.array([3.0, 5.0, 3.0]),
        model_sd_days=2.0,
        seen_sd_days=np.array([1.0, 2.0, 1.5]),
    )
    # By hand: weather of one season, the cultivar everywhere, the model in one season.
    assert found == pytest.approx(
        np.array(
            [
                [2.0 + 9.0 + 4.0 + 1.0, 4.0, 9.0],
                [4.0, 8.0 + 25.0 + 4.0 + 4.0, 0.0],
                [9.0, 0.0, 2.0 + 9.0 + 4.0 + 2.25],
            ]
        )
    )


def test_recorded_weather_makes_records_weigh_more() -> None:
    ones = {"design": np.ones((10, 1)), "prior_sd_days": PRIOR}
    unknown = shrink(np.full(10, 5.0), covariance=covariance(10), **ones)
    known = shrink(np.full(10, 5.0), covariance=covariance(10, weather_sd=0.0), **ones)
    assert known.sd[0] < unknown.sd[0] < 4.0
    assert known.mean[0] > unknown.mean[0] > 0.0


@pytest.mark.parametrize("moved", [-31.0, -30.0, 30.0, 31.0])
@pytest.mark.parametrize("at", [0, 7, 14])
def test_a_record_moved_by_a_month_is_questioned_and_no_other(moved: float, at: int) -> None:
    matrix = covariance(15)
    seen = np.random.default_rng(3).multivariate_normal(np.full(15, 3.0), matrix)
    assert odd_ones(seen, matrix) == []
    seen[at] += moved
    assert odd_ones(seen, matrix) == [at]
    assert odd_ones(seen, matrix, confirmed=[at]) == []


def test_two_wrong_ones_do_not_hide_one_another() -> None:
    matrix = covariance(15)
    seen = np.random.default_rng(3).multivariate_normal(np.zeros(15), matrix)
    seen[[2, 3]] += 31.0
    assert odd_ones(seen, matrix) == [2, 3]


def test_a_whole_cold_spring_is_no_wrong_entry() -> None:
    matrix = covariance(15, weather_sd=8.0)
    seen = np.where(np.arange(15) // 5 == 1, 14.0, 0.0)
    assert odd_ones(seen, matrix, weather_sd=8.0) == []


@pytest.mark.parametrize("moved", [-40.0, -22.0, 25.0, 31.0, 60.0])
def test_five_wrong_ones_of_fifteen_that_agree_are_the_ones_questioned(moved: float) -> None:
    matrix = covariance(15)
    seen = np.random.default_rng(3).multivariate_normal(np.full(15, 3.0), matrix)
    wrong = [0, 3, 6, 9, 12]  # two, two and one of the three seasons' five
    seen[wrong] += moved
    assert odd_ones(seen, matrix) == wrong


def test_few_right_records_are_questioned() -> None:
    matrix = covariance(15)
    rng = np.random.default_rng(11)
    asked = sum(
        len(odd_ones(rng.multivariate_normal(np.full(15, rng.normal(0, 4)), matrix), matrix))
        for _ in range(200)
    )
    assert asked / 3000 < 0.01


def test_oddness_knows_far_off_and_a_month_off() -> None:
    one = oddness(np.array([30.0, 30.0, 21.0, 11.0]), sd_days=np.array([9.0, 20.0, 5.0, 4.0]))
    assert (one >= 1.0).tolist() == [True, False, True, False]


def test_no_record_leaves_the_prior() -> None:
    found = shrink(
        np.zeros(0), design=np.zeros((0, 1)), covariance=np.zeros((0, 0)), prior_sd_days=PRIOR
    )
    assert (found.mean[0], found.sd[0]) == (0.0, 4.0)


@settings(max_examples=100, deadline=None)
@given(
    st.lists(st.floats(-40.0, 40.0), min_size=1, max_size=30),
    st.floats(0.5, 20.0),
    st.floats(0.0, 10.0),
)
def test_the_offset_lies_between_none_and_the_mean(
    residuals: list[float], own_sd: float, shared_sd: float
) -> None:
    n = len(residuals)
    matrix = own_sd**2 * np.eye(n) + shared_sd**2
    found = shrink(
        np.array(residuals), design=np.ones((n, 1)), covariance=matrix, prior_sd_days=PRIOR
    )
    mean = float(np.mean(residuals))
    assert min(0.0, mean) - 1e-9 <= found.mean[0] <= max(0.0, mean) + 1e-9
    # Records that share an error never say more than that error allows.
    assert found.sd[0] >= (PRIOR[0] ** -2 + max(shared_sd, 1e-6) ** -2) ** -0.5 - 1e-9
