"""What fills a bench of equal pots is paid for in each of them."""

from __future__ import annotations

from decimal import Decimal

import asking
import pytest
from shopping_yards import pot, yard

from bloomline.plan.fill.gap import fill_gap
from bloomline.plan.fill.pot import suggest_pot
from bloomline.plan.fill.wishes import Wishes
from bloomline.plan.fill.yard import fill_yard
from bloomline.plan.shop.buying import shopping_list
from bloomline.plan.words.days import as_date


def look(*pots):
    return asking.outlook(yard(*pots), today=asking.TODAY)


def grown(outlook, answer):
    before = shopping_list(outlook).total
    return shopping_list(outlook.what_if(yard=answer.apply(outlook.yard))).total - before


@pytest.mark.parametrize("copies", [1, 3])
def test_a_pots_answers_keep_the_budget(copies):
    outlook = look(pot(1, copies=copies))
    found = suggest_pot(outlook, "pot-1", Wishes(budget=Decimal(60)))
    assert found.answers
    for answer in found.answers:
        assert grown(outlook, answer) == answer.cost <= 60
        assert answer.bulbs == copies * sum(each.layer.count for each in answer.layers)


def test_a_yards_answers_keep_the_budget_with_benches_beside_single_pots():
    outlook = look(pot(1, copies=4), pot(2), pot(3))
    found = fill_yard(outlook, Wishes(budget=Decimal(120)), seconds=2.0, most_answers=2)
    assert found.answers
    for answer in found.answers:
        assert grown(outlook, answer) == answer.cost <= 120


def test_a_gap_filled_in_a_bench_costs_all_its_pots():
    outlook = look(pot(1, copies=5))
    first = as_date(asking.FIRST_DAY).replace(year=2027, month=4, day=10)
    found = fill_gap(outlook, first, first.replace(month=5, day=1))
    assert found.fillers
    for each in found.fillers[:4]:
        assert each.cost is not None
        assert grown(outlook, each) == each.cost
