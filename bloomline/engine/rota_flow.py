"""A rota as a mixed-integer programme: flows of things through weeks that share room (HiGHS)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.rota_problem import RotaProblem

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

_MOST_NODES = 400
_MOST_SECONDS = 8.0  # only where the machine is very slow: nodes end it before


def by_programme(problem: RotaProblem, free: Bools) -> tuple[Ints | None, float]:
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
    for room, each in (
        (problem.room, problem.sizes[who]),
        (problem.room_width, problem.width[who]),
    ):
        tight = np.isfinite(room)[where]
        add((week * places + where)[tight], np.flatnonzero(tight), each[tight])
        low.append(np.full(weeks * places, -np.inf))
        high.append(np.where(np.isfinite(room), room, np.inf)[None, :].repeat(weeks, 0).ravel())
        count += weeks * places
    # Short indices: the solver of older SciPy takes no others.
    where_to = (np.concatenate(each).astype(np.int32) for each in (rows, columns))
    matrix = coo_array(
        (np.concatenate(entries), tuple(where_to)),
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
