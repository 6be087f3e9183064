"""A yard that learns: the demo's pots with records invented for these tests, none observed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from functools import partial

import numpy as np
import pytest
from asking import catalogue, outlook
from odd_yards import records_of, told, with_slips

from bloomline.engine.bands import band_days
from bloomline.files.yardfile import dump_yard, load_yard, parse_yard
from bloomline.model.edits import add_record, change_layer, change_pot, change_record, set_place
from bloomline.model.record_edits import remove_records
from bloomline.model.yard import PlaceChoice, Record
from bloomline.plan.climate.garden import garden_named, garden_of
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.records.facts import against_facts, facts_of, season_of
from bloomline.plan.records.learning import learn, learn_from
from bloomline.plan.records.order import out_of_order
from bloomline.plan.season.outlook import find_cultivar
from bloomline.plan.season.solve import solve_yard
from bloomline.plan.season.yard import season_report

SEASONS = (2022, 2023, 2024, 2025, 2026)


@pytest.fixture(scope="module")
def forecaster():
    return Forecaster()


@pytest.fixture(scope="module")
def demo(checkout):
    loaded = load_yard(checkout / "demo" / "hollyhock-lane.bloomline").yard
    return loaded.model_copy(update={"records": ()})


def seen(number, layer_id, day, what="first-flower"):
    return Record(id=f"record-{number}", day=day, layer_id=layer_id, seen=what)


def teach(yard, forecaster, **fields):
    return learn(
        yard,
        cultivar_of=partial(find_cultivar, yard, catalogue=catalogue()),
        forecaster=forecaster,
        **fields,
    )


def report(yard, forecaster, **fields):
    return season_report(outlook(yard, forecaster=forecaster, **fields))


@pytest.fixture(scope="module")
def expected(demo, forecaster):
    """The spring layers' facts on the days forecast for five seasons: five or more a season."""
    records, number = [], 0
    for season in SEASONS:
        for _, layer in demo.layers():
            kind = find_cultivar(demo, layer.cultivar_id, catalogue=catalogue())
            if kind.flowers_in == "spring":
                number += 1
                records.append(seen(number, layer.id, date(season, 4, 15)))
    facts = facts_of(
        demo,
        records=records,
        cultivar_of=partial(find_cultivar, demo, catalogue=catalogue()),
        forecaster=forecaster,
        garden=garden_of(demo.place),
    )
    return [
        replace(
            fact,
            record=fact.record.model_copy(update={"day": fact.expected}),
            residual_days=0.0,
            problem="",
        )
        for fact in facts
        if fact.expected is not None
    ]


def test_after_three_ten_and_thirty_records_the_error_falls_as_theory_says(expected) -> None:
    rng = np.random.default_rng(2027)
    n_yards, rounds = 20, 15
    errors = {0: [], 3: [], 10: [], 30: []}
    theory = {0: [], 3: [], 10: [], 30: []}
    inside = {0: [], 3: [], 10: [], 30: []}
    for _ in range(n_yards * rounds):
        offset = rng.normal(0.0, 4.0)
        all_told = told(expected, rng, offset=offset)
        order = rng.permutation(len(all_told))
        for n in errors:
            learned = learn_from([all_told[i] for i in order[:n]])
            errors[n].append(offset - learned.offset_days)
            theory[n].append(learned.sd_days)
            # A season to come, at the same yard: the band of each layer against what happens.
            coming = told(expected, rng, offset=offset)[: len(expected) // len(SEASONS)]
            weather = np.stack([fact.weather_days for fact in coming]) + learned.offset_days
            sd = np.array([np.hypot(fact.sd_days, 2.0) for fact in coming])
            band = band_days(weather, sd_days=np.hypot(sd, learned.sd_days))
            days = np.array([fact.residual_days for fact in coming])
            inside[n].append(np.mean((band.p10 <= days) & (days <= band.p90)))
    root_mean_square = {n: float(np.sqrt(np.mean(np.square(errors[n])))) for n in errors}
    for n in errors:
        promised = float(np.sqrt(np.mean(np.square(theory[n]))))
        assert root_mean_square[n] == pytest.approx(promised, rel=0.12), n
        assert 0.75 <= np.mean(inside[n]) <= 0.85, (n, np.mean(inside[n]))
    assert root_mean_square[0] > root_mean_square[3] > root_mean_square[10] > root_mean_square[30]
    first = {n: np.mean(np.abs(errors[n][:n_yards])) for n in errors}
    assert first[30] < first[3]


def test_without_records_nothing_changes(demo, forecaster) -> None:
    with_it, without = report(demo, forecaster), report(demo, forecaster, use_records=False)
    assert with_it.learned_from == 0
    assert with_it.learned_sd_days is None
    assert [layer.start for layer in with_it.layers] == [layer.start for layer in without.layers]
    assert with_it.coverage.tolist() == without.coverage.tolist()
    assert with_it.weather_label == without.weather_label == "21 weather years"


def five_seasons(demo, expected, *, days):
    """The worked story: every layer opened so many days off its forecast. Invented records."""
    yard = demo
    for fact in expected:
        # Over the seasons one day more or less in turn, as real springs scatter.
        day = fact.expected + timedelta(days=days + fact.season_year % 3 - 1)
        yard = add_record(yard, fact.record.model_copy(update={"day": day}))
    return yard


def test_five_seasons_shift_the_sixth_and_narrow_its_bands(demo, expected, forecaster) -> None:
    yard = five_seasons(demo, expected, days=6)
    learned = teach(yard, forecaster)
    assert not learned.questions
    assert learned.n_records == len(expected)
    assert 3.0 < learned.offset_days < 6.0  # shrunk: some may be weather and cultivars
    assert learned.sd_days < 3.0
    with_it, without = report(yard, forecaster), report(yard, forecaster, use_records=False)
    assert with_it.learned_offset_days == learned.offset_days
    assert f"by {len(expected)} records" in with_it.weather_label
    assert "later" in with_it.weather_label
    for new, old in zip(with_it.layers, without.layers, strict=True):
        if new.start is None or old.start is None:
            continue
        moved = (new.start.p50 - old.start.p50).days
        site = next(pot.site for pot in yard.pots if pot.id == new.pot_id)
        assert abs(moved - learned.offset_at(site)) <= 1.0
        # Both ends are whole days, so a band may look a day wider than it is.
        wider = (new.start.p90 - new.start.p10) - (old.start.p90 - old.start.p10)
        assert wider <= timedelta(days=1)
    sds = [
        solve_yard(outlook(yard, forecaster=forecaster, use_records=each)).solved.uncertainty.garden
        for each in (True, False)
    ]
    # What its least known site still leaves open, but never more than without records.
    assert learned.sd_days <= sds[0] <= sds[1] == forecaster.growth_law.garden_sd_days
    ahead = report(yard, forecaster, weather_year=0)
    assert ahead.weather_label.endswith(f"by {len(expected)} records")


def test_the_story_season_by_season_comes_nearer(demo, expected, forecaster) -> None:
    yard = five_seasons(demo, expected, days=6)
    offsets, sds = [], []
    for season in SEASONS:
        records = tuple(r for r in yard.records if r.day.year <= season)
        learned = teach(yard.model_copy(update={"records": records}), forecaster)
        offsets.append(learned.offset_days)
        sds.append(learned.sd_days)
    # Records are whole days and each season's turn differs: within a twentieth of a day.
    assert (np.diff(offsets) >= -0.05).all()
    assert abs(6 - offsets[-1]) < abs(6 - offsets[0])
    assert sds == sorted(sds, reverse=True)
    rows = against_facts(teach(yard, forecaster).facts, by=lambda fact: str(fact.season_year))
    assert [row.name for row in rows] == [str(season) for season in SEASONS]
    for row in rows:
        turn = int(row.name) % 3 - 1
        assert row.bias_days == pytest.approx(6 + turn, abs=1.0)
        assert row.inside_share > 0.6


def test_order_of_records_does_not_matter(expected) -> None:
    rng = np.random.default_rng(5)
    facts = told(expected, rng, offset=3.0)
    facts[4] = replace(facts[4], residual_days=facts[4].residual_days + 31.0)
    one = learn_from(facts)
    for _ in range(3):
        other = learn_from([facts[i] for i in rng.permutation(len(facts))])
        assert other.offset_days == pytest.approx(one.offset_days, abs=1e-9)
        assert other.by_site.keys() == one.by_site.keys()
        for site, offset in one.by_site.items():
            assert other.by_site[site] == pytest.approx(offset)
        assert [q.record.id for q in other.questions] == [q.record.id for q in one.questions]


def test_a_month_off_is_questioned_until_confirmed(demo, expected, forecaster) -> None:
    yard = five_seasons(demo, expected, days=2)
    fact = expected[-1]
    right = teach(yard, forecaster)
    day = yard.record(fact.record.id).day
    wrong = change_record(yard, fact.record.id, day=day + timedelta(days=30))
    learned = teach(wrong, forecaster)
    (question,) = learned.questions
    assert question.record.id == fact.record.id
    assert "another month" in question.words
    assert learned.n_records == right.n_records - 1
    assert learned.offset_days == pytest.approx(right.offset_days, abs=0.5)
    confirmed = teach(change_record(wrong, fact.record.id, confirmed=True), forecaster)
    assert not confirmed.questions
    assert confirmed.n_records == right.n_records


def test_days_that_cannot_be_are_questioned_with_the_reason(demo, forecaster) -> None:
    layer = next(layer for _, layer in demo.layers() if layer.planted == date(2026, 10, 31))
    yard = add_record(demo, seen(1, layer.id, date(2026, 10, 2), "nose"))
    (question,) = teach(yard, forecaster).questions
    assert question.words == "before these bulbs were planted, on 31 October 2026"
    yard = add_record(demo, seen(1, layer.id, date(2027, 5, 2)))
    (question,) = teach(yard, forecaster, today=date(2027, 4, 30)).questions
    assert question.words == "2 May 2027 is still to come"
    assert not teach(yard, forecaster, today=date(2027, 5, 2)).questions
    yard = add_record(yard, seen(2, layer.id, date(2027, 4, 28), "over"))
    both = teach(yard, forecaster)
    assert [q.record.id for q in both.questions] == ["record-2", "record-1"]
    assert both.n_records == 0


def test_another_place_is_not_shifted_and_a_warmer_year_here_is(demo, expected, forecaster) -> None:
    yard = five_seasons(demo, expected, days=6)
    here = garden_of(yard.place)
    warmer = replace(here, tmax_c=tuple(t + 1.0 for t in here.tmax_c))
    assert report(yard, forecaster, garden=warmer).learned_from == len(expected)
    elsewhere = garden_named("00003772")
    assert report(yard, forecaster, garden=elsewhere).learned_from == 0


def test_the_same_records_are_reckoned_once(demo, expected, forecaster) -> None:
    yard = five_seasons(demo, expected, days=1)
    once = teach(yard, forecaster)
    assert teach(yard.model_copy(update={"name": "Another"}), forecaster) is once
    other = next(iter(yard.layers()))[1]
    # It was planted after all that was seen: how, says nothing of the seasons before.
    assert teach(change_layer(yard, other.id, prechill_weeks=3.0), forecaster) is once
    moved = change_layer(yard, other.id, planted=date(2025, 12, 20))
    assert teach(moved, forecaster) is not once
    fresh = Forecaster()
    for each in (yard, moved):
        kept, anew = teach(each, forecaster), teach(each, fresh)
        assert (kept.offset_days, kept.sd_days) == (anew.offset_days, anew.sd_days)


def test_sites_differ_once_each_has_enough(expected) -> None:
    sites = {fact.site for fact in expected}
    assert len(sites) > 1
    wall = [f for f in expected if f.site == "warm-wall"]
    moved = [replace(f, residual_days=-6.0 if f in wall else 2.0) for f in expected]
    learned = learn_from(moved)
    assert learned.by_site
    if "warm-wall" in learned.by_site:
        assert learned.offset_at("warm-wall") < learned.offset_at("open")
    assert not learn_from(moved[:3]).by_site


def test_the_season_of_a_day() -> None:
    tulip = catalogue().get("tulipa-queen-of-night")
    assert season_of(date(2027, 5, 1), tulip, southern=False) == 2027
    assert season_of(date(2026, 12, 20), tulip, southern=False) == 2027
    assert season_of(date(2026, 6, 10), tulip, southern=False) == 2026
    assert season_of(date(2026, 10, 1), tulip, southern=True) == 2026


def test_confirmed_goes_through_the_file(demo) -> None:
    layer = next(iter(demo.layers()))[1]
    yard = change_record(
        add_record(demo, seen(1, layer.id, date(2027, 5, 1))), "record-1", confirmed=True
    )
    text = dump_yard(yard)
    assert b'"confirmed": true' in text
    assert parse_yard(text, name="test").records == yard.records


def test_what_is_seen_after_bulbs_left_their_pot_is_questioned(demo, forecaster) -> None:
    layer = next(layer for _, layer in demo.layers() if layer.planted == date(2026, 10, 31))
    yard = add_record(demo, seen(1, layer.id, date(2027, 5, 2)))
    assert not teach(yard, forecaster, today=date(2027, 5, 2)).questions
    yard = change_layer(yard, layer.id, lifted_on=date(2027, 5, 2))
    assert not teach(yard, forecaster, today=date(2027, 5, 2)).questions
    yard = change_layer(yard, layer.id, lifted_on=date(2027, 5, 1))
    (question,) = teach(yard, forecaster, today=date(2027, 5, 2)).questions
    assert question.words == "after these bulbs left their pot, on 1 May 2027"


def test_what_was_seen_at_one_place_says_nothing_of_another(demo, expected, forecaster) -> None:
    yard = five_seasons(demo, expected, days=6)
    here = teach(yard, forecaster)
    other = PlaceChoice(
        station_id="00003772", name="Heathrow", latitude_deg=51.479, longitude_deg=-0.451
    )
    moved = set_place(yard, other)
    away = teach(moved, forecaster)
    assert (away.n_records, away.n_elsewhere, away.offset_days) == (0, len(yard.records), 0.0)
    assert report(moved, forecaster).learned_words == ""
    back = teach(set_place(moved, yard.place), forecaster)
    assert (back.offset_days, back.n_elsewhere) == (here.offset_days, 0)


def test_noses_of_lilies_planted_late_are_of_the_season_to_come(demo, forecaster) -> None:
    layer = next(layer for _, layer in demo.layers())
    planted = date(2026, 11, 30)
    yard = change_layer(demo, layer.id, cultivar_id="lilium-regale", planted=planted)
    yard = add_record(yard, seen(1, layer.id, date(2026, 12, 31), "nose"))
    (fact,) = teach(yard, forecaster, today=date(2027, 1, 1)).facts
    assert fact.season_year == 2027
    # Another planting day is another forecast behind the record.
    moved = teach(change_layer(yard, layer.id, planted=date(2026, 12, 15)), forecaster)
    assert moved.facts[0].expected != fact.expected


def facts_in(yard, records, forecaster):
    return facts_of(
        yard,
        records=records,
        cultivar_of=partial(find_cultivar, yard, catalogue=catalogue()),
        forecaster=forecaster,
        garden=garden_of(yard.place),
    )


@pytest.mark.parametrize(("share", "within_a_day"), [(0.1, 0.95), (1 / 3, 0.8)])
def test_wrong_entries_hardly_move_the_offset(
    demo, expected, forecaster, share, within_a_day
) -> None:
    rng = np.random.default_rng(1)
    moved, in_doubt, n_right = [], 0, 0
    for _ in range(50):
        n = int(rng.integers(18, len(expected) + 1))
        chosen = [expected[i] for i in rng.permutation(len(expected))[:n]]
        right = records_of(told(chosen, rng, offset=rng.normal(0.0, 4.0)))
        entered, wrong = with_slips(right, rng, share=share)
        without = learn_from(facts_in(demo, [r for r in entered if r.id not in wrong], forecaster))
        learned = learn_from(facts_in(demo, entered, forecaster))
        moved.append(abs(learned.offset_days - without.offset_days))
        asked = {q.record.id for q in learned.questions} - wrong
        in_doubt += len(asked - {q.record.id for q in without.questions})
        n_right += n - len(wrong)
    # What is left are slips no larger than what weather and cultivars do: nothing tells them.
    assert np.mean(np.array(moved) <= 1.0) >= within_a_day, sorted(moved)
    assert np.median(moved) <= 0.5
    assert in_doubt / n_right <= 0.02


def test_three_absurd_entries_leave_the_good_ones_alone(checkout, forecaster) -> None:
    yard = load_yard(checkout / "demo" / "hollyhock-lane.bloomline").yard
    before = teach(yard, forecaster, today=date(2026, 10, 1))
    absurd = {
        "record-97": seen(97, "layer-17", date(2025, 3, 30)),
        "record-98": seen(98, "layer-17", date(2025, 12, 1)),
        "record-99": seen(99, "layer-3", date(2026, 8, 1)),
    }
    for record in absurd.values():
        yard = add_record(yard, record)
    after = teach(yard, forecaster, today=date(2026, 10, 1))
    new = {q.record.id: q.words for q in after.questions}
    assert new.keys() - {q.record.id for q in before.questions} == absurd.keys()
    assert after.offset_days == pytest.approx(before.offset_days)
    told = new["record-99"]
    assert told.startswith("167 days later than forecast for 2026, and only 10 January 2026")
    # What no weather year brings is kept when confirmed, asked for no more, and teaches nothing.
    # (A snowdrop of 1 December is at the very edge of that.)
    impossible = {"record-97", "record-99"}
    yard = remove_records(yard, ["record-98"])
    for name in impossible:
        yard = change_record(yard, name, confirmed=True)
    confirmed = teach(yard, forecaster, today=date(2026, 10, 1))
    assert confirmed.questions == before.questions
    assert {fact.record.id for fact in confirmed.untaught} == impossible
    assert confirmed.offset_days == pytest.approx(before.offset_days)
    assert confirmed.n_records == before.n_records


def test_what_is_possible_is_not_moved_by_other_records(demo, expected, forecaster) -> None:
    fact = next(f for f in expected if f.cultivar.id == "tulipa-shirley")
    late = fact.record.model_copy(update={"day": fact.expected + timedelta(days=75)})
    (alone,) = facts_in(demo, [late], forecaster)
    assert alone.problem
    many = [late.model_copy(update={"id": f"record-{900 + i}"}) for i in range(30)]
    learned = learn_from(facts_in(demo, many, forecaster))
    assert learned.n_records == 0 and len(learned.questions) == 30
    # In the climate's latest weather year it may come, at any garden near the model.
    days = max(fact.weather_days) + 3.0
    (near,) = facts_in(
        demo,
        [late.model_copy(update={"day": fact.expected + timedelta(days=int(days))})],
        forecaster,
    )
    assert not near.problem


def test_of_stages_out_of_order_the_one_against_most_is_questioned(demo, forecaster) -> None:
    layer = next(layer for _, layer in demo.layers() if layer.cultivar_id == "tulipa-shirley")
    days = {"nose": (3, 2), "first-flower": (4, 22), "full": (4, 27), "over": (5, 9)}
    yard = demo
    for i, (what, (month, day)) in enumerate(days.items()):
        yard = add_record(yard, seen(i, layer.id, date(2026, month, day), what))
    assert not out_of_order(facts_in(yard, yard.records, forecaster))
    wrong = change_record(yard, "record-3", day=date(2026, 4, 21))  # over before it opened
    told = out_of_order(facts_in(wrong, wrong.records, forecaster))
    assert told == {"record-3": "over lies before first flower, seen on 22 April 2026"}
    # In a bench of equal pots each may be of another.
    pot = wrong.layer(layer.id)[0]
    bench = change_pot(wrong, pot.id, copies=60)
    assert not out_of_order(facts_in(bench, bench.records, forecaster))
    # Of two that contradict one another, the one that the forecast speaks against.
    two = wrong.model_copy(update={"records": wrong.records[1:2] + wrong.records[3:]})
    two = change_record(two, "record-3", day=date(2026, 4, 2))
    assert out_of_order(facts_in(two, two.records, forecaster)).keys() == {"record-3"}
