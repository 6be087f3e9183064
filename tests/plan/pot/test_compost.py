from __future__ import annotations

from dataclasses import replace

import pytest
from asking import catalogue
from hypothesis import given
from hypothesis import strategies as st
from shopping_yards import layer, pot, yard

from bloomline.errors import UnknownNameError
from bloomline.model import edits, store_edits
from bloomline.plan.pot.compost import bag_lines, crocks_advice, material_needs, pot_compost


def compost_of(one, **fields):
    return pot_compost(one, yard=yard(one, **fields), cultivar_of=catalogue().get)


@st.composite
def some_pots(draw):
    layers = tuple(
        layer(i, count=draw(st.integers(1, 60)), cover_cm=20 - i)
        for i in range(draw(st.integers(0, 3)))
    )
    width = draw(st.floats(20, 80))
    return pot(
        1,
        *layers,
        top_width_cm=width,
        bottom_width_cm=draw(st.floats(15, width)),
        inside_height_cm=draw(st.floats(20, 60)),
        crocks_cm=draw(st.floats(0, 5)),
        top_dressing_cm=draw(st.floats(0, 3)),
        top_dressing=draw(st.sampled_from([None, "grit", "bark"])),
        compost_recipe=draw(st.sampled_from([None, "loam-grit", "multipurpose-bark-grit"])),
    )


@given(some_pots())
def test_volumes_add_up_and_parts_make_the_mix(one):
    found = compost_of(one)
    volumes = found.volumes
    parts = (
        volumes.crocks_l,
        volumes.bulbs_l,
        volumes.compost_l,
        volumes.top_dressing_l,
        volumes.rim_gap_l,
    )
    assert sum(parts) == pytest.approx(volumes.total_l)
    assert sum(litres for _, litres in found.parts_l) == pytest.approx(found.loose_l)
    assert found.loose_l >= volumes.compost_l


@given(st.lists(some_pots(), min_size=1, max_size=3), st.sampled_from([None, 10, 33.3, 60]))
def test_bags_cover_the_need_and_state_what_is_left(pots, bag_l):
    here = store_edits.change_supplies(yard(), bag_l=None if bag_l is None else float(bag_l))
    fills = [pot_compost(one, yard=here, cultivar_of=catalogue().get) for one in pots]
    needs = material_needs(fills)
    lines = bag_lines(fills, yard=here)
    assert {line.material for line in lines} == set(needs)
    for line in lines:
        assert line.need_l == pytest.approx(needs[line.material])
        assert line.left_l == pytest.approx(line.bought_l - line.need_l)
        # Nothing is missing but a twentieth, or a handful or two of what only opens the mix.
        assert line.left_l >= -max(0.05 * line.need_l, 2.0 if line.is_handful else 0.0) - 1e-6
        assert all(n > 0 for _, n in line.bags)


def test_the_mix_is_the_pots_then_the_yards_then_the_usual():
    one = pot(1, layer(1))
    assert compost_of(one).recipe.id == "multipurpose-grit"
    here = store_edits.change_supplies(yard(one), recipe="loam-grit")
    assert pot_compost(one, yard=here, cultivar_of=catalogue().get).recipe.id == "loam-grit"
    here = edits.change_pot(here, "pot-1", compost_recipe="multipurpose")
    own = pot_compost(here.pots[0], yard=here, cultivar_of=catalogue().get)
    assert own.recipe.id == "multipurpose"
    with pytest.raises(UnknownNameError, match="compost recipe"):
        compost_of(pot(1, layer(1), compost_recipe="peat"))


def test_top_dressing_by_volume_and_weight():
    found = compost_of(pot(1, layer(1), top_dressing="grit", top_dressing_cm=1.5))
    assert found.dressing == "grit"
    assert found.dressing_kg.low == pytest.approx(1.5 * found.dressing_l)
    assert found.dressing_kg.high == pytest.approx(1.6 * found.dressing_l)
    assert compost_of(pot(1, layer(1))).dressing is None


def test_own_prices_of_bags_count_and_other_money_makes_typical_ones_unknown():
    one = pot(1, layer(1))
    fill = compost_of(one)
    typical = bag_lines([fill], yard=yard(one))
    assert {line.basis for line in typical} == {"typical"}
    abroad = bag_lines([fill], yard=yard(one, currency="EUR"))
    assert {(line.basis, line.cost) for line in abroad} == {("unknown", None)}
    here = store_edits.set_bag_price(yard(one, currency="EUR"), "grit-20", 7.25)
    (grit,) = [line for line in bag_lines([fill], yard=here) if line.material == "grit"]
    assert (grit.basis, str(grit.cost)) == ("own", "7.25")
    here = store_edits.change_supplies(here, bag_l=45.0, bag_prices={"multipurpose": 9.99})
    (first,) = [line for line in bag_lines([fill], yard=here) if line.material == "multipurpose"]
    assert first.bags == (("bag of multipurpose, peat-free, 45 L", 1),)
    assert str(first.cost) == "9.99"


def test_a_need_of_exactly_two_bags_is_two_bags():
    fill = replace(compost_of(pot(1, layer(1))), parts_l=(("multipurpose", 80.0),))
    here = store_edits.change_supplies(yard(), bag_l=40.0, bag_prices={"multipurpose": 5.0})
    (line,) = bag_lines([fill], yard=here)
    assert line.bags[0][1] == 2
    assert line.left_l == pytest.approx(0)


def test_a_deep_layer_of_crocks_is_advised_against_with_the_reason():
    (shallow,) = crocks_advice(pot(1, crocks_cm=2.0))
    (deep,) = crocks_advice(pot(1, crocks_cm=6.0))
    assert shallow.severity == "note"
    assert deep.severity == "caution"
    assert "wet zone" in deep.reason
    assert deep.source
