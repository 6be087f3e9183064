"""Pot volumes against closed forms, an ancient worked example and a count of random points."""

from __future__ import annotations

import math

import numpy as np
import pytest

from bloomline.engine.potshape import BulbLot, PotShape, fill_volumes

ROUND = PotShape(shape="round", top_width_cm=30.0, bottom_width_cm=21.0, inside_height_cm=27.0)
OVAL = PotShape(
    shape="oval",
    top_width_cm=25.0,
    bottom_width_cm=20.0,
    top_length_cm=40.0,
    bottom_length_cm=28.0,
    inside_height_cm=18.0,
)
TROUGH = PotShape(
    shape="trough",
    top_width_cm=20.0,
    bottom_width_cm=15.0,
    top_length_cm=60.0,
    bottom_length_cm=57.0,
    inside_height_cm=17.0,
)


def test_square_frustum_of_the_moscow_papyrus() -> None:
    """Moscow Mathematical Papyrus, problem 14: sides 4 and 2, height 6, volume 56."""
    pot = PotShape(shape="square", top_width_cm=4.0, bottom_width_cm=2.0, inside_height_cm=6.0)
    assert pot.volume_l * 1000.0 == pytest.approx(56.0, rel=1e-12)


def test_round_pot_is_a_cone_frustum() -> None:
    """V = pi h / 3 (R² + R r + r²), any handbook of mathematics (formula from memory)."""
    big, small, high = 15.0, 10.5, 27.0
    expected = math.pi * high / 3.0 * (big**2 + big * small + small**2) / 1000.0
    assert ROUND.volume_l == pytest.approx(expected, rel=1e-12)


def test_oval_pot_is_an_elliptic_frustum() -> None:
    """V = pi h / 6 (2 a b + 2 A B + a B + A b): the area integrated by hand."""
    a, b, big_a, big_b, high = 10.0, 14.0, 12.5, 20.0, 18.0
    by_hand = math.pi * high / 6.0 * (2 * a * b + 2 * big_a * big_b + a * big_b + big_a * b)
    assert OVAL.volume_l == pytest.approx(by_hand / 1000.0, rel=1e-12)


def test_trough_by_the_rule_for_heaps() -> None:
    """V = h / 6 ((2 l + L) w + (2 L + l) W): the rule for rectangular heaps and skips."""
    by_hand = 17.0 / 6.0 * ((2 * 57 + 60) * 15 + (2 * 60 + 57) * 20)
    assert TROUGH.volume_l == pytest.approx(by_hand / 1000.0, rel=1e-12)


@pytest.mark.parametrize("pot", [ROUND, OVAL, TROUGH], ids=lambda pot: pot.shape)
def test_volume_between_heights_agrees_with_random_points(pot: PotShape) -> None:
    """Count seeded random points in the widest box: within 1 % at 400,000 points."""
    rng = np.random.default_rng(7)
    long_cm = pot.top_length_cm or pot.top_width_cm
    box = np.array([pot.top_width_cm, long_cm, pot.inside_height_cm])
    x, y, z = ((rng.random((400_000, 3)) - (0.5, 0.5, 0.0)) * box).T
    part = z / pot.inside_height_cm
    half_x = (pot.bottom_width_cm + (pot.top_width_cm - pot.bottom_width_cm) * part) / 2.0
    foot = pot.bottom_length_cm or pot.bottom_width_cm
    half_y = (foot + (long_cm - foot) * part) / 2.0
    if pot.shape == "trough":
        inside = (np.abs(x) < half_x) & (np.abs(y) < half_y)
    else:
        inside = (x / half_x) ** 2 + (y / half_y) ** 2 < 1.0
    low, high = 0.2 * pot.inside_height_cm, 0.7 * pot.inside_height_cm
    counted = (inside & (z > low) & (z < high)).mean() * box.prod() / 1000.0
    assert pot.volume_between(low, high) == pytest.approx(counted, rel=0.01)


def test_compost_net_of_bulbs_agrees_with_random_points() -> None:
    """Seven bulbs of 5 x 6 cm in a straight pot: the compost round them counted by points."""
    pot = PotShape(shape="round", top_width_cm=24.0, bottom_width_cm=24.0, inside_height_cm=20.0)
    fill = fill_volumes(
        pot,
        crocks_cm=2.0,
        top_dressing_cm=1.0,
        rim_gap_cm=2.0,
        bulbs=[BulbLot(diameter_cm=5.0, height_cm=6.0, count=7)],
    )
    turn = np.arange(6) * math.pi / 3.0
    middles = np.concatenate([[(0.0, 0.0)], 8.0 * np.stack([np.cos(turn), np.sin(turn)], axis=1)])
    rng = np.random.default_rng(11)
    points = (rng.random((400_000, 3)) - (0.5, 0.5, 0.0)) * (24.0, 24.0, 15.0)
    x, y, z = points.T
    compost = np.hypot(x, y) < 12.0
    for bulb_x, bulb_y in middles:
        scaled = ((x - bulb_x) / 2.5) ** 2 + ((y - bulb_y) / 2.5) ** 2 + ((z - 7.0) / 3.0) ** 2
        compost &= scaled > 1.0
    counted = compost.mean() * 24.0 * 24.0 * 15.0 / 1000.0
    assert fill.compost_l == pytest.approx(counted, rel=0.005)
    assert fill.crocks_l == pytest.approx(math.pi * 144.0 * 2.0 / 1000.0)
