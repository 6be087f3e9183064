"""The search in prepared sums against walking through the days, one by one."""

from __future__ import annotations

import itertools
import math
from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from made_weather import HARSH_TMAX, HARSH_TMIN, place_weather

from bloomline.engine.chill import bulb_cold_weight
from bloomline.engine.climate import SEASON_DAYS, WeatherYears, day_of_year
from bloomline.engine.flowering import flowering_days
from bloomline.engine.heat import AgeingLaw, GrowthLaw, ageing_rate
from bloomline.engine.heat_sums import SPRING, SUMMER, Plantings, heat_until
from bloomline.engine.hourly import day_length_h, hourly_weights
from bloomline.engine.rootzone import (
    CompostPhysics,
    RootZone,
    colder_than,
    daily_root_zone_c,
    open_ground,
)
from bloomline.engine.sites import SiteEffect
from bloomline.engine.sums import Surroundings, ageing_between, prepare

LAW = GrowthLaw()
AGEING = AgeingLaw()
N_DAYS = SEASON_DAYS
POT = Surroundings(RootZone(10.0, CompostPhysics().plateau_c, air_share=0.5), SiteEffect())
PLACES = (
    POT,
    Surroundings(open_ground(lag_days=8.0, air_share=0.75), SiteEffect()),
    Surroundings(
        RootZone(30.0, CompostPhysics().plateau_c, air_share=0.75),
        SiteEffect(tmin_offset_c=2.0, tmax_offset_c=4.0, vented_above_c=18.0),
    ),
    Surroundings(
        RootZone(10.0, CompostPhysics().plateau_c),
        SiteEffect(tmin_offset_c=2.0, swing_factor=0.35, until_day=270),
    ),
)


def prepared(weather, places=PLACES):
    return prepare(weather, surroundings=places, growth_law=LAW, ageing_law=AGEING)


MILD = place_weather(3)
HARSH = place_weather(4, tmin_c=HARSH_TMIN, tmax_c=HARSH_TMAX, latitude_deg=45.0)
SUMS = {"mild": prepared(MILD), "harsh": prepared(HARSH)}


def table(rows):
    """Plantings from dictionaries, with everyday values for what isn't said."""
    usual = {
        "zone": 0,
        "planted": 150,
        "waits": 0,  # days from planting until cold and heat count
        "law": SPRING,
        "full_rate_weeks": 12.0,
        "prechilled_weeks": 0.0,
        "heat_need": 40.0,
        "life": 15.0,
        "shift_days": 0.0,
    }
    full = [{**usual, **row} for row in rows]
    whole = ("zone", "planted", "waits", "law")
    values = {
        name: np.array([row[name] for row in full], dtype=int if name in whole else float)
        for name in usual
    }
    waits = values.pop("waits")
    return Plantings(begins=values["planted"] + waits, **values)


def solve(sums, plantings):
    return flowering_days(sums, plantings=plantings, law=LAW, ageing=AGEING)


def walk(sums, plantings, row, year):
    """One planting in one year, day by day: the rule itself, without running sums."""
    zone = plantings.zone[row]
    grown = sums.growth if plantings.law[row] == SPRING else sums.summer_growth
    growth = np.diff(grown[zone, year])
    cold = np.diff(sums.cold_weeks[zone, year])
    ageing = np.diff(sums.ageing[sums.site_of_zone[zone], year])
    need = plantings.heat_need[row]
    weeks = plantings.full_rate_weeks[row] if plantings.law[row] == SPRING else 0.0
    had = gathered = plantings.prechilled_weeks[row]
    heat, cold_met, nose, start = 0.0, math.nan, math.nan, math.nan
    cold_by_start, most_cold = math.nan, math.nan
    for day in range(plantings.planted[row], sums.n_days):
        if math.isnan(cold_met) and weeks > 0 and had >= weeks - 1e-12:
            cold_met = float(day)
        if math.isnan(most_cold) and had >= weeks * AGEING.nose_cold_share - 1e-12:
            most_cold = float(day)
        had += cold[day]
        if day < plantings.begins[row]:
            continue
        met = 1.0 if weeks <= 0 else min(1.0, gathered / weeks)
        today = growth[day] * (LAW.unmet_rate + (1.0 - LAW.unmet_rate) * met)
        if math.isnan(nose) and heat + today >= need * AGEING.nose_share:
            nose = day + (need * AGEING.nose_share - heat) / today
        if math.isnan(start) and heat + today >= need:
            start = day + (need - heat) / today
        heat += today
        gathered += cold[day]
    waits = [each for each in (most_cold, start - AGEING.nose_days) if not math.isnan(each)]
    if waits and weeks > 0:
        nose = nose if math.isnan(nose) else max(nose, min(waits))
    nose = max(nose + min(plantings.shift_days[row], 0.0), plantings.planted[row])
    answer = {"nose": nose, "start": start, "cold_met": cold_met}
    # No learned offset opens a flower before its bulb is planted.
    opened = max(start + plantings.shift_days[row], float(plantings.planted[row]))
    life = plantings.life[row]
    for name, age in (
        ("full", life * AGEING.full_share),
        ("end", life),
        ("leaves_over", life + AGEING.leaf_days),
    ):
        answer[name] = math.nan
        if math.isnan(opened):
            continue
        aged, at = 0.0, opened
        while at < sums.n_days:
            until = math.floor(at) + 1.0
            today = ageing[math.floor(at)] * (until - at)
            if aged + today >= age:
                answer[name] = at + (age - aged) / ageing[math.floor(at)]
                break
            aged, at = aged + today, until
    answer["start"] = opened
    if not math.isnan(opened):
        cold_by_start = plantings.prechilled_weeks[row] + sum(
            cold[plantings.planted[row] : math.floor(opened)]
        )
        answer["cold_weeks"] = cold_by_start
    return answer


row_of_any_kind = st.fixed_dictionaries(
    {
        "zone": st.integers(0, len(PLACES) - 1),
        "planted": st.integers(10, 400),  # so that no shift leads off the axis
        "waits": st.just(0) | st.integers(0, 60),
        "law": st.sampled_from([SPRING, SUMMER]),
        "full_rate_weeks": st.just(0.0) | st.floats(2.0, 30.0),
        "prechilled_weeks": st.just(0.0) | st.floats(0.0, 20.0),
        "heat_need": st.floats(0.5, 400.0),
        "life": st.floats(3.0, 60.0),
        "shift_days": st.just(0.0) | st.floats(-6.0, 6.0),
    }
)


@given(st.sampled_from(["mild", "harsh"]), st.lists(row_of_any_kind, min_size=1, max_size=6))
@settings(max_examples=40)
def test_the_search_finds_what_a_walk_through_the_days_finds(place, rows):
    sums, plantings = SUMS[place], table(rows)
    got = solve(sums, plantings)
    assert got.start.shape == (len(rows), sums.n_years)
    for row in range(len(rows)):
        for year in range(0, sums.n_years, 2):
            wanted = walk(sums, plantings, row, year)
            for name, value in wanted.items():
                found = getattr(got, name)[row, year]
                if name == "cold_met" and found == sums.n_days:
                    found = math.nan  # with the axis' last day, which the walk doesn't pass
                if name == "cold_weeks" and rows[row]["shift_days"]:
                    continue
                assert found == pytest.approx(value, abs=1e-6, nan_ok=True), name


def test_the_walk_meets_every_kind_of_answer():
    # The comparison above must not pass for want of cases.
    plantings = table(
        [
            {"heat_need": 5.0},
            {"heat_need": 120.0},
            {"heat_need": 1e5},
            {"full_rate_weeks": 90.0},
            {"full_rate_weeks": 0.0},
            {"prechilled_weeks": 15.0},
        ]
    )
    got = solve(SUMS["mild"], plantings)
    assert (got.start[0] < got.cold_met[0]).all(), "opens before its cold need is met"
    assert (got.start[1] > got.cold_met[1]).all()
    assert np.isnan(got.start[2]).all() and np.isnan(got.end[2]).all()
    assert np.isnan(got.cold_met[3]).all() and np.isfinite(got.start[3]).all()
    assert np.isnan(got.cold_met[4]).all()
    assert (got.cold_met[5] == 150).all()


def plain_growth(weather, place, year):
    """Growth of each day from the published curve of the day, hour by quarter hour."""
    air_low, air_high = weather.tmin_c[year], weather.tmax_c[year]
    middle = (air_low + air_high) / 2
    root = daily_root_zone_c(middle[None, None], zones=(place.zone,))[0, 0]
    hours = day_length_h(day_of_year(weather.days), latitude_deg=weather.latitude_deg)
    swing = 1 / math.sqrt(1 + (2 * math.pi / 24 * place.zone.time_constant_h) ** 2)
    share = place.zone.air_share
    growth = []
    for day in range(len(weather.days)):
        curve = hourly_weights(float(hours[day]), n_points=96)
        felt = root[day] + share * (middle[day] - root[day])
        breadth = (air_high[day] - air_low[day]) * (swing + share * (1 - swing))
        temps = felt + breadth * (curve - curve.mean())
        above = np.clip(temps, LAW.base_c, LAW.cap_c) - LAW.base_c
        rate = np.mean((above / (10 - LAW.base_c)) ** LAW.power)
        dark = hours[day] < 12 and 0 < day < len(hours) - 1 and hours[day + 1] < hours[day - 1]
        light = hours.min() if dark else hours[day]
        growth.append(rate * (light / 12) ** LAW.day_length_power)
    return np.array(growth), root, swing


@pytest.mark.parametrize("weather", [MILD, HARSH], ids=["mild", "harsh"])
@pytest.mark.parametrize("zone", [0, 1])
def test_prepared_growth_is_the_rate_over_a_finely_cut_day(weather, zone):
    sums = prepared(weather)
    wanted, root, swing = plain_growth(weather, PLACES[zone], 1)
    got = np.diff(sums.growth[zone, 1])
    # Three points stand for the day: single days near the base or the cap are a little off,
    # sums are not.
    assert np.abs(got - wanted).max() < 0.12
    assert sums.growth[zone, 1, -1] == pytest.approx(wanted.sum(), rel=0.006)
    spring = slice(240, 330)
    assert got[spring].sum() == pytest.approx(wanted[spring].sum(), rel=0.012)
    # Cold: the root zone's own smaller swing about its mean.
    hours = day_length_h(day_of_year(weather.days), latitude_deg=weather.latitude_deg)
    cold = 0.0
    for day in range(365):
        curve = hourly_weights(float(hours[day]), n_points=96)
        breadth = (weather.tmax_c[1, day] - weather.tmin_c[1, day]) * swing
        temps = root[day] + breadth * (curve - curve.mean())
        cold += float(np.mean(bulb_cold_weight(temps))) / 7.0
    assert sums.cold_weeks[zone, 1, 365] == pytest.approx(cold, rel=0.01)


def test_prepared_ageing_is_that_of_the_sites_air():
    sums = prepared(MILD)
    assert sums.site_of_zone.tolist() == [0, 0, 1, 2]
    wanted = ageing_rate(MILD.mean_c[2], law=AGEING)
    np.testing.assert_allclose(np.diff(sums.ageing[0, 2]), wanted, rtol=2e-3)
    first, last = np.array([200.25, 210.0]), np.array([215.75, 260.5])
    got = ageing_between(sums, zone=np.array([0, 1]), first=first, last=last)
    for row in range(2):
        total = 0.0
        for day in range(N_DAYS):
            inside = min(last[row], day + 1) - max(first[row], day)
            total += max(inside, 0.0) * wanted[day]
        assert got[row, 2] == pytest.approx(total, rel=2e-3)


def test_running_sums_start_at_zero_and_never_fall():
    for sums in SUMS.values():
        for values in (sums.growth, sums.cold_weeks, sums.growth_by_cold, sums.ageing):
            assert (values[..., 0] == 0.0).all()
            assert (np.diff(values, axis=-1) >= 0.0).all()
        assert (sums.n_years, sums.n_days) == (4, N_DAYS)


@given(st.sampled_from(["mild", "harsh"]), st.lists(row_of_any_kind, min_size=1, max_size=6))
@settings(max_examples=40)
def test_the_heat_gathered_by_first_flower_is_the_need(place, rows):
    sums = SUMS[place]
    plantings = table([{**row, "shift_days": 0.0} for row in rows])
    start = solve(sums, plantings).start
    for year in range(sums.n_years):
        day = start[:, year]
        known = np.isfinite(day)
        heat = heat_until(sums, plantings=plantings, day=np.where(known, day, 0.0), law=LAW)
        np.testing.assert_allclose(
            heat[known, year], plantings.heat_need[known], rtol=1e-9, atol=1e-9
        )


def test_a_need_solved_from_a_day_brings_back_that_day():
    sums = SUMS["mild"]
    plantings = table([{"planted": 130}, {"planted": 160, "zone": 1}])
    day = np.array([300.5, 310.25])
    heat = heat_until(sums, plantings=plantings, day=day, law=LAW)
    for year in range(sums.n_years):
        again = solve(sums, replace(plantings, heat_need=heat[:, year])).start[:, year]
        np.testing.assert_allclose(again, day, atol=1e-6)


def test_first_flower_moves_smoothly_with_the_need():
    needs = np.linspace(30.0, 31.0, 200)
    plantings = table([{"heat_need": need} for need in needs])
    start = solve(SUMS["mild"], plantings).start
    steps = np.diff(start, axis=0)
    assert (steps > 0).all()
    assert steps.max() < 0.2


@given(row_of_any_kind, st.floats(0.1, 10.0))
@settings(max_examples=40)
def test_a_greater_need_or_a_later_planting_never_opens_earlier(row, more):
    rows = [
        row,
        {**row, "heat_need": row["heat_need"] + more},
        {**row, "planted": row["planted"] + 1},
        {**row, "planted": row["planted"] + 40},
        {**row, "full_rate_weeks": row["full_rate_weeks"] + more},
    ]
    start = np.nan_to_num(solve(SUMS["harsh"], table(rows)).start, nan=1e9)
    for later in (1, 2, 3, 4):
        assert (start[later] >= start[0] - 1e-6).all()
    assert (start[3] >= start[2] - 1e-6).all()


@given(row_of_any_kind, st.floats(0.0, 20.0))
@settings(max_examples=40)
def test_more_weeks_in_the_refrigerator_never_delay(row, more):
    rows = [row, {**row, "prechilled_weeks": row["prechilled_weeks"] + more}]
    start = np.nan_to_num(solve(SUMS["harsh"], table(rows)).start, nan=1e9)
    assert (start[1] <= start[0] + 1e-6).all()


@given(
    row_of_any_kind,
    st.integers(0, 120),
    st.floats(0.1, 15.0),
    st.sampled_from([MILD, HARSH]),
)
@settings(max_examples=25)
def test_warmth_after_the_cold_need_is_met_never_delays(row, length, warmer, weather):
    place = PLACES[row["zone"]]
    plantings = table([{**row, "zone": 0}])
    before = solve(prepared(weather, (place,)), plantings)
    for year in range(weather.n_years):
        met = before.cold_met[0, year]
        if row["full_rate_weeks"] <= 0:
            met = row["planted"]
        if math.isnan(met):
            continue
        days = np.arange(N_DAYS)
        warm = np.where((days >= met) & (days < met + length), warmer, 0.0)
        changed = WeatherYears(
            weather.first_day,
            weather.latitude_deg,
            weather.tmin_c[year : year + 1] + warm,
            weather.tmax_c[year : year + 1] + warm,
            weather.known,
        )
        after = solve(prepared(changed, (place,)), plantings)
        was, now = np.nan_to_num([before.start[0, year], after.start[0, 0]], nan=1e9)
        assert now <= was + 1e-6


@given(st.sampled_from(["mild", "harsh"]), st.lists(row_of_any_kind, min_size=1, max_size=6))
@settings(max_examples=30)
def test_a_planting_shows_opens_ends_and_yellows_in_that_order(place, rows):
    plantings = table([{**row, "shift_days": 0.0} for row in rows])
    got = solve(SUMS[place], plantings)
    order = [got.nose, got.start, got.full, got.end, got.leaves_over]
    for earlier, later in itertools.pairwise(order):
        both = np.isfinite(earlier) & np.isfinite(later)
        assert (earlier[both] <= later[both]).all()
        # What never begins has no end.
        assert (np.isnan(later) | np.isfinite(earlier)).all()
    assert (got.start[np.isfinite(got.start)] >= 0).all()
    planted = plantings.planted[:, None] + np.zeros_like(got.nose)
    assert (got.nose >= planted)[np.isfinite(got.nose)].all()


def test_rows_do_not_disturb_one_another():
    rows = [
        {"zone": z, "planted": p, "heat_need": h}
        for z in range(4)
        for p in (10, 150, 300)
        for h in (5.0, 60.0, 900.0)
    ]
    together = solve(SUMS["harsh"], table(rows))
    for at, row in enumerate(rows):
        alone = solve(SUMS["harsh"], table([row]))
        for name in ("nose", "start", "full", "end", "leaves_over", "cold_met", "cold_weeks"):
            np.testing.assert_array_equal(getattr(together, name)[at], getattr(alone, name)[0])


def test_no_plantings_have_no_answers():
    empty = solve(SUMS["mild"], table([]))
    assert empty.start.shape == (0, 4)


@given(
    st.integers(0, 3),
    st.integers(0, N_DAYS - 1),
    st.just(math.nan) | st.floats(0.0, float(N_DAYS)),
    st.floats(-25.0, 5.0),
)
@settings(max_examples=60)
def test_colder_than_looks_at_every_day_of_its_time(zone, first, last, limit):
    sums = SUMS["harsh"]
    got = colder_than(
        sums.root_c,
        zone=np.array([zone]),
        first=np.array([first]),
        last=np.full((1, sums.n_years), last),
        limit_c=np.array([limit]),
    )
    until = sums.n_days if math.isnan(last) else math.ceil(last)
    for year in range(sums.n_years):
        seen = any(sums.root_c[zone, year, day] < limit for day in range(first, until))
        assert got[0, year] == seen


def test_colder_than_answers_many_rows_at_once():
    sums = SUMS["harsh"]
    rng = np.random.default_rng(6)
    n = 60
    zone = rng.integers(0, 4, n)
    first = rng.integers(0, 500, n)
    last = np.where(rng.random((n, 4)) < 0.2, np.nan, first[:, None] + rng.uniform(1, 230, (n, 4)))
    limit = rng.choice([-12.0, -6.0, -2.0, 0.0], n)
    got = colder_than(sums.root_c, zone=zone, first=first, last=last, limit_c=limit)
    assert got.any() and not got.all()
    for row in range(n):
        alone = colder_than(
            sums.root_c,
            zone=zone[row : row + 1],
            first=first[row : row + 1],
            last=last[row : row + 1],
            limit_c=limit[row : row + 1],
        )
        np.testing.assert_array_equal(got[row], alone[0])


def test_a_pot_gets_colder_than_ground_and_a_shed_keeps_the_worst_out():
    # 270 days from June: the shed holds until the end of February.
    winter = slice(183, 265)
    coldest = SUMS["harsh"].root_c[:, :, winter].min(axis=(1, 2))
    pot, ground, _, shed = coldest
    assert pot < -15.0
    assert ground > -3.0
    assert shed > pot + 0.5


def test_frost_is_judged_by_the_mean_of_whole_days_as_it_was_measured():
    # Frost-hardiness of bulbs and tubers (J. Jap. Soc. Hort. Sci. 29 (1960)): 24 hours.
    sums = SUMS["mild"]
    root = daily_root_zone_c(MILD.mean_c[None], zones=(POT.zone,))[0]
    np.testing.assert_allclose(sums.root_c[0], root, atol=1e-4)


def test_the_day_that_a_planting_opens_still_counts_for_frost():
    sums = SUMS["harsh"]
    limit = -8.0
    day = int(np.argmax(sums.root_c[0, 0] < limit))
    assert day > 0
    for last, wanted in ((day, False), (day + 0.25, True), (day + 1.0, True)):
        got = colder_than(
            sums.root_c,
            zone=np.array([0]),
            first=np.array([0]),
            last=np.full((1, sums.n_years), float(last)),
            limit_c=np.array([limit]),
        )
        assert got[0, 0] == wanted


def test_plantings_that_gather_the_same_heat_are_searched_once():
    # Planted on different days before heat counts, and one that needs more of it.
    rows = [{"planted": day, "waits": 170 - day, "heat_need": 40.0} for day in (120, 135, 170)]
    rows.append({"planted": 135, "waits": 35, "heat_need": 60.0})
    different, which = table(rows).by_heat()
    assert which.tolist() == [0, 0, 0, 1]
    assert different.heat_need.tolist() == [40.0, 60.0]
    for sums in SUMS.values():
        together = solve(sums, table(rows))
        for number, row in enumerate(rows):
            alone = solve(sums, table([row]))
            for each in fields(together):
                got = getattr(together, each.name)[number]
                np.testing.assert_array_equal(got, getattr(alone, each.name)[0])
