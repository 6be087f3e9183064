"""From monthly means to daily curves and weather years."""

from __future__ import annotations

import calendar
import math
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_weather import HARSH_TMAX, HARSH_TMIN, MILD_TMAX, MILD_TMIN, departures, place_weather

from bloomline.engine.climate import (
    SEASON_DAYS,
    Departures,
    WeatherYears,
    curve_on_days,
    daily_curve,
    day_of_year,
    frost_days,
    lapse_c,
    season_departures,
    season_start,
    weather_years,
    with_recorded_days,
)
from bloomline.engine.variability import VariabilityLaw, continents

months_of_values = st.lists(st.floats(-50.0, 45.0), min_size=12, max_size=12)


def still(n_years=2):
    return Departures(
        tmin_c=np.zeros((n_years, SEASON_DAYS)), tmax_c=np.zeros((n_years, SEASON_DAYS))
    )


def month_means(daily, year):
    """Means by month, with the calendar's own month lengths and a plain loop."""
    means, at = [], 0
    for month in range(1, 13):
        length = calendar.monthrange(year, month)[1]
        means.append(sum(float(v) for v in daily[at : at + length]) / length)
        at += length
    assert at == len(daily)
    return means


@given(monthly=months_of_values, leap=st.booleans())
def test_the_curve_keeps_every_months_mean(monthly, leap):
    daily = daily_curve(monthly, leap=leap)
    assert month_means(daily, 2028 if leap else 2027) == pytest.approx(monthly, abs=0.01)


def test_the_curve_keeps_the_means_of_many_stations_at_once():
    monthly = np.random.default_rng(3).uniform(-40.0, 40.0, (7, 3, 12))
    daily = daily_curve(monthly)
    assert daily.shape == (7, 3, 365)
    for station in np.ndindex(7, 3):
        assert month_means(daily[station], 2027) == pytest.approx(monthly[station], abs=0.01)


def test_the_curve_of_a_level_year_is_level_and_joins_at_new_year():
    np.testing.assert_allclose(daily_curve([7.5] * 12), 7.5, atol=1e-9)
    mild = daily_curve(MILD_TMAX)
    step = np.abs(np.diff(mild)).max()
    assert abs(mild[0] - mild[-1]) <= step


def test_the_curve_follows_a_yearly_wave():
    # A wave's monthly means determine it: the curve must be the wave itself.
    angle = 2.0 * np.pi * (np.arange(365) + 0.5) / 365
    wave = 10.0 - 8.0 * np.cos(angle - 0.4)
    np.testing.assert_allclose(daily_curve(month_means(wave, 2027)), wave, atol=1e-6)


@pytest.mark.parametrize("length", [0, 11, 13])
def test_the_curve_refuses_other_than_twelve_months(length):
    with pytest.raises(ValueError, match="twelve"):
        daily_curve(np.zeros(length))


def test_curves_on_calendar_days_keep_months_of_common_and_leap_years():
    days = np.datetime64("2027-01-01") + np.arange(365 + 366)
    curve = curve_on_days(np.stack([MILD_TMIN, MILD_TMAX]), days)
    assert curve.shape == (2, 731)
    for row, wanted in zip(curve, (MILD_TMIN, MILD_TMAX), strict=True):
        assert month_means(row[:365], 2027) == pytest.approx(wanted, abs=0.01)
        assert month_means(row[365:], 2028) == pytest.approx(wanted, abs=0.01)


def test_no_jump_on_the_leap_day_or_after_it():
    days = np.datetime64("2028-01-15") + np.arange(90)
    steps = np.abs(np.diff(curve_on_days(MILD_TMAX, days)))
    assert steps.max() < 0.25


@given(st.dates(date(1890, 1, 1), date(2210, 12, 31)))
def test_day_of_year_is_the_calendars(day):
    assert day_of_year(np.array([day], dtype="datetime64[D]"))[0] == day.timetuple().tm_yday


@given(day=st.dates(date(1901, 1, 1), date(2198, 12, 31)), north=st.booleans())
def test_a_season_begins_in_june_or_december_and_holds_its_planting_day(day, north):
    start = season_start(np.datetime64(day, "D"), latitude_deg=51.0 if north else -34.0)
    first = date.fromisoformat(str(start))
    assert (first.month, first.day) == ((6, 1) if north else (12, 1))
    assert 0 <= (day - first).days <= 365


def test_the_first_day_of_a_season_belongs_to_it():
    for text, latitude, wanted in [
        ("2026-06-01", 51.0, "2026-06-01"),
        ("2026-05-31", 51.0, "2025-06-01"),
        ("2026-12-01", -34.0, "2026-12-01"),
        ("2026-11-30", -34.0, "2025-12-01"),
        ("2026-11-30", 0.0, "2026-06-01"),
    ]:
        assert season_start(np.datetime64(text), latitude_deg=latitude) == np.datetime64(wanted)


def test_a_year_without_weather_is_the_normals():
    weather = weather_years(
        MILD_TMIN,
        tmax_c=MILD_TMAX,
        latitude_deg=51.0,
        first_day=np.datetime64("2027-01-01"),
        departures=still(),
    )
    assert (weather.n_years, len(weather.days)) == (2, SEASON_DAYS)
    whole_years = {2027: slice(0, 365), 2028: slice(365, 365 + 182)}
    for values, wanted in ((weather.tmin_c, MILD_TMIN), (weather.tmax_c, MILD_TMAX)):
        for year in values:
            assert month_means(year[whole_years[2027]], 2027) == pytest.approx(wanted, abs=0.01)
            leap = np.concatenate([year[whole_years[2028]], np.zeros(184)])
            assert month_means(leap, 2028)[:6] == pytest.approx(wanted[:6], abs=0.01)
    assert not weather.known.any()
    np.testing.assert_allclose(weather.mean_c, (weather.tmin_c + weather.tmax_c) / 2)


def test_departures_are_scaled_and_bent_by_the_law_day_by_day():
    law = VariabilityLaw(
        base=1.2,
        per_range=0.01,
        per_degree=-0.05,
        coldest_c=-9.0,
        turn_c=2.0,
        settled_c=8.0,
        per_mild_degree=0.07,
        calm=-0.3,
        stormy=0.2,
        lowest=0.8,
        highest=1.9,
        bend_c=12.0,
        bend_per_degree=-0.05,
        bend_from_c=-3.0,
        bend_to_c=5.0,
        bend_calm=-0.4,
        bend_stormy=-0.2,
    )
    given_departures = departures(5)
    weather = weather_years(
        HARSH_TMIN,
        tmax_c=np.array(HARSH_TMAX) + 60.0,
        latitude_deg=45.0,
        longitude_deg=-90.0,
        first_day=np.datetime64("2026-06-01"),
        departures=given_departures,
        rise_m=200.0,
        law=law,
    )
    calm, stormy = continents(45.0, longitude_deg=-90.0)
    normal_low = curve_on_days(HARSH_TMIN, weather.days)
    yearly_range = max(HARSH_TMIN) - min(HARSH_TMIN)
    bend = 12.0 * math.exp(-0.05 * -3.0 - 0.4 * calm - 0.2 * stormy)
    expected = np.empty_like(weather.tmin_c)
    for day in range(SEASON_DAYS):
        low = normal_low[day]
        scale = 1.2 + 0.01 * yearly_range - 0.05 * max(low, -9.0) - 0.3 * calm + 0.2 * stormy
        if low > 2.0:
            scale += 0.07 * (min(low, 8.0) - 2.0)
        scale = min(max(scale, 0.8), 1.9)
        for year in range(weather.n_years):
            d = given_departures.tmin_c[year, day]
            expected[year, day] = scale * (d / math.sqrt(1 + (d / bend) ** 2) if d < 0 else d)
    # What the months' means take off is the same in all years and changes little in a day.
    taken_off = expected + normal_low - 1.3 - weather.tmin_c
    np.testing.assert_allclose(taken_off, taken_off[:1].repeat(weather.n_years, axis=0), atol=1e-9)
    months = weather.days.astype("datetime64[M]").astype(int)
    for month in np.unique(months):
        inside = months == month
        assert taken_off[0, inside].mean() == pytest.approx(expected[:, inside].mean(), abs=1e-9)
        assert np.abs(np.diff(taken_off[0, inside])).max() < 0.3


# Normals as a gardener may type them: poles, tropics, deserts, and ranges of a tenth of a degree.
ANY_NORMALS = st.tuples(
    st.lists(st.floats(-55.0, 32.0), min_size=12, max_size=12),
    st.lists(st.floats(0.1, 25.0), min_size=12, max_size=12),
)
STEADY_NORMALS = st.tuples(
    st.floats(-45.0, 28.0), st.floats(0.0, 25.0), st.floats(2.0, 22.0), st.integers(0, 11)
)


@given(normals=ANY_NORMALS, latitude=st.floats(-90, 90), longitude=st.floats(-180, 180))
def test_any_normals_give_finite_weather_with_nights_below_days(normals, latitude, longitude):
    low, day_range = np.array(normals[0]), np.array(normals[1])
    first_day = season_start(np.datetime64("2027-10-01"), latitude_deg=latitude)
    weather = weather_years(
        low,
        tmax_c=low + day_range,
        latitude_deg=latitude,
        longitude_deg=longitude,
        first_day=first_day,
        departures=departures(3, n_years=3),
    )
    assert np.isfinite(weather.tmin_c).all()
    assert (weather.tmax_c > weather.tmin_c).all()


@given(shape=STEADY_NORMALS, latitude=st.floats(-70, 75), longitude=st.floats(-180, 180))
def test_every_months_mean_is_kept_over_the_years(shape, latitude, longitude):
    mean, swing, day_range, warmest = shape
    low = mean + swing * np.cos(2 * np.pi * (np.arange(12) - warmest) / 12)
    weather = weather_years(
        low,
        tmax_c=low + day_range,
        latitude_deg=latitude,
        longitude_deg=longitude,
        first_day=np.datetime64("2027-06-01"),
        departures=departures(4, n_years=3),
    )
    months = weather.days.astype("datetime64[M]").astype(int)
    for month in np.unique(months)[:-1]:  # the last one is not whole on the axis
        inside = months == month
        wanted = low[month % 12]
        assert weather.tmin_c[:, inside].mean() == pytest.approx(wanted, abs=0.05)
        assert weather.tmax_c[:, inside].mean() == pytest.approx(wanted + day_range, abs=0.05)


def test_continents_fade_at_their_edges_and_the_south_has_none():
    assert continents(40.0, longitude_deg=116.0) == pytest.approx((1.0, 0.0), abs=0.01)
    assert continents(45.0, longitude_deg=-93.0) == pytest.approx((0.0, 1.0), abs=0.01)
    assert continents(52.0, longitude_deg=5.2) == pytest.approx((0.0, 0.0), abs=0.01)
    assert continents(52.0, longitude_deg=None) == (0.0, 0.0)
    assert continents(-37.7, longitude_deg=144.8) == continents(-33.9, longitude_deg=None)
    along = [continents(45.0, longitude_deg=float(lon)) for lon in range(-180, 181)]
    assert np.abs(np.diff(along, axis=0)).max() < 0.06
    np.testing.assert_allclose(along[0], along[-1])


@given(seed=st.integers(0, 10_000), warmth=st.floats(-25.0, 12.0))
def test_the_day_is_always_warmer_than_the_night(seed, warmth):
    weather = place_weather(seed % 50, n_years=2, warmer_c=warmth)
    assert (weather.tmax_c >= weather.tmin_c + 0.5 - 1e-9).all()
    assert np.isfinite(weather.tmin_c).all()


def test_a_higher_garden_is_colder_by_the_lapse_rate():
    assert lapse_c([0.0, 1000.0, -200.0]) == pytest.approx([0.0, -6.5, 1.3])
    made = {
        rise: weather_years(
            MILD_TMIN,
            tmax_c=MILD_TMAX,
            latitude_deg=51.0,
            first_day=np.datetime64("2026-06-01"),
            departures=departures(2),
            rise_m=rise,
        )
        for rise in (0.0, 300.0)
    }
    np.testing.assert_allclose(made[300.0].tmin_c, made[0.0].tmin_c - 1.95)
    np.testing.assert_allclose(made[300.0].tmax_c, made[0.0].tmax_c - 1.95)


def test_weather_years_refuse_normals_that_cannot_be():
    arguments = {
        "latitude_deg": 51.0,
        "first_day": np.datetime64("2026-06-01"),
        "departures": still(),
    }
    with pytest.raises(ValueError, match="above"):
        weather_years(MILD_TMAX, tmax_c=MILD_TMIN, **arguments)
    with pytest.raises(ValueError, match="above"):
        weather_years(MILD_TMIN, tmax_c=(*MILD_TMAX[:11], MILD_TMIN[11]), **arguments)
    with pytest.raises(ValueError, match="twelve"):
        weather_years(MILD_TMIN[:6], tmax_c=MILD_TMAX[:6], **arguments)


def record(first, years, *, seed=4):
    days = np.datetime64(first) + np.arange(int(365.25 * years) + 1)
    rng = np.random.default_rng(seed)
    noise = rng.normal(0.0, 3.0, len(days))
    return days, curve_on_days(MILD_TMIN, days) + noise, curve_on_days(MILD_TMAX, days) + noise


@pytest.mark.parametrize("first", ["2000-01-01", "2000-06-01", "2000-06-02", "2001-09-15"])
def test_a_record_is_cut_at_the_first_of_june(first):
    days, low, high = record(first, 8)
    cut = season_departures(low, tmax_c=high, first_day=np.datetime64(first), n_years=5)
    assert cut.tmin_c.shape == cut.tmax_c.shape == (5, SEASON_DAYS)
    assert cut.n_years == 5
    june = date.fromisoformat(first)
    while (june.month, june.day) != (6, 1):
        june += timedelta(days=1)
    means = {
        month: low[[d.astype(object).month == month for d in days]].mean() for month in range(1, 13)
    }
    normal = curve_on_days([means[m] for m in range(1, 13)], days)
    for year in range(5):
        at = (date(june.year + year, 6, 1) - date.fromisoformat(first)).days
        np.testing.assert_allclose(
            cut.tmin_c[year], (low - normal)[at : at + SEASON_DAYS], atol=1e-9
        )


def test_the_last_season_is_closed_with_the_records_first_years():
    # 21 seasons from a record that begins on 1 January 2000 and stops in mid-2021.
    days, low, high = record("2000-01-01", 21.5)
    cut = season_departures(low, tmax_c=high, first_day=days[0], n_years=21)
    assert cut.tmin_c.shape == (21, SEASON_DAYS)
    assert np.isfinite(cut.tmin_c).all()
    # What closes it comes from the same time of the year: the season's last day is a 1 June.
    held = int((days[-1] - np.datetime64("2020-06-01")).astype(int)) + 1
    tail = cut.tmin_c[20, held:]
    first_years = season_departures(low, tmax_c=high, first_day=days[0], n_years=1).tmin_c[0]
    again = days[-1] + 1 - np.timedelta64(round(365.25 * 20), "D")
    at = int((again - np.datetime64("2000-06-01")).astype(int))
    np.testing.assert_allclose(tail, first_years[at : at + len(tail)], atol=1e-9)
    assert abs(int(day_of_year(np.array([again]))[0]) - int(day_of_year(days[-1:] + 1)[0])) <= 1


def test_departures_of_a_long_record_have_no_mean_in_any_month():
    days, low, high = record("2000-06-01", 23)
    cut = season_departures(low, tmax_c=high, first_day=days[0], n_years=21)
    months = (np.datetime64("2000-06-01") + np.arange(365)).astype("datetime64[M]").astype(int) % 12
    for month in range(12):
        assert abs(cut.tmin_c[:, :365][:, months == month].mean()) < 0.4


def test_a_record_that_is_too_short_is_refused():
    days, low, high = record("2000-06-01", 4)
    with pytest.raises(ValueError, match="too early"):
        season_departures(low, tmax_c=high, first_day=days[0], n_years=5)


def test_recorded_days_stand_in_every_year_and_nowhere_else():
    weather = place_weather()
    days = np.array(["2025-01-01", "2026-12-24", "2026-12-25", "2040-01-01"], "datetime64[D]")
    known = with_recorded_days(
        weather, days=days, tmin_c=[90, -3.0, -4.0, 91], tmax_c=[92, 2.0, 1.0, 93]
    )
    at = int((np.datetime64("2026-12-24") - weather.first_day).astype(int))
    assert known.tmin_c[:, at].tolist() == [-3.0] * 4
    assert known.tmin_c[:, at + 1].tolist() == [-4.0] * 4
    assert known.tmax_c[:, at].tolist() == [2.0] * 4
    assert np.flatnonzero(known.known).tolist() == [at, at + 1]
    others = ~known.known
    np.testing.assert_array_equal(known.tmin_c[:, others], weather.tmin_c[:, others])
    np.testing.assert_array_equal(known.tmax_c[:, others], weather.tmax_c[:, others])
    assert not weather.known.any()
    outside = with_recorded_days(weather, days=days[[0, 3]], tmin_c=[1, 1], tmax_c=[2, 2])
    assert outside is weather


def test_frost_days_are_counted_month_by_month():
    weather = place_weather(tmin_c=HARSH_TMIN, tmax_c=HARSH_TMAX)
    counted = frost_days(weather)
    for month in range(12):
        total = 0
        for day, name in enumerate(weather.days[:365].astype(object)):
            if name.month == month + 1:
                total += sum(float(year[day]) < 0.0 for year in weather.tmin_c)
        assert counted[month] == pytest.approx(total / weather.n_years)
    assert (counted >= 0).all()
    assert (counted <= 31).all()
    assert counted[0] > 25
    assert counted[6] == 0


def test_a_warmer_place_has_no_more_frost():
    def frosts(warmth):
        made = place_weather(tmin_c=HARSH_TMIN, tmax_c=HARSH_TMAX)
        return frost_days(
            WeatherYears(
                made.first_day, 51.0, made.tmin_c + warmth, made.tmax_c + warmth, made.known
            )
        )

    assert (frosts(4.0) <= frosts(0.0)).all()
    assert frosts(4.0).sum() < frosts(0.0).sum()
