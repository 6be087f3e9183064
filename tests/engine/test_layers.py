"""Where layers lie, what is wrong with them, and where they had better lie."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.engine.layers import (
    DepthRules,
    LayerInput,
    PotFill,
    cover_for_drop,
    lay_out,
    planting_order,
    propose_layers,
)
from bloomline.engine.potshape import PotShape

DEEP = PotShape(shape="round", top_width_cm=30, bottom_width_cm=30, inside_height_cm=40)
SHALLOW = PotShape(shape="round", top_width_cm=30, bottom_width_cm=24, inside_height_cm=20)
FILL = PotFill(crocks_cm=3.0, top_dressing_cm=1.0, rim_gap_cm=2.5)

TULIP = LayerInput(
    bulb_diameter_cm=3.8,
    bulb_height_cm=4.4,
    cover_cm=15.0,
    plant_height_cm=50,
    flowering_day=125,
)
NARCISSUS = LayerInput(
    bulb_diameter_cm=3.8,
    bulb_height_cm=4.4,
    cover_cm=12.0,
    plant_height_cm=35,
    flowering_day=95,
)
CROCUS = LayerInput(
    bulb_diameter_cm=2.9,
    bulb_height_cm=2.3,
    cover_cm=5.0,
    plant_height_cm=10,
    flowering_day=60,
)


def codes(*layers: LayerInput, pot: PotShape = DEEP, fill: PotFill = FILL) -> set[str]:
    """Give the codes of what is wrong with the layers."""
    return {finding.code for finding in lay_out(pot, fill=fill, layers=layers).findings}


def at(layer: LayerInput, cover_cm: float) -> LayerInput:
    """Give the same layer at another depth."""
    return LayerInput(
        bulb_diameter_cm=layer.bulb_diameter_cm,
        bulb_height_cm=layer.bulb_height_cm,
        cover_cm=cover_cm,
        plant_height_cm=layer.plant_height_cm,
        flowering_day=layer.flowering_day,
    )


def test_depths_by_hand() -> None:
    """33.5 cm of compost; a tulip with 15 cm over its tip has its base 19.4 cm down."""
    layout = lay_out(DEEP, fill=FILL, layers=[TULIP, CROCUS])
    assert layout.compost_depth_cm == pytest.approx(33.5)
    assert [place.index for place in layout.places] == [1, 0]
    tulip = layout.place_of(0)
    assert (tulip.tip_cm, tulip.base_cm) == pytest.approx((15.0, 19.4))
    assert (tulip.tip_from_rim_cm, tulip.base_from_rim_cm) == pytest.approx((18.5, 22.9))
    assert tulip.centre_from_rim_cm == pytest.approx(20.7)
    assert tulip.compost_under_cm == pytest.approx(14.1)
    assert layout.place_of(1).compost_under_cm == pytest.approx(15.0 - 7.3)
    assert layout.findings == ()


def test_section_is_the_true_width_at_the_bulb() -> None:
    """In a tapered pot a deeper layer has less room, and a sloping wall takes a little more."""
    layout = lay_out(SHALLOW, fill=FILL, layers=[at(TULIP, 5.0), at(CROCUS, 0.5)])
    tulip, crocus = layout.place_of(0), layout.place_of(1)
    plain = SHALLOW.section_at_depth(tulip.centre_from_rim_cm).width_cm
    assert tulip.section.width_cm < crocus.section.width_cm
    assert plain - 0.2 < tulip.section.width_cm < plain


def test_too_shallow_and_a_little_shallow() -> None:
    """Under 5 cm is a fault whatever the bulb; under its own height as well."""
    assert codes(at(CROCUS, 4.9)) == {"too_shallow"}
    assert codes(at(CROCUS, 5.0)) == set()
    large = LayerInput(bulb_diameter_cm=7.0, bulb_height_cm=8.0, cover_cm=7.5)
    assert codes(large) == {"too_shallow"}
    rules = DepthRules(usual_hole_in_heights=(3.0, 4.0))
    found = lay_out(DEEP, fill=FILL, layers=[at(TULIP, 6.0)], rules=rules).findings
    assert [f.code for f in found] == ["shallower_than_usual"]
    assert (found[0].value, found[0].limit) == pytest.approx((6.0, 8.8))


def test_usual_cover() -> None:
    """A hole of two to three heights leaves one to two above the tip, and never under 5 cm."""
    assert DepthRules().usual_cover_cm(4.4) == pytest.approx((5.0, 8.8))
    assert DepthRules().usual_cover_cm(6.0) == pytest.approx((6.0, 12.0))
    assert DepthRules().usual_cover_cm(2.3) == pytest.approx((5.0, 5.0))


def test_too_deep() -> None:
    """Over six of its own heights of compost, or a base more than 30 cm down."""
    assert codes(at(CROCUS, 13.0)) == set()
    assert codes(at(CROCUS, 14.0)) == {"too_deep"}
    tall = PotShape(shape="round", top_width_cm=40, bottom_width_cm=40, inside_height_cm=60)
    assert codes(at(TULIP, 25.5), pot=tall) == set()
    assert codes(at(TULIP, 25.7), pot=tall) == {"too_deep"}


def test_compost_under_the_lowest() -> None:
    """Less than 5 cm under a bulb, and a bulb down in the crocks."""
    deep = PotFill(crocks_cm=13.0, top_dressing_cm=1.0, rim_gap_cm=2.5)
    assert codes(at(TULIP, 14.0), fill=deep) == set()
    assert codes(at(TULIP, 14.2), fill=deep) == {"little_compost_under"}
    assert codes(at(TULIP, 19.2), fill=deep) == {"in_crocks"}


def test_layers_that_collide_or_come_close() -> None:
    """A crocus base at 7.3 cm: a tip at 7.2 collides, one at 12.2 is close, 12.4 is well."""
    assert "layers_collide" in codes(CROCUS, at(TULIP, 7.2))
    assert codes(CROCUS, at(TULIP, 12.2)) == {"layers_close"}
    assert codes(CROCUS, at(TULIP, 12.4)) == set()
    found = lay_out(DEEP, fill=FILL, layers=[CROCUS, at(TULIP, 7.2)]).findings
    assert found[0].value == pytest.approx(-0.1)
    assert (found[0].index, found[0].other) == (0, 1)


def test_a_small_bulb_inside_the_depth_of_a_large_one_is_named() -> None:
    """Collision is seen between layers that aren't next to each other too."""
    tall = LayerInput(bulb_diameter_cm=6, bulb_height_cm=12.0, cover_cm=12.0)
    small = LayerInput(bulb_diameter_cm=1, bulb_height_cm=1.0, cover_cm=13.0)
    pairs = [
        (f.index, f.other)
        for f in lay_out(DEEP, fill=FILL, layers=[tall, small, at(small, 15.0)]).findings
        if f.code == "layers_collide"
    ]
    assert pairs == [(0, 1), (0, 2)]


def test_order_upside_down() -> None:
    """Late over early, and tall over short unless the tall one is the earlier."""
    assert codes(at(TULIP, 5.0), at(NARCISSUS, 15.0)) == {
        "later_above_earlier",
        "taller_above_shorter",
    }
    early_tall = LayerInput(
        bulb_diameter_cm=3.8,
        bulb_height_cm=4.4,
        cover_cm=5.0,
        plant_height_cm=60,
        flowering_day=50,
    )
    assert codes(early_tall, at(NARCISSUS, 15.0)) == set()
    assert planting_order([TULIP, CROCUS, NARCISSUS]) == (1, 2, 0)


def test_proposal_for_a_deep_pot() -> None:
    """Crocus 5 cm down, narcissus as it likes, tulip 5 cm under it; nothing left to say."""
    proposal = propose_layers(DEEP, fill=FILL, layers=[TULIP, NARCISSUS, CROCUS])
    assert proposal.order == (2, 1, 0)
    # tulip: tip at 12.3 + 4.4 + 5 = 21.7, base 26.1, 7.4 cm of compost under it
    assert proposal.cover_cm == pytest.approx((21.7, 12.3, 5.0))
    assert proposal.between_cm == pytest.approx((5.0, 5.0))
    assert proposal.layout.findings == ()


def test_proposal_gives_up_liked_depth_first() -> None:
    """A single tulip that would like 15 cm in a shallow pot: its least cover comes first.

    Never less than 5 cm over the tip: container planting leaflet, R3 of the shared rules.
    """
    proposal = propose_layers(SHALLOW, fill=FILL, layers=[TULIP])
    # 13.5 cm of compost less 5 over it and 4.4 of bulb leave 4.1 under it
    assert {f.code for f in proposal.layout.findings} == {"little_compost_under"}
    assert proposal.cover_cm[0] == pytest.approx(5.0)
    flat = PotFill(crocks_cm=3.0, top_dressing_cm=1.0, rim_gap_cm=7.5)
    # 8.5 cm of compost leave 4.1 over a bulb that lies on the crocks
    assert propose_layers(SHALLOW, fill=flat, layers=[TULIP]).cover_cm[0] == pytest.approx(4.1)
    deeper = PotFill(crocks_cm=0.0, top_dressing_cm=0.0, rim_gap_cm=2.5)
    roomy = propose_layers(SHALLOW, fill=deeper, layers=[TULIP])
    assert roomy.cover_cm[0] == pytest.approx(17.5 - 5.0 - 4.4)
    assert roomy.layout.findings == ()


def test_proposal_squeezes_the_layers_evenly() -> None:
    """Where 5 cm between layers do not fit, each gap gives up the same."""
    pot = PotShape(shape="round", top_width_cm=30, bottom_width_cm=30, inside_height_cm=32)
    proposal = propose_layers(pot, fill=FILL, layers=[TULIP, NARCISSUS, CROCUS])
    # 25.5 - 5 cover - 5 under - 11.1 bulbs = 4.4 for two gaps
    assert proposal.between_cm == pytest.approx((2.2, 2.2))
    assert {f.code for f in proposal.layout.findings} == {"layers_close"}


def test_given_order_is_kept() -> None:
    """A gardener's own order is laid out as asked, and named as upside down."""
    proposal = propose_layers(DEEP, fill=FILL, layers=[TULIP, CROCUS], order=[0, 1])
    assert proposal.cover_cm[0] < proposal.cover_cm[1]
    assert "later_above_earlier" in {f.code for f in proposal.layout.findings}
    with pytest.raises(ValueError, match="every layer"):
        propose_layers(DEEP, fill=FILL, layers=[TULIP, CROCUS], order=[0, 0])


bulb_layers = st.lists(
    st.builds(
        LayerInput,
        bulb_diameter_cm=st.floats(1.0, 6.0),
        bulb_height_cm=st.floats(1.0, 7.0),
        cover_cm=st.floats(0.0, 25.0),
        plant_height_cm=st.none() | st.floats(5.0, 90.0),
        flowering_day=st.none() | st.floats(1.0, 365.0),
    ),
    max_size=4,
)


@given(bulb_layers, st.floats(10.0, 60.0))
def test_proposals_never_collide_and_leave_the_crocks_alone(
    layers: list[LayerInput], inside_height_cm: float
) -> None:
    """As long as the bulbs themselves are lower than the compost is deep."""
    pot = PotShape(
        shape="round", top_width_cm=30, bottom_width_cm=26, inside_height_cm=inside_height_cm
    )
    proposal = propose_layers(pot, fill=FILL, layers=layers)
    depth = proposal.layout.compost_depth_cm
    bulbs = sum(layer.bulb_height_cm for layer in layers)
    found = {finding.code for finding in proposal.layout.findings}
    assert all(cover >= -1e-9 for cover in proposal.cover_cm)
    if bulbs <= depth:
        assert not found & {"layers_collide", "in_crocks"}
    if bulbs + 5.0 * (len(layers) + 2) + 7.0 <= min(depth, 30.0):
        assert not found & {"too_shallow", "layers_close", "little_compost_under"}
    again = propose_layers(pot, fill=FILL, layers=layers, order=proposal.order)
    assert again.cover_cm == proposal.cover_cm


def test_cover_while_dragging() -> None:
    """The middle of the bulb follows the pointer, held by the least cover and the crocks."""
    at_pointer = cover_for_drop(DEEP, fill=FILL, pointer_from_rim_cm=20.7, bulb_height_cm=4.4)
    assert at_pointer == pytest.approx(15.0)
    assert cover_for_drop(DEEP, fill=FILL, pointer_from_rim_cm=0.0, bulb_height_cm=4.4) == 5.0
    assert cover_for_drop(
        DEEP, fill=FILL, pointer_from_rim_cm=39.0, bulb_height_cm=4.4
    ) == pytest.approx(33.5 - 4.4)


def test_impossible_bulbs_are_refused() -> None:
    """No bulb is 0 cm high."""
    with pytest.raises(ValueError, match="height of a bulb"):
        LayerInput(bulb_diameter_cm=3.0, bulb_height_cm=0.0, cover_cm=5.0)
