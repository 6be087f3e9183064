"""Chill sums against their published tables and an independent climate library."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bloomline.engine.chill import CHILL_HOUR_MAX_C, chill_hours, chill_portions, utah_units


def invented_winter(hours: int = 4000) -> np.ndarray:
    """Hourly temperatures from autumn to spring, invented, to a tenth of a degree."""
    hour = np.arange(hours)
    rng = np.random.default_rng(1974)
    spells = np.convolve(rng.normal(0.0, 1.0, hours + 71), np.ones(72) / 8.0, mode="valid")
    season = 9.0 - 9.0 * np.sin(np.pi * hour / hours)
    return np.round(season + 5.0 * np.sin(2 * np.pi * (hour - 8) / 24) + 3.0 * spells, 1)


def hourly_array(temp, units):
    import pandas as pd
    import xarray as xr

    time = pd.date_range("2001-01-01", periods=len(temp), freq="h")
    return xr.DataArray(temp, dims="time", coords={"time": time}, attrs={"units": units})


@pytest.mark.parametrize(
    ("from_c", "to_c", "unit"),
    [
        # Richardson, Seeley & Walker (1974), HortScience 9(4), 331-332, table 1.
        (-5.0, 1.4, 0.0),
        (1.5, 2.4, 0.5),
        (2.5, 9.1, 1.0),
        (9.2, 12.4, 0.5),
        (12.5, 15.9, 0.0),
        (16.0, 18.0, -0.5),
        (18.1, 35.0, -1.0),
    ],
)
def test_rows_of_the_utah_table(from_c, to_c, unit):
    temp_c = np.round(np.arange(from_c, to_c + 0.05, 0.1), 1)
    np.testing.assert_array_equal(np.diff(utah_units(temp_c), prepend=0.0), unit)


def test_weinberger_hours():
    # Weinberger (1950): hours at or below 45 deg F, which is 7.2 deg C; frost does not count in
    # the form in use today.
    assert abs((45.0 - 32.0) / 1.8 - CHILL_HOUR_MAX_C) < 0.03
    temp_c = [-1.0, 0.0, 0.1, 3.0, 7.2, 7.3, 12.0]
    np.testing.assert_array_equal(chill_hours(temp_c), [0, 0, 1, 2, 3, 3, 3])


@pytest.mark.filterwarnings("ignore::DeprecationWarning")  # xclim's use of pandas
def test_utah_units_against_xclim():
    from xclim.indices import chill_units

    temp_c = invented_winter()
    # xclim ends the class of -0.5 at 17.9 deg C; the published table has it up to 18.
    temp_c[temp_c == 18.0] = 17.9
    expected = chill_units(hourly_array(temp_c, "degC"))
    assert utah_units(temp_c)[-1] == pytest.approx(float(expected[0]), abs=1e-9)


@pytest.mark.filterwarnings("ignore::DeprecationWarning")  # xclim's use of pandas
def test_chill_portions_against_xclim():
    from xclim.indices import chill_portions as xclim_chill_portions

    # In kelvin with the model's own offset of 273, so that both start from the same number.
    temp_c = invented_winter()
    expected = float(xclim_chill_portions(hourly_array(temp_c + 273.0, "K"))[0])
    assert expected > 50.0
    assert chill_portions(temp_c)[-1] == pytest.approx(expected, rel=1e-9)


def slow_chill_portions(temps_c: list[float]) -> float:
    """The Dynamic model hour by hour in the scalars of its published description.

    Fishman, Erez & Couvillon (1987), J. Theor. Biol. 124, 473-483, with the constants and the
    columns (xs, ak1, inter-s, inter-e, delt, portions) of Luedeling et al. (2009), table 1.
    """
    inter_e, portions, xi_before = 0.0, 0.0, 0.0
    for hour, temp_c in enumerate(temps_c):
        kelvin = temp_c + 273.0
        ftmprt = 1.6 * 277.0 * (kelvin - 277.0) / kelvin
        sr = math.exp(ftmprt)
        xi = sr / (1.0 + sr)
        xs = 139500.0 / 2.567e18 * math.exp((12888.8 - 4153.5) / kelvin)
        ak1 = 2.567e18 * math.exp(-12888.8 / kelvin)
        if hour > 0:
            inter_s = inter_e if inter_e < 1.0 else inter_e - inter_e * xi_before
            inter_e = xs - (xs - inter_s) * math.exp(-ak1)
        if inter_e >= 1.0:
            portions += xi * inter_e
        xi_before = xi
    return portions


def test_a_changing_winter_hour_by_hour():
    temp_c = invented_winter(2500)
    assert chill_portions(temp_c)[-1] == pytest.approx(slow_chill_portions(list(temp_c)), rel=1e-9)


@pytest.mark.parametrize("temp_c", [2.0, 6.0, 10.0, 13.0])
def test_constant_cold_gives_the_portions_of_the_closed_form(temp_c):
    # At a constant temperature the intermediate is E(n) = xs (1 - exp(-n ak1)) + E0 exp(-n ak1)
    # after n hours: a portion of xi * E every time it passes 1, the rest 1 - xi is carried on.
    hours = 2000
    kelvin = temp_c + 273.0
    xi = 1.0 / (1.0 + math.exp(-1.6 * 277.0 * (kelvin - 277.0) / kelvin))
    xs = 139500.0 / 2.567e18 * math.exp((12888.8 - 4153.5) / kelvin)
    ak1 = 2.567e18 * math.exp(-12888.8 / kelvin)
    now, start, portions = 0, 0.0, 0.0
    while xs > 1.0:
        needed = max(1, math.ceil(math.log((xs - start) / (xs - 1.0)) / ak1))
        now += needed
        if now > hours - 1:
            break
        reached = xs - (xs - start) * math.exp(-ak1 * needed)
        portions += xi * reached
        start = (1.0 - xi) * reached
    found = chill_portions(np.full(hours, temp_c))[-1]
    assert found == pytest.approx(portions, rel=1e-9)
    assert found == pytest.approx(slow_chill_portions([temp_c] * hours), rel=1e-9)


def test_best_temperature_for_portions_lies_between_six_and_eight_degrees():
    # Fishman, Erez & Couvillon (1987); Erez et al. (1990), Acta Hort. 276, 165-174: the response
    # is greatest at 6 to 8 deg C and there is none above about 13 deg C.
    temps_c = np.arange(-4.0, 16.0, 0.5)
    totals = chill_portions(np.repeat(temps_c[:, None], 2000, axis=1))[:, -1]
    assert 6.0 <= temps_c[totals.argmax()] <= 8.0
    assert np.all(totals[temps_c >= 14.0] == 0.0)
