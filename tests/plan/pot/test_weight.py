from __future__ import annotations

import pytest
from asking import catalogue
from hypothesis import given
from hypothesis import strategies as st
from shopping_yards import layer, pot, yard

from bloomline.plan.pot.weight import pot_weight
from bloomline.reference.rules import load_rules

MATERIALS = sorted(load_rules().materials)


def weigh(one):
    return pot_weight(one, yard=yard(one), cultivar_of=catalogue().get)


@given(
    st.sampled_from(MATERIALS),
    st.sampled_from(["round", "square", "oval", "trough"]),
    st.integers(0, 40),
    st.floats(0, 4),
)
def test_parts_add_up_and_water_only_adds(material, shape, count, crocks_cm):
    long = {"top_length_cm": 60, "bottom_length_cm": 55} if shape in ("oval", "trough") else {}
    layers = (layer(1, count=count),) if count else ()
    found = weigh(pot(1, *layers, material=material, shape=shape, crocks_cm=crocks_cm, **long))
    loads = found.mass.loads
    assert found.dry_kg.middle == pytest.approx(sum(load.dry_kg.middle for load in loads))
    assert found.wet_kg.low > found.dry_kg.low
    assert found.wet_kg.high > found.dry_kg.high
    assert 0 < found.mass.centre_dry_cm < found.height_cm
    assert ("bulbs" in {load.name for load in loads}) == bool(count)


def test_bulbs_weigh_what_the_catalogue_says():
    (bulbs,) = [load for load in weigh(pot(1, layer(1))).mass.loads if load.name == "bulbs"]
    grams = catalogue().get("tulipa-shirley").grams_per_bulb
    assert bulbs.dry_kg.low == bulbs.wet_kg.high == pytest.approx(20 * grams / 1000)


def test_heavier_and_wider_stands_better():
    light, heavy = (
        weigh(pot(1, layer(1), material="plastic", wall_cm=0.3)),
        weigh(pot(1, layer(1), material="stone", wall_cm=3.0)),
    )
    assert heavy.tipping_wind_m_per_s > light.tipping_wind_m_per_s
    tall = weigh(pot(1, layer(1), top_width_cm=24, bottom_width_cm=18, inside_height_cm=60))
    assert tall.tipping_angle_deg < light.tipping_angle_deg


def test_a_trough_tips_over_its_short_side():
    trough = pot(1, layer(1), shape="trough", top_length_cm=80, bottom_length_cm=76, wall_cm=1.0)
    # Foot: 32 cm inside and the wall on both sides, less what the taper of 8 cm in 36 takes off
    # in the centimetre of the base.
    assert weigh(trough).foot_cm == pytest.approx(32 + 2 - 8 / 36)
