"""Companions that are to be bought for the tops of pots."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from bloomline.model.companion import CompanionPlanting
from bloomline.model.money import exact, rounded
from bloomline.model.yard import Pot, Yard
from bloomline.plan.tops.companions import companion_of


@dataclass(frozen=True, slots=True)
class PlantLine:
    """Companions of one kind to be set on top of pots.

    set_out : the first day on which some are planted. price : of one plant, None where the
    gardener has told none; there are no typical prices of plants.
    """

    companion_id: str
    label: str
    count: int
    set_out: date
    pot_ids: tuple[str, ...]
    price: Decimal | None = None

    @property
    def cost(self) -> Decimal | None:
        """What they cost together."""
        return None if self.price is None else self.price * self.count


def plant_lines(yard: Yard, *, first: date, last: date) -> tuple[PlantLine, ...]:
    """Companions that are set out between two days, by the day of the first of each kind.

    Raises UnknownNameError.
    """
    found: dict[str, list[tuple[Pot, CompanionPlanting]]] = {}
    for pot, planting in yard.companions():
        if first <= planting.planted <= last:
            found.setdefault(planting.companion_id, []).append((pot, planting))
    prices = {
        name: rounded(exact(price), currency=yard.money.currency)
        for name, price in yard.supplies.plant_prices.items()
    }
    lines = [
        PlantLine(
            companion_id=companion_id,
            label=companion_of(companion_id).name,
            count=sum(planting.count * pot.copies for pot, planting in some),
            set_out=min(planting.planted for _, planting in some),
            pot_ids=tuple(dict.fromkeys(pot.id for pot, _ in some)),
            price=prices.get(companion_id),
        )
        for companion_id, some in found.items()
    ]
    return tuple(sorted(lines, key=lambda line: (line.set_out, line.label)))
