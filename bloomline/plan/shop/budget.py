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

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from bloomline.model.yard import Yard
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.shop.budget_ideas import IDEAS, Idea, Kind, YardReckoner
from bloomline.plan.shop.buying import ShoppingList

_GENTLE: tuple[Kind, ...] = ("fewer packs", "usual spacing")
_HARD: tuple[Kind, ...] = ("cheaper kind", "leave out")
_MOST_STEPS = 400
_TRIED_OF_A_KIND = 6  # the likeliest of each kind are worked out
_NO_LOSS_WEEKS = 0.05
_ALL_PRUNED = 40  # with more changes only those that could be spared are tried one by one


@dataclass(frozen=True, slots=True)
class Saving:
    """One change.

    saved : money, at the point of the list where it stands (nothing, where it saves a pack only
    together with another). weeks_before, weeks_after : weeks
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
class _Tried:
    idea: Idea
    shopping: ShoppingList
    saved: Decimal
    lost_weeks: float


@dataclass(frozen=True, slots=True)
class _State:
    yard: Yard
    shopping: ShoppingList
    weeks: float

    @property
    def over(self) -> Decimal:
        return self.shopping.over


@kept
def plan_budget(outlook: Outlook) -> BudgetPlan:
    """The changes that bring a yard's list under its budget; none when it is under already.

    Where no change is enough, all that save anything without leaving the yard empty are given
    and `enough` is false. Over all weather years.
    """
    yard = outlook.yard
    reckoner = YardReckoner(outlook.usual)
    shopping = reckoner.shopping(yard)
    if shopping.over <= 0:
        return BudgetPlan((), yard, shopping, True)
    start = now = _State(yard, shopping, reckoner.weeks(yard))
    taken: list[Idea] = []
    for _ in range(_MOST_STEPS):
        if now.over <= 0:
            break
        thinned = {name for idea in taken if idea.kind in _GENTLE for name in idea.layer_ids}
        chosen = _gentle(now, thinned=thinned, reckoner=reckoner) or _hard(now, reckoner=reckoner)
        if not chosen:
            break
        taken += chosen
        after = _applied(now.yard, chosen)
        now = _State(after, reckoner.shopping(after), reckoner.weeks(after))
    return _told(start, _needed(start, taken, reckoner=reckoner), reckoner=reckoner)


def _sorted(kind: Kind, now: _State, *, thinned: set[str], reckoner: YardReckoner) -> list[Idea]:
    ideas = IDEAS[kind](now.yard, now.shopping, thinned=thinned, reckoner=reckoner)
    return sorted(ideas, key=lambda idea: (-idea.guess, idea.words))


def _gentle(now: _State, *, thinned: set[str], reckoner: YardReckoner) -> list[Idea]:
    """What to do next that costs no colour: the largest savings, and the last just enough."""
    for kind in _GENTLE:
        chosen: list[Idea] = []
        left = now.over
        ideas = [
            idea
            for idea in _sorted(kind, now, thinned=thinned, reckoner=reckoner)
            if idea.guess > 0
        ]
        for at, idea in enumerate(ideas):
            if idea.guess >= left:
                enough = [other for other in ideas[at:] if other.guess >= left]
                return [*chosen, enough[-1]]
            chosen.append(idea)
            left -= idea.guess
        if chosen:
            return chosen
    return []


def _hard(now: _State, *, reckoner: YardReckoner) -> list[Idea]:
    """What to do next that may cost colour.

    All that cost none go together, if together they still cost none and don't save too much.
    """
    tried = [
        one
        for kind in _HARD
        for idea in _sorted(kind, now, thinned=set(), reckoner=reckoner)[:_TRIED_OF_A_KIND]
        if (one := _tried(idea, now, reckoner=reckoner))
    ]
    if not tried:
        return []
    best = min(tried, key=_rank)
    free = [one for one in tried if one.idea.kind == "leave out" and _loss(one) == 0.0]
    left = sum(len(pot.layers) for pot in now.yard.pots) - len(free)
    if best in free and left > 0 and sum(one.saved for one in free) < now.over:
        together = [one.idea for one in free]
        if now.weeks - reckoner.weeks(_applied(now.yard, together)) < _NO_LOSS_WEEKS:
            return together
    return [best.idea]


def _loss(one: _Tried) -> float:
    return 0.0 if one.lost_weeks < _NO_LOSS_WEEKS else round(one.lost_weeks, 1)


def _rank(one: _Tried) -> tuple[float, int, bool, Decimal]:
    enough = one.shopping.over <= 0
    gentle = (*_GENTLE, *_HARD).index(one.idea.kind)
    return _loss(one), gentle, not enough, one.saved if enough else -one.saved


def _tried(idea: Idea, now: _State, *, reckoner: YardReckoner) -> _Tried | None:
    changed = idea.apply(now.yard)
    after = reckoner.shopping(changed)
    saved = now.shopping.total - after.total
    # A total that falls because a price became unknown is no saving.
    if saved <= 0 or len(after.unpriced) > len(now.shopping.unpriced):
        return None
    lost = now.weeks - reckoner.weeks(changed) if idea.touches_season else 0.0
    return _Tried(idea, after, saved, max(lost, 0.0))


def _applied(yard: Yard, ideas: Sequence[Idea]) -> Yard:
    """The yard after changes; one whose layer another change took away is passed over."""
    there = {layer.id for _, layer in yard.layers()}
    for idea in ideas:
        if there.issuperset(idea.layer_ids):
            yard = idea.apply(yard)
            if idea.kind == "leave out":
                there -= set(idea.layer_ids)
    return yard


def _bulbs(yard: Yard) -> int:
    return sum(layer.count for _, layer in yard.layers())


def _needed(start: _State, ideas: list[Idea], *, reckoner: YardReckoner) -> list[Idea]:
    """Leave away every change without which the list is still under the budget."""
    gone = {name for idea in ideas if idea.kind == "leave out" for name in idea.layer_ids}
    ideas = [
        idea for idea in ideas if idea.kind == "leave out" or not gone.issuperset(idea.layer_ids)
    ]
    end = reckoner.shopping(_applied(start.yard, ideas))
    if end.over > 0:
        return ideas
    slack = (end.budget or Decimal(0)) - end.total
    few = len(ideas) <= _ALL_PRUNED
    # The last were the dearest in weeks of colour, so they are spared first.
    for idea in [*reversed(ideas)]:
        if few or idea.guess <= slack:
            rest = [other for other in ideas if other is not idea]
            if reckoner.shopping(_applied(start.yard, rest)).over <= 0:
                ideas = rest
    return ideas


def _told(start: _State, ideas: list[Idea], *, reckoner: YardReckoner) -> BudgetPlan:
    savings: list[Saving] = []
    now = start
    for idea in ideas:
        changed = _applied(now.yard, [idea])
        after = _State(changed, reckoner.shopping(changed), reckoner.weeks(changed))
        savings.append(
            Saving(
                kind=idea.kind,
                words=idea.words,
                layer_ids=idea.layer_ids,
                saved=now.shopping.total - after.shopping.total,
                weeks_before=now.weeks,
                weeks_after=after.weeks,
                bulbs_fewer=_bulbs(now.yard) - _bulbs(changed),
                apply=idea.apply,
            )
        )
        now = after
    return BudgetPlan(tuple(savings), now.yard, now.shopping, now.over <= 0)
