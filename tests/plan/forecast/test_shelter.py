"""The shelter that is told is the first in which the bulbs live, by their own forecast there."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from asking import FIRST_DAY, GROUND, POT, catalogue, forecaster, garden

from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.forecast.plantings import Planting
from bloomline.plan.forecast.shelter import ENOUGH, refuges_of

KINDS = (
    "galanthus-nivalis",
    "narcissus-ice-follies",
    "tulipa-shirley",
    "hyacinthus-orientalis-anna-marie",
)
PLACES = ("Berlin", "Boston", "Minneapolis")
PLANTED = date(2026, 10, 10)


def solved_at(place, standing, kinds=KINDS):
    return forecaster().solve(
        [Planting(catalogue().get(kind), PLANTED, standing) for kind in kinds],
        garden=garden(place),
        first_day=FIRST_DAY,
    )


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("radius", [8.0, 15.0, 25.0])
def test_the_first_that_works_is_told_and_no_other(place, radius):
    pot = replace(POT, radius_cm=radius)
    here = solved_at(place, pot)
    told = refuges_of(here, range(len(KINDS)))
    stands = {
        "shed": replace(pot, site="shed"),
        "garage": replace(pot, site="garage"),
        "ground": GROUND,
    }
    lost = {name: solved_at(place, each).killed.mean(axis=1) for name, each in stands.items()}
    for row in range(len(KINDS)):
        works = [name for name in stands if lost[name][row] <= ENOUGH]
        assert told.get(row) == (works[0] if works else None)


def test_who_stands_in_a_shed_is_told_of_a_warmer_place_and_who_is_in_a_garage_of_the_ground():
    for site, left in (("shed", {"garage", "ground"}), ("garage", {"ground"})):
        told = refuges_of(solved_at("Minneapolis", Standing(site=site)), range(len(KINDS)))
        assert told and set(told.values()) <= left


def test_a_pots_own_day_of_going_out_and_correction_stay_behind():
    early = Standing(site="cold-frame", site_offset_c=-9.0, sheltered_until=date(2026, 12, 1))
    told = refuges_of(solved_at("Minneapolis", early), range(len(KINDS)))
    assert told == refuges_of(solved_at("Minneapolis", POT), range(len(KINDS)))
