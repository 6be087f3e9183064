"""A bench of n equal pots is what n pots written out are: to buy, to fill, to see and to do."""

from __future__ import annotations

from collections import Counter
from dataclasses import asdict
from datetime import date
from functools import lru_cache
from pathlib import Path

import asking
import numpy as np
import pytest
from benches import with_copies, written_out
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.files.yardfile import load_yard
from bloomline.model.companion import CompanionPlanting
from bloomline.model.cultivar import MonthDay
from bloomline.model.store import InStock
from bloomline.model.wish import SeasonWish
from bloomline.plan.fill.targets import targets
from bloomline.plan.pot.lifting import floor_advice
from bloomline.plan.season.best_day import best_day
from bloomline.plan.season.weights import weights
from bloomline.plan.season.yard import season_report
from bloomline.plan.shop.budget import plan_budget
from bloomline.plan.shop.buying import shopping_list
from bloomline.plan.shop.cupboard import cupboard_of
from bloomline.plan.work.year import work_plan

DEMO = Path(__file__).parents[2] / "demo" / "hollyhock-lane.bloomline"
TODAY = date(2026, 9, 1)


@lru_cache(maxsize=1)
def demo():
    """The demo without places, where a bench stands together; planned anew, with some stock."""
    yard = load_yard(DEMO).yard
    pots = tuple(
        pot.model_copy(
            update={
                "display_place": None,
                "to_buy": at % 2 == 0,
                "companions": (
                    CompanionPlanting(
                        id=f"companion-{at + 100}",
                        companion_id="winter-pansy",
                        count=3 + at,
                        planted=date(2026, 10, 20),
                    ),
                ),
                "layers": tuple(
                    layer.model_copy(update={"state": "planned"}) for layer in pot.layers
                ),
            }
        )
        for at, pot in enumerate(yard.pots)
    )
    stock = tuple(
        InStock(cultivar_id=name, count=30)
        for name in dict.fromkeys(layer.cultivar_id for _, layer in yard.layers())
    )[:3]
    wish = SeasonWish(id="wish-1", first=MonthDay(4, 1), last=MonthDay(4, 30), pots_at_least=4)
    return yard.model_copy(
        update={
            "pots": pots,
            "display_places": (),
            "fixed_stands": (),
            "records": (),
            "done": (),
            "seen_tasks": (),
            "cupboard": stock,
            "wishes": (wish,),
            "supplies": yard.supplies.model_copy(
                update={
                    "pot_prices": {pot.id: 12.5 for pot in pots},
                    "plant_prices": {"winter-pansy": 1.35},
                }
            ),
        }
    )


def pair(*copies):
    bench = with_copies(demo(), *copies)
    return (
        asking.outlook(bench, today=TODAY),
        asking.outlook(written_out(bench), today=TODAY),
    )


def figures(line):
    return {k: v for k, v in asdict(line).items() if k not in {"pot_ids", "need_l", "left_l"}}


@pytest.mark.parametrize("copies", [(2,), (3,), (7,), (1, 2, 5)])
def test_the_same_is_to_be_bought_for_the_same_money(copies):
    bench, rows = pair(*copies)
    mine, theirs = shopping_list(bench), shopping_list(rows)
    for name in ("bulbs", "bags", "plants", "pots"):
        pairs = list(zip(getattr(mine, name), getattr(theirs, name), strict=True))
        assert pairs, name
        for one, other in pairs:
            assert figures(one) == figures(other)
    for one, other in zip(mine.bags, theirs.bags, strict=True):
        assert one.need_l == pytest.approx(other.need_l)
    for name in ("total", "bulbs_total", "bags_total", "plants_total", "pots_total", "unpriced"):
        assert getattr(mine, name) == getattr(theirs, name)
    assert mine.crocks_l == pytest.approx(theirs.crocks_l)
    assert cupboard_of(bench.yard, garden=bench.garden) == cupboard_of(
        rows.yard, garden=rows.garden
    )


@given(st.lists(st.integers(1, 6), min_size=len(demo().pots), max_size=len(demo().pots)))
@settings(max_examples=12)
def test_any_benches_cost_what_their_pots_do(copies):
    bench, rows = pair(*copies)
    mine, theirs = shopping_list(bench), shopping_list(rows)
    assert mine.total == theirs.total
    assert [(x.cultivar_id, x.needed, x.bought) for x in mine.bulbs] == [
        (x.cultivar_id, x.needed, x.bought) for x in theirs.bulbs
    ]


@pytest.mark.parametrize("copies", [(2,), (3,), (7,), (1, 2, 5)])
def test_the_season_is_the_same_day_by_day(copies):
    bench, rows = pair(*copies)
    mine, theirs = season_report(bench), season_report(rows)
    np.testing.assert_allclose(mine.coverage, theirs.coverage, atol=1e-12)
    np.testing.assert_allclose(mine.expected_layers, theirs.expected_layers, atol=1e-9)
    for name in ("weeks_of_colour", "weeks_of_scent", "bare_days", "crowded_days"):
        one, other = asdict(getattr(mine, name)), asdict(getattr(theirs, name))
        assert one == pytest.approx(other, abs=1e-6), name
    assert mine.bare == theirs.bare
    assert mine.usual_season == theirs.usual_season
    assert [(x.first, x.last) for x in mine.crowded] == [(x.first, x.last) for x in theirs.crowded]
    assert mine.pot_count == theirs.pot_count == len(rows.yard.pots)
    assert best_day(mine) == best_day(theirs)
    of_rows = {pot.pot_id: pot for pot in theirs.pots}
    for pot in mine.pots:
        assert asdict(pot.weeks_of_colour) == pytest.approx(
            asdict(of_rows[pot.pot_id].weeks_of_colour)
        )


def test_a_crowd_in_a_single_bench_names_who_crowds():
    crowd = demo().model_copy(update={"pots": demo().pots[:1]})
    report = season_report(asking.outlook(with_copies(crowd, 60), today=TODAY))
    assert report.crowded
    ids = {layer.layer_id for layer in report.layers}
    for stretch in report.crowded:
        assert stretch.layer_ids
        assert set(stretch.layer_ids) <= ids


@pytest.mark.parametrize("copies", [(2,), (3,), (7,), (1, 2, 5)])
def test_they_weigh_the_same_together_and_each_alone(copies):
    bench, rows = pair(*copies)
    mine, theirs = weights(bench), weights(rows)
    for name, weight in mine.items():
        assert weight.wet_kg == theirs[name].wet_kg
    total = sum(each.wet_kg.high * each.copies for each in mine.values())
    assert total == pytest.approx(sum(each.wet_kg.high for each in theirs.values()))
    (one,), (other,) = floor_advice(tuple(mine.values())), floor_advice(tuple(theirs.values()))
    assert one.message.split(";")[0] == other.message.split(";")[0]


@pytest.mark.parametrize("copies", [(2,), (3,), (7,), (1, 2, 5)])
def test_the_work_takes_as_long(copies):
    bench, rows = pair(*copies)
    mine, theirs = work_plan(bench), work_plan(rows)

    def minutes(plan):
        found = Counter()
        for task in plan.tasks:
            found[task.kind] += task.minutes * len(task.turns)
        return found

    one, other = minutes(mine), minutes(theirs)
    assert one.keys() == other.keys()
    turns = Counter()
    for task in theirs.tasks:
        turns[task.kind] += len(task.turns)
    # The bulbs of a bench go into the refrigerator together, those of rows one by one.
    for kind in one.keys() - {"prechill"}:
        # Each task is told in whole minutes.
        assert abs(one[kind] - other[kind]) <= turns[kind], kind
    for kind in ("order", "buy"):
        told = [
            [task.reason for task in plan.tasks if task.kind == kind] for plan in (mine, theirs)
        ]
        assert told[0] == told[1]


@pytest.mark.parametrize("copies", [(2,), (3,), (7,)])
def test_a_wish_counts_every_pot(copies):
    bench, rows = pair(*copies)
    assert [(x.chance, x.days) for x in targets(bench)] == [
        (x.chance, x.days) for x in targets(rows)
    ]


@pytest.mark.parametrize("n", [2, 3, 7])
def test_a_budget_is_kept_with_benches(n):
    bench, rows = pair(n)
    total = shopping_list(bench).total
    money = bench.yard.money.model_copy(update={"budget": float(total) * 0.8})
    look = bench.what_if(yard=bench.yard.model_copy(update={"money": money}))
    plan = plan_budget(look)
    assert plan.enough
    assert plan.shopping.total <= total * 4 / 5
    assert plan.savings
    # What is told of the yard after is what the list says of it, and of its pots written out.
    after = plan.applied(look.yard)
    again = shopping_list(look.what_if(yard=after))
    out = shopping_list(look.what_if(yard=written_out(after)))
    assert again.total == out.total == plan.shopping.total
    assert plan.bulbs_before == sum(line.needed for line in shopping_list(rows).bulbs)
    assert plan.bulbs_after == sum(line.needed for line in out.bulbs)
    assert sum(saving.saved for saving in plan.savings) == total - plan.shopping.total
