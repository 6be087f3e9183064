"""The invented yard's rota, read as somebody would who has grown bulbs in pots for years."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import asking
import pytest

from bloomline.files.yardfile import load_yard
from bloomline.plan.stage.rota import stage_plan
from bloomline.plan.stage.words import gap_words
from bloomline.plan.work.year import work_plan

IRISES = "pot-9"  # a light pan that leaves its frame in flower, and is over soon after
TODAY = date(2027, 1, 10)


@pytest.fixture(scope="module")
def outlook():
    (demo,) = (Path(__file__).parents[3] / "demo").glob("hollyhock-*.bloomline")
    return asking.outlook(load_yard(demo).yard, today=TODAY)


@pytest.fixture(scope="module")
def plan(outlook):
    return stage_plan(outlook)


def test_it_is_the_best_there_is_and_no_wish_is_left(plan):
    assert plan.is_proven
    assert plan.conflicts == ()


def test_what_stands_heavy_is_left_alone(plan):
    moved = {move.pot_id for move in plan.moves}
    # Half barrel 99 kg, trough 66 kg, planter 92 kg, stone sink 143 kg.
    assert not moved & {"pot-1", "pot-4", "pot-6", "pot-7"}
    assert plan.lane("Kitchen window").stays[0].pot_id == "pot-4"


def test_nothing_is_carried_to_and_fro(plan):
    turns = Counter(move.pot_id for move in plan.moves)
    assert max(turns.values()) <= 2  # out to its place, and away when it is over
    for lane in plan.lanes:
        if lane.place.kind == "display":
            for stay in lane.stays:
                assert (stay.last - stay.first).days >= (27 if stay.pot_id != IRISES else 13)
                assert stay.flowers


def test_the_step_is_in_flower_from_midwinter_to_tulips(plan):
    step = plan.lane("Front step")
    seen = [stay.pot_name for stay in step.stays]
    assert seen == [
        "Snowdrop pan",
        "Tall terracotta by the door",
        "Pan of early irises",
        "Blue glazed bowl",
        "Zinc tub",
    ]
    easter = {stay.pot_name for stay in step.on(date(2027, 3, 28))}
    assert easter == {"Tall terracotta by the door", "Blue glazed bowl"}  # hyacinths, daffodils
    assert 10 < step.weeks_of_colour < 18


def test_a_pot_comes_as_its_first_buds_do_and_goes_when_it_is_over(outlook, plan):
    from bloomline.plan.season.yard import season_report

    layers = {pot.pot_id: pot.layers for pot in season_report(outlook).pots}
    for lane in plan.lanes:
        for stay in lane.stays:
            if lane.place.kind != "display" or stay.first == plan.weeks[0]:
                continue
            mine = layers[stay.pot_id]
            first = min(layer.start.p10 for layer in mine)
            last = max(layer.end.p50 for layer in mine)
            if stay.pot_id == IRISES:
                first = date(2027, 2, 6)  # the day on which they come out of the frame
            assert timedelta(days=-10) <= first - stay.first <= timedelta(days=14)
            assert timedelta(0) <= stay.last - last <= timedelta(days=24)


def test_the_lilies_stand_out_of_the_cats_way_in_july(plan):
    assert plan.place_of("pot-10", date(2027, 7, 10)) == "Kitchen window"


def test_what_winters_under_cover_waits_for_its_day(plan):
    for move in plan.moves:
        if move.pot_id == "pot-5":
            assert move.day >= date(2027, 2, 20)


def test_work_says_the_same_and_nothing_twice(outlook, plan):
    work = work_plan(outlook)
    tasks = [t for t in work.tasks if t.kind in ("forward", "away", "cover")]
    told = {(pot, task.best) for task in tasks for pot in task.pot_ids}
    moves = {(move.pot_id, move.day) for move in plan.moves}
    assert told <= moves
    assert {m for m in plan.moves if (m.pot_id, m.day) not in told} <= {
        m for m in plan.moves if m.target != "Front step" and m.target != "Kitchen window"
    }
    for task in tasks:
        if "pot-3" in task.pot_ids:
            assert "41 kg to 49 kg" in task.reason
    (irises,) = [t for t in tasks if t.kind == "forward" and IRISES in t.pot_ids]
    assert "comes out of the cold frame" in irises.reason
    assert not [t for t in work.tasks if t.kind == "out" and IRISES in t.pot_ids]
    assert [t for t in work.tasks if t.kind == "out" and "pot-5" in t.pot_ids]
    (lily,) = [t for t in tasks if t.kind == "forward" and "pot-10" in t.pot_ids]
    assert "cats" in lily.reason
    assert lily.title == "Bring Lily pot to Kitchen window"


def test_how_good_it_is_is_told_honestly(plan):
    assert gap_words(plan).startswith("No other rota shows more")
    assert "could show 5 % more at most" in gap_words(replace(plan, gap_share=0.05))
