"""Where to put a given number of bulbs: spread evenly, beside the bulbs of the layer below."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from bloomline.engine.packing import (
    MANY_POINTS,
    WALL_CLEAR_CM,
    capacity,
    circle_packing,
    positions,
    smallest_distance_cm,
)
from bloomline.engine.packing_region import Points, Region, region_for
from bloomline.engine.potshape import Section

_TURNS = 36
_THICKEST = 2.0 / math.sqrt(3.0)  # no packing of discs gives each less room than d² / this
_THIN_SPREAD = 4.0 / math.pi * 0.68  # d² times count over area when discs fill 68 %
_RELAX_UP_TO = 150
_MOST_ASIDE_CM = 2.6  # that a whole layer may stand off the middle of its pot; judgement
_EVEN_ENOUGH = 0.9  # share of the even spacing that may be given up to miss the layer below


def spread_positions(
    section: Section,
    *,
    count: int,
    bulb_diameter_cm: float,
    gap_cm: float = 0.0,
    below_cm: Points | None = None,
    wall_clear_cm: float = WALL_CLEAR_CM,
) -> Points:
    """Middles [count, 2] of bulbs spread evenly, at least `gap_cm` apart. [cm]

    Bulbs stand about half as far from the wall as from each other where there is room. With
    the middles of the layer below, `below_cm` [m, 2], the pattern is turned or turned over,
    and bulbs step aside a little, so that few stand right above another.

    Raises: ValueError when that many bulbs do not fit, saying how many do.
    """
    if count < 0:
        raise ValueError(f"A layer cannot have {count} bulbs.")
    most = capacity(
        section, bulb_diameter_cm=bulb_diameter_cm, gap_cm=gap_cm, wall_clear_cm=wall_clear_cm
    )
    if count > most:
        raise ValueError(
            f"{count} bulbs of {bulb_diameter_cm:.1f} cm do not fit with {gap_cm:g} cm between "
            f"them; {most} do."
        )
    if count == 0:
        return np.zeros((0, 2))
    even = _spread(section, count, bulb_diameter_cm, gap_cm, wall_clear_cm)
    if below_cm is None or len(below_cm) == 0:
        return even.copy()
    region = region_for(section, disc_diameter_cm=bulb_diameter_cm, wall_clear_cm=wall_clear_cm)
    return _beside(even, region, below_cm, least=bulb_diameter_cm + gap_cm)


@lru_cache(maxsize=512)
def _spread(section: Section, count: int, diameter: float, gap: float, wall_clear: float) -> Points:
    """Give the even spread without regard to what lies below."""
    if count == 1:
        return np.zeros((1, 2))
    pitch = diameter + gap
    tight = region_for(section, disc_diameter_cm=diameter, wall_clear_cm=wall_clear)
    if section.kind == "circle":
        unit = circle_packing(count, limit=tight.half_x / pitch)
        reach = float(np.hypot(unit[:, 0], unit[:, 1]).max())
        # discs as wide as their spacing fill the pot: half a gap is left at the wall
        wide = section.width_cm / 2.0 / (reach + 0.5)
        out = unit * max(pitch, min(wide, tight.half_x / reach))
    else:
        out = _spread_by_search(section, count, diameter, gap, wall_clear)
    out = np.ascontiguousarray(out)
    out.setflags(write=False)
    return out


def _spread_by_search(
    section: Section, count: int, diameter: float, gap: float, wall_clear: float
) -> Points:
    """Find the widest spacing at which `count` bulbs fit, by halving; take what is too many off."""
    pitch = diameter + gap
    low, high = pitch, max(pitch, math.sqrt(_THICKEST * section.area_cm2 / count))
    found: Points | None = None
    # most spreads lie above this; from there four halvings come within 1 %
    middle = max(pitch, math.sqrt(_THIN_SPREAD * section.area_cm2 / count))
    for _ in range(5 if count <= MANY_POINTS else 2):
        wall = max((middle - diameter) / 2.0, wall_clear)
        tried = positions(
            section, bulb_diameter_cm=diameter, gap_cm=middle - diameter, wall_clear_cm=wall
        )
        if len(tried) >= count:
            low, found = middle, tried
        else:
            high = middle
        middle = (low + high) / 2.0
    if found is None:
        found = positions(section, bulb_diameter_cm=diameter, gap_cm=gap, wall_clear_cm=wall_clear)
    found = _without_extra(found, count)
    region = region_for(
        section,
        disc_diameter_cm=diameter,
        wall_clear_cm=max((low - diameter) / 2.0, wall_clear),
    )
    return _evened(found, region)


def _without_extra(points: Points, count: int) -> Points:
    """Take points away one by one, each time the one most crowded by the rest."""
    kept = points
    if count > MANY_POINTS and len(kept) > count:
        # among so many the few at the ends are not missed
        inner = np.argsort(np.abs(kept).max(axis=1), kind="stable")[:count]
        return kept[np.sort(inner)]
    while len(kept) > count:
        d2 = ((kept[:, None, :] - kept[None, :, :]) ** 2).sum(axis=2)
        np.fill_diagonal(d2, np.inf)
        crowd = (1.0 / d2**2).sum(axis=1)
        surplus = len(kept) - count
        # many at once far from the goal, but never two neighbours
        drop = [int(crowd.argmax())]
        for k in np.argsort(-crowd, kind="stable")[: surplus * 2] if surplus > 8 else []:
            if len(drop) < surplus // 2 and d2[k, drop].min() > 4.0 * d2.min():
                drop.append(int(k))
        kept = np.delete(kept, drop, axis=0)
    return kept


def _evened(points: Points, region: Region) -> Points:
    """Move points apart, within the region, as long as the smallest distance grows."""
    n = len(points)
    if n < 2 or n > _RELAX_UP_TO:
        return points
    best, best_distance = points, smallest_distance_cm(points)
    for _ in range(6):
        moved = _pushed(best, region, wanted=best_distance * 1.06, rounds=30)
        distance = smallest_distance_cm(moved)
        if distance < best_distance * 1.002:
            break
        best, best_distance = moved, distance
    return best


def _pushed(
    points: Points,
    region: Region,
    *,
    wanted: float,
    rounds: int,
    avoid: Points | None = None,
    avoid_by: float = 0.0,
) -> Points:
    """Push pairs nearer than `wanted` apart, and points off those to `avoid`, inside the region."""
    n = len(points)
    i, j = np.triu_indices(n, 1)
    near = np.hypot(*(points[i] - points[j]).T) < 2.0 * wanted
    i, j = i[near], j[near]
    p = points
    for _ in range(rounds):
        delta = p[i] - p[j]
        away = np.maximum(np.hypot(delta[:, 0], delta[:, 1]), 1e-9)
        push = delta * (0.5 * np.maximum(wanted - away, 0.0) / away)[:, None]
        step = np.zeros((n, 2))
        for axis in (0, 1):
            step[:, axis] += np.bincount(i, push[:, axis], n) - np.bincount(j, push[:, axis], n)
        if avoid is not None:
            apart = p[:, None, :] - avoid[None, :, :]
            far = np.hypot(apart[..., 0], apart[..., 1])
            nearest = far.argmin(axis=1)
            rows = np.arange(n)
            short = np.maximum(avoid_by - far[rows, nearest], 0.0)
            way = apart[rows, nearest]
            # right above another: any fixed direction will do, a new one for each bulb
            lost = far[rows, nearest] < 1e-6
            way = np.where(
                lost[:, None], np.stack([np.cos(2.4 * rows), np.sin(2.4 * rows)], axis=1), way
            )
            step += 0.5 * short[:, None] * way / np.maximum(np.hypot(*way.T), 1e-9)[:, None]
        p = region.pulled_in(p + step)
    return p


def _beside(even: Points, region: Region, below: Points, *, least: float) -> Points:
    """Turn or turn over the pattern, then step aside, to keep clear of the middles below."""
    choices = [even, even * (-1.0, 1.0), even * (1.0, -1.0), -even]
    if region.kind == "circle":
        turn = 2.0 * np.pi * np.arange(_TURNS) / _TURNS
        spin = np.stack([np.cos(turn), -np.sin(turn), np.sin(turn), np.cos(turn)], axis=1)
        choices = list(even @ spin.reshape(-1, 2, 2).transpose(0, 2, 1))
    best = choices[int(np.argmax([_score(points, below) for points in choices]))]
    return best if len(best) > _RELAX_UP_TO else _stepped_aside(best, region, below, least=least)


def _stepped_aside(points: Points, region: Region, below: Points, *, least: float) -> Points:
    """Move bulbs off those below by up to about their width, keeping most of the even spacing."""
    own = smallest_distance_cm(points)
    floor = max(least, _EVEN_ENOUGH * own) if math.isfinite(own) else least
    avoid_by = min(0.5 * own, 0.5 * smallest_distance_cm(below), 1.2 * least)
    middle = points.mean(axis=0)
    best, best_score = points, _score(points, below)
    # a common step first: neighbours that start right above a grid would block each other
    ways = 6 if len(points) <= 60 else 2
    for turn in 2.0 * np.pi * (np.arange(ways) + 0.5) / ways:
        step = avoid_by * np.array([np.cos(turn), np.sin(turn)])
        moved = _pushed(
            region.pulled_in(points + step),
            region,
            wanted=floor * (1.0 + 1e-7),
            rounds=16,
            avoid=below,
            avoid_by=avoid_by,
        )
        for share in (1.0, 0.7, 0.5, 0.35, 0.25, 0.15):
            # the region is convex, so a point part of the way lies in it too
            tried = points + (moved - points) * share
            if np.hypot(*(tried.mean(axis=0) - middle)) > _MOST_ASIDE_CM:
                continue
            score = _score(tried, below)
            if score > best_score and smallest_distance_cm(tried) >= floor - 1e-9:
                best, best_score = tried, score
    return best


def _score(points: Points, below: Points) -> float:
    """Rate how clear of the layer below the points are: the worst counts most, then the mean."""
    away = _distance_to(points, below)
    return float(away.min()) + 0.3 * float(away.mean())


def _distance_to(points: Points, others: Points) -> Points:
    """Give the distance from each of the points to the nearest of the others."""
    if len(points) > MANY_POINTS:
        from scipy.spatial import KDTree

        return np.asarray(KDTree(others).query(points)[0])
    delta = points[:, None, :] - others[None, :, :]
    return np.asarray(np.sqrt((delta**2).sum(axis=2).min(axis=1)))
