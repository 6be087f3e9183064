"""The budget answer against all sets of changes, reckoned with real lists and real forecasts."""

from __future__ import annotations

import random
from decimal import Decimal
from itertools import product

import pytest
from asking import catalogue, outlook
from shopping_yards import layer, pot, yard

from bloomline.model import edits, store_edits
from bloomline.model.money import exact
from bloomline.model.store import Price
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.season.yard import season_report
from bloomline.plan.shop import fillings
from bloomline.plan.shop.budget import StoppedError, plan_budget
from bloomline.plan.shop.buying import shopping_list
from bloomline.plan.shop.choices import (
    OTHER_KIND_SHARE,
    least_count,
    least_level,
    levels_of,
    lines_of,
    price_of,
    shared_out,
    worth_of,
)
from bloomline.plan.shop.fillings import FillingReckoner

KINDS = [
    "tulipa-queen-of-night",
    "tulipa-spring-green",
    "narcissus-tete-a-tete",
    "narcissus-geranium",
    "crocus-chrysanthus-cream-beauty",
    "muscari-armeniacum",
]


def drawn_yard(seed):
    """A yard of three or four layers in two pots, some with prices and bulbs at hand."""
    rng = random.Random(seed)
    number = 0
    pots = []
    for i in range(2):
        layers = []
        for cover_cm in (16.0, 9.0)[: rng.randint(1, 2)]:
            number += 1
            layers.append(layer(number, rng.choice(KINDS), rng.randint(4, 34), cover_cm))
        size = rng.choice([24, 34, 44])
        dressing = {"top_dressing": "grit", "top_dressing_cm": 1.5} if rng.random() < 0.5 else {}
        measures = {"top_width_cm": size, "bottom_width_cm": size - 6}
        pots.append(pot(i, *layers, **measures, inside_height_cm=30, **dressing))
    here = yard(*pots)
    for kind in rng.sample(KINDS, 2):
        here = store_edits.set_stock(here, kind, rng.randint(1, 12))
    here = store_edits.set_prices(
        here,
        [
            Price(cultivar_id=KINDS[0], pack=size, price=price)
            for size, price in ((7, 3.37), (25, 9.0))
        ],
    )
    total = shopping_list(outlook(here)).total
    return edits.change_money(here, budget=float(round(total * Decimal(rng.random()), 2)))


def filled(here, filling, reckoner, garden):
    """The yard after a way of filling, by the edits that the budget's answer makes."""
    pots = tuple(each.pot_id for each in shopping_list(outlook(here)).fills)
    if "other bags" in filling.kinds:
        here = fillings.other_bags(here)
    bare = tuple(name for name in pots if reckoner.rooms[name].dressing is not None)
    if not filling.dressed and bare:
        here = fillings.no_dressing(here, pot_ids=bare)
    for name in pots:
        if name in filling.changed:
            mix = filling.recipes[name].id
            here = fillings.other_mix(here, pot_ids=(name,), recipe_id=mix)
    kept = tuple(reckoner.kept_l(filling, pots).items())
    return fillings.kept_compost(here, litres=kept), pots


def key_of(line_options, filling, *, here, reckoner, garden):
    """What a set is judged by, and None where it is not within the budget."""
    start, show = here, 0.0
    for line, (kept, number, counts) in line_options:
        given = dict(
            zip([each.id for _, each in line.places if each.id in kept], counts, strict=True)
        )
        for _, each in line.places:
            if each.id not in kept:
                here = edits.remove_layer(here, each.id)
                continue
            kind = line.kinds[number].id
            here = edits.change_layer(here, each.id, count=given[each.id], cultivar_id=kind)
            worth = OTHER_KIND_SHARE if number else 1.0
            show += worth * (given[each.id] / each.count) ** 0.5
    if not list(here.layers()):
        return None
    here, pots = filled(here, filling, reckoner, garden)
    if shopping_list(outlook(here)).total > exact(start.money.budget):
        return None
    show -= filling.penalty(pots, reckoner.rooms)
    n_kept, n_all = len(list(here.layers())), len(list(start.layers()))
    return here, (n_kept == n_all, not filling.keeps, n_kept, show)


def weeks(here, memory):
    scene = tuple((each.id, each.cultivar_id) for _, each in here.layers())
    if scene not in memory:
        report = season_report(outlook(here))
        memory[scene] = report.weeks_of_colour.expected
    return memory[scene]


def rounded_weeks(here, most, memory):
    """Weeks to the tenth; more than the yard had are no smaller loss."""
    return round(min(weeks(here, memory), most), 1)


def all_keys(here):
    garden = garden_of(here.place)
    lines = lines_of(outlook(here))
    reckoner = FillingReckoner(outlook(here))
    options = []
    for line in lines:
        mine = [(frozenset(), 0, ())]
        for kept in line.kept_sets():
            for number in range(len(line.kinds)) if kept else ():
                levels = levels_of(line, kept, line.kinds[number], here)
                mine += [(kept, number, level.counts) for level in levels]
        options.append(mine)
    memory = {}
    most = weeks(here, memory)
    for chosen in product(*options):
        for filling in reckoner.fillings():
            pairs = list(zip(lines, chosen, strict=True))
            found = key_of(pairs, filling, here=here, reckoner=reckoner, garden=garden)
            if found is not None:
                changed, (whole, fresh, n_kept, show) = found
                yield whole, fresh, rounded_weeks(changed, most, memory), n_kept, round(show, 6)


def judged(here, plan):
    """The same key of the plan's own yard."""
    before = {each.id: each for _, each in here.layers()}
    after = [each for _, each in plan.yard.layers()]
    kinds = [saving.kind for saving in plan.savings]
    show = sum(
        (each.count / before[each.id].count) ** 0.5
        * (1.0 if each.cultivar_id == before[each.id].cultivar_id else OTHER_KIND_SHARE)
        for each in after
    )
    for one in plan.yard.pots:
        if not any(each.state == "planned" for each in one.layers):
            continue
        old = here.pot(one.id)
        show -= 0.25 * (one.compost_recipe != old.compost_recipe)
        show -= 0.1 * (one.top_dressing_cm != old.top_dressing_cm)
    return (
        len(after) == len(before),
        "kept compost" not in kinds,
        rounded_weeks(plan.yard, weeks(here, {}), {}),
        len(after),
        round(show, 6),
    )


@pytest.mark.parametrize("seed", [2, 3, 6, 7, 8, 11, 13])  # every kind of change among them
def test_no_set_of_changes_is_better(seed):
    here = drawn_yard(seed)
    plan = plan_budget(outlook(here))
    keys = list(all_keys(here))
    assert plan.enough == bool(keys)
    if keys:
        assert plan.exact
        assert judged(here, plan) == max(keys)
        assert plan.weeks_after == pytest.approx(weeks(plan.yard, {}))
        assert plan.weeks_at_best == plan.weeks_after
    assert plan.applied(here) == plan.yard
    whole = shopping_list(outlook(here)).total
    assert whole - sum(saving.saved for saving in plan.savings) == plan.shopping.total


def test_layers_are_thinned_alike_and_never_below_their_least():
    for wanted in ([30], [30, 4, 2], [7, 7, 7], [1, 1]):
        least = [least_count(count) for count in wanted]
        for total in range(sum(least), sum(wanted) + 1):
            counts = shared_out(wanted, total)
            assert sum(counts) == total
            for low, count, most in zip(least, counts, wanted, strict=True):
                assert low <= count <= most
    assert [least_count(count) for count in (1, 3, 8, 30)] == [1, 3, 3, 8]


def many(count, share):
    rng = random.Random(5)
    kinds = [each.id for each in catalogue() if each.flowers_in != "autumn"]
    pots = [
        pot(
            i,
            *(
                layer(3 * i + k, rng.choice(kinds), rng.randint(8, 40), cover_cm)
                for k, cover_cm in enumerate((20.0, 12.0, 6.0))
            ),
        )
        for i in range(count)
    ]
    here = yard(*pots)
    total = shopping_list(outlook(here)).total
    return edits.change_money(here, budget=float(round(total * Decimal(share), 2)))


@pytest.mark.parametrize("share", [0.8, 0.3])
def test_a_yard_of_many_layers_has_an_answer_and_a_bound(share):
    here = many(20, share)
    plan = plan_budget(outlook(here))
    assert plan.enough
    assert not plan.exact
    assert plan.weeks_after <= plan.weeks_at_best + 1e-9
    assert plan.weeks_after == pytest.approx(weeks(plan.yard, {}), abs=1e-6)
    if share == 0.8:
        # Nothing is left out and no week lost while fewer bulbs and a plainer mix are enough.
        assert {saving.kind for saving in plan.savings}.isdisjoint({"leave out"})
        assert plan.weeks_after >= plan.weeks_before - 0.05


def test_a_search_tells_how_far_it_is_and_can_be_stopped():
    told = []

    def go(share):
        told.append(share)
        return len(told) < 2

    with pytest.raises(StoppedError):
        plan_budget(outlook(drawn_yard(0)), go=go)
    assert len(told) == 2
    assert all(0.0 <= share <= 1.0 for share in told)


@pytest.mark.parametrize("copies", [1, 12])
@pytest.mark.parametrize("seed", range(6))
def test_the_cheapest_numbers_are_the_last_of_all(seed, copies):
    here = edits.change_pot(drawn_yard(seed), "pot-0", copies=copies)
    tried = 0
    for line in lines_of(outlook(here)):
        for kept in line.kept_sets():
            for kind in line.kinds:
                places = [(one, each) for one, each in line.places if each.id in kept]
                price = price_of(kind, here)
                found = least_level(places, price, worth=worth_of(line, kind))
                *_, last = levels_of(line, kept, kind, here)
                assert found == last
                if price is not None:
                    bulbs = sum(least_count(each.count) * one.copies for one, each in places)
                    assert found.cost == price(bulbs)
                tried += 1
    assert tried > 3
