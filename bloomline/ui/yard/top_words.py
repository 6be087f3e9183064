"""What the yard's picture says of companions, and of bulbs that aren't in their pot."""

from __future__ import annotations

from datetime import date
from html import escape

from bloomline.errors import BloomlineError
from bloomline.model.companion import CompanionPlanting
from bloomline.model.yard import Layer
from bloomline.plan.forecast.report import CompanionForecast
from bloomline.plan.tops.companions import companion_of
from bloomline.plan.tops.stand import CompanionStand, days_in_pot, stand_on
from bloomline.ui.document import Document
from bloomline.words import number_words, short_day_words, tr


def presence_words(layer: Layer, day: date) -> str:
    """Why the bulbs of a layer are not in their pot on a day; "" while they are."""
    if layer.planted > day:
        words = tr("to be planted on {0}")
        return words.format(short_day_words(layer.planted))
    if layer.lifted_on is not None and layer.lifted_on <= day:
        words = tr("lifted on {0}")
        return words.format(short_day_words(layer.lifted_on))
    return ""


def companion_name(companion_id: str) -> str:
    """The name of a companion; its id where the yard names one that isn't known."""
    try:
        return companion_of(companion_id).name
    except BloomlineError:
        return companion_id


def stand_words(planting: CompanionPlanting, stand: CompanionStand, *, southern: bool) -> str:
    """How companions look."""
    if stand == "planned":
        words = tr("to be planted on {0}")
        return words.format(short_day_words(planting.planted))
    if stand == "gone":
        last = days_in_pot(planting, southern=southern)[1]
        return tr("over on {last}", last=short_day_words(last))
    if stand == "flower":
        return tr("in flower")
    return tr("in leaf")


def companion_tip(
    document: Document, planting: CompanionPlanting, forecast: CompanionForecast | None
) -> str:
    """What a tooltip on companions says: name, count, days and what to mind."""
    lines = [
        f"<b>{escape(companion_name(planting.companion_id))}</b>",
        tr("{count} plants on top, season by date", count=number_words(planting.count)),
        tr("planted {planted}", planted=short_day_words(planting.planted)),
    ]
    if planting.taken_out is not None:
        words = tr("taken out {0}")
        lines.append(words.format(short_day_words(planting.taken_out)))
    if forecast is not None and forecast.first is not None and forecast.last is not None:
        words = tr("in leaf {0} to {1}") if forecast.is_leaf else tr("in flower {0} to {1}")
        lines.append(words.format(short_day_words(forecast.first), short_day_words(forecast.last)))
    lines.append(_now(document, planting))
    if forecast is not None:
        lines += [f"▪ {escape(advice.message)}" for advice in forecast.advice[:3]]
    return "<br>".join(line for line in lines if line)


def _now(document: Document, planting: CompanionPlanting) -> str:
    southern = document.yard.place.latitude_deg < 0
    try:
        stand = stand_on(planting, document.day, southern=southern)
        return stand_words(planting, stand, southern=southern)
    except BloomlineError:
        return tr("a companion that isn't known here")


def companion_words(document: Document, planting: CompanionPlanting) -> str:
    """Selected companions and how they stand, for those who don't see the picture."""
    pot, _ = document.yard.companion(planting.id)
    place = 1 + pot.companions.index(planting)
    return tr(
        "{companion_name}, companion {place} of {count} on top of {pot_name}; "
        "{count2} plants, season by date; {now} on {day}",
        companion_name=companion_name(planting.companion_id),
        place=place,
        count=len(pot.companions),
        pot_name=pot.name,
        count2=planting.count,
        now=_now(document, planting),
        day=short_day_words(document.day),
    )
