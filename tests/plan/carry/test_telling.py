"""What is told of a drop before it is done: the same figures as are told after it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from bloomline.files.yardfile import load_yard
from bloomline.model import edits
from bloomline.model.advice import Severity
from bloomline.plan.carry.drops import Cargo, Verdict, judge_on_pot
from bloomline.plan.carry.telling import TOPICS, Drop, drop_of, tell
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.planting_day import usual_planting_day
from bloomline.plan.season.advice import advice_for
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.yard import season_report
from bloomline.plan.shop.buying import shopping_list
from bloomline.plan.shop.part_price import money_words, part_price, price_words
from bloomline.reference.catalogue import load_catalogue

DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"
THALIA = "narcissus-thalia"


@pytest.fixture(scope="module")
def outlook() -> Outlook:
    return Outlook.of(
        load_yard(DEMO).yard,
        catalogue=load_catalogue(),
        forecaster=Forecaster(),
        today=date(2026, 11, 20),
    )


def judged(outlook: Outlook, cargo: Cargo, pot_id: str, depth: float | None = None) -> Verdict:
    yard = outlook.yard
    garden = garden_of(yard.place)
    first_day = yard_axis_start(yard.season_year, garden=garden)
    return judge_on_pot(
        yard,
        cargo,
        pot_id=pot_id,
        depth_from_rim_cm=depth,
        copy=False,
        cultivar_of=outlook.cultivar_of,
        usual_day=lambda kind: usual_planting_day(kind, garden=garden, first_day=first_day),
    )


def dropped(outlook: Outlook, cargo: Cargo, pot_id: str, depth: float | None = None) -> Drop:
    drop = drop_of(outlook, cargo, verdict=judged(outlook, cargo, pot_id, depth), pot_id=pot_id)
    assert drop is not None
    return drop


def done(drop: Drop) -> Outlook:
    """The outlook as the window has it once the drop is done."""
    return drop.before.with_(yard=drop.after.yard)


def words_of(drop: Drop) -> dict[str, str]:
    return {each.topic: each.words for each in tell(drop)}


def test_it_is_told_in_one_order_and_nothing_is_left_empty(outlook):
    for cargo in (Cargo("cultivar", THALIA), Cargo("companion", "winter-pansy")):
        told = tell(dropped(outlook, cargo, outlook.yard.pots[1].id))
        assert [each.topic for each in told] == list(TOPICS)
        assert list(TOPICS) == ["depth", "fit", "season", "harm", "price", "frost"]
        assert all(each.words for each in told)


def test_without_season_and_list_only_their_lines_wait(outlook):
    drop = dropped(outlook, Cargo("cultivar", THALIA), outlook.yard.pots[1].id)
    whole, first = tell(drop), tell(drop, whole=False)
    assert [each.topic for each in first if not each.words] == ["season", "price", "frost"]
    same = [each.topic for each, other in zip(whole, first, strict=True) if each == other]
    assert {"fit", "harm"} <= set(same)


def test_what_is_amiss_is_told_in_the_words_of_the_details_afterwards(outlook):
    pot = outlook.yard.pots[1]
    drop = dropped(outlook, Cargo("cultivar", THALIA), pot.id, 14.0)
    told = words_of(drop)
    after = done(drop)
    advice = advice_for(after, layer_id=drop.part_id)
    depth = [each.message for each in advice if each.topic == "depth"]
    assert depth
    assert any(message in told["depth"] for message in depth)
    crowding = [each.message for each in advice if each.topic == "crowding"]
    assert crowding
    assert all(message in told["season"] for message in crowding)
    forecast = next(each for each in season_report(after).layers if each.layer_id == drop.part_id)
    assert forecast.start is not None
    assert f"{forecast.start.p50:%B %Y}" in told["season"]
    poison = next(each for each in advice if each.topic == "poison")
    assert poison.message.split(". ")[0] in told["harm"]
    assert poison.severity is next(e for e in tell(drop) if e.topic == "harm").severity


def test_how_many_fit_is_what_the_verdict_plants(outlook):
    pot = outlook.yard.pots[1]
    verdict = judged(outlook, Cargo("cultivar", THALIA), pot.id)
    assert verdict.room is not None
    drop = drop_of(outlook, Cargo("cultivar", THALIA), verdict=verdict, pot_id=pot.id)
    assert drop is not None
    assert words_of(drop)["fit"].startswith(f"{verdict.room.usual} fit well here")
    crowded = edits.change_layer(outlook.yard, pot.layers[0].id, count=900)
    tight = outlook.with_(yard=crowded)
    cargo = Cargo("layer", pot.layers[0].id)
    moved = dropped(tight, cargo, outlook.yard.pots[0].id)
    fit = next(each for each in tell(moved, whole=False) if each.topic == "fit")
    assert fit.severity is Severity.WARNING
    assert "900 bulbs" in fit.words


def test_the_price_is_what_the_shopping_list_grows_by(outlook):
    drop = dropped(outlook, Cargo("cultivar", THALIA), outlook.yard.pots[1].id)
    before, after = shopping_list(outlook), shopping_list(done(drop))
    price = words_of(drop)["price"]
    line = next(each for each in after.bulbs if each.cultivar_id == THALIA)
    assert line.cost is not None and line.cost > 0
    assert after.total - before.total == line.cost  # its pot is full of compost already
    assert f"£{line.cost}" in price
    assert money_words(after) in price
    # Once it is done, the layer's own page says the same.
    told = part_price(done(drop), drop.part_id)
    assert told.cost == line.cost
    assert price_words(told) in price


def test_a_list_that_goes_over_the_budget_is_pointed_out(outlook):
    poor = outlook.with_(yard=edits.change_money(outlook.yard, budget=22.0))
    drop = dropped(poor, Cargo("cultivar", THALIA), poor.yard.pots[1].id)
    price = next(each for each in tell(drop) if each.topic == "price")
    assert price.severity is Severity.CAUTION
    over = shopping_list(done(drop)).over
    assert f"▲ £{over} over the budget" in price.words


def test_a_move_costs_nothing_and_a_price_that_is_not_known_is_named(outlook):
    layer = outlook.yard.pots[0].layers[0]
    moved = dropped(outlook, Cargo("layer", layer.id), outlook.yard.pots[2].id)
    assert words_of(moved)["price"].startswith("nothing more to buy")
    pansies = dropped(outlook, Cargo("companion", "winter-pansy"), outlook.yard.pots[1].id)
    assert words_of(pansies)["price"].startswith("no price is known for Viola")


def test_frost_that_kills_is_told_before_the_bulb_is_in(outlook):
    cold = edits.set_site_offset(outlook.yard, "open", -15.0)
    there = outlook.with_(yard=cold)
    pot = next(each for each in cold.pots if each.site == "open")
    drop = dropped(there, Cargo("cultivar", THALIA), pot.id)
    told = {each.topic: each for each in tell(drop)}
    frost = [e for e in advice_for(done(drop), layer_id=drop.part_id) if e.topic == "frost"]
    assert frost
    assert told["frost"].words == frost[0].message
    assert told["frost"].severity is frost[0].severity


def test_a_pot_and_a_refused_drop_have_nothing_to_tell(outlook):
    pot = outlook.yard.pots[0]
    refused = judged(outlook, Cargo("pot", outlook.yard.pots[1].id), pot.id)
    assert not refused.allowed
    assert drop_of(outlook, Cargo("cultivar", THALIA), verdict=refused, pot_id=pot.id) is None
