"""Day length against almanac values and an independent solar library."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from bloomline.engine.hourly import day_length_h, solar_declination_deg


@pytest.mark.parametrize(
    ("latitude_deg", "day", "hours"),
    [
        # Two ephemeris libraries agree on these, upper edge of the sun with refraction.
        (51.97, dt.date(2025, 12, 21), 7.75),
        (51.97, dt.date(2025, 6, 21), 16.73),
        # Duration of daylight as tabulated by the U.S. Naval Observatory, to the minute;
        # from memory.
        (40.0, dt.date(2025, 12, 21), 9 + 20 / 60),
        (40.0, dt.date(2025, 6, 21), 15 + 1 / 60),
        (0.0, dt.date(2025, 3, 20), 12 + 7 / 60),
    ],
)
def test_almanac_values(latitude_deg, day, hours):
    found = day_length_h(day.timetuple().tm_yday, latitude_deg=latitude_deg)
    assert found == pytest.approx(hours, abs=0.03)


def test_declination_at_the_solstices():
    # Obliquity of the ecliptic, 23.44 deg (IAU 2006).
    days = solar_declination_deg(np.arange(1, 366))
    assert days.max() == pytest.approx(23.44, abs=0.01)
    assert days.min() == pytest.approx(-23.44, abs=0.01)


@pytest.mark.parametrize("year", [2023, 2024], ids=["common year", "leap year"])
@pytest.mark.parametrize("latitude_deg", [-37.0, 0.0, 30.0, 51.97, 60.0])
def test_every_day_of_a_year_against_pvlib(latitude_deg, year):
    # pvlib: NREL's Solar Position Algorithm (Reda & Andreas 2004), sunrise at -0.8333 deg.
    # Tolerance: a leap year's calendar runs up to half a day off the mean of the cycle.
    import pandas as pd
    from pvlib.solarposition import sun_rise_set_transit_spa

    days = pd.date_range(f"{year}-01-01", f"{year}-12-31", freq="D", tz="UTC")
    table = sun_rise_set_transit_spa(days, latitude_deg, 0.0)
    expected = (table["sunset"] - table["sunrise"]).dt.total_seconds().to_numpy() / 3600.0
    found = day_length_h(days.day_of_year.to_numpy(), latitude_deg=latitude_deg)
    np.testing.assert_allclose(found, expected, atol=0.03, rtol=0)
