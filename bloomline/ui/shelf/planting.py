"""Plants what is on the shelf into the selected pot, for those who don't drag."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from bloomline.errors import BloomlineError
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Yard
from bloomline.plan.carry.drops import Cargo, judge_on_pot
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.forecast.planting_day import usual_planting_day
from bloomline.ui.document import Document
from bloomline.words import tr


def usual_day_at(yard: Yard) -> Callable[[Cultivar], date]:
    """The usual planting day of a kind at the yard, in the season that is shown."""
    garden = garden_of(yard.place)
    first_day = yard_axis_start(yard.season_year, garden=garden)

    def usual(cultivar: Cultivar) -> date:
        return usual_planting_day(cultivar, garden=garden, first_day=first_day)

    return usual


def plant_in_selected_pot(document: Document, cultivar_id: str) -> str | None:
    """Plant a kind at its usual depth into the selected pot, or the only one.

    Returns why not, or None when it is planted; the new layer is then selected.
    """
    return _plant(document, Cargo("cultivar", cultivar_id))


def plant_on_selected_pot(document: Document, companion_id: str) -> str | None:
    """Set companions on top of the selected pot, or the only one.

    Returns why not, or None when they are planted; the new planting is then selected.
    """
    return _plant(document, Cargo("companion", companion_id))


def _plant(document: Document, cargo: Cargo) -> str | None:
    yard = document.yard
    pot_id = document.pot_id
    if pot_id is None and len(yard.pots) == 1:
        pot_id = yard.pots[0].id
    if pot_id is None:
        if yard.pots:
            return tr("Select the pot first that this should be planted in")
        return tr("Add a pot first: bulbs are planted into one")
    known = _ids_of(yard)
    try:
        verdict = judge_on_pot(
            yard,
            cargo,
            pot_id=pot_id,
            depth_from_rim_cm=None,
            copy=False,
            cultivar_of=document.cultivar,
            usual_day=usual_day_at(yard),
        )
    except BloomlineError as error:
        return str(error)
    if not verdict.allowed or verdict.apply is None:
        return verdict.words
    if document.edit(verdict.name, verdict.apply):
        for name in sorted(_ids_of(document.yard) - known):
            if cargo.kind == "cultivar":
                document.select(layer_id=name)
            else:
                document.select(companion_id=name)
    return None


def _ids_of(yard: Yard) -> set[str]:
    layers = {layer.id for _, layer in yard.layers()}
    return layers | {planting.id for _, planting in yard.companions()}
