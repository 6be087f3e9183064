"""New layers beside those that stay: nothing is dug up, and nothing is amiss that was not."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from filling_yards import ask, pot, yard
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.files.yardfile import load_yard
from bloomline.model.advice import Severity
from bloomline.model.yard import Layer
from bloomline.plan.fill.gap import fill_gap
from bloomline.plan.fill.pot import suggest_pot
from bloomline.plan.fill.room import intervals_of
from bloomline.plan.fill.wishes import Wishes
from bloomline.plan.fill.yard import fill_yard
from bloomline.plan.pot.findings import pot_findings
from bloomline.plan.pot.residence import is_out_before
from bloomline.plan.season.advice import flowering_days
from bloomline.plan.season.yard import season_report

DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"
NOVEMBER = date(2026, 11, 29)


def layer(name, cultivar_id, cover_cm, planted, *, count=12, state="planned"):
    return Layer(
        id=name,
        cultivar_id=cultivar_id,
        count=count,
        cover_cm=cover_cm,
        planted=planted,
        state=state,
    )


def three_pots(state):
    """Pots of which some have room at the top alone, some beside and under what lies there."""
    day = date(2026, 11, 13)
    return yard(
        pot(1, layer("a", "tulipa-queen-of-night", 22.0, day, state=state), size=(50, 40, 45)),
        pot(
            2,
            layer("b", "tulipa-spring-green", 18.0, day, state=state),
            layer("c", "narcissus-tete-a-tete", 12.0, date(2026, 10, 15), state=state),
            size=(40, 40, 40),
        ),
        pot(3, layer("d", "lilium-tiny-bee", 15.0, date(2027, 4, 3), count=3), size=(30, 22, 28)),
    )


def planned(of, today):
    """Yards as every plan for one would leave it."""
    here = ask(of, today=today)
    for each in fill_yard(here, Wishes(), seconds=2.0).answers:
        yield each.yard
    for one in of.pots:
        for each in suggest_pot(here, one.id, Wishes()).answers:
            yield each.yard
    for filler in fill_gap(here, date(2027, 3, 15), date(2027, 5, 20)).fillers[:4]:
        yield filler.apply(of)


def amiss(of, today):
    here = ask(of, today=today)
    days = flowering_days(season_report(here))
    return {
        each.key
        for one in of.pots
        for each in pot_findings(
            one, cultivar_of=here.cultivar_of, flowering_days=days, with_mending=False
        )
        if each.severity is not Severity.NOTE
    }


def dug_up(before, after, today):
    """New layers that lie no higher than one which is in the compost when they are planted."""
    cultivar_of = ask(before, today=today).cultivar_of
    known = {each.id for _, each in before.layers()}
    return [
        (new.cultivar_id, old.cultivar_id)
        for one in after.pots
        for new in one.layers
        for old in one.layers
        if new.id not in known
        and old.id in known
        and old.planted <= max(today, new.planted)
        and (old.state != "planned" or old.planted <= today or old.planted < new.planted)
        and not is_out_before(old, new, cultivar_of=cultivar_of)
        and new.cover_cm + cultivar_of(new.cultivar_id).bulb_height_cm > old.cover_cm
    ]


def holds(of, today):
    was, count = amiss(of, today), 0
    for after in planned(of, today):
        assert amiss(after, today) <= was
        assert dug_up(of, after, today) == []
        count += 1
    return count


def test_plans_for_the_demo_yard_dig_nothing_up():
    assert holds(load_yard(DEMO).yard, NOVEMBER) >= 6


@settings(max_examples=3, deadline=None)
@given(st.dates(date(2026, 9, 1), date(2026, 12, 10)), st.sampled_from(["planned", "planted"]))
def test_no_plan_digs_anything_up_on_any_day(today, state):
    holds(load_yard(DEMO).yard if today.day % 2 else three_pots(state), today)


@pytest.mark.parametrize(
    ("state", "planted"), [("planted", date(2026, 11, 1)), ("planned", date(2026, 11, 1))]
)
def test_above_what_is_in_the_compost_alone(state, planted):
    lying = layer("a", "narcissus-geranium", 12.0, planted, state=state)
    one = pot(1, lying)
    here = ask(yard(one), today=NOVEMBER)
    assert [each.top_cm for each in intervals_of(here, one, on=NOVEMBER)] == [0.0]
    (free,) = intervals_of(here, one, on=NOVEMBER)
    assert free.bottom_cm == pytest.approx(10.0)


def test_a_layer_that_is_yet_to_be_planted_is_reckoned_with():
    lying = layer("a", "narcissus-geranium", 12.0, NOVEMBER)
    one = pot(1, lying)
    here = ask(yard(one), today=date(2026, 11, 1))
    assert len(intervals_of(here, one, on=NOVEMBER)) == 2
    # Planted sooner it can only lie under it: through what is above it would be dug.
    sooner = intervals_of(here, one, on=date(2026, 11, 5))
    assert [each.top_cm > 12.0 for each in sooner] == [True]


def test_what_is_planted_before_a_later_layer_is_over_by_then():
    of = three_pots("planned")
    here = ask(of, today=NOVEMBER)
    lilies = date(2027, 4, 3)
    found = [*suggest_pot(here, "pot-3", Wishes()).answers]
    new = [each for answer in found for each in answer.layers]
    fillers = fill_gap(here, date(2027, 3, 1), date(2027, 5, 20), pot_ids=["pot-3"]).fillers
    assert all(e.layer.planted >= lilies or e.over.p50 <= lilies for e in new)
    assert all(e.layer.planted >= lilies or e.over <= lilies for e in fillers)
