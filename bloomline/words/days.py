"""Days as people read them, on screen and on paper: "7 March 2027", short "Wed 7 Mar".

The one place that writes them; files for programs (CSV, JSON, calendars) have ISO 8601. English
has its names here, so that it needs no Babel; other languages have theirs from the CLDR.
"""

from __future__ import annotations

from datetime import date
from typing import cast

from bloomline.words.language import ENGLISH, language, locale_of
from bloomline.words.messages import tr
from bloomline.words.region import is_month_first

_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_SHORT = 3
# By whether the month comes first.
_YEAR_AFTER = {False: " ", True: ", "}
_AFTER_WEEKDAY = {False: " ", True: ", "}


def day_words(day: date) -> str:
    """A day without its year: "22 April"."""
    return _english(day, _MONTHS[day.month - 1]) if _is_english() else _cldr(day, "MMMMd")


def full_day_words(day: date) -> str:
    """A day with its year: "22 April 2027"."""
    if not _is_english():
        return _cldr(day, "yMMMMd")
    return f"{day_words(day)}{_YEAR_AFTER[is_month_first()]}{day.year}"


def long_day_words(day: date) -> str:
    """A day with its year and weekday, in full: "Thursday 22 April 2027"."""
    if _is_english():
        return f"{_DAYS[day.weekday()]}{_AFTER_WEEKDAY[is_month_first()]}{full_day_words(day)}"
    return _cldr(day, "yMMMMEEEEd")


def short_day_words(day: date, *, year: bool = False, weekday: bool = False) -> str:
    """A day for tables and pictures: "7 Mar", "7 Mar 2027", "Wed 7 Mar", "Wed 7 Mar 2027"."""
    if not _is_english():
        return _cldr(day, f"{'y' if year else ''}MMM{'E' if weekday else ''}d")
    words = _english(day, _MONTHS[day.month - 1][:_SHORT])
    if weekday:
        words = f"{_DAYS[day.weekday()][:_SHORT]}{_AFTER_WEEKDAY[is_month_first()]}{words}"
    return f"{words}{_YEAR_AFTER[is_month_first()]}{day.year}" if year else words


def span_words(first: date, last: date) -> str:
    """Two days as a span, with years only where they differ: "24 April to 16 May"."""
    if first == last:
        return day_words(first)
    if first.year != last.year:
        return tr("{first} to {last}", first=full_day_words(first), last=full_day_words(last))
    begin, end = day_words(first), day_words(last)
    if _is_english() and first.month == last.month:
        begin, end = (begin, str(last.day)) if is_month_first() else (str(first.day), end)
    return tr("{first} to {last}", first=begin, last=end)


def short_span_words(first: date, last: date, *, year: bool = False) -> str:
    """A span for tables and pictures: "9–15 Mar", "29 Mar – 4 Apr", with its year if wanted."""
    end = short_day_words(last, year=year)
    if first == last:
        return end
    if _is_english() and (first.year, first.month) == (last.year, last.month):
        if not is_month_first():
            return f"{first.day}–{end}"
        behind = end.removeprefix(short_day_words(last))  # its year, if that is wanted
        return f"{short_day_words(first)}–{last.day}{behind}"
    return f"{short_day_words(first, year=year and first.year != last.year)} – {end}"


def band_words(early: date, middle: date, late: date) -> str:
    """A middle day and the days about it: "3 Apr (24 Mar – 11 Apr)"."""
    return tr(
        "{middle} ({early} – {late})",
        middle=short_day_words(middle),
        early=short_day_words(early),
        late=short_day_words(late),
    )


def part_of_month(day: date) -> str:
    """About when, for what needs no day: "early May", "mid October", "late December"."""
    month = month_words(day.month)
    if day.day <= 10:
        return tr("early {month}", month=month)
    if day.day <= 20:
        return tr("mid {month}", month=month)
    return tr("late {month}", month=month)


def month_words(month: int) -> str:
    """A month standing alone: "March". month : 1 to 12."""
    return _MONTHS[month - 1] if _is_english() else _cldr_month(month, "wide")


def short_month_words(month: int) -> str:
    """A month standing alone, short: "Mar". month : 1 to 12."""
    if _is_english():
        return _MONTHS[month - 1][:_SHORT]
    return _cldr_month(month, "abbreviated")


def short_weekday_words(day: date) -> str:
    """The weekday of a day, short: "Wed"."""
    if _is_english():
        return _DAYS[day.weekday()][:_SHORT]
    return cast(str, locale_of(language()).days["stand-alone"]["abbreviated"][day.weekday()])


def month_letter(month: int) -> str:
    """A month's letter, for the heads of narrow columns: "M". month : 1 to 12."""
    return _MONTHS[month - 1][0] if _is_english() else _cldr_month(month, "narrow")


def day_pattern(*, year: bool = True) -> str:
    """How a day is put into a field, in the letters of the CLDR: "d MMM yyyy", or "d MMM"."""
    if not _is_english():
        skeleton = "yMMMd" if year else "MMMd"
        pattern = str(locale_of(language()).datetime_skeletons[skeleton].pattern)
        return pattern.replace("LLL", "MMM").replace("y", "yyyy")
    day = "MMM d" if is_month_first() else "d MMM"
    if not year:
        return day
    return f"{day}, yyyy" if is_month_first() else f"{day} yyyy"


def _english(day: date, month: str) -> str:
    return f"{month} {day.day}" if is_month_first() else f"{day.day} {month}"


def _is_english() -> bool:
    return language() == ENGLISH


def _cldr_month(month: int, width: str) -> str:
    return cast(str, locale_of(language()).months["stand-alone"][width][month])


def _cldr(day: date, skeleton: str) -> str:
    from babel.dates import format_skeleton

    return format_skeleton(skeleton, day, locale=locale_of(language()))
