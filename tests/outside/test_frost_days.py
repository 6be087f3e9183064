"""Day-to-day weather against published counts of frost days.

Source: WMO Climatological Standard Normals 1991-2020, parameter 15 (mean number of days a month
with a minimum below 0 °C), 621 stations; NOAA NCEI accession 0253808, CC0.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from bloomline.engine.climate import frost_days, weather_years
from bloomline.plan.climate.weather import reference_departures
from bloomline.reference.places import load_places
from bloomline.reference.weather import load_frost_days

FIRST_DAY = np.datetime64("2010-06-01")
NOVEMBER_TO_APRIL = [10, 11, 0, 1, 2, 3]


@pytest.fixture(scope="module")
def errors() -> NDArray[np.float64]:
    """Forecast less published days a month, shape (n_stations, 12)."""
    places = load_places()
    departures = reference_departures()
    found = []
    for station_id, published in load_frost_days().items():
        station = places.get(station_id)
        weather = weather_years(
            station.tmin_c,
            tmax_c=station.tmax_c,
            latitude_deg=abs(station.latitude_deg),
            longitude_deg=station.longitude_deg,
            first_day=FIRST_DAY,
            departures=departures,
        )
        found.append(frost_days(weather) - np.array(published))
    return np.array(found)


def _rmse(values: NDArray[np.float64]) -> float:
    return float(np.sqrt(np.mean(values**2)))


def test_there_are_hundreds_of_stations(errors: NDArray[np.float64]) -> None:
    assert len(errors) > 600


def test_cold_months_are_right_to_a_day_or_two(errors: NDArray[np.float64]) -> None:
    # Stations that the law was not fitted on: winters.py.
    assert _rmse(errors[1::2][:, NOVEMBER_TO_APRIL]) <= 1.35


def test_all_months_are_right_to_a_day(errors: NDArray[np.float64]) -> None:
    assert _rmse(errors[1::2]) <= 1.1


def test_no_month_is_off_on_average(errors: NDArray[np.float64]) -> None:
    assert np.abs(errors.mean(axis=0)).max() <= 1.0


def test_both_halves_of_the_stations_agree(errors: NDArray[np.float64]) -> None:
    # The law was fitted on every other station; those between must do as well.
    assert _rmse(errors[::2]) == pytest.approx(_rmse(errors[1::2]), rel=0.25)


def test_rare_frosts_of_mild_months_are_neither_missed_nor_made_up(
    errors: NDArray[np.float64],
) -> None:
    # Late frosts after tender plants are out: months whose mean minimum is 6 to 15 °C.
    places = load_places()
    published = np.array(list(load_frost_days().values()))
    normal = np.array([places.get(station_id).tmin_c for station_id in load_frost_days()])
    for low, high in ((6.0, 8.0), (8.0, 11.0), (11.0, 15.0)):
        mild = (normal >= low) & (normal < high)
        share = (published + errors)[mild].sum() / published[mild].sum()
        assert 0.75 <= share <= 1.35
