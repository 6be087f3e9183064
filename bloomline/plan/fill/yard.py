"""A yard: which kinds into which pots, so that it is in colour longest for the money."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from functools import partial

import numpy as np

from bloomline.engine.filling_solve import Solution, solve
from bloomline.engine.filling_steps import next_best, worth_of
from bloomline.model.planting_edits import plant_layers
from bloomline.plan.fill.answer import Against, Answer, Answers, Before, answer_of
from bloomline.plan.fill.laying import Laid, filled_up, laid
from bloomline.plan.fill.money import Purse
from bloomline.plan.fill.programme import Ground, ground_of, programme_of
from bloomline.plan.fill.why import NextBest, explained, nothing_words
from bloomline.plan.fill.wishes import Go, Watched, Wishes, settled
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.shop.buying import ShoppingList
from bloomline.words import tr

_SECONDS = ((4, 8.0), (20, 10.0))  # of search for the first answer, by pots
_SECONDS_OF_MANY = 30.0
_CHEAPER = 0.6  # of the first answer's money that the second may cost
_TRIES = 4


def fill_yard(
    outlook: Outlook,
    wishes: Wishes,
    *,
    pot_ids: Sequence[str] | None = None,
    seconds: float | None = None,
    most_answers: int = 3,
    go: Go | None = None,
) -> Answers:
    """Up to three good fillings of a yard's pots; layers that lie in them stay.

    The best is worth most: days of colour of the whole yard, and once more their mean over the
    pots (see `wishes`), as its layers lie too: it counts no less than another answer does. The
    second costs at most six tenths of it, the third has no kind of it.
    pot_ids : pots that may be filled, all unless told. seconds : of search for the first; None
    for a time that is enough for so many pots.
    go : told how far the search is, 0 to 1; where it answers false the best so far is given.
    Raises UnknownNameError for a pot, UsageError for days that make no sense.
    """
    outlook = outlook.usual
    wishes = settled(outlook, wishes)
    go = watched = Watched(go)
    purse = Purse(outlook)
    names = [pot.id for pot in outlook.yard.pots] if pot_ids is None else list(pot_ids)
    pots = [outlook.yard.pot(name) for name in dict.fromkeys(names)]
    if seconds is None:
        seconds = next((s for most, s in _SECONDS if len(pots) <= most), _SECONDS_OF_MANY)
    if not pots:
        return Answers((), wishes, tr("There is no pot yet that could be filled. Add one first."))
    ground = ground_of(outlook, wishes, pots, purse, go=go)
    nothing = partial(nothing_words, outlook, wishes, ground.seen, pots)
    if not ground.gains:
        return Answers((), wishes, nothing(), ground.count)
    before = Before.of(outlook, wishes, [pot.id for pot in pots], purse)
    yard = _Filling(before, ground)
    first = yard.best(float("inf"), frozenset(), seconds=seconds, go=go)
    if first is None:
        return Answers((), wishes, nothing(), ground.count)
    # Fillings are weighed at usual depths; as its layers lie another may count more.
    for _ in range(_TRIES):
        cheaper = other = None
        if most_answers > 1 and go(0.7):
            cheaper = yard.for_less(first[1], seconds=seconds / 3, go=go)
        if most_answers > 2 and go(0.85):
            other = yard.of_others(first[1], seconds=seconds / 3, go=go)
        found = [each for each in (cheaper, other) if each and each[1].is_worth_more(first[1])]
        if not found:
            break
        better = max(found, key=lambda each: each[1].worth)
        first = (better[0], replace(better[1], bound=first[1].bound))
    else:
        cheaper = other = None  # they were sought beside another first
    answers = [replace(first[1], title=tr("Most colour"))]
    if cheaper is not None:
        told = _beside(cheaper[1], first[1], "for less")
        answers.append(replace(told, title=tr("For less money")))
    if other is not None:
        told = _beside(other[1], first[1], "of others")
        answers.append(replace(told, title=tr("Other kinds")))
    in_words = explained(before, answers, next_best=yard.next_best(first[0]))
    return Answers(in_words, wishes, "", ground.count, watched.ended)


def _beside(answer: Answer, best: Answer, against: Against) -> Answer:
    """An answer that is held against plans like it; what bounds all of them bounds these too."""
    known = [each for each in (answer.bound, best.bound) if each is not None]
    return replace(answer, against=against, bound=min(known, default=None))


class _Filling:
    """The programme of a yard, and the answers that it gives."""

    def __init__(self, before: Before, ground: Ground) -> None:
        """Put the programme together."""
        self.before, self.classes, self.ids = before, ground.classes, ground.kinds
        self.outlook, self.wishes, self.purse = before.outlook, before.wishes, before.purse
        self.programme = programme_of(self.outlook, self.wishes, self.purse, ground)
        self.share = ground.share  # of the programme's worth that the measure counts
        self._laid: dict[tuple[int, int], list[Laid]] = {}

    def best(
        self, most_money: float, without: frozenset[str], *, seconds: float, go: Go
    ) -> tuple[Solution, Answer] | None:
        """The best filling within some money and without some kinds; None for none.

        Where the list of it costs more than was reckoned, less is allowed and it is sought again.
        """
        budget = min(self.programme.budget, most_money)
        allowed_money = budget
        bound: float | None = None
        for at in range(_TRIES):
            programme = replace(
                self.programme,
                budget=allowed_money,
                barred=frozenset(at for at, name in enumerate(self.ids) if name in without),
            )
            solution = solve(programme, seconds=seconds / (at + 1), go=go)
            if at == 0:
                bound = solution.bound
            if solution.worth <= worth_of(programme, programme.nothing) + 1e-6:
                return None
            answer, over = self._answer(solution, bound, budget)
            if answer is not None:
                return replace(solution, bound=bound), answer
            allowed_money -= max(over, 0.01)
            if allowed_money <= 0.0:
                break
        return None

    def for_less(self, best: Answer, *, seconds: float, go: Go) -> tuple[Solution, Answer] | None:
        """The best filling that costs clearly less than another; None where that costs nothing."""
        if best.counted_cost <= 0:
            return None
        money = _CHEAPER * float(best.counted_cost)
        return self.best(money, frozenset(), seconds=seconds, go=go)

    def of_others(self, best: Answer, *, seconds: float, go: Go) -> tuple[Solution, Answer] | None:
        """The best filling without any kind of another."""
        used = frozenset(each.layer.cultivar_id for each in best.layers)
        return self.best(float("inf"), used, seconds=seconds, go=go)

    def next_best(self, solution: Solution) -> NextBest | None:
        """The change of one pot that loses least."""
        found = next_best(self.programme, solution.taken)
        if found is None:
            return None
        c, pot, number, less = found
        names = [each.kind.name for each in self._layers(c, number)]
        pot_id = self.classes[c].pot_ids[pot]
        return NextBest(
            tuple(names), max(self.share * less, 0.0), self.outlook.yard.pot(pot_id).name
        )

    def _answer(
        self, solution: Solution, bound: float | None, budget: float
    ) -> tuple[Answer | None, float]:
        """The answer of a solution, or how much it costs above the budget."""
        layers: list[Laid] = []
        for c, mine in enumerate(solution.taken):
            for pot_id, number in zip(self.classes[c].pot_ids, mine, strict=True):
                layers += [replace(each, pot_id=pot_id) for each in self._layers(c, number)]
        if not np.isfinite(budget):
            full, _ = filled_up(layers, self.purse, money=None)
        else:
            least, after = self._filled(layers)
            if least > Decimal(str(round(budget, 4))):
                return None, float(least) - budget
            bulbs = after.bulbs_total - self.purse.before.bulbs_total
            money = Decimal(str(round(budget, 4))) - (least - bulbs)
            full, _ = filled_up(layers, self.purse, money=money)
            if not full:
                full = layers
        answer = answer_of(
            self.before,
            [(each.pot_id, each.layer) for each in full],
            title="",
            score=self.share * solution.worth,
            bound=None if bound is None else self.share * bound,
        )
        return answer, 0.0

    def _filled(self, layers: Sequence[Laid]) -> tuple[Decimal, ShoppingList]:
        planted = plant_layers(self.outlook.yard, [(each.pot_id, each.layer) for each in layers])
        return self.purse.filling(planted, bulbs_only=self.wishes.bulbs_only)

    def _layers(self, c: int, number: int) -> list[Laid]:
        key = (c, number)
        if key not in self._laid:
            each = self.classes[c]
            at = int(each.pots.table.part[number])
            kinds = [int(kind) for kind in each.pots.kinds[number] if kind >= 0]
            members = sorted(each.members[at][kind] for kind in kinds)
            self._laid[key] = laid(self.outlook, each.parts[at], members)
        return self._laid[key]
