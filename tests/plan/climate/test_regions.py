"""Places in order of their spring: against a plain loop, the map and the calendar."""

from __future__ import annotations

import math
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.engine.climate import daily_curve
from bloomline.engine.heat import GrowthLaw
from bloomline.engine.hourly import day_length_h
from bloomline.model.place import Station
from bloomline.plan.climate.garden import garden_named
from bloomline.plan.climate.regions import (
    REFERENCE_FLOWER_ID,
    RegionStop,
    nearest_stop,
    spring_order,
)
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.one_planting import Request, forecast
from bloomline.reference.catalogue import load_catalogue
from bloomline.reference.places import load_places

LAW = GrowthLaw()


def _order(*countries: str) -> tuple[RegionStop, ...]:
    places = load_places()
    return spring_order([s for country in countries for s in places.in_country(country)])


def _place_of(stops: tuple[RegionStop, ...], name: str) -> int:
    return next(i for i, stop in enumerate(stops) if stop.station.name.startswith(name))


def _growth(station: Station, day: date) -> float:
    """One day's growth, written out."""
    at = (day - date(day.year, 1, 1)).days
    low, high = (float(daily_curve(m)[at]) for m in (station.tmin_c, station.tmax_c))
    rate = 0.0
    for temp in (
        (low + high) / 2 - (high - low) / math.sqrt(8),
        (low + high) / 2 + (high - low) / math.sqrt(8),
    ):
        above = max(min(temp, LAW.cap_c) - LAW.base_c, 0.0)
        rate += 0.5 * (above / (10.0 - LAW.base_c)) ** LAW.power
    hours = float(day_length_h(at + 1, latitude_deg=station.latitude_deg))
    return rate * (hours / 12.0) ** LAW.day_length_power


def _days_by_loop(station: Station, need: float) -> float:
    midwinter = date(2001, 6, 21) if station.latitude_deg < 0 else date(2001, 12, 21)
    total = 0.0
    for passed in range(365):
        day = midwinter + timedelta(days=passed)
        gain = _growth(station, date(2001, day.month, day.day))
        if total + gain >= need:
            return passed + (need - total) / gain
        total += gain
    return math.inf


def test_days_are_those_of_a_plain_loop() -> None:
    reference = load_places().get("00003772")
    # From 21 December to 23 February, the reference flower's date in the catalogue.
    assert str(load_catalogue().get(REFERENCE_FLOWER_ID).ref_start) == "02-23"
    days = [date(2001, 12, 21) + timedelta(days=k) for k in range(64)]
    need = sum(_growth(reference, date(2001, d.month, d.day)) for d in days)
    stops = _order("Norway", "New Zealand")
    for stop in stops[:: len(stops) // 8]:
        assert stop.days == pytest.approx(_days_by_loop(stop.station, need), abs=0.3)


def test_the_reference_garden_has_the_catalogues_date() -> None:
    (stop,) = spring_order([load_places().get("00003772")])
    assert stop.days == pytest.approx(64.0, abs=0.01)


@pytest.mark.parametrize(
    ("country", "earlier", "later"),
    [
        # Spring comes up from the south-west coast (common knowledge of the map, no source).
        ("United Kingdom", "Camborne", "Aviemore"),
        ("United Kingdom", "Heathrow", "Lerwick"),
        ("Italy", "Trapani", "Torino"),
        ("Germany", "Freiburg", "Zugspitze"),
        ("Australia", "Sydney", "Hobart"),
        ("United States", "Savannah", "Minneapolis"),
    ],
)
def test_order_is_that_of_the_map(country: str, earlier: str, later: str) -> None:
    stops = _order(country)
    assert _place_of(stops, earlier) < _place_of(stops, later)


def test_days_rise_and_every_station_comes_once() -> None:
    stops = _order("United States", "Chile")
    assert all(a.days <= b.days for a, b in pairwise(stops))
    ids = [stop.station.station_id for stop in stops]
    assert len(ids) == len(set(ids))
    assert len(ids) == sum(len(load_places().in_country(c)) for c in ("United States", "Chile"))


@given(st.randoms(use_true_random=False))
def test_order_does_not_depend_on_the_order_given(random: object) -> None:
    stations = load_places().in_country("Ireland")
    expected = [stop.station.station_id for stop in spring_order(stations)]
    random.shuffle(stations)  # type: ignore[attr-defined]
    assert [stop.station.station_id for stop in spring_order(stations)] == expected


def test_southern_springs_come_half_a_year_later() -> None:
    stops = _order("New Zealand")
    assert {stop.spring_day.month for stop in stops if stop.spring_day} <= {6, 7, 8, 9, 10}
    assert {s.spring_day.month for s in _order("Ireland") if s.spring_day} <= {1, 2, 3}


def test_warmer_comes_earlier() -> None:
    heathrow = load_places().get("00003772")
    fields = {name: getattr(heathrow, name) for name in Station.__slots__}

    def warmed(by: float) -> Station:
        means = {n: tuple(t + by for t in fields[n]) for n in ("tmax_c", "tmin_c")}
        return Station(**{**fields, **means, "station_id": f"{by}"})

    stops = spring_order([warmed(by) for by in (-3.0, 2.0, 0.0, -0.5)])
    assert [stop.station.station_id for stop in stops] == ["2.0", "0.0", "-0.5", "-3.0"]


def test_places_without_spring_come_last_and_have_no_day() -> None:
    stops = _order("Australia")
    assert stops[-1].spring_day is None and math.isinf(stops[-1].days)
    assert nearest_stop(stops, math.inf) == len(stops) - 1


def test_the_order_agrees_with_the_forecast_where_winters_are_cold_enough() -> None:
    """The quick order against the full forecast, all planted on one day."""
    stops = _order("United Kingdom")[::12]
    forecaster = Forecaster()
    cultivar = load_catalogue().get(REFERENCE_FLOWER_ID)
    opened = []
    for stop in stops:
        answer = forecast(
            Request(
                id="one",
                garden=garden_named(stop.station.station_id),
                cultivar=cultivar,
                planted=date(2026, 11, 1),
            ),
            forecaster=forecaster,
            today=date(2026, 11, 1),
        )
        assert answer.start is not None
        opened.append(answer.start.p50)
    # A few neighbours may change places, by a few days.
    assert all(later - earlier >= timedelta(days=-8) for earlier, later in pairwise(opened))
    assert opened[-1] - opened[0] > timedelta(days=20)


def test_no_stations_give_no_stops() -> None:
    assert spring_order([]) == ()
    with pytest.raises(ValueError, match="no stops"):
        nearest_stop((), 3.0)
