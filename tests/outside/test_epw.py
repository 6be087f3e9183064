"""EPW files against another reader: pvlib.iotools.read_epw on the same made-up file.

The format is that of the EnergyPlus documentation (Auxiliary Programs, EPW data dictionary).
The temperatures are invented: a daily wave on a yearly one.
"""

from __future__ import annotations

import math
from datetime import date, timedelta

import numpy as np
import pytest

from bloomline.errors import DataError, FileProblemError
from bloomline.files.epw import is_epw, laid_on_season, read_epw
from bloomline.files.weather_import import (
    ImportChoices,
    ImportedWeather,
    ImportQuestion,
    import_weather,
)

HEADS = (
    "LOCATION,Made Up Field,-,GBR,invented,000000,51.5,-0.5,0.0,25.0",
    "DESIGN CONDITIONS,0",
    "TYPICAL/EXTREME PERIODS,0",
    "GROUND TEMPERATURES,0",
    "HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0",
    "COMMENTS 1,invented figures",
    "COMMENTS 2,",
    "DATA PERIODS,1,1,Data,Sunday,1/1,12/31",
)


def warmth(hour_of_year):
    year = -9 * math.cos(2 * math.pi * hour_of_year / 8760)
    return round(10 + year - 4 * math.cos(2 * math.pi * (hour_of_year % 24 - 3) / 24), 1)


def write_epw(path, *, years, change=None):
    rows = []
    for day in range(365):
        on = date(2001, 1, 1) + timedelta(days=day)
        for hour in range(1, 25):
            cells = [str(years[on.month - 1]), str(on.month), str(on.day), str(hour), "60", "?9"]
            cells += [f"{warmth(day * 24 + hour):.1f}"] + ["0"] * 28
            rows.append(cells)
    if change:
        change(rows)
    path.write_text("\n".join([*HEADS, *(",".join(cells) for cells in rows)]) + "\n")
    return path


@pytest.fixture
def one_year(tmp_path):
    return write_epw(tmp_path / "made.epw", years=[2005] * 12)


def test_daily_extremes_are_those_of_pvlib(one_year):
    pvlib = pytest.importorskip("pvlib", reason="pvlib is not installed")
    theirs, about = pvlib.iotools.read_epw(str(one_year))
    by_day = theirs["temp_air"].groupby(theirs.index.date)
    ours = read_epw(one_year)
    assert ours.daily.days.astype(object).tolist() == list(by_day.groups)
    assert ours.daily.tmin_c == pytest.approx(by_day.min().to_numpy())
    assert ours.daily.tmax_c == pytest.approx(by_day.max().to_numpy())
    assert (ours.latitude_deg, ours.longitude_deg, ours.elevation_m) == (
        about["latitude"], about["longitude"], about["altitude"],
    )  # fmt: skip
    assert not ours.is_typical
    assert "Made Up Field" in ours.place


def test_a_typical_year_is_asked_about_and_laid_on_a_season(tmp_path):
    path = write_epw(tmp_path / "typical.epw", years=[2003, 1999, 2010, *[2007] * 9])
    assert is_epw(path)
    asked = import_weather(path)
    assert isinstance(asked, ImportQuestion)
    assert asked.about == "season_year"
    assert "no single season" in asked.words
    got = import_weather(path, choices=ImportChoices(season_year=2027))
    assert isinstance(got, ImportedWeather)
    assert got.is_typical
    assert any("typical year" in note for note in got.notes)
    assert str(got.daily.days[0]) == "2026-06-01"
    assert str(got.daily.days[-1]) == "2027-05-31"
    assert len(got.daily.days) == 365


def test_the_days_of_a_southern_season_begin_in_december(one_year):
    daily = read_epw(one_year).daily
    laid = laid_on_season(daily, season_year=2028, southern=True)
    assert str(laid.days[0]) == "2027-12-01"
    assert "2028-02-29" not in laid.days.astype(str)  # the file has none
    assert laid.tmin_c[laid.days.astype(str) == "2028-03-01"] == daily.tmin_c[59]


def test_missing_hours_are_left_out_and_absurd_ones_named(tmp_path):
    def miss(rows):
        for cells in rows[:10]:
            cells[6] = "99.9"

    got = read_epw(write_epw(tmp_path / "m.epw", years=[2005] * 12, change=miss))
    assert len(got.daily.days) == 364
    assert "1 days" not in "".join(got.notes)

    def spoil(rows):
        rows[3][6] = "-75"
        rows[5][3] = "25"
        rows[7] = list(rows[6])

    with pytest.raises(DataError) as caught:
        read_epw(write_epw(tmp_path / "s.epw", years=[2005] * 12, change=spoil))
    told = " ".join(caught.value.problems)
    assert "line 12: -75" in told
    assert "line 14: hour 25" in told
    assert "line 16: 2005-01-01 hour 7 is already on line 15" in told


def test_a_file_cut_short_is_refused(tmp_path):
    path = tmp_path / "short.epw"
    path.write_text("\n".join(HEADS) + "\n")
    with pytest.raises(FileProblemError, match="eight head lines"):
        read_epw(path)


def test_days_are_a_plain_calendar(one_year):
    days = read_epw(one_year).daily.days
    assert (np.diff(days).astype(int) == 1).all()
