"""Autumn kinds: they open as the year cools, and never by planting or by a warm year's calendar."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.engine.autumn import AutumnLaw, autumn_opening, cooled_on

LAW = AutumnLaw()
DAYS = np.arange(600)


def year_of(warmest_c, coldest_c, *, warmest_day=50):
    """Smooth means of a place, warmest about 20 July; shape (1, 1, 600)."""
    swing = 0.5 * (warmest_c - coldest_c)
    angle = 2 * np.pi * (DAYS - warmest_day) / 365
    return (0.5 * (warmest_c + coldest_c) + swing * np.cos(angle))[None, None, :]


def opening(mean_c, usual=139.5, cooled=100.0):
    return autumn_opening(
        mean_c,
        site=np.array([0]),
        usual_start=np.array([usual]),
        cooled=np.array([cooled]),
        law=LAW,
    )[0, 0]


def test_the_air_has_cooled_when_its_trailing_mean_has():
    mean = year_of(25.0, 5.0)
    day = int(cooled_on(mean, year=0, law=LAW)[0, 0])
    smooth = mean[0, 0, day - LAW.window_days + 1 : day + 1].mean()
    before = mean[0, 0, day - LAW.window_days : day].mean()
    assert smooth <= LAW.cooled_c < before
    assert cooled_on(mean, year=1, law=LAW)[0, 0] == pytest.approx(day + 365, abs=1)


def test_a_place_that_cools_later_opens_later_by_a_share_and_at_most_so_much():
    london, south = year_of(19.0, 5.0), year_of(27.0, 7.0)
    here, there = (cooled_on(each, year=0, law=LAW)[0, 0] for each in (london, south))
    apart = opening(south, cooled=here) - opening(london, cooled=here)
    assert apart == pytest.approx(min(LAW.share * (there - here), LAW.most_days))
    assert apart > 5
    assert opening(year_of(30.0, 12.0), cooled=0.0) == pytest.approx(139.5 + LAW.most_days)


def test_a_cool_summer_does_not_bring_the_flower_in_july():
    # Never at 16 °C, or only in July: the place's own fall counts instead.
    cool = opening(year_of(15.0, 3.0), cooled=100.0)
    assert abs(cool - 139.5) < 10


def test_nothing_opens_where_the_air_stays_hot():
    assert np.isnan(opening(year_of(29.0, 22.5)))
    assert np.isfinite(opening(year_of(29.0, 12.0)))


@given(st.floats(-2.0, 2.0), st.floats(13.0, 30.0), st.floats(-10.0, 12.0))
@settings(max_examples=60)
def test_a_warmer_autumn_never_opens_earlier(warmer, warmest, coldest):
    mean = year_of(warmest, min(coldest, warmest - 5.0))
    both = np.concatenate([mean, mean + np.where(DAYS > 60, abs(warmer), 0.0)], axis=1)
    first, second = autumn_opening(
        both,
        site=np.array([0]),
        usual_start=np.array([139.5]),
        cooled=np.array([100.0]),
        law=LAW,
    )[0]
    assert np.isnan(second) or second >= first - 1e-9
