"""JSON piece by piece, against the standard library's own writer."""

from __future__ import annotations

import json
import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from bloomline.files.json_text import Again, json_pieces, json_text
from bloomline.files.plain_text import escaped, plain

VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=20,
)  # fmt: skip


def by_the_library(value):
    return json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False)


@given(VALUES)
def test_the_text_is_that_of_the_standard_library(value):
    assert "".join(json_pieces(value)) == json_text(value) == by_the_library(value)


@given(VALUES)
@example("a\x7fb")
def test_what_is_printed_holds_no_odd_sign_and_means_the_same(value):
    printed = escaped(json_text(value))
    assert plain(printed, keep="\n") == printed
    assert json.loads(printed) == value


@given(st.lists(VALUES), st.dictionaries(st.text(), VALUES))
def test_iterators_stand_for_lists(some, beside):
    assert "".join(json_pieces(iter(some))) == by_the_library(some)
    whole = {**beside, "rows": some}
    assert "".join(json_pieces({**beside, "rows": iter(some)})) == by_the_library(whole)


@given(st.dictionaries(st.text(), VALUES))
def test_a_dict_that_stands_in_several_places_reads_as_any_other(shared):
    again = Again(shared)
    for value in ([again, again], {"a": again, "b": [again, {"c": again}]}, again):
        assert "".join(json_pieces(value)) == json_text(value) == by_the_library(value)


def test_the_text_of_a_dict_in_several_places_is_made_once_a_depth():
    again = Again(a=1)
    assert json_text([again, again]) == by_the_library([{"a": 1}, {"a": 1}])
    assert again.text_at("  ") is again.text_at("  ")
    assert again.text_at("    ") == '{\n      "a": 1\n    }'


def test_a_list_is_written_while_it_is_made():
    made = []

    def rows():
        for number in range(3):
            made.append(number)
            yield {"number": number}

    pieces = json_pieces({"rows": rows()})
    while not any("number" in piece for piece in [next(pieces)]):
        assert made in ([], [0])
    assert made == [0]


@pytest.mark.parametrize("value", [math.nan, -math.inf, [math.inf], {"a": math.nan}])
def test_numbers_that_are_not_finite_are_refused(value):
    with pytest.raises(ValueError, match="JSON"):
        "".join(json_pieces(value))


@pytest.mark.parametrize("value", [{1: 2}, [{None: 1}], object(), {"a": {1, 2}}])
def test_what_json_has_no_word_for_is_refused(value):
    with pytest.raises(TypeError):
        "".join(json_pieces(value))
