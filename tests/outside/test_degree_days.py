"""Degree days against numerical integration and an independent climate library."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad

from bloomline.engine.degree_days import average_degree_days, sine_degree_days


def integrated(tmin, tmax, lower, upper):
    """Mean over one turn of the sine's height between two thresholds, by adaptive quadrature.

    The definition behind the closed form of Baskerville & Emin (1969) and Allen (1976).
    """
    mean, amplitude = (tmin + tmax) / 2.0, (tmax - tmin) / 2.0

    def height(angle):
        return min(max(mean + amplitude * math.sin(angle), lower), upper) - lower

    # From trough to crest, split where the sine crosses a threshold, so that no kink is inside.
    edges = [-math.pi / 2.0, math.pi / 2.0]
    for threshold in (lower, upper):
        if amplitude > 0.0 and abs(threshold - mean) < amplitude:
            edges.append(math.asin((threshold - mean) / amplitude))
    edges.sort()
    parts = [quad(height, left, right)[0] for left, right in pairwise(edges)]
    return sum(parts) / math.pi


@pytest.mark.parametrize("lower", [0.0, 4.5, 10.0])
@pytest.mark.parametrize("upper", [math.inf, 22.0, 30.0])
def test_sine_against_numerical_integration(lower, upper):
    # All six cases: below, above, between, and across one or both thresholds.
    rng = np.random.default_rng(1976)
    tmin = np.concatenate([rng.uniform(-15.0, 25.0, 60), [-5.0, 12.0, 26.0, -9.0, 8.0]])
    tmax = tmin + np.concatenate([rng.uniform(0.0, 25.0, 60), [45.0, 6.0, 9.0, 5.0, 0.0]])
    found = sine_degree_days(
        tmin, tmax, lower_c=lower, upper_c=None if math.isinf(upper) else upper
    )
    expected = [integrated(low, high, lower, upper) for low, high in zip(tmin, tmax, strict=True)]
    np.testing.assert_allclose(found, expected, atol=1e-7, rtol=0)


@pytest.mark.filterwarnings("ignore::DeprecationWarning")  # xclim's use of pandas
def test_average_against_xclim_growing_degree_days():
    # xclim: sum of daily means above 5 deg C, less 5.
    import pandas as pd
    import xarray as xr
    from xclim.indices import growing_degree_days

    rng = np.random.default_rng(5)
    tmin = 4.0 - 8.0 * np.cos(2.0 * np.pi * np.arange(365) / 365.0) + rng.normal(0.0, 3.0, 365)
    tmax = tmin + rng.uniform(2.0, 14.0, 365)
    time = pd.date_range("2001-01-01", periods=365, freq="D")
    mean = xr.DataArray(
        (tmin + tmax) / 2.0, dims="time", coords={"time": time}, attrs={"units": "degC"}
    )
    expected = float(growing_degree_days(mean, thresh="5 degC", freq="YS")[0])
    found = float(average_degree_days(tmin, tmax, lower_c=5.0).sum())
    assert found == pytest.approx(expected, rel=1e-9)
