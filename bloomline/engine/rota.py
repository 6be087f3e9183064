"""Which thing stands where in each week: the most worth, little moving, and room for all.

Every thing walks through the weeks from place to place; only the room of the places ties the
walks together. So room is given a price (Lagrange multipliers): at given prices the best walk of
each thing is a dynamic programme over weeks, and the sum bounds what any rota is worth. Walks
laid one after the other into the room that is left make rotas that can be done. What the bound
can't rule out is then settled by a mixed-integer programme of the time-expanded flow (HiGHS), if
there is little enough of it; otherwise the gap is told.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

_NEVER = -1e7
_STEPS = 160
_LAY_EVERY = 40
_MENDS = 250
_MOST_CELLS = 6_000  # of a mixed-integer programme that takes seconds, no more
_MOST_NODES = 400
_MOST_SECONDS = 8.0  # only where the machine is very slow: nodes end it before
_SAME = 1e-7


@dataclass(frozen=True, slots=True, eq=False)
class RotaProblem:
    """Things, places and weeks.

    worth : of a thing at a place in a week, shape (n_things, n_places, n_weeks). allowed : where
    it may stand, the same shape; each thing has a place in every week. room : things a place
    holds, shape (n_places,). width, room_width : of things and places, shapes (n_things,) and
    (n_places,), infinite where there is room enough. come, leave : what it costs to bring a thing
    to a place and to take it away, shape (n_things, n_places), zero or more; the first week's
    place costs nothing.
    """

    worth: Floats
    allowed: Bools
    room: Floats
    width: Floats
    room_width: Floats
    come: Floats
    leave: Floats


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


def best_rota(problem: RotaProblem) -> Rota:
    """The rota of the most worth, or the best found with a bound. Raises NoRotaError."""
    things, _, weeks = problem.worth.shape
    if not things or not weeks:
        return Rota(np.zeros((things, weeks), dtype=np.int64), 0.0, 0.0)
    if not problem.allowed.any(axis=1).all():
        raise NoRotaError("a thing has no place in a week")
    problem = _tightened(problem)
    if not problem.allowed.any(axis=1).all():
        raise NoRotaError("a thing is wider than the only place it may stand at")
    return _Search(problem).run()


def _tightened(problem: RotaProblem) -> RotaProblem:
    """The same problem with what widths forbid said of single things and of their number.

    Nothing that can be done is lost, and the bound comes nearer.
    """
    fits = problem.width[:, None] <= problem.room_width + _SAME
    allowed = problem.allowed & fits[:, :, None]
    room = problem.room.copy()
    for place in np.flatnonzero(np.isfinite(problem.room_width)):
        comes = allowed[:, place].any(axis=1)
        most = np.cumsum(np.sort(problem.width[comes])) <= problem.room_width[place] + _SAME
        room[place] = min(room[place], most.sum())
    return replace(problem, allowed=allowed, room=room)


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
    used, wide = _used(problem, place)
    return bool(
        (used > problem.room[:, None] + _SAME).any()
        or (wide > problem.room_width[:, None] + _SAME).any()
    )


def _used(problem: RotaProblem, place: Ints) -> tuple[Floats, Floats]:
    """Things at each place in each week, and their widths together, (n_places, n_weeks)."""
    _, places, weeks = problem.worth.shape
    cells = (place * weeks + np.arange(weeks)).reshape(-1)
    width = np.repeat(problem.width, weeks)
    used = np.bincount(cells, minlength=places * weeks).astype(np.float64)
    wide = np.bincount(cells, weights=width, minlength=places * weeks)
    return np.reshape(used, (places, weeks)), np.reshape(wide, (places, weeks))


class _Search:
    """Prices, walks and the rota that is the best so far. Tables run (weeks, things, places)."""

    def __init__(self, problem: RotaProblem) -> None:
        self.problem = problem
        worth = np.where(problem.allowed, problem.worth, _NEVER)
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
        share = problem.width[:, None] / np.where(tight[1], np.maximum(rooms[1], _SAME), np.inf)
        price = np.zeros((2, weeks, places))
        kept = price.copy()
        since, pace = 0, 1.0
        for step in range(_STEPS):
            priced = self.worth - price[0][:, None, :] - price[1][:, None, :] * share
            walk, sums = _walks(priced, problem.come, problem.leave)
            bound = float(sums.sum() + (price[0] * rooms[0]).sum() + price[1][:, tight[1]].sum())
            if bound < self.bound - _SAME:
                self.bound, kept, since = bound, price.copy(), 0
            else:
                since += 1
            if since >= 10:
                pace, since, price = pace / 2.0, 0, kept.copy()
                continue
            used, wide = _used(problem, walk)
            over = np.stack(
                [
                    np.where(tight[0], used.T - rooms[0], 0.0),
                    np.where(tight[1], wide.T / np.maximum(rooms[1], _SAME) - 1.0, 0.0),
                ]
            )
            if step % _LAY_EVERY == 0 or (over <= _SAME).all():
                self._lay(np.argsort(-sums, kind="stable"), priced)
            if self._is_done():
                break
            # Room that is left over has no price; a price of nothing falls no further.
            over[(price <= 0.0) & (over < 0.0)] = 0.0
            length = float((over**2).sum())
            if length <= _SAME or pace < 1e-3:
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
        ground = _Ground(self.problem, self.worth, self.forced)
        for turn in range(4):
            # First by the prices, which know what others want; then each for its own worth.
            before = ground.worth
            for who in order:
                if not ground.lay(who, priced if turn == 0 else self.worth):
                    return
            if turn and ground.worth <= before + _SAME:
                break
        self._keep(ground.place)

    def _mend(self) -> None:
        """Take a few things that stand in each other's way up, and lay them in another order."""
        if self.best is None or self.things < 2:
            return
        ground = _Ground(self.problem, self.worth, self.forced)
        for who, walk in enumerate(self.best.place):
            ground.put(who, walk)
        dice = np.random.default_rng(self.things)  # the same rota each time it is asked for
        free = np.flatnonzero((self.forced < 0).any(axis=1))
        wish, wishes = _walks(
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
            if all(ground.lay(who, self.worth) for who in some) and ground.worth > before - _SAME:
                continue
            for who, walk in zip(some, walks, strict=True):
                ground.put(who, walk)
        self._keep(ground.place)

    def _keep(self, place: Ints) -> None:
        """Remember a rota that is better than the best so far."""
        worth = worth_of(self.problem, place)
        if breaks(self.problem, place):
            return
        if self.best is None or worth > self.best.worth + _SAME:
            self.best = Rota(place.copy(), worth, np.inf)

    def _settle(self, price: Floats, share: Floats) -> None:
        """Ask the mixed-integer programme about the cells that a better rota could use."""
        problem = self.problem
        priced = self.worth - price[0][:, None, :] - price[1][:, None, :] * share
        through = _through(priced, problem.come, problem.leave)
        best_walk = through.max(axis=2)[0]
        floor = self.best.worth if self.best is not None else -np.inf
        loss = best_walk[None, :, None] - through
        free = (self.bound - loss >= floor - _SAME) & (self.worth > 0.5 * _NEVER)
        if int(free.sum()) - free.shape[0] * free.shape[1] > _MOST_CELLS:
            return
        place, bound = _by_programme(problem, free)
        self.bound = min(self.bound, max(bound, floor))
        if place is not None and not breaks(problem, place):
            worth = worth_of(problem, place)
            if worth > floor:
                self.best = Rota(place, worth, np.inf)


class _Ground:
    """The room that is left while walks are laid into it, one thing at a time."""

    def __init__(self, problem: RotaProblem, worth: Floats, forced: Ints) -> None:
        weeks = worth.shape[0]
        self._problem, self._table, self._forced = problem, worth, forced
        self._when = np.arange(weeks)
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
        self._left[walk[there], self._when[there]] -= sign
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
        fits = (self._left >= 1.0 - _SAME) & (self._wide >= self._problem.width[who] - _SAME)
        self._take(who, self._forced[who], 1.0)
        one = np.where(fits.T, table[:, who], _NEVER)
        walk, total = _walk(one, self._problem.come[who], self._problem.leave[who])
        if total < 0.5 * _NEVER:
            return False
        self.put(who, walk)
        return True


def _walk(worth: Floats, come: Floats, leave: Floats) -> tuple[Ints, float]:
    """The best walk of one thing. worth : shape (n_weeks, n_places)."""
    # Most weeks hold only places that are never worth coming to: those fall out first.
    open_ = np.flatnonzero((worth > 0.5 * _NEVER).any(axis=0))
    walk, total = _walks(worth[:, None, open_], come[None, open_], leave[None, open_])
    return open_[walk[0]], float(total[0])


def _walks(worth: Floats, come: Floats, leave: Floats) -> tuple[Ints, Floats]:
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


def _through(worth: Floats, come: Floats, leave: Floats) -> Floats:
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


def _by_programme(problem: RotaProblem, free: Bools) -> tuple[Ints | None, float]:
    """The best rota that uses free cells only, as a flow through weeks; None without one.

    free : shape (n_weeks, n_things, n_places). Returns the rota and the bound that was reached.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_array

    weeks, things, places = free.shape
    cell = np.full(free.shape, -1, dtype=np.int64)
    week, who, where = np.nonzero(free)
    n = len(week)
    cell[week, who, where] = np.arange(n)
    # An arrival for each cell that is not in the first week; leaving follows from it.
    arrival = np.full(n, -1, dtype=np.int64)
    arrives = np.flatnonzero(week > 0)
    arrival[arrives] = n + np.arange(len(arrives))
    cost = np.zeros(n + len(arrives))
    come, leave = problem.come[who, where], problem.leave[who, where]
    cost[:n] = -problem.worth[who, where, week]
    # leaving = arriving + there before − there now, summed over the weeks.
    cost[n:] = come[arrives] + leave[arrives]
    cost[:n] -= np.where(week > 0, leave, 0.0)
    cost[:n] += np.where(week < weeks - 1, leave, 0.0)
    rows, columns, entries, low, high = [], [], [], [], []
    count = 0

    def add(row: Ints, column: Ints, entry: Floats) -> None:
        rows.append(row + count)
        columns.append(column)
        entries.append(entry)

    # One place a week.
    add(week * things + who, np.arange(n), np.ones(n))
    low.append(np.ones(weeks * things))
    high.append(np.ones(weeks * things))
    count += weeks * things
    # Who is there has been there or arrives.
    line = np.arange(len(arrives))
    before = cell[week[arrives] - 1, who[arrives], where[arrives]]
    add(line, arrives, np.ones(len(arrives)))
    add(line, arrival[arrives], -np.ones(len(arrives)))
    add(line[before >= 0], before[before >= 0], -np.ones(int((before >= 0).sum())))
    low.append(np.full(len(arrives), -np.inf))
    high.append(np.zeros(len(arrives)))
    count += len(arrives)
    for room, each in ((problem.room, np.ones(n)), (problem.room_width, problem.width[who])):
        tight = np.isfinite(room)[where]
        add((week * places + where)[tight], np.flatnonzero(tight), each[tight])
        low.append(np.full(weeks * places, -np.inf))
        high.append(np.where(np.isfinite(room), room, np.inf)[None, :].repeat(weeks, 0).ravel())
        count += weeks * places
    matrix = coo_array(
        (np.concatenate(entries), (np.concatenate(rows), np.concatenate(columns))),
        shape=(count, len(cost)),
    ).tocsr()
    answer = milp(
        cost,
        integrality=np.concatenate([np.ones(n), np.zeros(len(arrives))]),
        bounds=Bounds(0.0, 1.0),
        constraints=LinearConstraint(matrix, np.concatenate(low), np.concatenate(high)),
        options={
            "node_limit": _MOST_NODES,
            "time_limit": _MOST_SECONDS,
            "mip_rel_gap": 1e-9,
        },
    )
    dual = getattr(answer, "mip_dual_bound", None)
    bound = np.inf if dual is None or not np.isfinite(dual) else -float(dual)
    if answer.status == 2:  # no rota among the free cells: none beats what was found
        return None, -np.inf
    if answer.x is None:
        return None, bound
    taken = np.flatnonzero(answer.x[:n] > 0.5)
    place = np.zeros((things, weeks), dtype=np.int64)
    place[who[taken], week[taken]] = where[taken]
    return place, bound
