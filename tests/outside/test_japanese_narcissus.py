"""First flower of Japanese narcissus with each year's own weather; source in `japanese.py`."""

from __future__ import annotations

import numpy as np
import pytest
from japanese import errors_of
from numpy.typing import NDArray

from bloomline.engine.heat import GrowthLaw

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def errors() -> list[NDArray[np.float64]]:
    return errors_of(GrowthLaw())


def test_there_are_enough_years(errors: list[NDArray[np.float64]]) -> None:
    assert sum(len(each) for each in errors) > 150


def test_all_stations_together(errors: list[NDArray[np.float64]]) -> None:
    together = np.concatenate(errors)
    assert np.sqrt(np.mean(together**2)) <= 8.5


def test_years_within_a_station(errors: list[NDArray[np.float64]]) -> None:
    within = np.concatenate([each - each.mean() for each in errors])
    assert np.sqrt(np.mean(within**2)) <= 5.8
