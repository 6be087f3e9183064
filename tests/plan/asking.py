"""Short ways to ask for forecasts; weather and sums are made once for all tests."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import lru_cache

import numpy as np

from bloomline.model.yard import Layer, PlaceChoice, Pot, Yard
from bloomline.plan.climate.garden import garden_named
from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.climate.weather import RecordedWeather
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.one_planting import Request, forecast
from bloomline.plan.forecast.planting_day import counts_from, usual_planting_day
from bloomline.plan.forecast.plantings import Planting
from bloomline.plan.season.outlook import Outlook
from bloomline.reference.catalogue import load_catalogue

STATIONS = {
    "London": "00003772",
    "Berlin": "0-20000-0-99999-berlin-dahlem-fu",
    "Boston": "0-20000-0-72509",
    "Minneapolis": "0-20000-0-72658",
    "Miami": "0-20000-0-72202",
    "Melbourne": "0-36-9-94866",
}
TODAY = date(2026, 9, 1)
FIRST_DAY = np.datetime64("2026-06-01")
GROUND = Standing(where="ground")
POT = Standing()


@lru_cache(maxsize=1)
def forecaster():
    return Forecaster()


@lru_cache(maxsize=1)
def catalogue():
    return load_catalogue()


def outlook(of, *, today=None, **fields):
    """An outlook on a yard with the catalogue and the forecaster of all tests."""
    fields = {"catalogue": catalogue(), "forecaster": forecaster(), **fields}
    return Outlook.of(of, today=today or date.today(), **fields)


@lru_cache(maxsize=16)
def garden(name):
    return garden_named(STATIONS[name])


@lru_cache(maxsize=16)
def steady(name):
    """The same climate at a longitude whose weather is as steady as the law takes the south's."""
    return replace(garden(name), longitude_deg=118.0)


def mirrored(name):
    """The climate of `steady` on the other half of the earth."""
    here = garden(name)
    return replace(
        here,
        latitude_deg=-here.latitude_deg,
        tmin_c=here.tmin_c[6:] + here.tmin_c[:6],
        tmax_c=here.tmax_c[6:] + here.tmax_c[:6],
    )


def ask(place, cultivar_id, planted=None, *, standing=POT, recorded=None, **fields):
    """One forecast."""
    return forecast(
        Request(
            id="test",
            garden=garden(place) if isinstance(place, str) else place,
            cultivar=catalogue().get(cultivar_id),
            planted=date.fromisoformat(planted) if isinstance(planted, str) else planted,
            standing=standing,
            **fields,
        ),
        forecaster=forecaster(),
        today=TODAY,
        recorded=recorded,
    )


def solve(place, *plantings, recorded=None, first_day=FIRST_DAY):
    """The table of all years for plantings given as (cultivar id, day, further fields)."""
    here = garden(place) if isinstance(place, str) else place

    def rooted(cultivar, day, established):
        usual = usual_planting_day(cultivar, garden=here, first_day=first_day)
        return counts_from(
            cultivar, planted=day, established=established, usual=usual, first_day=first_day
        )

    return forecaster().solve(
        [
            Planting(
                catalogue().get(cultivar_id),
                rooted(catalogue().get(cultivar_id), day, fields.get("established", False)),
                fields.get("standing", POT),
                **{name: value for name, value in fields.items() if name != "standing"},
            )
            for cultivar_id, day, fields in plantings
        ],
        garden=here,
        first_day=first_day,
        recorded=recorded,
    )


def one_years_weather(place, year, *, first_day=FIRST_DAY, warmer_from=None, warmer_c=0.0):
    """One of the weather years as if it had been measured."""
    here = garden(place) if isinstance(place, str) else place
    weather = forecaster().weather(here, first_day=first_day)
    extra = np.zeros(len(weather.days))
    if warmer_from is not None:
        extra[weather.days >= np.datetime64(warmer_from)] = warmer_c
    return RecordedWeather(
        days=weather.days, tmin_c=weather.tmin_c[year] + extra, tmax_c=weather.tmax_c[year] + extra
    )


def yard(*pots, place="London", season_year=2027, **fields):
    """A yard at one of the stations; a pot is a list of layers (cultivar id, planted) or a Pot."""
    here = garden(place)
    made = []
    for p, pot in enumerate(pots):
        if isinstance(pot, Pot):
            made.append(pot)
            continue
        layers = [
            Layer(
                id=f"layer-{p}-{k}",
                cultivar_id=cultivar_id,
                count=10,
                cover_cm=10,
                planted=date.fromisoformat(planted),
            )
            for k, (cultivar_id, planted) in enumerate(pot)
        ]
        made.append(
            Pot(
                id=f"pot-{p}",
                name=f"Pot {p}",
                top_width_cm=36,
                bottom_width_cm=28,
                inside_height_cm=35,
                wall_cm=1.5,
                layers=layers,
            )
        )
    return Yard(
        name="Test yard",
        place=PlaceChoice(
            station_id=here.station_id,
            name=here.station_name,
            latitude_deg=here.latitude_deg,
            longitude_deg=here.longitude_deg,
        ),
        season_year=season_year,
        pots=made,
        **fields,
    )
