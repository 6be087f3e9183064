"""One weight of a pot in every output that gives one."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
from asking import outlook

from bloomline.files.yardfile import load_yard
from bloomline.model.edits import change_layer
from bloomline.plan.paper.card import cards_for
from bloomline.plan.pot.lifting import handling_of, load_advice, moving_words
from bloomline.plan.pot.weight import pot_weight
from bloomline.plan.season.advice import advice_for
from bloomline.plan.shop.buying import shopping_list
from bloomline.plan.shop.words import shopping_lines, shopping_object

DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"
_WEIGHS = re.compile(r"([\d.]+)(?: kg)? to ([\d.]+) kg when watered")


@cache
def demo():
    looked_at = outlook(load_yard(DEMO).yard)
    return looked_at.yard, looked_at.cultivar_of


@cache
def weights():
    yard, cultivar_of = demo()
    return {pot.id: pot_weight(pot, yard=yard, cultivar_of=cultivar_of) for pot in yard.pots}


POTS = [pot.id for pot in load_yard(DEMO).yard.pots]


def told(words: str) -> set[tuple[str, str]]:
    return set(_WEIGHS.findall(words))


@pytest.mark.parametrize("pot_id", POTS)
def test_details_card_and_list_give_one_weight(pot_id: str) -> None:
    yard, _ = demo()
    weight = weights()[pot_id]
    one = (f"{weight.wet_kg.low:.0f}", f"{weight.wet_kg.high:.0f}")
    expected = {one}
    assert told(moving_words(weight)) == expected
    details = advice_for(outlook(yard), pot_id=pot_id)
    assert told(" ".join(each.message for each in details if each.topic == "weight")) == expected
    (card,) = cards_for(outlook(yard), pot_ids=(pot_id,))
    assert told(" ".join(each.text for each in card.cautions)) == expected
    shopping = shopping_list(outlook(yard))
    made = shopping_object(shopping, None, list(weights().values()))
    (listed,) = [each for each in made["weights"] if each["pot"]["id"] == pot_id]
    assert [f"{kg:.0f}" for kg in listed["wet_kg"]] == [
        f"{round(kg, 1):.0f}" for kg in (weight.wet_kg.low, weight.wet_kg.high)
    ]
    for fill in made["fills"]:
        if fill["pot"]["id"] == pot_id:
            assert (fill["wet_kg"], fill["dry_kg"]) == (listed["wet_kg"], listed["dry_kg"])


def test_load_of_the_yard_counts_every_pot() -> None:
    """Not only pots that are filled afresh: a balcony carries the others too."""
    yard, _ = demo()
    all_weights = list(weights().values())
    total = sum(weight.wet_kg.high for weight in all_weights)
    worst = max(all_weights, key=lambda weight: weight.wet_kg.high / weight.footprint_m2)
    lines = " ".join(shopping_lines(_bought(yard), None, all_weights))
    lines = re.sub(r"\s+", " ", lines)
    assert f"Together up to {total:.0f} kg when watered; {worst.pot_name} presses hardest" in lines
    assert f"{worst.wet_kg.high / worst.footprint_m2:.0f} kg on a square metre" in lines
    for advice in load_advice(all_weights):
        assert advice.message in lines


def _bought(yard):
    layer = yard.pots[0].layers[0]
    planned = change_layer(yard, layer.id, state="planned")
    return shopping_list(outlook(planned))


def test_a_sink_that_no_two_people_lift_says_it_stays() -> None:
    """Walls of stone alone weigh more than the guide figure for two (33 kg, from memory)."""
    (sink,) = [each for each in weights().values() if each.pot_name == "Stone sink"]
    assert sink.empty_kg.low > 33
    assert handling_of(sink) == "stays"
    words = moving_words(sink)
    assert "can't be carried" in words and "with two people" not in words
    (barrel,) = [each for each in weights().values() if each.pot_name.startswith("Half barrel")]
    assert handling_of(barrel) == "fill-in-place"
    (pan,) = [each for each in weights().values() if each.pot_name == "Snowdrop pan"]
    assert handling_of(pan) == "two"


def test_bulbs_that_are_lifted_weigh_nothing() -> None:
    yard, cultivar_of = demo()
    layer = yard.pots[0].layers[0]
    lifted = change_layer(yard, layer.id, state="lifted")
    gone = yard.model_copy(
        update={
            "pots": (
                yard.pots[0].model_copy(update={"layers": yard.pots[0].layers[1:]}),
                *yard.pots[1:],
            )
        }
    )
    weight = pot_weight(lifted.pots[0], yard=lifted, cultivar_of=cultivar_of)
    without = pot_weight(gone.pots[0], yard=gone, cultivar_of=cultivar_of)
    assert weight.wet_kg == without.wet_kg
