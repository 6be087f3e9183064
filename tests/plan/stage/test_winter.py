"""One answer about winter: season, check, work and rota have a pot where it says that it stands."""

from __future__ import annotations

from datetime import date, timedelta

import asking
import pytest

from bloomline.model.edits import change_pot
from bloomline.model.stage_edits import add_place, change_stage_place, fix_stand
from bloomline.plan.climate.finding import place_meant
from bloomline.plan.season.advice import advice_for
from bloomline.plan.season.yard import season_report
from bloomline.plan.stage.rota import stage_plan
from bloomline.plan.stage.winter import winter_yard
from bloomline.plan.stage.winter_words import offer_words
from bloomline.plan.stage.words import rota_lines
from bloomline.plan.work.year import work_plan

KINDS = (
    "galanthus-nivalis",
    "hyacinthus-orientalis-delft-blue",
    "narcissus-ice-follies",
    "tulipa-shirley",
    "muscari-armeniacum",
)
LIGHT = {
    "top_width_cm": 28.0,
    "bottom_width_cm": 22.0,
    "inside_height_cm": 24.0,
    "material": "plastic",
    "wall_cm": 0.4,
}
CASES = [
    (place, cover)
    for place in ("Berlin", "Minneapolis", "Bath")
    for cover in (None, "shed", "garage")
]


def yard_at(place, cover, *kinds, **fields):
    """Light pots, a step and a place to rest, and maybe a winter shelter."""
    named = "London" if place == "Bath" else place
    made = asking.yard(*[[(kind, "2026-10-10")] for kind in kinds or KINDS], place=named)
    if place == "Bath":
        choice = place_meant("Bath", country_code="GB").choice
        made = made.model_copy(update={"place": choice})
    for pot in made.pots:
        made = change_pot(made, pot.id, **{**LIGHT, **fields})
    made = add_place(add_place(made, "Step", capacity=3), "Back", kind="rest", capacity=9)
    return made if cover is None else add_place(
        made, "Cover", kind="shelter", capacity=9, site=cover
    )  # fmt: skip


def looked_at(yard):
    outlook = asking.outlook(yard, today=asking.TODAY)
    return outlook, stage_plan(outlook)


def stays_under_cover(plan):
    return [stay for lane in plan.lanes if lane.place.cover for stay in lane.stays]


def killed(outlook):
    return {
        pot.pot_id: max(layer.killed_share for layer in pot.layers)
        for pot in season_report(outlook).pots
    }


def frost_warnings(outlook, pot_id):
    return [
        advice for advice in advice_for(outlook, pot_id=pot_id) if advice.message.count("Frost:")
    ]


@pytest.mark.parametrize(("place", "cover"), CASES)
def test_nothing_is_carried_under_cover_that_does_not_say_so(place, cover):
    outlook, plan = looked_at(yard_at(place, cover))
    assert not stays_under_cover(plan)
    tasks = work_plan(outlook).tasks
    assert not [task for task in tasks if task.kind in ("cover", "in", "out")]
    # What is told is of where the pots are: who is in danger has a task and, if often, a warning.
    frost = {pot for task in tasks if task.kind == "frost" for pot in task.pot_ids}
    for pot_id, share in killed(outlook).items():
        assert bool(frost_warnings(outlook, pot_id)) == (share > 0.1)
        assert pot_id in frost or share == 0.0
    for offer in plan.offers:
        assert offer.pot_id in frost
    assert bool(plan.offers) == (cover is not None and place != "Bath")


@pytest.mark.parametrize(("place", "cover"), [case for case in CASES if case[1] is not None])
def test_what_is_written_into_the_pots_is_so_in_every_view(place, cover):
    before, plan = looked_at(yard_at(place, cover))
    outlook, after = looked_at(winter_yard(before.yard, plan.offers))
    offers = {offer.pot_id: offer for offer in plan.offers}
    assert not after.offers and not after.conflicts
    assert {stay.pot_id for stay in stays_under_cover(after)} == set(offers)
    here, there = killed(before), killed(outlook)
    for stay in stays_under_cover(after):
        offer = offers[stay.pot_id]
        assert stay.first - timedelta(days=2) == offer.first
        assert stay.last - timedelta(days=1) == offer.until
    for pot_id, offer in offers.items():
        pot = outlook.yard.pot(pot_id)
        assert (pot.site, pot.sheltered_from, pot.sheltered_until) == (
            (cover, offer.first, offer.until)
        )
        assert here[pot_id] == pytest.approx(offer.killed)
        assert there[pot_id] == pytest.approx(offer.killed_there)
        assert offer.killed_there <= offer.killed
        assert bool(frost_warnings(outlook, pot_id)) == (offer.killed_there > 0.1)
    for pot_id in set(here) - set(offers):
        assert here[pot_id] == there[pot_id]
    tasks = work_plan(outlook).tasks
    carried = {(pot, task.best) for task in tasks if task.kind == "cover" for pot in task.pot_ids}
    assert carried == {(offer.pot_id, offer.first) for offer in plan.offers}
    leaving = {m.pot_id: m for m in after.moves if m.source == "Cover"}
    assert set(leaving) == set(offers)
    for move in leaving.values():
        told = [
            task for task in tasks
            if move.pot_id in task.pot_ids and task.kind in ("out", "forward")
            and task.earliest <= move.day <= task.latest
        ]  # fmt: skip
        assert len(told) == 1  # once, by the task that brings it out or the one that shows it


def test_a_shed_is_no_offer_where_it_is_too_cold():
    """A detached shed in Minneapolis follows the cold, a garage against the house does not."""
    _, shed = looked_at(yard_at("Minneapolis", "shed"))
    _, garage = looked_at(yard_at("Minneapolis", "garage"))
    assert {offer.pot_id for offer in shed.offers} == {"pot-4"}  # grape hyacinths stand most
    assert len(garage.offers) == len(KINDS)
    outlook, after = looked_at(winter_yard(yard_at("Minneapolis", "garage"), garage.offers))
    assert after.lane("Step").weeks_of_colour > 3.0
    assert all(layer.start is not None for layer in season_report(outlook).layers)


def test_a_shelter_that_says_nothing_is_a_detached_shed():
    plain = change_stage_place(yard_at("Berlin", "garage"), "Cover", site=None)
    _, plan = looked_at(plain)
    assert {offer.cover for offer in plan.offers} == {"shed"}
    assert not plain.display_place("Step").cover


def test_those_in_most_danger_get_the_room_there_is():
    yard = change_stage_place(yard_at("Berlin", "shed"), "Cover", capacity=2)
    _, plan = looked_at(yard)
    assert {offer.pot_id for offer in plan.offers} == {"pot-1", "pot-2"}  # killed most often
    narrow = change_stage_place(yard, "Cover", width_cm=40.0)
    assert len(looked_at(narrow)[1].offers) == 1
    _, after = looked_at(winter_yard(yard, plan.offers))
    assert not after.offers  # the room is taken


def test_heavy_pots_get_no_offer_and_no_cover():
    yard = yard_at("Berlin", "shed", material="stone", wall_cm=6.0)
    _, plan = looked_at(yard)
    assert not plan.offers and not plan.moves


def test_more_pots_that_say_so_than_there_is_room_for_are_told():
    _, plan = looked_at(yard_at("Berlin", "shed"))
    yard = winter_yard(yard_at("Berlin", "shed"), plan.offers)
    _, full = looked_at(change_stage_place(yard, "Cover", capacity=2))
    mid = date(2027, 1, 15)
    assert len(full.lane("Cover").on(mid)) == 2
    assert sum("no room left for it at Cover" in words for words in full.conflicts) == 2


def test_a_hand_that_sets_a_pot_under_cover_writes_it_into_the_pot():
    yard = fix_stand(
        yard_at("Berlin", "shed"), "pot-1", "Cover", date(2026, 12, 9), date(2027, 2, 24)
    )
    pot = yard.pot("pot-1")
    assert (pot.site, pot.sheltered_from, pot.sheltered_until) == (
        ("shed", date(2026, 12, 5), date(2027, 2, 27))
    )
    outlook, plan = looked_at(yard)
    (stay,) = [each for each in stays_under_cover(plan) if each.pot_id == "pot-1"]
    assert (stay.first, stay.last) == (date(2026, 12, 7), date(2027, 2, 28))
    assert not plan.conflicts
    assert killed(outlook)["pot-1"] < 0.1
    longer = fix_stand(yard, "pot-1", "Cover", date(2027, 2, 25), date(2027, 3, 14))
    assert longer.pot("pot-1").sheltered_until == date(2027, 3, 13)
    assert longer.pot("pot-1").sheltered_from == date(2026, 12, 5)


def test_a_stand_that_the_pot_knows_nothing_of_is_told():
    yard = fix_stand(
        yard_at("Berlin", "shed"), "pot-1", "Cover", date(2026, 12, 7), date(2027, 2, 28)
    )
    outside = change_pot(yard, "pot-1", site="open")
    _, plan = looked_at(outside)
    assert any("its season is worked out for where it says itself" in w for w in plan.conflicts)
    # At rest in the dark after its flowers it is where no view says otherwise.
    summer = fix_stand(
        yard_at("Berlin", "shed"), "pot-1", "Cover", date(2027, 7, 5), date(2027, 8, 1)
    )
    _, plan = looked_at(change_pot(summer, "pot-1", site="open"))
    assert not plan.conflicts


def test_a_pot_without_places_is_told_when_to_come_in():
    yard = asking.yard([("tulipa-shirley", "2026-10-10")], place="Berlin")
    yard = change_pot(
        yard, "pot-0", site="shed",
        sheltered_from=date(2026, 12, 1), sheltered_until=date(2027, 3, 1), **LIGHT,
    )  # fmt: skip
    tasks = {task.kind: task for task in work_plan(asking.outlook(yard, today=asking.TODAY)).tasks}
    assert tasks["in"].best == date(2026, 12, 1)
    assert tasks["in"].title == "Carry Pot 0 into the detached shed or garage"
    assert tasks["out"].best == date(2027, 3, 1)


def test_a_pot_comes_in_before_its_nights_and_not_before_its_day():
    """Until it comes in, its frosts are those of the open; then those of its cover."""
    yard = yard_at("Minneapolis", None, "tulipa-shirley")
    early = change_pot(yard, "pot-0", site="garage", sheltered_from=date(2026, 11, 7))
    late = change_pot(yard, "pot-0", site="garage", sheltered_from=date(2027, 2, 6))
    shares = [killed(looked_at(each)[0])["pot-0"] for each in (yard, early, late)]
    assert shares[0] == pytest.approx(1.0) and shares[1] < 0.1 and shares[2] > 0.5


def test_the_words_tell_the_danger_here_and_there():
    _, plan = looked_at(yard_at("Berlin", "shed"))
    by_pot = {offer.pot_id: offer_words(offer) for offer in plan.offers}
    assert "frost kills bulbs in 3 winters of ten" in by_pot["pot-1"]
    assert "roots freeze in 7 winters of ten" in by_pot["pot-4"]
    lines = rota_lines(plan)
    assert "Better under cover in winter:" in lines
    assert max(len(line) for line in lines) <= 100
