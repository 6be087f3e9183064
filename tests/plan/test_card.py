"""What planting cards say."""

from __future__ import annotations

from datetime import date

import pytest

from bloomline.model.yard import Layer, PlaceChoice, Pot, Yard
from bloomline.plan.card import Card, cards_for
from bloomline.plan.forecaster import Forecaster
from bloomline.plan.yard_season import season_report
from bloomline.reference.catalogue import load_catalogue


def _worked_pot() -> Yard:
    # The worked example: a pot 30 cm wide and 40 cm deep inside, three layers, 75 bulbs. That
    # so many fit is common practice, no source.
    planted = date(2026, 11, 7)
    layers = (
        Layer(
            id="late", cultivar_id="tulipa-queen-of-night", count=20, cover_cm=20, planted=planted
        ),
        Layer(
            id="mid", cultivar_id="narcissus-tete-a-tete", count=25, cover_cm=12, planted=planted
        ),
        Layer(
            id="early",
            cultivar_id="crocus-tommasinianus-ruby-giant",
            count=30,
            cover_cm=5,
            planted=planted,
        ),
    )
    pot = Pot(
        id="pot-1",
        name="By the bench",
        top_width_cm=30,
        bottom_width_cm=30,
        inside_height_cm=40,
        rim_gap_cm=2.5,
        crocks_cm=2,
        layers=layers,
    )
    return Yard(
        name="Bench yard",
        place=PlaceChoice(
            station_id="00003772", name="Heathrow", latitude_deg=51.479, longitude_deg=-0.451
        ),
        season_year=2027,
        pots=(pot,),
    )


@pytest.fixture(scope="module")
def card() -> Card:
    yard = _worked_pot()
    catalogue = load_catalogue()
    report = season_report(yard, catalogue=catalogue, forecaster=Forecaster())
    (made,) = cards_for(yard, report, cultivar_of=catalogue.get)
    return made


def test_layers_are_in_order_of_work_with_depths_from_the_rim(card: Card) -> None:
    assert [(each.letter, each.count) for each in card.layers] == [("A", 20), ("B", 25), ("C", 30)]
    # By hand: 2.5 cm of rim gap above the compost, so 22.5, 14.5 and 7.5 cm to the tips.
    assert [each.tip_cm for each in card.layers] == pytest.approx([22.5, 14.5, 7.5])
    heights = [
        load_catalogue().get(name).bulb_height_cm
        for name in (
            "tulipa-queen-of-night",
            "narcissus-tete-a-tete",
            "crocus-tommasinianus-ruby-giant",
        )
    ]
    bases = [tip + height for tip, height in zip((22.5, 14.5, 7.5), heights, strict=True)]
    assert [each.base_cm for each in card.layers] == pytest.approx(bases)


def test_all_75_bulbs_have_a_place_without_touching(card: Card) -> None:
    assert sum(len(each.positions_cm) for each in card.layers) == 75
    for each in card.layers:
        assert each.spacing_cm is not None
        assert each.spacing_cm >= each.bulb_diameter_cm - 1e-6


def test_steps_go_from_the_bottom_up(card: Card) -> None:
    words = " ".join(card.steps)
    at = [
        words.index(text)
        for text in ("crocks", "A: fill to", "B: fill to", "C: fill to", "Fill to 2.5 cm", "Water")
    ]
    assert at == sorted(at)
    assert "20 bulbs of Tulipa 'Queen of Night'" in words
    assert "Flat sides" in words


def test_cautions_name_gloves_poison_and_weight(card: Card) -> None:
    words = " ".join(card.cautions)
    assert "gloves" in words and "Narcissus" in words and "kg" in words


def test_expected_dates_are_those_of_the_report(card: Card) -> None:
    yard = _worked_pot()
    report = season_report(yard, catalogue=load_catalogue(), forecaster=Forecaster())
    late = next(each for each in report.layers if each.layer_id == "late")
    assert late.start is not None
    assert late.start.p50.isoformat() in card.expected[0]


def test_layers_in_one_another_are_told_before_they_are_planted() -> None:
    yard = _worked_pot()
    pot = yard.pots[0]
    near = tuple(
        layer.model_copy(update={"cover_cm": cover})
        for layer, cover in zip(pot.layers, (10.0, 8.0, 5.0), strict=True)
    )
    yard = yard.model_copy(update={"pots": (pot.model_copy(update={"layers": near}),)})
    catalogue = load_catalogue()
    report = season_report(yard, catalogue=catalogue, forecaster=Forecaster())
    (made,) = cards_for(yard, report, cultivar_of=catalogue.get)
    assert any("lie in one another" in words for words in made.cautions)


def test_a_lily_warns_of_cats_first_and_lifting_defers_to_local_rules(card: Card) -> None:
    yard = _worked_pot()
    pot = yard.pots[0]
    lily = pot.layers[0].model_copy(update={"cultivar_id": "lilium-regale", "count": 3})
    yard = yard.model_copy(update={"pots": (pot.model_copy(update={"layers": (lily,)}),)})
    catalogue = load_catalogue()
    report = season_report(yard, catalogue=catalogue, forecaster=Forecaster())
    (made,) = cards_for(yard, report, cultivar_of=catalogue.get)
    assert "cat" in made.cautions[0]
    assert any("local rules" in words for words in card.cautions)
