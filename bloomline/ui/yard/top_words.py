"""What the yard's picture says of companions, and of bulbs that aren't in their pot."""

from __future__ import annotations

from datetime import date
from html import escape

from PySide6.QtCore import QCoreApplication, QLocale

from bloomline.errors import BloomlineError
from bloomline.model.companion import CompanionPlanting
from bloomline.model.yard import Layer
from bloomline.plan.forecast.report import CompanionForecast
from bloomline.plan.tops.companions import companion_of
from bloomline.plan.tops.stand import CompanionStand, days_in_pot, stand_on
from bloomline.ui.document import Document


def day_words(day: date) -> str:
    """A day as the gardener writes it, without the year."""
    locale = QLocale()
    return f"{day.day} {locale.monthName(day.month, QLocale.FormatType.ShortFormat)}"


def presence_words(layer: Layer, day: date) -> str:
    """Why the bulbs of a layer are not in their pot on a day; "" while they are."""
    if layer.planted > day:
        words = QCoreApplication.translate("Yard", "to be planted on {0}")
        return words.format(day_words(layer.planted))
    if layer.lifted_on is not None and layer.lifted_on <= day:
        words = QCoreApplication.translate("Yard", "lifted on {0}")
        return words.format(day_words(layer.lifted_on))
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
        words = QCoreApplication.translate("Yard", "to be planted on {0}")
        return words.format(day_words(planting.planted))
    if stand == "gone":
        last = days_in_pot(planting, southern=southern)[1]
        return QCoreApplication.translate("Yard", "over on {0}").format(day_words(last))
    if stand == "flower":
        return QCoreApplication.translate("Yard", "in flower")
    return QCoreApplication.translate("Yard", "in leaf")


def companion_tip(
    document: Document, planting: CompanionPlanting, forecast: CompanionForecast | None
) -> str:
    """What a tooltip on companions says: name, count, days and what to mind."""
    lines = [
        f"<b>{escape(companion_name(planting.companion_id))}</b>",
        QCoreApplication.translate("Yard", "{0} plants on top, season by date").format(
            QLocale().toString(planting.count)
        ),
        QCoreApplication.translate("Yard", "planted {0}").format(day_words(planting.planted)),
    ]
    if planting.taken_out is not None:
        words = QCoreApplication.translate("Yard", "taken out {0}")
        lines.append(words.format(day_words(planting.taken_out)))
    if forecast is not None and forecast.first is not None and forecast.last is not None:
        words = (
            QCoreApplication.translate("Yard", "in leaf {0} to {1}")
            if forecast.is_leaf
            else QCoreApplication.translate("Yard", "in flower {0} to {1}")
        )
        lines.append(words.format(day_words(forecast.first), day_words(forecast.last)))
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
        return QCoreApplication.translate("Yard", "a companion that isn't known here")


def companion_words(document: Document, planting: CompanionPlanting) -> str:
    """Selected companions and how they stand, for those who don't see the picture."""
    pot, _ = document.yard.companion(planting.id)
    place = 1 + pot.companions.index(planting)
    return QCoreApplication.translate(
        "Yard", "{0}, companion {1} of {2} on top of {3}; {4} plants, season by date; {5} on {6}"
    ).format(
        companion_name(planting.companion_id),
        place,
        len(pot.companions),
        pot.name,
        planting.count,
        _now(document, planting),
        day_words(document.day),
    )
