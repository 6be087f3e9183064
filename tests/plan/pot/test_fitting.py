"""What fits a pot and where its bulbs lie, checked by distances and by the pot's own walls."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from scipy.spatial.distance import cdist, pdist

from bloomline.model.yard import Layer, Pot
from bloomline.plan.pot.fitting import (
    bulb_positions_cm,
    fit_pot,
    pot_positions_cm,
)
from bloomline.reference.catalogue import load_catalogue

CATALOGUE = load_catalogue()


def pot_of(shape: str = "round", *, counts: tuple[int, int] = (18, 40)) -> Pot:
    long = {"top_length_cm": 60.0, "bottom_length_cm": 54.0} if shape in ("oval", "trough") else {}
    layers = (
        Layer(id="layer-1", cultivar_id="tulipa-queen-of-night", count=counts[0], cover_cm=18.0,
              planted=date(2026, 11, 1)),
        Layer(id="layer-2", cultivar_id="crocus-tommasinianus-ruby-giant", count=counts[1],
              cover_cm=7.0, planted=date(2026, 10, 1)),
    )  # fmt: skip
    return Pot(
        id="pot-1", name="Pot", shape=shape, top_width_cm=36.0, bottom_width_cm=30.0,
        inside_height_cm=38.0, crocks_cm=3.0, layers=layers, **long,
    )  # fmt: skip


@pytest.mark.parametrize("shape", ["round", "square", "oval", "trough"])
def test_bulbs_of_a_layer_never_touch_each_other_or_the_wall(shape):
    # Distances by SciPy's pdist, a general-purpose library.
    for layer in fit_pot(pot_of(shape), cultivar_of=CATALOGUE.get).layers:
        places = bulb_positions_cm(layer)
        assert places.shape == (layer.count, 2)
        assert pdist(places).min() >= layer.bulb_diameter_cm
        half = np.array([layer.section.width_cm, layer.section.length_cm]) / 2
        reach = half - layer.bulb_diameter_cm / 2
        if layer.section.kind == "rectangle":
            assert (np.abs(places) <= reach + 1e-6).all()
        elif layer.section.kind == "circle":
            assert (np.hypot(*places.T) <= reach[0] + 1e-6).all()
        else:
            assert (((places / half) ** 2).sum(axis=1) < 1.0).all()


def test_bulbs_are_spread_out_when_there_is_room():
    layer = fit_pot(pot_of(counts=(7, 10)), cultivar_of=CATALOGUE.get).layers[0]
    places = bulb_positions_cm(layer)
    # Seven discs in a circle: one in the middle, six about it, none nearer than twice a bulb.
    assert pdist(places).min() > 2.0 * layer.bulb_diameter_cm


def test_too_many_are_shown_as_far_as_they_fit():
    layer = fit_pot(pot_of(counts=(400, 40)), cultivar_of=CATALOGUE.get).layers[0]
    assert layer.density is None
    assert len(bulb_positions_cm(layer)) == layer.room.tight


def test_upper_layers_step_aside_from_the_bulbs_below():
    fit = fit_pot(pot_of(counts=(12, 12)), cultivar_of=CATALOGUE.get)
    lower, upper = pot_positions_cm(fit)
    plain = bulb_positions_cm(fit.layers[1])
    assert cdist(upper, lower).min() > cdist(plain, bulb_positions_cm(fit.layers[0])).min()
    assert pdist(upper).min() >= fit.layers[1].bulb_diameter_cm


def test_shared_positions_cannot_be_changed():
    layer = fit_pot(pot_of(), cultivar_of=CATALOGUE.get).layers[0]
    with pytest.raises(ValueError, match="read-only"):
        bulb_positions_cm(layer)[0, 0] = 99.0


def test_layers_lie_at_their_depths():
    fit = fit_pot(pot_of(), cultivar_of=CATALOGUE.get)
    kind = CATALOGUE.get("tulipa-queen-of-night")
    deepest = fit.layers[0]
    assert deepest.tip_from_rim_cm == pytest.approx(2.5 + 18.0)
    assert deepest.base_from_rim_cm == pytest.approx(2.5 + 18.0 + kind.bulb_height_cm)
    assert deepest.compost_under_cm == pytest.approx(38.0 - 3.0 - deepest.base_from_rim_cm)
