"""The moves of the rota are the tasks that carry pots about, and nothing says them twice."""

from __future__ import annotations

from datetime import date

import asking

from bloomline.model.edits import change_pot
from bloomline.model.stage_edits import add_place, fix_stand, rename_place
from bloomline.model.task_edits import tick_task
from bloomline.plan.stage.rota import stage_plan
from bloomline.plan.stage.winter import winter_yard
from bloomline.plan.work.year import work_plan

LIGHT = {
    "top_width_cm": 28.0,
    "bottom_width_cm": 22.0,
    "inside_height_cm": 24.0,
    "material": "plastic",
    "wall_cm": 0.4,
}


def yard_at(place, *kinds):
    made = asking.yard(*[[(kind, "2026-10-10")] for kind in kinds], place=place)
    for pot in made.pots:
        made = change_pot(made, pot.id, **LIGHT)
    return made


def kinds_of(yard, today=asking.TODAY):
    found = {}
    for task in work_plan(asking.outlook(yard, today=today)).tasks:
        found.setdefault(task.kind, []).append(task)
    return found


def test_the_frost_advice_gives_way_to_the_rota_that_carries_a_pot_under_cover():
    bare = add_place(yard_at("Boston", "muscari-armeniacum"), "Step")
    assert {"frost", "frost-over"} <= set(kinds_of(bare))
    sheltered = add_place(bare, "Garage", kind="shelter", site="garage")
    (offered,) = kinds_of(sheltered)["frost"]
    assert "There is room for it at Garage" in offered.reason
    offers = stage_plan(asking.outlook(sheltered, today=asking.TODAY)).offers
    covered = kinds_of(winter_yard(sheltered, offers))
    assert not {"frost", "frost-over"} & set(covered)
    (cover,) = covered["cover"]
    assert cover.title == "Carry Pot 0 under cover to Garage"
    first = kinds_of(bare)["frost"][0]
    assert cover.best <= first.latest


def test_a_tick_outlives_another_name_of_the_place():
    yard = add_place(yard_at("London", "tulipa-shirley", "muscari-armeniacum"), "Step", capacity=2)
    task = next(t for t in kinds_of(yard)["forward"] if "pot-0" in t.pot_ids)
    key = next(key for key in task.keys if ":pot-0:" in key)
    done = rename_place(tick_task(yard, key, date(2027, 4, 3)), "Step", "Door")
    (same,) = [t for t in kinds_of(done)["forward"] if "pot-0" in t.pot_ids and t.done]
    assert same.title == "Bring Pot 0 to Door"


def test_pots_that_are_carried_on_one_day_are_one_task():
    yard = yard_at("London", "tulipa-shirley", "tulipa-shirley")
    yard = add_place(yard, "Step", capacity=2)
    (task,) = kinds_of(yard)["forward"]
    assert task.pot_ids == ("pot-0", "pot-1")
    assert task.title == "Bring Pot 0 and Pot 1 to Step"


def test_what_the_hand_fixes_becomes_a_task_that_says_so():
    yard = add_place(yard_at("London", "tulipa-shirley"), "Step")
    yard = fix_stand(yard, "pot-0", "Step", date(2027, 3, 1), date(2027, 3, 21))
    first = min(kinds_of(yard)["forward"], key=lambda task: task.best)
    assert first.best == date(2027, 2, 27)
    assert "You have chosen this yourself." in first.reason


def test_a_pot_is_not_carried_away_to_be_emptied_the_week_after():
    yard = add_place(yard_at("London", "tulipa-shirley"), "Step")
    found = kinds_of(yard)
    (clear,) = found["clear"]
    moves = stage_plan(asking.outlook(yard, today=asking.TODAY)).moves
    assert moves[-1].target is None and -14 <= (clear.best - moves[-1].day).days <= 28
    assert "away" not in found


def test_a_pot_leaves_its_frame_on_its_day_and_not_before():
    yard = add_place(yard_at("London", "narcissus-ice-follies"), "Step")
    until = date(2027, 3, 11)  # a Thursday
    framed = change_pot(yard, "pot-0", site="cold-frame", sheltered_until=until)
    found = kinds_of(framed)
    (task,) = found["forward"]
    assert task.earliest >= until and task.best == date(2027, 3, 13)
    assert "comes out of the cold frame" in task.reason
    assert "out" not in found
    no_day = change_pot(yard, "pot-0", site="cold-frame")
    (task,) = kinds_of(no_day)["forward"]
    assert "bring it out on mild days, and back before frost" in task.reason
