"""Words for what was seen, and for how far it lies from the forecast."""

from __future__ import annotations

import re
from datetime import date

from PySide6.QtCore import QCoreApplication, QLocale

from bloomline.model.yard import Record, Seen
from bloomline.plan.season.lesson import EntryVerdict
from bloomline.ui.page_kit import day_words, span_words

translate = QCoreApplication.translate

MINUS = "−"
COMMON_YEAR = 2027
"""Stands for any year where only dates matter: a common year after a common year."""
_ISO = re.compile(r"\b\d{4}-\d\d-\d\d\b")


def seen_words(seen: Seen) -> str:
    """What was seen."""
    return {
        "nose": translate("records", "Nose showing"),
        "first-flower": translate("records", "First flower"),
        "full": translate("records", "Full flower"),
        "over": translate("records", "Over"),
    }[seen]


def signed_days(days: float, decimals: int = 0) -> str:
    """Days with their sign: +3, −4, 0."""
    text = plain_days(days, decimals)
    if text == plain_days(0.0, decimals):
        return text
    return f"{MINUS if days < 0 else '+'}{text}"


def plain_days(days: float, decimals: int = 1) -> str:
    """Days without a sign."""
    return QLocale().toString(abs(float(days)), "f", decimals)


def apart_words(days: float) -> str:
    """How far a day lies from the forecast: 4 days earlier."""
    whole = round(days)
    if whole == 0:
        return translate("records", "on the very day")
    # Words for one day and for several: a number's forms are collected from self.tr only.
    if abs(whole) == 1:
        one = translate("records", "1 day later"), translate("records", "1 day earlier")
        return one[whole < 0]
    if whole > 0:
        return translate("records", "{days} days later").format(days=whole)
    return translate("records", "{days} days earlier").format(days=-whole)


def forecast_words(verdict: EntryVerdict) -> str:
    """The forecast for a season with its band, and how far the record lies from it."""
    band = verdict.forecast
    if band is None:
        return translate(
            "records", "Season {year}: no flower is forecast to hold this against."
        ).format(year=verdict.season_year)
    words = translate(
        "records",
        "Forecast for {year}, without the yard's own offset: {day}; {band} in 8 years of 10. "
        "Seen {apart}.",
    )
    return words.format(
        year=verdict.season_year,
        day=day_words(band.p50),
        band=span_words(band.p10, band.p90),
        apart=apart_words((verdict.record.day - band.p50).days),
    )


def record_words(record: Record, name: str) -> str:
    """A record in short: first flower of a cultivar on a day."""
    return f"{name}, {seen_words(record.seen).lower()}, {day_words(record.day, year=True)}"


def offset_words(days: float) -> str:
    """A yard's own offset: 1.5 days later."""
    text = plain_days(days)
    if text == plain_days(0.0):
        return translate("records", "on the days of the model")
    if days > 0:
        return translate("records", "{days} days later").format(days=text)
    return translate("records", "{days} days earlier").format(days=text)


def readable(words: str) -> str:
    """A question with its days as the system's language writes them, as a sentence."""
    words = _ISO.sub(lambda found: day_words(date.fromisoformat(found[0]), year=True), words)
    words = f"{words[:1].upper()}{words[1:]}"
    return words if words[-1:] in (".", "?", "!", "") else f"{words}."


def season_day(day: date, season_year: int) -> int:
    """Days from 1 January of the season's year; negative in the autumn before.

    29 February counts as the 28th, so that a date lies in the same place in every year.
    """
    last = 28 if day.month == 2 else day.day
    common = date(COMMON_YEAR + day.year - season_year, day.month, min(day.day, last))
    return (common - date(COMMON_YEAR, 1, 1)).days
