"""Changes to a yard that could save money: what each would do, and a guess at what it saves."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Literal

import numpy as np

from bloomline.engine.in_flower import InFlower
from bloomline.model import edits
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Yard
from bloomline.plan.pot.fitting import fit_pot
from bloomline.plan.pot.packs import best_packs
from bloomline.plan.season.colour import YardColour, in_flower
from bloomline.plan.season.outlook import Outlook, find_cultivar
from bloomline.plan.season.solve import SolvedYard, solve_yard
from bloomline.plan.shop.buying import (
    BulbLine,
    ShoppingList,
    cost_of,
    offers_for,
    planned_layers,
    shopping_list,
)
from bloomline.reference.rules import load_rules

Kind = Literal["fewer packs", "usual spacing", "cheaper kind", "leave out"]

_KEPT = 16  # worked-out yards to look things up in


@dataclass(frozen=True, slots=True)
class Idea:
    """One change that might save something. `guess` is what it saves on the bulbs alone."""

    kind: Kind
    words: str
    layer_ids: tuple[str, ...]
    guess: Decimal
    apply: Callable[[Yard], Yard]

    @property
    def touches_season(self) -> bool:
        """Whether it can change when the yard flowers."""
        return self.kind in ("cheaper kind", "leave out")


class YardReckoner:
    """Reckons lists and weeks of colour of yards, in one place and one weather."""

    def __init__(self, outlook: Outlook) -> None:
        self._outlook = outlook
        self.catalogue = outlook.catalogue
        self.garden = outlook.garden
        self._worked: deque[tuple[dict[str, str], SolvedYard, InFlower]] = deque(maxlen=_KEPT)

    def shopping(self, yard: Yard) -> ShoppingList:
        """The list of a yard."""
        return shopping_list(self._outlook.what_if(yard=yard))

    def weeks(self, yard: Yard) -> float:
        """Weeks of colour of a yard; numbers of bulbs don't change them.

        A yard whose layers are among those of one worked out already needs no new forecast.
        """
        wanted = {layer.id: layer.cultivar_id for _, layer in yard.layers()}
        found = next(
            (each for each in reversed(self._worked) if wanted.items() <= each[0].items()), None
        )
        if found is None:
            worked = solve_yard(self._outlook.what_if(yard=yard))
            found = (wanted, worked, in_flower(worked.solved))
            self._worked.append(found)
        _, worked, flowers = found
        rows = [place.row for place in worked.places if place.layer.id in wanted and place.row >= 0]
        colour = YardColour(worked, np.array(rows, dtype=np.int64), flowers=flowers)
        return float(colour.weeks().expected)

    def cultivar(self, yard: Yard, cultivar_id: str) -> Cultivar:
        """A cultivar of the yard's own or of the catalogue."""
        return find_cultivar(yard, cultivar_id, catalogue=self.catalogue)


def _without(yard: Yard, *, layer_id: str) -> Yard:
    return edits.remove_layer(yard, layer_id)


def _with_count(yard: Yard, *, layer_id: str, count: int) -> Yard:
    return edits.change_layer(yard, layer_id, count=count)


def _with_cultivar(yard: Yard, *, layer_ids: tuple[str, ...], cultivar_id: str) -> Yard:
    for layer_id in layer_ids:
        yard = edits.change_layer(yard, layer_id, cultivar_id=cultivar_id)
    return yard


def _layers_of(yard: Yard, line: BulbLine, *, reckoner: YardReckoner) -> list[tuple[str, str, int]]:
    return [
        (pot.name, layer.id, layer.count)
        for pot, layer in planned_layers(yard, garden=reckoner.garden)
        if layer.cultivar_id == line.cultivar_id
    ]


def _price_of(cultivar: Cultivar, bulbs: int, yard: Yard) -> Decimal | None:
    offers, _ = offers_for(cultivar, yard)
    return cost_of(best_packs(bulbs, offers), offers)


def _guess(line: BulbLine, fewer: int, *, yard: Yard, reckoner: YardReckoner) -> Decimal:
    """What that many bulbs fewer of a line save."""
    left = _price_of(reckoner.cultivar(yard, line.cultivar_id), max(line.to_buy - fewer, 0), yard)
    return Decimal(0) if line.cost is None or left is None else line.cost - left


def _fewer_packs(
    yard: Yard, shopping: ShoppingList, *, thinned: set[str], reckoner: YardReckoner
) -> Iterator[Idea]:
    """One pack of the smallest size less, if few enough bulbs of the largest layer go."""
    share = load_rules().figure("fewer_at_most_share").middle
    for line in shopping.bulbs:
        layers = [
            each for each in _layers_of(yard, line, reckoner=reckoner) if each[1] not in thinned
        ]
        if not line.packs or not layers:
            continue
        size = line.packs[-1][0]
        short = size - line.spare
        pot_name, layer_id, count = max(layers, key=lambda each: each[2])
        if 0 < short <= share * count:
            yield Idea(
                kind="fewer packs",
                words=f"Plant {count - short} instead of {count} {line.name} in {pot_name}: "
                f"one pack of {size} less",
                layer_ids=(layer_id,),
                guess=_guess(line, short, yard=yard, reckoner=reckoner),
                apply=partial(_with_count, layer_id=layer_id, count=count - short),
            )


def _usual_spacing(
    yard: Yard, shopping: ShoppingList, *, thinned: set[str], reckoner: YardReckoner
) -> Iterator[Idea]:
    lines = {line.cultivar_id: line for line in shopping.bulbs if line.to_buy}
    planned = {layer.id: pot for pot, layer in planned_layers(yard, garden=reckoner.garden)}
    for pot in {pot.id: pot for pot in planned.values()}.values():
        for layer in fit_pot(pot, cultivar_of=partial(reckoner.cultivar, yard)).layers:
            line = lines.get(layer.cultivar_id)
            usual = layer.room.usual
            mine = layer.layer_id in planned and layer.layer_id not in thinned
            if line is None or not mine or not 0 < usual < layer.count:
                continue
            yield Idea(
                kind="usual spacing",
                words=f"Plant {usual} instead of {layer.count} {line.name} in {pot.name}: "
                "the usual distance",
                layer_ids=(layer.layer_id,),
                guess=_guess(line, layer.count - usual, yard=yard, reckoner=reckoner),
                apply=partial(_with_count, layer_id=layer.layer_id, count=usual),
            )


def _cheaper_kind(
    yard: Yard, shopping: ShoppingList, *, thinned: set[str], reckoner: YardReckoner
) -> Iterator[Idea]:
    """The cheapest cultivar of the same type and colour that opens at much the same time."""
    days = load_rules().figure("swap_within_days").middle
    for line in shopping.bulbs:
        old = reckoner.cultivar(yard, line.cultivar_id)
        if not line.to_buy or line.cost is None:
            continue
        options: list[tuple[Decimal, Cultivar]] = []
        for other in reckoner.catalogue:
            apart = abs(other.ref_start.day_of_year - old.ref_start.day_of_year)
            alike = other.common_type == old.common_type and other.colour == old.colour
            fits = other.bulb_diameter_cm <= old.bulb_diameter_cm
            if other.id == old.id or not (alike and fits and min(apart, 365 - apart) <= days):
                continue
            price = _price_of(other, line.needed, yard)
            if price is not None and price < line.cost:
                options.append((price, other))
        if not options:
            continue
        price, other = min(options, key=lambda option: (option[0], option[1].id))
        ids = tuple(layer_id for _, layer_id, _ in _layers_of(yard, line, reckoner=reckoner))
        yield Idea(
            kind="cheaper kind",
            words=f"{other.name} instead of {old.name}: same type and colour, "
            "opens at much the same time",
            layer_ids=ids,
            guess=line.cost - price,
            apply=partial(_with_cultivar, layer_ids=ids, cultivar_id=other.id),
        )


def _leave_out(
    yard: Yard, shopping: ShoppingList, *, thinned: set[str], reckoner: YardReckoner
) -> Iterator[Idea]:
    lines = {line.cultivar_id: line for line in shopping.bulbs}
    places = list(planned_layers(yard, garden=reckoner.garden))
    if len(places) < 2:
        return
    for pot, layer in places:
        line = lines[layer.cultivar_id]
        yield Idea(
            kind="leave out",
            words=f"Leave out {line.name} in {pot.name}",
            layer_ids=(layer.id,),
            guess=_guess(line, layer.count, yard=yard, reckoner=reckoner),
            apply=partial(_without, layer_id=layer.id),
        )


IDEAS: dict[Kind, Callable[..., Iterator[Idea]]] = {
    "fewer packs": _fewer_packs,
    "usual spacing": _usual_spacing,
    "cheaper kind": _cheaper_kind,
    "leave out": _leave_out,
}
