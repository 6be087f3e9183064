"""How to bring a shopping list under its budget with the least loss of colour.

Every change is a real edit of the yard: its saving comes from a new shopping list and its
effect on the weeks of colour from a new forecast. Four kinds are tried:

- drop a pack that is bought for a few bulbs: plant that many fewer, once a layer;
- no more bulbs than stand at the usual distance;
- a cheaper cultivar of the same type and colour that opens at much the same time;
- leave a layer out.

The change that costs the fewest weeks of colour comes first, among equals the gentlest in the
order above, then the one that alone is enough, else the one that saves most. At the end every
change that is not needed is undone. It is a search by hand and eye, not a proof of the least.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Literal

from bloomline.model import edits
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Yard
from bloomline.plan.buying import (
    BulbLine,
    ShoppingList,
    cost_of,
    offers_for,
    planned_layers,
    shopping_list,
)
from bloomline.plan.fitting import fit_pot
from bloomline.plan.forecaster import Forecaster
from bloomline.plan.garden import Garden, garden_of
from bloomline.plan.packs import best_packs
from bloomline.plan.yard_season import season_report
from bloomline.plan.yard_solve import find_cultivar
from bloomline.reference.catalogue import Catalogue
from bloomline.reference.rules import load_rules

Kind = Literal["fewer packs", "usual spacing", "cheaper kind", "leave out"]

_GENTLEST: tuple[Kind, ...] = ("fewer packs", "usual spacing", "cheaper kind", "leave out")
_MOST_CHANGES = 30
_TRIED_OF_A_KIND = 4  # the likeliest of each kind are worked out
_NO_LOSS_WEEKS = 0.05


@dataclass(frozen=True, slots=True)
class Saving:
    """One change.

    saved : money, at the point of the list where it stands. weeks_before, weeks_after : weeks
    of colour of the whole yard. bulbs_fewer : bulbs planted less than before.
    """

    kind: Kind
    words: str
    layer_ids: tuple[str, ...]
    saved: Decimal
    weeks_before: float
    weeks_after: float
    bulbs_fewer: int
    apply: Callable[[Yard], Yard]


@dataclass(frozen=True, slots=True)
class BudgetPlan:
    """Changes in their order, the yard after them, and whether they are enough."""

    savings: tuple[Saving, ...]
    yard: Yard
    shopping: ShoppingList
    enough: bool


@dataclass(frozen=True, slots=True)
class _Idea:
    kind: Kind
    words: str
    layer_ids: tuple[str, ...]
    guess: Decimal  # what it saves on the bulbs
    apply: Callable[[Yard], Yard]

    @property
    def touches_season(self) -> bool:
        return self.kind in ("cheaper kind", "leave out")


@dataclass(frozen=True, slots=True)
class _Tried:
    idea: _Idea
    yard: Yard
    shopping: ShoppingList
    saved: Decimal
    weeks: float


class _Desk:
    """Reckons lists and weeks of colour of yards, in one place and one weather."""

    def __init__(self, catalogue: Catalogue, forecaster: Forecaster, garden: Garden) -> None:
        self.catalogue = catalogue
        self.forecaster = forecaster
        self.garden = garden

    def shopping(self, yard: Yard) -> ShoppingList:
        return shopping_list(yard, catalogue=self.catalogue, garden=self.garden)

    def weeks(self, yard: Yard) -> float:
        report = season_report(
            yard, catalogue=self.catalogue, forecaster=self.forecaster, garden=self.garden
        )
        return float(report.weeks_of_colour.expected)

    def cultivar(self, yard: Yard, cultivar_id: str) -> Cultivar:
        return find_cultivar(yard, cultivar_id, catalogue=self.catalogue)


def plan_budget(
    yard: Yard,
    *,
    catalogue: Catalogue,
    forecaster: Forecaster,
    garden: Garden | None = None,
) -> BudgetPlan:
    """The changes that bring a yard's list under its budget; none when it is under already.

    Where no change is enough, all that save anything without leaving the yard empty are given
    and `enough` is false.
    """
    desk = _Desk(catalogue, forecaster, garden or garden_of(yard.place))
    shopping = desk.shopping(yard)
    taken: list[_Tried] = []
    if shopping.over <= 0:
        return BudgetPlan((), yard, shopping, True)
    weeks = desk.weeks(yard)
    now, now_shopping, now_weeks = yard, shopping, weeks
    thinned: set[str] = set()
    while now_shopping.over > 0 and len(taken) < _MOST_CHANGES:
        best = _best(now, now_shopping, now_weeks, thinned=thinned, desk=desk)
        if best is None:
            break
        taken.append(best)
        if best.idea.kind in ("fewer packs", "usual spacing"):
            thinned.update(best.idea.layer_ids)
        now, now_shopping, now_weeks = best.yard, best.shopping, best.weeks
    ideas = _needed(yard, [each.idea for each in taken], desk=desk)
    return _told(yard, ideas, shopping=shopping, weeks=weeks, desk=desk)


def _best(
    yard: Yard, shopping: ShoppingList, weeks: float, *, thinned: set[str], desk: _Desk
) -> _Tried | None:
    """The change to make next; the gentle ones are looked at before any season is worked out."""
    found: list[_Tried] = []
    for kind in _GENTLEST:
        ideas = sorted(
            _IDEAS[kind](yard, shopping, thinned=thinned, desk=desk),
            key=lambda idea: (-idea.guess, idea.words),
        )
        for idea in ideas[:_TRIED_OF_A_KIND]:
            one = _tried(idea, yard, shopping, weeks, desk=desk)
            if one is not None:
                found.append(one)
        if found and kind == "usual spacing":
            break

    def rank(one: _Tried) -> tuple[float, int, bool, Decimal]:
        lost = max(weeks - one.weeks, 0.0)
        loss = 0.0 if lost < _NO_LOSS_WEEKS else round(lost, 1)
        enough = one.shopping.over <= 0
        gentle = _GENTLEST.index(one.idea.kind)
        return loss, gentle, not enough, one.saved if enough else -one.saved

    return min(found, key=rank, default=None)


def _tried(
    idea: _Idea, yard: Yard, shopping: ShoppingList, weeks: float, *, desk: _Desk
) -> _Tried | None:
    changed = idea.apply(yard)
    after = desk.shopping(changed)
    saved = shopping.total - after.total
    # A total that falls because a price became unknown is no saving.
    if saved <= 0 or len(after.unpriced) > len(shopping.unpriced):
        return None
    if idea.touches_season:
        weeks = desk.weeks(changed)
    return _Tried(idea, changed, after, saved, weeks)


def _without(yard: Yard, *, layer_id: str) -> Yard:
    return edits.remove_layer(yard, layer_id)


def _with_count(yard: Yard, *, layer_id: str, count: int) -> Yard:
    return edits.change_layer(yard, layer_id, count=count)


def _with_cultivar(yard: Yard, *, layer_ids: tuple[str, ...], cultivar_id: str) -> Yard:
    for layer_id in layer_ids:
        yard = edits.change_layer(yard, layer_id, cultivar_id=cultivar_id)
    return yard


def _layers_of(yard: Yard, line: BulbLine, *, desk: _Desk) -> list[tuple[str, str, int]]:
    return [
        (pot.name, layer.id, layer.count)
        for pot, layer in planned_layers(yard, garden=desk.garden)
        if layer.cultivar_id == line.cultivar_id
    ]


def _price_of(cultivar: Cultivar, bulbs: int, yard: Yard) -> Decimal | None:
    offers, _ = offers_for(cultivar, yard)
    return cost_of(best_packs(bulbs, offers), offers)


def _guess(line: BulbLine, fewer: int, *, yard: Yard, desk: _Desk) -> Decimal:
    """What that many bulbs fewer of a line save."""
    left = _price_of(desk.cultivar(yard, line.cultivar_id), max(line.to_buy - fewer, 0), yard)
    return Decimal(0) if line.cost is None or left is None else line.cost - left


def _fewer_packs(
    yard: Yard, shopping: ShoppingList, *, thinned: set[str], desk: _Desk
) -> Iterator[_Idea]:
    """One pack of the smallest size less, if few enough bulbs of the largest layer go."""
    share = load_rules().figure("fewer_at_most_share").middle
    for line in shopping.bulbs:
        layers = [each for each in _layers_of(yard, line, desk=desk) if each[1] not in thinned]
        if not line.packs or not layers:
            continue
        size = line.packs[-1][0]
        short = size - line.spare
        pot_name, layer_id, count = max(layers, key=lambda each: each[2])
        if 0 < short <= share * count:
            yield _Idea(
                kind="fewer packs",
                words=f"Plant {count - short} instead of {count} {line.name} in {pot_name}: "
                f"one pack of {size} less",
                layer_ids=(layer_id,),
                guess=_guess(line, short, yard=yard, desk=desk),
                apply=partial(_with_count, layer_id=layer_id, count=count - short),
            )


def _usual_spacing(
    yard: Yard, shopping: ShoppingList, *, thinned: set[str], desk: _Desk
) -> Iterator[_Idea]:
    lines = {line.cultivar_id: line for line in shopping.bulbs if line.to_buy}
    planned = {layer.id: pot for pot, layer in planned_layers(yard, garden=desk.garden)}
    for pot in {pot.id: pot for pot in planned.values()}.values():
        for layer in fit_pot(pot, cultivar_of=partial(desk.cultivar, yard)).layers:
            line = lines.get(layer.cultivar_id)
            usual = layer.room.usual
            mine = layer.layer_id in planned and layer.layer_id not in thinned
            if line is None or not mine or not 0 < usual < layer.count:
                continue
            yield _Idea(
                kind="usual spacing",
                words=f"Plant {usual} instead of {layer.count} {line.name} in {pot.name}: "
                "the usual distance",
                layer_ids=(layer.layer_id,),
                guess=_guess(line, layer.count - usual, yard=yard, desk=desk),
                apply=partial(_with_count, layer_id=layer.layer_id, count=usual),
            )


def _cheaper_kind(
    yard: Yard, shopping: ShoppingList, *, thinned: set[str], desk: _Desk
) -> Iterator[_Idea]:
    """The cheapest cultivar of the same type and colour that opens at much the same time."""
    days = load_rules().figure("swap_within_days").middle
    for line in shopping.bulbs:
        old = desk.cultivar(yard, line.cultivar_id)
        if not line.to_buy or line.cost is None:
            continue
        options: list[tuple[Decimal, Cultivar]] = []
        for other in desk.catalogue:
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
        ids = tuple(layer_id for _, layer_id, _ in _layers_of(yard, line, desk=desk))
        yield _Idea(
            kind="cheaper kind",
            words=f"{other.name} instead of {old.name}: same type and colour, "
            "opens at much the same time",
            layer_ids=ids,
            guess=line.cost - price,
            apply=partial(_with_cultivar, layer_ids=ids, cultivar_id=other.id),
        )


def _leave_out(
    yard: Yard, shopping: ShoppingList, *, thinned: set[str], desk: _Desk
) -> Iterator[_Idea]:
    lines = {line.cultivar_id: line for line in shopping.bulbs}
    places = list(planned_layers(yard, garden=desk.garden))
    if len(places) < 2:
        return
    for pot, layer in places:
        line = lines[layer.cultivar_id]
        yield _Idea(
            kind="leave out",
            words=f"Leave out {line.name} in {pot.name}",
            layer_ids=(layer.id,),
            guess=_guess(line, layer.count, yard=yard, desk=desk),
            apply=partial(_without, layer_id=layer.id),
        )


_IDEAS: dict[Kind, Callable[..., Iterator[_Idea]]] = {
    "fewer packs": _fewer_packs,
    "usual spacing": _usual_spacing,
    "cheaper kind": _cheaper_kind,
    "leave out": _leave_out,
}


def _applied(yard: Yard, ideas: Sequence[_Idea]) -> Yard:
    """The yard after changes; one whose layer an other change took away is passed over."""
    for idea in ideas:
        there = {layer.id for _, layer in yard.layers()}
        if there.issuperset(idea.layer_ids):
            yard = idea.apply(yard)
    return yard


def _bulbs(yard: Yard) -> int:
    return sum(layer.count for _, layer in yard.layers())


def _needed(yard: Yard, ideas: list[_Idea], *, desk: _Desk) -> list[_Idea]:
    """Leave away every change without which the list is still under the budget."""
    if desk.shopping(_applied(yard, ideas)).over > 0:
        return ideas
    # The last were the dearest in weeks of colour, but the first are the likeliest to be moot.
    for idea in [*reversed(ideas)]:
        rest = [other for other in ideas if other is not idea]
        if desk.shopping(_applied(yard, rest)).over <= 0:
            ideas = rest
    return ideas


def _told(
    yard: Yard, ideas: list[_Idea], *, shopping: ShoppingList, weeks: float, desk: _Desk
) -> BudgetPlan:
    savings: list[Saving] = []
    for idea in ideas:
        changed = _applied(yard, [idea])
        after = desk.shopping(changed)
        if after.total >= shopping.total:
            continue  # another change made it moot
        weeks_after = desk.weeks(changed) if idea.touches_season else weeks
        savings.append(
            Saving(
                kind=idea.kind,
                words=idea.words,
                layer_ids=idea.layer_ids,
                saved=shopping.total - after.total,
                weeks_before=weeks,
                weeks_after=weeks_after,
                bulbs_fewer=_bulbs(yard) - _bulbs(changed),
                apply=idea.apply,
            )
        )
        yard, shopping, weeks = changed, after, weeks_after
    return BudgetPlan(tuple(savings), yard, shopping, shopping.over <= 0)
