"""Compost to each mark."""

from __future__ import annotations

import math
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.model.yard import Layer, PlaceChoice, Pot, Yard
from bloomline.plan.pot.compost import pot_compost
from bloomline.plan.pot.fill_marks import FillMark, fill_marks
from bloomline.plan.pot.fitting import fit_pot
from bloomline.reference.catalogue import load_catalogue
from bloomline.reference.rules import load_rules

KINDS = ("tulipa-queen-of-night", "narcissus-tete-a-tete", "crocus-tommasinianus-ruby-giant")


def _pot(layers: list[tuple[int, int, float]], **fields: float) -> Pot:
    sizes = {"top_width_cm": 30.0, "bottom_width_cm": 30.0, "inside_height_cm": 40.0}
    return Pot(
        id="p",
        name="Pot",
        layers=tuple(
            Layer(
                id=f"l{i}",
                cultivar_id=KINDS[kind],
                count=count,
                cover_cm=cover,
                planted=date(2026, 11, 7),
            )
            for i, (kind, count, cover) in enumerate(layers)
        ),
        **{**sizes, **fields},
    )


def _marks(pot: Pot) -> tuple[tuple[FillMark, ...], float]:
    place = PlaceChoice(name="x", latitude_deg=51, longitude_deg=0)
    yard = Yard(name="y", place=place, season_year=2027, pots=(pot,))
    catalogue = load_catalogue()
    compost = pot_compost(pot, yard=yard, cultivar_of=catalogue.get)
    fit = fit_pot(pot, cultivar_of=catalogue.get)
    deepest_first = sorted(fit.layers, key=lambda each: -each.base_from_rim_cm)
    return fill_marks(pot, deepest_first, compost), compost.loose_l


def test_a_straight_pot_by_hand() -> None:
    pot = _pot([(0, 10, 20.0)], crocks_cm=2.0, rim_gap_cm=2.5)
    bulb = load_catalogue().get(KINDS[0])
    marks, _ = _marks(pot)
    base_cm = 22.5 + bulb.bulb_height_cm
    # A cylinder of 30 cm: 225 pi cm2, a litre is 1000 cm3; bulbs are spheroids.
    loose = 1.0 + load_rules().figure("settling_share").middle
    under = 225 * math.pi * (38.0 - base_cm) / 1000
    bulbs = 10 * math.pi / 6 * bulb.bulb_diameter_cm**2 * bulb.bulb_height_cm / 1000
    over = 225 * math.pi * (base_cm - 2.5) / 1000 - bulbs
    assert [mark.depth_cm for mark in marks] == pytest.approx([base_cm, 2.5])
    assert [mark.loose_l for mark in marks] == pytest.approx([under * loose, over * loose])


@settings(deadline=None, max_examples=60)
@given(
    st.lists(
        st.tuples(st.integers(0, 2), st.integers(1, 60), st.floats(0, 36)), min_size=1, max_size=12
    ),
    st.floats(14, 40),
    st.floats(0, 10),
    st.floats(0, 3),
)
def test_the_fills_add_up_to_the_compost_to_have_ready(layers, bottom, crocks, dressing) -> None:
    pot = _pot(
        layers,
        bottom_width_cm=bottom,
        crocks_cm=crocks,
        top_dressing_cm=dressing,
    )
    marks, loose_l = _marks(pot)
    assert all(mark.loose_l >= 0.0 for mark in marks)
    total = sum(mark.loose_l for mark in marks)
    # Bulbs that reach above the surface take no room from compost there.
    if layers and min(cover for _, _, cover in layers) > 5.0:
        assert total == pytest.approx(loose_l, rel=1e-6, abs=1e-6)
    else:
        assert total >= loose_l - 1e-6
