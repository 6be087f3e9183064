"""How expected dates move as a season's weather comes in."""

from __future__ import annotations

import itertools
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from asking import outlook

from bloomline.engine.climate import curve_on_days, lapse_c
from bloomline.errors import StoppedError
from bloomline.files.yardfile import load_yard
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.climate.weather import RecordedWeather
from bloomline.plan.season.drift import cutoffs_of, departure, drift, so_far
from bloomline.plan.season.yard import season_report

DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"


@pytest.fixture(scope="module")
def yard():
    return load_yard(DEMO).yard


def weather(yard, *, warmer_c, first, n_days):
    """Invented: the place's normal days, warmer by so much."""
    garden = garden_of(yard.place)
    days = np.datetime64(first, "D") + np.arange(n_days)
    low, high = curve_on_days(np.array([garden.tmin_c, garden.tmax_c]), days)
    by = float(lapse_c(garden.rise_m)) + warmer_c
    return RecordedWeather(days, low + by, high + by)


def test_a_warm_winter_brings_dates_forward_week_by_week(yard):
    recorded = weather(yard, warmer_c=3.0, first=date(2026, 10, 1), n_days=151)
    told = []
    found = drift(outlook(yard, recorded=recorded), progress=told.append)
    assert found.cutoffs[0] == date(2026, 9, 30)
    assert found.cutoffs[-1] == date(2027, 2, 28)
    assert told[-1] == 1.0
    assert told == sorted(told)
    tulip = next(each for each in found.layers if each.name == "Tulipa 'Shirley'")
    assert tulip.moved_days is not None
    assert tulip.moved_days < -5
    first, last = tulip.expected[0], tulip.expected[-1]
    assert first is not None
    assert last is not None
    assert (last.p90 - last.p10) < (first.p90 - first.p10)  # what is known no longer spreads


def test_its_ends_are_the_seasons_without_and_with_the_weather(yard):
    recorded = weather(yard, warmer_c=-2.0, first=date(2026, 11, 1), n_days=100)
    found = drift(outlook(yard, recorded=recorded))
    before = {x.layer_id: x.start for x in season_report(outlook(yard)).layers}
    after = {x.layer_id: x.start for x in season_report(outlook(yard, recorded=recorded)).layers}
    for layer in found.layers:
        assert layer.expected[0] == before[layer.layer_id]
        assert layer.expected[-1] == after[layer.layer_id]


def test_cutoffs_are_weeks_apart_and_only_of_this_season(yard):
    recorded = weather(yard, warmer_c=0.0, first=date(2026, 5, 1), n_days=60)
    cutoffs = cutoffs_of(outlook(yard, recorded=recorded))
    assert cutoffs[0] == date(2026, 5, 31)
    assert cutoffs[-1] == date(2026, 6, 29)
    steps = {after - before for before, after in itertools.pairwise(cutoffs[:-1])}
    assert steps == {timedelta(days=7)}
    old = weather(yard, warmer_c=0.0, first=date(2020, 5, 1), n_days=60)
    assert cutoffs_of(outlook(yard, recorded=old)) == ()


def test_weather_of_another_season_moves_nothing(yard):
    old = weather(yard, warmer_c=5.0, first=date(2020, 5, 1), n_days=60)
    found = drift(outlook(yard, recorded=old))
    assert (found.cutoffs, found.layers) == ((), ())


def test_it_can_be_stopped(yard):
    recorded = weather(yard, warmer_c=0.0, first=date(2026, 10, 1), n_days=90)
    with pytest.raises(StoppedError):
        drift(outlook(yard, recorded=recorded), is_stopped=lambda: True)


def test_departure_is_what_was_put_on_top_of_the_normals(yard):
    recorded = weather(yard, warmer_c=1.75, first=date(2026, 10, 1), n_days=40)
    found = departure(outlook(yard, recorded=recorded))
    assert found.departure_c == pytest.approx(1.75)
    assert found.over(7) == pytest.approx(1.75)
    assert found.last_day == date(2026, 11, 9)


def test_cold_and_heat_so_far_grow_to_the_whole_at_first_flower(yard):
    shares = []
    for n_days in (60, 120, 180, 240):
        recorded = weather(yard, warmer_c=0.0, first=date(2026, 10, 1), n_days=n_days)
        found = {each.layer_id: each for each in so_far(outlook(yard, recorded=recorded))}
        name = next(x.id for _, x in yard.layers() if x.cultivar_id == "tulipa-shirley")
        shares.append((found[name].heat_share, found[name].cold_weeks))
    assert shares == sorted(shares)
    assert shares[-1][0] == 1.0  # by the end of May it has flowered
    assert 0.0 < shares[1][0] < 1.0


def test_the_heat_is_whole_on_the_day_of_first_flower(yard):
    recorded = weather(yard, warmer_c=0.0, first=date(2026, 9, 1), n_days=300)
    season = season_report(outlook(yard, recorded=recorded, use_records=False))
    tulip = next(x for x in season.layers if x.name == "Tulipa 'Shirley'")
    assert tulip.start is not None
    cut = np.datetime64(tulip.start.p50, "D")
    for offset, whole in ((-3, False), (1, True)):
        keep = recorded.days <= cut + offset
        part = RecordedWeather(recorded.days[keep], recorded.tmin_c[keep], recorded.tmax_c[keep])
        found = {each.layer_id: each for each in so_far(outlook(yard, recorded=part))}
        assert (found[tulip.layer_id].heat_share >= 0.999) == whole
