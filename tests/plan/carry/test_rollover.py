from __future__ import annotations

from datetime import date

import asking
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.errors import EditRefusedError
from bloomline.files.yardfile import dump_yard, load_yard, parse_yard
from bloomline.model.companion import CompanionPlanting
from bloomline.model.companion_edits import add_companion
from bloomline.model.edits import change_layer, change_pot, set_season_year
from bloomline.model.task_edits import tick_task
from bloomline.model.yard import Record
from bloomline.plan.carry.rollover import roll_over
from bloomline.plan.season.yard import season_report


def rolled(yard):
    return roll_over(asking.outlook(yard))


def planted(yard):
    for _, layer in yard.layers():
        yard = change_layer(yard, layer.id, state="planted")
    return yard


def test_tulips_for_one_season_are_planned_anew_and_daffodils_stay():
    yard = planted(
        asking.yard([("tulipa-shirley", "2026-11-10")], [("narcissus-hawera", "2026-10-01")])
    )
    turned = rolled(yard)
    tulip, daffodil = turned.layers
    assert tulip.action == "replaced"
    assert turned.yard.layer(tulip.layer_id)[1].planted == tulip.planted
    assert date(2027, 10, 1) < tulip.planted < date(2027, 12, 15)
    assert turned.yard.layer(tulip.layer_id)[1].state == "planned"
    assert daffodil.action == "stays"
    kept = turned.yard.layer(daffodil.layer_id)[1]
    assert (kept.planted, kept.state) == (date(2026, 10, 1), "planted")
    assert turned.yard.season_year == 2028
    assert "10 bulbs new on" in tulip.words
    assert turned.only("stays") == (daffodil,)


def test_the_next_season_can_be_forecast_and_knows_who_is_established():
    yard = planted(
        asking.yard([("tulipa-shirley", "2026-11-10")], [("narcissus-hawera", "2026-10-01")])
    )
    report = season_report(asking.outlook(rolled(yard).yard))
    tulip, daffodil = report.layers
    assert not tulip.established
    assert daffodil.established
    assert tulip.start.p50.year == daffodil.start.p50.year == 2028


def test_what_lies_over_bulbs_that_are_dug_out_comes_out_too():
    yard = planted(
        asking.yard([("tulipa-shirley", "2026-11-10"), ("muscari-armeniacum", "2026-10-10")])
    )
    level = rolled(yard)
    assert [each.action for each in level.layers] == ["replaced", "stays"]
    deeper = change_layer(yard, "layer-0-0", cover_cm=20.0)
    assert [each.action for each in rolled(deeper).layers] == ["replaced", "rests"]
    under = change_layer(yard, "layer-0-1", cover_cm=20.0)
    names = {each.name: each.action for each in rolled(under).layers}
    assert names["Muscari armeniacum"] == "stays"


def test_kinds_for_two_or_three_years_are_lifted_after_the_third():
    yard = planted(asking.yard([("narcissus-ice-follies", "2026-10-01")]))
    actions = []
    for _ in range(4):
        turned = rolled(yard)
        actions.append(turned.layers[0].action)
        yard = planted(turned.yard)
    assert actions == ["stays", "stays", "rests", "stays"]


def test_lifted_and_tender_bulbs_rest_and_unplanted_ones_are_planned_anew():
    yard = planted(
        asking.yard(
            [("narcissus-ice-follies", "2026-10-01")],
            [("dahlia-bishop-of-llandaff", "2027-05-01")],
            [("muscari-armeniacum", "2026-10-10")],
        )
    )
    yard = change_layer(yard, "layer-0-0", state="lifted")
    yard = change_layer(yard, "layer-2-0", state="planned")
    turned = rolled(yard)
    assert [each.action for each in turned.layers] == ["rests", "rests", "planned anew"]
    assert "in store" in turned.layers[0].words
    assert turned.layers[1].planted.year == 2028


def test_what_is_planned_for_next_season_already_is_left_alone():
    yard = asking.yard([("tulipa-shirley", "2027-11-01")])
    turned = rolled(yard)
    assert turned.layers[0].action == "as planned"
    assert turned.yard == set_season_year(yard, 2028)


def test_shelter_moves_on_by_a_year_and_records_and_ticks_are_kept():
    yard = planted(asking.yard([("tulipa-shirley", "2026-11-10")]))
    yard = change_pot(yard, "pot-0", site="shed", sheltered_until=date(2027, 2, 20))
    record = Record(id="r-1", day=date(2027, 4, 9), layer_id="layer-0-0", seen="full")
    yard = yard.model_copy(update={"records": (record,)})
    yard = tick_task(yard, "plant:layer-0-0:2027", date(2026, 11, 10))
    turned = rolled(yard).yard
    assert turned.pots[0].sheltered_until == date(2028, 2, 20)
    assert turned.records == (record,)
    assert turned.done == yard.done
    leap = change_pot(yard, "pot-0", sheltered_until=date(2024, 2, 29))
    assert rolled(leap).yard.pots[0].sheltered_until == date(2028, 2, 28)


def test_the_south_plans_in_its_own_autumn():
    yard = planted(asking.yard([("tulipa-shirley", "2027-05-10")], place="Melbourne"))
    yard = set_season_year(yard, 2027)
    turned = rolled(yard)
    assert turned.layers[0].action == "replaced"
    assert date(2028, 3, 1) < turned.layers[0].planted < date(2028, 7, 1)


def test_the_calendar_of_the_program_ends():
    yard = set_season_year(asking.yard(), 2198)
    with pytest.raises(EditRefusedError, match="no season after 2198"):
        rolled(yard)


def test_the_demo_yard_rolls_on_for_years(checkout):
    (path,) = (checkout / "demo").glob("hollyhock-*.bloomline")
    yard = load_yard(path).yard
    for year in range(2028, 2034):
        turned = rolled(yard)
        yard = planted(turned.yard)
        assert yard.season_year == year
        assert len(turned.layers) == sum(len(pot.layers) for pot in yard.pots)
        assert parse_yard(dump_yard(turned.yard), name="x") == turned.yard


@settings(max_examples=30)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(["tulipa-shirley", "narcissus-hawera", "dahlia-bednall-beauty"]),
            st.dates(date(2020, 1, 1), date(2029, 12, 31)),
            st.sampled_from(["planned", "planted", "flowering", "lifted"]),
        ),
        max_size=6,
    )
)
def test_nothing_is_lost_and_every_layer_is_told_of(made):
    yard = asking.yard(*[[(name, day.isoformat())] for name, day, _ in made])
    for k, (_, _, state) in enumerate(made):
        yard = change_layer(yard, f"layer-{k}-0", state=state)
    turned = rolled(yard)
    assert [each.layer_id for each in turned.layers] == [layer.id for _, layer in yard.layers()]
    for each in turned.layers:
        before, after = yard.layer(each.layer_id)[1], turned.yard.layer(each.layer_id)[1]
        assert after.planted == each.planted
        assert (after.cultivar_id, after.count, after.cover_cm) == (
            before.cultivar_id,
            before.count,
            before.cover_cm,
        )
        if each.action not in ("stays", "as planned"):
            assert date(2027, 6, 1) <= after.planted < date(2028, 12, 31)
            assert after.state == "planned"
        assert each.words


def test_a_succession_is_planned_once_more_and_companions_are_set_again():
    yard = planted(
        asking.yard(
            [("narcissus-hawera", "2026-10-01"), ("dahlia-bishop-of-llandaff", "2027-05-20")]
        )
    )
    (_, narcissus), (_, dahlia) = yard.layers()
    yard = change_layer(yard, narcissus.id, lifted_on=date(2027, 5, 20))
    for name, companion, day in (
        ("companion-1", "winter-pansy", date(2026, 10, 20)),
        ("companion-2", "ivy-small-leaved", date(2026, 10, 20)),
    ):
        planting = CompanionPlanting(id=name, companion_id=companion, count=2, planted=day)
        yard = add_companion(yard, yard.pots[0].id, planting)
    turned = rolled(yard)
    by_id = {each.layer_id: each for each in turned.layers}
    assert by_id[narcissus.id].action == "rests"
    assert "lifted on 20 May 2027" in by_id[narcissus.id].words
    again = turned.yard.layer(narcissus.id)[1]
    assert again.planted.year == 2027 and again.lifted_on == date(2028, 5, 20)
    assert turned.yard.layer(dahlia.id)[1].planted.year == 2028
    assert turned.yard.companion("companion-1")[1].planted == date(2027, 10, 20)
    assert turned.yard.companion("companion-2")[1].planted == date(2026, 10, 20)  # evergreen
    assert parse_yard(dump_yard(turned.yard), name="x") == turned.yard


def test_bulbs_that_come_out_after_the_season_has_begun_anew_are_planted_again():
    yard = planted(asking.yard([("narcissus-hawera", "2026-10-01")]))
    ((_, narcissus),) = yard.layers()
    yard = change_layer(yard, narcissus.id, lifted_on=date(2027, 6, 20))
    turned = rolled(yard)
    assert turned.layers[0].action == "rests"
    assert "to be lifted on 20 June 2027" in turned.layers[0].words
    again = turned.yard.layer(narcissus.id)[1]
    assert again.planted.year == 2027 and again.lifted_on == date(2028, 6, 20)
    report = season_report(asking.outlook(turned.yard))
    assert report.layers[0].start is not None
    # One that stays beyond the next planting time is left where it is.
    late = change_layer(yard, narcissus.id, lifted_on=date(2028, 6, 20))
    assert rolled(late).layers[0].action == "stays"
    assert rolled(late).yard.layer(narcissus.id)[1].lifted_on == date(2028, 6, 20)
