from __future__ import annotations

from decimal import Decimal

import pytest
from asking import catalogue, outlook
from shopping_yards import layer, pot, yard

from bloomline.model import store_edits
from bloomline.model.store import Price
from bloomline.plan.season.yard import season_report
from bloomline.plan.shop.budget import plan_budget
from bloomline.plan.shop.buying import shopping_list


def plan(here):
    return plan_budget(outlook(here))


def total(here):
    return shopping_list(outlook(here)).total


def weeks(here):
    report = season_report(outlook(here))
    return report.weeks_of_colour.expected


def full_yard(**fields):
    return yard(
        pot(
            1,
            layer(1, "tulipa-queen-of-night", 32, 18.0),
            layer(2, "narcissus-hawera", 26, 10.0),
            layer(3, "crocus-tommasinianus-ruby-giant", 40, 5.0),
        ),
        pot(2, layer(4, "tulipa-shirley", 21, 15.0)),
        **fields,
    )


def test_under_the_budget_nothing_is_changed():
    here = full_yard(budget=500.0)
    found = plan(here)
    assert found.savings == ()
    assert found.enough
    assert found.yard is here


@pytest.mark.parametrize("share", [0.95, 0.7, 0.4])
def test_savings_are_what_a_new_list_and_a_new_forecast_say(share):
    whole = total(full_yard())
    budget = float(round(whole * Decimal(share), 2))
    here = full_yard(budget=budget)
    found = plan(here)
    assert found.enough
    assert total(found.yard) == found.shopping.total <= Decimal(repr(budget))
    step, money = here, whole
    for saving in found.savings:
        step = saving.apply(step)
        assert money - total(step) == saving.saved > 0
        money = total(step)
        assert weeks(step) == pytest.approx(saving.weeks_after)
    assert step == found.yard
    # Nothing is given up that need not be: without any one of the changes it is over.
    for left_out in found.savings:
        rest = here
        for saving in found.savings:
            if saving is not left_out and {each.id for _, each in rest.layers()} >= set(
                saving.layer_ids
            ):
                rest = saving.apply(rest)
        assert total(rest) > Decimal(repr(budget))


def test_the_gentlest_change_comes_first():
    # 32 'Queen of Night' come in four tens for two bulbs: two fewer save a pack and no colour.
    whole = total(full_yard())
    here = full_yard(budget=float(whole - Decimal(1)))
    (saving,) = plan(here).savings
    assert saving.kind == "fewer packs"
    assert saving.bulbs_fewer <= 8
    assert saving.weeks_after == saving.weeks_before


def test_a_cheaper_cultivar_of_the_same_colour_is_found():
    cultivars = list(catalogue())
    old = catalogue().get("tulipa-queen-of-night")
    other = next(
        each
        for each in cultivars
        if each.common_type == old.common_type
        and each.colour == old.colour
        and each.id != old.id
        and abs(each.ref_start.day_of_year - old.ref_start.day_of_year) <= 10
        and each.bulb_diameter_cm <= old.bulb_diameter_cm
    )
    here = yard(
        pot(1, layer(1, old.id, 20, 15.0), compost_recipe="multipurpose"),
        pot(2, layer(2, "narcissus-hawera", 20, 10.0, state="planted")),
        budget=29.0,
    )
    here = store_edits.set_prices(
        here,
        [
            Price(cultivar_id=old.id, pack=10, price=14.0),
            Price(cultivar_id=other.id, pack=10, price=4.0),
        ],
    )
    found = plan(here)
    assert found.enough
    (saving,) = found.savings
    assert saving.kind == "cheaper kind"
    assert other.name in saving.words
    assert saving.bulbs_fewer == 0
    assert saving.saved == 20


def test_where_nothing_is_enough_it_says_so():
    here = full_yard(budget=0.0)
    found = plan(here)
    assert not found.enough
    assert found.shopping.over > 0
    assert list(found.yard.layers())
    assert found.savings
