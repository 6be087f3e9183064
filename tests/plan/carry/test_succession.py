"""Plantings that follow one another in a pot: collisions, ways out, and what they cost."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from asking import catalogue, outlook, yard
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.model import companion_edits, edits
from bloomline.model.companion import CompanionPlanting
from bloomline.model.yard import Layer, Pot, Record, Yard
from bloomline.plan.carry.collision import Conflict
from bloomline.plan.carry.succession import successions
from bloomline.plan.forecast.planting_day import usual_planting_span
from bloomline.plan.pot.fitting import fit_pot
from bloomline.plan.pot.layout import lay_out_pot
from bloomline.plan.pot.residence import is_out_before, plantings_of
from bloomline.plan.season.solve import solve_yard
from bloomline.plan.season.yard import season_report
from bloomline.plan.words.day_words import day_words

TULIP, NARCISSUS = "tulipa-negrita", "narcissus-actaea"
DAHLIA = "dahlia-bishop-of-llandaff"
cultivar_of = catalogue().get


def report(of: Yard):
    return season_report(outlook(of))


def conflicts(of: Yard) -> tuple[Conflict, ...]:
    return successions(outlook(of))


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
    solved = solve_yard(outlook(work)).solved
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


def test_a_later_start_minds_what_else_then_stands_in_the_way() -> None:
    # Together with the newcomers as planned, in leaf by the time they would go in.
    kind = "allium-gladiator"
    work = yard([(kind, "2026-03-01"), (kind, "2027-03-03"), (kind, "2027-05-17")])
    (conflict,) = [each for each in conflicts(work) if "layer-0-2" in each.new_ids]
    later = choice(conflict, "later").apply(work)
    assert not [each for each in conflicts(later) if "layer-0-2" in each.new_ids]


def test_a_later_start_is_none_where_the_newcomers_come_out_before(narcissi: Yard) -> None:
    work = edits.change_layer(
        with_dahlia(narcissi, "2027-05-05"), "dahlia", lifted_on=date(2027, 5, 20)
    )
    (conflict,) = conflicts(work)
    later = choice(conflict, "later")
    assert not later.available and "come out again before that" in later.why_not


def test_a_later_starts_date_counts_the_weeks_of_cold_that_were_given() -> None:
    work = yard([("gladiolus-plum-tart", "2026-06-05"), (TULIP, "2026-10-15")])
    work = edits.change_layer(work, "layer-0-1", prechill_weeks=12.0)
    (conflict,) = conflicts(work)
    later = choice(conflict, "later")
    assert later.available, later.why_not
    layers = report(later.apply(work)).layers
    tulip = next(each for each in layers if each.layer_id == "layer-0-1")
    assert tulip.start is not None
    assert f"opens about {day_words(tulip.start.p50)}." in later.words


def test_bulbs_that_have_not_flowered_yet_are_not_lifted_for_others() -> None:
    work = yard([(TULIP, "2027-11-20"), ("lilium-regale", "2027-08-20")])
    work = edits.change_layer(work, "layer-0-0", cover_cm=20.0)
    (conflict,) = conflicts(work)
    assert conflict.blocking_ids == ("layer-0-1",)
    lift = choice(conflict, "lift")
    assert not lift.available and "lost before flowering" in lift.why_not
    assert choice(conflict, "second-pot").available


def test_a_full_yard_has_no_second_pot(narcissi: Yard, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("bloomline.plan.carry.ways_out.MAX_POTS", 1)
    (conflict,) = conflicts(with_dahlia(narcissi, "2027-05-05"))
    second = choice(conflict, "second-pot")
    assert not second.available and "full" in second.why_not


_DAYS = st.dates(date(2026, 3, 1), date(2027, 12, 20))
_PLANTED = st.tuples(
    st.sampled_from(
        (TULIP, NARCISSUS, DAHLIA, "narcissus-hawera", "allium-gladiator", "lilium-regale")
    ),
    _DAYS,
    st.sampled_from((3.0, 8.0, 15.0, 22.0)),
    st.none() | st.integers(10, 400),
)
_ON_TOP = st.tuples(
    st.sampled_from(("winter-pansy", "ivy-small-leaved")), _DAYS, st.none() | st.integers(10, 300)
)


@settings(max_examples=40, deadline=None)
@given(st.lists(_PLANTED, min_size=2, max_size=4), st.lists(_ON_TOP, max_size=2))
def test_every_way_out_that_is_offered_frees_the_newcomers_and_loses_nothing(
    planted: list[tuple[str, date, float, int | None]],
    on_top: list[tuple[str, date, int | None]],
) -> None:
    layers = [
        Layer(
            id=f"layer-{at}",
            cultivar_id=kind,
            count=5,
            cover_cm=cover_cm,
            planted=day,
            lifted_on=None if stays is None else day + timedelta(days=stays),
        )
        for at, (kind, day, cover_cm, stays) in enumerate(sorted(planted, key=lambda p: -p[2]))
    ]
    companions = [
        CompanionPlanting(
            id=f"companion-{at}",
            companion_id=kind,
            count=2,
            planted=day,
            taken_out=None if stays is None else day + timedelta(days=stays),
        )
        for at, (kind, day, stays) in enumerate(on_top)
    ]
    work = yard(
        Pot(
            id="pot",
            name="Pot",
            top_width_cm=50,
            bottom_width_cm=40,
            inside_height_cm=45,
            layers=tuple(layers),
            companions=tuple(companions),
        )
    )

    def ids(of: Yard) -> list[str]:
        return sorted([x.id for _, x in of.layers()] + [x.id for _, x in of.companions()])

    for conflict in conflicts(work):
        for way in conflict.choices:
            if not way.available:
                continue
            settled = way.apply(work)
            assert ids(settled) == ids(work)
            left = {
                (new, old)
                for each in conflicts(settled)
                for new in each.new_ids
                for old in each.blocking_ids
                if new in conflict.new_ids
            }
            # A later start is free of everything, the others of what stood in the way.
            gone = None if way.key == "later" else conflict.blocking_ids
            assert not [pair for pair in left if gone is None or pair[1] in gone]
