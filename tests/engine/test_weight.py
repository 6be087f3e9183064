from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.engine.potshape import PotShape
from bloomline.engine.weight import (
    Load,
    Range,
    Sail,
    add_up,
    centroid_cm,
    outer_shape,
    tipping_angle_deg,
    tipping_wind_m_per_s,
    wall_load,
    wall_volume_l,
)

CYLINDER = PotShape(shape="round", top_width_cm=30, bottom_width_cm=30, inside_height_cm=40)
CONE = PotShape(shape="round", top_width_cm=32, bottom_width_cm=20, inside_height_cm=28)


@st.composite
def pots(draw):
    shape = draw(st.sampled_from(("round", "square", "oval", "trough")))
    sizes = st.floats(12, 90)
    long = shape in ("oval", "trough")
    return PotShape(
        shape=shape,
        top_width_cm=draw(sizes),
        bottom_width_cm=draw(sizes),
        inside_height_cm=draw(sizes),
        top_length_cm=draw(sizes) if long else None,
        bottom_length_cm=draw(sizes) if long else None,
    )


def test_wall_of_a_straight_round_pot_is_a_tube_and_a_disc():
    # Closed form: π/4 (33² − 30²) 40 for the tube and π/4 33² 1.5 for the base.
    tube = math.pi / 4 * (33**2 - 30**2) * 40
    disc = math.pi / 4 * 33**2 * 1.5
    assert wall_volume_l(CYLINDER, wall_cm=1.5, base_cm=1.5) == pytest.approx((tube + disc) / 1e3)


def test_wall_of_a_box_is_box_less_box():
    box = PotShape(
        shape="trough",
        top_width_cm=20,
        bottom_width_cm=20,
        top_length_cm=60,
        bottom_length_cm=60,
        inside_height_cm=18,
    )
    wanted = (22 * 62 * 19 - 20 * 60 * 18) / 1e3
    assert wall_volume_l(box, wall_cm=1, base_cm=1) == pytest.approx(wanted)


@given(pots(), st.floats(0.1, 2.0), st.floats(0.1, 2.0))
def test_outside_undoes_inside(pot, wall_cm, base_cm):
    outside = outer_shape(pot, wall_cm=wall_cm, base_cm=base_cm)
    again = PotShape.from_outer(
        shape=pot.shape,
        top_width_cm=outside.top_width_cm,
        bottom_width_cm=outside.bottom_width_cm,
        height_cm=outside.inside_height_cm,
        wall_cm=wall_cm,
        base_cm=base_cm,
        top_length_cm=outside.top_length_cm,
        bottom_length_cm=outside.bottom_length_cm,
    )
    assert again.volume_l == pytest.approx(pot.volume_l)
    assert again.bottom_width_cm == pytest.approx(pot.bottom_width_cm)
    assert wall_volume_l(pot, wall_cm=wall_cm, base_cm=base_cm) > 0


def test_an_impossible_outside_is_refused():
    with pytest.raises(ValueError, match="thinner than 0"):
        outer_shape(CYLINDER, wall_cm=-1, base_cm=1)
    steep = PotShape(shape="round", top_width_cm=90, bottom_width_cm=5, inside_height_cm=10)
    with pytest.raises(ValueError, match="above 0"):
        outer_shape(steep, wall_cm=0.1, base_cm=3)


def test_middle_of_a_frustum():
    # Closed form of the centroid of a conical frustum above its base of radius r1:
    # h (r1² + 2 r1 r2 + 3 r2²) / 4 (r1² + r1 r2 + r2²). Source: handbooks of mechanics.
    r1, r2, h = 10.0, 16.0, 28.0
    wanted = h * (r1**2 + 2 * r1 * r2 + 3 * r2**2) / (4 * (r1**2 + r1 * r2 + r2**2))
    assert centroid_cm(CONE, low_cm=0, high_cm=28) == pytest.approx(wanted)


@given(pots(), st.floats(0.05, 0.95))
def test_middles_of_parts_make_the_middle_of_the_whole(pot, share):
    height = pot.inside_height_cm
    cut = share * height
    low = pot.volume_between(0, cut) * centroid_cm(pot, low_cm=0, high_cm=cut)
    high = pot.volume_between(cut, height) * centroid_cm(pot, low_cm=cut, high_cm=height)
    whole = pot.volume_l * centroid_cm(pot, low_cm=0, high_cm=height)
    assert low + high == pytest.approx(whole, rel=1e-9)


def test_wall_weighs_its_volume_and_takes_up_water():
    load = wall_load(
        CYLINDER,
        wall_cm=1.5,
        base_cm=1.5,
        density_kg_per_l=1.8,
        allowance=Range(1, 1),
        water_share=Range(0.1, 0.1),
    )
    dry = 1.8 * wall_volume_l(CYLINDER, wall_cm=1.5, base_cm=1.5)
    assert load.dry_kg.low == load.dry_kg.high == pytest.approx(dry)
    assert load.wet_kg.middle == pytest.approx(1.1 * dry)
    # Tube: middle at 20 cm, 5937.6 cm³; disc: middle at −0.75 cm, 1283.0 cm³.
    assert load.centre_cm == pytest.approx((5937.61 * 20 - 1282.94 * 0.75) / 7220.55, abs=1e-3)


ranges = st.tuples(st.floats(0, 50), st.floats(0, 50)).map(lambda two: Range(min(two), max(two)))


@given(st.lists(st.builds(Load, st.just("x"), ranges, ranges, st.floats(0, 60)), max_size=6))
def test_loads_add_up_and_their_centre_lies_among_them(loads):
    mass = add_up(loads, base_cm=1)
    assert mass.dry_kg.low == pytest.approx(math.fsum(load.dry_kg.low for load in loads))
    assert mass.wet_kg.high == pytest.approx(math.fsum(load.wet_kg.high for load in loads))
    if mass.dry_kg.middle > 1e-6:
        heights = [load.centre_cm + 1 for load in loads]
        assert min(heights) - 1e-6 <= mass.centre_dry_cm <= max(heights) + 1e-6


def test_a_range_must_run_forwards():
    with pytest.raises(ValueError, match="makes no sense"):
        Range(2, 1)
    with pytest.raises(ValueError, match="makes no sense"):
        Range(0, math.inf)


def test_a_cube_falls_beyond_45_degrees():
    assert tipping_angle_deg(foot_width_cm=30, centre_cm=15) == pytest.approx(45)


def test_wind_that_tips_by_hand():
    # 20 kg on a foot of 30 cm: 20 · 9.80665 · 0.15 = 29.42 N m. A sail of 0.2 m² at 0.3 m, drag 1:
    # 0.5 · 1.25 · v² · 0.2 · 0.3 = 0.0375 v², so v = sqrt(784.5) = 28.01 m/s.
    sail = Sail(area_m2=0.2, middle_m=0.3, drag=1.0)
    wind = tipping_wind_m_per_s(
        mass_kg=20, foot_width_cm=30, sails=[sail], air_density_kg_per_m3=1.25
    )
    assert wind == pytest.approx(28.01, abs=0.01)
    still = tipping_wind_m_per_s(mass_kg=20, foot_width_cm=30, sails=[], air_density_kg_per_m3=1)
    assert still == math.inf
