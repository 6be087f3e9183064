"""Snowdrops planted at any time of autumn open at their usual time after New Year.

Sources: Dutch nature calendar (Wageningen University), mean first flower of 2001-2017, 30
January; Royal Botanic Garden Edinburgh, review of 2015, "expected in February"; Woodland Trust,
Nature's Calendar, mean of the United Kingdom 26 January; Botanic gardens and diaries of
shared/observations/. Bulbs in their first season come up to two weeks after old stands (Kew
against school gardens, see its README). Bulbs are sold from late August (common practice).
"""

from __future__ import annotations

from datetime import date

import pytest

from bloomline.plan.climate.garden import garden_at
from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.one_planting import Request, forecast
from bloomline.reference.catalogue import load_catalogue

# place, latitude, longitude, height, first and last day of the published mean's usual range
PLACES = (
    ("De Bilt", 52.1, 5.2, 2.0, date(2025, 1, 15), date(2025, 2, 20)),
    ("Birmingham", 52.5, -1.9, 140.0, date(2025, 1, 12), date(2025, 2, 20)),
    ("Edinburgh", 56.0, -3.2, 25.0, date(2025, 1, 18), date(2025, 3, 1)),
)
PLANTED = (date(2024, 9, 1), date(2024, 9, 20), date(2024, 10, 15), date(2024, 11, 10))


@pytest.mark.parametrize("place", PLACES, ids=lambda p: p[0])
@pytest.mark.parametrize("where", ["ground", "pot"])
def test_planting_early_does_not_bring_the_flowers_before_new_year(place, where):
    _, latitude_deg, longitude_deg, elevation_m, first, last = place
    garden = garden_at(latitude_deg, longitude_deg=longitude_deg, elevation_m=elevation_m)
    forecaster = Forecaster()
    opens = []
    for planted in PLANTED:
        answer = forecast(
            Request(
                id="snowdrop",
                garden=garden,
                cultivar=load_catalogue().find("Galanthus nivalis"),
                planted=planted,
                standing=Standing(where=where),
            ),
            forecaster=forecaster,
            today=planted,
        )
        assert answer.start is not None
        opens.append(answer.start.p50)
    assert all(first <= day <= last for day in opens), opens
    assert (max(opens) - min(opens)).days <= 21, opens
