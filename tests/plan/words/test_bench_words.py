"""A bench is called by its name and its number, which is never cut off."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bloomline.plan.words.benches import each_words, fitted_times, times_words


def test_one_pot_is_called_by_its_name_alone():
    assert times_words("Bowl", 1) == "Bowl"
    assert times_words("Bowl", 60) == "Bowl × 60"
    assert times_words("Bowl", 12_500) == "Bowl × 12,500"
    assert each_words("12 × Shirley", 1) == "12 × Shirley"
    assert each_words("12 × Shirley", 60) == "12 × Shirley each"


@given(st.text("ab", min_size=1, max_size=40), st.integers(2, 9999), st.integers(6, 60))
def test_a_name_is_cut_before_its_number(name, copies, room):
    told = fitted_times(
        name, copies, room=room, fit=lambda text, left: text[: int(left)], width=len
    )
    assert told.endswith(times_words("", copies))
    assert len(told) <= max(room, len(times_words("", copies)))
