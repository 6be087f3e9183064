"""What the programme of a yard is bounded by: lines above colour, and least costs of packs."""

from __future__ import annotations

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.engine.filling import Market, PotClass, Table, Yard, YardColour
from bloomline.engine.filling_colour import Lines
from bloomline.engine.filling_packs import steps_of
from bloomline.engine.filling_steps import pack_cost

KINDS = 4


def _colour(seed: int) -> YardColour:
    rng = np.random.default_rng(seed)
    dark = rng.integers(0, 9, (KINDS, 14, 3)) / 8.0
    dark[rng.random(dark.shape) < 0.5] = 1.0
    return YardColour(dark, rng.integers(4, 9, (14, 3)) / 8.0, weight=0.7)


def _told(lines: Lines, shown: np.ndarray) -> float:
    """The most that the lines leave for colour with some kinds."""
    by_stretch = lines.most.copy()
    for line in lines.lines:
        by_stretch[line.stretch] = min(
            by_stretch[line.stretch], line.limit + float(line.slope @ shown)
        )
    return float(by_stretch.sum())


@settings(max_examples=20)
@given(st.integers(0, 10_000), st.lists(st.floats(0.0, 1.0), min_size=KINDS, max_size=KINDS))
def test_lines_lie_above_the_colour_of_every_set_of_kinds(seed, at):
    colour = _colour(seed)
    lines = Lines(colour, stretches=3)
    lines.draw(np.array(at), np.full(3, np.inf))
    for size in range(KINDS + 1):
        for kinds in combinations(range(KINDS), size):
            shown = np.isin(np.arange(KINDS), kinds).astype(float)
            gain = colour.days(kinds) - colour.days([])
            assert _told(lines, shown) >= gain - 1e-9


def test_where_a_line_is_drawn_colour_is_seen_nearly_as_it_is():
    colour = _colour(7)
    lines = Lines(colour, stretches=4)
    shown = np.array([1.0, 0.0, 1.0, 1.0])
    gain = colour.days([0, 2, 3]) - colour.days([])
    before = _told(lines, shown)
    assert before > gain + 0.2  # what each brings alone is too much together
    thought = np.full(4, np.inf)
    lines.draw(shown, thought)
    # A day that is sure counts as one that fails once in 400 times.
    assert gain <= _told(lines, shown) <= gain + colour.weight * 14 / 400


def test_lines_that_do_not_matter_are_dropped_in_time():
    lines = Lines(_colour(1), stretches=2)
    for _ in range(10):
        lines.drop_idle(np.array([True] + [False] * (len(lines.lines) - 1)))
    assert [line.stretch for line in lines.lines] == [0]


@pytest.mark.parametrize("pots", [(1, 1), (2, 1), (1, 1, 1), (4,), (3, 5)])
@pytest.mark.parametrize("seed", range(30))
def test_steps_never_come_to_more_than_whole_packs_cost(seed, pots):
    rng = np.random.default_rng(seed)
    empty = Table(np.full((1, 1), -1), np.zeros(1), np.zeros(1, dtype=int))
    several = ((5, 3.0), (12, float(rng.integers(4, 8))))
    yard = Yard(
        tuple(PotClass(n, empty, rng.integers(1, 12, KINDS)) for n in pots),
        Market((((10, 4.0),), several, (), ((5, 3.0),)), rng.integers(0, 7, KINDS)),
        YardColour(np.ones((KINDS, 1, 1)), np.ones((1, 1))),
        budget=20.0,
    )
    steps = steps_of(yard)
    assert {kind for kind, _ in steps} <= {0, 1, 3}
    for kind, adds in steps:
        for counts in product(*(range(n + 1) for n in pots)):
            bulbs = sum(
                n * int(each.bulbs[kind]) for n, each in zip(counts, yard.classes, strict=True)
            )
            told = sum(n * add for n, add in zip(counts, adds, strict=True))
            assert told <= pack_cost(yard, kind, bulbs) + 1e-9


def test_a_pot_that_shares_a_pack_adds_nothing_after_the_other():
    empty = Table(np.full((1, 1), -1), np.zeros(1), np.zeros(1, dtype=int))
    yard = Yard(
        tuple(PotClass(1, empty, np.array([4])) for _ in range(2)),
        Market((((10, 6.0),),), np.zeros(1, dtype=int)),
        YardColour(np.ones((1, 1, 1)), np.ones((1, 1))),
        budget=20.0,
    )
    assert set(steps_of(yard)) == {(0, (6.0, 0.0)), (0, (0.0, 6.0))}
