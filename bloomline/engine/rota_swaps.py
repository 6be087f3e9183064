"""Better rotas by taking some things up and laying them anew, again and again.

Things that stand in each other's way are taken up together and laid one after the other into
the room that is left, at prices of room that keep each from taking what another is worth more
at; then each once more for its own worth. What is worse is taken now and then, ever more seldom
(annealing), so that the search does not end where no few things can gain. Plain lists: each
step is over some tens of weeks and a few places, where calls into NumPy cost more than the sums.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from random import Random

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.rota_problem import SAME, RotaProblem
from bloomline.engine.rota_walks import NEVER, worth_through

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Walk = list[int]

_NEVER = 0.5 * NEVER
_HEAT = 0.015  # of what a thing is worth by itself: by how much a step may be worse at the start
_PLACES = 9  # that are tried for a thing
_CHEAP, _DEAR = 0.7, 1.1  # share of the prices of room that a step lays at


class _Thing:
    """One thing: the places that may be worth coming to, with its worth and prices there."""

    def __init__(
        self, who: int, problem: RotaProblem, table: Floats, price: Floats, walk: Ints
    ) -> None:
        self.who = who
        self.size, self.width = float(problem.sizes[who]), float(problem.width[who])
        come, leave = problem.come[who], problem.leave[who]
        open_ = (table > _NEVER).any(axis=0)
        free = np.isinf(problem.room) & np.isinf(problem.room_width) & (table > _NEVER).all(axis=0)
        for home in np.flatnonzero(free):
            # Nobody carries a thing where it is worth no more than where there is always room.
            no_more = (table <= table[:, [home]]).all(axis=0)
            no_more &= (come >= come[home]) & (leave >= leave[home])
            no_more[home] = False
            open_ &= ~no_more
        # Of many places those on its best walks at these prices; the search is none the worse.
        priced = (table - price)[:, None]
        passing = worth_through(priced, come[None], leave[None])[:, 0].max(axis=0)
        open_ &= passing >= np.sort(np.where(open_, passing, -np.inf))[::-1][:_PLACES].min()
        open_[walk] = True
        places = np.flatnonzero(open_)
        self.places: Walk = places.tolist()
        self.worth: list[list[float]] = table[:, places].T.tolist()
        self.price: list[list[float]] = price[:, places].T.tolist()
        self.come: list[float] = come[places].tolist()
        self.leave: list[float] = leave[places].tolist()
        self.at = {place: at for at, place in enumerate(self.places)}

    def worth_of(self, walk: Walk) -> float:
        """What a walk is worth, moving taken off."""
        total, before = 0.0, -1
        for week, place in enumerate(walk):
            here = self.at[place]
            total += self.worth[here][week]
            if before not in (-1, here):
                total -= self.leave[before] + self.come[here]
            before = here
        return total


class Swaps:
    """A rota under change, and the best one that it has been."""

    def __init__(
        self,
        problem: RotaProblem,
        table: Floats,
        price: Floats,
        place: Ints,
        *,
        taken: tuple[Floats, Floats],
    ) -> None:
        """Begin with a rota that breaks no rule.

        table, price : worth and price of room by thing, shape (n_weeks, n_things, n_places).
        taken : number and width of what stands there besides, each (n_places, n_weeks).
        """
        self._things = [
            _Thing(who, problem, table[:, who], price[:, who], walk)
            for who, walk in enumerate(place)
        ]
        self._left: list[list[float]] = (problem.room[:, None] - taken[0]).tolist()
        self._wide: list[list[float]] = (problem.room_width[:, None] - taken[1]).tolist()
        self._endless = (np.isinf(problem.room) & np.isinf(problem.room_width)).tolist()
        self.walks: list[Walk] = [[]] * len(place)
        self._worth = [0.0] * len(place)
        self._stand = np.array(place)
        for thing in self._things:
            self.put(thing, place[thing.who].tolist())
        self.best = [list(walk) for walk in self.walks]
        self.best_worth = self.worth

    @property
    def worth(self) -> float:
        """What the rota is worth now."""
        return math.fsum(self._worth)

    @property
    def place(self) -> Ints:
        """The best rota so far, shape (n_things, n_weeks)."""
        return np.array(self.best, dtype=np.int64)

    def _take_up(self, thing: _Thing, sign: float = 1.0) -> None:
        size, width = sign * thing.size, sign * thing.width
        left, wide = self._left, self._wide
        for week, place in enumerate(self.walks[thing.who]):
            left[place][week] += size
            wide[place][week] += width
        if sign > 0.0:
            self.walks[thing.who] = []

    def put(self, thing: _Thing, walk: Walk | None) -> bool:
        """Lay a walk for which there is room; False where there is none to lay."""
        if walk is None:
            return False
        self.walks[thing.who] = walk
        self._take_up(thing, -1.0)
        self._worth[thing.who] = thing.worth_of(walk)
        return True

    def _laid(self, thing: _Thing, dear: float) -> Walk | None:
        """The best walk of a thing through the room that is left, at a share of its prices."""
        size, width = thing.size - SAME, thing.width - SAME
        columns: list[list[float]] = []
        places: Walk = []
        for at, place in enumerate(thing.places):
            worth = thing.worth[at]
            if self._endless[place]:
                column = worth
            else:
                column = [
                    value - dear * price if room >= size and wide >= width else NEVER
                    for value, price, room, wide in zip(
                        worth, thing.price[at], self._left[place], self._wide[place], strict=True
                    )
                ]
                if max(column) < _NEVER:
                    continue
            columns.append(column)
            places.append(at)
        if not columns:
            return None
        come = [thing.come[at] for at in places]
        leave = [thing.leave[at] for at in places]
        rows = list(zip(*columns, strict=True))
        total = list(rows[0])
        totals, sources, gains = [total], [0], [0.0]
        for row in rows[1:]:
            gone = [each - cost for each, cost in zip(total, leave, strict=True)]
            gain = max(gone)
            sources.append(gone.index(gain))
            gains.append(gain)
            total = [
                (each if each >= gain - cost else gain - cost) + value
                for each, cost, value in zip(total, come, row, strict=True)
            ]
            totals.append(total)
        last = max(total)
        if last < _NEVER:
            return None
        here = total.index(last)
        walk = [here]
        for week in range(len(rows) - 1, 0, -1):
            if totals[week - 1][here] < gains[week] - come[here]:
                here = sources[week]
            walk.append(here)
        walk.reverse()
        return [thing.places[places[at]] for at in walk]

    def run(self, trials: int, *, scale: float, enough: float) -> None:
        """Take some things up and lay them anew, so many times.

        scale : what a thing is worth by itself, of which some may be lost on the way. enough : a
        worth at which to end, since there is none above.
        """
        dice = Random(len(self._things))  # the same rota each time it is asked for
        noise = np.random.default_rng(len(self._things))
        n = len(self._things)
        weeks = self._stand.shape[1]
        for trial in range(trials):
            heat = max(_HEAT * scale * (1.0 - trial / trials), SAME)
            first = dice.randrange(n)
            same = (self._stand == self._stand[first]).sum(axis=1) + noise.random(n) * weeks / 6.0
            same[first] = np.inf
            count = min(2 + trial % 5, n)
            chosen = np.argpartition(-same, count - 1)[:count].tolist()
            dice.shuffle(chosen)
            self._trial([self._things[who] for who in chosen], heat, dice)
            if self.best_worth >= enough:
                break

    def _trial(self, some: Sequence[_Thing], heat: float, dice: Random) -> None:
        before = {thing.who: (self.walks[thing.who], self._worth[thing.who]) for thing in some}
        was = sum(worth for _, worth in before.values())
        for thing in some:
            self._take_up(thing)
        dear = dice.uniform(_CHEAP, _DEAR)
        done = all(self.put(thing, self._laid(thing, dear)) for thing in some)
        if done:
            for thing in some:
                self._take_up(thing)
                self.put(thing, self._laid(thing, 0.0))
            gain = sum(self._worth[thing.who] for thing in some) - was
            if gain >= -SAME or dice.random() < math.exp(gain / heat):
                for thing in some:
                    self._stand[thing.who] = self.walks[thing.who]
                now = self.worth
                if now > self.best_worth + SAME:
                    self.best_worth = now
                    self.best = [list(walk) for walk in self.walks]
                return
        for thing in some:
            if self.walks[thing.who]:
                self._take_up(thing)
        for thing in some:
            walk, worth = before[thing.who]
            self.walks[thing.who] = walk
            self._take_up(thing, -1.0)
            self._worth[thing.who] = worth
