"""When kinds are planted: each at its own season."""

from __future__ import annotations

import numpy as np

from bloomline.plan.climate.garden import garden_named
from bloomline.plan.forecast.planting_day import usual_planting_day, usual_planting_span
from bloomline.reference.catalogue import load_catalogue


def test_a_kind_planted_in_autumn_is_not_offered_in_spring_nor_the_other_way_round():
    # Common practice, no source: autumn under cover, or March and April, moved with the climate.
    garden, first_day = garden_named("Rothamsted"), np.datetime64("2026-06-01")
    for season, months in (("autumn", {9, 10, 11, 12}), ("spring", {2, 3, 4, 5})):
        kind = load_catalogue().get(f"ranunculus-asiaticus-double-{season}-planted")
        usual = usual_planting_day(kind, garden=garden, first_day=first_day)
        first, last = usual_planting_span(kind, usual=usual)
        assert {first.month, last.month, usual.month} <= months
