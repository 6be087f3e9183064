"""What is odd or impossible in a packet, field by field, while it is typed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from bloomline.errors import BloomlineError, UsageError
from bloomline.model.cultivar import Cultivar
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.kinds.classes import Range, Usual, bulb_types
from bloomline.plan.kinds.dates import NoSuchTimeError
from bloomline.plan.kinds.packet import PacketEntry, full_name, told_dates, usual_for
from bloomline.plan.kinds.window import flowering_window
from bloomline.plan.words.units import Units
from bloomline.words import tr

Field = Literal["genus", "name", "flowers", "country", "height", "cover", "size", "colour"]

HEIGHTS_CM, COVERS_CM, SIZES_CM = (3.0, 250.0), (0.0, 40.0), (2.0, 80.0)
"""What a bulb can be at all, as the model takes it."""
_ODD = 1.6  # this many times beside what its class has is asked about; judgement, no source
_MOST_NAME = 100


@dataclass(frozen=True, slots=True)
class Question:
    """What is to be said of a field. grave : it can't be so, and is to be corrected."""

    words: str
    grave: bool


Questions = Mapping[Field, Question]
METRIC = Units()


def questions(
    entry: PacketEntry,
    *,
    forecaster: Forecaster | None = None,
    taken: Iterable[Cultivar] = (),
    units: Units = METRIC,
) -> dict[Field, Question]:
    """What is odd or impossible in an entry, by field; the months only with a forecaster.

    taken : kinds that there are already, by whose names a second of the same is told.
    """
    found: dict[Field, Question] = {}
    if not _is_genus(entry.genus):
        found["genus"] = Question(
            tr("choose a type, or write its botanical genus, such as Watsonia"), True
        )
        return found
    usual = usual_for(entry)
    if not entry.name.strip():
        found["name"] = Question(tr("how is it called on the packet?"), True)
    elif len(entry.name) > _MOST_NAME:
        found["name"] = Question(tr("at most {n} letters", n=_MOST_NAME), True)
    elif any(each.name == full_name(entry.genus, entry.name) for each in taken):
        found["name"] = Question(tr("there is one of this name already"), False)
    figures: tuple[tuple[Field, float | None, Range, Range, Callable[[str], str]], ...] = (
        ("height", entry.height_cm, HEIGHTS_CM, usual.heights, _height_words),
        ("cover", entry.cover_cm, COVERS_CM, usual.covers, _cover_words),
        ("size", entry.size_cm, SIZES_CM, usual.sizes, _size_words),
    )
    for field, value, limits, usually, words in figures:
        asked = _of_figure(value, limits, usually, words, units)
        if asked is not None:
            found[field] = asked
    of_months = _of_months(entry, usual, forecaster)
    if of_months is not None:
        found[of_months[0]] = of_months[1]
    return found


def _is_genus(text: str) -> bool:
    return text.isalpha() and text.isascii() and text == text.capitalize() and 2 < len(text) <= 40


def _of_months(
    entry: PacketEntry, usual: Usual, forecaster: Forecaster | None
) -> tuple[Field, Question] | None:
    if not entry.flowers.strip():
        if all(each.genus != entry.genus for each in bulb_types()):
            words = tr("of a type that isn't listed, the months are needed")
            return "flowers", Question(words, True)
        return None
    try:
        span = flowering_window(entry.flowers)
    except UsageError as error:
        return "flowers", Question(str(error), True)
    if forecaster is None:
        return None
    try:
        dates = told_dates(span, entry.country, usual, forecaster)
    except NoSuchTimeError as error:
        return "flowers", Question(str(error), True)
    except BloomlineError as error:
        return "country", Question(str(error), True)
    if dates.agrees:
        return None
    return "flowers", Question(
        tr(
            "{n} days later than is usual for its class: right?",
            n=round(dates.apart_days),
        )
        if dates.apart_days > 0
        else tr("{n} days earlier than is usual for its class: right?", n=-round(dates.apart_days)),
        False,
    )


def _of_figure(
    value: float | None,
    limits: Range,
    usually: Range,
    words: Callable[[str], str],
    units: Units,
) -> Question | None:
    if value is None:
        return None
    if not limits[0] <= value <= limits[1]:
        return Question(tr("{span} are possible", span=_span_words(limits, units)), True)
    if usually[0] / _ODD <= value <= usually[1] * _ODD:
        return None
    return Question(words(_span_words(usually, units)), False)


def _span_words(span: Range, units: Units) -> str:
    low, high = (units.length(each, decimals=1) for each in span)
    return low if low == high else tr("{low} to {high}", low=low, high=high)


def _height_words(span: str) -> str:
    return tr("kinds of its class are {span} tall: right?", span=span)


def _cover_words(span: str) -> str:
    return tr("kinds of its class lie {span} deep: right?", span=span)


def _size_words(span: str) -> str:
    return tr("bulbs of its class measure {span} round: right?", span=span)
