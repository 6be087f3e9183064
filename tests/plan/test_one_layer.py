"""One layer has one answer: every use case gives the same count, depth, days, cost and weight.

A plain kind, one from its packet, a mixture, and bulbs of a bench of equal pots; the season is
what the others are held against, and sums are counted here anew from the yard.
"""

from __future__ import annotations

from collections import Counter
from datetime import date
from functools import lru_cache
from pathlib import Path

import asking
import pytest

from bloomline.files.yardfile import load_yard
from bloomline.model.kind_edits import put_kind
from bloomline.plan.carry.telling import Drop, tell
from bloomline.plan.kinds.making import kind_of
from bloomline.plan.kinds.mixtures import mixture_from
from bloomline.plan.kinds.packet import PacketEntry
from bloomline.plan.kinds.prices import with_pack
from bloomline.plan.paper.card import cards_for
from bloomline.plan.paper.labels import labels_for
from bloomline.plan.pot.fitting import fit_pot
from bloomline.plan.season.weights import weights
from bloomline.plan.season.yard import season_report
from bloomline.plan.shop.buying import shopping_list
from bloomline.plan.shop.part_price import part_price
from bloomline.plan.work.year import work_plan
from bloomline.words import day_words, full_day_words, short_day_words

DEMO = Path(__file__).parents[2] / "demo" / "hollyhock-lane.bloomline"
TODAY = date(2026, 9, 1)
COPIES = 3
LAYERS = {"plain": "layer-2", "packet": "layer-4", "bench": "layer-7", "mixture": "layer-9"}


@lru_cache(maxsize=1)
def outlook():
    """Four pots of the demo, nothing planted yet: a plain one, and one of each sort."""
    yard = load_yard(DEMO).yard
    known = asking.catalogue()
    packet = kind_of(
        PacketEntry("Tulipa", "Triumph", "Evening Tale", "April–May", country="GB"),
        forecaster=asking.forecaster(),
    )
    mixture = mixture_from(
        "Sunrise", [(known.get("tulipa-apricot-beauty"), 4.0), (known.get("tulipa-shirley"), 6.0)]
    )
    kinds = {"layer-4": packet.id, "layer-9": mixture.id}
    pots = [
        pot.model_copy(
            update={
                "copies": COPIES if pot.id == "pot-3" else 1,
                "layers": tuple(
                    layer.model_copy(
                        update={
                            "state": "planned",
                            "cultivar_id": kinds.get(layer.id, layer.cultivar_id),
                        }
                    )
                    for layer in pot.layers
                ),
            }
        )
        for pot in yard.pots[:4]
    ]
    yard = put_kind(put_kind(yard, packet), mixture)
    yard = yard.model_copy(update={"pots": tuple(pots), "records": ()})
    for kind_id in kinds.values():
        yard = with_pack(yard, kind_id, pack=10, price=5.0)
    return asking.outlook(yard, today=TODAY)


@pytest.fixture(params=LAYERS.values(), ids=LAYERS)
def layer_id(request):
    return request.param


def _found(parts, layer_id):
    (one,) = (each for each in parts if each.layer_id == layer_id)
    return one


def _card_of(pot_id):
    (card,) = cards_for(outlook(), pot_ids=(pot_id,))
    return card


def test_count_and_depth(layer_id):
    here = outlook()
    pot, layer = here.yard.layer(layer_id)
    name = here.cultivar_of(layer.cultivar_id).name
    fit = _found(fit_pot(pot, cultivar_of=here.cultivar_of).layers, layer_id)
    label = _found(labels_for(here), layer_id)
    (on_card,) = (each for each in _card_of(pot.id).layers if each.name == name)
    counts = {_found(season_report(here).layers, layer_id).count, fit.count, label.count}
    assert counts | {on_card.count} == {layer.count}
    assert (label.copies, pot.copies) == (pot.copies, COPIES if pot.id == "pot-3" else 1)
    # From the rim: what stays free, what dresses the top, and the compost over the tips.
    tip_cm = pot.rim_gap_cm + pot.top_dressing_cm + layer.cover_cm
    assert (fit.tip_from_rim_cm, on_card.tip_cm) == (pytest.approx(tip_cm),) * 2
    assert on_card.base_cm == fit.base_from_rim_cm
    depth = f"{layer.cover_cm:g} cm of compost over the tips"
    assert label.depth == depth
    assert depth in " ".join(one.text for one in on_card.work)
    (task,) = (
        each
        for each in work_plan(here).tasks
        if each.kind == "plant" and layer_id in each.layer_ids
    )
    each_pot = " each" if pot.copies > 1 else ""
    assert f"{layer.count} × {name}{each_pot}" in task.title
    assert depth in task.reason
    told = {one.topic: one.words for one in tell(_drop(pot.id, layer_id))}
    assert f"{layer.cover_cm:g} cm" in told["depth"]


def _drop(pot_id, layer_id):
    """The layer as if it were just let go where it lies."""
    here = outlook()
    return Drop(here, here, pot_id, layer_id)


def test_days(layer_id):
    here = outlook()
    pot, layer = here.yard.layer(layer_id)
    forecast = _found(season_report(here).layers, layer_id)
    assert forecast.start is not None and forecast.end is not None
    first, over = forecast.start.p50, forecast.end.p50
    label = _found(labels_for(here), layer_id)
    assert short_day_words(first) in label.window and str(over.year) in label.window
    assert short_day_words(over) in label.window
    (on_card,) = (
        each
        for each in _card_of(pot.id).layers
        if each.name == here.cultivar_of(layer.cultivar_id).name
    )
    assert f"Opens about {full_day_words(first)}" in on_card.expected
    assert f"over about {day_words(over)}." in on_card.expected  # of the same year
    in_pots = [each for of_pot in season_report(here).pots for each in of_pot.layers]
    assert _found(in_pots, layer_id) == forecast
    told = {one.topic: one.words for one in tell(_drop(pot.id, layer_id))}
    assert short_day_words(first) in told["season"] or full_day_words(first) in told["season"]


def test_cost(layer_id):
    here = outlook()
    pot, layer = here.yard.layer(layer_id)
    shopping = shopping_list(here)
    (line,) = (each for each in shopping.bulbs if each.cultivar_id == layer.cultivar_id)
    needed = Counter()
    for each in here.yard.pots:
        for one in each.layers:
            needed[one.cultivar_id] += one.count * each.copies
    assert line.needed == needed[layer.cultivar_id] == layer.count * pot.copies
    assert sum(size * n for size, n in line.packs) == line.bought == line.needed + line.spare
    # The only layer of its kind: without it the list is shorter by its packs and what fills its
    # room with compost instead.
    price = part_price(here, layer_id)
    without = here.yard.model_copy(
        update={
            "pots": tuple(
                each.model_copy(
                    update={"layers": tuple(one for one in each.layers if one.id != layer_id)}
                )
                for each in here.yard.pots
            )
        }
    )
    less = shopping_list(here.what_if(yard=without))
    assert price.cost == shopping.total - less.total
    assert line.cost is not None and line.cost == shopping.bulbs_total - less.bulbs_total
    told = {one.topic: one.words for one in tell(_drop(pot.id, layer_id))}
    assert "Shopping list" in told["price"] or "shopping list" in told["price"]


def test_weight(layer_id):
    here = outlook()
    pot, _ = here.yard.layer(layer_id)
    heavy = weights(here)[pot.id]
    assert heavy.compost in shopping_list(here).fills
    words = f"{heavy.wet_kg.low:.0f} kg to {heavy.wet_kg.high:.0f} kg"
    (card,) = (one.text for one in _card_of(pot.id).cautions if one.topic == "Weight")
    assert words in card
    (task,) = (
        each
        for each in work_plan(here).tasks
        if each.kind == "plant" and layer_id in each.layer_ids
    )
    assert words in task.reason
    # What it is set on before it is filled: wheels where it is moved later, else feet.
    first = _card_of(pot.id).steps[0]
    assert ("wheeled base" in first) == ("wheeled base" in task.reason)
    assert ("on feet" in first) == ("on feet" in task.reason)


def test_harm_and_frost(layer_id):
    here = outlook()
    pot, layer = here.yard.layer(layer_id)
    cultivar = here.cultivar_of(layer.cultivar_id)
    forecast = _found(season_report(here).layers, layer_id)
    told = {one.topic: one for one in tell(_drop(pot.id, layer_id))}
    (harm,) = (each for each in forecast.advice if each.topic == "poison")
    assert told["harm"].severity == harm.severity
    grave = [one.text for one in _card_of(pot.id).cautions if one.topic == "Poison"]
    assert (harm.severity.name == "WARNING") == any(
        "fatal" in one and cultivar.genus in one for one in grave
    )
    frost = [each for each in forecast.advice if each.topic == "frost"]
    assert bool(frost) == (told["frost"].severity is not None)
    on_card = [one.text for one in _card_of(pot.id).cautions if one.topic == "Frost"]
    assert bool(frost) == any(cultivar.name in one for one in on_card)
