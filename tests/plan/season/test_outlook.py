"""One outlook, one answer: what every page, paper and command says of the same yard."""

from __future__ import annotations

import json
import threading
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from asking import outlook

from bloomline.cli.main import main
from bloomline.files.yardfile import load_yard
from bloomline.model import edits
from bloomline.model.weather_edits import own_weather, set_weather
from bloomline.plan.carry.rollover import roll_over
from bloomline.plan.carry.succession import successions
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.paper.card import cards_for
from bloomline.plan.paper.labels import labels_for
from bloomline.plan.season.lesson import lesson
from bloomline.plan.season.outlook import kept, known
from bloomline.plan.season.scenarios import Scenario, compare
from bloomline.plan.season.shelf import shelf_windows
from bloomline.plan.season.solve import learned_of, solve_yard, winter_lows_c
from bloomline.plan.season.yard import season_report
from bloomline.plan.shop.budget import plan_budget
from bloomline.plan.shop.buying import shopping_list
from bloomline.plan.work.year import work_plan

DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"
TODAY = date(2027, 3, 1)


@pytest.fixture(scope="module")
def demo():
    return load_yard(DEMO).yard


@pytest.fixture
def look(demo):
    return outlook(demo, today=TODAY)


def starts(report):
    """First flower by layer."""
    return {layer.layer_id: layer.start and layer.start.p50 for layer in report.layers}


def lasts(report):
    """The day by which a layer is in flower in nine years of ten."""
    return {layer.layer_id: layer.start and layer.start.p90 for layer in report.layers}


def lasts_at_work(plan):
    """The last day on which the year's work looks for the first flower of a layer."""
    return {
        layer_id: span.last
        for task in plan.tasks
        for span in task.spans
        if span.key.startswith("first-flower:")
        for layer_id in span.layer_ids
    }


def test_with_and_without_records_all_say_the_same(look, capsys):
    for use in (True, False):
        shown = look.with_(use_records=use)
        season = starts(season_report(shown))
        work = lasts_at_work(work_plan(shown))
        assert len(work) > 10
        last = lasts(season_report(shown))
        assert work == {layer_id: last[layer_id] for layer_id in work}
        labels = {label.layer_id: label for label in labels_for(shown)}
        of_labels = {
            layer.layer_id: layer.start and layer.start.p50
            for layer in season_report(shown.usual).layers
        }
        assert of_labels == season and set(labels) <= set(season)
        options = ["--format", "json", *([] if use else ["--without-records"])]
        assert main(["season", str(DEMO), "--today", str(TODAY), *options]) == 0
        told = json.loads(capsys.readouterr().out)
        by_command = {
            layer["layer_id"]: layer["start"] and date.fromisoformat(layer["start"]["p50"])
            for layer in told["layers"]
        }
        assert by_command == season
    # Else the test could not fail.
    assert starts(season_report(look)) != starts(season_report(look.with_(use_records=False)))


def test_labels_and_cards_follow_the_records_as_the_timeline_does(look):
    # Invented: what the demo's records would be if everything had come ten days late.
    late = tuple(
        each.model_copy(update={"day": each.day + timedelta(days=10)}) for each in look.yard.records
    )
    with_them = look.with_(yard=look.yard.model_copy(update={"records": late}))
    without = with_them.with_(use_records=False)
    shift = learned_of(with_them).offset_days
    assert abs(shift) > 1.0
    assert learned_of(without).offset_days == 0.0
    assert labels_for(with_them) != labels_for(without)

    def expected(shown):
        return [layer.expected for card in cards_for(shown) for layer in card.layers]

    assert expected(with_them) != expected(without)
    assert any(
        shelf_windows(with_them)[each].start != window.start
        for each, window in shelf_windows(without).items()
    )


def test_a_single_weather_year_changes_nothing_that_is_printed_or_planned(look):
    for rank in (0, 20):
        one = look.with_(weather_year=rank)
        assert one.usual is look
        assert starts(season_report(one)) != starts(season_report(look))
        for use_case in (work_plan, shopping_list, shelf_windows, roll_over, lesson):
            assert use_case(one.usual) is use_case(look)
        assert labels_for(one) == labels_for(look)
        assert [[each.expected for each in card.layers] for card in cards_for(one)] == [
            [each.expected for each in card.layers] for card in cards_for(look)
        ]
        assert lasts_at_work(work_plan(one)) == lasts_at_work(work_plan(look))
        assert plan_budget(one).savings == plan_budget(look).savings
        assert shopping_list(one) == shopping_list(look)
        assert one.with_(weather_year=None) is look


def test_cards_labels_and_work_follow_recorded_weather(demo):
    days = [date.fromordinal(date(2026, 12, 1).toordinal() + i) for i in range(90)]
    warm = set_weather(demo, own_weather([(day, (9.0, 16.0)) for day in days], label="Mild"))
    plain, mild = (outlook(each, today=TODAY) for each in (demo, warm))
    opens = starts(season_report(mild))
    assert opens != starts(season_report(plain))
    last, work = lasts(season_report(mild)), lasts_at_work(work_plan(mild))
    assert work == {layer_id: last[layer_id] for layer_id in work} != {}
    assert labels_for(mild) != labels_for(plain)
    assert [card.layers[0].expected for card in cards_for(mild) if card.layers] != [
        card.layers[0].expected for card in cards_for(plain) if card.layers
    ]
    assert winter_lows_c(mild).min() > winter_lows_c(plain).min()


def test_a_what_if_knows_what_the_yard_as_it_is_has_taught(look):
    learned = learned_of(look)
    answer = compare(look, Scenario(), Scenario(site="cold-greenhouse"))
    assert answer.a is season_report(look)
    assert answer.b.learned_offset_days == learned.offset_days
    pot = look.yard.pots[0]
    alone = look.what_if(yard=look.yard.model_copy(update={"pots": (pot,), "records": ()}))
    whole = starts(season_report(look))
    assert starts(season_report(alone)) == {each.id: whole[each.id] for each in pot.layers}


def test_an_edit_teaches_nothing_anew_and_keeps_its_surroundings(look):
    made = []
    forecaster = Forecaster()
    prepared = forecaster._sums.get
    forecaster._sums.get = lambda key, work_out: prepared(
        key, lambda: made.append(key) or work_out()
    )
    shown = look.with_(forecaster=forecaster)
    season_report(shown)
    before = len(made)
    learned = learned_of(shown)
    pot = next(each for each in shown.yard.pots if each.layers)
    later = edits.change_layer(
        shown.yard, pot.layers[0].id, planted=pot.layers[0].planted.replace(day=17)
    )
    moved = shown.with_(yard=later)
    season_report(moved)
    assert learned_of(moved) is learned
    assert len(made) == before
    assert moved.garden is shown.garden and moved.recorded is shown.recorded


def test_another_place_brings_its_garden_and_its_weather(look):
    place = look.yard.place.model_copy(update={"latitude_deg": 55.0, "station_id": None})
    there = look.with_(yard=edits.set_place(look.yard, place))
    assert there.garden.latitude_deg == 55.0
    # A garden that was laid over the yard's own stays.
    over = outlook(look.yard, garden=there.garden)
    assert over.with_(yard=edits.set_season_year(look.yard, 2028)).garden is there.garden


def test_an_answer_is_worked_out_once_by_all_threads(look):
    times = []
    gate = threading.Barrier(4)

    @kept
    def slow(shown):
        times.append(threading.get_ident())
        return solve_yard(shown)

    found = []

    def ask():
        gate.wait()
        found.append(slow(look))

    threads = [threading.Thread(target=ask) for _ in range(4)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert len(times) == 1
    assert all(each is found[0] for each in found) and len(found) == 4
    assert known(slow, look) is found[0]
    assert known(slow, look.with_(use_records=False)) is None


def test_what_raises_is_asked_again(look):
    tries = []

    @kept
    def fails_first(shown):
        tries.append(shown)
        if len(tries) == 1:
            raise ValueError("not yet")
        return "done"

    with pytest.raises(ValueError, match="not yet"):
        fails_first(look)
    assert fails_first(look) == fails_first(look) == "done"
    assert len(tries) == 2


def test_threads_share_a_forecaster(demo):
    forecaster = Forecaster()
    alone = starts(season_report(outlook(demo, forecaster=Forecaster(), today=TODAY)))
    answers = []

    def ask(rise_c):
        shown = outlook(demo, forecaster=forecaster, today=TODAY)
        garden = replace(shown.garden, tmin_c=tuple(np.add(shown.garden.tmin_c, rise_c)))
        season_report(shown.with_(garden=garden))
        answers.append(starts(season_report(shown)))

    threads = [threading.Thread(target=ask, args=(rise,)) for rise in (0.5, 1.0, 1.5, 2.0)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert len(answers) == 4 and all(each == alone for each in answers)


def test_successions_with_dates_and_without_are_the_same_conflicts():
    yard = load_yard(DEMO.parent / "quince-steps.bloomline").yard
    shown = outlook(yard)
    found, marks = successions(shown), successions(shown, with_dates=False)
    assert found and [each.words for each in found] == [each.words for each in marks]
    mine = [each for each in found if each.pot_id == found[0].pot_id]
    of_pot = successions(shown, pot_id=found[0].pot_id)
    assert [each.words for each in of_pot] == [each.words for each in mine]
    assert [[c.words for c in each.choices] for each in of_pot] == [
        [c.words for c in each.choices] for each in mine
    ]
