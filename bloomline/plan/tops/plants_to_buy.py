"""Companions that are to be bought for the tops of pots."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bloomline.model.companion import CompanionPlanting
from bloomline.model.yard import Pot, Yard
from bloomline.plan.tops.companions import companion_of


@dataclass(frozen=True, slots=True)
class PlantLine:
    """Companions of one kind to be set on top of pots; what they cost is not known here.

    set_out : the first day on which some are planted.
    """

    companion_id: str
    label: str
    count: int
    set_out: date
    pot_ids: tuple[str, ...]


def plant_lines(yard: Yard, *, first: date, last: date) -> tuple[PlantLine, ...]:
    """Companions that are set out between two days, by the day of the first of each kind.

    Raises UnknownNameError.
    """
    found: dict[str, list[tuple[Pot, CompanionPlanting]]] = {}
    for pot, planting in yard.companions():
        if first <= planting.planted <= last:
            found.setdefault(planting.companion_id, []).append((pot, planting))
    lines = [
        PlantLine(
            companion_id=companion_id,
            label=companion_of(companion_id).name,
            count=sum(planting.count for _, planting in some),
            set_out=min(planting.planted for _, planting in some),
            pot_ids=tuple(dict.fromkeys(pot.id for pot, _ in some)),
        )
        for companion_id, some in found.items()
    ]
    return tuple(sorted(lines, key=lambda line: (line.set_out, line.label)))
