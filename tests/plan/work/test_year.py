from __future__ import annotations

from datetime import date, timedelta

import asking
import numpy as np
import pytest
from working import SOUTHERN, assert_fed_well, kinds, plan_of

from bloomline.files.yardfile import load_yard
from bloomline.model.edits import change_layer, change_place, change_pot, set_planted
from bloomline.model.stage_edits import remove_place
from bloomline.model.task_edits import remember_tasks, tick_task, untick_task
from bloomline.model.yard import DisplayPlace, Record, Yard
from bloomline.plan.work.task import Window, week_label
from bloomline.plan.work.year import work_plan
from bloomline.reference.rules import load_rules
from bloomline.reference.tasks import load_task_rules
from bloomline.words import day_words

TODAY = date(2026, 9, 1)


@pytest.fixture(scope="module")
def demo(checkout):
    (path,) = (checkout / "demo").glob("hollyhock-*.bloomline")
    return load_yard(path).yard


@pytest.fixture(scope="module")
def demo_work(demo):
    return plan_of(demo)


def test_every_window_is_in_order_and_every_key_is_its_own(demo_work):
    _, plan = demo_work
    assert len({task.key for task in plan.tasks}) == len(plan.tasks)
    # One task for all pots of a day and kind: there were 159 when each pot had its own.
    assert 40 < len(plan.tasks) <= 70
    for task in plan.tasks:
        assert task.earliest <= task.best <= task.latest, task
        assert task.turns[0] >= task.best
        assert task.turns[-1] <= task.latest
        assert task.title
        assert task.reason
        assert task.source
        assert "{" not in task.title + task.reason
        assert 1 <= task.minutes <= 600


def test_the_tasks_of_a_layer_come_in_the_order_of_its_year(demo_work):
    report, plan = demo_work
    order = ("order", "buy", "plant", "nose", "first-flower", "feed")
    checked = 0
    for layer in report.layers:
        mine = {}
        for task in plan.tasks:
            if task.spans:
                for span in task.spans:
                    if layer.layer_id in span.layer_ids:
                        kind = span.key.split(":")[0]
                        mine[kind] = min(span.first, mine.get(kind, span.first))
            elif layer.layer_id in task.layer_ids:
                mine.setdefault(task.kind, task.best)
        if "lilium" in layer.cultivar_id:
            del mine["feed"]  # fed while it grows
        days = [mine[kind] for kind in order if kind in mine]
        assert days == sorted(days), (layer.name, mine)
        checked += len(days)
        for kind in ("clear", "lift", "stop-watering", "keep", "repot"):
            assert mine.get(kind, date.max) >= days[-1]
        # Each has an end, and only one.
        assert len({"clear", "lift", "stop-watering", "keep", "repot"} & set(mine)) == 1, mine
    assert checked > 60


def on_the_step(*pots, place="London"):
    """A yard whose pots are shown on a step when they flower; small ones that can be carried."""
    made = asking.yard(*pots, place=place)
    made = made.model_copy(update={"display_places": (DisplayPlace(name="Step", capacity=9),)})
    for pot in made.pots:
        sizes = {"top_width_cm": 28.0, "bottom_width_cm": 22.0, "inside_height_cm": 24.0}
        made = change_pot(made, pot.id, **sizes, display_place="Step")
    return made


def test_bringing_forward_is_on_a_saturday_about_the_early_first_flower():
    report, plan = plan_of(on_the_step([("muscari-armeniacum", "2026-10-10")]))
    (layer,) = report.layers
    (task,) = kinds(plan)["forward"]
    assert layer.start.p10 - timedelta(days=14) <= task.best <= layer.start.p10
    assert task.best.weekday() == 5
    flowers = [s for t in kinds(plan)["look"] for s in t.spans if s.key.startswith("first-flower")]
    assert [(s.first, s.last) for s in flowers] == [(layer.start.p10, layer.start.p90)]
    (away,) = kinds(plan)["away"]
    assert away.best > layer.end.p50


def test_no_feed_before_or_during_flowering_and_none_once_leaves_yellow(demo_work):
    report, plan = demo_work
    assert_fed_well(report, plan)
    fed = {name for task in kinds(plan)["feed"] for span in task.spans for name in span.layer_ids}
    assert fed
    once = {"tulipa-queen-of-night", "tulipa-shirley", "tulipa-abu-hassan"}
    assert not fed & {each.layer_id for each in report.layers if each.cultivar_id in once}


def test_kinds_for_one_season_are_taken_out_and_others_kept_or_lifted(demo, demo_work):
    _, plan = demo_work
    catalogue = asking.catalogue()
    after = {
        layer_id: task.kind
        for task in plan.tasks
        if task.kind in ("clear", "stop-watering", "keep", "lift", "store")
        for layer_id in task.layer_ids
    }
    for _, layer in demo.layers():
        once = catalogue.get(layer.cultivar_id).perennial_in_pot == "replace"
        assert (after.get(layer.id) == "clear") == once
    # Crocus over tulips that are dug out has to come out with them.
    assert after["layer-3"] == "lift"
    assert after["layer-7"] == "stop-watering"


def test_the_south_works_half_a_year_later():
    """The same climate turned by half a year gives the same tasks, half a year on."""
    north = asking.yard([("tulipa-shirley", "2026-11-10")], [("muscari-armeniacum", "2026-10-10")])
    south = set_planted(north, ["layer-0-0"], date(2027, 5, 12))
    south = set_planted(south, ["layer-1-0"], date(2027, 4, 11))
    plans = []
    for yard, garden in ((north, asking.steady("London")), (south, asking.mirrored("London"))):
        plans.append(work_plan(asking.outlook(yard, today=TODAY, garden=garden)))
    days = [{task.key: task for task in plan.tasks} for plan in plans]
    # Which summer kinds still go into the soil is told in words only.
    assert set(days[0]) == set(days[1])
    for key, task in days[0].items():
        turned = days[1][key]
        assert abs((turned.best - task.best).days - 182) <= 12, key


def test_an_empty_yard_has_nothing_to_do():
    _, plan = plan_of(asking.yard())
    assert (plan.tasks, plan.weeks) == ((), ())
    assert list(plan.between(date(2027, 3, 1), None)) == []
    assert plan.overdue() == plan.moved() == ()
    assert plan.to_remember() == {}


def test_a_layer_without_flower_is_planted_and_watered_and_no_more():
    report, plan = plan_of(asking.yard([("tulipa-shirley", "2026-12-20")], place="Miami"))
    assert report.layers[0].start is None
    found = kinds(plan)
    assert {"order", "buy", "prechill", "plant", "water-winter"} <= set(found)
    assert not {"look", "forward", "slugs", "dead-head", "feed", "lift", "clear"} & set(found)


def test_short_winters_ask_for_the_refrigerator_and_long_ones_do_not():
    _, warm = plan_of(asking.yard([("tulipa-shirley", "2026-12-20")], place="Miami"))
    (task,) = kinds(warm)["prechill"]
    assert "ripening fruit" in task.reason
    assert task.best < date(2026, 12, 20)
    (order,) = kinds(warm)["order"]
    assert order.best < task.best
    _, cool = plan_of(asking.yard([("tulipa-shirley", "2026-11-10")]))
    assert "prechill" not in kinds(cool)


def test_weeks_already_planned_in_the_refrigerator_are_a_task_of_that_length():
    yard = change_layer(
        asking.yard([("tulipa-shirley", "2026-12-20")], place="Miami"),
        "layer-0-0",
        prechill_weeks=14.0,
    )
    report, plan = plan_of(yard)
    assert report.layers[0].start is not None
    (task,) = kinds(plan)["prechill"]
    assert task.best == date(2026, 12, 20) - timedelta(weeks=14)


def test_roots_are_sheltered_where_they_would_freeze():
    """The day is the one by which a tenth of the weather years has had such a night."""
    yard = asking.yard([("tulipa-shirley", "2026-10-10")], place="Minneapolis")
    _, plan = plan_of(yard)
    (task,) = kinds(plan)["frost"]
    assert date(2026, 10, 10) < task.best < date(2027, 1, 15)
    (over,) = kinds(plan)["frost-over"]
    assert over.best > task.latest
    assert "on feet before it is filled" in one(plan, "plant").reason
    _, mild = plan_of(asking.yard([("tulipa-shirley", "2026-12-20")], place="Miami"))
    assert not {"frost", "frost-over"} & set(kinds(mild))


def test_the_share_of_years_with_frost_by_that_day_is_a_tenth():
    yard = asking.yard([("tulipa-tarda", "2023-09-20")])  # filled already
    _, plan = plan_of(yard)
    (feet,) = kinds(plan)["feet"]
    first = feet.latest + timedelta(days=1)  # the day itself; the task ends the day before
    weather = asking.forecaster().weather(asking.garden("London"), first_day=asking.FIRST_DAY)
    days = (np.datetime64(first) - asking.FIRST_DAY).astype(int)
    by = (weather.tmin_c[:, 31 : days + 1] <= 0).any(axis=1).mean()
    before = (weather.tmin_c[:, 31:days] <= 0).any(axis=1).mean()
    assert before <= 0.1 <= by


def test_a_pot_in_a_shed_comes_out_on_its_day_and_lilies_go_back():
    yard = asking.yard([("lilium-tiny-bee", "2026-10-15")])
    shed = change_pot(yard, "pot-0", site="cold-greenhouse")
    report, plan = plan_of(shed)
    (out,), (back,) = kinds(plan)["out"], kinds(plan)["back"]
    assert "its season is worked out as if it stayed" in out.reason
    (layer,) = report.layers
    assert out.best < layer.start.p10 < back.best
    fixed = change_pot(shed, "pot-0", sheltered_until=date(2027, 4, 20))
    _, plan = plan_of(fixed)
    (out,) = kinds(plan)["out"]
    assert out.best == date(2027, 4, 20)
    _, plan = plan_of(yard)
    assert not {"out", "back"} & set(kinds(plan))


def test_mesh_is_for_bulbs_that_are_dug_for():
    _, plan = plan_of(asking.yard([("narcissus-ice-follies", "2026-10-01")]))
    assert not {"mesh", "mesh-off"} & set(kinds(plan))
    report, plan = plan_of(asking.yard([("crocus-tommasinianus-ruby-giant", "2026-10-01")]))
    (on,), (off,) = (kinds(plan)[kind] for kind in ("mesh", "mesh-off"))
    assert on.best == date(2026, 10, 1) < off.best == report.layers[0].nose.p50


def test_established_bulbs_are_neither_bought_nor_planted():
    report, plan = plan_of(asking.yard([("galanthus-nivalis", "2022-10-01")]))
    assert report.layers[0].established
    assert not {"order", "buy", "plant", "mesh"} & set(kinds(plan))
    assert {"look", "feed", "keep", "renew"} <= set(kinds(plan))


def test_a_tick_does_a_task_and_can_be_taken_back():
    yard = asking.yard([("tulipa-shirley", "2026-11-10")])
    key = "plant:layer-0-0:2027"
    _, plan = plan_of(yard, date(2027, 1, 1))
    assert plan.task(key).overdue
    assert plan.task(key) in plan.overdue()
    ticked = tick_task(yard, key, date(2026, 11, 12), note="in the rain")
    _, plan = plan_of(ticked, date(2027, 1, 1))
    task = plan.task(key)
    assert (task.done, task.done_on, task.status) == (True, date(2026, 11, 12), "done")
    assert (task.note, task.overdue, task.next_turn) == ("in the rain", False, None)
    _, plan = plan_of(untick_task(ticked, key), date(2027, 1, 1))
    assert not plan.task(key).done


@pytest.mark.parametrize(
    ("today", "status"),
    [
        (date(2026, 6, 20), "ahead"),
        (date(2026, 11, 10), "due"),
        (date(2026, 12, 31), "overdue"),
        (date(2027, 6, 1), "past"),
    ],
)
def test_what_a_task_is_depends_on_the_day(today, status):
    _, plan = plan_of(asking.yard([("tulipa-shirley", "2026-11-10")]), today)
    assert plan.task("plant:layer-0-0:2027").status == status


def test_a_planted_layer_says_so_itself():
    yard = change_layer(
        asking.yard([("tulipa-shirley", "2026-11-10")]), "layer-0-0", state="planted"
    )
    _, plan = plan_of(yard, date(2027, 1, 1))
    for kind in ("order", "buy", "plant"):
        (task,) = kinds(plan)[kind]
        assert task.done_on == date(2026, 11, 10)
    lifted = change_layer(yard, "layer-0-0", state="lifted")
    assert plan_of(lifted)[1].tasks == ()


def test_what_was_recorded_needs_no_more_looking():
    yard = asking.yard([("tulipa-shirley", "2026-11-10")])
    seen = yard.model_copy(
        update={
            "records": (
                Record(id="r-1", day=date(2027, 4, 9), layer_id="layer-0-0", seen="first-flower"),
            )
        }
    )
    _, plan = plan_of(seen, date(2027, 4, 12))
    assert {(task.done, task.done_on) for task in kinds(plan)["look"]} == {(True, date(2027, 4, 9))}
    # What was seen in another season says nothing about this one.
    other = seen.records[0].model_copy(update={"day": date(2025, 4, 9)})
    _, plan = plan_of(seen.model_copy(update={"records": (other,)}), date(2027, 4, 12))
    assert not any(task.done for task in kinds(plan)["look"])


def test_a_recurring_task_begins_anew_from_its_tick():
    yard = asking.yard([("muscari-armeniacum", "2026-10-10")])
    _, plan = plan_of(yard, date(2027, 1, 1))
    (feed,) = kinds(plan)["feed"]
    assert len(feed.turns) >= 2
    every = timedelta(days=feed.repeat_days)
    assert feed.turns == tuple(feed.best + k * every for k in range(len(feed.turns)))
    late = feed.best + timedelta(days=3)
    _, plan = plan_of(tick_task(yard, feed.key, late), late)
    (again,) = kinds(plan)["feed"]
    assert again.turns[:2] == (late, late + every)
    assert again.next_turn == late + every
    assert not again.done
    assert again.status == "ahead"
    missed = late + 2 * every + timedelta(days=1)
    if missed <= again.latest:
        _, plan = plan_of(tick_task(yard, feed.key, late), missed)
        assert kinds(plan)["feed"][0].overdue
    _, plan = plan_of(tick_task(yard, feed.key, feed.latest), feed.latest)
    assert kinds(plan)["feed"][0].done


def test_what_moved_is_told_with_its_cause():
    yard = asking.yard([("tulipa-shirley", "2026-11-10")])
    _, plan = plan_of(yard)
    kept = remember_tasks(yard, plan.to_remember())
    _, same = plan_of(kept)
    assert same.moved() == ()
    later = set_planted(kept, ["layer-0-0"], date(2026, 12, 1))
    _, moved = plan_of(later)
    plant = moved.task("plant:layer-0-0:2027")
    assert (plant.moved.days, plant.moved.was) == (21, date(2026, 11, 10))
    assert plant.moved.why == "another planting day"
    assert plant.sequence == 1
    elsewhere = change_place(kept, elevation_m=600.0)
    _, moved = plan_of(elsewhere)
    fire = moved.task("tulip-fire:pot-0:2027")
    assert "another place" in fire.moved.why
    assert fire.moved.days > 0


def test_other_weather_and_unknown_causes_are_told_apart():
    yard = asking.yard([("tulipa-shirley", "2026-11-10")])
    _, plan = plan_of(yard)
    kept = remember_tasks(yard, plan.to_remember())
    recorded = asking.one_years_weather("London", 3)
    moved = work_plan(asking.outlook(kept, today=TODAY, recorded=recorded))
    assert {task.moved.why for task in moved.moved()} == {"other weather"}
    odd = remember_tasks(yard, {"tulip-fire:pot-0:2027": (date(2027, 1, 1), "")})
    _, plan = plan_of(odd)
    why = plan.task("tulip-fire:pot-0:2027").moved.why
    assert why == "what it rested on before is not known"


def test_weeks_are_those_of_iso_8601():
    # The examples of ISO 8601 as Wikipedia "ISO week date" prints them, from memory.
    assert week_label(date(2008, 12, 29)) == "2009-W01"
    assert week_label(date(2010, 1, 3)) == "2009-W53"
    assert week_label(date(2005, 1, 1)) == "2004-W53"


def test_a_stretch_of_days_leaves_out_what_falls_outside(demo_work):
    _, plan = demo_work
    first, last = date(2027, 3, 3), date(2027, 3, 16)
    weeks = list(plan.between(first, last))
    days = [day for week in weeks for each in week.days for day in each]
    assert days
    assert all(first <= day <= last for day in days)
    assert [week.label for week in weeks] == ["2027-W09", "2027-W10", "2027-W11"]
    assert sum(len(days) for week in plan.weeks for days in week.days) == sum(
        len(task.turns) for task in plan.tasks
    )


def test_planting_windows_near_london_are_those_of_the_rules():
    """Kinds whose usual day near London is the catalogue's have the table's own window."""
    _, plan = plan_of(asking.yard([("tulipa-shirley", "2026-11-15")]))
    task = plan.task("plant:layer-0-0:2027")
    rule = load_rules().planting_window("Tulipa")
    assert abs((task.earliest - rule.from_md.in_year(2026)).days) <= 2
    assert abs((task.latest - rule.to_md.in_year(2026)).days) <= 2


def test_a_window_out_of_order_is_put_right_round_its_best_day():
    a, b, c = (date(2027, 1, day) for day in (1, 2, 3))
    assert Window.of(c, b, a) == Window(b, b, b)
    assert Window.of(a, b, c) == Window(a, b, c)


def test_every_kind_of_task_has_its_rule_and_its_use(demo_work):
    rules = load_task_rules()
    used = {task.kind for task in demo_work[1].tasks}
    assert used <= {rule.kind for rule in rules.rules}
    tender = plan_of(asking.yard([("dahlia-bishop-of-llandaff", "2027-05-05")]))[1]
    assert "store" in kinds(tender)


def test_only_what_a_pot_can_bear_is_moved():
    """To a place where pots are shown, if the yard has one; nothing over the rule's 60 kg."""
    yard = on_the_step([("muscari-armeniacum", "2026-10-10")])
    assert {"forward", "away"} <= set(kinds(plan_of(yard)[1]))
    huge = change_pot(yard, "pot-0", top_width_cm=50.0, bottom_width_cm=45.0, inside_height_cm=40.0)
    assert not {"forward", "away"} & set(kinds(plan_of(huge)[1]))
    stone = change_pot(yard, "pot-0", material="stone", wall_cm=6.0)
    assert not {"forward", "away"} & set(kinds(plan_of(stone)[1]))
    anywhere = change_pot(yard, "pot-0", display_place=None)
    assert {"forward", "away"} <= set(kinds(plan_of(anywhere)[1]))
    nowhere = remove_place(yard, "Step")
    assert not {"forward", "away"} & set(kinds(plan_of(nowhere)[1]))


def test_every_kind_may_be_planted_on_its_usual_day():
    """The windows of the rules hold the catalogue's usual days, autumn or spring alike."""
    from bloomline.plan.work.scene import usual_day

    here, first_day = asking.garden("London"), date(2026, 6, 1)
    every = [
        (cultivar.id, usual_day(cultivar, garden=here, first_day=first_day).isoformat())
        for cultivar in asking.catalogue()
    ]
    _, plan = plan_of(asking.yard(*[every[k : k + 3] for k in range(0, len(every), 3)]))
    tasks = kinds(plan)["plant"]
    assert sum(len(task.keys) for task in tasks) == len(every)
    assert len(tasks) < 20
    for task in tasks:
        assert task.earliest <= task.best <= task.latest, task
        assert 20 <= (task.latest - task.earliest).days <= 230, task


def test_lilies_may_be_planted_from_autumn_to_spring():
    _, plan = plan_of(asking.yard([("lilium-regale", "2026-10-20")]))
    (task,) = kinds(plan)["plant"]
    assert task.earliest < date(2026, 10, 1)
    assert date(2027, 4, 1) < task.latest < date(2027, 6, 1)


def test_kinds_that_flower_for_months_are_dead_headed_weekly_and_not_fed_in_autumn():
    report, plan = plan_of(asking.yard([("dahlia-bednall-beauty", "2027-05-10")]))
    (layer,) = report.layers
    (task,) = kinds(plan)["dead-head"]
    assert task.repeat_days == 7
    assert layer.start.p50 < task.best
    assert layer.end.p50 - timedelta(days=7) < task.turns[-1] <= layer.end.p50 + timedelta(days=1)
    assert "feed" not in kinds(plan)
    (store,) = kinds(plan)["store"]
    assert store.best > layer.end.p50


def test_what_makes_no_sense_any_more_is_past_and_not_overdue():
    yard = on_the_step([("crocus-tommasinianus-ruby-giant", "2026-10-01")])
    report, plan = plan_of(yard)
    nose, end = report.layers[0].nose.p50, report.layers[0].end.p50
    (mesh,), (forward,) = kinds(plan)["mesh"], kinds(plan)["forward"]
    soon = mesh.latest + timedelta(days=10)
    assert soon < nose and plan_of(yard, soon)[1].task(mesh.key).overdue
    assert plan_of(yard, nose + timedelta(days=1))[1].task(mesh.key).status == "past"
    assert plan_of(yard, end)[1].task(forward.key).status in ("overdue", "past")
    assert plan_of(yard, end + timedelta(days=1))[1].task(forward.key).status == "past"
    (order,) = kinds(plan)["order"]
    assert plan_of(yard, date(2026, 10, 1))[1].task(order.key).overdue
    assert plan_of(yard, date(2026, 10, 2))[1].task(order.key).status == "past"


def pot_of(*layers, place="London", site="open"):
    """One pot of layers given as (cultivar id, planted, cover)."""
    made = asking.yard([layer[:2] for layer in layers], place=place)
    for k, (_, _, cover_cm) in enumerate(layers):
        made = change_layer(made, f"layer-0-{k}", cover_cm=cover_cm)
    return change_pot(made, "pot-0", site=site)


def one(plan, kind):
    (task,) = kinds(plan)[kind]
    return task


def test_a_layer_is_not_lifted_through_others_that_still_grow():
    """Crocus over tulips comes out with them, once the tulips' flowers are over."""
    yard = pot_of(
        ("crocus-tommasinianus-ruby-giant", "2026-10-01", 5), ("tulipa-shirley", "2026-10-01", 20)
    )
    yard = change_layer(yard, "layer-0-0", state="planted")
    yard = change_layer(yard, "layer-0-1", state="planted")
    report, plan = plan_of(yard)
    tulip = next(layer for layer in report.layers if layer.cultivar_id == "tulipa-shirley")
    lift, clear = one(plan, "lift"), one(plan, "clear")
    assert lift.best > tulip.end.p50
    assert abs((lift.best - clear.best).days) <= 14


def test_small_bulbs_are_left_to_seed_and_big_ones_dead_headed():
    _, plan = plan_of(asking.yard([("galanthus-nivalis", "2026-10-01")]))
    assert "dead-head" not in kinds(plan)
    _, plan = plan_of(asking.yard([("narcissus-ice-follies", "2026-10-01")]))
    assert "strength goes to the bulb" in one(plan, "dead-head").reason
    _, plan = plan_of(asking.yard([("dahlia-bednall-beauty", "2027-05-10")]))
    assert "new flowers keep coming" in one(plan, "dead-head").reason


def test_leaves_that_come_in_spring_are_not_fed_in_autumn():
    """Colchicum flowers bare; its leaves are there from late winter on (common knowledge)."""
    report, plan = plan_of(asking.yard([("colchicum-waterlily", "2026-08-15")]))
    feed = one(plan, "feed")
    assert (feed.earliest - report.layers[0].end.p50).days > 90
    assert feed.earliest.month in (1, 2, 3)


def test_tender_bulbs_are_kept_from_the_last_frost_and_from_the_first():
    weather = asking.forecaster().weather(asking.garden("Minneapolis"), first_day=asking.FIRST_DAY)
    for kind, planted in (
        ("dahlia-bishop-of-llandaff", "2027-04-05"),
        ("gladiolus-plum-tart", "2027-05-20"),  # comes up when frosts are past
        ("eucomis-bicolor", "2027-04-05"),
    ):
        report, plan = plan_of(asking.yard([(kind, planted)], place="Minneapolis"))
        (layer,) = report.layers
        found = kinds(plan)
        (away,) = found.get("store", []) + found.get("carry-in", [])
        assert layer.end.p10 < away.best < date(2027, 11, 1), kind
        for fleece in found.get("fleece", []):
            assert layer.nose.p10 <= fleece.earliest
            last = (np.datetime64(fleece.latest) - asking.FIRST_DAY).astype(int)
            late = (weather.tmin_c[:, last + 1 : 396] <= 0).any(axis=1).mean()
            assert late <= 0.05, kind  # one night in 21 years may come later still
            assert day_words(fleece.latest - timedelta(days=14)) in fleece.reason
            assert day_words(fleece.latest - timedelta(days=14)) in one(plan, "plant").reason
        assert ("fleece" in found) == (kind != "gladiolus-plum-tart"), kind
    _, mild = plan_of(asking.yard([("dahlia-bishop-of-llandaff", "2027-04-20")], place="Miami"))
    assert not {"fleece", "store"} & set(kinds(mild))


def test_a_dahlia_that_flowers_into_winter_is_lifted_by_the_first_usual_frost():
    """Where autumns are long its flowers end by frost; nothing is asked of it after lifting."""
    yard = asking.yard([("dahlia-bishop-of-llandaff", "2027-10-30")], place="Melbourne")
    station = asking.garden_named("0-20000-0-93781")  # Christchurch
    plan = work_plan(asking.outlook(yard, today=TODAY, garden=station))
    store = one(plan, "store")
    assert store.best <= date(2028, 6, 1)
    assert "away" not in kinds(plan)
    assert one(plan, "dead-head").latest <= store.best
    # Months that hold near London are not told elsewhere.
    assert "April" not in one(plan, "plant").reason


def test_shelter_is_always_taken_off_again():
    for place in ("London", "Minneapolis"):
        for site in ("open", "warm-wall"):
            for planted in ("2026-09-20", "2026-12-15"):
                yard = pot_of(("muscari-armeniacum", planted, 6), place=place, site=site)
                found = kinds(plan_of(yard)[1])
                assert len(found.get("frost", [])) == len(found.get("frost-over", []))
                for on, off in zip(
                    found.get("frost", []), found.get("frost-over", []), strict=True
                ):
                    # No shelter for a day or two only.
                    assert (off.best - on.best).days > 14, (place, site, planted)


def test_cautions_stand_with_the_work_they_belong_to():
    _, plan = plan_of(on_the_step([("lilium-tiny-bee", "2027-03-15")]))
    for kind in ("order", "plant", "forward"):
        assert "kill cats" in one(plan, kind).reason
    _, plan = plan_of(asking.yard([("narcissus-ice-follies", "2026-10-01")]))
    assert "gloves" in one(plan, "plant").reason
    assert "Poisonous" in one(plan, "plant").reason
    assert "gloves" in one(plan, "dead-head").reason
    assert "Poisonous" not in one(plan, "dead-head").reason
    _, plan = plan_of(asking.yard([("tulipa-shirley", "2026-11-10")]))
    assert "nitrile" in one(plan, "clear").reason
    _, cold = plan_of(asking.yard([("tulipa-shirley", "2026-10-10")], place="Minneapolis"))
    assert "two people" in one(cold, "frost").reason
    assert "two people" in one(plan, "plant").reason
    _, plan = plan_of(on_the_step([("muscari-armeniacum", "2026-10-10")]))
    for kind in ("forward", "away"):
        assert "two people" in one(plan, kind).reason


def test_a_deep_layer_planted_after_one_over_it_is_questioned():
    late = pot_of(
        ("crocus-tommasinianus-ruby-giant", "2026-10-01", 5), ("tulipa-shirley", "2026-11-10", 20)
    )
    reasons = {task.layer_ids[0]: task.reason for task in kinds(plan_of(late)[1])["plant"]}
    assert "one day for the whole pot" in reasons["layer-0-1"]
    assert "one day" not in reasons["layer-0-0"]


def test_watering_stops_for_kinds_that_rest_nearly_dry_but_not_for_lilies():
    _, plan = plan_of(asking.yard([("narcissus-ice-follies", "2026-10-01")]))
    stop = one(plan, "stop-watering")
    assert "nearly dry" in stop.reason
    assert stop.best < one(plan, "renew").best
    _, plan = plan_of(asking.yard([("lilium-tiny-bee", "2027-03-15")]))
    assert "stop-watering" not in kinds(plan)


def test_gladioli_are_fed_after_flowering_but_not_into_the_frost():
    report, plan = plan_of(asking.yard([("gladiolus-plum-tart", "2027-04-15")]))
    feed, store = one(plan, "feed"), one(plan, "store")
    assert report.layers[0].end.p50 < feed.earliest
    assert (store.latest - feed.latest).days >= 42


def test_a_pot_goes_forward_once_and_away_after_its_last_layer():
    yard = on_the_step(
        [
            ("crocus-tommasinianus-ruby-giant", "2026-10-01"),
            ("narcissus-ice-follies", "2026-10-01"),
            ("allium-purple-sensation", "2026-10-01"),
        ]
    )
    report, plan = plan_of(yard)
    forward, away = one(plan, "forward"), one(plan, "away")
    assert forward.best < min(layer.start.p10 for layer in report.layers)
    assert away.best > max(layer.end.p50 for layer in report.layers)


def test_planting_tells_how_warm_it_is_there_and_does_not_pretend_it_has_cooled():
    _, plan = plan_of(asking.yard([("tulipa-shirley", "2026-11-10")]))
    reason = one(plan, "plant").reason
    assert "as at planting time near London" in reason
    # Heathrow, normal daily mean of November near 8 °C (WMO normals 1991-2020, of the table).
    here = asking.garden("London")
    mean = (here.tmin_c[10] + here.tmax_c[10]) / 2
    told = int(reason.split("Compost in this pot is about ")[1].split()[0])
    assert abs(told - mean) <= 3
    _, plan = plan_of(asking.yard([("tulipa-shirley", "2026-12-15")], place="Miami"))
    reason = one(plan, "plant").reason
    assert "as at planting time" not in reason
    assert "even then" in reason


def test_companions_are_planted_on_top_and_taken_out():
    """Winter pansies over tulips: both dates are the gardener's or the table's."""
    from bloomline.model.companion import CompanionPlanting
    from bloomline.model.companion_edits import add_companion, change_companion

    yard = asking.yard([("tulipa-shirley", "2026-11-10")])
    pansies = CompanionPlanting(
        id="top-1", companion_id="winter-pansy", count=6, planted=date(2026, 11, 10)
    )
    yard = add_companion(yard, "pot-0", pansies)
    _, plan = plan_of(yard)
    plant, out = one(plan, "companion"), one(plan, "companion-out")
    assert plant.best == date(2026, 11, 10)
    assert plant.earliest <= plant.best <= plant.latest
    assert plant.pot_ids == out.pot_ids == ("pot-0",)
    assert plant.layer_ids == ()
    # The table has their season from October to May.
    assert date(2027, 5, 1) < out.best < date(2027, 6, 15)
    assert "hand fork" in out.reason
    seen = remember_tasks(yard, plan.to_remember())
    later = change_companion(seen, "top-1", taken_out=date(2027, 3, 1))
    _, plan = plan_of(later)
    moved = one(plan, "companion-out")
    assert moved.best == date(2027, 3, 1)
    assert moved.moved.why == "another planting day"


def test_companions_that_frost_takes_say_so():
    from bloomline.model.companion import CompanionPlanting
    from bloomline.model.companion_edits import add_companion

    top = CompanionPlanting(
        id="top-1", companion_id="winter-pansy", count=6, planted=date(2026, 9, 20)
    )
    reasons = {
        place: one(
            plan_of(add_companion(asking.yard([], place=place), "pot-0", top))[1], "companion"
        )
        for place in ("London", "Minneapolis")
    }
    assert "Frost takes it in " in reasons["Minneapolis"].reason
    assert "Frost takes it" not in reasons["London"].reason


def test_bulbs_with_a_day_of_lifting_come_out_on_it():
    yard = asking.yard(
        [("narcissus-hawera", "2026-10-01")],
        [("narcissus-hawera", "2026-10-01")],
        [("tulipa-shirley", "2026-11-10")],
    )
    days = (date(2027, 5, 20), date(2027, 7, 20), date(2027, 5, 8))
    for (_, layer), day in zip(list(yard.layers()), days, strict=True):
        yard = change_layer(yard, layer.id, lifted_on=day)
    _, plan = plan_of(yard)
    tasks = {task.layer_ids[0]: task for task in plan.tasks if "Planned for" in task.reason}
    kinds = [tasks[layer.id].kind for _, layer in yard.layers()]
    assert kinds == ["lift-green", "lift", "clear"]
    # What is ticked stays so when a forecast makes another kind of it.
    assert [tasks[layer.id].key for _, layer in yard.layers()] == [
        f"take-out:{layer.id}:2027" for _, layer in yard.layers()
    ]
    assert tuple(tasks[layer.id].best for _, layer in yard.layers()) == days


def test_bulbs_that_are_lifted_in_a_later_season_rest_in_this_one():
    yard = asking.yard([("narcissus-hawera", "2026-10-01")])
    ((_, layer),) = yard.layers()
    plans = [
        plan_of(change_layer(yard, layer.id, lifted_on=day))[1] for day in (None, date(2028, 6, 1))
    ]
    assert "stop-watering" in kinds(plans[0])
    assert [task.key for task in plans[1].tasks] == [task.key for task in plans[0].tasks]


def test_what_lies_in_the_cupboard_is_not_ordered_again():
    from bloomline.model.yard import InStock

    yard = asking.yard([("tulipa-shirley", "2026-11-10")], [("muscari-armeniacum", "2026-10-10")])

    def ordered(**stock):
        held = tuple(
            InStock(cultivar_id=name.replace("_", "-"), count=count)
            for name, count in stock.items()
        )
        plan = plan_of(yard.model_copy(update={"cupboard": held}))[1]
        return [task for task in plan.tasks if task.kind in ("order", "buy")]

    order, _ = ordered()
    assert "20 bulbs" in order.reason
    order, buy = ordered(tulipa_shirley=4)
    assert "16 bulbs" in order.reason
    order, buy = ordered(tulipa_shirley=10)
    assert "10 bulbs" in order.reason
    assert "Shirley" not in order.title + buy.title
    assert ordered(tulipa_shirley=30, muscari_armeniacum=10) == []


@pytest.mark.parametrize("place", sorted(asking.STATIONS))
@pytest.mark.parametrize("site", ["shed", "cold-frame", "cold-greenhouse"])
def test_pots_under_cover_have_their_work_anywhere(place, site):
    """Lilies and tender kinds too, in places with long frost and with none."""
    begin = "2027-03-01" if place not in SOUTHERN else "2027-09-01"
    yard = asking.yard(
        [("lilium-tiny-bee", begin)], [("dahlia-bishop-of-llandaff", begin)], place=place
    )
    for pot in yard.pots:
        yard = change_pot(yard, pot.id, site=site)
    _, plan = plan_of(yard)
    for out in kinds(plan).get("out", []):
        assert out.earliest <= out.best <= out.latest
        assert "None" not in out.reason


def test_where_no_hard_frost_comes_tender_bulbs_rest_in_their_pots():
    _, plan = plan_of(asking.yard([("dahlia-bishop-of-llandaff", "2027-04-20")], place="Miami"))
    rest = one(plan, "stop-watering")
    assert "A dahlia is tender, but no hard frost is to be feared here" in rest.reason


def test_companions_are_found_without_a_walk_over_all_of_them(checkout, monkeypatch):
    (path,) = (checkout / "demo").glob("quince-*.bloomline")
    yard = load_yard(path).yard
    asked = []
    companion = Yard.companion
    monkeypatch.setattr(
        Yard, "companion", lambda self, name: (asked.append(name), companion(self, name))[1]
    )
    _, plan = plan_of(yard)
    assert "companion" in kinds(plan)
    assert asked == []


def test_a_lower_layer_is_late_with_the_bulbs_over_it():
    """What lies lower goes in first: once bulbs over it are late, it is late as well."""
    yard = asking.yard([("tulipa-shirley", "2026-10-20"), ("crocus-tommasinianus", "2026-10-10")])
    yard = change_layer(yard, "layer-0-0", cover_cm=15.0)
    yard = change_layer(yard, "layer-0-1", cover_cm=6.0)
    alone = plan_of(asking.yard([("tulipa-shirley", "2026-10-20")]))[1].task("plant:layer-0-0:2027")
    _, plan = plan_of(yard)
    upper = plan.task("plant:layer-0-1:2027").latest
    assert upper < alone.latest
    assert plan.task("plant:layer-0-0:2027").latest == upper
    _, late = plan_of(yard, today=upper + timedelta(days=1))
    assert {"plant:layer-0-0:2027", "plant:layer-0-1:2027"} <= {
        key for task in late.overdue() for key in task.keys
    }
    planted = change_layer(yard, "layer-0-1", state="planted")
    assert plan_of(planted)[1].task("plant:layer-0-0:2027").latest == alone.latest


def test_wheels_are_for_what_is_moved():
    """One answer to what moves a pot: none stands on wheels that nobody moves to be shown."""
    yard = on_the_step([("muscari-armeniacum", "2026-10-10")], place="Boston")
    huge = change_pot(yard, "pot-0", top_width_cm=60.0, bottom_width_cm=55.0, inside_height_cm=40.0)
    large = change_pot(huge, "pot-0", top_width_cm=34.0, bottom_width_cm=26.0)
    for pot, planting, frost in (
        (large, "it is moved later", "Move the pot against the house"),
        (huge, "on feet", "roll it on a trolley"),
        (change_pot(huge, "pot-0", display_place=None), "on feet", "roll it on a trolley"),
        (change_pot(huge, "pot-0", material="stone", wall_cm=8.0), "on feet", "too heavy to be"),
    ):
        tasks = kinds(plan_of(pot)[1])
        assert planting in tasks["plant"][0].reason
        assert frost in tasks["frost"][0].reason
        assert "wrap it" in tasks["frost"][0].reason
