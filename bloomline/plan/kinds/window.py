"""When a packet says it flowers: "April–May", "late March", "weeks 15–18", as people write it."""

from __future__ import annotations

import re
from calendar import monthrange
from datetime import date, timedelta
from functools import lru_cache

from bloomline.errors import UsageError
from bloomline.model.cultivar import MonthDay
from bloomline.reference.folding import fold
from bloomline.words import day_words, language, month_words, part_of_month, short_month_words, tr

LONGEST_DAYS = 200
_YEAR = 2001  # any without a leap day
_LAST_WEEK = 53
_ENGLISH = (
    *("january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)
_THIRDS = (("early", 1, 10), ("mid", 11, 20), ("late", 21, 31))
_PARTED = re.compile(r"\s*(?:–|—|-|/|\bto\b|\buntil\b|\bbis\b)\s*", re.IGNORECASE)
_WEEKS = re.compile(r"\s*(?:weeks?|wk|w|kw)\.?\s*", re.IGNORECASE)
_DAY_FIRST = re.compile(r"(\d{1,2})\.?\s+([^\W\d]+)\.?")
_MONTH_FIRST = re.compile(r"([^\W\d]+)\.?\s+(\d{1,2})")
_LEAST_LETTERS = 3

Span = tuple[MonthDay, MonthDay]


def flowering_window(text: str) -> Span:
    """First and last day that a packet's words name; the span may run over the new year.

    Months in English or the language in use, whole or short; parts of months (early, mid,
    late); days ("12 April"); numbers of months; weeks of the year where the words say so.
    Raises UsageError that says what can be written.
    """
    wanted = text.strip().strip(".")
    if not wanted:
        raise UsageError(tr("empty; write the months on the packet, such as April–May"))
    weeks = _WEEKS.match(wanted)
    if weeks is not None:
        span = _weeks(_WEEKS.sub(" ", wanted))
    else:
        ends = [_phrase(part) for part in _PARTED.split(_joined(wanted)) if part]
        if not 1 <= len(ends) <= 2:
            raise _unreadable(text)
        span = (ends[0][0], ends[-1][1])
    days = window_days(*span)
    if days > LONGEST_DAYS:
        raise UsageError(
            tr(
                "{n} days; what flowers longer than {most} can't be forecast by its packet",
                n=days,
                most=LONGEST_DAYS,
            )
        )
    return span


def window_days(first: MonthDay, last: MonthDay) -> int:
    """Length of a span in days, both ends counted."""
    return (last.day_of_year - first.day_of_year) % 365 + 1


def window_words(first: MonthDay, last: MonthDay) -> str:
    """A span as it can be written and read back: whole months, parts of months, else days."""
    for third in (None, *_THIRDS):
        if _span(first.month, third) == (first, last):
            return _third_words(first.month, third)
    begin, end = _end_words(first, at=0), _end_words(last, at=1)
    return begin if begin == end else f"{begin} – {end}"


def _third_words(month: int, third: tuple[str, int, int] | None) -> str:
    if third is None:
        return month_words(month)
    return part_of_month(date(_YEAR, month, third[1]))


def _end_words(day: MonthDay, *, at: int) -> str:
    for third in (None, *_THIRDS):
        if _span(day.month, third)[at] == day:
            return _third_words(day.month, third)
    return day_words(day.in_year(_YEAR))


def _span(month: int, third: tuple[str, int, int] | None) -> Span:
    length = monthrange(_YEAR, month)[1]
    begin, end = (1, length) if third is None else (third[1], min(third[2], length))
    return MonthDay(month, begin), MonthDay(month, end)


def _joined(text: str) -> str:
    """The text with phrases such as mid-April, which are no spans, in two words."""
    return re.sub(r"\b(early|mid|late)-(?=\w)", r"\1 ", text, flags=re.IGNORECASE)


def _weeks(text: str) -> Span:
    found = [int(part) for part in re.findall(r"\d+", text)]
    if not 1 <= len(found) <= 2 or not all(1 <= week <= _LAST_WEEK for week in found):
        raise UsageError(tr("weeks go from 1 to {most}, such as weeks 15–18", most=_LAST_WEEK))

    def day(number: int) -> MonthDay:
        # Week 1 holds 4 January (ISO 8601), so on the average of years it begins on the 1st.
        when = date(_YEAR, 1, 1) + timedelta(days=min(number, 364))
        return MonthDay(when.month, when.day)

    return day(7 * (found[0] - 1)), day(7 * found[-1] - 1)


def _phrase(text: str) -> Span:
    plain = fold(text)
    known = _phrases(language())
    if plain in known:
        return known[plain]
    if plain.isdecimal() and 1 <= int(plain) <= 12:
        return _span(int(plain), None)
    day = _DAY_FIRST.fullmatch(text.strip())
    turned = _MONTH_FIRST.fullmatch(text.strip())
    if day is not None:
        return _one_day(day[2], int(day[1]), text)
    if turned is not None:
        return _one_day(turned[1], int(turned[2]), text)
    if len(plain) >= _LEAST_LETTERS:
        hits = {span for name, span in known.items() if name.startswith(plain)}
        months = {span for span in hits if span == _span(span[0].month, None)}
        if len(months) == 1:
            return months.pop()
        if len(hits) == 1:
            return hits.pop()
    raise _unreadable(text)


def _one_day(month: str, day: int, text: str) -> Span:
    first, last = _phrase(month)
    if not 1 <= day <= last.day or first.day != 1:
        raise _unreadable(text)
    return MonthDay(first.month, day), MonthDay(first.month, day)


@lru_cache(maxsize=4)
def _phrases(_language: str) -> dict[str, Span]:
    found: dict[str, Span] = {}
    for month in range(1, 13):
        english = _ENGLISH[month - 1]
        for name in (english, english[:3], month_words(month), short_month_words(month)):
            found[fold(name)] = _span(month, None)
        for third in _THIRDS:
            span = _span(month, third)
            for name in (english, english[:3]):
                found[f"{third[0]} {name}"] = span
            found[fold(part_of_month(span[0].in_year(_YEAR)))] = span
    found["sept"] = _span(9, None)
    return found


def _unreadable(text: str) -> UsageError:
    return UsageError(
        tr(
            "“{text}” is no month; write months, parts of months or weeks, such as April–May, "
            "late March or weeks 15–18",
            text=text.strip()[:40],
        )
    )
