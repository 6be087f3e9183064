"""What stands on labels, and what an unknown flower could be."""

from __future__ import annotations

from datetime import date
from functools import partial
from pathlib import Path

import pytest
from asking import outlook

from bloomline.errors import UnknownNameError, UsageError
from bloomline.files.yardfile import load_yard
from bloomline.model.colours import Family, family_of
from bloomline.model.yard import Yard
from bloomline.plan.forecast.report import Band, SeasonReport
from bloomline.plan.paper.card import cards_for
from bloomline.plan.paper.finder import family_named, find_unknown, opening_chance
from bloomline.plan.paper.labels import labels_for, pot_contents, span_words
from bloomline.plan.pot.fitting import CultivarOf
from bloomline.plan.season.outlook import find_cultivar
from bloomline.plan.season.yard import season_report
from bloomline.plan.words.units import METRIC, Units
from bloomline.plan.work.year import work_plan
from bloomline.reference.catalogue import load_catalogue

DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"
TODAY = date(2026, 8, 1)
Season = tuple[Yard, SeasonReport, CultivarOf]


@pytest.fixture(scope="module")
def season() -> Season:
    yard = load_yard(DEMO).yard
    catalogue = load_catalogue()
    report = season_report(outlook(yard))
    return yard, report, partial(find_cultivar, yard, catalogue=catalogue)


def test_each_layer_gets_a_label_that_says_what_the_yard_says(season: Season) -> None:
    yard, _report, cultivar_of = season
    labels = {each.layer_id: each for each in labels_for(outlook(yard))}
    layers = list(yard.layers())
    assert set(labels) == {layer.id for _, layer in layers if layer.state != "lifted"}
    for pot, layer in layers:
        label = labels[layer.id]
        assert (label.pot_name, label.count, label.planted) == (
            pot.name,
            layer.count,
            layer.planted,
        )
        lines = label.code_lines()
        assert lines[:3] == (
            cultivar_of(layer.cultivar_id).name,
            f"Pot: {pot.name}",
            f"{'To plant' if layer.state == 'planned' else 'Planted'}: {layer.planted.isoformat()}",
        )
        assert f"Depth: {layer.cover_cm:g} cm of compost over the tips" in lines


def test_a_label_says_to_plant_until_it_is_planted(checkout: Path) -> None:
    yard = load_yard(checkout / "demo" / "quince-steps.bloomline").yard
    labels = labels_for(outlook(yard))
    said = {label.layer_id: (label.planting, label.code_lines()[2]) for label in labels}
    assert said["layer-1"] == ("24 bulbs, planted 7 November 2026", "Planted: 2026-11-07")
    assert said["layer-2"] == ("3 bulbs, to plant 15 May 2027", "To plant: 2027-05-15")


def test_card_label_and_work_say_depth_alike(season: Season) -> None:
    here = outlook(season[0], today=TODAY)
    cards = cards_for(here)
    depths = {each.depth for each in labels_for(here)}
    told = {
        word for card in cards for each in card.layers for one in each.work for word in one.strong
    }
    assert depths and depths <= told
    plan = work_plan(here)
    planting = [task.title for task in plan.tasks if task.kind == "plant"]
    assert planting
    # A task of many layers leaves depths to the card; where one is named, it is named alike.
    for title in planting:
        assert " deep" not in title and "below the rim" not in title, title
        assert " cm" not in title or any(depth in title for depth in depths), title


def test_lifted_layers_have_no_label_and_pots_are_chosen(season: Season) -> None:
    yard, _report, _cultivar_of = season
    pot = yard.pots[0]
    first = pot.layers[0].model_copy(update={"state": "lifted"})
    changed = yard.model_copy(
        update={
            "pots": (
                pot.model_copy(update={"layers": (first, *pot.layers[1:])}),
                *yard.pots[1:],
            )
        }
    )
    (contents,) = pot_contents(outlook(changed), pot_ids=[pot.id])
    assert [each.layer_id for each in contents.labels] == [
        layer.id for layer in reversed(pot.layers[1:])
    ]
    with pytest.raises(UnknownNameError):
        labels_for(outlook(yard), pot_ids=["nowhere"])


def test_words_of_depths_and_spans() -> None:
    assert METRIC.over_tips(12.5) == "12.5 cm of compost over the tips"
    assert Units(imperial=True).over_tips(15.24, count=1) == "6 in of compost over the tip"
    assert span_words(date(2026, 12, 28), date(2027, 1, 9)) == "28 Dec 2026 – 9 Jan 2027"


def test_the_right_layer_comes_first_when_all_of_it_was_seen(season: Season) -> None:
    yard, report, cultivar_of = season
    for layer in report.layers:
        if layer.start is None:
            continue
        cultivar = cultivar_of(layer.cultivar_id)
        found = find_unknown(
            outlook(yard),
            opened=layer.start.p50,
            colour=family_of(cultivar.colour_hex),
            height_cm=layer.height_cm,
            kind=cultivar.common_type,
            pots=[layer.pot_id],
        )
        assert found[0].name == layer.name
        assert sum(each.share for each in found) == pytest.approx(1.0)


def test_the_white_scented_one(season: Season) -> None:
    yard, report, _cultivar_of = season
    found = find_unknown(
        outlook(yard),
        colour=Family.WHITE,
        scent=True,
        opened=next(layer.start.p50 for layer in report.layers if "Geranium" in layer.name),
    )
    assert found[0].name == "Narcissus 'Geranium'"
    assert found[0].share > 0.5
    assert any("very day" in why for why in found[0].why)
    assert [each.share for each in found] == sorted((e.share for e in found), reverse=True)


def test_chances_of_all_days_add_up_and_the_band_holds_eight_tenths() -> None:
    band = Band(date(2027, 4, 1), date(2027, 4, 11), date(2027, 4, 26))
    days = [date.fromordinal(band.p50.toordinal() + off) for off in range(-100, 100)]
    chances = {day: opening_chance(band, day) for day in days}
    assert sum(chances.values()) == pytest.approx(1.0, abs=0.02)
    within = sum(chance for day, chance in chances.items() if band.p10 <= day <= band.p90)
    # A tenth on either side of the band, and half the outermost days more.
    assert within == pytest.approx(0.8, abs=0.04)


def test_words_for_colours() -> None:
    assert family_named("white") is Family.WHITE
    assert family_named(" Lilac ") is Family.PURPLE
    with pytest.raises(UsageError, match="orange and apricot"):
        family_named("plaid")


def test_a_height_below_the_ground_is_refused(season: Season) -> None:
    yard, _report, _cultivar_of = season
    with pytest.raises(UsageError, match="above 0 cm"):
        find_unknown(outlook(yard), height_cm=0.0)
    assert find_unknown(outlook(yard), kind="cactus") == ()


def test_a_day_outside_the_season_is_refused(season: Season) -> None:
    yard, _report, _cultivar_of = season
    for day in (date(2030, 4, 3), date(2019, 4, 3)):
        with pytest.raises(UsageError, match="outside the season 2027"):
            find_unknown(outlook(yard), opened=day)


def test_the_overview_tells_of_plants_on_top(checkout: Path) -> None:
    yard = load_yard(checkout / "demo" / "quince-steps.bloomline").yard
    tub, *_ = pot_contents(outlook(yard))
    (words,) = tub.tops
    assert words.startswith("On top: 3 × Viola") and "by date 7 Nov 2026 – " in words
