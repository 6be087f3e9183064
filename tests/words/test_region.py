"""Days and measures as the system has them, held against the CLDR by Babel where it tells."""

from __future__ import annotations

from datetime import date

import pytest
from babel.dates import format_date, format_skeleton

from bloomline.words import (
    day_pattern,
    day_words,
    full_day_words,
    long_day_words,
    short_day_words,
    short_span_words,
    span_words,
)
from bloomline.words.region import (
    is_imperial,
    is_month_first,
    use_habits,
    use_habits_of_environment,
)

DAYS = [date(2027, 4, 22), date(2026, 12, 1), date(2028, 2, 29)]


@pytest.mark.parametrize("day", DAYS)
def test_american_days_are_those_of_the_cldr(day: date) -> None:
    # Unicode CLDR, locale en-US: skeletons, and the full format of a date.
    use_habits(imperial=False, month_first=True)
    for skeleton, words in (
        ("MMMMd", day_words(day)),
        ("yMMMMd", full_day_words(day)),
        ("MMMd", short_day_words(day)),
        ("yMMMd", short_day_words(day, year=True)),
        ("MMMEd", short_day_words(day, weekday=True)),
        ("yMMMEd", short_day_words(day, weekday=True, year=True)),
    ):
        assert words == format_skeleton(skeleton, day, locale="en_US")
    assert long_day_words(day) == format_date(day, "full", locale="en_US")


def test_spans_of_one_month_name_it_once() -> None:
    first, last = date(2027, 4, 9), date(2027, 4, 15)
    assert span_words(first, last) == "9 to 15 April"
    assert short_span_words(first, last, year=True) == "9–15 Apr 2027"
    use_habits(imperial=False, month_first=True)
    assert span_words(first, last) == "April 9 to 15"
    assert short_span_words(first, last) == "Apr 9–15"
    assert short_span_words(first, last, year=True) == "Apr 9–15, 2027"
    assert short_span_words(date(2027, 3, 29), last) == "Mar 29 – Apr 15"


def test_a_field_for_a_day_has_its_parts_in_the_same_order(pseudo_language: str) -> None:
    assert day_pattern() == "d.M.yyyy"  # as Finnish has it in the CLDR (yMMMd)


def test_a_field_for_a_day_in_english() -> None:
    assert day_pattern() == "d MMM yyyy"
    use_habits(imperial=False, month_first=True)
    assert day_pattern() == "MMM d, yyyy"


@pytest.mark.parametrize(
    ("variables", "imperial", "month_first"),
    [
        ({"LC_ALL": "en_US.UTF-8", "LANG": "de_DE.UTF-8"}, True, True),
        ({"LC_ALL": "", "LANG": "en_US.UTF-8", "LC_TIME": "en_GB.UTF-8"}, True, False),
        ({"LC_ALL": "", "LANG": "en_GB.UTF-8", "LC_MEASUREMENT": "en_US"}, True, False),
        ({"LC_ALL": "C.UTF-8", "LANG": "en_US.UTF-8"}, False, False),
        ({"LC_ALL": "", "LANG": ""}, False, False),
    ],
)
def test_the_command_line_asks_the_environment(
    monkeypatch: pytest.MonkeyPatch, variables: dict[str, str], imperial: bool, month_first: bool
) -> None:
    for name in ("LC_TIME", "LC_MEASUREMENT"):
        monkeypatch.delenv(name, raising=False)
    for name, value in variables.items():
        monkeypatch.setenv(name, value)
    use_habits_of_environment()
    assert (is_imperial(), is_month_first()) == (imperial, month_first)
