"""What the yard's picture says in words: lines under pots, tooltips, what is selected."""

from __future__ import annotations

from collections.abc import Container, Mapping, Sequence
from datetime import date

from bloomline.errors import BloomlineError
from bloomline.model.yard import Layer, Pot
from bloomline.plan.forecast.growth import Growth, Stage
from bloomline.plan.forecast.report import Band, LayerForecast
from bloomline.plan.pot.fitting import LayerFit, fit_pot, how_many
from bloomline.plan.words.benches import pot_words
from bloomline.ui.document import Document
from bloomline.ui.selection import many_words
from bloomline.ui.units import units_of
from bloomline.ui.yard.top_words import companion_words, presence_words
from bloomline.words import number_words, short_day_words, tr


def contents(pot: Pot) -> str:
    """The line under a pot's name: how many layers and bulbs, and plants on top."""
    layers, plants = len(pot.layers), sum(planting.count for planting in pot.companions)
    on_top = tr("{plants} on top", plants=number_words(plants))
    if not layers:
        return on_top if plants else tr("empty")
    if layers == 1:
        first = tr("1 layer")
    else:
        first = tr("{layers} layers", layers=layers)
    return " · ".join([first, bulbs_in(pot), *([on_top] if plants else [])])


def bulbs_in(pot: Pot) -> str:
    """How many bulbs a pot has, for where there is little room."""
    bulbs = sum(layer.count for layer in pot.layers)
    if bulbs == 1:
        return tr("1 bulb")
    return tr("{bulbs} bulbs", bulbs=number_words(bulbs))


def site_tag(pot: Pot, day: date) -> str:
    """A word for where a pot stands on a day; none in the open."""
    words = {
        "warm-wall": tr("wall"),
        "cold-frame": tr("frame"),
        "cold-greenhouse": tr("greenhouse"),
        "shed": tr("shed"),
        "garage": tr("garage"),
    }
    return words.get(pot.site_on(day), "")


def stage_words(growth: Growth | None) -> str:
    """How a layer looks."""
    if growth is None:
        return tr("not worked out yet")
    words = {
        Stage.BELOW: tr("nothing shows yet"),
        Stage.NOSE: tr("noses showing"),
        Stage.LEAF: tr("in leaf"),
        Stage.BUD: tr("in bud"),
        Stage.FLOWER: tr("in flower"),
        Stage.GREEN: tr("flowers over, leaves green"),
        Stage.YELLOWING: tr("leaves yellowing"),
        Stage.GONE: tr("died down"),
    }
    return words[growth.stage]


def window_words(band: Band | None) -> str:
    """A date with the span in which it falls in eight years of ten."""
    if band is None:
        return "–"
    return tr(
        "{band} ({early} to {late})",
        band=short_day_words(band.p50),
        early=short_day_words(band.p10),
        late=short_day_words(band.p90),
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
            tr(
                "{count} bulbs; {how_many} fit, {how_many2} at most",
                count=layer.count,
                how_many=how_many(fit.room.usual),
                how_many2=how_many(fit.room.tight),
            )
        )
    lines.append(tr("{cover} of compost over the tips", cover=units.length(layer.cover_cm)))
    lines.extend(f"! {_escaped(words)}" for words in flaws)
    if forecast is not None:
        if forecast.start is None:
            lines.append(_escaped(forecast.reason or ""))
        else:
            lines.append(
                tr("first flower {window_words}", window_words=window_words(forecast.start))
            )
            lines.append(tr("over {window_words}", window_words=window_words(forecast.end)))
        lines.extend(_why(forecast))
        lines.append(presence_words(layer, document.day) or stage_words(growth))
    return "<br>".join(line for line in lines if line)


def _why(forecast: LayerForecast) -> list[str]:
    lines = []
    if forecast.cold_weeks_needed is not None:
        text = tr(
            "why: {cold_weeks} cold weeks, {cold_weeks_needed} needed",
            cold_weeks=number_words(forecast.cold_weeks, 1),
            cold_weeks_needed=number_words(forecast.cold_weeks_needed, 1),
        )
        if forecast.cold_met_on is not None:
            text += tr(", met on {cold_met_on}", cold_met_on=short_day_words(forecast.cold_met_on))
        lines.append(text)
    if forecast.date_source:
        lines.append(tr("from {escaped}", escaped=_escaped(forecast.date_source)))
    return lines


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;")


def selection_words(
    document: Document, growths: Mapping[str, Growth], barren: Container[str]
) -> str:
    """What is selected and how it stands, for those who don't see the picture."""
    if document.selection.is_many:
        return tr("{what} are selected", what=many_words(document.selection))
    pot, layer = document.selected_pot(), document.selected_layer()
    day = short_day_words(document.day)
    if pot is None:
        count = document.yard.pot_count
        return tr("{count} pots on {day}; none is selected", count=count, day=day)
    number = 1 + next(i for i, each in enumerate(document.yard.pots) if each.id == pot.id)
    planting = document.selected_companion()
    if planting is not None:
        return companion_words(document, planting)
    if layer is None:
        return tr(
            "{pot_name}, pot {number} of {count}: {contents}",
            pot_name=pot_words(pot),
            number=number,
            count=len(document.yard.pots),
            contents=contents(pot),
        )
    place = len(pot.layers) - next(i for i, each in enumerate(pot.layers) if each.id == layer.id)
    stage = presence_words(layer, document.day) or stage_words(growths.get(layer.id))
    if layer.id in barren and layer.planted <= document.day:
        stage = tr("no flowers expected")
    return tr(
        "{kind_name}, layer {place} of {count} from the top in {pot_name}; "
        "{count2} bulbs, {cover} deep; {stage} on {day}",
        kind_name=kind_name(document, layer.cultivar_id),
        place=place,
        count=len(pot.layers),
        pot_name=pot_words(pot),
        count2=layer.count,
        cover=units_of(document.yard).length(layer.cover_cm),
        stage=stage,
        day=day,
    )
