"""The stages that are written down: their order, words, how sharp they are, what is possible."""

from __future__ import annotations

import math
from datetime import date

from bloomline.engine.learning import MONTH_DAYS
from bloomline.model.yard import Seen

SEEN_ORDER: tuple[Seen, ...] = ("nose", "first-flower", "full", "over")
SEEN_WORDS: dict[Seen, str] = {
    "nose": "nose showing",
    "first-flower": "first flower",
    "full": "full flower",
    "over": "over",
}
SEEN_SD_DAYS: dict[Seen, float] = {"nose": 14.0, "first-flower": 1.5, "full": 2.5, "over": 3.0}
"""How far apart two people write down the same stage; judgement, no source.

Noses are looked for on mild days only, and the model is rough about them.
"""

PRIOR_SD_DAYS = 4.0
"""How far gardens lie from the model before anything was seen there; judgement, no source."""

_MARGIN_SD = 3.0
"""So many standard deviations beyond the earliest and latest weather year are possible still;
common practice for measured values, no source."""


def margin_days(seen: Seen, *, cultivar_sd_days: float) -> float:
    """How far beyond the earliest and the latest weather year a stage may lie at some garden.

    It follows from the catalogue, from what gardens are like and from how people look, never
    from a yard's other records: no number of odd entries makes an impossible one possible.
    """
    return _MARGIN_SD * math.hypot(cultivar_sd_days, PRIOR_SD_DAYS, SEEN_SD_DAYS[seen])


def distance_words(residual_days: float, *, season_year: int) -> str:
    """How far a record lies from its forecast."""
    days = round(residual_days)
    if days == 0:
        return f"on the day forecast for {season_year}"
    n = "1 day" if abs(days) == 1 else f"{abs(days)} days"
    return f"{n} {'later' if days > 0 else 'earlier'} than forecast for {season_year}"


def is_about_a_month(residual_days: float) -> bool:
    """Whether a slip of one month explains it."""
    return abs(abs(residual_days) - MONTH_DAYS) <= 10.0


def odd_words(residual_days: float, *, season_year: int) -> str:
    """What is asked of a record that may be but doesn't agree with the others."""
    words = distance_words(residual_days, season_year=season_year)
    if is_about_a_month(residual_days):
        return f"{words}; is another month meant?"
    return f"{words}; is the day right?"


def impossible_words(
    seen: Seen, possible: tuple[date, date], *, residual_days: float, season_year: int
) -> str:
    """What is asked of a record that no weather year brings. possible : first and last day."""
    words = distance_words(residual_days, season_year=season_year)
    words += f", and only {possible[0]} to {possible[1]} is possible here for {SEEN_WORDS[seen]}"
    if is_about_a_month(residual_days):
        return f"{words}; is another month meant?"
    return f"{words}; are the day and the layer right?"
