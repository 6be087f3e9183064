"""Which thing stands where in each week: the most worth, little moving, and room for all.

Every thing walks through the weeks from place to place; only the room of the places ties the
walks together. So room is given a price (Lagrange multipliers): at given prices the best walk of
each thing is a dynamic programme over weeks, and the sum bounds what any rota is worth. Walks
laid one after the other into the room that is left make a rota that can be done, and taking some
up and laying them anew at those prices makes better ones (`engine.rota_swaps`). What the bound
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
    of_things,
    room_used,
    tightened,
    worth_of,
)
from bloomline.engine.rota_swaps import Swaps
from bloomline.engine.rota_walks import NEVER, Ground, best_walks, worth_through

__all__ = ["NoRotaError", "Rota", "RotaProblem", "best_rota", "breaks", "worth_of"]

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

_STEPS = 400
_FIRST_PACE, _LAST_PACE = 2.0, 0.01  # of the steps of prices, falling by an equal part each
_DEFLECTION = 1.5  # how far a step is turned from undoing the one before
_TRIALS, _TRIALS_EACH = 1_700, 60  # of the search, at most and for each thing
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
        # Where a thing has no choice its room is taken, whatever the others would like.
        only = problem.allowed.sum(axis=1) == 1
        self.forced = np.where(only, problem.allowed.argmax(axis=1), -1)
        self.free = np.flatnonzero((self.forced < 0).any(axis=1))
        self.best: Rota | None = None
        self.bound = np.inf
        self.price = np.zeros((2, *self.worth.shape[::2]))
        # Widths are priced as shares of a place, so that both prices are of one size.
        wide = np.where(np.isfinite(problem.room_width), problem.room_width, np.inf)
        self.takes = np.stack(
            [
                problem.sizes[:, None] * np.isfinite(problem.room),
                problem.width[:, None] / np.maximum(wide, SAME),
            ]
        )
        self.limit = np.stack(
            [np.where(np.isfinite(problem.room), problem.room, 0.0), np.isfinite(wide) * 1.0]
        )

    def run(self) -> Rota:
        self._lay(np.arange(len(self.forced)), self.worth)
        self._find_prices()
        if not self._is_done():
            self._lay(self._order, self._priced(self.price))
        if not self._is_done() and self.best is not None:
            self._swap()
        if not self._is_done():
            self._settle()
        if self.best is None:
            raise NoRotaError("there isn't room for what must stand somewhere")
        return self._at_bound()

    def _priced(self, price: Floats) -> Floats:
        """Worth less what the room costs."""
        paid = price[0][:, None, :] * self.takes[0] + price[1][:, None, :] * self.takes[1]
        return np.asarray(self.worth - paid)

    def _find_prices(self) -> None:
        """Prices of room that make the bound low, by deflected steps along what is too much."""
        problem, free = self.problem, self.free
        things = self.worth.shape[1]
        come, leave = problem.come[free], problem.leave[free]
        sure = np.delete(np.arange(things), free)
        # Things without any choice are the same at all prices.
        still = self.forced[sure]
        base = float(worth_of(of_things(problem, sure), still))
        used = self._used(sure, still)
        price, step_to = self.price.copy(), np.zeros_like(self.price)
        pace = _FIRST_PACE
        self._order = np.arange(things)
        for _ in range(_STEPS):
            priced = self._priced(price)
            walk, sums = best_walks(priced[:, free], come, leave)
            paid = float((price * (self.limit[:, None] - used)).sum())
            bound = base + float(sums.sum()) + paid
            over = used + self._used(free, walk) - self.limit[:, None]
            if bound < self.bound - SAME:
                self.bound, self.price = bound, price
                self._order = np.concatenate([sure, free[np.argsort(-sums, kind="stable")]])
            if (over <= SAME).all():
                place = self.forced.copy()
                place[free] = walk
                self._keep(place)
            if self._is_done():
                break
            against = float((step_to * over).sum())
            turn = -_DEFLECTION * against / max(float((step_to**2).sum()), SAME)
            step_to = over + max(turn, 0.0) * step_to
            # Room that is left over has no price; a price of nothing falls no further.
            step = np.where((price <= 0.0) & (step_to < 0.0), 0.0, step_to)
            length = float((step**2).sum())
            if length <= SAME:
                break
            floor = self.best.worth if self.best is not None else bound - abs(bound) - 1.0
            price = np.maximum(price + pace * (bound - floor) / length * step, 0.0)
            pace *= (_LAST_PACE / _FIRST_PACE) ** (1.0 / _STEPS)

    def _used(self, who: Ints, walk: Ints) -> Floats:
        """Room that walks of some things take, in the measures of the prices."""
        _, weeks, places = self.price.shape
        cells = (np.arange(weeks) * places + walk).reshape(-1)
        return np.stack(
            [
                np.bincount(
                    cells,
                    weights=takes[who[:, None], walk].reshape(-1),
                    minlength=weeks * places,
                ).reshape(weeks, places)
                for takes in self.takes
            ]
        )

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

    def _swap(self) -> None:
        """Better the best rota by taking some things up and laying them anew."""
        assert self.best is not None
        free = self.free
        if len(free) < 2:
            return
        place = self.best.place
        apart = np.delete(np.arange(len(place)), free)
        swaps = Swaps(
            of_things(self.problem, free),
            self.worth[:, free],
            (self.worth - self._priced(self.price))[:, free],
            place[free],
            taken=room_used(of_things(self.problem, apart), place[apart]),
        )
        trials = min(_TRIALS, _TRIALS_EACH * len(free))
        swaps.run(
            trials,
            scale=abs(self.best.worth) / len(free),
            enough=self.bound - self.best.worth + swaps.worth - SAME,
        )
        better = place.copy()
        better[free] = swaps.place
        self._keep(better)

    def _keep(self, place: Ints) -> None:
        """Remember a rota that is better than the best so far."""
        if breaks(self.problem, place):
            return
        worth = worth_of(self.problem, place)
        if self.best is None or worth > self.best.worth + SAME:
            self.best = Rota(place.copy(), worth, np.inf)

    def _settle(self) -> None:
        """Ask the mixed-integer programme about the cells that a better rota could use."""
        problem = self.problem
        through = worth_through(self._priced(self.price), problem.come, problem.leave)
        best_walk = through.max(axis=2)[0]
        floor = self.best.worth if self.best is not None else -np.inf
        loss = best_walk[None, :, None] - through
        free = (self.bound - loss >= floor - SAME) & (self.worth > 0.5 * NEVER)
        if int(free.sum()) - free.shape[0] * free.shape[1] > _MOST_CELLS:
            return
        place, bound = by_programme(problem, free)
        self.bound = min(self.bound, max(bound, floor))
        if place is not None:
            self._keep(place)
