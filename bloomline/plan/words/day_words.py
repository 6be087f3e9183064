"""Days as people write them: 22 April, 22 April 2027, 24 April to 16 May."""

from __future__ import annotations

from datetime import date

_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def day_words(day: date) -> str:
    """A day without its year: "22 April"."""
    return f"{day.day} {_MONTHS[day.month - 1]}"


def full_day_words(day: date) -> str:
    """A day with its year: "22 April 2027"."""
    return f"{day_words(day)} {day.year}"


def span_words(first: date, last: date) -> str:
    """Two days as a span, with years only where they differ: "24 April to 16 May"."""
    if first.year != last.year:
        return f"{full_day_words(first)} to {full_day_words(last)}"
    if first == last:
        return day_words(first)
    begin = str(first.day) if first.month == last.month else day_words(first)
    return f"{begin} to {day_words(last)}"


def part_of_month(day: date) -> str:
    """About when, for what needs no day: "early May", "mid October", "late December"."""
    part = "early" if day.day <= 10 else "mid" if day.day <= 20 else "late"
    return f"{part} {_MONTHS[day.month - 1]}"
