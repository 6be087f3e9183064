"""Median and distinct numbers against NumPy's own."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.engine.sorting import distinct, median

NUMBERS = st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=40)


@given(NUMBERS)
def test_the_median_is_numpys(values: list[float]) -> None:
    assert median(values) == np.median(values)


@given(st.lists(st.integers(-5, 5), max_size=40))
def test_distinct_numbers_are_numpys(values: list[int]) -> None:
    given_ = np.array(values, dtype=np.int64)
    assert distinct(given_).tolist() == np.unique(given_).tolist()


def test_kinds_by_name_and_tables_are_taken_as_well() -> None:
    assert distinct(np.array(["b", "a", "b"])).tolist() == ["a", "b"]
    assert distinct(np.array([[2, 1], [1, 3]])).tolist() == [1, 2, 3]
    with pytest.raises(IndexError):
        median([])
