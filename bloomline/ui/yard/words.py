"""What the yard's picture says in words: lines under pots, tooltips, what is selected."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QCoreApplication, QLocale

from bloomline.errors import BloomlineError
from bloomline.model.yard import Layer, Pot
from bloomline.plan.forecast.growth import Growth, Stage
from bloomline.plan.forecast.report import Band, LayerForecast
from bloomline.plan.pot.fitting import LayerFit, fit_pot, how_many
from bloomline.ui.document import Document
from bloomline.ui.units import units_of
from bloomline.ui.yard.top_words import companion_words, day_words, presence_words


def contents(pot: Pot) -> str:
    """The line under a pot's name: how many layers and bulbs, and plants on top."""
    layers, plants = len(pot.layers), sum(planting.count for planting in pot.companions)
    on_top = QCoreApplication.translate("Yard", "{0} on top").format(QLocale().toString(plants))
    if not layers:
        return on_top if plants else QCoreApplication.translate("Yard", "empty")
    if layers == 1:
        first = QCoreApplication.translate("Yard", "1 layer")
    else:
        first = QCoreApplication.translate("Yard", "{0} layers").format(layers)
    return " · ".join([first, bulbs_in(pot), *([on_top] if plants else [])])


def bulbs_in(pot: Pot) -> str:
    """How many bulbs a pot has, for where there is little room."""
    bulbs = sum(layer.count for layer in pot.layers)
    if bulbs == 1:
        return QCoreApplication.translate("Yard", "1 bulb")
    return QCoreApplication.translate("Yard", "{0} bulbs").format(QLocale().toString(bulbs))


def site_tag(pot: Pot) -> str:
    """A word for where a pot stands; none in the open."""
    words = {
        "warm-wall": QCoreApplication.translate("Yard", "wall"),
        "cold-frame": QCoreApplication.translate("Yard", "frame"),
        "cold-greenhouse": QCoreApplication.translate("Yard", "greenhouse"),
        "shed": QCoreApplication.translate("Yard", "shed"),
        "garage": QCoreApplication.translate("Yard", "garage"),
    }
    return words.get(pot.site, "")


def stage_words(growth: Growth | None) -> str:
    """How a layer looks."""
    if growth is None:
        return QCoreApplication.translate("Yard", "not worked out yet")
    words = {
        Stage.BELOW: QCoreApplication.translate("Yard", "nothing shows yet"),
        Stage.NOSE: QCoreApplication.translate("Yard", "noses showing"),
        Stage.LEAF: QCoreApplication.translate("Yard", "in leaf"),
        Stage.BUD: QCoreApplication.translate("Yard", "in bud"),
        Stage.FLOWER: QCoreApplication.translate("Yard", "in flower"),
        Stage.GREEN: QCoreApplication.translate("Yard", "flowers over, leaves green"),
        Stage.YELLOWING: QCoreApplication.translate("Yard", "leaves yellowing"),
        Stage.GONE: QCoreApplication.translate("Yard", "died down"),
    }
    return words[growth.stage]


def window_words(band: Band | None) -> str:
    """A date with the span in which it falls in eight years of ten."""
    if band is None:
        return "–"
    return QCoreApplication.translate("Yard", "{0} ({1} to {2})").format(
        day_words(band.p50), day_words(band.p10), day_words(band.p90)
    )


def kind_name(document: Document, cultivar_id: str) -> str:
    """The name of a cultivar; its id where the yard names one that isn't known."""
    try:
        return document.cultivar(cultivar_id).name
    except BloomlineError:
        return cultivar_id


def layer_fit(document: Document, pot: Pot, layer_id: str) -> LayerFit | None:
    """How a layer fits its pot."""
    try:
        fit = fit_pot(pot, cultivar_of=document.cultivar)
    except BloomlineError:
        return None
    return next((each for each in fit.layers if each.layer_id == layer_id), None)


def layer_tip(
    document: Document,
    pot: Pot,
    layer: Layer,
    forecast: LayerForecast | None,
    growth: Growth | None,
    flaws: Sequence[str] = (),
) -> str:
    """What a tooltip on a layer says: name, count, depth, what is amiss, window and why."""
    units = units_of(document.yard)
    name = kind_name(document, layer.cultivar_id)
    lines = [f"<b>{_escaped(name)}</b>"]
    fit = layer_fit(document, pot, layer.id)
    if fit is not None:
        lines.append(
            QCoreApplication.translate("Yard", "{0} bulbs; {1} fit, {2} at most").format(
                layer.count, how_many(fit.room.usual), how_many(fit.room.tight)
            )
        )
    lines.append(
        QCoreApplication.translate("Yard", "{0} of compost over the tips").format(
            units.length(layer.cover_cm)
        )
    )
    lines.extend(f"! {_escaped(words)}" for words in flaws)
    if forecast is not None:
        if forecast.start is None:
            lines.append(_escaped(forecast.reason or ""))
        else:
            lines.append(
                QCoreApplication.translate("Yard", "first flower {0}").format(
                    window_words(forecast.start)
                )
            )
            lines.append(
                QCoreApplication.translate("Yard", "over {0}").format(window_words(forecast.end))
            )
        lines.extend(_why(forecast))
        lines.append(presence_words(layer, document.day) or stage_words(growth))
    return "<br>".join(line for line in lines if line)


def _why(forecast: LayerForecast) -> list[str]:
    lines = []
    if forecast.cold_weeks_needed is not None:
        text = QCoreApplication.translate("Yard", "why: {0} cold weeks, {1} needed").format(
            QLocale().toString(forecast.cold_weeks, "f", 1),
            QLocale().toString(forecast.cold_weeks_needed, "f", 1),
        )
        if forecast.cold_met_on is not None:
            text += QCoreApplication.translate("Yard", ", met on {0}").format(
                day_words(forecast.cold_met_on)
            )
        lines.append(text)
    if forecast.date_source:
        lines.append(
            QCoreApplication.translate("Yard", "from {0}").format(_escaped(forecast.date_source))
        )
    return lines


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;")


def selection_words(document: Document, growths: dict[str, Growth], barren: frozenset[str]) -> str:
    """What is selected and how it stands, for those who don't see the picture."""
    pot, layer = document.selected_pot(), document.selected_layer()
    day = day_words(document.day)
    if pot is None:
        count = len(document.yard.pots)
        return QCoreApplication.translate("Yard", "{0} pots on {1}; none is selected").format(
            count, day
        )
    number = 1 + next(i for i, each in enumerate(document.yard.pots) if each.id == pot.id)
    planting = document.selected_companion()
    if planting is not None:
        return companion_words(document, planting)
    if layer is None:
        return QCoreApplication.translate("Yard", "{0}, pot {1} of {2}: {3}").format(
            pot.name, number, len(document.yard.pots), contents(pot)
        )
    place = len(pot.layers) - next(i for i, each in enumerate(pot.layers) if each.id == layer.id)
    stage = presence_words(layer, document.day) or stage_words(growths.get(layer.id))
    if layer.id in barren and layer.planted <= document.day:
        stage = QCoreApplication.translate("Yard", "no flowers expected")
    return QCoreApplication.translate(
        "Yard", "{0}, layer {1} of {2} from the top in {3}; {4} bulbs, {5} deep; {6} on {7}"
    ).format(
        kind_name(document, layer.cultivar_id),
        place,
        len(pot.layers),
        pot.name,
        layer.count,
        units_of(document.yard).length(layer.cover_cm),
        stage,
        day,
    )
