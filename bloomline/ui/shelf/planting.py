"""Plants what is on the shelf into the selected pot, for those who don't drag."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from bloomline.errors import BloomlineError
from bloomline.model.cultivar import Cultivar
from bloomline.model.edits import change_layer
from bloomline.model.store_edits import set_stock
from bloomline.model.yard import Yard
from bloomline.plan.carry.drops import Cargo, judge_on_pot
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.forecast.planting_day import usual_planting_day
from bloomline.plan.shop.cupboard import Stock, cupboard_of, left_words
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


def stock_of(document: Document, cultivar_id: str) -> Stock | None:
    """What lies in the cupboard of a kind; None where nothing does."""
    return cupboard_of(document.yard, garden=document.outlook.garden).get(cultivar_id)


def stock_words(document: Document, cultivar_id: str) -> str:
    """What is left of a kind in the cupboard, after it was planted; empty where none lay there."""
    stock = stock_of(document, cultivar_id)
    return "" if stock is None else left_words(stock)


def plant_from_cupboard(document: Document, cultivar_id: str) -> str | None:
    """Plant a kind into the selected pot, no more than are left in the cupboard.

    Returns why not, or None when it is planted.
    """
    stock = stock_of(document, cultivar_id)
    if stock is None or not stock.left:
        return tr("No bulbs of this kind are left in the cupboard for another pot")
    return _plant(document, Cargo("cultivar", cultivar_id), most=stock.left)


def count_in_cupboard(document: Document, cultivar_id: str, count: int) -> None:
    """Say how many bulbs of a kind lie in the cupboard; 0 takes it out."""
    document.edit(
        tr("Count the cupboard"),
        lambda yard: set_stock(yard, cultivar_id, count),
        gesture=f"cupboard {cultivar_id}",
    )


def plant_on_selected_pot(document: Document, companion_id: str) -> str | None:
    """Set companions on top of the selected pot, or the only one.

    Returns why not, or None when they are planted; the new planting is then selected.
    """
    return _plant(document, Cargo("companion", companion_id))


def _plant(document: Document, cargo: Cargo, *, most: int | None = None) -> str | None:
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
    apply = verdict.apply

    def planted(yard: Yard) -> Yard:
        after = apply(yard)
        for name in _ids_of(after) - known if most is not None else ():
            after = change_layer(after, name, count=min(after.layer(name)[1].count, most or 1))
        return after

    if document.edit(verdict.name, planted):
        for name in sorted(_ids_of(document.yard) - known):
            if cargo.kind == "cultivar":
                document.select(layer_id=name)
            else:
                document.select(companion_id=name)
    return None


def _ids_of(yard: Yard) -> set[str]:
    layers = {layer.id for _, layer in yard.layers()}
    return layers | {planting.id for _, planting in yard.companions()}
