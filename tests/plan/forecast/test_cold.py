"""Where winter gives too little cold: how much is missing, and what the gardener is told."""

from __future__ import annotations

from datetime import date, timedelta
from functools import lru_cache

import asking
import numpy as np
import pytest

from bloomline.plan.climate.garden import garden_named
from bloomline.plan.climate.surroundings import standing_of
from bloomline.plan.forecast.cold import is_short, least_in_store, weeks_beside_least
from bloomline.plan.forecast.one_planting import Request, forecast
from bloomline.plan.season.shelf import shelf_windows
from bloomline.plan.season.solve import solve_yard
from bloomline.plan.season.yard import report_of
from bloomline.words import part_of_month

TULIP, HYACINTH, CROCUS = (
    "tulipa-shirley", "hyacinthus-orientalis-delft-blue", "crocus-vernus-pickwick",
)  # fmt: skip
WARM = ("Los Angeles", "San Diego", "Houston", "New Orleans", "Phoenix", "Cairo", "Perth")


@lru_cache(maxsize=16)
def garden(place):
    return garden_named(place)


def ask(place, cultivar_id, planted=None, *, here=None, **fields):
    return forecast(
        Request(
            id="1",
            garden=here or garden(place),
            cultivar=asking.catalogue().get(cultivar_id),
            planted=planted,
            **fields,
        ),
        forecaster=asking.forecaster(),
        today=asking.TODAY,
    )


def cold_words(answer):
    return " ".join(item.message for item in answer.advice if item.topic == "cold")


def test_figures_beside_a_verdict_agree_with_it():
    """Never "14 of at least 14 weeks" where cold is short."""
    for least in (2.0, 8.0, 12.5, 13.0, 14.0):
        for got in np.arange(0.0, 16.0, 0.01):
            shown = float(weeks_beside_least(got, least).split()[0])
            assert (shown < least - 0.5) == is_short(got, least), (got, least)
    assert weeks_beside_least(13.6, 14.0) == "13.6 of at least 14 weeks"
    assert not is_short(0.0, None)


def test_parts_of_months():
    days = {1: "early", 10: "early", 11: "mid", 20: "mid", 21: "late", 31: "late"}
    assert {d: part_of_month(date(2026, 10, d)) for d in days} == {
        d: f"{part} October" for d, part in days.items()
    }


@pytest.mark.parametrize("place", WARM)
@pytest.mark.parametrize("kind", [TULIP, HYACINTH, CROCUS, "narcissus-actaea"])
def test_who_does_as_told_gets_a_flower_with_its_cold(place, kind):
    """The weeks are counted honestly: chilled so and planted then, the least is reached."""
    answer = ask(place, kind)
    if answer.cold_plan is None:
        assert not is_short(answer.cold_weeks, answer.cold_weeks_needed)
        return
    plan = answer.cold_plan
    assert plan.earlier is None and "earlier" not in cold_words(answer)
    words = f"pre-chill {plan.prechill_weeks} weeks at 5-9 °C"
    assert words in cold_words(answer).replace("Pre-chill", "pre-chill")
    assert "ripening fruit" in cold_words(answer) and "food" in cold_words(answer)
    assert f"plant in {part_of_month(plan.plant_on)}" in cold_words(answer)
    assert plan.chill_from == plan.plant_on - timedelta(weeks=plan.prechill_weeks)
    assert answer.reason is None or words in answer.reason
    assert plan.prechill_weeks <= least_in_store(answer.cultivar)
    done = ask(place, kind, plan.plant_on, prechill_weeks=float(plan.prechill_weeks))
    assert done.start is not None and done.too_little_cold_share < 0.05
    assert done.cold_plan is None and cold_words(done) == ""
    assert not [item for item in done.advice if item.topic == "planting"]


def test_the_gulf_chills_for_six_weeks_or_more_and_plants_about_the_new_year():
    """Tulips and hyacinths at least six to eight weeks in the refrigerator, planted in late
    December or early January (some from early December), in flower in March and early April:
    Louisiana State University AgCenter, It’s time to plant tulips and hyacinths, 2010."""
    for kind in (TULIP, HYACINTH):
        plan = ask("New Orleans", kind).cold_plan
        assert 6 <= plan.prechill_weeks <= 13
        assert date(2026, 12, 1) <= plan.plant_on <= date(2027, 1, 15)
        done = ask("New Orleans", kind, plan.plant_on, prechill_weeks=float(plan.prechill_weeks))
        assert date(2027, 1, 20) <= done.start.p50 <= date(2027, 4, 15)


def test_los_angeles_flowers_its_daffodils_and_not_its_tulips():
    """'February Gold' and 'Peeping Tom' do particularly well there, trumpets flower in their
    first year: newspaper, Los Angeles, 1989, after the daffodil society there. Tulips,
    hyacinths and crocuses must be chilled: nursery's advice page, California."""
    flowers = [
        "narcissus-february-gold", "narcissus-peeping-tom", "narcissus-jetfire",
        "narcissus-carlton", "narcissus-ice-follies", "narcissus-dutch-master",
        "narcissus-avalanche", "narcissus-papyraceus-paperwhite", "tulipa-clusiana-lady-jane",
    ]  # fmt: skip
    for kind in flowers:
        answer = ask("Los Angeles", kind)
        assert answer.start is not None and answer.too_little_cold_share < 0.5, kind
    for kind in (TULIP, HYACINTH):
        answer = ask("Los Angeles", kind)
        assert answer.start is None and answer.too_little_cold_share > 0.5, kind
    assert ask("Los Angeles", "narcissus-papyraceus-paperwhite").too_little_cold_share == 0.0
    assert ask("Los Angeles", "narcissus-avalanche").too_little_cold_share == 0.0


def test_kinds_of_the_warm_south_fail_no_oftener_than_kinds_of_the_north():
    """Order of divisions: Florida State Horticultural Society trials, 1997 and later (tazettas
    best), daffodil societies of the South (poeticus and doubles poorest)."""
    order = [
        "narcissus-avalanche", "narcissus-carlton", "narcissus-dutch-master",
        "narcissus-tahiti", "narcissus-actaea", TULIP,
    ]  # fmt: skip
    for place in ("Los Angeles", "Orlando", "Phoenix"):
        shares = [ask(place, kind).too_little_cold_share for kind in order]
        assert shares == sorted(shares), place
        assert shares[0] == 0.0 and shares[-1] > 0.5


def test_miami_flowers_neither_tulip_nor_hyacinth_whenever_they_are_planted():
    for month in (9, 10, 11, 12):
        for kind in (TULIP, HYACINTH):
            answer = asking.ask("Miami", kind, date(2026, month, 20))
            assert answer.start is None and answer.cold_plan.earlier is None
            assert "earlier" not in answer.reason + cold_words(answer)
            assert answer.cold_plan.prechill_weeks >= 10


def test_the_other_half_of_the_earth_is_told_its_own_months():
    north = asking.ask("Miami", TULIP).cold_plan
    south = ask("", TULIP, here=asking.mirrored("Miami")).cold_plan
    apart = (north.plant_on.month - south.plant_on.month) % 12
    assert apart in (5, 6, 7)
    assert south.plant_on.month in (6, 7)
    assert south.prechill_weeks == north.prechill_weeks


def test_earlier_is_advised_only_where_it_would_do():
    late = asking.ask("London", TULIP, date(2027, 2, 15))
    day = late.cold_plan.earlier
    assert "plant earlier" in cold_words(late).lower() and day < late.planted
    assert asking.ask("London", TULIP, day).cold_plan is None
    assert asking.ask("London", TULIP).cold_plan is None


def test_bulbs_that_stay_in_their_pot_are_not_sent_to_the_refrigerator():
    stays = asking.ask("Miami", "narcissus-carlton", established=True)
    assert stays.cold_plan is None and stays.start is None
    assert "refrigerator" not in stays.reason + cold_words(stays)
    assert "pre-chilled" in cold_words(stays)


def test_the_forecast_the_shelf_and_the_yard_say_the_same():
    here = garden("Los Angeles")
    yard = asking.yard([(TULIP, "2026-12-15")], place="Miami")
    standing = standing_of(yard.pots[0])
    worked = solve_yard(asking.outlook(yard, garden=here))
    (layer,) = report_of(worked).layers
    alone = ask("Los Angeles", TULIP, date(2026, 12, 15), standing=standing)
    assert layer.cold_plan == alone.cold_plan and layer.reason == alone.reason
    assert [a.message for a in layer.advice if a.topic == "cold"] == [cold_words(alone)]
    window = shelf_windows(asking.outlook(yard, garden=here))[TULIP]
    usual = ask("Los Angeles", TULIP, window.planted)
    assert window.reason == usual.reason and window.cold_short


def test_one_warm_winter_of_a_cold_place_asks_for_no_refrigerator():
    yard = asking.yard([("tulipa-shirley", "2026-11-10")])
    for rank in (0, 20):
        worked = solve_yard(asking.outlook(yard, weather_year=rank))
        assert list(worked.cold_plans) == [None]
