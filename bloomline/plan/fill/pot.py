"""A pot: three different ways to fill it, the first of them proven to be in colour longest."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import islice

import numpy as np
from numpy.typing import NDArray

from bloomline.model.planting_edits import plant_layers
from bloomline.plan.fill.answer import Against, Answer, Answers, Before, answer_of
from bloomline.plan.fill.choices import PotChoices, choices_in, days_to_plant
from bloomline.plan.fill.laying import Laid, filled_up, laid
from bloomline.plan.fill.money import Purse
from bloomline.plan.fill.why import NextBest, explained, nothing_words
from bloomline.plan.fill.wishes import SCENT_WORTH, Go, Watched, Wishes, settled
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.stretch import stretch_colour
from bloomline.words import tr

Ints = NDArray[np.int64]

_MOST_TRIED = 1_000
_FORECAST, _CLEARLY_DAYS = 24, 0.2  # ways that are forecast as they lie; what makes one better
_MOST_FULL = 200  # sets of which the fullest is sought
_GOOD_SHARE = 0.9  # of the best one's score that another answer keeps
_NEAR_SHARE = 0.95  # that a fuller one keeps, where there is one
_CLEARLY_FULLER = 1.2  # times the bulbs
_MOST_BEST = 4  # times that another answer, which counts more as it lies, becomes the first
_AS_GOOD, _SAME_DAYS = 4e-4, 0.05  # less is not seen in what is told
_HAIR = 1e-6


@dataclass(frozen=True, slots=True)
class _Way:
    """A set of a pot, laid and filled up."""

    at: int
    layers: tuple[Laid, ...]
    score: float
    cost: Decimal

    @property
    def bulbs(self) -> int:
        """Bulbs in all."""
        return sum(each.layer.count for each in self.layers)


def suggest_pot(outlook: Outlook, pot_id: str, wishes: Wishes, *, go: Go | None = None) -> Answers:
    """Up to three different ways to fill a pot; layers that lie in it stay.

    The first has the most days in colour (with scent and likings, as the wishes count them) of
    all sets of kinds that go together in the pot, each at its usual depth. The second keeps nine
    tenths of that and is the fullest for the money, without a budget the cheapest. The third has
    other kinds. go : told how far the search is, 0 to 1; where it answers false the best so far
    is given. Raises UnknownNameError for the pot, UsageError for days that make no sense.
    """
    outlook = outlook.usual
    wishes = settled(outlook, wishes)
    pot = outlook.yard.pot(pot_id)
    purse = Purse(outlook)
    watched = Watched(go)
    found = [
        choices_in(outlook, wishes, pot, purse, planted=day, go=watched)
        for day in days_to_plant(outlook, wishes, pot)
    ]
    pool = _Pool(Before.of(outlook, wishes, [pot_id], purse, with_yard=False), found)
    seen = sum(len(each.sets) for each in found)
    stopped = watched.ended
    best = pool.best()
    if best is None:
        return Answers((), wishes, nothing_words(outlook, wishes, found, [pot]), seen, stopped)
    bound = pool.bound()
    for _ in range(_MOST_BEST):
        ways, answers = pool.answers(best, bound)
        better = max(range(len(answers)), key=lambda at: answers[at].worth)
        if not answers[better].is_worth_more(answers[0]):
            break
        best = ways[better]
    else:
        answers = [pool.answer(best, tr("Most days in colour"), bound)]
    told = explained(
        pool.before,
        answers,
        next_best=pool.next_best(best),
        taste_days=pool.taste_days(best),
    )
    return Answers(told, wishes, "", seen, stopped)


class _Pool:
    """The sets of a pot that can be paid and gain something, of all days of planting.

    order : the best first, of equally good ones the cheapest.
    """

    def __init__(self, before: Before, found: Sequence[PotChoices]) -> None:
        self.before, self.found = before, found
        self.budget = before.wishes.budget
        sizes = [len(each.sets) for each in found]
        self.which = np.repeat(np.arange(len(found)), sizes)
        self.number = np.concatenate([np.arange(n) for n in sizes] or [np.zeros(0, np.int64)])
        self.score = np.concatenate([each.score for each in found] or [np.zeros(0)])
        self.cost = np.concatenate([each.cost + each.bags for each in found] or [np.zeros(0)])
        good = [allowed_sets(each, before.wishes) for each in found]
        at = np.flatnonzero(np.concatenate(good or [np.zeros(0, dtype=bool)]))
        self.order: Ints = at[
            np.lexsort((np.nan_to_num(self.cost[at]), -np.round(self.score[at], 4)))
        ]

    def bound(self) -> float | None:
        """No set has a higher score; None where the search was ended before that was known."""
        below = max(each.sets.below for each in self.found)
        return None if below == np.inf else max(float(self.score[self.order[0]]), below)

    def ids(self, at: int) -> frozenset[str]:
        """Ids of the kinds of a set."""
        choices = self.found[self.which[at]]
        return frozenset(choices.found.kinds[k].id for k in choices.members(self.number[at]))

    def best(self) -> _Way | None:
        """The best set that can be paid with everything, of the first ones as they will lie.

        Bulbs that lie deeper than usual open later, by a day or two; so the first few sets are
        forecast at their depths, and the first of them stands unless another is clearly better.
        """
        ways = list(islice(self._payable(self.order[:_MOST_TRIED]), _FORECAST))
        if not ways:
            return None
        days = [self._as_they_lie(way) for way in ways]
        at = int(np.argmax(days))
        at = at if days[at] > days[0] + _CLEARLY_DAYS else 0
        # Of those that are as good to within what is told, the fullest.
        same = [
            n
            for n, way in enumerate(ways)
            if way.score >= (1.0 - _AS_GOOD) * ways[at].score and days[n] >= days[at] - _SAME_DAYS
        ]
        return ways[max([at, *same], key=lambda n: ways[n].bulbs)]

    def _as_they_lie(self, way: _Way) -> float:
        """Score of a way with its layers at their depths."""
        before, wishes = self.before, self.before.wishes
        assert wishes.first is not None and wishes.last is not None
        (pot_id,) = before.pot_ids
        yard = plant_layers(before.outlook.yard, [(each.pot_id, each.layer) for each in way.layers])
        after = before.outlook.what_if(yard=yard)
        found = stretch_colour(after, wishes.first, wishes.last, pot_ids=[pot_id])
        choices = self.found[self.which[way.at]]
        taste = float(choices.taste[choices.members(self.number[way.at])].sum())
        colour, scent = (
            found.days(pot_id, scented=scented, least_share=wishes.least_share)
            for scented in (False, True)
        )
        return float(colour + SCENT_WORTH * scent * choices.scented + taste)

    def cheapest(self, best: _Way) -> _Way | None:
        """The cheapest way that keeps most of the best one's score; None if that is none."""
        good = self._good(best)
        order = good[np.lexsort((-self.score[good], self.cost[good]))]
        priced = order[~np.isnan(self.cost[order])]
        found = [self._way(int(at), least=True) for at in priced[:1]]
        return next((way for way in found if way is not None and way.cost < best.cost), None)

    def fullest(self, best: _Way) -> _Way | None:
        """The way with most bulbs for the money that keeps most of the best one's score."""
        for share in (_NEAR_SHARE, _GOOD_SHARE):
            good = self._good(best, share)
            bulbs = np.array([self._most_bulbs(int(at)) for at in good[: 20 * _MOST_FULL]])
            order = good[: len(bulbs)][np.argsort(-bulbs, kind="stable")]
            ways = list(self._payable(order[:_MOST_FULL]))
            fuller = [way for way in ways if way.bulbs >= _CLEARLY_FULLER * best.bulbs]
            if fuller:
                return max(fuller, key=lambda way: (way.bulbs, way.score))
        return None

    def other_kinds(self, taken: Sequence[_Way]) -> _Way | None:
        """The best way without a kind of the others; else with one in common with each."""
        theirs = [self.ids(way.at) for way in taken]
        for most in (0, 1):
            some = (
                int(at)
                for at in self.order
                if all(len(self.ids(int(at)) & ids) <= most for ids in theirs)
            )
            found = next(self._payable(some), None)
            if found is not None:
                return found
        return None

    def next_best(self, best: _Way) -> NextBest | None:
        """The best set of other kinds that could have been taken instead."""
        mine = self.ids(best.at)
        for at in self.order[:_MOST_TRIED]:
            if self.ids(int(at)) != mine:
                choices = self.found[self.which[at]]
                members = choices.members(self.number[at])
                names = [choices.found.kinds[k].name for k in members]
                return NextBest(tuple(names), best.score - float(self.score[at]))
        return None

    def answers(self, best: _Way, bound: float | None) -> tuple[list[_Way], list[Answer]]:
        """The ways and answers that stand beside each other, the best among them the first."""
        ways, answers = [best], [self.answer(best, tr("Most days in colour"), bound)]
        second = self.cheapest(best) if self.budget is None else self.fullest(best)
        if second is not None:
            title = tr("For less money") if self.budget is None else tr("Fullest for the money")
            ways.append(second)
            answers.append(self.answer(second, title, bound, against="best"))
        third = self.other_kinds(ways)
        if third is not None:
            ways.append(third)
            answers.append(self.answer(third, tr("Other kinds"), bound, against="best"))
        return ways, answers

    def answer(
        self, way: _Way, title: str, bound: float | None, *, against: Against = "all"
    ) -> Answer:
        """The answer that a way makes."""
        found = answer_of(
            self.before,
            [(each.pot_id, each.layer) for each in way.layers],
            title=title,
            score=way.score,
            bound=bound,
        )
        return replace(found, against=against)

    def taste_days(self, best: _Way) -> float:
        """Days that the best way has less than it could, for layers and well-known types.

        Nothing where likings or the cupboard count too: what they cost is wanted.
        """
        if self.before.wishes.liked or self.before.wishes.cupboard_first:
            return 0.0
        days = np.concatenate([each.sets.days for each in self.found])
        return max(float(days[self.order].max()) - float(days[best.at]), 0.0)

    def _good(self, best: _Way, share: float = _GOOD_SHARE) -> Ints:
        good = self.order[self.score[self.order] >= share * best.score]
        return np.asarray(good[good != best.at])

    def _most_bulbs(self, at: int) -> float:
        """About as many bulbs as the money buys, the cheapest first, if packs were of one."""
        choices = self.found[self.which[at]]
        amounts = [choices.amounts[k] for k in choices.members(self.number[at])]
        left, bulbs = float(self.budget or 0) - choices.bags, 0.0
        for each in sorted(amounts, key=lambda each: each.bulb_cost):
            some = min(each.room, left / each.bulb_cost) if each.bulb_cost else each.room
            left, bulbs = left - some * each.bulb_cost, bulbs + some
        return bulbs

    def _payable(self, some: Iterable[int]) -> Iterator[_Way]:
        for at in some:
            way = self._way(int(at))
            if way is not None:
                yield way

    def _way(self, at: int, *, least: bool = False) -> _Way | None:
        """A set with its depths and as many bulbs as can be paid; None where it can't be.

        least : only as many as the packs of the fewest bulbs that make a show hold.
        """
        choices, outlook = self.found[self.which[at]], self.before.outlook
        layers = laid(outlook, choices, choices.members(self.number[at]))
        bags = Decimal(str(round(choices.bags, 4)))
        money = None if self.budget is None else self.budget - bags
        if least:
            money = sum((self._least_cost(each) for each in layers), Decimal(0))
        full, _ = filled_up(layers, self.before.purse, money=money)
        if not full:
            return None
        yard = plant_layers(outlook.yard, [(each.pot_id, each.layer) for each in full])
        bulbs_only = self.before.wishes.bulbs_only
        cost, _ = self.before.purse.filling(yard, bulbs_only=bulbs_only)
        if self.budget is not None and cost > self.budget:
            return None
        return _Way(at, tuple(full), float(self.score[at]), cost)

    def _least_cost(self, layer: Laid) -> Decimal:
        costs = self.before.purse.costs(layer.kind, layer.room, copies=layer.copies)
        return Decimal(0) if costs is None else costs[layer.least]


def allowed_sets(choices: PotChoices, wishes: Wishes) -> NDArray[np.bool_]:
    """Which sets can be paid, smell where that is wished, are of few kinds and gain something."""
    good = choices.score > choices.score[0] + _HAIR
    if wishes.budget is not None:
        good &= choices.cost + choices.bags <= float(wishes.budget) + _HAIR
    if wishes.kinds_most is not None:
        good &= (choices.sets.kinds >= 0).sum(axis=1) <= wishes.kinds_most
    return np.asarray(good & smell_as_wished(choices, choices.sets.kinds))


def smell_as_wished(choices: PotChoices, sets: Ints) -> NDArray[np.bool_]:
    """Which sets have a scented kind, where the pot is to have one. sets : −1 behind the last."""
    if not choices.scented or choices.smells_already:
        return np.ones(len(sets), dtype=bool)
    smells = np.array([each.scent > 0 for each in choices.found.kinds] + [False], dtype=bool)
    return np.asarray(smells[sets].any(axis=1))
