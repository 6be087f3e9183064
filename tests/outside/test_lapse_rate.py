"""Temperature and height against the standard atmosphere."""

from __future__ import annotations

import numpy as np
import pytest

from bloomline.engine.climate import lapse_c


@pytest.mark.parametrize(
    ("height_m", "kelvin"),
    # ISO 2533:1975 (ICAO Doc 7488), table of temperature against geopotential height.
    [(-1000.0, 294.65), (0.0, 288.15), (1000.0, 281.65), (2000.0, 275.15), (5000.0, 255.65)],
)
def test_table_of_the_standard_atmosphere(height_m, kelvin):
    assert 288.15 + float(lapse_c(height_m)) == pytest.approx(kelvin, abs=0.005)


def test_heights_in_an_array():
    np.testing.assert_allclose(lapse_c([0.0, 100.0, -200.0]), [0.0, -0.65, 1.3])
