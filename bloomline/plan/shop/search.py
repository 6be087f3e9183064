"""The set of changes with the least loss of colour that keeps a list within its budget.

What is best is decided in this order: no layer left out, if that can be done at all; then the most
weeks of colour of the yard, to the tenth that is shown (more than it had counts as no loss); then
the fewest layers left out; then the most of the show (see `choices`); then the least money. A yard
of few layers is searched to the end: every scene (what is kept, and as which kind) in that order,
and in each the best numbers of bulbs by a table of all costs. For larger yards `wide` finds a good
set and a bound.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from itertools import product
from math import gcd

import numpy as np
from numpy.typing import NDArray

from bloomline.model.yard import Yard
from bloomline.plan.shop.choices import Level, Line, least_level, levels_of, price_of, worth_of
from bloomline.plan.shop.colours import SetColours
from bloomline.plan.shop.fillings import BulbsIn, Filling, FillingReckoner, Floats, Ints, bulb_l

Scene = tuple[tuple[frozenset[str], int], ...]
"""Of every line, the layers kept and the number of the kind."""

Go = Callable[[float], bool]
"""Told how far a search is, 0 to 1; false ends it."""

MOST_SCENES = 4_000
_UNITS = 10_000  # amounts have at most four decimals
_MOST_CELLS = 2_000_000
_MOST_LEAVES = 20_000
_FEW_LINES = 12  # of which all numbers of bulbs can be walked through
_TRIES = 12
_HAIR = 1e-9


class StoppedError(Exception):
    """The search was not wanted any more."""


@dataclass(frozen=True, slots=True)
class Found:
    """A set of changes: a scene, the numbers of bulbs and the filling.

    show : layers' worth, as `choices` measures it. exact : whether its numbers are surely the best
    of the scene.
    """

    scene: Scene
    levels: tuple[Level, ...]
    filling: Filling
    cost: Decimal
    show: float
    weeks: float
    exact: bool = True


class Problem:
    """What is to be decided, and how it is judged."""

    def __init__(
        self,
        yard: Yard,
        lines: Sequence[Line],
        *,
        colours: SetColours,
        reckoner: FillingReckoner,
        budget: Decimal,
        fixed: Decimal,
        unknown: int,
    ) -> None:
        """Take the parts together.

        fixed : cost of plants and pots, which no change touches. unknown : bags without a price
        as the list stands; a total that falls because a price became unknown is no saving.
        """
        self.yard, self.lines, self.colours, self.reckoner = yard, lines, colours, reckoner
        self.budget, self.fixed = budget, fixed
        self._levels: dict[tuple[int, frozenset[str], int], list[Level]] = {}
        self._least: dict[tuple[int, frozenset[str], int], Level] = {}
        self._prices = [[price_of(kind, yard) for kind in line.kinds] for line in lines]
        self._places: dict[tuple[int, frozenset[str]], tuple[Ints, Ints]] = {}
        litres = self.bulbs_l(self.as_wanted(), None)
        self.fillings = [
            each for each in reckoner.fillings() if reckoner.cost(each, litres)[1] <= unknown
        ]

    def as_wanted(self) -> Scene:
        """The scene with everything kept."""
        return tuple((line.everything, 0) for line in self.lines)

    def levels(self, at: int, kept: frozenset[str], kind: int) -> list[Level]:
        """Numbers of bulbs of a line, the most first."""
        key = (at, kept, kind)
        if key not in self._levels:
            line = self.lines[at]
            self._levels[key] = levels_of(line, kept, line.kinds[kind], self.yard)
        return self._levels[key]

    def least_level(self, at: int, kept: frozenset[str], kind: int) -> Level:
        """The cheapest numbers of bulbs of a line; the last of its levels."""
        key = (at, kept, kind)
        if key not in self._least:
            line = self.lines[at]
            worth = worth_of(line, line.kinds[kind])
            places, price = line.places_of(kept), self._prices[at][kind]
            self._least[key] = least_level(places, price, worth=worth)
        return self._least[key]

    def price(self, at: int, kind: int, bulbs: int) -> Decimal:
        """What so many bulbs of a kind cost; nothing where it has no price."""
        price = self._prices[at][kind]
        return Decimal(0) if price is None else price(bulbs)

    def bulbs_l(
        self, scene: Sequence[tuple[frozenset[str], int]], levels: Sequence[Level] | None
    ) -> BulbsIn:
        """Bulbs in every pot that is filled; the most of them unless told."""
        rows: list[Ints] = [np.zeros(0, dtype=np.int64)]
        taken: list[Floats] = [np.zeros(0)]
        for at, (kept, kind) in enumerate(scene):
            if not kept:
                continue
            line = self.lines[at]
            counts = (self.levels(at, kept, kind)[0] if levels is None else levels[at]).counts
            places, pots = self._filled(at, kept)
            rows.append(pots)
            taken.append(bulb_l(line.kinds[kind]) * np.array(counts)[places])
        every = np.concatenate(rows)
        litres = np.zeros(len(self.reckoner.rows))
        # One after the other, since several layers may lie in a pot.
        np.add.at(litres, every, np.concatenate(taken))
        first = np.unique(every, return_index=True)[1]
        filled = every[np.sort(first)]
        return BulbsIn(filled, litres[filled])

    def _filled(self, at: int, kept: frozenset[str]) -> tuple[Ints, Ints]:
        """Of a line's layers that are kept, those in pots that are filled: number and pot."""
        if (at, kept) not in self._places:
            rows = self.reckoner.rows
            mine = [rows.get(pot.id, -1) for pot, _ in self.lines[at].places_of(kept)]
            places = np.flatnonzero(np.array(mine, dtype=np.int64) >= 0)
            self._places[at, kept] = places, np.array(mine, dtype=np.int64)[places]
        return self._places[at, kept]

    def total(self, scene: Scene, levels: Sequence[Level], filling: Filling) -> Decimal:
        """What a set costs altogether."""
        bags = self.reckoner.cost(filling, self.bulbs_l(scene, levels))[0]
        return self.fixed + bags + sum((level.cost for level in levels), Decimal(0))

    def best_of_scene(self, scene: Scene, fillings: Iterable[Filling]) -> Found | None:
        """The most of the show that a scene affords; None where it affords nothing."""
        best: Found | None = None
        sets = [self.levels(at, kept, kind) for at, (kept, kind) in enumerate(scene)]
        least = self.fixed + sum((levels[-1].cost for levels in sets), Decimal(0))
        if least > self.budget:
            return None
        most_l = self.bulbs_l(scene, None)
        filled = self.reckoner.pots_of(most_l)
        table: _Table | None = None
        for filling in fillings:
            low = self.reckoner.cost(filling, most_l)[0]
            if least + low > self.budget:
                continue
            table = table or _Table(sets, self.budget - self.fixed)
            lost = filling.penalty(filled, self.reckoner.rooms)
            picked = self._numbers(scene, sets, filling, self.budget - self.fixed - low, table)
            if picked is not None:
                show, levels, exact = picked
                cost = self.total(scene, levels, filling)
                found = Found(scene, levels, filling, cost, show - lost, 0.0, exact)
                if best is None or better(found, best):
                    best = found
        return best

    def _numbers(
        self,
        scene: Scene,
        sets: list[list[Level]],
        filling: Filling,
        cash: Decimal,
        table: _Table,
    ) -> tuple[float, tuple[Level, ...], bool] | None:
        """The best numbers of bulbs, and whether they surely are.

        cash : with the least that bags may cost taken off. Fewer bulbs leave more to fill, so bags
        may cost more.
        """
        picked = table.pick(cash)
        if picked is None:
            return None
        over = self.total(scene, picked[1], filling) - self.budget
        if over <= 0:
            return (*picked, table.exact)
        if len(sets) <= _FEW_LINES:
            leaves = _Leaves(partial(self.total, scene, filling=filling), self.budget, sets, table)
            found = leaves.best(cash)
            if found is not None or not leaves.cut:
                return None if found is None else (*found, table.exact and not leaves.cut)
        for _ in range(_TRIES):
            cash -= over
            picked = table.pick(cash)
            if picked is None:
                return None
            over = self.total(scene, picked[1], filling) - self.budget
            if over <= 0:
                return (*picked, False)
        return None


def better(one: Found, other: Found) -> bool:
    """Whether a set of a scene keeps more of the show, or as much for less money."""
    if abs(one.show - other.show) > _HAIR:
        return one.show > other.show
    return one.cost < other.cost


class _Table:
    """The most of the show of the first lines for every amount spent on their bulbs.

    Amounts are counted in their greatest common part; where that makes too long a table, in
    coarser parts, costs rounded up, so that what is picked can be paid but may not be the best.
    """

    def __init__(self, sets: Sequence[Sequence[Level]], cash: Decimal) -> None:
        self._sets = sets
        prices = [[int(level.cost * _UNITS) for level in levels] for levels in sets]
        most = int(cash * _UNITS)
        self._unit = gcd(*(price for row in prices for price in row)) or 1
        longest = _MOST_CELLS // max(len(sets), 1)
        self.exact = most // self._unit <= longest
        if not self.exact:
            self._unit = -(-most // longest)
        cells = most // self._unit + 1
        self._best = [np.zeros(cells)]
        self._chosen: list[NDArray[np.uint8]] = []
        self._costs = [[-(-price // self._unit) for price in row] for row in prices]
        for row, levels in zip(self._costs, sets, strict=True):
            before = self._best[-1]
            best, chosen = np.full(cells, -np.inf), np.zeros(cells, dtype=np.uint8)
            for number, (cost, level) in enumerate(zip(row, levels, strict=True)):
                if cost < cells:
                    more = before[: cells - cost] + level.show
                    better = more > best[cost:] + _HAIR
                    np.copyto(best[cost:], more, where=better)
                    np.copyto(chosen[cost:], number, where=better, casting="unsafe")
            self._best.append(best)
            self._chosen.append(chosen)

    def most_show(self, upto: int, left: Decimal) -> float:
        """The most that the first `upto` lines add for an amount; −inf if it can't be paid."""
        at = int(left * _UNITS) // self._unit if left >= 0 else -1
        return float(self._best[upto][at]) if at >= 0 else -np.inf

    def pick(self, cash: Decimal) -> tuple[float, tuple[Level, ...]] | None:
        """The best levels for an amount, the cheapest of them."""
        show = self.most_show(len(self._sets), cash)
        if show == -np.inf:
            return None
        at = int(np.argmax(self._best[-1] >= show - _HAIR))
        picked = []
        for stage in range(len(self._sets) - 1, -1, -1):
            level = int(self._chosen[stage][at])
            at -= self._costs[stage][level]
            picked.append(self._sets[stage][level])
        return show, tuple(reversed(picked))


class _Leaves:
    """Walks through numbers of bulbs whose show could be more than the best one's."""

    def __init__(
        self,
        total: Callable[[tuple[Level, ...]], Decimal],
        budget: Decimal,
        sets: Sequence[Sequence[Level]],
        table: _Table,
    ) -> None:
        self._total, self._budget, self._sets, self._table = total, budget, sets, table
        self._best: tuple[float, tuple[Level, ...]] | None = None
        self._cost = Decimal(0)
        self._seen = 0
        self.cut = False

    def best(self, cash: Decimal) -> tuple[float, tuple[Level, ...]] | None:
        self._walk(len(self._sets), Decimal(0), 0.0, (), cash)
        return self._best

    def _walk(
        self, upto: int, spent: Decimal, show: float, taken: tuple[Level, ...], cash: Decimal
    ) -> None:
        most = show + self._table.most_show(upto, cash - spent)
        if most == -np.inf or (self._best is not None and most < self._best[0] - _HAIR):
            return
        if self._seen >= _MOST_LEAVES:
            self.cut = True
            return
        if upto == 0:
            self._seen += 1
            cost = self._total(taken)
            better = self._best is None or show > self._best[0] + _HAIR or cost < self._cost
            if cost <= self._budget and better:
                self._best, self._cost = (show, taken), cost
            return
        for level in self._sets[upto - 1]:
            self._walk(upto - 1, spent + level.cost, show + level.show, (level, *taken), cash)


def scenes_of(lines: Sequence[Line], *, all_kept: bool) -> list[list[tuple[frozenset[str], int]]]:
    """What may become of every line."""
    options = []
    for line in lines:
        sets = [line.everything] if all_kept else line.kept_sets()
        mine = [(kept, kind) for kept in sets if kept for kind in range(len(line.kinds))]
        options.append(mine if all_kept else [*mine, (frozenset(), 0)])
    return options


def count_of_scenes(lines: Sequence[Line]) -> int:
    """How many scenes there are, those with layers left out among them."""
    count = 1
    for line in lines:
        count *= (2 ** len(line.places) - 1) * len(line.kinds) + 1
    return count


def ranked_scenes(
    problem: Problem, *, all_kept: bool, go: Go
) -> list[tuple[tuple[float, int], list[tuple[Scene, float]]]]:
    """All scenes that keep a layer, by weeks to the tenth and layers kept, the best first."""
    groups: dict[tuple[float, int], list[tuple[Scene, float]]] = {}
    options = scenes_of(problem.lines, all_kept=all_kept)
    colours = problem.colours
    wanted = colours.weeks_of(problem.as_wanted())
    stack = [colours.base]
    before: tuple[int, ...] = ()
    numbers = product(*(range(len(each)) for each in options))
    for n, now in enumerate(numbers):
        if n % 64 == 0 and not go(0.5 * n / MOST_SCENES):
            raise StoppedError
        same = next((k for k, (a, b) in enumerate(zip(now, before, strict=False)) if a != b), 0)
        del stack[same + 1 :]
        for k in range(same, len(now)):
            kept, kind = options[k][now[k]]
            stack.append(stack[-1] * colours.table(k, kept, kind))
        before = now
        scene = tuple(options[k][i] for k, i in enumerate(now))
        kept_layers = sum(
            line.layers_in(kept) for line, (kept, _) in zip(problem.lines, scene, strict=True)
        )
        if kept_layers:
            weeks = colours.weeks(stack[-1])
            groups.setdefault((round(min(weeks, wanted), 1), kept_layers), []).append(
                (scene, weeks)
            )
    return sorted(groups.items(), key=lambda item: item[0], reverse=True)


def search_all(problem: Problem, *, go: Go) -> Found | None:
    """The best set of all; None where none is within the budget."""
    plain = [each for each in problem.fillings if not each.keeps]
    keeping = [each for each in problem.fillings if each.keeps]
    for all_kept in (True, False):
        ranked = ranked_scenes(problem, all_kept=all_kept, go=go)
        for fillings in (plain, keeping):
            for n, (_, scenes) in enumerate(ranked):
                if not go(0.5 + 0.5 * n / len(ranked)):
                    raise StoppedError
                best: Found | None = None
                weeks = 0.0
                for scene, its_weeks in scenes:
                    found = problem.best_of_scene(scene, fillings)
                    if found is not None and (best is None or better(found, best)):
                        best, weeks = found, its_weeks
                if best is not None:
                    return with_weeks(best, weeks)
    return None


def with_weeks(found: Found, weeks: float) -> Found:
    """The same set with its weeks of colour."""
    return Found(
        found.scene, found.levels, found.filling, found.cost, found.show, weeks, found.exact
    )
