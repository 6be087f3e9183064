"""What planting cards say."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from asking import outlook

from bloomline.files.yardfile import load_yard
from bloomline.model.yard import DisplayPlace, Layer, PlaceChoice, Pot, Settings, Yard
from bloomline.plan.climate.weather import RecordedWeather
from bloomline.plan.paper.card import PlantingCard, card_notes, cards_for
from bloomline.plan.paper.card_days import CardDay, CardLayer
from bloomline.plan.paper.card_words import CardSentence
from bloomline.plan.pot.findings import pot_findings
from bloomline.plan.pot.lifting import handling_of, wants_wheels
from bloomline.plan.pot.weight import pot_weight
from bloomline.plan.season.yard import season_report
from bloomline.plan.words.units import Units
from bloomline.plan.work.year import work_plan
from bloomline.reference.catalogue import load_catalogue, load_companions

TODAY = date(2026, 8, 1)


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
    late = card.layers[0]
    assert late.mark == f"{Units().tape(late.base_cm)} below the rim: 20 bulbs"
    assert f"A: Tulipa 'Queen of Night'. {late.mark}. Fill to this mark" in words
    assert "flat sides outwards" in words
    assert "20 cm of compost over the tips" in words


def test_each_fill_has_its_litres_and_they_add_up(card: PlantingCard) -> None:
    fills = [
        float(each)
        for each in re.findall(
            r"Fill to (?:this mark|[\d.]+ cm below the rim) with ([\d.]+) L", " ".join(card.steps)
        )
    ]
    assert len(fills) == 4
    ready = float(card.ready[0].text.partition(" L")[0])
    assert sum(fills) == pytest.approx(ready, abs=0.6)  # each is rounded
    assert "Bags for one pot: 1 × multipurpose" in card.ready[0].why[0]


def test_cautions_name_gloves_poison_and_weight(card: PlantingCard) -> None:
    words = [each.text for each in card.cautions]
    assert "fatal" in words[0] and "Narcissus" in words[0]
    assert words[1].startswith("Wear gloves")
    assert "kg when watered" in words[2] and max(map(len, words[1:])) < 110
    # Why stands once, on the last sheet of the set.
    notes = card_notes((card, replace(card, title="Another")))
    assert [each.topic for each in notes].count("Weight") == 1
    assert any("local rules" in each.text for each in notes)
    assert len({each.text for each in notes}) == len(notes)


def test_expected_dates_are_those_of_the_report(card: PlantingCard) -> None:
    yard = _worked_pot()
    report = season_report(outlook(yard))
    late = next(each for each in report.layers if each.layer_id == "late")
    assert late.start is not None
    day = late.start.p50
    months = ("March", "April", "May", "June")
    assert f"Opens about {day.day} {months[day.month - 3]} {day.year} (" in card.layers[0].expected
    assert card.days[0].head == "To plant on 7 November 2026"
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


@pytest.mark.parametrize("cover_cm", [2.0, 29.0])
def test_a_depth_that_is_questioned_is_told_on_the_card_as_well(cover_cm: float) -> None:
    yard = _worked_pot()
    pot = yard.pots[0]
    alone = pot.layers[0].model_copy(update={"cover_cm": cover_cm})
    yard = yard.model_copy(update={"pots": (pot.model_copy(update={"layers": (alone,)}),)})
    here = outlook(yard)
    (asked,) = (
        each
        for each in pot_findings(yard.pots[0], cultivar_of=here.cultivar_of)
        if each.code in ("too_deep", "too_shallow")
    )
    (made,) = cards_for(here)
    assert any(each.text.startswith(asked.advice.message) for each in made.cautions)


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
    (made,) = cards_for(outlook(yard, recorded=recorded), units=units, with_empty=True)
    return made


def _all_words(card: PlantingCard) -> str:
    told = [" ".join((each.text, *each.why)) for each in card.sentences]
    expected = [f"{layer.mark} {layer.expected}" for layer in card.layers]
    return " ".join((card.measures, *told, *expected))


def test_imperial_yards_are_told_inches_pounds_and_fahrenheit() -> None:
    yard = _worked_pot().model_copy(update={"settings": Settings(units="imperial")})
    made = _made(yard, lowest_c=-12.0)
    words = _all_words(made)
    # Bags are marked in kg and L: those stand in brackets behind the gardener's own units.
    assert not re.search(r"\d (cm|kg|L|°C)\b", re.sub(r"\([^)]*\)", "", words))
    assert "lb (20 kg)" in words or "lb (5 kg)" in words
    # Factors of NIST SP 811, appendix B (from memory): 30 cm = 11.81 in, 40 cm = 15.75 in.
    assert "inside 11¾ in wide and 15¾ in deep" in made.measures
    # Cover of 20 cm = 7.87 in.
    assert "7.9 in of compost over the tips" in words
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
    first, *_ = made.days[0].steps
    assert isinstance(first, CardSentence)
    assert "in the detached shed or garage, until 12 March 2027" in first.text
    assert "on feet" not in first.text  # no rain falls there
    assert "on a wheeled base" in first.text
    out, show = made.standing
    assert "12 March 2027" in out.text
    assert "Front step (west)" in show.text
    assert "about 12 March to" in show.text  # not before it comes out of the shed
    open_air = _made(_with_pot())
    assert "in its place in the open, on feet" in open_air.steps[0]
    assert open_air.standing == ()
    kept = _made(_with_pot(site="cold-frame"))
    assert "No day is set" in kept.standing[0].text


def test_frost_on_the_pot_is_a_caution_after_the_weight() -> None:
    cold = [each.text for each in _made(_with_pot(), lowest_c=-12.0).cautions]
    at = next(i for i, text in enumerate(cold) if "frost can split" in text)
    assert at > next(i for i, text in enumerate(cold) if "when watered" in text)
    mild = _made(_with_pot(), lowest_c=3.0).cautions
    assert not any("split" in each.text for each in mild)


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
    assert only.mark.endswith(f": {placed} bulbs")
    assert f"{200 - placed} of 200 have no room" in words


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
    at = next(i for i, text in enumerate(made.steps) if text.startswith("Fill to 2.5 cm"))
    pansies, other = made.steps[at + 1 : at + 3]
    assert "Set 4 plants of Viola × wittrockiana (winter pansy) on top, 15 cm apart" in pansies
    assert "Set 1 plant of" in other and "apart" not in other
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


# Days of planting


def _words(day: CardDay) -> str:
    return " ".join(
        " ".join((each.name, *(one.text for one in each.work)))
        if isinstance(each, CardLayer)
        else each.text
        for each in day.steps
    )


def _of_days(*days: date, tops: tuple[date, ...] = ()) -> PlantingCard:
    """The worked pot with its layers planted on these days, pansies on top on others."""
    pot = _worked_pot().pots[0]
    layers = [
        each.model_copy(update={"planted": day}).model_dump()
        for each, day in zip(pot.layers, days, strict=True)
    ]
    companions = [
        {"id": f"top-{at}", "companion_id": "winter-pansy", "count": 3, "planted": day}
        for at, day in enumerate(tops)
    ]
    return _made(_with_pot(layers=layers, companions=companions))


def test_what_is_planted_in_may_never_stands_under_november(checkout: Path) -> None:
    yard = load_yard(checkout / "demo" / "quince-steps.bloomline").yard
    tub, _ = cards_for(outlook(yard))
    november, may = tub.days
    assert november.head == "Planted on 7 November 2026"
    assert may.head == "To plant on 15 May 2027"
    assert [each.name for each in november.steps if isinstance(each, CardLayer)] == [
        "Tulipa 'Menton'"
    ]
    assert [each.letter for each in tub.layers] == ["A", "B"]
    # Violas need the pot full, and May is told in one sentence only: what is next.
    assert "Fill to 3 cm below the rim" in _words(november)
    assert "on 15 May 2027" in _words(november) and "Dahlia" in _words(november)
    assert "Set 3 plants of Viola" in _words(november)
    order = ["Take Viola", "Take out Tulipa 'Menton'", "Dahlia", "Fill to 3 cm below the rim again"]
    places = [_words(may).index(each) for each in order]
    assert places == sorted(places)
    assert "wire mesh" in _words(november) and "wire mesh" not in _words(may)


def test_room_for_bulbs_of_the_same_autumn_stays_unfilled() -> None:
    card = _of_days(date(2026, 10, 10), date(2026, 10, 10), date(2026, 11, 14))
    october, november = card.days
    crocus = card.layers[-1]
    base = Units().tape(crocus.base_cm)
    assert f"Fill to {base} below the rim" in _words(october)
    # By hand: the surface lies 2.5 cm below the rim.
    left = Units().tape(crocus.base_cm - 2.5)
    assert f"leave the {left} over that unfilled until 14 November 2026" in _words(october)
    assert "Fill to 2.5 cm" not in _words(october) and "Fill to 2.5 cm" in _words(november)
    assert "filled to this mark already" in _words(november)


def test_litres_of_all_days_add_up_to_those_of_one() -> None:
    def litres(card: PlantingCard) -> float:
        found = re.findall(r"with ([\d.]+) L", " ".join(card.steps))
        return sum(float(each) for each in found)

    day = date(2026, 10, 10)
    together, apart = _of_days(day, day, day), _of_days(day, day, date(2026, 11, 14))
    assert litres(apart) == pytest.approx(litres(together), abs=0.6)  # each is rounded


def test_bulbs_of_another_season_wait_for_a_pot_that_is_full() -> None:
    card = _of_days(date(2026, 10, 10), date(2026, 10, 10), date(2027, 3, 20))
    october, march = card.days
    assert "unfilled" not in _words(october) and "Fill to 2.5 cm" in _words(october)
    assert "Take compost out down to this mark" in _words(march)
    assert "Take out" not in _words(march)  # the tulips are in bud
    assert "again with what came out" in _words(march)


def test_deeper_bulbs_of_a_later_day_spare_those_above_them() -> None:
    card = _of_days(date(2026, 11, 14), date(2026, 10, 10), date(2026, 10, 10))
    october, november = card.days
    assert [each.name for each in november.steps if isinstance(each, CardLayer)] == [
        "Tulipa 'Queen of Night'"
    ]
    assert "Don't cut into" in _words(november) and "Crocus" in _words(november)
    assert "unfilled" not in _words(october)


def test_a_pot_under_plants_on_top_is_filled_at_once() -> None:
    day, later = date(2026, 10, 10), date(2026, 11, 14)
    october, november = _of_days(day, day, later, tops=(day,)).days
    assert "Fill to 2.5 cm" in _words(october) and "unfilled" not in _words(october)
    assert "Viola" in _words(october) and "Viola" in _words(november)  # not to be cut into


def test_days_are_in_order_whatever_their_order_in_the_file() -> None:
    card = _of_days(date(2026, 11, 14), date(2026, 10, 10), date(2026, 10, 24))
    assert [each.planted for each in card.days] == [
        date(2026, 10, 10),
        date(2026, 10, 24),
        date(2026, 11, 14),
    ]
    for day in card.days:
        layers = [each for each in day.steps if isinstance(each, CardLayer)]
        assert all(each.planted == day.planted for each in layers)


def test_only_plants_on_top_make_a_card_too() -> None:
    day = date(2026, 11, 7)
    tops = [{"id": "top", "companion_id": "winter-pansy", "count": 3, "planted": day}]
    card = _made(_with_pot(layers=[], companions=tops))
    assert not card.missing
    assert "Set 3 plants of Viola" in " ".join(card.steps)
    assert card.days[0].head == "On 7 November 2026"


def test_an_empty_pot_has_a_card_only_when_asked() -> None:
    yard = _with_pot(layers=[])
    assert cards_for(outlook(yard)) == ()


def test_mesh_and_wheels_are_those_of_the_work_list() -> None:
    for fields in (
        {},
        {"site": "shed"},
        {"site": "cold-greenhouse"},
        {"display_place": "Front step"},
    ):
        yard = _with_pot(**fields)
        here = outlook(yard, today=TODAY)
        plan, report = work_plan(here), season_report(here)
        (card,) = cards_for(here)
        is_meshed = any(task.kind == "mesh" for task in plan.tasks)
        assert ("wire mesh" in " ".join(card.steps)) is is_meshed
        if is_meshed:
            off = next(task for task in plan.tasks if task.kind == "mesh-off")
            nose = min(each.nose.p50 for each in report.layers if each.nose is not None)
            assert off.best == nose
            assert f"about {nose.day} " in " ".join(card.steps)
        weight = pot_weight(yard.pots[0], yard=yard, cultivar_of=here.cultivar_of)
        assert ("wheeled base" in card.steps[0]) is wants_wheels(yard.pots[0], weight)
    assert wants_wheels(yard.pots[0], weight)


def test_a_card_says_who_can_lift_the_pot(checkout: Path) -> None:
    yard = load_yard(checkout / "demo" / "hollyhock-lane.bloomline").yard
    here = outlook(yard)
    said = {}
    for card in cards_for(here):
        weight = pot_weight(card.pot, yard=yard, cultivar_of=here.cultivar_of)
        words = " ".join(each.text for each in card.cautions if each.topic == "Weight")
        said.setdefault(handling_of(weight), words)
        assert bool(words) is (handling_of(weight) != "one")
    assert "two people" in said["two"]
    assert "only on a trolley" in said["fill-in-place"]
    # A sink that no two people lift is not to be moved, not even on a trolley.
    assert "even when empty" in said["stays"] and "trolley" not in said["stays"]
