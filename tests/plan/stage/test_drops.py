"""Carrying a pot to a place on a day: how long it stays, why not, and leaving it to the rota."""

from __future__ import annotations

from datetime import date, timedelta

import asking
import pytest

from bloomline.model.edits import change_pot
from bloomline.model.stage_edits import add_place, fix_stand
from bloomline.plan.stage.drops import judge_freeing, judge_stand
from bloomline.plan.stage.rota import stage_plan

PLASTIC = {
    "top_width_cm": 28.0,
    "bottom_width_cm": 22.0,
    "inside_height_cm": 24.0,
    "material": "plastic",
    "wall_cm": 0.4,
}


@pytest.fixture
def yard():
    """Two pots that flower one after the other, a step for one of them and a bench."""
    kinds = ("narcissus-ice-follies", "tulipa-queen-of-night")
    made = asking.yard(*[[(kind, "2026-10-10")] for kind in kinds])
    for pot in made.pots:
        made = change_pot(made, pot.id, **PLASTIC)
    return add_place(add_place(made, "Step", capacity=1), "Bench", capacity=2)


def seen(yard):
    outlook = asking.outlook(yard, today=asking.TODAY)
    plan = stage_plan(outlook)
    assert plan is not None
    return outlook, plan


def test_a_pot_stays_until_the_rota_would_carry_it_on(yard):
    outlook, plan = seen(yard)
    stay = next(s for s in plan.stays() if s.first > plan.weeks[0] and s.last < plan.last_day)
    day = stay.first + timedelta(days=2)
    target = "Bench" if stay.place != "Bench" else "Step"
    verdict = judge_stand(outlook, plan, stay.pot_id, target, day)
    assert verdict.apply is not None and target in verdict.words
    (stand,) = verdict.apply(yard).fixed_stands
    assert (stand.pot_id, stand.place) == (stay.pot_id, target)
    assert (stand.first, stand.last) == (day, stay.last)
    _, after = seen(verdict.apply(yard))
    assert after.place_of(stay.pot_id, day) == target
    assert after.stay_of(stay.pot_id, day).by_hand


def test_a_stand_may_be_for_the_rest_of_the_season(yard):
    outlook, plan = seen(yard)
    stay = next(s for s in plan.stays() if s.last < plan.last_day)
    target = "Bench" if stay.place != "Bench" else "Step"
    verdict = judge_stand(outlook, plan, stay.pot_id, target, stay.first, for_good=True)
    (stand,) = verdict.apply(yard).fixed_stands
    assert stand.last is None
    _, after = seen(verdict.apply(yard))
    assert after.place_of(stay.pot_id, after.last_day) == target


def test_what_the_rota_never_carries_on_stays_for_good(yard):
    outlook, plan = seen(yard)
    stay = next(s for s in plan.stays() if s.last == plan.last_day)
    target = "Bench" if stay.place != "Bench" else "Step"
    verdict = judge_stand(outlook, plan, stay.pot_id, target, stay.last)
    (stand,) = verdict.apply(yard).fixed_stands
    assert stand.last is None


def test_where_it_stands_already_it_is_kept(yard):
    outlook, plan = seen(yard)
    stay = next(s for s in plan.stays() if s.place is not None)
    verdict = judge_stand(outlook, plan, stay.pot_id, stay.place, stay.last)
    (stand,) = verdict.apply(yard).fixed_stands
    assert stand.first == stay.first


def test_a_pot_that_is_too_wide_or_too_heavy_is_refused_with_the_reason(yard):
    yard = add_place(yard, "Sill", width_cm=20.0)
    outlook, plan = seen(yard)
    refused = judge_stand(outlook, plan, "pot-0", "Sill", date(2027, 4, 14))
    assert refused.apply is None
    assert "Pot 0" in refused.words and "wider" in refused.words
    heavy = change_pot(yard, "pot-0", **{**PLASTIC, "material": "stone", "wall_cm": 6.0})
    outlook, plan = seen(heavy)
    refused = judge_stand(outlook, plan, "pot-0", "Step", date(2027, 4, 14))
    assert refused.apply is None and "too heavy" in refused.words


def test_days_without_a_rota_are_refused(yard):
    outlook, plan = seen(yard)
    for day in (plan.weeks[0] - timedelta(days=1), plan.last_day + timedelta(days=1)):
        assert plan.stay_of("pot-0", day) is None
        assert judge_stand(outlook, plan, "pot-0", "Step", day).apply is None


def test_a_stay_is_left_to_the_rota_again_all_of_it(yard):
    _, free = seen(yard)
    held = fix_stand(yard, "pot-1", "Step", date(2027, 1, 13), date(2027, 2, 17))
    for fixed in (held, fix_stand(yard, "pot-1", "Step", date(2027, 1, 13))):
        _, plan = seen(fixed)
        stay = plan.stay_of("pot-1", date(2027, 1, 20))
        assert stay.by_hand and stay.place == "Step"
        freed = judge_freeing(plan, stay).apply(fixed)
        assert freed.fixed_stands == ()
        _, again = seen(freed)
        assert [(s.pot_id, s.place, s.first) for s in again.stays()] == [
            (s.pot_id, s.place, s.first) for s in free.stays()
        ]
    by_rota = next(s for s in free.stays() if not s.by_hand)
    assert judge_freeing(free, by_rota).apply is None
