"""Early bulbs are started by the year, not by planting: anywhere, in pots and in the ground."""

from __future__ import annotations

from datetime import date, timedelta
from functools import lru_cache

import numpy as np
import pytest
from asking import FIRST_DAY, GROUND, POT, catalogue, forecaster

from bloomline.plan.climate.garden import Garden, garden_at
from bloomline.plan.forecast.cold import is_short
from bloomline.plan.forecast.outcomes import outcomes
from bloomline.plan.forecast.planting_day import counts_from, usual_planting_day
from bloomline.plan.forecast.plantings import Planting

# Places of mild, cold, dry and steady winters in both halves of the earth.
PLACES = {
    "London": (51.48, -0.45, 25),
    "Edinburgh": (55.95, -3.2, 40),
    "Plymouth": (50.37, -4.14, 30),
    "Dublin": (53.35, -6.26, 20),
    "De Bilt": (52.1, 5.18, 2),
    "Paris": (48.82, 2.33, 75),
    "Berlin": (52.5, 13.4, 40),
    "Munich": (48.16, 11.54, 515),  # in the middle of the town
    "Vienna": (48.2, 16.4, 200),
    "Stockholm": (59.33, 18.06, 20),
    "Oslo": (59.9, 10.7, 90),
    "Helsinki": (60.2, 24.9, 20),
    "Warsaw": (52.2, 21.0, 100),
    "Madrid": (40.4, -3.7, 650),
    "Rome": (41.9, 12.5, 20),
    "Athens": (37.98, 23.7, 100),
    "Boston": (42.36, -71.06, 10),
    "Washington": (38.9, -77.0, 20),
    "Chicago": (41.9, -87.6, 180),
    "Minneapolis": (44.98, -93.27, 260),
    "Denver": (39.74, -105.0, 1600),
    "Seattle": (47.6, -122.3, 50),
    "Tokyo": (35.68, 139.7, 30),
    "Sapporo": (43.06, 141.3, 20),
    "Seoul": (37.57, 127.0, 80),
    "Christchurch": (-43.53, 172.63, 20),
    "Hobart": (-42.9, 147.3, 50),
}
SMALL = [
    kind
    for kind in catalogue()
    if kind.flowering_law == "spring"
    and (
        kind.genus in ("Galanthus", "Eranthis", "Crocus")
        or (kind.genus == "Iris" and kind.group == "Reticulata group")
    )
]
SOUTH = np.datetime64("2026-12-01")


@lru_cache(maxsize=32)
def _garden(place: str) -> Garden:
    latitude_deg, longitude_deg, elevation_m = PLACES[place]
    return garden_at(latitude_deg, longitude_deg=longitude_deg, elevation_m=elevation_m)


def _first_day(place: str) -> np.datetime64:
    return SOUTH if _garden(place).is_southern else FIRST_DAY


def _on(place: str, day: date) -> date:
    """The same day of the season, half a year later in the south."""
    return day + timedelta(days=181) if _garden(place).is_southern else day


def _solve(place: str, plantings: list[Planting]):  # type: ignore[no-untyped-def]
    return forecaster().solve(plantings, garden=_garden(place), first_day=_first_day(place))


@pytest.mark.parametrize("standing", [POT, GROUND], ids=["pot", "ground"])
@pytest.mark.parametrize("place", PLACES)
def test_two_months_of_planting_move_small_early_bulbs_by_ten_days_at_most(place, standing):
    days = [date(2026, 9, 10), date(2026, 10, 15), date(2026, 11, 10)]
    solved = _solve(place, [Planting(k, _on(place, day), standing) for k in SMALL for day in days])
    middle = solved.bands("start").p50.reshape(len(SMALL), len(days))
    # Dates are those of all years, whatever frost does to pots.
    flowers = np.isfinite(solved.days.start).mean(axis=1).reshape(middle.shape) > 0.9
    moved = middle.max(axis=1) - middle.min(axis=1)
    assert flowers.all(axis=1).mean() > 0.5
    # A dry winter of the plains, with warm noons and a cold that comes early, moves them most.
    assert moved[flowers.all(axis=1)].max() <= (12.0 if place == "Denver" else 10.0)


@pytest.mark.parametrize("place", PLACES)
def test_established_bulbs_come_no_later_than_new_ones_and_by_their_shift(place):
    kinds = [k for k in catalogue() if k.season_planted == "autumn" and k.flowering_law == "spring"]
    first_day, here = _first_day(place), _garden(place)
    rows = []
    for kind in kinds:
        usual = usual_planting_day(kind, garden=here, first_day=first_day)
        rooted = counts_from(
            kind, planted=usual, established=True, usual=usual, first_day=first_day
        )
        rows += [Planting(kind, usual, GROUND), Planting(kind, rooted, GROUND, established=True)]
    start = _solve(place, rows).days.start.reshape(len(kinds), 2, -1)
    both = np.isfinite(start).all(axis=(1, 2))
    assert both.mean() > 0.4
    earlier = (start[:, 0] - start[:, 1])[both]
    assert earlier.min() >= -1e-6
    # By about what the catalogue says: slower where spring is quick, longer in a long winter.
    shift = np.array([kind.established_shift_days for kind in kinds])[both]
    assert (np.median(earlier, axis=1) <= 12.0 + 2.0 * shift).all()


@pytest.mark.parametrize("place", ["London", "Edinburgh", "Dublin", "De Bilt", "Berlin"])
@pytest.mark.parametrize("planted", [date(2026, 9, 1), date(2026, 9, 20), date(2026, 10, 15)])
def test_cyclamen_coum_waits_for_winter(place, planted):
    # December to March at London and Edinburgh (common practice, no source).
    kind = catalogue().get("cyclamen-coum")
    bands = _solve(place, [Planting(kind, planted, GROUND)]).bands("start")
    first, middle = (bands.p10[0] + 0.0, bands.p50[0] + 0.0)
    december, april = (
        (day - date(2026, 6, 1)).days for day in (date(2026, 12, 1), date(2027, 4, 1))
    )
    assert december <= first
    assert december + 20 <= middle < april


@pytest.mark.parametrize("place", PLACES)
def test_no_band_begins_before_a_bulb_can_come_so_far(place):
    late = [date(2026, 9, 1), date(2026, 12, 20), date(2027, 2, 20), date(2027, 5, 10)]
    kinds = list(catalogue())[::4]
    rows = [Planting(k, _on(place, day), POT, prechill_weeks=12.0) for k in kinds for day in late]
    solved = _solve(place, rows)
    planted = np.array([p.rooted.toordinal() - solved.first_ordinal for p in rows])
    least = np.array([p.cultivar.least_days for p in rows])
    known = np.isfinite(solved.bands("start").p10)
    assert known.mean() > 0.3
    assert (solved.bands("start").p10 >= planted + least)[known].all()
    assert (solved.bands("nose").p10 >= planted)[np.isfinite(solved.bands("nose").p10)].all()


@pytest.mark.parametrize("name", ["gladiolus-plum-tart", "lilium-regale", "eucomis-bicolor"])
def test_a_cool_summer_delays_rather_than_stops(name):
    kind = catalogue().get(name)
    opened = []
    for place in ("Paris", "London", "Edinburgh"):
        usual = usual_planting_day(kind, garden=_garden(place), first_day=FIRST_DAY)
        solved = _solve(place, [Planting(kind, usual, GROUND)])
        assert solved.flowering_share()[0] > 0.8, place
        opened.append(solved.bands("start").p50[0])
    assert opened == sorted(opened)
    assert opened[-1] - opened[1] > 14


@pytest.mark.parametrize("place", ["London", "Plymouth", "Edinburgh", "Dublin", "Paris", "De Bilt"])
def test_bulbs_of_the_north_west_are_not_short_of_cold(place):
    # These kinds are grown in every garden there (common practice, no source).
    kinds = [k for k in catalogue() if k.season_planted == "autumn" and k.flowering_law == "spring"]
    first_day, here = _first_day(place), _garden(place)
    rows = [
        Planting(kind, usual_planting_day(kind, garden=here, first_day=first_day), POT)
        for kind in kinds
    ]
    for kind, answer in zip(kinds, outcomes(_solve(place, rows)), strict=True):
        assert not is_short(answer.cold_weeks, answer.cold_weeks_needed), kind.name
