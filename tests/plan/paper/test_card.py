"""What planting cards say."""

from __future__ import annotations

import re
from datetime import date

import numpy as np
import pytest
from asking import outlook

from bloomline.model.yard import DisplayPlace, Layer, PlaceChoice, Pot, Settings, Yard
from bloomline.plan.climate.weather import RecordedWeather
from bloomline.plan.paper.card import PlantingCard, cards_for
from bloomline.plan.pot.weight import pot_weight
from bloomline.plan.season.yard import season_report
from bloomline.plan.words.units import Units
from bloomline.reference.catalogue import load_catalogue, load_companions


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
def card() -> PlantingCard:
    yard = _worked_pot()
    (made,) = cards_for(outlook(yard))
    return made


def test_layers_are_in_order_of_work_with_depths_from_the_rim(card: PlantingCard) -> None:
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


def test_all_75_bulbs_have_a_place_without_touching(card: PlantingCard) -> None:
    assert sum(len(each.positions_cm) for each in card.layers) == 75
    for each in card.layers:
        assert each.spacing_cm is not None
        assert each.spacing_cm >= each.bulb_diameter_cm - 1e-6


def test_steps_go_from_the_bottom_up(card: PlantingCard) -> None:
    words = " ".join(card.steps)
    at = [
        words.index(text)
        for text in ("crocks", "A: Tulipa", "B: Narcissus", "C: Crocus", "Fill to 2.5 cm", "Water")
    ]
    assert at == sorted(at)
    assert "A: Tulipa 'Queen of Night'. Fill to" in words
    assert "Set 20 bulbs tip up" in words
    assert "Flat sides" in words


def test_each_fill_has_its_litres_and_they_add_up(card: PlantingCard) -> None:
    fills = [
        float(each)
        for each in re.findall(r"Fill to .*? below the rim with ([\d.]+) L", " ".join(card.steps))
    ]
    assert len(fills) == 4
    ready = float(card.ready[0].text.partition(" L")[0])
    assert sum(fills) == pytest.approx(ready, abs=0.6)  # each is rounded
    assert "Bags, for this pot alone: 1 × multipurpose" in card.ready[1].text


def test_cautions_name_gloves_poison_and_weight(card: PlantingCard) -> None:
    words = [each.text for each in card.cautions]
    assert "fatal" in words[0] and "Narcissus" in words[0]
    assert words[1].startswith("Wear gloves")
    assert "kg" in words[2] and "local rules" in words[2]


def test_expected_dates_are_those_of_the_report(card: PlantingCard) -> None:
    yard = _worked_pot()
    report = season_report(outlook(yard))
    late = next(each for each in report.layers if each.layer_id == "late")
    assert late.start is not None
    day = late.start.p50
    months = ("March", "April", "May", "June")
    assert f"Opens about {day.day} {months[day.month - 3]} {day.year} (" in card.layers[0].expected
    assert card.layers[0].expected.startswith("To plant on 7 November 2026.")
    assert not re.search(r"\d\d-\d\d", " ".join(each.expected for each in card.layers))


def test_layers_in_one_another_are_told_before_they_are_planted() -> None:
    yard = _worked_pot()
    pot = yard.pots[0]
    near = tuple(
        layer.model_copy(update={"cover_cm": cover})
        for layer, cover in zip(pot.layers, (10.0, 8.0, 5.0), strict=True)
    )
    yard = yard.model_copy(update={"pots": (pot.model_copy(update={"layers": near}),)})
    (made,) = cards_for(outlook(yard))
    assert any("lie in one another" in each.text for each in made.cautions)


def test_a_lily_warns_of_cats_first() -> None:
    yard = _worked_pot()
    pot = yard.pots[0]
    lily = pot.layers[0].model_copy(update={"cultivar_id": "lilium-regale", "count": 3})
    yard = yard.model_copy(update={"pots": (pot.model_copy(update={"layers": (lily,)}),)})
    (made,) = cards_for(outlook(yard))
    assert "cat" in made.cautions[0].text


def _made(yard: Yard, *, lowest_c: float | None = None, units: Units | None = None) -> PlantingCard:
    """The card of a pot; lowest_c : of two years that were recorded, without frost but for that."""
    recorded = None
    if lowest_c is not None:
        days = np.arange(np.datetime64("2026-06-01"), np.datetime64("2028-06-01"))
        low = np.where(days == np.datetime64("2027-01-10"), lowest_c, 6.0)
        recorded = RecordedWeather(days, low, np.maximum(low, 6.0) + 5.0)
    (made,) = cards_for(outlook(yard, recorded=recorded), units=units)
    return made


def _all_words(card: PlantingCard) -> str:
    parts = (card.cautions, card.ready, card.before, card.after, card.standing)
    told = [f"{each.text} {each.why}" for part in parts for each in part]
    work = [f"{each.text} {each.why}" for layer in card.layers for each in layer.work]
    expected = [layer.expected for layer in card.layers]
    return " ".join((card.measures, *told, *work, *expected))


def test_imperial_yards_are_told_inches_pounds_and_fahrenheit() -> None:
    yard = _worked_pot().model_copy(update={"settings": Settings(units="imperial")})
    made = _made(yard, lowest_c=-12.0)
    words = _all_words(made)
    # Bags are marked in kg and L: those stand in brackets behind the gardener's own units.
    assert not re.search(r"\d (cm|kg|L|°C)\b", re.sub(r"\([^)]*\)", "", words))
    assert "lb (20 kg)" in words or "lb (5 kg)" in words
    # Factors of NIST SP 811, appendix B (from memory): 30 cm = 11.81 in, 40 cm = 15.75 in.
    assert "inside 11¾ in wide and 15¾ in deep" in made.measures
    # Tips at 22.5 cm = 8.86 in, to the nearest quarter.
    assert "tips 8¾ in below the rim" in words
    weight = pot_weight(made.pot, yard=yard, cultivar_of=load_catalogue().get)
    assert f"{weight.wet_kg.high / 0.45359237:.0f} lb when watered" in words
    # The limit of the rules for clay, -5 °C, is 23 °F: 1.8 t + 32.
    assert "falls below 23 °F in" in words


def test_units_may_be_asked_for() -> None:
    assert " in deep" in _made(_worked_pot(), units=Units(imperial=True)).measures
    assert " cm deep" in _made(_worked_pot()).measures


def _with_pot(**fields: object) -> Yard:
    yard = _worked_pot()
    pot = Pot.model_validate({**yard.pots[0].model_dump(), **fields})
    return Yard.model_validate(
        {
            **yard.model_dump(),
            "pots": [pot.model_dump()],
            "display_places": [DisplayPlace(name="Front step", exposure="west").model_dump()],
        }
    )


def test_where_the_pot_stands_and_goes() -> None:
    made = _made(
        _with_pot(site="shed", sheltered_until=date(2027, 3, 12), display_place="Front step")
    )
    assert "in the detached shed or garage, until 12 March 2027" in made.before[0].text
    assert "on feet" not in made.before[0].text  # no rain falls there
    assert "put it on a wheeled base now" in made.before[0].text
    out, show = made.standing
    assert "12 March 2027" in out.text
    assert "Front step (west)" in show.text
    assert "about 12 March to" in show.text  # not before it comes out of the shed
    open_air = _made(_with_pot())
    assert "in its place in the open, on feet" in open_air.before[0].text
    assert open_air.standing == ()
    kept = _made(_with_pot(site="cold-frame"))
    assert "no day is set" in kept.standing[0].text


def test_frost_on_the_pot_is_a_caution_after_the_weight() -> None:
    cold = [each.text for each in _made(_with_pot(), lowest_c=-12.0).cautions]
    at = next(i for i, text in enumerate(cold) if "splits in hard frost" in text)
    assert at > next(i for i, text in enumerate(cold) if "when watered" in text)
    mild = _made(_with_pot(), lowest_c=3.0).cautions
    assert not any("splits" in each.text for each in mild)


@pytest.mark.parametrize("state", [None, "lifted"])
def test_an_empty_pot_has_one_line_and_no_work(state: str | None) -> None:
    pot = _worked_pot().pots[0]
    kept = [layer.model_copy(update={"state": "lifted"}).model_dump() for layer in pot.layers]
    made = _made(_with_pot(layers=kept if state else []))
    assert made.missing and len(made.missing) < 70
    assert ("lifted" in made.missing) is bool(state)
    assert made.steps == () and made.cautions == () and made.ready == () and made.layers == ()


def test_bulbs_that_do_not_fit_are_left_out() -> None:
    pot = _worked_pot().pots[0]
    layer = pot.layers[0].model_copy(update={"count": 200})
    made = _made(_with_pot(layers=[layer.model_dump()]))
    (only,) = made.layers
    placed = len(only.positions_cm)
    assert placed < 200
    words = " ".join(each.text for each in only.work)
    assert f"Set {placed} bulbs" in words and f"{200 - placed} of 200 have no room" in words


def test_companions_are_set_on_top_and_taken_out_again() -> None:
    poison = next(each for each in load_companions() if each.toxic_pets)
    companions = [
        {
            "id": "on-top",
            "companion_id": "winter-pansy",
            "count": 4,
            "planted": date(2026, 11, 7),
            "taken_out": date(2027, 5, 20),
        },
        {"id": "other", "companion_id": poison.id, "count": 1, "planted": date(2026, 11, 7)},
    ]
    made = _made(_with_pot(companions=companions))
    fill, pansies, other, *_ = made.after
    assert fill.text.startswith("Fill to 2.5 cm")
    assert "Set 4 plants of Viola × wittrockiana (winter pansy) on top, 15 cm apart" in pansies.text
    assert "on 7 November 2026" in pansies.text
    assert "Set 1 plant of" in other.text and "apart" not in other.text
    assert "out on 20 May 2027" in made.standing[0].text
    assert any(poison.name in each.text for each in made.cautions)


def test_bulbs_that_leave_the_pot_say_when() -> None:
    pot = _worked_pot().pots[0]
    layer = pot.layers[0].model_copy(update={"lifted_on": date(2027, 6, 20)})
    made = _made(_with_pot(layers=[layer.model_dump()]))
    assert made.layers[0].expected.endswith("Lift the bulbs on 20 June 2027.")


def test_reasons_for_no_flower_have_their_days_in_words() -> None:
    pot = _worked_pot().pots[0]
    layer = pot.layers[0].model_copy(update={"lifted_on": date(2027, 1, 20)})
    (only,) = _made(_with_pot(layers=[layer.model_dump()])).layers
    assert "No flower this season" in only.expected
    assert "20 January 2027" in only.expected and "2027-01" not in only.expected
