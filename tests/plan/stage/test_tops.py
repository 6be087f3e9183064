"""Plants on top of a pot count in what a place shows, on the days that the season gives them."""

from __future__ import annotations

from datetime import date, timedelta

import asking
import pytest

from bloomline.model.companion import CompanionPlanting
from bloomline.model.edits import change_pot
from bloomline.model.stage_edits import add_place
from bloomline.plan.season.yard import season_report
from bloomline.plan.stage.rota import stage_plan
from bloomline.plan.stage.shows import in_season, is_smelt
from bloomline.plan.stage.weeks import Weeks
from bloomline.plan.stage.words import lane_words

LIGHT = {
    "top_width_cm": 28.0,
    "bottom_width_cm": 22.0,
    "inside_height_cm": 24.0,
    "material": "plastic",
    "wall_cm": 0.4,
}


def yard_with(*tops, **place):
    """Two light pots of the same tulips, the second with plants on top."""
    made = asking.yard(*[[("tulipa-shirley", "2026-10-10")]] * 2)
    for pot in made.pots:
        made = change_pot(made, pot.id, **LIGHT)
    planted = tuple(
        CompanionPlanting(id=f"top-{at}", companion_id=top, count=6, planted=date(2026, 10, 10))
        for at, top in enumerate(tops)
    )
    pots = (made.pots[0], made.pots[1].model_copy(update={"companions": planted}))
    return add_place(made.model_copy(update={"pots": pots}), "Step", **{"capacity": 1, **place})


def looked_at(yard):
    outlook = asking.outlook(yard, today=asking.TODAY)
    return season_report(outlook), stage_plan(outlook)


def test_primroses_bring_their_pot_to_the_step_on_their_days():
    report, plan = looked_at(yard_with("primrose-wild"))
    (top,) = report.pots[1].companions
    step = plan.lane("Step")
    middle = top.first + (top.last - top.first) / 3
    (stay,) = step.on(middle)
    assert stay.pot_id == "pot-1"
    assert abs(stay.first - top.first) <= timedelta(days=7)
    (shown,) = [each for each in stay.flowers if each.layer_id == "top-0"]
    assert (shown.first, shown.name) == (max(top.first, stay.first), top.name)
    days = (top.last - top.first).days + 1
    assert step.weeks_with_tops == pytest.approx(
        days / 7.0 + step.weeks_of_colour, abs=step.weeks_of_colour
    )
    assert step.weeks_with_tops > step.weeks_of_colour + 4.0
    assert "with the plants on top" in lane_words(step)


def test_weeks_of_colour_stay_those_of_the_season():
    _, bare = looked_at(yard_with())
    report, plan = looked_at(yard_with("primrose-wild"))
    whole = report.pots[1].weeks_of_colour.expected
    assert plan.lane("Step").weeks_of_colour <= whole + 1e-6
    lane = bare.lane("Step")
    assert lane.weeks_with_tops == pytest.approx(lane.weeks_of_colour)
    assert "on top" not in lane_words(lane)


def test_leaves_are_no_flowers():
    _, plan = looked_at(yard_with("ivy-small-leaved"))
    lane = plan.lane("Step")
    assert lane.weeks_with_tops == pytest.approx(lane.weeks_of_colour)
    assert not [each for stay in lane.stays for each in stay.flowers if each.layer_id == "top-0"]


def test_a_week_counts_by_its_days_and_by_what_frost_leaves():
    report, _ = looked_at(yard_with("primrose-wild"))
    (top,) = report.pots[1].companions
    monday = top.first - timedelta(days=top.first.weekday())
    share = in_season(top, Weeks(monday, 40))
    assert share[0] == pytest.approx((7 - top.first.weekday()) / 7.0 * (1.0 - top.killed_share))
    assert 7.0 * share.sum() == pytest.approx(
        ((top.last - top.first).days + 1) * (1.0 - top.killed_share)
    )


def test_their_scent_is_smelt_where_they_stand_high_enough():
    yard = yard_with("viola-small", by_path=True)
    report, low = looked_at(yard)
    (top,) = report.pots[1].companions
    assert top.scent == 1
    raised = yard.model_copy(
        update={"display_places": (yard.display_places[0].model_copy(update={"raised_cm": 70.0}),)}
    )
    assert not is_smelt(top, yard.display_places[0], pot_height_cm=24.0)
    assert is_smelt(top, raised.display_places[0], pot_height_cm=24.0)
    _, high = looked_at(raised)
    assert high.lane("Step").weeks_of_scent > low.lane("Step").weeks_of_scent + 4.0
