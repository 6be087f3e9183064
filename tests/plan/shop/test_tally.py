"""What is kept up while a list changes is what a new list says, change after change."""

from __future__ import annotations

import random

import pytest
from asking import outlook
from shopping_yards import layer, pot, yard

from bloomline.model import edits
from bloomline.model.store import InStock, Price, Supplies
from bloomline.plan.shop.buying import amounts_to_buy
from bloomline.plan.shop.tally import Tally, with_layers

KINDS = ("tulipa-shirley", "narcissus-hawera", "crocus-tommasinianus-ruby-giant")


def mixed_yard(seed):
    """Pots of one to four layers, some in benches, some planted or dressed, stock and prices."""
    draw = random.Random(seed)
    pots, number = [], 0
    for at in range(8):
        layers = []
        for cover_cm in (20.0, 14.0, 9.0, 5.0)[: draw.randrange(1, 5)]:
            number += 1
            state = draw.choice(("planned", "planned", "planned", "planted", "lifted"))
            layers.append(
                layer(number, draw.choice(KINDS), draw.randrange(8, 40), cover_cm, state=state)
            )
        dressed = {"top_dressing": "grit", "top_dressing_cm": 1.5} if at % 3 == 0 else {}
        pots.append(pot(at, *layers, copies=draw.choice((1, 1, 7)), **dressed))
    return yard(
        *pots,
        cupboard=(InStock(cultivar_id=KINDS[0], count=draw.randrange(60)),),
        prices=(
            Price(cultivar_id=KINDS[1], pack=10, price=3.5),
            Price(cultivar_id=KINDS[1], pack=25, price=7.0),
        ),
        supplies=Supplies(bag_l=draw.choice((None, 40.0))),
        currency=draw.choice(("GBP", "EUR")),
    )


@pytest.mark.parametrize("seed", range(6))
def test_the_tally_says_what_a_new_list_says(seed):
    draw = random.Random(seed)
    here = mixed_yard(seed)
    shopping = amounts_to_buy(outlook(here))
    tally = Tally(outlook(here), shopping)
    assert tally.total() == shopping.total
    planned = [each for _, each in here.layers() if each.state == "planned"]
    draw.shuffle(planned)
    while planned:
        some, planned = planned[:2], planned[2:]
        change = draw.choice(("kind", "count", "out"))
        for each in some:
            new = {"cultivar_id": draw.choice(KINDS)} if change == "kind" else {"count": 3}
            tally.change({each.id: None if change == "out" else new})
            if change == "out":
                here = edits.remove_layer(here, each.id)
            else:
                changed = with_layers(here, {each.id: new})
                here = edits.change_layers(here, {each.id: new})
                assert changed == here
        shopping = amounts_to_buy(outlook(here))
        assert tally.total() == shopping.total
        assert tally.bulbs == sum(line.needed for line in shopping.bulbs)


def test_layers_that_are_not_named_stay_the_same_objects():
    here = mixed_yard(1)
    first = here.pots[0].layers[0]
    changed = with_layers(here, {first.id: {"count": 5}})
    assert changed.pots[0].layers[0].count == 5
    assert all(new is old for new, old in zip(changed.pots[1:], here.pots[1:], strict=True))
