"""What must hold for every packing: no touching, nothing through the wall, never too many."""

from __future__ import annotations

import math
import time

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from bloomline.engine.packing import (
    DENSITIES,
    MOST_BULBS,
    Room,
    Spacing,
    capacity,
    positions,
    room_for,
    smallest_distance_cm,
)
from bloomline.engine.packing_lattice import circle_lattices
from bloomline.engine.packing_spread import spread_positions
from bloomline.engine.packing_templates import circle_sizes, circle_templates
from bloomline.engine.potshape import Section

kinds = st.sampled_from(["circle", "ellipse", "rectangle"])
widths = st.floats(8.0, 60.0)
bulbs = st.floats(1.0, 7.0)
gaps = st.floats(0.0, 5.0)


def section_of(kind: str, width: float, length: float) -> Section:
    """Make a level cut; circles have no length of their own."""
    return Section(kind, width, width if kind == "circle" else length)  # type: ignore[arg-type]


def closest(points: NDArray[np.float64]) -> float:
    """Smallest distance between two points, the plain way."""
    i, j = np.triu_indices(len(points), 1)
    return float(np.hypot(*(points[i] - points[j]).T).min()) if len(points) > 1 else math.inf


def inside_wall(section: Section, points: NDArray[np.float64], *, diameter: float) -> bool:
    """Whether the rims of all bulbs, walked round in 2 degree steps, lie within the wall."""
    turn = np.radians(np.arange(0, 360, 2))
    x = points[:, :1] + diameter / 2.0 * np.cos(turn)
    y = points[:, 1:] + diameter / 2.0 * np.sin(turn)
    u, v = np.abs(x) / (section.width_cm / 2.0), np.abs(y) / (section.length_cm / 2.0)
    if section.kind == "rectangle":
        return bool((np.maximum(u, v) <= 1.0 + 1e-9).all())
    return bool((u**2 + v**2 <= 1.0 + 1e-9).all())


@given(kinds, widths, widths, bulbs, gaps)
def test_packings_are_sound(
    kind: str, width: float, length: float, diameter: float, gap: float
) -> None:
    """As many as promised, none nearer than width and gap, none through the wall."""
    section = section_of(kind, width, length)
    points = positions(section, bulb_diameter_cm=diameter, gap_cm=gap)
    assert len(points) == capacity(section, bulb_diameter_cm=diameter, gap_cm=gap)
    assert closest(points) >= diameter + gap - 1e-6
    assert inside_wall(section, points, diameter=diameter)
    assert smallest_distance_cm(points) == pytest.approx(closest(points))


@given(kinds, widths, widths, bulbs, gaps)
def test_never_more_than_the_area_allows(
    kind: str, width: float, length: float, diameter: float, gap: float
) -> None:
    """Oler's bound for points D apart in a convex region: 2 A / (sqrt(3) D²) + P / (2 D) + 1.

    Source: N. Oler, An inequality in the geometry of numbers, Acta Mathematica 105 (1961). It
    holds for any count, and tends to the density bound pi sqrt(3) / 6 for many.
    """
    section = section_of(kind, width, length)
    pitch = diameter + gap
    a, b = (width - diameter) / 2.0, (section.length_cm - diameter) / 2.0
    count = capacity(section, bulb_diameter_cm=diameter, gap_cm=gap)
    if a < 0.0 or b < 0.0:
        assert count == 0
        return
    # the region of an oval's bulb middles lies within the oval of half axes a and b
    if kind == "rectangle":
        area, around = 4.0 * a * b, 4.0 * (a + b)
    else:
        area, around = math.pi * a * b, 2.0 * math.pi * math.sqrt((a * a + b * b) / 2.0)
    bound = 2.0 * area / (math.sqrt(3.0) * pitch**2) + around / (2.0 * pitch) + 1.0
    assert count <= bound + 1e-9


@given(kinds, widths, widths, bulbs, gaps, st.floats(0.0, 3.0), st.sampled_from("wlbg"))
def test_more_room_never_means_fewer(
    kind: str, width: float, length: float, diameter: float, gap: float, more: float, which: str
) -> None:
    """A wider or longer pot, a smaller bulb or a smaller gap: at least as many bulbs."""
    before = capacity(section_of(kind, width, length), bulb_diameter_cm=diameter, gap_cm=gap)
    if which == "w":
        width += more
    elif which == "l":
        length += more
    elif which == "b":
        diameter = max(diameter - more / 2.0, 0.8)
    else:
        gap = max(gap - more, 0.0)
    after = capacity(section_of(kind, width, length), bulb_diameter_cm=diameter, gap_cm=gap)
    assert after >= before


@given(kinds, widths, widths, bulbs, gaps, st.sampled_from([0.5, 2.0, 4.0]))
def test_scale_does_not_matter(
    kind: str, width: float, length: float, diameter: float, gap: float, factor: float
) -> None:
    """All sizes doubled or halved: the same number (powers of two, so without rounding)."""
    one = positions(
        section_of(kind, width, length), bulb_diameter_cm=diameter, gap_cm=gap, wall_clear_cm=0.0
    )
    other = positions(
        section_of(kind, width * factor, length * factor),
        bulb_diameter_cm=diameter * factor,
        gap_cm=gap * factor,
        wall_clear_cm=0.0,
    )
    assert len(one) == len(other)
    np.testing.assert_allclose(other, one * factor, atol=1e-9)


@given(st.sampled_from(["ellipse", "rectangle"]), widths, widths, bulbs, gaps)
def test_which_way_round_does_not_matter_to_troughs(
    kind: str, width: float, length: float, diameter: float, gap: float
) -> None:
    """A trough turned by a quarter holds the same; an oval nearly (its lattices are not turned)."""
    one = capacity(section_of(kind, width, length), bulb_diameter_cm=diameter, gap_cm=gap)
    other = capacity(section_of(kind, length, width), bulb_diameter_cm=diameter, gap_cm=gap)
    assert abs(one - other) <= (0 if kind == "rectangle" else max(2, 0.05 * one))


@given(kinds, widths, widths, bulbs, st.integers(0, 60), st.integers(0, 30))
@settings(max_examples=30)
def test_spread_bulbs_fit_and_keep_their_distance(
    kind: str, width: float, length: float, diameter: float, count: int, below: int
) -> None:
    """For any count that fits: the right number, apart, inside, with and without a layer below."""
    section = section_of(kind, width, length)
    gap = 0.5
    most = capacity(section, bulb_diameter_cm=diameter, gap_cm=gap)
    count, below = min(count, most), min(below, most)
    lower = spread_positions(section, count=below, bulb_diameter_cm=diameter, gap_cm=gap)
    upper = spread_positions(
        section, count=count, bulb_diameter_cm=diameter, gap_cm=gap, below_cm=lower
    )
    for points, wanted in ((lower, below), (upper, count)):
        assert points.shape == (wanted, 2)
        assert closest(points) >= diameter + gap - 1e-6
        assert inside_wall(section, points, diameter=diameter)


@pytest.mark.parametrize("kind", ["circle", "ellipse", "rectangle"])
@pytest.mark.parametrize(("lower_count", "upper_count"), [(1, 1), (7, 7), (12, 12), (9, 16)])
def test_layers_are_offset(kind: str, lower_count: int, upper_count: int) -> None:
    """No bulb stands right above another where there is room to step aside."""
    section = section_of(kind, 30.0, 42.0)
    lower = spread_positions(section, count=lower_count, bulb_diameter_cm=3.8)
    upper = spread_positions(section, count=upper_count, bulb_diameter_cm=3.0, below_cm=lower)
    away = np.hypot(*(upper[:, None, :] - lower[None, :, :]).transpose(2, 0, 1)).min(axis=1)
    assert away.min() > 0.8
    assert away.mean() > 2.0


@pytest.mark.parametrize("kind", ["circle", "ellipse", "rectangle"])
@pytest.mark.parametrize("count", [2, 3, 5, 8, 13, 21])
def test_spread_is_even(kind: str, count: int) -> None:
    """Discs as wide as the smallest spacing fill over half the section, and it is balanced."""
    section = section_of(kind, 30.0, 42.0)
    points = spread_positions(section, count=count, bulb_diameter_cm=2.0)
    share = count * math.pi / 4.0 * closest(points) ** 2 / section.area_cm2
    assert share > (0.49 if count == 2 else 0.55)
    assert abs(points.mean(axis=0)).max() < 4.0


def test_spread_is_the_same_every_time() -> None:
    """No chance in it, and the caller may change what he gets."""
    section = section_of("ellipse", 25.0, 40.0)
    first = spread_positions(section, count=9, bulb_diameter_cm=4.0)
    first += 1.0
    second = spread_positions(section, count=9, bulb_diameter_cm=4.0)
    np.testing.assert_allclose(first - 1.0, second)


def test_stored_packings_are_what_they_say() -> None:
    """1 to 100 points and more, none nearer than 1, each in a circle no wider than the next."""
    sizes, radii = circle_sizes()
    assert sizes[:100].tolist() == list(range(1, 101))
    for size, radius, points in zip(sizes, radii, circle_templates(), strict=True):
        assert points.shape == (size, 2)
        assert closest(points) >= 1.0 - 1e-12
        assert np.hypot(*points.T).max() == radius
    lattice = circle_lattices()[0]
    assert (np.diff(lattice) >= 0.0).all()
    # they are worth their place: nearly all beat the best of the lattices
    assert (radii[1:] < lattice[sizes[1:] - 1]).mean() > 0.85


def test_nothing_fits_where_a_bulb_is_wider_than_the_pot() -> None:
    """No room, no bulbs; just room, one."""
    assert capacity(section_of("circle", 4.0, 0), bulb_diameter_cm=4.1, gap_cm=0.5) == 0
    assert positions(section_of("circle", 4.0, 0), bulb_diameter_cm=4.1, gap_cm=0.5).shape == (0, 2)
    for kind in ("circle", "ellipse", "rectangle"):
        section = section_of(kind, 4.2, 4.3)
        assert capacity(section, bulb_diameter_cm=4.1, gap_cm=0.5) == 1


def test_thousands_of_bulbs() -> None:
    """Beyond the stored lattices the count goes on without a step."""
    counts = [
        capacity(section_of("circle", float(w), 0), bulb_diameter_cm=1.0, gap_cm=0.1)
        for w in range(28, 60, 4)
    ]
    assert counts == sorted(counts)
    assert counts[-1] > 2000
    points = positions(section_of("circle", 56.0, 0), bulb_diameter_cm=1.0, gap_cm=0.1)
    assert len(points) == counts[-1]
    assert smallest_distance_cm(points) >= 1.1 - 1e-9


def test_densities() -> None:
    """Tight holds more than usual, usual more than loose; the label follows the count."""
    assert DENSITIES == ("loose", "usual", "tight")
    spacing = Spacing()
    assert spacing.gap_cm("usual", bulb_diameter_cm=3.8) == 3.0
    assert spacing.gap_cm("usual", bulb_diameter_cm=2.7) == 2.0
    assert spacing.gap_cm("loose", bulb_diameter_cm=5.0) == 5.0
    assert spacing.gap_cm("loose", bulb_diameter_cm=2.0) == 2.5
    room = room_for(section_of("circle", 27.5, 0), bulb_diameter_cm=12.0 / math.pi)
    assert (room.usual, room.tight) == (14, 32)
    assert room.loose < room.usual
    assert [Room(3, 5, 9).density_of(n) for n in (3, 4, 9, 10)] == ["loose", "usual", "tight", None]


@given(kinds, widths, widths, bulbs)
def test_looser_is_never_more(kind: str, width: float, length: float, diameter: float) -> None:
    """Whatever the pot and the bulb."""
    room = room_for(section_of(kind, width, length), bulb_diameter_cm=diameter)
    assert room.loose <= room.usual <= room.tight


def test_too_many_are_refused_in_words() -> None:
    """The message says how many fit."""
    section = section_of("circle", 15.0, 0)
    with pytest.raises(ValueError, match=r"12 bulbs of 4\.0 cm do not fit .*; 8 do"):
        spread_positions(section, count=12, bulb_diameter_cm=4.0, gap_cm=0.5)
    with pytest.raises(ValueError, match="wider than 0"):
        capacity(section, bulb_diameter_cm=0.0, gap_cm=0.5)
    with pytest.raises(ValueError, match="below 0"):
        capacity(section, bulb_diameter_cm=4.0, gap_cm=-0.5)
    with pytest.raises(ValueError, match="-1 bulbs"):
        spread_positions(section, count=-1, bulb_diameter_cm=4.0)


@pytest.mark.parametrize("kind", ["circle", "ellipse", "rectangle"])
@pytest.mark.parametrize("count", [15, 900, 5000])
def test_so_wide_a_level_is_capped_and_filled_at_once(kind: str, count: int) -> None:
    """A width typed wrongly neither fails nor hangs, and the bulbs keep apart and inside."""
    section = section_of(kind, 500.0, 900.0)
    began = time.perf_counter()
    assert capacity(section, bulb_diameter_cm=1.0, gap_cm=0.0) == MOST_BULBS
    below = spread_positions(section, count=count, bulb_diameter_cm=3.0)
    here = spread_positions(section, count=count, bulb_diameter_cm=1.0, below_cm=below)
    assert time.perf_counter() - began < 3.0  # generous: measured 0.05 to 0.9 s
    assert len(here) == len(below) == count
    assert smallest_distance_cm(here) >= 1.0
    assert smallest_distance_cm(below) >= 3.0
    sides = np.abs(below) / (np.array([section.width_cm, section.length_cm]) / 2.0)
    reach = sides.max(axis=1) if kind == "rectangle" else np.hypot(sides[:, 0], sides[:, 1])
    assert reach.max() < 1.0


def test_the_smallest_distance_is_the_same_by_tree_and_by_pairs() -> None:
    points = np.random.default_rng(5).random((900, 2))
    assert smallest_distance_cm(points) == pytest.approx(closest(points), rel=1e-12)
