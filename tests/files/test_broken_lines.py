"""Long paragraphs are broken as the standard library's textwrap breaks them."""

from __future__ import annotations

import textwrap

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.files.plain_text import broken

WORDS = st.lists(
    st.text(alphabet="ab1-é,.'×…", min_size=1, max_size=12)
    | st.sampled_from(["Tête-à-Tête", "pot-2", "--", "a--b", "", "a\tb", "x" * 40, "-"]),
    min_size=1,
    max_size=40,
)


@given(WORDS, st.integers(10, 40), st.integers(0, 4), st.integers(0, 8))
def test_as_textwrap_does(words: list[str], width: int, indent: int, hang: int) -> None:
    text, first, others = " ".join(words), " " * indent, " " * hang
    lines = textwrap.wrap(text, width, initial_indent=first, subsequent_indent=others)
    assert broken(text, width, indent=first, hang=others) == lines


@pytest.mark.parametrize("text", ["", " ", "one", " one ", "one  two"])
def test_odd_ones(text: str) -> None:
    assert broken(text, 10) == textwrap.wrap(text, 10)
