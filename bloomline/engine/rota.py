"""Which thing stands where in each week: the most worth, little moving, and room for all.

Every thing walks through the weeks from place to place; only the room of the places ties the
walks together. So room is given a price (Lagrange multipliers): at given prices the best walk of
each thing is a dynamic programme over weeks, and the sum bounds what any rota is worth. Walks
laid one after the other into the room that is left make rotas that can be done. What the bound
can't rule out is then settled by a mixed-integer programme of the time-expanded flow (HiGHS), if
there is little enough of it; otherwise the gap is told.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.rota_flow import by_programme
from bloomline.engine.rota_problem import (
    SAME,
    NoRotaError,
    Rota,
    RotaProblem,
    breaks,
    room_used,
    tightened,
    worth_of,
)
from bloomline.engine.rota_walks import NEVER, Ground, best_walks, worth_through

__all__ = ["NoRotaError", "Rota", "RotaProblem", "best_rota", "breaks", "worth_of"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_STEPS = 160
_LAY_EVERY = 40
_MENDS = 250
_MOST_CELLS = 6_000  # of a mixed-integer programme that takes seconds, no more


def best_rota(problem: RotaProblem) -> Rota:
    """The rota of the most worth, or the best found with a bound. Raises NoRotaError."""
    things, _, weeks = problem.worth.shape
    if not things or not weeks:
        return Rota(np.zeros((things, weeks), dtype=np.int64), 0.0, 0.0)
    if not problem.allowed.any(axis=1).all():
        raise NoRotaError("a thing has no place in a week")
    problem = tightened(problem)
    if not problem.allowed.any(axis=1).all():
        raise NoRotaError("a thing is wider than the only place it may stand at")
    return _Search(problem).run()


class _Search:
    """Prices, walks and the rota that is the best so far. Tables run (weeks, things, places)."""

    def __init__(self, problem: RotaProblem) -> None:
        self.problem = problem
        worth = np.where(problem.allowed, problem.worth, NEVER)
        self.worth = np.ascontiguousarray(worth.transpose(2, 0, 1))
        self.things = worth.shape[0]
        # Where a thing has no choice its room is taken, whatever the others would like.
        only = problem.allowed.sum(axis=1) == 1
        self.forced = np.where(only, problem.allowed.argmax(axis=1), -1)
        self.best: Rota | None = None
        self.bound = np.inf

    def run(self) -> Rota:
        places, weeks = self.worth.shape[2], self.worth.shape[0]
        problem = self.problem
        tight = np.isfinite(problem.room), np.isfinite(problem.room_width)
        rooms = np.where(tight[0], problem.room, 0.0), np.where(tight[1], problem.room_width, 0.0)
        # Widths are priced as shares of a place, so that both prices are of one size.
        share = problem.width[:, None] / np.where(tight[1], np.maximum(rooms[1], SAME), np.inf)
        size = problem.sizes[:, None]
        price = np.zeros((2, weeks, places))
        kept = price.copy()
        since, pace = 0, 1.0
        for step in range(_STEPS):
            priced = self.worth - price[0][:, None, :] * size - price[1][:, None, :] * share
            walk, sums = best_walks(priced, problem.come, problem.leave)
            bound = float(sums.sum() + (price[0] * rooms[0]).sum() + price[1][:, tight[1]].sum())
            if bound < self.bound - SAME:
                self.bound, kept, since = bound, price.copy(), 0
            else:
                since += 1
            if since >= 10:
                pace, since, price = pace / 2.0, 0, kept.copy()
                continue
            used, wide = room_used(problem, walk)
            over = np.stack(
                [
                    np.where(tight[0], used.T - rooms[0], 0.0),
                    np.where(tight[1], wide.T / np.maximum(rooms[1], SAME) - 1.0, 0.0),
                ]
            )
            if step % _LAY_EVERY == 0 or (over <= SAME).all():
                self._lay(np.argsort(-sums, kind="stable"), priced)
            if self._is_done():
                break
            # Room that is left over has no price; a price of nothing falls no further.
            over[(price <= 0.0) & (over < 0.0)] = 0.0
            length = float((over**2).sum())
            if length <= SAME or pace < 1e-3:
                break
            floor = self.best.worth if self.best is not None else bound - abs(bound) - 1.0
            price = np.maximum(price + pace * (bound - floor) / length * over, 0.0)
        if not self._is_done():
            self._mend()
        if not self._is_done():
            self._settle(kept, share)
        if self.best is None:
            raise NoRotaError("there isn't room for what must stand somewhere")
        return self.best if self.best.bound == self.bound else self._at_bound()

    def _is_done(self) -> bool:
        return self.best is not None and self._at_bound().is_proven

    def _at_bound(self) -> Rota:
        assert self.best is not None
        return Rota(self.best.place, self.best.worth, max(self.bound, self.best.worth))

    def _lay(self, order: Ints, priced: Floats) -> None:
        """Lay walks one after the other into the room that is left, then mend each in turn."""
        ground = Ground(self.problem, self.worth, self.forced)
        for turn in range(4):
            # First by the prices, which know what others want; then each for its own worth.
            before = ground.worth
            for who in order:
                if not ground.lay(who, priced if turn == 0 else self.worth):
                    return
            if turn and ground.worth <= before + SAME:
                break
        self._keep(ground.place)

    def _mend(self) -> None:
        """Take a few things that stand in each other's way up, and lay them in another order."""
        if self.best is None or self.things < 2:
            return
        ground = Ground(self.problem, self.worth, self.forced)
        for who, walk in enumerate(self.best.place):
            ground.put(who, walk)
        dice = np.random.default_rng(self.things)  # the same rota each time it is asked for
        free = np.flatnonzero((self.forced < 0).any(axis=1))
        wish, wishes = best_walks(
            self.worth[:, free], self.problem.come[free], self.problem.leave[free]
        )
        for trial in range(min(_MENDS, 40 * len(free))):
            missed = wishes - ground.worth_each[free]
            chance = np.maximum(missed, 0.0) + 1e-3
            first = int(dice.choice(len(free), p=chance / chance.sum()))
            same = (ground.place[free] == wish[first]).sum(axis=1) + dice.random(len(free))
            same[first] = -1.0
            others = free[np.argsort(-same)[: 1 + trial % 5]]
            some = np.array([free[first], *dice.permutation(others)])
            before, walks = ground.worth, ground.place[some].copy()
            for who in some:
                ground.take_up(who)
            if all(ground.lay(who, self.worth) for who in some) and ground.worth > before - SAME:
                continue
            for who, walk in zip(some, walks, strict=True):
                ground.put(who, walk)
        self._keep(ground.place)

    def _keep(self, place: Ints) -> None:
        """Remember a rota that is better than the best so far."""
        worth = worth_of(self.problem, place)
        if breaks(self.problem, place):
            return
        if self.best is None or worth > self.best.worth + SAME:
            self.best = Rota(place.copy(), worth, np.inf)

    def _settle(self, price: Floats, share: Floats) -> None:
        """Ask the mixed-integer programme about the cells that a better rota could use."""
        problem = self.problem
        size = problem.sizes[:, None]
        priced = self.worth - price[0][:, None, :] * size - price[1][:, None, :] * share
        through = worth_through(priced, problem.come, problem.leave)
        best_walk = through.max(axis=2)[0]
        floor = self.best.worth if self.best is not None else -np.inf
        loss = best_walk[None, :, None] - through
        free = (self.bound - loss >= floor - SAME) & (self.worth > 0.5 * NEVER)
        if int(free.sum()) - free.shape[0] * free.shape[1] > _MOST_CELLS:
            return
        place, bound = by_programme(problem, free)
        self.bound = min(self.bound, max(bound, floor))
        if place is not None and not breaks(problem, place):
            worth = worth_of(problem, place)
            if worth > floor:
                self.best = Rota(place, worth, np.inf)
