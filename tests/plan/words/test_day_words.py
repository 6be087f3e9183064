"""Days in words."""

from __future__ import annotations

from datetime import date

import pytest

from bloomline.words import day_words, full_day_words, span_words


def test_a_day_with_and_without_its_year() -> None:
    assert day_words(date(2027, 4, 2)) == "2 April"
    assert full_day_words(date(2027, 12, 31)) == "31 December 2027"


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        (date(2027, 4, 24), date(2027, 5, 16), "24 April to 16 May"),
        (date(2027, 4, 3), date(2027, 4, 25), "3 to 25 April"),
        (date(2027, 4, 3), date(2027, 4, 3), "3 April"),
        (date(2026, 12, 20), date(2027, 1, 4), "20 December 2026 to 4 January 2027"),
    ],
)
def test_spans(first: date, last: date, words: str) -> None:
    assert span_words(first, last) == words
