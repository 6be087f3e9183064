from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from filling_yards import ask, faults, pot, yard

from bloomline.errors import UsageError
from bloomline.files.yardfile import load_yard
from bloomline.model.yard import Layer
from bloomline.plan.fill.gap import fill_gap
from bloomline.plan.fill.wishes import Wishes
from bloomline.plan.season.stretch import stretch_colour
from bloomline.plan.season.yard import season_report
from bloomline.plan.shop.buying import shopping_list

FIRST, LAST = date(2027, 6, 8), date(2027, 7, 6)


@pytest.fixture(scope="module")
def demo(request):
    root = Path(request.config.rootpath)
    return load_yard(root / "demo" / "hollyhock-lane.bloomline").yard


def test_days_and_money_are_those_of_season_and_list(demo):
    here = ask(demo)
    found = fill_gap(here, FIRST, LAST)
    assert found.fillers
    before = stretch_colour(here, FIRST, LAST).colour.expected
    assert found.bare == pytest.approx(found.days - before)
    for each in found.fillers[:8]:
        after = ask(each.apply(demo))
        gained = stretch_colour(after, FIRST, LAST).colour.expected - before
        assert each.days_gained == pytest.approx(gained, abs=1e-6)
        assert each.cost == shopping_list(after).total - shopping_list(here).total
        assert each.least <= each.layer.count <= each.room


def test_the_most_days_for_the_money_come_first(demo):
    rates = [each.days_per_money for each in fill_gap(ask(demo), FIRST, LAST).fillers]
    assert rates == sorted(rates, reverse=True)


def test_a_filler_brings_no_new_fault(demo):
    before = faults(demo)
    for each in fill_gap(ask(demo), FIRST, LAST).fillers[:5]:
        assert sorted(faults(each.apply(demo))) == sorted(before)


def test_wishes_hold_for_a_gap_too(demo):
    found = fill_gap(ask(demo), FIRST, LAST, wishes=Wishes(harmless=True, height_most_cm=60))
    assert all(each.harm == 0 and each.height_cm <= 60 for each in found.fillers)


def test_a_full_pot_has_no_room():
    layers = [
        Layer(
            id="a", cultivar_id="tulipa-west-point", count=9, cover_cm=15, planted=date(2026, 11, 1)
        ),
        Layer(
            id="b",
            cultivar_id="narcissus-geranium",
            count=9,
            cover_cm=10,
            planted=date(2026, 11, 1),
        ),
        Layer(
            id="c",
            cultivar_id="crocus-tommasinianus-ruby-giant",
            count=40,
            cover_cm=6,
            planted=date(2026, 11, 1),
        ),
    ]
    full = yard(pot(1, *layers, size=(30, 22, 28)))
    found = fill_gap(ask(full), date(2027, 3, 1), date(2027, 4, 10))
    assert found.fillers == ()
    assert "no room" in found.nothing


def test_an_empty_yard_of_no_pots_says_so():
    found = fill_gap(ask(yard()), date(2027, 3, 1), date(2027, 4, 10))
    assert found.fillers == ()
    assert found.nothing == "There is no pot yet."


def test_a_stretch_outside_the_season_is_refused():
    with pytest.raises(UsageError, match="season"):
        fill_gap(ask(yard(pot())), date(2029, 3, 1), date(2029, 4, 1))
    with pytest.raises(UsageError, match="before"):
        fill_gap(ask(yard(pot())), date(2027, 4, 1), date(2027, 3, 1))


def test_a_stretch_of_the_whole_season_counts_its_weeks(demo):
    here = ask(demo)
    report = season_report(here)
    found = stretch_colour(here, report.first_day, report.last_day)
    assert found.colour.expected == pytest.approx(7 * report.weeks_of_colour.expected)
    assert found.scent.expected == pytest.approx(7 * report.weeks_of_scent.expected)


def test_with_scent_wished_for_only_scented_kinds_fill_a_pot_without_one():
    here = ask(yard(pot()))
    wishes = Wishes(scent=True)
    plain = fill_gap(here, FIRST, LAST)
    scented = fill_gap(here, FIRST, LAST, wishes=wishes)
    assert scented.fillers
    assert scented.fillers == tuple(each for each in plain.fillers if each.scent)
