"""Needs solved from the reference garden, usual planting days, weather of a garden, the axis."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from asking import FIRST_DAY, catalogue, forecaster, garden, mirrored

from bloomline.engine.heat import AgeingLaw, GrowthLaw
from bloomline.model.cultivar import MonthDay
from bloomline.plan.climate.reference_garden import axis_day, reference_garden
from bloomline.plan.climate.weather import (
    RecordedWeather,
    axis_start,
    reference_departures,
    weather_for,
    yard_axis_start,
)
from bloomline.plan.forecast import needs as needs_module
from bloomline.plan.forecast import planting_day
from bloomline.plan.forecast.needs import NeedSolver, full_rate_weeks
from bloomline.plan.forecast.planting_day import usual_planting_day
from bloomline.plan.words.days import as_date, as_day, days_between

SHIRLEY = catalogue().get("tulipa-shirley")


def solver():
    return NeedSolver(growth_law=GrowthLaw(), ageing_law=AgeingLaw())


def test_days_of_the_year_are_found_on_the_axis():
    assert axis_day(MonthDay(6, 1), first_day=FIRST_DAY) == 0
    assert axis_day(MonthDay(5, 31), first_day=FIRST_DAY) == 364
    assert axis_day(MonthDay(4, 17), first_day=FIRST_DAY, after=167) == 320
    # A flower in August of bulbs planted in October is next year's.
    assert axis_day(MonthDay(8, 10), first_day=FIRST_DAY, after=130) == 365 + 70
    with pytest.raises(ValueError, match="does not come"):
        axis_day(MonthDay(6, 1), first_day=FIRST_DAY, after=5000)


def test_bulbs_the_trade_has_chilled_wait_for_no_cold():
    law = GrowthLaw(need_factor=0.5)
    assert full_rate_weeks(SHIRLEY, law=law) == SHIRLEY.chill_weeks_best * 0.5
    no_cold = SHIRLEY.model_copy(update={"chill_weeks_min": None, "chill_weeks_best": None})
    assert full_rate_weeks(no_cold, law=law) == 0.0
    spring = SHIRLEY.model_copy(update={"season_planted": "spring"})
    assert full_rate_weeks(spring, law=law) == 0.0


def test_later_kinds_need_more_heat_and_longer_displays_more_life():
    later = SHIRLEY.model_copy(update={"ref_start": MonthDay(4, 30), "ref_end": MonthDay(5, 30)})
    first, second = solver().needs([(SHIRLEY, "pot", False), (later, "pot", False)])
    assert 0 < first.heat < second.heat
    assert 0 < first.life < second.life


def test_established_bulbs_need_less_heat():
    early = catalogue().get("narcissus-ice-follies")
    assert early.established_shift_days > 0
    made = solver()
    new, old = (made.need(early, where="ground", established=e) for e in (False, True))
    assert old.heat < new.heat
    assert old.full_rate_weeks == new.full_rate_weeks


def test_a_need_is_solved_once(monkeypatch):
    counted = []
    real = needs_module.heat_until
    monkeypatch.setattr(
        needs_module, "heat_until", lambda *a, **k: counted.append(1) or real(*a, **k)
    )
    made = solver()
    wanted = [(SHIRLEY, "pot", False), (SHIRLEY, "ground", False)]
    first = made.needs(wanted)
    assert made.needs(wanted) == first
    assert made.need(SHIRLEY, where="pot", established=False) == first[0]
    assert len(counted) == 1
    # The same id with other dates is another question (an own cultivar, say).
    changed = SHIRLEY.model_copy(update={"ref_start": MonthDay(4, 25)})
    assert made.need(changed, where="pot", established=False) != first[0]


def test_the_usual_day_at_the_reference_garden_is_the_catalogues():
    for kind in catalogue():
        day = usual_planting_day(kind, garden=reference_garden(), first_day=FIRST_DAY)
        wanted = as_date(FIRST_DAY + axis_day(kind.ref_planted, first_day=FIRST_DAY))
        assert abs((day - wanted).days) <= 1, kind.id


def test_colder_places_plant_earlier_in_autumn_and_later_in_spring():
    lily = catalogue().get("lilium-star-gazer")
    crocus = catalogue().get("crocus-speciosus")

    def day(kind, place):
        return usual_planting_day(kind, garden=garden(place), first_day=FIRST_DAY)

    assert day(SHIRLEY, "Minneapolis") < day(SHIRLEY, "London") < day(SHIRLEY, "Miami")
    assert day(lily, "Minneapolis") > day(lily, "London") >= day(lily, "Miami")
    assert day(crocus, "Minneapolis") == day(crocus, "London") == day(crocus, "Miami")
    for kind in catalogue():
        for place in ("Minneapolis", "Miami"):
            moved = (day(kind, place) - day(kind, "London")).days
            assert -51 <= moved <= 31, kind.id


def test_a_higher_garden_plants_earlier():
    here = garden("London")
    high = replace(here, rise_m=400.0)
    assert usual_planting_day(SHIRLEY, garden=high, first_day=FIRST_DAY) < usual_planting_day(
        SHIRLEY, garden=here, first_day=FIRST_DAY
    )


def test_a_kept_usual_day_is_the_one_worked_out_anew():
    asked = [(garden("London"), FIRST_DAY), (garden("Melbourne"), np.datetime64("2026-12-01"))]
    asked += [(garden("London"), np.datetime64("2028-06-01"))]
    for kind in catalogue():
        for place, first in asked:
            kept = [usual_planting_day(kind, garden=place, first_day=first) for _ in range(2)]
            planting_day._usual_day.cache_clear()
            assert kept == [usual_planting_day(kind, garden=place, first_day=first)] * 2


def test_axes_begin_with_early_summer_of_their_half_of_the_earth():
    north, south = garden("London"), mirrored("London")
    assert axis_start(date(2026, 11, 1), garden=north) == np.datetime64("2026-06-01")
    assert axis_start(date(2026, 11, 1), garden=south) == np.datetime64("2025-12-01")
    assert yard_axis_start(2027, garden=north) == np.datetime64("2026-06-01")
    assert yard_axis_start(2027, garden=south) == np.datetime64("2026-12-01")


@pytest.mark.parametrize("place", ["London", "Minneapolis", "Miami", "Melbourne"])
def test_weather_years_of_a_place_keep_its_published_monthly_means(place):
    # WMO normals 1991-2020 of the station; the reference station's seasons lie a little off
    # its own mean year, so single months may differ.
    here = garden(place)
    first_day = np.datetime64("2026-12-01" if here.is_southern else "2026-06-01")
    weather = weather_for(here, first_day=first_day)
    assert weather.n_years == 21
    months = weather.days[:365].astype("datetime64[M]").astype(int) % 12
    for values, normals in ((weather.tmin_c, here.tmin_c), (weather.tmax_c, here.tmax_c)):
        means = [values[:, :365][:, months == month].mean() for month in range(12)]
        assert np.abs(np.array(means) - normals).max() < 0.6
        assert abs(np.mean(np.array(means) - normals)) < 0.15


def test_departures_have_the_reference_stations_spread():
    departures = reference_departures()
    assert departures.n_years == 21
    # Daily means stray by three to four degrees in western Europe (common knowledge, no source).
    spread = (0.5 * (departures.tmin_c + departures.tmax_c)).std()
    assert 2.5 < spread < 4.5
    assert reference_departures() is departures


def test_recorded_days_go_into_every_year():
    here = garden("London")
    days = FIRST_DAY + np.arange(200, 210)
    own = RecordedWeather(days, np.full(10, -7.0), np.full(10, -1.0))
    weather = forecaster().weather(here, first_day=FIRST_DAY, recorded=own)
    assert (weather.tmin_c[:, 200:210] == -7.0).all()
    assert weather.known.sum() == 10
    assert forecaster().weather(here, first_day=FIRST_DAY, recorded=own) is weather
    assert forecaster().weather(here, first_day=FIRST_DAY) is not weather


def test_days_go_to_and_fro():
    day = date(2028, 2, 29)
    assert as_date(as_day(day)) == day
    assert days_between(as_day(day), as_day(day + timedelta(days=366))) == 366
