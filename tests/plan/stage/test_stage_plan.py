"""The rota of a yard: rules that are never broken, and a hand that counts."""

from __future__ import annotations

from collections import defaultdict
from datetime import date, timedelta
from itertools import pairwise

import asking
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bloomline.model.edits import change_pot
from bloomline.model.stage_edits import (
    add_place,
    change_stage_place,
    fix_stand,
    remove_place,
    rename_place,
)
from bloomline.plan.pot.lifting import carried_by
from bloomline.plan.season.weights import weights
from bloomline.plan.season.yard import season_report
from bloomline.plan.stage.limits import why_never
from bloomline.plan.stage.rota import stage_plan
from bloomline.plan.stage.shows import is_smelt
from bloomline.plan.stage.winter import winter_yard

KINDS = (
    "galanthus-nivalis",
    "crocus-tommasinianus-ruby-giant",
    "narcissus-ice-follies",
    "hyacinthus-orientalis-delft-blue",
    "muscari-armeniacum",
    "tulipa-shirley",
    "tulipa-queen-of-night",
)
SMALL = {"top_width_cm": 28.0, "bottom_width_cm": 22.0, "inside_height_cm": 24.0}
PLASTIC = {**SMALL, "material": "plastic", "wall_cm": 0.4}


def small_yard(*kinds, **fields):
    """A yard of light pots, a layer in each."""
    made = asking.yard(*[[(kind, "2026-10-10")] for kind in kinds])
    for pot in made.pots:
        made = change_pot(made, pot.id, **{**PLASTIC, **fields})
    return made


def plan_of(yard):
    plan = stage_plan(asking.outlook(yard, today=asking.TODAY))
    assert plan is not None
    return plan


def at(plan, place):
    lane = plan.lane(place)
    assert lane is not None
    return lane


def check_rules(yard, plan):
    """What no rota may ever do."""
    outlook = asking.outlook(yard, today=asking.TODAY)
    heavy = weights(outlook)
    pots = {pot.id: pot for pot in yard.pots}
    everywhere = [*plan.own, *(stay for lane in plan.lanes for stay in lane.stays)]
    for monday in plan.weeks:
        here = defaultdict(list)
        for stay in everywhere:
            if stay.first <= monday <= stay.last:
                here[stay.place].append(stay.pot_id)
        placed = [pot_id for ids in here.values() for pot_id in ids]
        assert sorted(placed) == sorted(pots)  # every pot somewhere, and at one place
        for lane in plan.lanes:
            ids, place = here[lane.place.name], lane.place
            still = [i for i in ids if carried_by(heavy[i]) == "nobody"]
            assert len(ids) <= max(place.capacity, len(still))
            if place.width_cm is not None and len(ids) > len(still):
                wide = [
                    max(pots[i].top_width_cm, pots[i].top_length_cm or 0) + 2 * pots[i].wall_cm
                    for i in ids
                ]
                assert sum(wide) <= place.width_cm + 1e-6
    steep = {lane.place.name for lane in plan.lanes if lane.place.no_trolley}
    for move in plan.moves:
        assert carried_by(heavy[move.pot_id]) != "nobody"
        if carried_by(heavy[move.pot_id]) == "trolley":
            assert not {move.source, move.target} & steep
        assert move.source != move.target
        assert move.day.weekday() == 5


@settings(
    deadline=None, max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(data=st.data())
def test_no_rule_is_ever_broken(data):
    kinds = data.draw(st.lists(st.sampled_from(KINDS), min_size=1, max_size=6))
    yard = small_yard(*kinds)
    widths = st.sampled_from([18.0, 28.0, 40.0, 60.0])
    for pot in yard.pots:
        width = data.draw(widths)
        yard = change_pot(
            yard,
            pot.id,
            top_width_cm=width,
            bottom_width_cm=0.8 * width,
            material=data.draw(st.sampled_from(["plastic", "fired-clay-once", "stone"])),
            wall_cm=data.draw(st.sampled_from([0.5, 2.0])),
        )
    for number in range(data.draw(st.integers(1, 3))):
        yard = add_place(
            yard,
            f"Place {number}",
            kind=data.draw(st.sampled_from(["display", "display", "rest", "shelter"])),
            capacity=data.draw(st.integers(1, 3)),
            width_cm=data.draw(st.sampled_from([None, 30.0, 70.0])),
            sun=data.draw(st.sampled_from([None, "sun", "shade", "dark"])),
            no_trolley=data.draw(st.booleans()),
            view_weight=data.draw(st.sampled_from([0.0, 1.0, 3.0])),
        )
    for pot in yard.pots:
        shown = data.draw(st.sampled_from([None, *(p.name for p in yard.display_places)]))
        yard = change_pot(yard, pot.id, display_place=shown)
    for pot in yard.pots:
        if data.draw(st.booleans()):
            names = [None, *(place.name for place in yard.display_places)]
            first = date(2027, 1, 1) + timedelta(days=data.draw(st.integers(0, 150)))
            yard = fix_stand(
                yard, pot.id, data.draw(st.sampled_from(names)), first, first + timedelta(days=20)
            )
    plan = plan_of(yard)
    check_rules(yard, plan)
    # What is fixed by hand stands, or it is told why not.
    told = ("room left", "too heavy", "wider than")
    refused = sum(any(each in words for each in told) for words in plan.conflicts)
    kept = [plan.place_of(s.pot_id, s.first + timedelta(7)) == s.place for s in yard.fixed_stands]
    assert len(kept) - sum(kept) <= refused
    assert plan.is_proven


def test_without_places_there_is_no_rota():
    assert stage_plan(asking.outlook(small_yard("muscari-armeniacum"), today=asking.TODAY)) is None
    empty = add_place(asking.yard(), "Step")
    assert stage_plan(asking.outlook(empty, today=asking.TODAY)) is None


def test_the_best_seen_place_shows_what_flowers_one_after_the_other():
    yard = add_place(small_yard(*KINDS[:3], "tulipa-queen-of-night"), "Step", capacity=1)
    plan = plan_of(yard)
    check_rules(yard, plan)
    stays = at(plan, "Step").stays
    assert len(stays) >= 3
    for before, after in pairwise(stays):
        assert before.last < after.first
    report = season_report(asking.outlook(yard, today=asking.TODAY))
    ends = {pot.pot_id: pot.layers[0].end.p50 for pot in report.pots}
    for stay in stays:
        assert stay.weeks_of_colour > 1.0
        assert stay.last <= ends[stay.pot_id] + timedelta(days=21)
        assert stay.flowers


def test_a_place_of_more_weight_gets_the_pot():
    yard = small_yard("tulipa-shirley")
    yard = add_place(add_place(yard, "Back", view_weight=1.0), "Door", view_weight=2.0)
    assert at(plan_of(yard), "Door").stays and not at(plan_of(yard), "Back").stays
    turned = change_stage_place(yard, "Back", view_weight=4.0)
    assert at(plan_of(turned), "Back").stays and not at(plan_of(turned), "Door").stays


def test_weeks_that_are_wanted_draw_flowers_to_a_place():
    yard = small_yard("narcissus-ice-follies", "tulipa-queen-of-night")
    yard = add_place(add_place(yard, "Door", capacity=1), "Terrace", capacity=1)
    yard = change_stage_place(yard, "Door", wanted=({"feast": "easter", "weight": 5.0},))
    yard = change_stage_place(
        yard, "Terrace", wanted=({"first": "05-01", "last": "05-31", "weight": 5.0},)
    )
    plan = plan_of(yard)
    assert "pot-0" in {stay.pot_id for stay in at(plan, "Door").on(date(2027, 3, 30))}
    assert "pot-1" in {stay.pot_id for stay in at(plan, "Terrace").on(date(2027, 5, 8))}


def test_a_pot_wider_than_a_place_does_not_go_there():
    yard = add_place(small_yard("tulipa-shirley"), "Sill", width_cm=28.5)
    assert at(plan_of(change_stage_place(yard, "Sill", width_cm=28.8)), "Sill").stays
    assert not at(plan_of(yard), "Sill").stays


def test_a_drop_is_answered_before_anything_is_planned():
    yard = small_yard("tulipa-shirley", "narcissus-ice-follies")
    yard = add_place(add_place(yard, "Sill", width_cm=20.0), "Step", no_trolley=True)
    yard = change_pot(yard, "pot-1", material="stone", wall_cm=6.0, display_place="Step")
    heavy = weights(asking.outlook(yard, today=asking.TODAY))
    light, stone = yard.pots
    sill, step = yard.display_places
    assert why_never(light, heavy["pot-0"], step) is None
    assert why_never(light, heavy["pot-0"], None) is None
    assert "wider" in why_never(light, heavy["pot-0"], sill)
    assert why_never(stone, heavy["pot-1"], step) is None  # where it stands
    assert "too heavy" in why_never(stone, heavy["pot-1"], sill)
    assert "too heavy" in why_never(stone, heavy["pot-1"], None)


def test_what_needs_a_trolley_climbs_no_steps():
    yard = add_place(small_yard("tulipa-shirley", material="fired-clay-twice", wall_cm=2.0), "Up")
    yard = change_pot(yard, "pot-0", top_width_cm=34.0, bottom_width_cm=28.0)
    weight = weights(asking.outlook(yard, today=asking.TODAY))["pot-0"]
    assert carried_by(weight) == "trolley"
    assert at(plan_of(yard), "Up").stays
    steps = change_stage_place(yard, "Up", no_trolley=True)
    assert not at(plan_of(steps), "Up").stays
    by_hand = plan_of(fix_stand(steps, "pot-0", "Up", date(2027, 4, 1)))
    assert not at(by_hand, "Up").stays and "no trolley" in by_hand.conflicts[0]


def test_what_is_too_heavy_stands_where_it_is_shown_all_year():
    yard = add_place(small_yard("tulipa-shirley", "narcissus-ice-follies"), "Step", capacity=1)
    heavy = change_pot(yard, "pot-0", material="stone", wall_cm=6.0, display_place="Step")
    plan = plan_of(heavy)
    (stay,) = at(plan, "Step").stays
    assert (stay.pot_id, stay.first) == ("pot-0", plan.weeks[0])
    assert not plan.moves  # and its room is taken
    assert not plan.conflicts
    both = change_pot(heavy, "pot-1", material="stone", wall_cm=6.0, display_place="Step")
    assert "more room than there is" in plan_of(both).conflicts[0]


def test_leaves_are_not_left_in_the_shade():
    yard = add_place(small_yard("narcissus-ice-follies"), "Porch", sun="shade")
    yard = add_place(yard, "Court", kind="rest", sun="shade", capacity=5)
    plan = plan_of(yard)
    report = season_report(asking.outlook(yard, today=asking.TODAY))
    (layer,) = report.layers
    in_leaf = layer.end.p50 + timedelta(days=21)
    assert in_leaf < layer.leaves_over.p50
    assert plan.place_of("pot-0", layer.full.p50) == "Porch"  # a show in the shade harms nobody
    assert plan.place_of("pot-0", in_leaf) is None
    light = plan_of(change_stage_place(yard, "Court", sun="half-shade"))
    assert light.place_of("pot-0", in_leaf) == "Court"


def test_a_pot_stays_under_cover_until_its_day():
    yard = add_place(small_yard("crocus-tommasinianus-ruby-giant"), "Step")
    free = plan_of(yard)
    until = free.moves[0].day + timedelta(days=20)
    kept = change_pot(yard, "pot-0", site="cold-frame", sheltered_until=until)
    for move in plan_of(kept).moves:
        assert move.day >= until
    early = fix_stand(kept, "pot-0", "Step", until - timedelta(days=20), until)
    plan = plan_of(early)
    assert at(plan, "Step").stays and "frost may harm" in plan.conflicts[0]


def test_roots_that_would_freeze_are_carried_to_a_shelter_if_the_pot_says_so():
    yard = asking.yard([("muscari-armeniacum", "2026-10-10")], place="Boston")
    yard = change_pot(yard, "pot-0", **PLASTIC)
    yard = add_place(yard, "Step")
    assert not [m for m in plan_of(yard).moves if m.day < date(2027, 3, 1)]
    sheltered = add_place(yard, "Garage", kind="shelter")
    asked = plan_of(sheltered)
    assert asked.place_of("pot-0", date(2027, 1, 15)) is None
    sheltered = winter_yard(sheltered, asked.offers)
    plan = plan_of(sheltered)
    assert plan.place_of("pot-0", date(2027, 1, 15)) == "Garage"
    assert plan.place_of("pot-0", date(2026, 10, 15)) is None
    (layer,) = season_report(asking.outlook(sheltered, today=asking.TODAY)).layers
    assert plan.place_of("pot-0", layer.full.p50) == "Step"
    full = change_pot(sheltered, "pot-0", material="stone", wall_cm=6.0)
    assert not plan_of(full).moves  # what can't be carried is wrapped where it stands


def test_what_the_hand_fixes_stands_and_the_rest_follows():
    yard = add_place(small_yard("narcissus-ice-follies", "tulipa-shirley"), "Step", capacity=1)
    free = plan_of(yard)
    assert "pot-0" in {stay.pot_id for stay in at(free, "Step").stays}
    held = fix_stand(yard, "pot-1", "Step", free.weeks[0], free.weeks[-1])
    plan = plan_of(held)
    assert {stay.pot_id for stay in at(plan, "Step").stays} == {"pot-1"}
    assert all(stay.by_hand for stay in at(plan, "Step").stays)
    both = fix_stand(held, "pot-0", "Step", free.weeks[0], free.weeks[-1])
    assert "no room left" in plan_of(both).conflicts[0]
    home = fix_stand(yard, "pot-0", None, free.weeks[0])
    assert "pot-0" not in {stay.pot_id for stay in at(plan_of(home), "Step").stays}


def test_a_renamed_place_changes_nothing_but_its_name():
    yard = add_place(small_yard("narcissus-ice-follies", "tulipa-shirley"), "Step", capacity=1)
    told = [(m.pot_id, m.day, m.until) for m in plan_of(yard).moves]
    renamed = plan_of(rename_place(yard, "Step", "Door"))
    assert [(m.pot_id, m.day, m.until) for m in renamed.moves] == told
    assert stage_plan(
        asking.outlook(remove_place(yard, "Step"), today=asking.TODAY)
    ) is None  # fmt: skip


class TestScent:
    """Nose height less flower height, against how far scent carries."""

    yard = add_place(
        small_yard("hyacinthus-orientalis-delft-blue", "muscari-armeniacum"),
        "Path",
        capacity=2,
        by_path=True,
    )

    def test_strong_scent_reaches_a_nose_that_faint_scent_does_not(self):
        report = season_report(asking.outlook(self.yard, today=asking.TODAY))
        place = self.yard.display_place("Path")
        strong, faint = report.pots[0].layers[0], report.pots[1].layers[0]
        assert (strong.scent, faint.scent) == (2, 1)
        assert is_smelt(strong, place, pot_height_cm=25.0)
        assert not is_smelt(faint, place, pot_height_cm=25.0)
        # 150 − (25 + 18) is 107 cm, and faint scent carries 50: raise the pot by 57.
        raised = place.model_copy(update={"raised_cm": 150.0 - 25.0 - faint.height_cm - 50.0})
        assert is_smelt(faint, raised, pot_height_cm=25.0)
        assert not is_smelt(faint, raised, pot_height_cm=24.9)
        seated = place.model_copy(update={"nose_height_cm": 25.0 + faint.height_cm + 50.0})
        assert is_smelt(faint, seated, pot_height_cm=25.0)
        off = place.model_copy(update={"by_path": False})
        assert not is_smelt(strong, off, pot_height_cm=140.0)

    def test_weeks_of_scent_are_those_of_what_is_smelt_there(self):
        plan = plan_of(self.yard)
        report = season_report(asking.outlook(self.yard, today=asking.TODAY))
        whole = report.pots[0].weeks_of_scent.expected
        lane = at(plan, "Path")
        assert 0.9 * whole < lane.weeks_of_scent <= whole + 1e-6
        away = plan_of(change_stage_place(self.yard, "Path", by_path=False))
        assert at(away, "Path").weeks_of_scent == 0.0
        assert at(away, "Path").weeks_of_colour == pytest.approx(lane.weeks_of_colour, abs=0.5)


def test_weeks_of_colour_of_a_place_are_those_of_its_pot():
    yard = add_place(small_yard("tulipa-shirley"), "Step")
    plan = plan_of(yard)
    report = season_report(asking.outlook(yard, today=asking.TODAY))
    whole = report.pots[0].weeks_of_colour.expected
    assert 0.9 * whole < at(plan, "Step").weeks_of_colour <= whole + 1e-6


def test_the_south_has_its_own_year():
    yard = small_yard("tulipa-shirley")
    yard = change_pot(yard, "pot-0")
    south = asking.mirrored("London")
    planted = yard.pots[0].layers[0].model_copy(update={"planted": date(2027, 5, 1)})
    pot = yard.pots[0].model_copy(update={"layers": (planted,)})
    yard = add_place(yard.model_copy(update={"pots": (pot,)}), "Step")
    plan = stage_plan(asking.outlook(yard, today=asking.TODAY, garden=south))
    (stay,) = at(plan, "Step").stays
    assert 8 <= stay.first.month <= 11


def standing_at(yard, name):
    return {stay.pot_id for stay in at(plan_of(yard), name).stays}


def test_a_bench_stands_together_or_not_at_all():
    made = small_yard("tulipa-shirley", "narcissus-ice-follies", to_buy=None)
    bench = made.pots[0].id
    roomy = add_place(change_pot(made, bench, copies=5), "Terrace", capacity=6, view_weight=2.0)
    assert bench in standing_at(roomy, "Terrace")
    tight = change_stage_place(roomy, "Terrace", capacity=4)
    assert bench not in standing_at(tight, "Terrace")
    narrow = change_stage_place(roomy, "Terrace", width_cm=120.0)
    assert bench not in standing_at(narrow, "Terrace")
    fixed = fix_stand(tight, bench, "Terrace", first=date(2027, 4, 5), last=date(2027, 5, 2))
    assert any("5 pots" in words for words in plan_of(fixed).conflicts)


@pytest.mark.parametrize("copies", [2, 3, 5])
def test_a_bench_takes_the_room_of_all_its_pots(copies):
    kinds = ("tulipa-shirley", "tulipa-queen-of-night", "narcissus-ice-follies")
    made = small_yard(*kinds, copies=copies)
    yard = add_place(made, "Terrace", capacity=copies + 1, width_cm=5000.0, view_weight=2.0)
    plan = plan_of(yard)
    for monday in plan.weeks:
        stays = at(plan, "Terrace").on(monday)
        assert sum(stay.copies for stay in stays) <= copies + 1
    assert any(stay.copies == copies for stay in at(plan, "Terrace").stays)
