"""What a planting card says: one pot, in order of work from the bottom up."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.packing import smallest_distance_cm
from bloomline.engine.potshape import Section
from bloomline.model.advice import Severity
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.compost import pot_compost
from bloomline.plan.fitting import CultivarOf, LayerFit, PotFit, fit_pot, pot_positions_cm
from bloomline.plan.pot_advice import PLAIN, finding_advice
from bloomline.plan.report import LayerForecast, PotForecast, SeasonReport
from bloomline.plan.safety import bulb_frost_advice, lifting_advice
from bloomline.plan.weight import pot_weight
from bloomline.reference.rules import load_rules

_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True)
class CardLayer:
    """One layer on the card, named by a letter. [cm]

    base_cm, tip_cm : depth below the rim. spacing_cm : from middle to middle, the nearest
    two; None for a single bulb. positions_cm : shape (n, 2), from the middle of the pot.
    """

    letter: str
    name: str
    count: int
    base_cm: float
    tip_cm: float
    spacing_cm: float | None
    bulb_diameter_cm: float
    section: Section
    positions_cm: NDArray[np.float64]
    colour_hex: str


@dataclass(frozen=True, slots=True)
class Card:
    """All that stands on one pot's card. Layers are in order of work: the deepest first."""

    pot: Pot
    title: str
    about: str
    layers: tuple[CardLayer, ...]
    steps: tuple[str, ...]
    expected: tuple[str, ...]
    cautions: tuple[str, ...]


def cards_for(
    yard: Yard,
    report: SeasonReport,
    *,
    cultivar_of: CultivarOf,
    pot_ids: tuple[str, ...] | None = None,
) -> tuple[Card, ...]:
    """Cards of a yard's pots, in yard order. Raises UnknownNameError."""
    wanted = tuple(pot.id for pot in yard.pots) if pot_ids is None else pot_ids
    forecasts = {each.pot_id: each for each in report.pots}
    return tuple(
        _card(yard.pot(pot_id), forecasts[pot_id], yard, report, cultivar_of) for pot_id in wanted
    )


def _card(
    pot: Pot, forecast: PotForecast, yard: Yard, report: SeasonReport, cultivar_of: CultivarOf
) -> Card:
    here = pot.model_copy(
        update={"layers": tuple(each for each in pot.layers if each.state != "lifted")}
    )
    # The order of work is that of depth, whatever the order in the file.
    fit = fit_pot(here, cultivar_of=cultivar_of)
    order = sorted(range(len(fit.layers)), key=lambda i: -fit.layers[i].base_from_rim_cm)
    places = pot_positions_cm(fit)
    layers = tuple(
        _layer(_LETTERS[rank], fit.layers[i], cultivar_of(fit.layers[i].cultivar_id), places[i])
        for rank, i in enumerate(order)
    )
    by_id = {each.layer_id: each for each in forecast.layers}
    return Card(
        pot=here,
        title=pot.name,
        about=f"{yard.name} · {report.place_label} · season {report.season_year}",
        layers=layers,
        steps=_steps(here, layers, yard, forecast.summary, cultivar_of),
        expected=tuple(
            _expected(layer, here.layers[i], by_id.get(here.layers[i].id))
            for layer, i in zip(layers, order, strict=True)
        ),
        cautions=(
            *_cautions(here, yard, cultivar_of),
            *_amiss(here, fit, cultivar_of),
            *(
                advice.message
                for advice in bulb_frost_advice(forecast.layers, cultivar_of=cultivar_of)
            ),
        ),
    )


def _layer(
    letter: str, fit: LayerFit, cultivar: Cultivar, positions: NDArray[np.float64]
) -> CardLayer:
    return CardLayer(
        letter=letter,
        name=cultivar.name,
        count=fit.count,
        base_cm=fit.base_from_rim_cm,
        tip_cm=fit.tip_from_rim_cm,
        spacing_cm=smallest_distance_cm(positions) if len(positions) > 1 else None,
        bulb_diameter_cm=fit.bulb_diameter_cm,
        section=fit.section,
        positions_cm=positions,
        colour_hex=cultivar.colour_hex,
    )


def _steps(
    pot: Pot, layers: tuple[CardLayer, ...], yard: Yard, summary: str, cultivar_of: CultivarOf
) -> tuple[str, ...]:
    compost = pot_compost(pot, yard=yard, cultivar_of=cultivar_of)
    where = summary.rpartition(", ")[2]
    found = [
        f"Set the empty pot in its place ({where}), on feet so that the holes stay free. "
        f"Have {compost.loose_l:.0f} litres of {compost.recipe.label} ready."
    ]
    if pot.crocks_cm > 0:
        found.append(
            f"Lay crocks over the holes, {pot.crocks_cm:.0f} cm; no gravel layer: a fine mix stays "
            "wet above it."
        )
    else:
        found.append("Lay one curved crock over each hole, hollow side down.")
    for layer in layers:
        apart = f", {layer.spacing_cm:.1f} cm from middle to middle" if layer.spacing_cm else ""
        flat = " Flat sides of those at the rim outwards." if "Tulipa" in layer.name else ""
        bulbs = "1 bulb" if layer.count == 1 else f"{layer.count} bulbs"
        short = layer.count - len(layer.positions_cm)
        tight = f" {short} do not fit without touching: leave them out." if short > 0 else ""
        found.append(
            f"{layer.letter}: fill to {layer.base_cm:.1f} cm below the rim, firm lightly, and set "
            f"{bulbs} of {layer.name} tip up{apart}, as in plan {layer.letter}. Tips lie "
            f"{layer.tip_cm:.1f} cm below the rim.{flat}{tight}"
        )
    surface = pot.rim_gap_cm + pot.top_dressing_cm
    found.append(f"Fill to {surface:.1f} cm below the rim.")
    if pot.top_dressing_cm > 0:
        what = pot.top_dressing or "top dressing"
        found.append(
            f"Spread {pot.top_dressing_cm:.1f} cm of {what}; the rest stays free for water."
        )
    found.append("Water until it runs out below. Put the label in now, not later.")
    return tuple(found)


def _expected(layer: CardLayer, planted: Layer, forecast: LayerForecast | None) -> str:
    day = f"planted {planted.planted.isoformat()}"
    if forecast is None or forecast.start is None or forecast.end is None:
        reason = forecast.reason if forecast is not None else None
        return f"{layer.letter}: {day}; {reason or 'no flower expected this season'}"
    return (
        f"{layer.letter}: {day}; opens {forecast.start.p50.isoformat()} "
        f"({forecast.start.p10:%m-%d} to {forecast.start.p90:%m-%d}), over {forecast.end.p50:%m-%d}"
    )


def _amiss(pot: Pot, fit: PotFit, cultivar_of: CultivarOf) -> tuple[str, ...]:
    """Layers that lie in one another, in the crocks or too shallow, before they are planted so."""
    names = {layer.id: cultivar_of(layer.cultivar_id).name for layer in pot.layers}
    found = (finding_advice(finding, pot, names, writing=PLAIN) for finding in fit.layout.findings)
    return tuple(each.message for each in found if each.severity is Severity.WARNING)


def _cautions(pot: Pot, yard: Yard, cultivar_of: CultivarOf) -> tuple[str, ...]:
    rules = load_rules()
    kinds = {layer.cultivar_id: cultivar_of(layer.cultivar_id) for layer in pot.layers}
    found: list[str] = []
    if any(kind.genus == "Lilium" for kind in kinds.values()):
        found.append(rules.caution("lily-cats").message)
    toxic = [kind for kind in kinds.values() if kind.toxic_pets > 0]
    gloves = [
        kind
        for kind in toxic
        if (entry := rules.toxicity(kind.genus, kind.group)) is not None and entry.gloves
    ]
    if gloves:
        names = ", ".join(dict.fromkeys(kind.genus for kind in gloves))
        found.append(f"Wear gloves, nitrile rather than latex: {names}.")
    severe = list(dict.fromkeys(kind.genus for kind in toxic if kind.toxic_pets >= 2))
    if severe:
        found.append(
            f"Can be severe or fatal if eaten: {', '.join(severe)}. Keep from pets and children; "
            "call a vet or poisons line at once."
        )
    elif toxic:
        found.append("Harmful if eaten: keep bulbs from pets, children and the kitchen.")
    weight = pot_weight(pot, yard=yard, cultivar_of=cultivar_of)
    for advice in lifting_advice(weight):
        found.append(
            f"{advice.message} No safe limit: local rules and your own strength come first."
        )
    return tuple(found)
