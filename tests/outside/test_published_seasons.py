"""Forecasts against published seasons: networks' means, displays, picking times.

Sources stand row by row in shared/observations/usual_seasons.csv (column `source`); only rows
of basis "published" count here. A window holds the first flowers of most years; where a source
speaks of a display or of field tulips, a usual kind of its time stands for them.
"""

from __future__ import annotations

import pytest
from observed import SeasonOutcome, season_outcomes

from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.reference.observations import UsualSeason, load_usual_seasons

PUBLISHED = [s for s in load_usual_seasons() if s.basis == "published"]
AUTUMN = ("Crocus sativus", "Nerine bowdenii", "Colchicum autumnale")
SPRING = [s for s in PUBLISHED if s.kind not in AUTUMN]


def _label(season: UsualSeason) -> str:
    return f"{season.kind}, {season.place}".encode("ascii", "replace").decode()


@pytest.fixture(scope="module")
def found() -> dict[str, SeasonOutcome]:
    return {each.season.id: each for each in season_outcomes(forecaster=Forecaster(), only=SPRING)}


@pytest.mark.parametrize("season", SPRING, ids=_label)
def test_band_meets_the_published_season(found: dict[str, SeasonOutcome], season: UsualSeason):
    each = found[season.id]
    assert each.band is not None, "no flower forecast"
    first, _, last = each.band
    assert first <= each.window[1]
    assert last >= each.window[0]


def test_most_medians_are_inside_and_nearly_all_within_a_week(found: dict[str, SeasonOutcome]):
    outside = [abs(e.outside_days) for e in found.values() if e.outside_days is not None]
    assert len(outside) == len(SPRING) >= 25
    assert sum(days == 0 for days in outside) >= 0.85 * len(outside)
    assert sum(days <= 7 for days in outside) >= 0.92 * len(outside)


def test_better_than_the_london_date(found: dict[str, SeasonOutcome]):
    own = sum(e.outside_days == 0 for e in found.values())
    london = sum(e.london_outside_days == 0 for e in found.values())
    assert own >= 1.4 * london


def test_north_and_south_of_the_line_err_alike(found: dict[str, SeasonOutcome]):
    south = [e for e in found.values() if e.season.latitude_deg < 0]
    assert len(south) >= 3
    assert all(e.outside_days == 0 for e in south)
