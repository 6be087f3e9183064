"""Drops: what is allowed, why not, at which depth, and what becomes of the yard."""

from __future__ import annotations

from datetime import date

import pytest

from bloomline.model import edits
from bloomline.model.yard import MAX_BULBS, MAX_LAYERS, Layer, PlaceChoice, Pot, Yard
from bloomline.plan.carry.drops import Cargo, Verdict, judge_beside, judge_on_pot, judge_on_shelf
from bloomline.plan.pot.fitting import fit_pot
from bloomline.reference.catalogue import load_catalogue

CATALOGUE = load_catalogue()
TULIP, CROCUS = "tulipa-queen-of-night", "crocus-tommasinianus-ruby-giant"
DAY = date(2026, 11, 7)


def layer(number: int, cultivar_id: str, *, cover_cm: float, count: int = 12) -> Layer:
    return Layer(
        id=f"layer-{number}", cultivar_id=cultivar_id, count=count, cover_cm=cover_cm, planted=DAY
    )


def pot(number: int, *layers: Layer, **fields: object) -> Pot:
    values: dict[str, object] = {
        "id": f"pot-{number}",
        "name": f"Pot {number}",
        "top_width_cm": 34.0,
        "bottom_width_cm": 26.0,
        "inside_height_cm": 38.0,
        "crocks_cm": 3.0,
        **fields,
    }
    return Pot(**values, layers=layers)  # type: ignore[arg-type]


def yard(*pots: Pot) -> Yard:
    place = PlaceChoice(name="Somewhere", latitude_deg=52.0, longitude_deg=0.0)
    return Yard(name="Test", place=place, season_year=2027, pots=pots)


LAYERED = yard(
    pot(
        1,
        layer(1, TULIP, cover_cm=20.0),
        layer(2, TULIP, cover_cm=13.0),
        layer(3, CROCUS, cover_cm=6.0),
    ),
    pot(2),
    pot(3, inside_height_cm=9.0, crocks_cm=1.0),
)


def judge(
    cargo: Cargo,
    *,
    pot_id: str,
    depth: float | None = None,
    copy: bool = False,
    where: Yard = LAYERED,
) -> Verdict:
    return judge_on_pot(
        where,
        cargo,
        pot_id=pot_id,
        depth_from_rim_cm=depth,
        copy=copy,
        cultivar_of=CATALOGUE.get,
        usual_day=lambda _: DAY,
    )


def covers(after: Yard, pot_id: str) -> dict[str, float]:
    return {each.id: each.cover_cm for each in after.pot(pot_id).layers}


def test_a_new_layer_lies_where_the_pointer_was_and_as_many_as_usually_fit():
    verdict = judge(Cargo("cultivar", TULIP), pot_id="pot-2", depth=20.0)
    assert verdict.allowed
    kind = CATALOGUE.get(TULIP)
    # 2.5 cm rim gap, half a bulb above the pointer, to half a centimetre.
    assert verdict.cover_cm == pytest.approx(20.0 - 2.5 - kind.bulb_height_cm / 2, abs=0.25)
    after = verdict.apply(LAYERED)
    new = after.pot("pot-2").layers[0]
    assert (new.cultivar_id, new.count, new.planted) == (TULIP, verdict.count, DAY)
    assert new.count == verdict.room.usual
    fit = fit_pot(after.pot("pot-2"), cultivar_of=CATALOGUE.get).layers[0]
    assert fit.tip_from_rim_cm == pytest.approx(verdict.tip_from_rim_cm)
    assert fit.room == verdict.room  # the marker counts as the details do
    assert f"{fit.room.usual} fit, {fit.room.tight} at most" in verdict.words


def test_without_a_pointer_the_usual_depth_is_taken():
    verdict = judge(Cargo("cultivar", TULIP), pot_id="pot-2")
    assert verdict.cover_cm == pytest.approx(CATALOGUE.get(TULIP).cover_cm, abs=0.25)


@pytest.mark.parametrize("depth", [-20.0, 0.0, 60.0])
def test_pointers_outside_the_compost_are_brought_inside(depth):
    verdict = judge(Cargo("cultivar", TULIP), pot_id="pot-2", depth=depth)
    bulb = CATALOGUE.get(TULIP).bulb_height_cm
    assert 0.0 < verdict.cover_cm <= LAYERED.pot("pot-2").compost_depth_cm - bulb


def test_a_move_within_a_pot_leaves_the_depths_of_the_others():
    verdict = judge(Cargo("layer", "layer-1"), pot_id="pot-1", depth=12.0)
    after = covers(verdict.apply(LAYERED), "pot-1")
    assert list(after) == ["layer-2", "layer-1", "layer-3"]
    assert (after["layer-2"], after["layer-3"]) == (13.0, 6.0)
    assert after["layer-1"] == verdict.cover_cm


def test_a_layer_let_go_where_it_lies_is_refused():
    bulb = CATALOGUE.get(TULIP).bulb_height_cm
    verdict = judge(Cargo("layer", "layer-1"), pot_id="pot-1", depth=2.5 + 20.0 + bulb / 2)
    assert not verdict.allowed
    assert "already" in verdict.words


def test_moves_and_copies_between_pots():
    moved = judge(Cargo("layer", "layer-2"), pot_id="pot-2", depth=18.0)
    after = moved.apply(LAYERED)
    assert covers(after, "pot-2") == {"layer-2": moved.cover_cm}
    assert "layer-2" not in covers(after, "pot-1")
    copied = judge(Cargo("layer", "layer-2"), pot_id="pot-2", depth=18.0, copy=True)
    after = copied.apply(LAYERED)
    assert covers(after, "pot-1") == covers(LAYERED, "pot-1")
    assert covers(after, "pot-2") == {"layer-4": copied.cover_cm}


def test_more_bulbs_than_fit_are_said_to_be_too_many():
    small = yard(
        pot(1, layer(1, TULIP, cover_cm=15.0, count=60), top_width_cm=60.0, bottom_width_cm=50.0),
        pot(2, top_width_cm=18.0, bottom_width_cm=14.0),
    )
    verdict = judge(Cargo("layer", "layer-1"), pot_id="pot-2", depth=18.0, where=small)
    assert verdict.allowed
    assert "60 bulbs are too many" in verdict.words


def test_what_makes_no_sense_is_refused_in_words():
    deep = judge(Cargo("cultivar", "fritillaria-imperialis-lutea"), pot_id="pot-3")
    assert not deep.allowed
    assert "cm" in deep.words
    assert deep.apply is None
    inside = judge(Cargo("pot", "pot-1"), pot_id="pot-2")
    assert "inside another pot" in inside.words
    narrow = yard(pot(1, top_width_cm=5.0, bottom_width_cm=4.0))
    wide = judge(
        Cargo("cultivar", "hyacinthus-orientalis-delft-blue"), pot_id="pot-1", where=narrow
    )
    assert not wide.allowed
    assert "too wide" in wide.words


def test_a_full_pot_takes_no_more_but_lets_its_own_be_moved():
    many = [layer(n, CROCUS, cover_cm=25.0 - n, count=5) for n in range(1, MAX_LAYERS + 1)]
    full = yard(pot(1, *many), pot(2, layer(99, TULIP, cover_cm=15.0)))
    refused = judge(Cargo("layer", "layer-99"), pot_id="pot-1", where=full)
    assert not refused.allowed
    assert str(MAX_LAYERS) in refused.words
    assert judge(Cargo("layer", "layer-1"), pot_id="pot-1", depth=10.0, where=full).allowed
    assert not judge(
        Cargo("layer", "layer-1"), pot_id="pot-1", depth=10.0, copy=True, where=full
    ).allowed


@pytest.mark.parametrize(
    ("name", "gap", "order"),
    [
        ("pot-1", 2, ["pot-2", "pot-1", "pot-3"]),
        ("pot-1", 3, ["pot-2", "pot-3", "pot-1"]),
        ("pot-3", 0, ["pot-3", "pot-1", "pot-2"]),
    ],
)
def test_pots_are_moved_into_gaps(name, gap, order):
    verdict = judge_beside(LAYERED, Cargo("pot", name), index=gap, copy=False)
    assert [each.id for each in verdict.apply(LAYERED).pots] == order


@pytest.mark.parametrize("gap", [0, 1])
def test_a_pot_stays_where_it_stands(gap):
    assert not judge_beside(LAYERED, Cargo("pot", "pot-1"), index=gap, copy=False).allowed


def test_pots_are_copied_into_gaps():
    verdict = judge_beside(LAYERED, Cargo("pot", "pot-1"), index=3, copy=True)
    after = verdict.apply(LAYERED)
    assert [each.id for each in after.pots] == ["pot-1", "pot-2", "pot-3", "pot-4"]
    assert len(after.pot("pot-4").layers) == 3


def test_bulbs_are_refused_between_pots():
    assert not judge_beside(LAYERED, Cargo("layer", "layer-1"), index=1, copy=False).allowed
    assert not judge_beside(LAYERED, Cargo("cultivar", TULIP), index=1, copy=False).allowed


def test_only_layers_go_back_to_the_shelf():
    verdict = judge_on_shelf(LAYERED, Cargo("layer", "layer-1"), cultivar_of=CATALOGUE.get)
    assert verdict.apply(LAYERED) == edits.remove_layer(LAYERED, "layer-1")
    for cargo in (Cargo("pot", "pot-1"), Cargo("cultivar", TULIP)):
        assert not judge_on_shelf(LAYERED, cargo, cultivar_of=CATALOGUE.get).allowed


def test_a_yard_in_inches_is_told_in_inches() -> None:
    where = LAYERED.model_copy(
        update={"settings": LAYERED.settings.model_copy(update={"units": "imperial"})}
    )
    verdict = judge(Cargo("cultivar", TULIP), pot_id="pot-2", where=where)
    # An inch is 2.54 cm exactly (NIST Special Publication 811, appendix B).
    assert f" {verdict.cover_cm / 2.54:.1f}".removesuffix(".0") + " in deep" in verdict.words
    assert " cm" not in verdict.words
    same = judge(Cargo("layer", "layer-1"), pot_id="pot-1", depth=20.0 + 2.5 + 2.0, where=where)
    assert " cm" not in same.words
    shallow = edits.change_pot(where, "pot-3", inside_height_cm=5.0)
    refused = judge(Cargo("cultivar", TULIP), pot_id="pot-3", where=shallow)
    assert not refused.allowed and " in of compost" in refused.words


def test_a_drop_into_a_pot_wide_by_mistake_plants_no_more_than_a_layer_holds():
    """380 typed for 38, and more: thousands would fit, and the drop says so instead of failing."""
    vast = yard(pot(1, shape="square", top_width_cm=500.0, bottom_width_cm=490.0))
    verdict = judge(Cargo("cultivar", CROCUS), pot_id="pot-1", where=vast)
    assert verdict.allowed and "5,000 or more fit" in verdict.words
    assert verdict.apply(vast).pots[0].layers[0].count == verdict.count == MAX_BULBS
