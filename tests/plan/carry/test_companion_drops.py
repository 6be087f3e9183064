"""Companions dropped on pots: how many, on which day, and what makes no sense."""

from __future__ import annotations

import math
from datetime import date

import pytest

from bloomline.model.companion import MAX_COMPANIONS, CompanionPlanting
from bloomline.model.yard import Layer, PlaceChoice, Pot, Yard
from bloomline.plan.carry.drops import Cargo, Verdict, judge_beside, judge_on_pot, judge_on_shelf
from bloomline.plan.tops.companions import companion_of
from bloomline.plan.tops.stand import (
    days_in_pot,
    fullest_share,
    stand_on,
    usual_companion_day,
    usual_count,
)
from bloomline.reference.catalogue import load_catalogue

CATALOGUE = load_catalogue()
NOVEMBER = date(2026, 11, 7)
PANSY, PELARGONIUM, WALLFLOWER = "winter-pansy", "pelargonium-zonal", "wallflower-tall"


def layer(planted: date = NOVEMBER, number: int = 1) -> Layer:
    return Layer(
        id=f"layer-{number}",
        cultivar_id="tulipa-queen-of-night",
        count=12,
        cover_cm=14.0,
        planted=planted,
    )


def on_top(companion_id: str, planted: date, **fields: object) -> CompanionPlanting:
    values = {"id": "companion-1", "companion_id": companion_id, "count": 4, **fields}
    return CompanionPlanting.model_validate({**values, "planted": planted})


def pot(number: int = 1, *layers: Layer, **fields: object) -> Pot:
    values: dict[str, object] = {
        "id": f"pot-{number}",
        "name": f"Pot {number}",
        "top_width_cm": 34.0,
        "bottom_width_cm": 26.0,
        "inside_height_cm": 38.0,
        **fields,
    }
    return Pot(**values, layers=layers)  # type: ignore[arg-type]


def yard(*pots: Pot, latitude: float = 52.0) -> Yard:
    place = PlaceChoice(name="Somewhere", latitude_deg=latitude, longitude_deg=0.0)
    return Yard(name="Yard", place=place, season_year=2027, pots=pots)


def judge(of: Yard, cargo: Cargo, pot_id: str = "pot-1", *, copy: bool = False) -> Verdict:
    return judge_on_pot(
        of,
        cargo,
        pot_id=pot_id,
        depth_from_rim_cm=9.0,
        copy=copy,
        cultivar_of=CATALOGUE.get,
        usual_day=lambda _: NOVEMBER,
    )


def test_as_many_as_take_a_third_of_the_surface_are_planted_with_the_bulbs() -> None:
    before = yard(pot(1, layer()))
    verdict = judge(before, Cargo("companion", PANSY))
    # By hand: pi/4 · 34² = 908 cm²; a pansy takes 15 × 15 = 225 cm²; a third holds 1.35.
    assert usual_count(before.pots[0], PANSY) == round(math.pi / 4 * 34**2 / 3 / 225) == 1
    assert verdict.allowed and verdict.apply is not None
    (planting,) = verdict.apply(before).pots[0].companions
    assert (planting.count, planting.planted) == (1, NOVEMBER)
    assert verdict.words == (
        "Plant 1 Viola × wittrockiana (winter pansy) on top of Pot 1 on 7 November (4 fit); "
        "in flower 7 November to 31 May, by date"
    )
    assert verdict.name == "Plant Viola × wittrockiana (winter pansy)"


@pytest.mark.parametrize(
    ("companion_id", "bulbs", "latitude", "expected"),
    [
        (PANSY, NOVEMBER, 52.0, NOVEMBER),
        # Bulbs of August: the usual time begins in September.
        (PANSY, date(2026, 8, 20), 52.0, date(2026, 9, 1)),
        # Wallflowers are planted to the middle of November: a few days later with the bulbs.
        (WALLFLOWER, date(2026, 11, 28), 52.0, date(2026, 11, 28)),
        # Summer plants are set over bulbs of autumn in May, never before the bulbs.
        (PELARGONIUM, NOVEMBER, 52.0, date(2027, 5, 15)),
        # In the south half a year later.
        (PANSY, date(2027, 4, 20), -38.0, date(2027, 4, 20)),
        (PELARGONIUM, date(2027, 4, 20), -38.0, date(2027, 11, 13)),
    ],
)
def test_the_planting_day_is_usual_and_never_before_the_bulbs(
    companion_id, bulbs, latitude, expected
) -> None:
    begins = date(2026, 6, 1) if latitude > 0 else date(2026, 12, 1)
    found = usual_companion_day(
        companion_of(companion_id),
        pot(1, layer(bulbs)),
        season_begins=begins,
        southern=latitude < 0,
    )
    assert found == expected


def test_bulbs_of_years_ago_do_not_pull_companions_out_of_the_season() -> None:
    old = pot(1, layer(date(2023, 10, 1)))
    begins = date(2026, 6, 1)
    day = usual_companion_day(companion_of(PANSY), old, season_begins=begins, southern=False)
    assert day == date(2026, 9, 1)
    empty = usual_companion_day(companion_of(PANSY), pot(), season_begins=begins, southern=False)
    assert empty == date(2026, 9, 1)


def test_of_two_plantings_the_one_whose_time_suits_is_joined() -> None:
    both = pot(1, layer(NOVEMBER, 1), layer(date(2027, 5, 20), 2))
    found = usual_companion_day(
        companion_of(PELARGONIUM), both, season_begins=date(2026, 6, 1), southern=False
    )
    assert found == date(2027, 5, 20)


def test_moving_copying_and_taking_out() -> None:
    planted = pot(1, layer(), companions=(on_top(PANSY, NOVEMBER),))
    before = yard(planted, pot(2))
    cargo = Cargo("planting", "companion-1")
    moved = judge(before, cargo, "pot-2")
    assert moved.allowed and moved.apply is not None and moved.words.startswith("Move 4 ")
    after = moved.apply(before)
    assert after.pots[0].companions == () and after.pots[1].companions == planted.companions
    copied = judge(before, cargo, "pot-2", copy=True)
    assert copied.apply is not None
    after = copied.apply(before)
    assert [each.id for _, each in after.companions()] == ["companion-1", "companion-2"]
    stays = judge(before, cargo)
    assert not stays.allowed and stays.words.endswith("stands in Pot 1 already")
    out = judge_on_shelf(before, cargo, cultivar_of=CATALOGUE.get)
    assert out.apply is not None and out.apply(before).pots[0].companions == ()
    assert not judge_on_shelf(before, Cargo("companion", PANSY), cultivar_of=CATALOGUE.get).allowed
    assert "on top of a pot" in judge_beside(before, cargo, index=0, copy=False).words


def test_what_makes_no_sense_is_refused_in_words() -> None:
    small = yard(pot(1, top_width_cm=8.0, bottom_width_cm=7.0))
    words = judge(small, Cargo("companion", PANSY)).words
    assert words.endswith("needs about 15 cm; Pot 1 is 8 cm wide")
    full = pot(1, companions=(on_top(PANSY, NOVEMBER, count=5),))
    verdict = judge(yard(full), Cargo("companion", PANSY))
    assert not verdict.allowed and "No room is left on top of Pot 1" in verdict.words
    many = tuple(
        on_top("viola-small", NOVEMBER, id=f"companion-{k}", count=1) for k in range(MAX_COMPANIONS)
    )
    crowded = judge(yard(pot(1, top_width_cm=90.0, companions=many)), Cargo("companion", PANSY))
    assert not crowded.allowed and str(MAX_COMPANIONS) in crowded.words


def test_companions_that_are_gone_by_then_take_no_room() -> None:
    spring = on_top(PANSY, NOVEMBER, count=4)
    full = yard(pot(1, companions=(spring,)))
    verdict = judge(full, Cargo("companion", PELARGONIUM))
    assert verdict.apply is not None
    after = verdict.apply(full).pots[0]
    # Geraniums of May come while pansies still stand: full at that time.
    assert after.companions[1].planted == date(2027, 5, 15)
    assert fullest_share(after, southern=False) > 1.0
    early = spring.model_copy(update={"taken_out": date(2027, 5, 1)})
    after = verdict.apply(yard(pot(1, companions=(early,)))).pots[0]
    assert fullest_share(after, southern=False) == pytest.approx(4 * 225 / (math.pi / 4 * 34**2))


def test_how_it_stands_through_its_days() -> None:
    wallflower = on_top(WALLFLOWER, date(2026, 10, 20))
    assert days_in_pot(wallflower, southern=False) == (date(2026, 10, 20), date(2027, 5, 31))
    days = {
        date(2026, 10, 19): "planned",
        date(2026, 10, 20): "leaf",
        date(2027, 4, 1): "flower",
        date(2027, 5, 31): "flower",
        date(2027, 6, 1): "gone",
    }
    for day, stand in days.items():
        assert stand_on(wallflower, day, southern=False) == stand
    ivy = on_top("ivy-small-leaved", date(2026, 10, 20), taken_out=date(2027, 6, 1))
    assert stand_on(ivy, date(2027, 5, 31), southern=False) == "leaf"
    assert stand_on(ivy, date(2027, 6, 1), southern=False) == "gone"
    cut = on_top(WALLFLOWER, date(2026, 10, 20), taken_out=date(2027, 3, 1))
    assert stand_on(cut, date(2027, 2, 28), southern=False) == "leaf"
    assert stand_on(cut, date(2027, 3, 1), southern=False) == "gone"
