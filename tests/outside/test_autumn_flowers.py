"""Autumn flowers against picking times, what botanic gardens say and dated diaries.

Sources stand row by row in shared/observations/ (usual_seasons.csv, basis "published", and
flowering_dates.csv). Saffron flowers come as the air cools to 15 to 17 °C (Molina and others
2005, Scientia Horticulturae 103, 361-379, abstract), so in places with a warm September they
come later than near London, not earlier.
"""

from __future__ import annotations

import numpy as np
import pytest
from observed import SeasonOutcome, group_of, outcomes, season_outcomes, usable

from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.reference.catalogue import load_catalogue
from bloomline.reference.observations import (
    UsualSeason,
    load_observations,
    load_usual_seasons,
)

AUTUMN = [
    s
    for s in load_usual_seasons()
    if s.basis == "published" and group_of(load_catalogue().find(s.kind)) == "autumn kinds"
]


def _label(season: UsualSeason) -> str:
    return f"{season.kind}, {season.place}".encode("ascii", "replace").decode()


@pytest.fixture(scope="module")
def found() -> dict[str, SeasonOutcome]:
    return {each.season.id: each for each in season_outcomes(forecaster=Forecaster(), only=AUTUMN)}


@pytest.mark.parametrize("season", AUTUMN, ids=_label)
def test_autumn_flowers_come_in_their_published_season(
    found: dict[str, SeasonOutcome], season: UsualSeason
):
    each = found[season.id]
    assert each.band is not None, "no flower forecast"
    first, _, last = each.band
    assert first <= each.window[1]
    assert last >= each.window[0]
    assert each.outside_days is not None
    assert abs(each.outside_days) <= 7


def test_no_worse_than_the_london_date(found: dict[str, SeasonOutcome]):
    own = [60 if e.outside_days is None else abs(e.outside_days) for e in found.values()]
    london = [abs(e.london_outside_days) for e in found.values()]
    assert np.mean(own) <= np.mean(london) + 1.0


def test_dated_autumn_flowers_are_within_two_weeks_or_so():
    dated = [
        seen
        for seen in load_observations()
        if usable(seen) and group_of(load_catalogue().find(seen.cultivar)) == "autumn kinds"
    ]
    assert len(dated) >= 5
    errors = [each.error_days for each in outcomes(forecaster=Forecaster(), only=dated)]
    assert len(errors) == len(dated)
    assert np.abs(errors).mean() <= 17.0
