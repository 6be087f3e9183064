"""A yard: which kinds into which pots, so that it is in colour longest for the money."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial
from itertools import product

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.filling import Market, Part, PotClass, Table, YardColour
from bloomline.engine.filling import Yard as Programme
from bloomline.engine.filling_few import MOST_POTS, weighed
from bloomline.engine.filling_programme import Master
from bloomline.engine.filling_steps import (
    Taken,
    allowed,
    ascended,
    greedy,
    next_best,
    sought,
    worth_of,
)
from bloomline.model.cultivar import Cultivar
from bloomline.model.planting_edits import plant_layers
from bloomline.model.yard import Layer, Pot
from bloomline.plan.fill.answer import Answer, Answers, Before, answer_of
from bloomline.plan.fill.choices import PotChoices, choices_in, days_to_plant
from bloomline.plan.fill.laying import Laid, filled_up, laid
from bloomline.plan.fill.money import Purse, plain_pot
from bloomline.plan.fill.pot import allowed_sets, smell_as_wished
from bloomline.plan.fill.standing import standing_dark
from bloomline.plan.fill.why import NextBest, explained, nothing_words
from bloomline.plan.fill.wishes import Go, Watched, Wishes, again_days, settled
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.shop.bulb_lines import offers_for
from bloomline.plan.shop.buying import ShoppingList
from bloomline.words import tr

Floats = NDArray[np.float64]

_SECONDS = ((4, 5.0), (20, 10.0))  # of search for the first answer, by pots
_SECONDS_OF_MANY = 30.0
_CHEAPER = 0.6  # of the first answer's money that the second may cost
_TRIES = 4
_GOOD_ENOUGH = 0.004
_FEW_SHARE = 0.5  # of the time for prices, where fillings of few pots are weighed one by one


@dataclass(frozen=True, slots=True)
class _Class:
    """Pots that are alike. parts : what could be laid into one, by day of planting.

    members : numbers of each part's candidates by those that the programme knows them by.
    """

    pot_ids: tuple[str, ...]
    parts: tuple[PotChoices, ...]
    members: tuple[dict[int, int], ...]
    pots: PotClass


@dataclass(frozen=True, slots=True)
class Solution:
    """A filling of the programme, its worth, the bound, and what the greedy one is worth."""

    taken: Taken
    worth: float
    bound: float | None
    greedy_worth: float


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
    pots (see `wishes`). The second costs at most six tenths of it, the third has no kind of it.
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
    classes, seen, numbers = _classes(outlook, wishes, pots, purse, go=go)
    count = sum(len(part.sets) for part in seen)
    if not any((each.pots.worth > 1e-6).any() for each in classes):
        return Answers((), wishes, nothing_words(outlook, wishes, seen, pots), count)
    before = Before.of(outlook, wishes, [pot.id for pot in pots], purse)
    yard = _Filling(before, classes, seen, numbers)
    answers: list[Answer] = []
    first = yard.best(float("inf"), frozenset(), seconds=seconds, go=go)
    if first is None:
        return Answers((), wishes, nothing_words(outlook, wishes, seen, pots), count)
    solution, best = first
    answers.append(replace(best, title=tr("Most colour")))
    if most_answers > 1 and best.counted_cost > 0 and go(0.7):
        cheaper = yard.best(
            _CHEAPER * float(best.counted_cost), frozenset(), seconds=seconds / 3, go=go
        )
        if cheaper is not None:
            told = replace(cheaper[1], title=tr("For less money"), bound=best.bound)
            answers.append(told)
    if most_answers > 2 and go(0.85):
        used = frozenset(each.layer.cultivar_id for each in best.layers)
        other = yard.best(float("inf"), used, seconds=seconds / 3, go=go)
        if other is not None:
            answers.append(replace(other[1], title=tr("Other kinds"), bound=best.bound))
    in_words = explained(before, answers, next_best=yard.next_best(solution))
    return Answers(in_words, wishes, "", count, watched.ended)


def _classes(
    outlook: Outlook, wishes: Wishes, pots: Sequence[Pot], purse: Purse, *, go: Go
) -> tuple[list[_Class], list[PotChoices], dict[str, int]]:
    """The pots by class, each with its table of sets; every part; and numbers of all kinds."""
    alike: dict[tuple[object, ...], list[Pot]] = {}
    for pot in pots:
        asked = wishes.scent and (not wishes.scent_pots or pot.id in wishes.scent_pots)
        lying = tuple(layer.model_dump_json(exclude={"id"}) for layer in pot.layers)
        alike.setdefault((plain_pot(pot), lying, asked), []).append(pot)
    tables: list[tuple[list[Pot], list[PotChoices]]] = []
    for at, mine in enumerate(alike.values()):
        if not go(0.2 * at / len(alike)):
            break
        parts = [
            choices_in(outlook, wishes, mine[0], purse, planted=day)
            for day in days_to_plant(outlook, wishes, mine[0])
        ]
        tables.append((mine, parts))
    seen = [part for _, parts in tables for part in parts]
    numbers: dict[str, int] = {}
    for part in seen:
        for kind in part.found.kinds:
            numbers.setdefault(kind.id, len(numbers))
    found = [
        _class_of(outlook, wishes, mine, parts, numbers, purse)
        for mine, parts in tables
        if any(len(part.sets) > 1 for part in parts)
    ]
    return found, seen, numbers


def _class_of(
    outlook: Outlook,
    wishes: Wishes,
    pots: Sequence[Pot],
    parts: Sequence[PotChoices],
    numbers: dict[str, int],
    purse: Purse,
) -> _Class:
    widest = max(part.sets.kinds.shape[1] for part in parts)
    kinds, worth, which, unseen, members = [], [], [], [], []
    bulbs = np.zeros(len(numbers), dtype=np.int64)
    for at, part in enumerate(parts):
        good = allowed_sets(part, wishes)
        if at == 0:
            good[0] = True  # a pot may stay as it is
        some = np.flatnonzero(good)
        mine = np.array([numbers[kind.id] for kind in part.found.kinds], dtype=np.int64)
        rows = np.full((len(some), widest), -1, dtype=np.int64)
        rows[:, : part.sets.kinds.shape[1]] = np.append(mine, -1)[part.sets.kinds[some]]
        kinds.append(rows)
        worth.append(part.score[some] - part.score[0])
        which.append(np.full(len(some), at))
        bulbs[mine] = [amount.least * pots[0].copies for amount in part.amounts]
        members.append({int(number): k for k, number in enumerate(mine)})
        unseen.append(
            Part(
                unseen=part.sets.unseen,
                kinds=mine,
                bonus=part.taste,
                nothing=float(part.score[0]),
                wanted=partial(smell_as_wished, part),
            )
        )
    return _Class(
        tuple(pot.id for pot in pots),
        tuple(parts),
        tuple(members),
        PotClass(
            n_pots=len(pots),
            table=Table(
                kinds=np.concatenate(kinds),
                worth=np.concatenate(worth),
                part=np.concatenate(which),
                parts=tuple(unseen),
            ),
            bulbs=bulbs,
            filling=purse.least_filling(pots[0]) if parts[0].bags else 0.0,
        ),
    )


class _Filling:
    """The programme of a yard, and the answers that it gives."""

    def __init__(
        self,
        before: Before,
        classes: Sequence[_Class],
        parts: Sequence[PotChoices],
        numbers: dict[str, int],
    ) -> None:
        """Put the programme together. parts, numbers : as the classes have them."""
        self.before, self.classes = before, classes
        self.outlook, self.wishes, self.purse = before.outlook, before.wishes, before.purse
        kinds: dict[str, Cultivar] = {}
        dark: dict[str, Floats] = {}
        for part in parts:
            for kind, mine in zip(part.found.kinds, part.found.dark, strict=True):
                kinds[kind.id] = kind
                dark[kind.id] = np.minimum(dark[kind.id], mine) if kind.id in dark else mine
        self.ids = list(numbers)
        compost = self._compost()
        self.programme = Programme(
            classes=self._with_least(compost),
            market=self._market([kinds[name] for name in self.ids]),
            colour=YardColour(
                np.stack([dark[name] for name in self.ids]),
                standing_dark(self.outlook, self.wishes, None)[0],
            ),
            budget=np.inf if self.wishes.budget is None else float(self.wishes.budget),
            kinds_most=self.wishes.kinds_most,
            again=again_days(sum(each.pots.n_pots for each in classes)),
            compost=compost,
        )
        self._laid: dict[tuple[int, int], list[Laid]] = {}

    def _compost(self) -> Floats | None:
        """What filling so many pots of each class costs in whole bags; None for many pots."""
        mine = [each.pots.n_pots for each in self.classes]
        if sum(mine) > MOST_POTS or not any(each.pots.filling for each in self.classes):
            return None
        table = np.zeros([n + 1 for n in mine])
        for filled in product(*(range(n + 1) for n in mine)):
            layers = []
            for n, each in zip(filled, self.classes, strict=True):
                part = next(part for part in each.parts if len(part.found))
                trial = Layer(
                    id="trial",
                    cultivar_id=part.found.kinds[0].id,
                    count=1,
                    cover_cm=0.0,
                    planted=part.planted,
                )
                if each.pots.filling:
                    layers += [(pot_id, trial) for pot_id in each.pot_ids[:n]]
            planted = plant_layers(self.outlook.yard, layers)
            after = self.purse.filling(planted, bulbs_only=False)[1]
            table[filled] = float(after.bags_total - self.purse.before.bags_total)
        return table

    def _with_least(self, compost: Floats | None) -> tuple[PotClass, ...]:
        """The classes, each told as much of what bags cost as is never too much."""
        found = tuple(each.pots for each in self.classes)
        if compost is None:
            return found
        least = np.zeros(compost.shape)
        for each, filled in zip(found, np.indices(compost.shape), strict=True):
            least += each.filling * filled
        some = least > 0.0
        by = float((compost[some] / least[some]).min())
        return tuple(replace(each, filling=each.filling * by) for each in found)

    def _market(self, kinds: Sequence[Cultivar]) -> Market:
        packs, free = [], []
        for kind in kinds:
            offers, _ = offers_for(kind, self.outlook.yard)
            priced = all(offer.price is not None for offer in offers)
            packs.append(
                tuple((offer.size, float(offer.price or 0)) for offer in offers) if priced else ()
            )
            free.append(self.purse.free(kind))
        return Market(tuple(packs), np.array(free, dtype=np.int64))

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
            if solution.worth <= worth_of(programme, _nothing(programme)) + 1e-6:
                return None
            answer, over = self._answer(solution, bound, budget)
            if answer is not None:
                return replace(solution, bound=bound), answer
            allowed_money -= max(over, 0.01)
            if allowed_money <= 0.0:
                break
        return None

    def next_best(self, solution: Solution) -> NextBest | None:
        """The change of one pot that loses least."""
        found = next_best(self.programme, solution.taken)
        if found is None:
            return None
        c, pot, number, less = found
        names = [each.kind.name for each in self._layers(c, number)]
        pot_id = self.classes[c].pot_ids[pot]
        return NextBest(tuple(names), max(less, 0.0), self.outlook.yard.pot(pot_id).name)

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
            score=solution.worth,
            bound=bound,
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


def solve(programme: Programme, *, seconds: float, go: Go) -> Solution:
    """The best filling that is found in some seconds, never worse than the greedy one.

    Where whole bags take much of the money, each choice of pots to fill is a programme of its
    own, with what its bags leave for bulbs; the bound is that of the best of them. Seconds are
    those of the processor, so that a busy machine gives the same answer, later.
    """
    end = time.thread_time() + seconds
    start = greedy(programme)
    greedy_worth = worth_of(programme, start)
    best, worth = start, greedy_worth
    ways = _ways(programme)
    bounds: list[float | None] = []
    for done, way in enumerate(ways):
        some = programme if way is None else _only(programme, way)
        each = _solved(
            some,
            start if way is None else greedy(some),
            worth,
            seconds=max(end - time.thread_time(), 0.0) / (len(ways) - done),
            go=_stretch(go, done, len(ways)),
        )
        bounds.append(each.bound)
        if each.worth > worth:
            best, worth = each.taken, each.worth
    told = [each for each in bounds if each is not None]
    bound = max(told, default=worth) if len(told) == len(bounds) else None
    return Solution(best, worth, None if bound is None else max(bound, worth), greedy_worth)


def _stretch(go: Go, done: int, of: int) -> Go:
    """Tells how far one of several searches is as a part of all of them."""
    return lambda share: go((done + share) / of)


def _ways(programme: Programme) -> list[tuple[int, ...] | None]:
    """Which pots may be filled, where that decides what is left for bulbs; else None alone."""
    compost = programme.compost
    if (
        compost is None
        or not np.isfinite(programme.budget)
        or any(each.n_pots > 1 for each in programme.classes)
    ):
        return [None]
    ways = product((0, 1), repeat=len(programme.classes))
    return [way for way in ways if any(way) and compost[way] <= programme.budget]


def _only(programme: Programme, way: tuple[int, ...]) -> Programme:
    """The programme with some pots left as they are, and the bags of the others paid."""
    assert programme.compost is not None
    classes = []
    for each, filled in zip(programme.classes, way, strict=True):
        table = each.table
        if not filled:
            table = Table(table.kinds[:1], table.worth[:1], table.part[:1])
        classes.append(replace(each, table=table, filling=0.0))
    return replace(
        programme,
        classes=tuple(classes),
        budget=programme.budget - float(programme.compost[way]),
        compost=np.zeros_like(programme.compost),
    )


def _solved(
    programme: Programme, start: Taken, known: float, *, seconds: float, go: Go
) -> Solution:
    """The best filling of a programme; one that can't better the known worth is not sought long."""
    end = time.thread_time() + seconds
    greedy_worth = worth_of(programme, start)
    best = sought(programme, start, go=lambda: go(0.3) and time.thread_time() < end - seconds / 2)
    worth = worth_of(programme, best)
    master = Master(programme)
    few = programme.n_pots <= MOST_POTS
    bound: float | None = None
    if go(0.4):
        bound = master.grow(
            seconds=(_FEW_SHARE if few else 0.7) * max(end - time.thread_time(), 0.0),
            enough=max(worth, known) * (1.0 + _GOOD_ENOUGH),
            go=lambda share: go(0.4 + 0.4 * share),
        )
    if few and bound is not None and bound > max(worth, known):
        best, worth, bound = weighed(
            master, best, worth, go=lambda: go(0.85) and time.thread_time() < end
        )
    left = 0.0 if few else end - time.thread_time()
    if bound is not None and bound - worth > _GOOD_ENOUGH * worth and left > 0.0 and go(0.8):
        found = master.whole(seconds=left, beside=[sorted(set(mine)) for mine in best])
        if found is not None and allowed(programme, found):
            taken = ascended(programme, found, rate=0.0, within=True, go=lambda: go(0.9), rounds=2)
            if worth_of(programme, taken) > worth:
                best, worth = taken, worth_of(programme, taken)
    return Solution(best, worth, None if bound is None else max(bound, worth), greedy_worth)


def _nothing(programme: Programme) -> Taken:
    return tuple((0,) * each.n_pots for each in programme.classes)
