"""How to bring a shopping list under its budget with the least loss of colour.

Every change is a real edit of the yard, told from the gentlest to the hardest; to leave a layer
out comes last. What is best and how it is searched stands in `search`, the measure of the show in
`choices`. Weeks of colour are those of the season; bulbs are told beside them, since a layer with
half its bulbs still gives its weeks, only less full.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Literal

from bloomline.model import edits, many_edits
from bloomline.model.money import exact
from bloomline.model.yard import Yard
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.shop import fillings
from bloomline.plan.shop.buying import ShoppingList, amounts_to_buy, shopping_list
from bloomline.plan.shop.choices import Level, Line, lines_of
from bloomline.plan.shop.colours import SetColours
from bloomline.plan.shop.fillings import Filling, FillingKind, FillingReckoner
from bloomline.plan.shop.search import (
    MOST_SCENES,
    Found,
    Go,
    Problem,
    Scene,
    StoppedError,
    count_of_scenes,
    search_all,
)
from bloomline.plan.shop.tally import LayerChange, Tally, with_layers
from bloomline.plan.shop.wide import search_wide
from bloomline.plan.words.benches import pot_words
from bloomline.reference.rules import load_rules
from bloomline.words import listed, tr

Kind = FillingKind | Literal["fewer bulbs", "cheaper kind", "leave out"]

__all__ = ["BudgetPlan", "Kind", "Saving", "StoppedError", "plan_budget"]


@dataclass(frozen=True, slots=True)
class Saving:
    """One change.

    saved : money, at the point of the list where it stands (nothing, where it saves a pack only
    together with another; below nothing where bulbs left away leave more to fill). weeks_before,
    weeks_after : weeks of colour of the whole yard. bulbs_fewer : bulbs planted less than before.
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
    """Changes in their order, the yard after them, and whether they are enough.

    weeks_before, weeks_after, bulbs_before, bulbs_after : weeks of colour of the yard, and
    bulbs of the layers that are to be planted. weeks_at_best : no set of changes within the budget
    has more. exact : whether this set is surely the best of all that were looked at.
    """

    savings: tuple[Saving, ...]
    yard: Yard
    shopping: ShoppingList
    enough: bool
    weeks_before: float = 0.0
    weeks_after: float = 0.0
    bulbs_before: int = 0
    bulbs_after: int = 0
    weeks_at_best: float = 0.0
    exact: bool = True

    def applied(self, yard: Yard) -> Yard:
        """All changes one after the other."""
        for saving in self.savings:
            yard = saving.apply(yard)
        return yard


@dataclass(frozen=True, slots=True)
class _Change:
    """One change, and the scene after it. layers : what it makes of them; none for a filling."""

    kind: Kind
    words: str
    layers: Mapping[str, LayerChange]
    apply: Callable[[Yard], Yard]
    scene: Scene


@kept
def plan_budget(outlook: Outlook, *, go: Go | None = None) -> BudgetPlan:
    """The changes that bring a yard's list under its budget; none when it is under already.

    Where no change is enough, those are given that leave the least to pay for one layer at least,
    and `enough` is false. Over all weather years. go : told how far the search is, 0 to 1; where
    it answers false the search ends with StoppedError.
    """
    if outlook is not outlook.usual:
        return plan_budget(outlook.usual, go=go)
    yard = outlook.yard
    shopping = shopping_list(outlook)
    lines = lines_of(outlook)
    if shopping.over <= 0 or not lines:
        return BudgetPlan((), yard, shopping, shopping.over <= 0)
    go = go or _always
    problem = Problem(
        yard,
        lines,
        colours=SetColours(outlook, lines),
        reckoner=FillingReckoner(outlook),
        budget=exact(yard.money.budget or 0.0),
        fixed=shopping.plants_total + shopping.pots_total,
        unknown=sum(line.cost is None for line in shopping.bags),
    )
    found, most = _search(problem, go=go)
    if found is None:
        problem.budget = _least(problem)
        found, most = _search(problem, go=go)
    if found is None or found.cost >= shopping.total:
        return BudgetPlan((), yard, shopping, False)
    savings, after, bought = _told(outlook, problem, found, shopping)
    wanted = problem.as_wanted()
    return BudgetPlan(
        savings=savings,
        yard=after,
        shopping=bought,
        enough=bought.over <= 0,
        weeks_before=problem.colours.weeks_of(wanted),
        weeks_after=found.weeks,
        bulbs_before=_bulbs(lines, wanted),
        bulbs_after=_bulbs_left(lines, found),
        weeks_at_best=max(most, found.weeks),
        exact=found.exact,
    )


def _always(_share: float) -> bool:
    return True


def _search(problem: Problem, *, go: Go) -> tuple[Found | None, float]:
    if count_of_scenes(problem.lines) <= MOST_SCENES:
        found = search_all(problem, go=go)
        return found, 0.0 if found is None else found.weeks
    return search_wide(problem, go=go)


def _least(problem: Problem) -> Decimal:
    """The least that one layer costs, however it is bought and filled."""
    least: list[Decimal] = []
    nothing: Scene = tuple((frozenset[str](), 0) for _ in problem.lines)
    for at, line in enumerate(problem.lines):
        for layer_id in line.everything:
            for kind in range(len(line.kinds)):
                stay = frozenset([layer_id])
                scene = (*nothing[:at], (stay, kind), *nothing[at + 1 :])
                for level in problem.levels(at, stay, kind):
                    levels = [Level((), Decimal(0), 0.0)] * len(problem.lines)
                    levels[at] = level
                    least += [problem.total(scene, levels, each) for each in problem.fillings]
    return min(least)


def _bulbs(lines: list[Line], scene: Scene) -> int:
    return sum(
        layer.count * pot.copies
        for line, (stay, _) in zip(lines, scene, strict=True)
        for pot, layer in line.places_of(stay)
    )


def _bulbs_left(lines: list[Line], found: Found) -> int:
    total = 0
    for line, (stay, _), level in zip(lines, found.scene, found.levels, strict=True):
        pots = [pot for pot, _ in line.places_of(stay)]
        total += sum(n * pot.copies for pot, n in zip(pots, level.counts, strict=True))
    return total


def _told(
    outlook: Outlook, problem: Problem, found: Found, shopping: ShoppingList
) -> tuple[tuple[Saving, ...], Yard, ShoppingList]:
    """The changes one by one, each with what a new list says that it saves where it stands."""
    yard, scene, colours = problem.yard, problem.as_wanted(), problem.colours
    rows = [(colours.rows(stay, kind), kind) for stay, kind in scene]
    weeks = colours.weeks_in(rows)
    total, bulbs = shopping.total, _count(shopping)
    savings: list[Saving] = []
    tally: Tally | None = None
    changes = list(_changes(problem, found))
    for change in changes:
        if change.layers:
            tally = tally or Tally(outlook.what_if(yard=yard), shopping)
            tally.change(change.layers)
            total_after, bulbs_after = tally.total(), tally.bulbs
        else:  # fillings come before all others
            yard = change.apply(yard)
            shopping = amounts_to_buy(outlook.what_if(yard=yard))
            total_after, bulbs_after = shopping.total, _count(shopping)
        weeks_after = weeks
        rows_before = tuple(rows)
        for at, (stay, kind) in enumerate(change.scene):
            if change.scene[at] is not scene[at]:
                rows[at] = (colours.rows(stay, kind), kind)
        if tuple(rows) != rows_before:
            weeks_after = colours.weeks_in(rows)
        savings.append(
            Saving(
                kind=change.kind,
                words=change.words,
                layer_ids=tuple(change.layers),
                saved=total - total_after,
                weeks_before=weeks,
                weeks_after=weeks_after,
                bulbs_fewer=bulbs - bulbs_after,
                apply=change.apply,
            )
        )
        total, bulbs, scene, weeks = total_after, bulbs_after, change.scene, weeks_after
    yard = _changed(yard, changes)
    return tuple(savings), yard, shopping_list(outlook.what_if(yard=yard))


def _changed(yard: Yard, changes: Sequence[_Change]) -> Yard:
    """The yard with all changes of layers, at once."""
    others: dict[str, dict[str, str | int]] = {}
    gone: list[str] = []
    for change in changes:
        for layer_id, values in change.layers.items():
            if values is None:
                gone.append(layer_id)
            else:
                others.setdefault(layer_id, {}).update(values)
    yard = with_layers(yard, others)
    return many_edits.remove_all(yard, gone) if gone else yard


def _count(shopping: ShoppingList) -> int:
    return sum(line.needed for line in shopping.bulbs)


def _changes(problem: Problem, found: Found) -> Iterator[_Change]:
    """The way from what was wanted to what was found: filling, kinds, numbers, layers left out."""
    scene = list(problem.as_wanted())
    filled = problem.reckoner.pots_of(problem.bulbs_l(found.scene, found.levels))
    for kind, words, apply in _filling_changes(problem, found.filling, filled):
        yield _Change(kind, words, {}, apply, tuple(scene))
    lines = list(zip(problem.lines, found.scene, found.levels, strict=True))
    for at, (line, (stay, number), _) in enumerate(lines):
        if stay and number:
            new, ids = line.kinds[number], tuple(layer.id for _, layer in line.places)
            scene[at] = (line.everything, number)
            yield _Change(
                "cheaper kind",
                tr(
                    "{new_name} instead of {cultivar_name}: same type, opens at much the same time",
                    new_name=new.name,
                    cultivar_name=line.cultivar.name,
                ),
                {layer_id: {"cultivar_id": new.id} for layer_id in ids},
                partial(_with_cultivar, layer_ids=ids, cultivar_id=new.id),
                tuple(scene),
            )
    for line, (stay, number), level in lines:
        places = line.places_of(stay)
        fewer = [
            (pot, layer, count)
            for (pot, layer), count in zip(places, level.counts, strict=True)
            if count < layer.count
        ]
        if fewer:
            name = line.kinds[number].name
            told = [
                tr(
                    "{number} instead of {count} in {pot_name}",
                    number=n,
                    count=layer.count,
                    pot_name=pot_words(pot),
                )
                for pot, layer, n in fewer
            ]
            yield _Change(
                "fewer bulbs",
                tr("Plant fewer {name}: {told}", name=name, told=listed(told)),
                {layer.id: {"count": n} for _, layer, n in fewer},
                partial(_with_counts, counts=tuple((layer.id, n) for _, layer, n in fewer)),
                tuple(scene),
            )
    for at, (line, (stay, number), _) in enumerate(lines):
        for pot, layer in line.places:
            if layer.id not in stay:
                scene[at] = (scene[at][0] - {layer.id}, number if stay else 0)
                yield _Change(
                    "leave out",
                    tr(
                        "Leave out {name} in {pot_name}",
                        name=line.kinds[number if stay else 0].name,
                        pot_name=pot_words(pot),
                    ),
                    {layer.id: None},
                    partial(_without, layer_id=layer.id),
                    tuple(scene),
                )


def _filling_changes(
    problem: Problem, filling: Filling, filled: tuple[str, ...]
) -> Iterator[tuple[Kind, str, Callable[[Yard], Yard]]]:
    rooms = problem.reckoner.rooms
    called = {pot.id: pot_words(pot) for pot in problem.yard.pots}
    if not filled:
        return
    if "other bags" in filling.kinds:
        yield "other bags", tr("Buy compost in bags of the cheapest sizes"), fillings.other_bags
    bare = tuple(pot for pot in filled if rooms[pot].dressing is not None)
    if not filling.dressed and bare:
        names = listed([called[pot] for pot in bare])
        yield (
            "no dressing",
            tr("No top dressing on {names}", names=names),
            partial(fillings.no_dressing, pot_ids=bare),
        )
    changed = tuple(pot for pot in filled if pot in filling.changed)
    if changed:
        mix = filling.recipes[changed[0]]
        names = listed([called[pot] for pot in changed])
        yield (
            "other mix",
            tr("Fill {names} with {mix_label}", names=names, mix_label=mix.label),
            partial(fillings.other_mix, pot_ids=changed, recipe_id=mix.id),
        )
    for material, litres in problem.reckoner.kept_l(filling, filled).items():
        label = tr(load_rules().compost(material).label)
        yield (
            "kept compost",
            tr(
                "If you have it: {litres} L of last season's compost at the bottom "
                "of the pots in place of new {label}, a third of each at most, and "
                "none from pots in which tulips or lilies ailed",
                litres=litres,
                label=label,
            ),
            partial(fillings.kept_compost, litres=((material, litres),)),
        )


def _without(yard: Yard, *, layer_id: str) -> Yard:
    return edits.remove_layer(yard, layer_id)


def _with_counts(yard: Yard, *, counts: tuple[tuple[str, int], ...]) -> Yard:
    return edits.change_layers(yard, {layer_id: {"count": count} for layer_id, count in counts})


def _with_cultivar(yard: Yard, *, layer_ids: tuple[str, ...], cultivar_id: str) -> Yard:
    return edits.change_layers(yard, {key: {"cultivar_id": cultivar_id} for key in layer_ids})
