"""Things, places and weeks of a rota: what one is worth, and whether it breaks a rule."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

SAME = 1e-7
"""Worths and widths that differ by less are the same."""


@dataclass(frozen=True, slots=True, eq=False)
class RotaProblem:
    """Things, places and weeks.

    worth : of a thing at a place in a week, shape (n_things, n_places, n_weeks). allowed : where
    it may stand, the same shape; each thing has a place in every week. room : things a place
    holds, shape (n_places,). width, room_width : of things and places, shapes (n_things,) and
    (n_places,), infinite where there is room enough. come, leave : what it costs to bring a thing
    to a place and to take it away, shape (n_things, n_places), zero or more; the first week's
    place costs nothing. size : of how many single things each consists, which stand together,
    shape (n_things,); one of each unless told.
    """

    worth: Floats
    allowed: Bools
    room: Floats
    width: Floats
    room_width: Floats
    come: Floats
    leave: Floats
    size: Floats | None = None

    @property
    def sizes(self) -> Floats:
        """Room that each thing takes, shape (n_things,)."""
        return np.ones(len(self.width)) if self.size is None else self.size


@dataclass(frozen=True, slots=True, eq=False)
class Rota:
    """The place of each thing in each week, shape (n_things, n_weeks).

    worth : all told, moving taken off. bound : no rota is worth more.
    """

    place: Ints
    worth: float
    bound: float

    @property
    def gap(self) -> float:
        """How much more another rota could be worth at most; 0 where this one is proven best."""
        return max(self.bound - self.worth, 0.0)

    @property
    def is_proven(self) -> bool:
        """Whether no rota is worth more."""
        return self.gap <= 1e-6 * max(1.0, abs(self.bound))


class NoRotaError(ValueError):
    """There is no way to place the things: where a thing must stand there isn't room for it."""


def of_things(problem: RotaProblem, some: Ints) -> RotaProblem:
    """The problem of some of the things, as if they were alone."""
    return replace(
        problem,
        worth=problem.worth[some],
        allowed=problem.allowed[some],
        width=problem.width[some],
        come=problem.come[some],
        leave=problem.leave[some],
        size=None if problem.size is None else problem.size[some],
    )


def worth_of(problem: RotaProblem, place: Ints) -> float:
    """What a rota is worth: where things stand, less what moving them costs."""
    things, weeks = place.shape
    who = np.arange(things)[:, None]
    total = problem.worth[who, place, np.arange(weeks)].sum()
    before, after = place[:, :-1], place[:, 1:]
    moved = before != after
    return float(total - ((problem.leave[who, before] + problem.come[who, after]) * moved).sum())


def breaks(problem: RotaProblem, place: Ints) -> bool:
    """Whether a rota breaks a rule: a place that isn't allowed, or more than there is room for."""
    things, weeks = place.shape
    who, when = np.arange(things)[:, None], np.arange(weeks)
    if not problem.allowed[who, place, when].all():
        return True
    used, wide = room_used(problem, place)
    return bool(
        (used > problem.room[:, None] + SAME).any()
        or (wide > problem.room_width[:, None] + SAME).any()
    )


def room_used(problem: RotaProblem, place: Ints) -> tuple[Floats, Floats]:
    """Things at each place in each week, and their widths together, (n_places, n_weeks)."""
    _, places, weeks = problem.worth.shape
    cells = (place * weeks + np.arange(weeks)).reshape(-1)
    width = np.repeat(problem.width, weeks)
    used = np.bincount(cells, weights=np.repeat(problem.sizes, weeks), minlength=places * weeks)
    wide = np.bincount(cells, weights=width, minlength=places * weeks)
    return np.reshape(used, (places, weeks)), np.reshape(wide, (places, weeks))


def tightened(problem: RotaProblem) -> RotaProblem:
    """The same problem with what widths forbid said of single things and of their number.

    Nothing that can be done is lost, and the bound comes nearer.
    """
    fits = problem.width[:, None] <= problem.room_width + SAME
    fits &= problem.sizes[:, None] <= problem.room + SAME
    allowed = problem.allowed & fits[:, :, None]
    room = problem.room.copy()
    for place in np.flatnonzero(np.isfinite(problem.room_width)):
        comes = allowed[:, place].any(axis=1)
        # The narrowest first; a part of a thing can't come, but a bound may count it.
        sizes, width = problem.sizes[comes], problem.width[comes]
        order = np.argsort(width / sizes)
        most = np.cumsum(width[order]) <= problem.room_width[place] + SAME
        all_of = float(sizes[order][most].sum())
        left = problem.room_width[place] - float(width[order][most].sum())
        if not most.all() and problem.size is not None:
            first = order[int(most.sum())]
            all_of += np.floor(left / (width[first] / sizes[first]) + SAME)
        room[place] = min(room[place], all_of)
    return replace(problem, allowed=allowed, room=room)
