from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from bloomline.reference.places import load_places
from bloomline.reference.weather import load_frost_days, load_reference_weather


def test_every_day_is_there():
    weather = load_reference_weather()
    assert weather.first_day == date(2000, 1, 1)
    assert weather.last_day == date(2022, 3, 21)
    assert weather.tmin_c.shape == weather.tmax_c.shape == (8116,)
    assert weather.tmin_c.dtype == np.float32
    assert np.isfinite(weather.tmin_c).all()
    assert (weather.tmin_c <= weather.tmax_c).all()


def test_known_days():
    # KNMI, De Bilt: 37.5 °C on 25 July 2019 (the hottest there on record), and the night of
    # 4 February 2012 with -18.9 °C (KNMI, station records).
    weather = load_reference_weather()
    hot = (date(2019, 7, 25) - weather.first_day).days
    cold = (date(2012, 2, 4) - weather.first_day).days
    assert weather.tmax_c[hot] == pytest.approx(37.5, abs=0.05)
    assert weather.tmax_c.argmax() == hot
    assert weather.tmin_c[cold] == pytest.approx(-18.9, abs=0.05)


def test_weather_cannot_be_changed_by_a_user_of_it():
    with pytest.raises(ValueError, match="read-only"):
        load_reference_weather().tmin_c[0] = 0.0


def test_frost_days_belong_to_stations_and_to_their_minima():
    places = load_places()
    frost = load_frost_days()
    assert len(frost) == 621
    for station_id, days in frost.items():
        station = places.get(station_id)
        assert len(days) == 12
        assert all(0 <= n <= 31 for n in days)
        # A month far above freezing has few frosts, a month far below nearly only frosts.
        for tmin, n in zip(station.tmin_c, days, strict=True):
            assert n < 6 or tmin < 8
            assert n > 15 or tmin > -10
