"""What a step costs is counted, not timed: calls of the engine, reports made, growth with pots."""

from __future__ import annotations

import cProfile
import importlib.util
import math
import pstats
from collections import Counter
from datetime import date, timedelta
from pathlib import Path

import pytest
from asking import catalogue

from bloomline.cli import forecast_output
from bloomline.files.json_text import json_pieces
from bloomline.model import edits
from bloomline.plan.carry.succession import successions
from bloomline.plan.climate.garden import garden_named
from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.climate.weather import axis_start
from bloomline.plan.forecast import failures, one_planting, outcomes
from bloomline.plan.forecast import forecaster as forecaster_module
from bloomline.plan.forecast.advice import poison_advice
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.planting_day import usual_planting_day, usual_planting_span
from bloomline.plan.pot import compost, finder, finding, findings, weight
from bloomline.plan.pot.findings import findings_of
from bloomline.plan.season import forecasts, nights, planted, yard
from bloomline.plan.season.advice import flowering_days
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.solve import solve_yard
from bloomline.plan.season.weights import weights
from bloomline.plan.season.yard import season_report
from bloomline.plan.shop import budget, buying, choices
from bloomline.plan.shop.budget import plan_budget
from bloomline.plan.shop.buying import shopping_list
from bloomline.plan.shop.words import shopping_lines
from bloomline.plan.work import after, alike, before, emptying, flower, frost, rounds, scene, year
from bloomline.plan.work.words import work_lines, work_object
from bloomline.plan.work.year import work_plan

TODAY = date(2026, 9, 1)
LINEAR = 1.1
"""The exponent of growth that is still taken for linear."""


def load_generator():
    path = Path(__file__).parents[1] / "benchmarks" / "large_yard.py"
    spec = importlib.util.spec_from_file_location("large_yard", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


large_yard = load_generator()


def outlook_of(a_yard, **fields):
    return Outlook.of(a_yard, catalogue=catalogue(), forecaster=Forecaster(), today=TODAY, **fields)


class Counted:
    """Counts calls of functions and makings of objects by their names."""

    def __init__(self, monkeypatch):
        self.calls = Counter()
        self._patch = monkeypatch

    def watch(self, module, *names):
        for name in names:
            self._patch.setattr(module, name, self._counting(getattr(module, name), name))
        return self

    def _counting(self, real, name):
        def call(*args, **kwargs):
            self.calls[name] += 1
            return real(*args, **kwargs)

        return call

    def of(self, act):
        self.calls.clear()
        act()
        return dict(self.calls)


@pytest.fixture
def counted(monkeypatch):
    found = Counted(monkeypatch)
    found.watch(forecaster_module, "weather_for", "prepare", "flowering_days", "columns_of")
    found.watch(failures, "colder_than")
    found.watch(outcomes, "Outcome", "Band")
    found.watch(forecasts, "_layer_forecast", "_pot_forecast", "pot_summary")
    found.watch(nights, "daily_root_zone_c")
    return found


ENGINE = ("weather_for", "prepare", "flowering_days", "colder_than")


@pytest.mark.parametrize("n_pots", [20, 120])
def test_a_region_step_asks_the_engine_as_often_for_a_nursery_as_for_a_yard(counted, n_pots):
    here = outlook_of(large_yard.nursery(n_pots))
    season_report(here)
    there = here.with_(garden=garden_named("Rothamsted"))
    calls = counted.of(lambda: season_report(there))
    assert {name: calls[name] for name in ENGINE} == dict.fromkeys(ENGINE, 1)
    assert calls["_pot_forecast"] == n_pots
    # Of layers nothing is made before it is asked for, and then of that pot alone.
    assert not calls.keys() & {"_layer_forecast", "Outcome", "Band", "pot_summary"}
    pot = season_report(there).pots[n_pots // 2]
    calls = counted.of(lambda: ([layer.start for layer in pot.layers], pot.summary))
    assert calls["_layer_forecast"] == len(pot.layers)
    assert calls["Band"] <= 5 * len(pot.layers)
    assert calls["pot_summary"] == 1
    assert not calls.keys() & {*ENGINE, "Outcome"}


def test_a_region_step_asks_nothing_anew_of_plantings_and_few_pots_of_their_weeks(
    counted, monkeypatch
):
    groups = []
    real = forecasts.InFlower.days_of_groups

    def counting(flowers, some):
        groups.append(len(some))
        return real(flowers, some)

    monkeypatch.setattr(forecasts.InFlower, "days_of_groups", counting)
    here = outlook_of(large_yard.nursery(120))
    worked = solve_yard(here)
    counted.watch(planted, "counts_from")
    there = here.with_(garden=garden_named("Rothamsted"))
    calls = counted.of(lambda: season_report(there))
    assert not calls.keys() & {"columns_of", "counts_from"}
    assert [*map(id, solve_yard(there).solved.plantings)] == [*map(id, worked.solved.plantings)]
    pots = season_report(there).pots
    assert (
        pots[7].weeks_of_colour
        == season_report(outlook_of(here.yard, garden=there.garden)).pots[7].weeks_of_colour
    )
    assert max(groups) <= 2 * 32
    groups.clear()
    seen = []
    some_rows = forecasts.some_rows

    def noting(solved, rows):
        seen.append(len(rows))
        return some_rows(solved, rows)

    monkeypatch.setattr(forecasts, "some_rows", noting)
    assert pots[7].layers[0].start is not None
    assert len(seen) == 1 and seen[0] < len(worked.solved.plantings) / 2
    for pot in pots:
        assert pot.weeks_of_colour.expected >= pot.weeks_of_scent.expected
    assert 0 < sum(groups) <= 2 * len(pots)


def test_an_edit_reads_its_own_plot_and_no_other(counted):
    here = outlook_of(large_yard.nursery(60))
    season_report(here)
    counted.watch(planted, "counts_from")
    layer = here.yard.pots[7].layers[0]
    edited = edits.set_planted(here.yard, [layer.id], layer.planted + timedelta(days=1))
    calls = counted.of(lambda: season_report(here.with_(yard=edited)))
    assert calls["counts_from"] == 1
    # Taken back, nothing is read.
    assert "counts_from" not in counted.of(lambda: season_report(here.with_(yard=here.yard)))


def test_a_report_that_is_read_to_the_end_answers_equal_layers_once(counted):
    there = outlook_of(large_yard.nursery(120), garden=garden_named("Rothamsted"))
    report = season_report(there)
    calls = counted.of(lambda: [(layer.start, layer.advice) for layer in report.layers])
    different = len(yard.solve_yard(there).solved.plantings)
    assert calls["Outcome"] == different <= len(report.layers)
    assert calls["Band"] <= 10 * different
    # What would help where the winter is too short is one more question, for all of them.
    assert all(calls.get(name, 0) <= 1 for name in ENGINE), calls
    assert counted.of(lambda: [(layer.start, layer.advice) for layer in report.layers]) == {}


def test_one_edit_makes_no_weather_anew_and_solves_what_it_changed(counted, monkeypatch):
    here = outlook_of(large_yard.nursery(60))
    season_report(here)
    rows = []
    real = forecaster_module.flowering_days

    def counting(sums, *, plantings, **laws):
        rows.append(len(plantings.zone))
        return real(sums, plantings=plantings, **laws)

    monkeypatch.setattr(forecaster_module, "flowering_days", counting)
    layer = here.yard.pots[7].layers[0]
    edited = edits.set_planted(here.yard, [layer.id], layer.planted + timedelta(days=1))
    calls = counted.of(lambda: season_report(here.with_(yard=edited)))
    assert not calls.keys() & {"weather_for", "prepare"}
    assert rows == [1]
    assert not calls.keys() & {"_layer_forecast", "Outcome", "Band"}
    # Asked again, nothing at all is made.
    assert counted.of(lambda: season_report(here)) == {}


def test_a_planting_day_for_all_checks_one_layer(monkeypatch):
    here = large_yard.nursery(60)
    counted = Counted(monkeypatch).watch(edits, "revise")
    layers = [layer.id for pot in here.pots for layer in pot.layers]
    calls = counted.of(lambda: edits.set_planted(here, layers, date(2026, 10, 30)))
    assert calls == {"revise": 1}


def test_the_years_work_walks_the_days_for_all_pots_at_once(counted):
    here = outlook_of(large_yard.nursery(120))
    season_report(here)
    calls = counted.of(lambda: work_plan(here))
    assert calls["daily_root_zone_c"] <= 2
    assert not calls.keys() & {"prepare", "flowering_days"}


def several(yard_of_some, times):
    """The same pots so many times over, each by its own names."""
    pots = [
        pot.model_copy(
            update={
                "id": f"{pot.id}-{n}",
                "name": f"{pot.name} ({n})",
                "layers": tuple(
                    each.model_copy(update={"id": f"{each.id}-{n}"}) for each in pot.layers
                ),
                "companions": (),
            }
        )
        for n in range(times)
        for pot in yard_of_some.pots
    ]
    return yard_of_some.model_copy(update={"pots": tuple(pots)})


def test_what_is_amiss_in_equal_pots_is_looked_for_once(monkeypatch):
    found = Counted(monkeypatch)
    found.watch(findings, "Finder")
    found.watch(weight, "pot_weight")
    found.watch(compost, "pot_compost")
    counts = []
    for times in (1, 5):
        here = outlook_of(several(large_yard.nursery(40), times))

        def act(here=here):
            check(here)
            shopping_list(here)
            weights(here)

        counts.append(found.of(act))
    assert counts[0] == counts[1]
    assert set(counts[0]) == {"Finder", "pot_weight", "pot_compost"}


@pytest.mark.parametrize("budget_share", [0.7, 0.5])
def test_savings_are_told_without_a_list_for_each(monkeypatch, budget_share):
    found = Counted(monkeypatch)
    found.watch(budget, "amounts_to_buy", "shopping_list")
    here = outlook_of(large_yard.nursery(120, budget_share=budget_share))
    plan = plan_budget(here)
    assert len(plan.savings) > 6
    calls = found.of(lambda: plan_budget(here.with_(today=TODAY)))
    fillings = sum(each.layer_ids == () for each in plan.savings)
    assert calls.get("amounts_to_buy", 0) == fillings
    assert calls["shopping_list"] == 2  # as it is, and as it would be


def test_a_budget_far_too_small_asks_for_few_prices(monkeypatch):
    """Layer after layer goes: what each would save is one price, also in benches of many pots."""
    found = Counted(monkeypatch).watch(choices, "cost_of_pieces")
    rows = large_yard.nursery(120, budget_share=0.02)
    pots = tuple(pot.model_copy(update={"copies": 40}) for pot in rows.pots)
    money = rows.money.model_copy(update={"budget": rows.money.budget * 40})
    benches = rows.model_copy(update={"pots": pots, "money": money})
    layers = sum(len(pot.layers) for pot in rows.pots)
    for here in (rows, benches):
        outlook = outlook_of(here)
        plans = []
        calls = found.of(lambda outlook=outlook, plans=plans: plans.append(plan_budget(outlook)))
        assert sum(each.kind == "leave out" for each in plans[0].savings) > layers / 2
        assert calls["cost_of_pieces"] < 40 * layers


def test_the_work_of_pots_that_are_alike_is_worked_out_once(monkeypatch):
    here = outlook_of(large_yard.nursery(720))
    season_report(here)
    counted = Counted(monkeypatch).watch(before, "_plant")
    together = counted.of(lambda: work_plan(here))
    layers = sum(not plant.established for plant in season_report(here).layers)
    assert together["_plant"] < 0.85 * layers  # the kinds of the pots come again after 360
    # The same as when each is taken for itself.
    monkeypatch.setattr(alike, "_likeness", lambda pot, plants: pot.id)
    apart = outlook_of(here.yard)
    alone = counted.of(lambda: work_plan(apart))
    assert alone["_plant"] == layers
    assert work_plan(apart) == work_plan(here)
    assert work_plan(apart).to_remember() == work_plan(here).to_remember()


def test_equal_pots_are_said_in_the_drafts_of_one(monkeypatch):
    made = Counted(monkeypatch).watch(scene, "Draft").watch(rounds, "Call")
    made.watch(weight, "pot_weight").watch(forecasts, "_layer_forecast").watch(outcomes, "Outcome")
    counts, parts = [], []
    for times in (1, 5):
        here = outlook_of(several(large_yard.nursery(40), times))
        season_report(here)
        counts.append(made.of(lambda here=here: work_plan(here)))
        parts.append(sum(len(task.keys) for task in work_plan(here).tasks))
    assert counts[0] == counts[1]
    assert set(counts[0]) == {"Draft", "Call", "pot_weight", "_layer_forecast"}
    assert parts[1] >= 4.5 * parts[0]


def test_what_tasks_rest_on_is_told_when_it_is_asked(monkeypatch):
    told = Counted(monkeypatch).watch(year, "_pot_basis")
    here = outlook_of(large_yard.nursery(20))
    assert told.of(lambda: work_plan(here)) == {}
    layers = len(season_report(here).layers)
    assert told.of(work_plan(here).to_remember) == {"_pot_basis": layers}


def test_a_bench_of_pots_alike_costs_the_words_of_one(counted, monkeypatch):
    def calls(n_pots):
        one = large_yard.nursery(2).pots[1]
        pots = tuple(
            one.model_copy(
                update={
                    "id": f"pot-{i}",
                    "name": f"Pot {i}",
                    "layers": tuple(
                        layer.model_copy(update={"id": f"layer-{i}-{k}"})
                        for k, layer in enumerate(one.layers)
                    ),
                }
            )
            for i in range(n_pots)
        )
        here = outlook_of(large_yard.nursery(1).model_copy(update={"pots": pots}))
        season_report(here)
        words = Counted(monkeypatch)
        for module in (before, flower, frost, emptying, after, scene):
            words.watch(module, "tr")
        return sum(words.of(lambda: work_plan(here)).values())

    assert calls(200) <= calls(20) + 200


def test_a_table_asks_what_is_the_same_of_a_kind_once(monkeypatch):
    kinds = [kind for kind in catalogue() if kind.season_planted == "autumn"][:5]
    gardens = [garden_named(name) for name in ("Rothamsted", "De Bilt")]
    requests = [
        one_planting.Request(
            id=f"{number}-{where}-{garden.station_id}-{kind.id}",
            garden=garden,
            cultivar=kind,
            planted=date(2026, 10, 10 + number),
            standing=Standing(where=where),
        )
        for number in range(4)
        for where in ("pot", "ground")
        for garden in gardens
        for kind in kinds
    ]
    counted = Counted(monkeypatch).watch(one_planting, "poison_advice", "usual_planting_day")
    asked = one_planting.answered(requests, forecaster=Forecaster(), today=TODAY)
    calls = counted.of(lambda: list(asked))
    assert calls == {"poison_advice": len(gardens), "usual_planting_day": len(gardens)}


def test_kinds_of_a_sort_are_asked_about_alike():
    garden = garden_named("De Bilt")
    first_day = axis_start(TODAY, garden=garden)
    sorts = {}
    for kind in catalogue():
        usual = usual_planting_day(kind, garden=garden, first_day=first_day)
        window = usual_planting_span(kind, usual=usual)
        told = (usual, window, poison_advice(kind, pets=False))
        assert sorts.setdefault(one_planting._sort_of(kind), told) == told
    assert 20 < len(sorts) < len(list(catalogue())) / 3


@pytest.mark.parametrize("form", ["csv", "json", "table"])
def test_a_table_is_written_without_an_object_a_row(form, counted, monkeypatch, capsys):
    garden = garden_named("De Bilt")
    kinds = [kind for kind in catalogue() if kind.season_planted == "autumn"][:20]
    requests = [
        one_planting.Request(
            id=str(number),
            garden=garden,
            cultivar=kinds[number % 20],
            planted=date(2026, 10, 1) + timedelta(number // 20),
        )
        for number in range(400)
    ]
    counted.watch(one_planting, "Forecast").watch(forecast_output, "csv_text", "advice_object")

    def write():
        with forecast_output.writer_of(form) as writer:
            for some in one_planting.answered(
                requests, forecaster=Forecaster(), today=TODAY, growth=False
            ):
                writer.put(some.numbers, some)

    calls = counted.of(write)
    assert capsys.readouterr().out.count("2026-10-20") == len(kinds)
    assert not calls.keys() & {"Forecast", "Outcome", "Band"}
    assert calls["flowering_days"] <= 2  # the answers, and what helps where cold is short
    # One of each id, and few beside: most of what is said is said of many.
    assert calls.get("csv_text", 0) < 2 * len(requests)
    assert calls.get("advice_object", 0) < len(requests)


def test_words_on_layers_that_are_planted_alike_are_found_once(monkeypatch):
    some = large_yard.nursery(20)
    pots = [
        pot.model_copy(
            update={
                "id": f"{pot.id}-{n}",
                "companions": (),
                "layers": tuple(
                    layer.model_copy(update={"id": f"{layer.id}-{n}"}) for layer in pot.layers
                ),
            }
        )
        for n in range(3)
        for pot in some.pots
    ]
    here = outlook_of(some.model_copy(update={"pots": tuple(pots)}))
    report = season_report(here)
    plots = len(yard.solve_yard(here).plots.plots)
    counted = Counted(monkeypatch).watch(forecasts, "planting_advice", "_of_kind")
    calls = counted.of(lambda: [(layer.advice, layer.reason) for layer in report.layers])
    assert calls == {"planting_advice": plots, "_of_kind": plots}
    assert 3 * plots == len(report.layers)


def test_what_mends_a_finding_is_made_when_it_is_read(monkeypatch):
    here = outlook_of(large_yard.nursery(120))
    days = flowering_days(season_report(here))
    counted = Counted(monkeypatch).watch(finding, "Mending", "FieldChange")
    counted.watch(findings, "same_time").watch(finder, "covers_in_turn", "fit_pot")
    found = []
    calls = counted.of(
        lambda: found.extend(
            findings_of(here.yard.pots, cultivar_of=here.cultivar_of, flowering_days=days)
        )
    )
    assert not calls.keys() & {"Mending", "FieldChange"}
    assert calls["same_time"] <= len(here.yard.pots)
    # A pot is looked at as it lies and as it might lie, however much is amiss in it.
    assert calls["fit_pot"] - calls["covers_in_turn"] <= len(here.yard.pots) < len(found) * 4
    mended = [each for pot in found for each in pot if each.said.mending is not None]
    assert len(mended) > len(found)
    assert counted.of(lambda: mended[0].mending)["Mending"] == 1


def test_a_list_walks_through_what_is_planned_once(monkeypatch):
    here = outlook_of(large_yard.nursery(40))
    counted = Counted(monkeypatch).watch(buying, "planned_layers")
    assert counted.of(lambda: shopping_list(here)) == {"planned_layers": 1}


def season(here):
    season_report(here)


def work(here):
    plan = work_plan(here)
    work_lines(plan, list(plan.weeks))
    for _ in json_pieces(work_object(plan, list(plan.weeks))):
        pass


def buy(here):
    shopping_lines(shopping_list(here), plan_budget(here), list(weights(here).values()))


def check(here):
    days = flowering_days(season_report(here))
    list(findings_of(here.yard.pots, cultivar_of=here.cultivar_of, flowering_days=days))
    successions(here)


@pytest.mark.parametrize("act", [season, work, buy, check])
def test_calls_grow_no_faster_than_pots(act):
    def calls(n_pots):
        here = outlook_of(large_yard.nursery(n_pots, budget_share=0.7))
        profile = cProfile.Profile()
        profile.runcall(act, here)
        return pstats.Stats(profile).total_calls

    calls(12)  # reads tables and fills what is kept
    few, many = calls(80), calls(320)
    assert math.log(many / few, 4) <= LINEAR, (few, many)
