"""Best walks of things through weeks and places, each for itself, and room that is left."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.rota_problem import SAME, RotaProblem

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

NEVER = -1e7
"""What it is worth to stand where it is not allowed."""


def walk_of(worth: Floats, come: Floats, leave: Floats) -> tuple[Ints, float]:
    """The best walk of one thing. worth : shape (n_weeks, n_places)."""
    # Most weeks hold only places that are never worth coming to: those fall out first.
    open_ = np.flatnonzero((worth > 0.5 * NEVER).any(axis=0))
    walk, total = best_walks(worth[:, None, open_], come[None, open_], leave[None, open_])
    return open_[walk[0]], float(total[0])


def best_walks(worth: Floats, come: Floats, leave: Floats) -> tuple[Ints, Floats]:
    """The best walk of each thing for itself, and its worth.

    worth : shape (n_weeks, n_things, n_places). Returns shapes (n_things, n_weeks), (n_things,).
    """
    weeks, things, _ = worth.shape
    who = np.arange(things)
    stays = np.zeros(worth.shape, dtype=bool)
    source = np.zeros((weeks, things), dtype=np.int64)
    total = worth[0].copy()
    for week in range(1, weeks):
        gone = total - leave
        source[week] = gone.argmax(axis=1)
        moved = gone[who, source[week]][:, None] - come
        stays[week] = total >= moved
        total = np.where(stays[week], total, moved) + worth[week]
    walk = np.zeros((things, weeks), dtype=np.int64)
    walk[:, -1] = total.argmax(axis=1)
    for week in range(weeks - 1, 0, -1):
        here = walk[:, week]
        walk[:, week - 1] = np.where(stays[week][who, here], here, source[week])
    return walk, total.max(axis=1)


def worth_through(worth: Floats, come: Floats, leave: Floats) -> Floats:
    """The worth of the best walk of each thing that passes through a place in a week."""
    weeks = worth.shape[0]
    before, after = np.empty_like(worth), np.empty_like(worth)
    before[0], after[-1] = 0.0, 0.0
    for week in range(1, weeks):
        total = before[week - 1] + worth[week - 1]
        before[week] = np.maximum(total, (total - leave).max(axis=1)[:, None] - come)
    for week in range(weeks - 2, -1, -1):
        total = after[week + 1] + worth[week + 1]
        after[week] = np.maximum(total, (total - come).max(axis=1)[:, None] - leave)
    return before + worth + after


class Ground:
    """The room that is left while walks are laid into it, one thing at a time."""

    def __init__(self, problem: RotaProblem, worth: Floats, forced: Ints) -> None:
        weeks = worth.shape[0]
        self._problem, self._table, self._forced = problem, worth, forced
        self._when = np.arange(weeks)
        self._size = problem.sizes
        self._left = np.repeat(problem.room[:, None], weeks, axis=1)
        self._wide = np.repeat(problem.room_width[:, None], weeks, axis=1)
        self.place = np.full(forced.shape, -1, dtype=np.int64)
        self.worth_each = np.zeros(len(forced))
        for who, walk in enumerate(forced):
            self._take(who, walk, 1.0)

    @property
    def worth(self) -> float:
        """What all walks that are laid are worth."""
        return float(self.worth_each.sum())

    def _take(self, who: int, walk: Ints, sign: float) -> None:
        there = walk >= 0
        self._left[walk[there], self._when[there]] -= sign * self._size[who]
        self._wide[walk[there], self._when[there]] -= sign * self._problem.width[who]

    def take_up(self, who: int) -> None:
        """Take a thing off the ground, all but where it has no choice."""
        if self.place[who, 0] >= 0:
            self._take(who, self.place[who], -1.0)
            self._take(who, self._forced[who], 1.0)
            self.place[who], self.worth_each[who] = -1, 0.0

    def put(self, who: int, walk: Ints) -> None:
        """Lay a walk for which there is room."""
        self.take_up(who)
        self._take(who, self._forced[who], -1.0)
        self._take(who, walk, 1.0)
        self.place[who] = walk
        moved = walk[1:] != walk[:-1]
        cost = self._problem.leave[who, walk[:-1]] + self._problem.come[who, walk[1:]]
        worth = self._table[self._when, who, walk].sum() - (cost * moved).sum()
        self.worth_each[who] = float(worth)

    def lay(self, who: int, table: Floats) -> bool:
        """Lay the best walk by a table into the room that is left; False where there is none."""
        self.take_up(who)
        self._take(who, self._forced[who], -1.0)
        fits = (self._left >= self._size[who] - SAME) & (
            self._wide >= self._problem.width[who] - SAME
        )
        self._take(who, self._forced[who], 1.0)
        one = np.where(fits.T, table[:, who], NEVER)
        walk, total = walk_of(one, self._problem.come[who], self._problem.leave[who])
        if total < 0.5 * NEVER:
            return False
        self.put(who, walk)
        return True
