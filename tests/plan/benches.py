"""Yards with benches of equal pots, and the same with every pot written out."""

from __future__ import annotations

from bloomline.model.companion import CompanionPlanting
from bloomline.model.yard import Layer, Pot, Yard


def with_copies(yard: Yard, *copies: int) -> Yard:
    """A yard whose pots stand for so many, in turn."""
    pots = tuple(
        pot.model_copy(update={"copies": copies[at % len(copies)]})
        for at, pot in enumerate(yard.pots)
    )
    return yard.model_copy(update={"pots": pots})


def written_out(yard: Yard) -> Yard:
    """The same pots, a row for each; the first of a bench keeps its ids."""
    pots: list[Pot] = []
    for pot in yard.pots:
        pots.append(pot.model_copy(update={"copies": 1}))
        for number in range(2, pot.copies + 1):
            layers: list[Layer] = [
                each.model_copy(update={"id": f"{each.id}-{number}"}) for each in pot.layers
            ]
            on_top: list[CompanionPlanting] = [
                each.model_copy(update={"id": f"{each.id}-{number}"}) for each in pot.companions
            ]
            fields = {
                "id": f"{pot.id}-{number}",
                "name": f"{pot.name} ({number})",
                "copies": 1,
                "layers": tuple(layers),
                "companions": tuple(on_top),
            }
            pots.append(pot.model_copy(update=fields))
    wishes = []
    for wish in yard.wishes:
        ids = [
            f"{pot.id}-{number}" if number > 1 else pot.id
            for pot in yard.pots
            if pot.id in wish.pot_ids
            for number in range(1, pot.copies + 1)
        ]
        wishes.append(wish.model_copy(update={"pot_ids": tuple(ids)}))
    prices = {
        f"{pot.id}-{number}" if number > 1 else pot.id: yard.supplies.pot_prices[pot.id]
        for pot in yard.pots
        if pot.id in yard.supplies.pot_prices
        for number in range(1, pot.copies + 1)
    }
    supplies = yard.supplies.model_copy(update={"pot_prices": prices})
    return yard.model_copy(
        update={"pots": tuple(pots), "wishes": tuple(wishes), "supplies": supplies}
    )
