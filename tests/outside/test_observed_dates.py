"""Forecasts against published first-flower dates of bulbs planted under one protocol.

Source: reports of the school gardens of a citizen science programme (Journey North, University
of Wisconsin-Madison Arboretum), sightings of quality A in shared/observations/. Single years
are held against the median of all weather years, so most of the error is the year's weather.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from observed import Outcome, crps, errors, new_red_emperors, outcomes
from scipy import stats

from bloomline.plan.forecast.forecaster import Forecaster


@pytest.fixture(scope="module")
def red_emperors() -> list[Outcome]:
    return outcomes(forecaster=Forecaster(), only=new_red_emperors())


def _errors(found: list[Outcome]) -> NDArray[np.float64]:
    return np.array([each.error_days for each in found], dtype=float)


def test_the_set_is_large_enough(red_emperors: list[Outcome]) -> None:
    assert len(red_emperors) >= 25
    assert len({each.seen.place for each in red_emperors}) >= 20


def test_median_error_is_within_two_days(red_emperors: list[Outcome]) -> None:
    assert abs(np.median(_errors(red_emperors))) <= 2.0


@pytest.mark.parametrize("aside", ["fit", "held_out"])
def test_mean_absolute_error_is_about_a_week(red_emperors: list[Outcome], aside: str) -> None:
    # One bulb's first day in one year: the years at one place alone (Newport News, Virginia)
    # spread by five days.
    found = [each for each in red_emperors if each.seen.aside == aside]
    assert len(found) >= 12
    assert np.abs(_errors(found)).mean() <= (8.5 if aside == "fit" else 6.5)


def test_the_band_holds_what_it_promises(red_emperors: list[Outcome]) -> None:
    inside = np.mean([each.inside for each in red_emperors])
    assert 0.75 <= inside <= 0.90


def test_better_than_degree_days_and_than_the_date_itself(red_emperors: list[Outcome]) -> None:
    own = np.abs(_errors(red_emperors)).mean()
    plain = np.abs([each.degree_day_error for each in red_emperors]).mean()
    date_only = np.abs([each.reference_date_error for each in red_emperors]).mean()
    assert own < 0.5 * plain
    assert own < 0.5 * date_only


def test_cold_and_mild_places_err_alike(red_emperors: list[Outcome]) -> None:
    north = [e.error_days for e in red_emperors if e.seen.latitude_deg >= 42.0]
    south = [e.error_days for e in red_emperors if e.seen.latitude_deg < 42.0]
    assert abs(np.median(north) - np.median(south)) <= 6.0


@pytest.mark.parametrize("seen", [-1.5, 0.0, 0.8])
def test_the_score_agrees_with_its_closed_form(seen: float) -> None:
    # Of a normal distribution: y (2 Phi(y) - 1) + 2 phi(y) - 1/sqrt(pi) (Gneiting & Raftery
    # 2007, Journal of the American Statistical Association 102, example after eq. 21).
    sample = stats.norm.ppf((np.arange(4000) + 0.5) / 4000)
    exact = seen * (2 * stats.norm.cdf(seen) - 1) + 2 * stats.norm.pdf(seen) - np.pi**-0.5
    assert crps(sample, seen) == pytest.approx(exact, abs=0.002)
    assert crps(np.array([2.0, 2.0]), seen) == pytest.approx(abs(2.0 - seen))


def test_errors_for_a_fit_are_those_of_the_tables(red_emperors: list[Outcome]) -> None:
    rows = {row.id: row for row in errors(Forecaster(), aside="held_out")}
    assert {row.aside for row in rows.values()} == {"held_out"}
    assert {row.table for row in rows.values()} == {"sighting", "usual season"}
    judged = [each for each in red_emperors if each.seen.aside == "held_out"]
    assert all(rows[each.seen.id].error_days == each.error_days for each in judged)
