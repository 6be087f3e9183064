"""Towns that have no station in the table, against the normals published for them.

Mean daily maximum and minimum of January and July 1991-2020, at the height of the published
station: Met Office for the United Kingdom, Japan Meteorological Agency, Environment Canada, KNMI;
all from memory, so that a tenth or two may be wrong. Stations in the middle of large towns are
warmer at night than the open country around.
"""

from __future__ import annotations

import numpy as np
import pytest

from bloomline.engine.climate import lapse_c
from bloomline.plan.climate.finding import place_meant
from bloomline.plan.climate.garden import garden_of

# place, height of the published station m, January max, min, July max, min
PUBLISHED = [
    ("Oxford, UK", 63, 8.0, 2.4, 22.8, 13.2),
    ("Sheffield, UK", 131, 7.1, 2.2, 21.1, 12.8),
    ("Durham, UK", 102, 6.9, 1.1, 20.1, 11.4),
    ("Bradford, UK", 134, 6.7, 1.7, 19.9, 12.2),
    ("Edinburgh, UK", 26, 7.4, 1.7, 19.6, 11.7),
    ("Southampton, UK", 20, 8.6, 3.0, 22.3, 13.6),
    ("Manchester, UK", 69, 7.3, 1.7, 20.6, 12.4),
    ("Eastbourne, UK", 7, 8.4, 3.4, 20.6, 14.3),
    ("Vancouver, Canada", 4, 7.0, 2.0, 22.4, 13.9),
    ("Kyoto, Japan", 41, 9.1, 1.5, 32.0, 23.6),
    ("Kobe, Japan", 5, 9.4, 3.1, 30.4, 24.0),
    ("Yokohama, Japan", 39, 10.2, 2.7, 28.9, 22.4),
]


def _months(place: str, height_m: int) -> np.ndarray:
    choice = place_meant(place).choice.model_copy(update={"elevation_m": float(height_m)})
    assert choice.station_id is None
    garden = garden_of(choice)
    means = [garden.tmax_c[0], garden.tmin_c[0], garden.tmax_c[6], garden.tmin_c[6]]
    return np.array(means) + float(lapse_c(garden.rise_m))


@pytest.mark.parametrize(("place", "height_m", "months"), [(p, h, m) for p, h, *m in PUBLISHED])
def test_a_town_is_near_its_published_normals(place, height_m, months):
    off = _months(place, height_m) - np.array(months)
    # The rule's own error where it was measured is 1.3 °C a value; twice that is a blunder.
    assert np.abs(off).max() < 2.6
    assert abs(off.mean()) < 1.0


def test_all_together_they_are_as_near_as_stations_left_out():
    off = np.array([_months(place, height) - np.array(m) for place, height, *m in PUBLISHED])
    assert np.sqrt((off**2).mean()) < 1.0
