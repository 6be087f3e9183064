"""Plantings that follow one another in a pot: collisions, ways out, and what they cost."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from asking import catalogue, forecaster, yard

from bloomline.model import companion_edits, edits
from bloomline.model.companion import CompanionPlanting
from bloomline.model.yard import Layer, Pot, Record, Yard
from bloomline.plan.collision import Conflict
from bloomline.plan.day_words import day_words
from bloomline.plan.fitting import fit_pot
from bloomline.plan.layout_advice import lay_out_pot
from bloomline.plan.planting_day import usual_planting_span
from bloomline.plan.residence import is_out_before, plantings_of
from bloomline.plan.succession import successions
from bloomline.plan.yard_season import season_report
from bloomline.plan.yard_solve import solve_yard

TULIP, NARCISSUS = "tulipa-negrita", "narcissus-actaea"
DAHLIA = "dahlia-bishop-of-llandaff"
cultivar_of = catalogue().get


def report(of: Yard):
    return season_report(of, catalogue=catalogue(), forecaster=forecaster())


def conflicts(of: Yard) -> tuple[Conflict, ...]:
    return successions(of, report(of), cultivar_of=cultivar_of, forecaster=forecaster())


def with_dahlia(of: Yard, day: str, *, cover_cm: float = 8.0) -> Yard:
    dahlia = Layer(
        id="dahlia",
        cultivar_id=DAHLIA,
        count=1,
        cover_cm=cover_cm,
        planted=date.fromisoformat(day),
    )
    return edits.add_layer(of, of.pots[0].id, dahlia)


@pytest.fixture(scope="module")
def narcissi() -> Yard:
    return yard([(NARCISSUS, "2026-10-10")])


@pytest.fixture(scope="module")
def tulips() -> Yard:
    return yard([(TULIP, "2026-11-01")])


def choice(conflict: Conflict, key: str):
    return next(each for each in conflict.choices if each.key == key)


def test_a_pot_in_leaf_is_not_free(narcissi: Yard) -> None:
    work = with_dahlia(narcissi, "2027-05-05")
    (conflict,) = conflicts(work)
    (narcissus, _) = sorted(report(work).layers, key=lambda layer: layer.planted)
    assert conflict.kind == "leaf"
    assert conflict.new_ids == ("dahlia",)
    assert conflict.blocking_ids == (narcissus.layer_id,)
    assert conflict.free == narcissus.leaves_over
    assert "still in leaf" in conflict.words and "5 May" in conflict.words


def test_bulbs_kept_for_one_season_are_free_when_their_flowers_are_over(tulips: Yard) -> None:
    (layer,) = report(tulips).layers
    assert layer.end is not None
    after = layer.end.p50 + timedelta(days=1)
    assert conflicts(with_dahlia(tulips, after.isoformat())) == ()
    before = layer.end.p50 - timedelta(days=1)
    (conflict,) = conflicts(with_dahlia(tulips, before.isoformat()))
    assert conflict.kind == "flower" and conflict.free == layer.end
    assert "nothing is lost but" in choice(conflict, "lift").words


@pytest.mark.parametrize("key", ["lift", "second-pot", "later"])
def test_each_way_out_clears_the_pot(narcissi: Yard, key: str) -> None:
    work = with_dahlia(narcissi, "2027-05-05")
    (conflict,) = conflicts(work)
    way = choice(conflict, key)
    assert way.available, way.why_not
    assert conflicts(way.apply(work)) == ()


def test_lifting_in_the_green_waits_for_the_flowers(narcissi: Yard) -> None:
    work = with_dahlia(narcissi, "2027-04-01")  # before the narcissi open
    (conflict,) = conflicts(work)
    lift = choice(conflict, "lift")
    assert not lift.available
    assert "lost before flowering" in lift.why_not


def test_a_second_pot_is_an_empty_one_where_there_is_one(narcissi: Yard) -> None:
    work = with_dahlia(narcissi, "2027-05-05")
    (conflict,) = conflicts(work)
    bought = choice(conflict, "second-pot").apply(work)
    assert [pot.name for pot in bought.pots] == ["Pot 0", "Pot 0 (2)"]
    assert bought.pots[1].to_buy is True
    assert [layer.id for layer in bought.pots[1].layers] == ["dahlia"]
    size = {"top_width_cm": 36.0, "bottom_width_cm": 28.0, "inside_height_cm": 35.0}
    shallow = Pot(id="bowl", name="Bowl", **{**size, "inside_height_cm": 8.0})
    spare = Pot(id="spare", name="Spare", **size)
    roomy = edits.add_pot(edits.add_pot(work, shallow), spare)
    (conflict,) = conflicts(roomy)
    way = choice(conflict, "second-pot")
    assert way.title.endswith("in Spare")
    assert [layer.id for layer in way.apply(roomy).pot("spare").layers] == ["dahlia"]


def test_a_later_start_tells_its_date_and_keeps_to_planting_time(narcissi: Yard) -> None:
    work = with_dahlia(narcissi, "2027-05-05")
    (conflict,) = conflicts(work)
    later = choice(conflict, "later")
    assert conflict.free is not None
    moved = later.apply(work)
    assert moved.layer("dahlia")[1].planted == conflict.free.p90 + timedelta(days=1)
    dahlia = next(layer for layer in report(moved).layers if layer.layer_id == "dahlia")
    assert dahlia.start is not None
    # The words promise what the whole forecast then shows.
    assert f"{dahlia.start.p50.day} " in later.words.split("opens about ")[1]


def test_the_planting_time_moves_with_the_usual_day() -> None:
    cultivar = cultivar_of(NARCISSUS)
    first, last = usual_planting_span(cultivar, usual=date(2026, 10, 10))
    assert first < date(2026, 10, 10) < last
    later = usual_planting_span(cultivar, usual=date(2026, 10, 25))
    assert later == (first + timedelta(days=15), last + timedelta(days=15))


def test_the_next_autumn_finds_the_summer_still_in_flower(narcissi: Yard) -> None:
    work = with_dahlia(narcissi, "2027-05-05")
    work = choice(conflicts(work)[0], "lift").apply(work)
    tulip = Layer(id="next", cultivar_id=TULIP, count=9, cover_cm=12.0, planted=date(2027, 9, 20))
    work = edits.add_layer(work, work.pots[0].id, tulip)
    (conflict,) = conflicts(work)
    assert conflict.new_ids == ("next",) and conflict.blocking_ids == ("dahlia",)
    assert conflict.kind == "flower"
    assert choice(conflict, "second-pot").available


def test_companions_only_mind_what_shows(narcissi: Yard) -> None:
    def planted(day: str) -> Yard:
        pansies = CompanionPlanting(
            id="companion-1",
            companion_id="winter-pansy",
            count=3,
            planted=date.fromisoformat(day),
        )
        return companion_edits.add_companion(narcissi, narcissi.pots[0].id, pansies)

    assert conflicts(planted("2026-10-10")) == ()
    assert conflicts(planted("2027-01-20")) == ()  # noses not yet through
    (conflict,) = conflicts(planted("2027-03-20"))
    assert conflict.kind == "leaf" and conflict.new_ids == ("companion-1",)
    moved = choice(conflict, "second-pot").apply(planted("2027-03-20"))
    assert [pot.id for pot, _ in moved.companions()] == [moved.pots[1].id]
    assert not choice(conflict, "later").available  # pansies are set out until the end of March


def test_layers_of_one_autumn_are_one_planting() -> None:
    assert conflicts(yard([(NARCISSUS, "2026-09-20"), (TULIP, "2026-11-20")])) == ()


def test_only_bulbs_in_the_pot_together_share_its_compost(tulips: Yard) -> None:
    pot = with_dahlia(tulips, "2027-05-10").pots[0]
    old, new = pot.layers
    assert is_out_before(old, new, cultivar_of=cultivar_of)
    assert not is_out_before(new, old, cultivar_of=cultivar_of)
    assert plantings_of(pot, cultivar_of=cultivar_of) == ((0,), (1,))
    apart = fit_pot(pot, cultivar_of=cultivar_of)
    assert not [each for each in apart.layout.findings if each.other is not None]
    assert [layer.layer_id for layer in apart.layers] == [layer.id for layer in pot.layers]
    alone = fit_pot(tulips.pots[0], cultivar_of=cultivar_of)
    assert apart.layers[0] == alone.layers[0]


def test_bulbs_that_stay_are_held_against_every_planting(narcissi: Yard) -> None:
    deep = with_dahlia(narcissi, "2027-05-10", cover_cm=8.0)
    pot = deep.pots[0]
    assert plantings_of(pot, cultivar_of=cultivar_of) == ((0, 1),)
    assert any(
        each.other is not None for each in fit_pot(pot, cultivar_of=cultivar_of).layout.findings
    )
    lifted = edits.change_layer(deep, pot.layers[0].id, lifted_on=date(2027, 5, 10))
    assert len(plantings_of(lifted.pots[0], cultivar_of=cultivar_of)) == 2


def test_a_pot_planted_twice_is_not_laid_out_as_one(tulips: Yard) -> None:
    work = with_dahlia(tulips, "2027-05-10")
    laid = lay_out_pot(work, work.pots[0].id, cultivar_of=cultivar_of)
    assert laid.yard is work and "more than once" in laid.left_alone


def test_frost_ends_what_it_stops() -> None:
    # Common practice, no source: the first real frost blackens dahlias.
    work = yard([(DAHLIA, "2027-06-20")])
    solved = solve_yard(work, catalogue=catalogue(), forecaster=forecaster()).solved
    ends = solved.days.end[0]
    august = (date(2027, 8, 1) - date.fromisoformat(str(solved.first_day))).days
    n_cut = 0
    for end, nights in zip(ends, solved.weather.tmin_c[:, august:], strict=True):
        frosts = [august + i for i, night in enumerate(nights) if night < -1.0]
        if frosts:
            assert end <= frosts[0]
            n_cut += int(end == frosts[0])
    assert n_cut > 0


def test_a_later_starts_date_is_the_one_that_the_yards_records_shift(tulips: Yard) -> None:
    """The words and the forecast agree where a yard has learned its own offset."""
    work = with_dahlia(tulips, "2027-04-20")
    layer = next(each for each in work.pots[0].layers if each.id != "dahlia")
    records = tuple(
        Record(id=f"record-{n}", day=date(year, 4, day), layer_id=layer.id, seen="first-flower")
        for n, (year, day) in enumerate(((2023, 22), (2024, 20), (2025, 23), (2026, 21)), 1)
    )
    work = work.model_copy(update={"records": records})
    assert report(work).learned_offset_days > 1.0
    later = choice(conflicts(work)[0], "later")
    moved = later.apply(work)
    dahlia = next(each for each in report(moved).layers if each.layer_id == "dahlia")
    assert dahlia.start is not None
    assert later.words.split("opens about ")[1].startswith(day_words(dahlia.start.p50))
