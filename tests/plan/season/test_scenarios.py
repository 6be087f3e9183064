"""What-if scenarios: what is otherwise changes, and nothing else does."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from asking import outlook

from bloomline.errors import UsageError
from bloomline.files.yardfile import load_yard
from bloomline.model.weather_edits import own_weather, set_weather
from bloomline.plan.climate.garden import garden_named, garden_of
from bloomline.plan.season.scenarios import Scenario, compare, scenario_outlook
from bloomline.plan.season.yard import season_report

DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"


@pytest.fixture(scope="module")
def yard():
    return load_yard(DEMO).yard


def test_the_plain_scenario_is_the_season_itself(yard):
    plain = season_report(scenario_outlook(outlook(yard), Scenario()))
    season = season_report(outlook(yard))
    assert [each.start for each in plain.layers] == [each.start for each in season.layers]
    same = compare(outlook(yard), Scenario(), Scenario())
    assert same.median_start_days == 0
    assert (same.more_bare_days(decimals=0), same.more_weeks_of_colour(decimals=1)) == (0, 0)
    assert {each.start_days for each in same.layers} == {0}


def test_differences_are_those_of_the_figures_shown(yard):
    plain = compare(outlook(yard), Scenario(), Scenario())

    def spread(mean):
        return replace(plain.a.bare_days, expected=mean)

    # By hand: 20.94 and 19.86 are shown as 20.9 and 19.9, or as 21 and 20.
    answer = replace(
        plain,
        a=replace(plain.a, bare_days=spread(20.94), weeks_of_colour=spread(5.96)),
        b=replace(plain.b, bare_days=spread(19.86), weeks_of_colour=spread(6.04)),
    )
    assert answer.more_bare_days(decimals=1) == -1.0
    assert answer.more_bare_days(decimals=0) == -1.0
    assert answer.more_weeks_of_colour(decimals=1) == 0.0


def test_tulips_open_earlier_the_warmer_it_is(yard):
    moved = []
    for warmer in (-1.0, 1.0, 2.0, 3.0):
        answer = compare(outlook(yard), Scenario(), Scenario(warmer_c=warmer))
        tulip = next(each for each in answer.layers if each.a.name == "Tulipa 'Shirley'")
        moved.append(tulip.start_days)
    assert moved == sorted(moved, reverse=True)
    assert moved[0] > 0 > moved[1]


def test_raised_normals_and_lowered_height_are_one_thing(yard):
    # ISO 2533: 6.5 °C per km, so a garden 200 m lower is 1.3 °C warmer.
    garden = garden_of(yard.place)
    lower = Scenario(place=garden.__class__(**{
        **{name: getattr(garden, name) for name in garden.__slots__},
        "rise_m": garden.rise_m - 200.0,
    }))  # fmt: skip
    by_height = season_report(scenario_outlook(outlook(yard), lower))
    by_warmth = season_report(scenario_outlook(outlook(yard), Scenario(warmer_c=1.3)))
    for a, b in zip(by_height.layers, by_warmth.layers, strict=True):
        assert (a.start is None) == (b.start is None)
        if a.start and b.start and a.start.p50.month in (3, 4, 5):
            # The day-to-day swing follows the normals, not the height; that is what is left.
            assert abs((a.start.p50 - b.start.p50).days) <= 2


def test_the_coldest_year_is_later_than_the_warmest(yard):
    answer = compare(
        outlook(yard), Scenario(weather_year="warmest"), Scenario(weather_year="coldest")
    )
    assert answer.median_start_days is not None
    assert answer.median_start_days > 7
    assert "coldest of 21" in answer.b_words


def test_only_this_seasons_bulbs_are_planted_later(yard):
    answer = compare(outlook(yard), Scenario(), Scenario(later_weeks=2))
    for each in answer.layers:
        by = timedelta() if each.a.established else timedelta(weeks=2)
        assert each.b.planted - each.a.planted == by


def test_another_site_moves_every_pot(yard):
    answer = compare(outlook(yard), Scenario(), Scenario(site="cold-greenhouse"))
    assert answer.median_start_days is not None
    assert answer.median_start_days < 0


def test_recorded_days_count_at_home_and_not_elsewhere(yard):
    first = date(yard.season_year - 1, 9, 1)
    mild = {first + timedelta(days=i): (8.0, 16.0) for i in range(180)}
    kept = set_weather(yard, own_weather(mild, label="mild"))
    home = compare(outlook(yard), Scenario(), Scenario())
    mine = compare(outlook(kept), Scenario(), Scenario())
    assert "180 recorded days" in mine.a.weather_label
    assert [x.a.start for x in home.layers] != [x.a.start for x in mine.layers]
    away = Scenario(place=garden_named("Aberdeen Dyce"))
    assert "recorded" not in season_report(scenario_outlook(outlook(kept), away)).weather_label


@pytest.mark.parametrize(
    ("scenario", "told"),
    [
        (Scenario(warmer_c=9.0), "outside"),
        (Scenario(later_weeks=40), "outside"),
        (Scenario(weather_year=21), "no weather year 22: they go from 1, the coldest, to 21"),
        (Scenario(weather_year=98), "no weather year 99"),
    ],
)
def test_what_can_not_be_is_refused(yard, scenario, told):
    with pytest.raises(UsageError, match=told):
        season_report(scenario_outlook(outlook(yard), scenario))


def test_the_other_half_of_the_earth_is_refused(yard):
    garden = garden_of(yard.place)
    south = garden.__class__(**{
        **{name: getattr(garden, name) for name in garden.__slots__}, "latitude_deg": -40.0,
    })  # fmt: skip
    with pytest.raises(UsageError, match="other half"):
        season_report(scenario_outlook(outlook(yard), Scenario(place=south)))


def test_words_say_all_that_is_otherwise():
    assert Scenario().words() == "as it is"
    words = Scenario(warmer_c=-1.5, later_weeks=1, site="warm-wall").words()
    assert words.startswith("1.5 °C colder, planted 1 week later, all pots: ")
