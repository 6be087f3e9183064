"""Bulbs per pot against counts published by extension services and trial gardens.

Counts for 15 cm (6 inch) pots: Iowa State University Extension, "Forcing spring-flowering
bulbs" (2019) and the 2011 edition; Missouri Botanical Garden, page on forcing bulbs; a
Nebraska extension column (2020). Muscari: Royal Horticultural Society, Muscari (in containers)
trial 2024, about 100 in 37 cm pots, "some did not all fit". Hyacinths in larger pots: a
grower's care page. Pots are sold by outer width: 2.5 cm less inside is common practice, no
source. Bulb width = circumference / pi.
"""

from __future__ import annotations

import math

import pytest

from bloomline.engine.layers import LayerInput, PotFill, lay_out
from bloomline.engine.packing import capacity, room_for
from bloomline.engine.potshape import PotShape, Section

WALLS_CM = 2.5


def inside(pot_cm: float) -> Section:
    """Give the level cut of a round pot sold as `pot_cm` wide."""
    return Section("circle", pot_cm - WALLS_CM, pot_cm - WALLS_CM)


@pytest.mark.parametrize(
    ("circumference_cm", "least", "most"),
    [
        (12.0, 5, 7),  # tulip: 6-7, 5-7, 5-6, 6
        (15.0, 3, 6),  # narcissus: 4-5, 3-5, 3-6, 4-6
        (15.5, 3, 3),  # hyacinth: 3 in all four
        (9.0, 8, 15),  # crocus: 12-15, 10-12, 8-12, 15
    ],
)
def test_tight_single_layer_in_a_15_cm_pot(circumference_cm: float, least: int, most: int) -> None:
    """The tight count lies in the range of the four published ones."""
    room = room_for(inside(15.0), bulb_diameter_cm=circumference_cm / math.pi)
    assert least <= room.tight <= most
    assert room.density_of(most + 1) is None or room.tight > most


def test_about_a_hundred_muscari_in_a_37_cm_pot() -> None:
    """Bulbs of 8.5 cm: 100 do not quite fit with 0.5 cm between them, and do fit touching."""
    diameter = 8.5 / math.pi
    assert 85 <= room_for(inside(37.0), bulb_diameter_cm=diameter).tight < 100
    assert capacity(inside(37.0), bulb_diameter_cm=diameter, gap_cm=0.0) >= 100


@pytest.mark.parametrize(("pot_cm", "published"), [(20.0, 7), (25.0, 9), (31.0, 10), (38.0, 12)])
def test_published_hyacinths_lie_between_loose_and_tight(pot_cm: float, published: int) -> None:
    """7, 9 and 10-12 hyacinths in 20, 25 and 31-38 cm pots."""
    room = room_for(inside(pot_cm), bulb_diameter_cm=15.5 / math.pi)
    assert room.loose <= published <= room.tight


WIDE = PotShape(shape="round", top_width_cm=30.0, bottom_width_cm=30.0, inside_height_cm=40.0)


def test_worked_pot_of_75_bulbs() -> None:
    """20 tulips, 25 narcissus, 30 crocus in a pot 30 cm wide and 40 deep: all fit, by hand.

    That 75 bulbs fit is common practice, no source. By hand: a tulip of 12 cm is 3.82 cm wide
    and 4.39 high; its base 20 cm down leaves 15.6 cm cover. With 2.5 cm between tulips the
    bulb with its share of gap is a disc of 6.32 cm in a circle of 30 + 2.5 cm: 32.48 / 6.32 =
    5.14, and 20 discs need 5.122. A narcissus of 15 cm is 4.77 cm wide: with 0.5 cm between,
    30.48 / 5.27 = 5.78, and 25 discs need 5.753. A crocus of 9 cm is 2.86 wide: with 2 cm
    between, 31.98 / 4.86 = 6.57, and 33 discs need 6.487.
    """
    tulip, narcissus, crocus = (c / math.pi for c in (12.0, 15.0, 9.0))
    layers = [
        LayerInput(
            bulb_diameter_cm=tulip,
            bulb_height_cm=1.15 * tulip,
            cover_cm=20.0 - 1.15 * tulip,
        ),
        LayerInput(bulb_diameter_cm=narcissus, bulb_height_cm=1.15 * narcissus, cover_cm=9.0),
        LayerInput(bulb_diameter_cm=crocus, bulb_height_cm=0.8 * crocus, cover_cm=5.0),
    ]
    fill = PotFill(crocks_cm=3.0, top_dressing_cm=1.0, rim_gap_cm=2.5)
    layout = lay_out(WIDE, fill=fill, layers=layers)
    assert [place.index for place in layout.places] == [2, 1, 0]
    assert layout.place_of(0).base_from_rim_cm == pytest.approx(23.5)
    # close together, but nothing collides, is too shallow or too deep
    assert {finding.code for finding in layout.findings} == {"layers_close"}
    cut = [layout.place_of(i).section for i in range(3)]
    assert capacity(cut[0], bulb_diameter_cm=tulip, gap_cm=2.5) == 20
    assert capacity(cut[1], bulb_diameter_cm=narcissus, gap_cm=0.5) == 25
    assert capacity(cut[2], bulb_diameter_cm=crocus, gap_cm=2.0) == 33
    for place, layer, count in zip(cut, layers, (20, 25, 30), strict=True):
        room = room_for(place, bulb_diameter_cm=layer.bulb_diameter_cm)
        assert room.density_of(count) in ("usual", "tight")


def test_worked_pot_measured_outside() -> None:
    """The same pot 30 cm wide outside (27.5 inside): 25 narcissus fit up to 13 cm bulbs.

    27.5 + 0.5 = 28.0 cm for discs of 4.14 + 0.5 = 4.64 cm: a ratio of 6.04, and 25 need 5.753.
    Trumpet narcissus of 15 cm do not: 28.0 / 5.27 = 5.31, and 21 is the most for that.
    """
    cut = inside(30.0)
    assert room_for(cut, bulb_diameter_cm=12.0 / math.pi).tight >= 20
    assert room_for(cut, bulb_diameter_cm=13.0 / math.pi).tight >= 25
    assert room_for(cut, bulb_diameter_cm=15.0 / math.pi).tight == 21
    assert room_for(cut, bulb_diameter_cm=9.0 / math.pi).tight >= 30
