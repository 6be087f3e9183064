"""A good set of changes for a yard of many layers, and how far from the best it can be at most.

While every layer can be kept, the numbers of bulbs are the best there are (one table of all costs)
and no week is lost. Where layers must go, those go that cost the fewest weeks for what they save,
and those come back for which money is left. The bound on weeks holds for every set within the
budget: colour added to more is never more colour (it is submodular), so no set has more than this
one and the best use of the whole budget on what it lacks.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

import numpy as np
from numpy.typing import NDArray

from bloomline.plan.shop.choices import Level, least_count
from bloomline.plan.shop.fillings import Filling
from bloomline.plan.shop.search import Found, Go, Problem, Scene, StoppedError

Floats = NDArray[np.float64]

_NO_LOSS_WEEKS = 0.05
_STEPS = 60  # layers go in about so many steps
_BACK = 120  # layers that are tried to bring back
_DIM = 1e-12


def search_wide(problem: Problem, *, go: Go) -> tuple[Found | None, float]:
    """A good set, None where none was found within the budget; and the most weeks of any set."""
    plain = [each for each in problem.fillings if not each.keeps]
    keeping = [each for each in problem.fillings if each.keeps]
    most = _most_weeks(problem)
    wanted = problem.as_wanted()
    before = problem.colours.weeks_of(wanted)
    scenes = [wanted]
    swapped = _swapped(problem, wanted)
    if swapped != wanted:
        scenes.append(swapped)
    for fillings in (plain, keeping):
        found = [
            replace(one, weeks=problem.colours.weeks_of(scene), exact=False)
            for scene in scenes
            if (one := problem.best_of_scene(scene, fillings)) is not None
        ]
        if found:
            best = max(found, key=lambda one: (round(min(one.weeks, before), 1), one.show))
            return best, most
        if not go(0.2):
            raise StoppedError
    for fillings in (plain, keeping):
        scene = _thinned_out(problem, swapped, fillings, go=go)
        if scene is not None:
            scene = _brought_back(problem, scene, fillings, go=go)
            one = problem.best_of_scene(scene, fillings)
            if one is not None:
                weeks = problem.colours.weeks_of(scene)
                bound = min(most, weeks + _most_more(problem, scene))
                return replace(one, weeks=weeks, exact=False), bound
    return None, most


def _brightest(problem: Problem, at: int) -> Floats:
    line = problem.lines[at]
    tables = [problem.colours.table(at, line.everything, kind) for kind in range(len(line.kinds))]
    return np.asarray(np.minimum.reduce(tables))


def _most_weeks(problem: Problem) -> float:
    """Weeks of colour if every line had the best of its kinds."""
    dark = problem.colours.base.copy()
    for at in range(len(problem.lines)):
        dark *= _brightest(problem, at)
    return problem.colours.weeks(dark)


def _dark(problem: Problem, scene: Scene) -> Floats:
    dark = problem.colours.base.copy()
    for at, (kept, kind) in enumerate(scene):
        dark *= problem.colours.table(at, kept, kind)
    return dark


def _instead(dark: Floats, old: Floats, new: Floats) -> Floats:
    return dark / np.maximum(old, _DIM) * new


def _swapped(problem: Problem, scene: Scene) -> Scene:
    """Cheaper kinds wherever they cost no weeks and save with the fewest bulbs."""
    dark = _dark(problem, scene)
    weeks = problem.colours.weeks(dark)
    chosen = list(scene)
    for at, line in enumerate(problem.lines):
        kept = line.everything
        old = problem.colours.table(at, kept, 0)
        cost = problem.least_level(at, kept, 0).cost
        for kind in range(1, len(line.kinds)):
            theirs = problem.least_level(at, kept, kind).cost
            other = _instead(dark, old, problem.colours.table(at, kept, kind))
            if theirs < cost and problem.colours.weeks(other) > weeks - _NO_LOSS_WEEKS / 10:
                chosen[at], cost = (kept, kind), theirs
    return tuple(chosen)


def _least_levels(problem: Problem, scene: Scene) -> list[Level]:
    return [problem.least_level(at, kept, kind) for at, (kept, kind) in enumerate(scene)]


def _least_cost(problem: Problem, scene: Scene, fillings: Sequence[Filling]) -> Decimal:
    levels = _least_levels(problem, scene)
    return min(problem.total(scene, levels, filling) for filling in fillings)


def _thinned_out(
    problem: Problem, scene: Scene, fillings: Sequence[Filling], *, go: Go
) -> Scene | None:
    """Layers go, the one that costs the fewest weeks for its money first, until it is enough."""
    layers = sum(len(kept) for kept, _ in scene)
    step = max(layers // _STEPS, 1)
    while (cost := _least_cost(problem, scene, fillings)) > problem.budget:
        kept_now = sum(len(kept) for kept, _ in scene)
        if not go(0.2 + 0.6 * (1 - kept_now / layers)):
            raise StoppedError
        if kept_now <= 1:
            return None
        levels = _least_levels(problem, scene)
        bulbs = sum((level.cost for level in levels), problem.fixed)
        filled = problem.reckoner.pots_of(problem.bulbs_l(scene, levels))
        rooms = problem.reckoner.rooms
        litre = (cost - bulbs) / max(
            sum(int(rooms[pot].compost_l) * rooms[pot].copies for pot in filled), 1
        )
        ranked = _ranked(problem, scene, levels, litre=litre)
        if not ranked:
            return None
        chosen = list(scene)
        for _, at, layer_id in sorted(ranked)[: min(step, kept_now - 1)]:
            kept, kind = chosen[at]
            chosen[at] = (kept - {layer_id}, kind)
        scene = tuple(chosen)
    return scene


def _ranked(
    problem: Problem, scene: Scene, levels: Sequence[Level], *, litre: Decimal
) -> list[tuple[float, int, str]]:
    """Layers that save something if they go: weeks lost for the money, line and layer.

    levels : the cheapest of every line. litre : what a litre less to fill saves.
    """
    colours, rooms = problem.colours, problem.reckoner.rooms
    dark = _dark(problem, scene)
    weeks = colours.weeks(dark)
    crowd = Counter(
        pot.id
        for line, (kept, _) in zip(problem.lines, scene, strict=True)
        for pot, _ in line.places_of(kept)
    )
    ranked: list[tuple[float, int, str]] = []
    for at, (kept, kind) in enumerate(scene):
        alike = Counter(colours.row(layer_id, kind) for layer_id in kept)
        rows = frozenset(alike) - {-1}
        old = colours.table_of(at, rows, kind)
        lost = {
            row: weeks
            - colours.weeks(_instead(dark, old, colours.table_of(at, rows - {row}, kind)))
            for row in rows
            if alike[row] == 1  # else another layer flowers just so
        }
        there = problem.lines[at].places_of(kept)
        least = sum(least_count(layer.count) * pot.copies for pot, layer in there)
        costs: dict[int, Decimal] = {}  # without so many bulbs
        for pot, layer in there:
            bulbs = least_count(layer.count) * pot.copies
            if bulbs not in costs:
                costs[bulbs] = problem.price(at, kind, least - bulbs)
            saved = levels[at].cost - costs[bulbs]
            room = rooms.get(pot.id)
            if room is not None:
                saved += litre * int(room.compost_l) * room.copies / crowd[pot.id]
            if saved > 0:
                weeks_lost = max(lost.get(colours.row(layer.id, kind), 0.0), 0.0)
                ranked.append(((weeks_lost + 1e-6) / float(saved), at, layer.id))
    return ranked


def _brought_back(problem: Problem, scene: Scene, fillings: Sequence[Filling], *, go: Go) -> Scene:
    """Layers come back for which there is money, the one with the most weeks first."""
    colours = problem.colours
    dark = _dark(problem, scene)
    weeks = colours.weeks(dark)
    gone: list[tuple[float, int, str]] = []
    for at, (kept, kind) in enumerate(scene):
        rows = colours.rows(kept, kind)
        old = colours.table_of(at, rows, kind)
        away = problem.lines[at].everything - kept
        lost = {-1: 0.0} | dict.fromkeys(rows, 0.0)
        for row in colours.rows(away, kind) - rows:
            new = colours.table_of(at, rows | {row}, kind)
            lost[row] = weeks - colours.weeks(_instead(dark, old, new))
        gone += [(lost[colours.row(layer_id, kind)], at, layer_id) for layer_id in away]
    for _, at, layer_id in sorted(gone)[:_BACK]:
        if not go(0.9):
            raise StoppedError
        kept, kind = scene[at]
        more = (*scene[:at], (kept | {layer_id}, kind), *scene[at + 1 :])
        if _least_cost(problem, more, fillings) <= problem.budget:
            scene = more
    return scene


def _most_more(problem: Problem, scene: Scene) -> float:
    """The most weeks that any set within the budget has more than this one."""
    dark = _dark(problem, scene)
    weeks = problem.colours.weeks(dark)
    gains: list[tuple[float, float]] = []
    for at, (kept, kind) in enumerate(scene):
        line = problem.lines[at]
        old = problem.colours.table(at, kept, kind)
        gain = problem.colours.weeks(_instead(dark, old, np.minimum(_brightest(problem, at), old)))
        bulbs = min(least_count(layer.count) * pot.copies for pot, layer in line.places)
        least = min(problem.price(at, other, bulbs) for other in range(len(line.kinds)))
        if gain > weeks:
            gains.append((gain - weeks, float(least)))
    left = float(problem.budget - problem.fixed)
    more = 0.0
    for gain, cost in sorted(gains, key=lambda each: -each[0] / max(each[1], _DIM)):
        share = 1.0 if cost <= left else left / cost
        more += share * gain
        left -= share * cost
        if left <= 0:
            break
    return more
