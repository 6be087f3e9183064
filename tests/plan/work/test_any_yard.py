"""What holds of the year's work of any yard, anywhere, whenever it was planted."""

from __future__ import annotations

from datetime import date, timedelta

import asking
from hypothesis import example, given, settings
from hypothesis import strategies as st
from working import SOUTHERN, TODAY, assert_fed_well, plan_of

from bloomline.model.edits import change_layer, change_pot

cultivars = st.sampled_from(
    [
        "tulipa-shirley",
        "tulipa-tarda",
        "narcissus-ice-follies",
        "crocus-tommasinianus-ruby-giant",
        "hyacinthus-orientalis-delft-blue",
        "muscari-armeniacum",
        "galanthus-nivalis",
        "allium-purple-sensation",
        "lilium-tiny-bee",
        "dahlia-bishop-of-llandaff",
        "gladiolus-plum-tart",
        "nerine-bowdenii",
        "colchicum-waterlily",
    ]
)
# What hangs on one day is done on it, or lies between two things that leave it no more.
_MAY_BE_ONE_DAY = {"plant", "companion", "companion-out"}


@st.composite
def yards(draw):
    place = draw(st.sampled_from(sorted(asking.STATIONS)))
    begin = date(2026, 12, 1) if place in SOUTHERN else date(2026, 6, 1)
    pots = [
        [
            (draw(cultivars), (begin + timedelta(days=draw(st.integers(-400, 400)))).isoformat())
            for _ in range(draw(st.integers(0, 3)))
        ]
        for _ in range(draw(st.integers(0, 3)))
    ]
    made = asking.yard(*pots, place=place)
    for _, layer in list(made.layers()):
        cover_cm = draw(st.sampled_from([5.0, 10.0, 20.0]))
        made = change_layer(made, layer.id, cover_cm=cover_cm)
    for pot in made.pots:
        site = draw(st.sampled_from(["open", "open", "warm-wall", "cold-frame", "shed"]))
        made = change_pot(made, pot.id, site=site)
    return made


def placed(place, *pots):
    """A yard of pots of (kind, planted, cover), in sites."""
    made = asking.yard(*[[layer[:2] for layer in layers] for _, layers in pots], place=place)
    for k, (site, layers) in enumerate(pots):
        for j, (_, _, cover_cm) in enumerate(layers):
            made = change_layer(made, f"layer-{k}-{j}", cover_cm=cover_cm)
        made = change_pot(made, f"pot-{k}", site=site)
    return made


LATE_IN_THE_COLD = placed(
    "Minneapolis", ("open", [("hyacinthus-orientalis-delft-blue", "2026-11-23", 10.0)])
)
COLCHICUM_IN_A_SHED = placed(
    "Minneapolis",
    ("shed", [("colchicum-waterlily", "2026-08-01", 10.0)]),
    ("shed", [("crocus-tommasinianus-ruby-giant", "2026-08-20", 5.0)]),
)
DAHLIA_AMONG_TULIPS = placed(
    "Melbourne",
    (
        "open",
        [
            ("tulipa-shirley", "2027-05-01", 20.0),
            ("dahlia-bishop-of-llandaff", "2027-08-01", 5.0),
        ],
    ),
)

# Water is asked for twice in one spring, with a gap between.
GAP_IN_SPRING = placed(
    "Miami",
    (
        "open",
        [("colchicum-waterlily", "2026-05-31", 5.0), ("tulipa-shirley", "2027-03-08", 5.0)],
    ),
)


@settings(max_examples=60)
@given(yards(), st.integers(-400, 800))
@example(GAP_IN_SPRING, 0)
@example(COLCHICUM_IN_A_SHED, 0)
@example(DAHLIA_AMONG_TULIPS, 0)
def test_windows_are_in_order_and_nothing_is_dug_out_or_fed_in_its_flower(yard, after):
    today = TODAY + timedelta(days=after)
    report, plan = plan_of(yard, today)
    assert_fed_well(report, plan)
    assert [task.best for task in plan.tasks] == sorted(task.best for task in plan.tasks)
    assert len({key for task in plan.tasks for key in task.keys}) == sum(
        len(task.keys) for task in plan.tasks
    )
    layers = {layer.layer_id: layer for layer in report.layers}
    for task in plan.tasks:
        assert task.earliest <= task.best <= task.latest
        assert task.earliest < task.latest or task.kind in _MAY_BE_ONE_DAY, task
        if task.status == "ahead" and task.repeat_days is None:
            assert today < task.earliest
        if task.kind == "plant":
            assert {layers[each].planted for each in task.layer_ids} == {task.best}
    by_key = {key: task for task in plan.tasks for key in task.keys}
    for task in plan.tasks:
        if task.kind == "frost":
            for key in task.keys:
                assert by_key[key.replace("frost:", "frost-over:", 1)].best > task.best
        if task.kind in ("lift", "clear"):
            for other in (each for each in report.layers if each.pot_id in task.pot_ids):
                if other.start is None:
                    continue
                # Nothing is dug out through a neighbour that is in flower then.
                assert not other.start.p50 <= task.best <= other.end.p50, (task, other.name)
    # Each turn stands in the week it falls in, and in no other.
    in_weeks = sorted(
        (day, task.key)
        for week in plan.weeks
        for task, days in zip(week.tasks, week.days, strict=True)
        for day in days
    )
    assert in_weeks == sorted((turn, task.key) for task in plan.tasks for turn in task.turns)
    for week in plan.weeks:
        assert week.first.weekday() == 0
        for days in week.days:
            assert all(week.first <= day <= week.last for day in days)


@settings(max_examples=60)
@given(yards())
@example(COLCHICUM_IN_A_SHED)
@example(DAHLIA_AMONG_TULIPS)
@example(LATE_IN_THE_COLD)
def test_nothing_is_asked_of_a_pot_that_is_empty_or_not_planted_on_that_day(yard):
    report, plan = plan_of(yard)
    before = {"order", "buy", "prechill", "plant"}
    after = {"refill"}
    emptied = {}
    for task in plan.tasks:
        if task.kind == "refill":
            for pot_id in task.pot_ids:
                emptied[pot_id] = task.best - timedelta(days=1)
    for task in plan.tasks:
        for turn in task.turns:
            pots = task.pots_on(turn)
            assert pots, task
            for pot_id in pots:
                mine = [layer for layer in report.layers if layer.pot_id == pot_id]
                planted = min(date.min if layer.established else layer.planted for layer in mine)
                if task.kind not in before:
                    assert planted <= turn, (task, pot_id)
                later = [layer for layer in mine if layer.planted > emptied.get(pot_id, date.max)]
                if pot_id in emptied and not later and task.kind not in after:
                    assert turn <= emptied[pot_id], (task, pot_id)


@settings(max_examples=60)
@given(yards())
def test_a_pot_is_never_watered_in_the_week_in_which_watering_it_stops(yard):
    _, plan = plan_of(yard)
    for week in plan.weeks:
        watered, stopped = set(), set()
        for task, days in zip(week.tasks, week.days, strict=True):
            if task.kind == "stop-watering":
                stopped |= set(task.pot_ids)
            elif task.kind.startswith("water-"):
                watered |= set(task.pots_on(*days))
        assert not watered & stopped, week.label


@settings(max_examples=25)
@given(yards())
def test_a_pot_weighs_the_same_in_all_that_is_said_of_it(yard):
    from bloomline.plan.pot.lifting import moving_words
    from bloomline.plan.pot.weight import pot_weight

    _, plan = plan_of(yard)
    words = {
        pot.id: moving_words(pot_weight(pot, yard=yard, cultivar_of=asking.catalogue().get))
        for pot in yard.pots
    }
    for task in plan.tasks:
        for sentence in (part for part in task.reason.split(": ") if " kg " in part):
            assert any(
                words[pot_id].split("It weighs")[-1].split(",")[0] in sentence
                for pot_id in task.pot_ids
            ), task
