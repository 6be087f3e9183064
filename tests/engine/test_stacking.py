"""Layers of many sets at once against the layout of one pot."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from bloomline.engine.layers import LayerInput, PotFill, lay_out
from bloomline.engine.potshape import PotShape
from bloomline.engine.stacking import Bulbs, covers_of, free_intervals, most_layers

HEIGHTS = np.array([1.0, 1.8, 2.4, 3.3, 4.4, 4.6, 5.5, 8.0])
POT = PotShape(shape="round", top_width_cm=30, bottom_width_cm=26, inside_height_cm=40)
GRAVE = {"too_shallow", "too_deep", "in_crocks", "layers_collide", "layers_close"}


def bulbs():
    return Bulbs(height_cm=HEIGHTS, liked_cm=HEIGHTS * 2.5)


def findings(covers, sets, fixed=()):
    layers = [
        LayerInput(bulb_diameter_cm=2.0, bulb_height_cm=float(HEIGHTS[k]), cover_cm=float(c))
        for k, c in zip(sets, covers, strict=True)
    ]
    layers += [
        LayerInput(bulb_diameter_cm=2.0, bulb_height_cm=base - tip, cover_cm=tip)
        for tip, base in fixed
    ]
    return {each.code for each in lay_out(POT, fill=PotFill(), layers=layers).findings}


@pytest.mark.parametrize("size", [1, 2, 3])
def test_a_stack_that_has_room_has_no_grave_fault(size):
    sets = np.array(list(combinations(range(len(HEIGHTS)), size)))
    depth = PotFill().compost_depth_cm(POT)
    intervals = free_intervals(depth_cm=depth, fixed=[], between_cm=5.0)
    covers = covers_of(sets, bulbs=bulbs(), intervals=intervals)
    good = ~np.isnan(covers[:, 0])
    assert good.any()
    for row in np.flatnonzero(good):
        assert not findings(covers[row], sets[row]) & GRAVE


def test_new_layers_never_go_through_one_that_stays():
    fixed = [(12.0, 16.0)]
    depth = PotFill().compost_depth_cm(POT)
    intervals = free_intervals(depth_cm=depth, fixed=fixed, between_cm=2.0)
    sets = np.array(list(combinations(range(len(HEIGHTS)), 2)))
    covers = covers_of(sets, bulbs=bulbs(), intervals=intervals)
    good = np.flatnonzero(~np.isnan(covers[:, 0]))
    assert len(good)
    for row in good:
        assert "layers_collide" not in findings(covers[row], sets[row], fixed)


def test_nothing_is_laid_below_what_is_in_the_ground():
    intervals = free_intervals(
        depth_cm=37.5, fixed=[(12.0, 16.0)], rooted_top_cm=12.0, between_cm=2.0
    )
    assert max(each.bottom_cm for each in intervals) == pytest.approx(10.0)


def test_the_most_layers_are_those_of_the_largest_stack():
    intervals = free_intervals(depth_cm=37.5, fixed=[], between_cm=5.0)
    most = most_layers(bulbs=bulbs(), intervals=intervals)
    for size in range(1, 6):
        sets = np.array(list(combinations(range(len(HEIGHTS)), size)))
        covers = covers_of(sets, bulbs=bulbs(), intervals=intervals)
        assert (~np.isnan(covers[:, 0])).any() == (size <= most)
