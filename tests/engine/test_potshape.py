"""Widths, volumes and fillings of pots."""

from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.engine.potshape import (
    BulbLot,
    PotShape,
    Section,
    compost_depth_cm,
    fill_volumes,
)

sizes = st.floats(8.0, 80.0)


@st.composite
def pots(draw: st.DrawFn) -> PotShape:
    """Make any pot with sides that taper either way."""
    shape = draw(st.sampled_from(["round", "square", "oval", "trough"]))
    lengths: dict[str, Any] = {}
    if shape in ("oval", "trough"):
        lengths = {"top_length_cm": draw(sizes), "bottom_length_cm": draw(sizes)}
    return PotShape(
        shape=shape,  # type: ignore[arg-type]
        top_width_cm=draw(sizes),
        bottom_width_cm=draw(sizes),
        inside_height_cm=draw(st.floats(8.0, 60.0)),
        **lengths,
    )


def test_width_at_heights_and_depths() -> None:
    """A pot of 20 cm below and 30 cm above is 25 cm wide half way up."""
    pot = PotShape(shape="round", top_width_cm=30, bottom_width_cm=20, inside_height_cm=25)
    assert pot.width_at_height(0.0) == 20.0
    assert pot.width_at_height(12.5) == 25.0
    assert pot.section_at_depth(0.0) == Section("circle", 30.0, 30.0)
    assert pot.length_at_height(12.5) == 25.0
    assert pot.area_at_height(12.5) == pytest.approx(math.pi * 12.5**2)


def test_oval_axes_taper_on_their_own() -> None:
    """Width and length of an oval go up each by its own slope."""
    pot = PotShape(
        shape="oval",
        top_width_cm=30,
        bottom_width_cm=20,
        top_length_cm=40,
        bottom_length_cm=36,
        inside_height_cm=20,
    )
    assert pot.section_at_height(10.0) == Section("ellipse", 25.0, 38.0)
    assert pot.width_slope == pytest.approx(0.25)
    assert pot.length_slope == pytest.approx(0.1)


def test_inside_from_outside() -> None:
    """A wall of 1 cm and a base of 2 cm: the inner bottom lies where the base ends."""
    pot = PotShape.from_outer(
        shape="round",
        top_width_cm=30,
        bottom_width_cm=20,
        height_cm=20,
        wall_cm=1.0,
        base_cm=2.0,
    )
    assert pot.inside_height_cm == 18.0
    assert pot.top_width_cm == 28.0
    assert pot.bottom_width_cm == pytest.approx(19.0)
    # the wall is 1 cm thick at every level
    assert pot.width_at_height(8.0) == pytest.approx(25.0 - 2.0)


def test_inside_of_a_trough_from_outside() -> None:
    """Length and width both lose the wall twice."""
    pot = PotShape.from_outer(
        shape="trough",
        top_width_cm=22,
        bottom_width_cm=22,
        top_length_cm=62,
        bottom_length_cm=62,
        height_cm=20,
        wall_cm=1.0,
    )
    assert pot.section_at_height(5.0) == Section("rectangle", 20.0, 60.0)


@given(pots(), st.lists(st.floats(0.0, 1.0), min_size=1, max_size=5))
def test_slices_add_up_to_the_whole(pot: PotShape, cuts: list[float]) -> None:
    """Volumes of slices between any heights sum to the whole."""
    heights = [0.0, *sorted(c * pot.inside_height_cm for c in cuts), pot.inside_height_cm]
    parts = [pot.volume_between(a, b) for a, b in itertools.pairwise(heights)]
    assert sum(parts) == pytest.approx(pot.volume_l, rel=1e-9)


@given(pots())
def test_twice_the_size_is_eight_times_the_volume(pot: PotShape) -> None:
    """Volume goes with the cube of the size."""
    double = PotShape(
        shape=pot.shape,
        top_width_cm=2 * pot.top_width_cm,
        bottom_width_cm=2 * pot.bottom_width_cm,
        inside_height_cm=2 * pot.inside_height_cm,
        top_length_cm=None if pot.top_length_cm is None else 2 * pot.top_length_cm,
        bottom_length_cm=None if pot.bottom_length_cm is None else 2 * pot.bottom_length_cm,
    )
    assert double.volume_l == pytest.approx(8.0 * pot.volume_l, rel=1e-9)


@given(pots(), st.floats(0.0, 0.2), st.floats(0.0, 0.1), st.floats(0.0, 0.2), st.integers(0, 60))
def test_filling_adds_up(
    pot: PotShape, crocks: float, dressing: float, rim: float, count: int
) -> None:
    """Crocks, bulbs, compost, dressing and gap make the whole, however many bulbs."""
    high = pot.inside_height_cm
    fill = fill_volumes(
        pot,
        crocks_cm=crocks * high,
        top_dressing_cm=dressing * high,
        rim_gap_cm=rim * high,
        bulbs=[BulbLot(4.0, 4.5, count)],
    )
    parts = (
        fill.crocks_l,
        fill.bulbs_l,
        fill.compost_l,
        fill.top_dressing_l,
        fill.rim_gap_l,
    )
    assert min(parts) >= 0.0
    assert sum(parts) == pytest.approx(fill.total_l, rel=1e-9)
    whole = count * math.pi / 6.0 * 4.0**2 * 4.5 / 1000.0
    assert fill.bulbs_l + fill.overfull_l == pytest.approx(whole)


@given(pots(), st.floats(0.1, 0.9), st.floats(2.0, 6.0), st.floats(1.0, 7.0))
def test_bulb_at_the_edge_of_its_section_stays_inside_sloping_walls(
    pot: PotShape, level: float, wide: float, high: float
) -> None:
    """Put a spheroid as far out as its section allows: no point of it pierces the wall."""
    middle = high / 2.0 + level * (pot.inside_height_cm - high)
    cut = pot.section_for_bulb(
        centre_from_rim_cm=pot.inside_height_cm - middle,
        bulb_diameter_cm=wide,
        bulb_height_cm=high,
    )
    far_x, far_y = cut.width_cm / 2.0 - wide / 2.0, cut.length_cm / 2.0 - wide / 2.0
    if far_x < 0.0 or far_y < 0.0:
        return
    up = np.linspace(-1.0, 1.0, 101)
    z = middle + up * high / 2.0
    half = wide / 2.0 * np.sqrt(1.0 - up**2)
    for level_cm, reach in zip(z, half, strict=True):
        assert far_x + reach <= pot.width_at_height(level_cm) / 2.0 + 1e-9
        assert far_y + reach <= pot.length_at_height(level_cm) / 2.0 + 1e-9


def test_straight_walls_take_nothing_from_the_section() -> None:
    """Without slope the cut is the pot's own."""
    pot = PotShape(shape="square", top_width_cm=30, bottom_width_cm=30, inside_height_cm=25)
    cut = pot.section_for_bulb(centre_from_rim_cm=9, bulb_diameter_cm=4, bulb_height_cm=5)
    assert cut == Section("rectangle", 30.0, 30.0)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"shape": "hexagon"}, "round, square, oval or trough"),
        ({"top_width_cm": 0.0}, "width at the top"),
        ({"bottom_width_cm": -3.0}, "width at the bottom"),
        ({"inside_height_cm": math.nan}, "inside height"),
        ({"top_length_cm": 40.0}, "leave its length out"),
        ({"shape": "oval", "top_length_cm": 40.0}, "length at the bottom"),
    ],
)
def test_bad_pots_are_refused_in_words(change: dict[str, Any], words: str) -> None:
    """Each wrong size is named."""
    good: dict[str, Any] = {
        "shape": "round",
        "top_width_cm": 30.0,
        "bottom_width_cm": 20.0,
        "inside_height_cm": 25.0,
    }
    with pytest.raises(ValueError, match=words):
        PotShape(**(good | change))


def test_walls_that_leave_no_room_are_refused() -> None:
    """A wall as thick as the pot, a base as high as it."""
    with pytest.raises(ValueError, match="leaves no room"):
        PotShape.from_outer(
            shape="round", top_width_cm=9, bottom_width_cm=4, height_cm=9, wall_cm=2.0
        )
    with pytest.raises(ValueError, match="leaves no room"):
        PotShape.from_outer(
            shape="round", top_width_cm=20, bottom_width_cm=20, height_cm=3, wall_cm=1, base_cm=3
        )


def test_heights_and_depths_outside_the_pot_are_refused() -> None:
    """No width is made up above the rim; no compost where none fits."""
    pot = PotShape(shape="round", top_width_cm=30, bottom_width_cm=20, inside_height_cm=25)
    with pytest.raises(ValueError, match="outside the pot"):
        pot.width_at_height(25.1)
    with pytest.raises(ValueError, match="no compost fits"):
        compost_depth_cm(pot, crocks_cm=20, top_dressing_cm=2.5, rim_gap_cm=2.5)
    with pytest.raises(ValueError, match="crocks cannot be -1"):
        compost_depth_cm(pot, crocks_cm=-1, top_dressing_cm=0, rim_gap_cm=2.5)
