"""How a layer stands on a day: the stages in their order, heights that rise and fall."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest

from bloomline.plan.forecast.growth import Stage, growth_on
from bloomline.plan.forecast.report import Band, LayerForecast

ORDER = list(Stage)
NOSE, START, END, OVER = date(2027, 2, 10), date(2027, 4, 10), date(2027, 5, 1), date(2027, 6, 20)


def band(day: date) -> Band:
    return Band(day - timedelta(days=8), day, day + timedelta(days=8))


def forecast(**fields: object) -> LayerForecast:
    values: dict[str, object] = {
        "layer_id": "layer-1", "pot_id": "pot-1", "cultivar_id": "x", "name": "X",
        "common_type": "tulip", "colour": "red", "colour_hex": "#C02020",
        "second_colour_hex": None, "height_cm": 40.0, "scent": 0, "count": 10,
        "planted": date(2026, 11, 1), "established": False, "start": band(START),
        "full": band(START + timedelta(days=8)), "end": band(END), "nose": band(NOSE),
        "leaves_over": band(OVER), "reason": None, "cold_weeks": 14.0, "cold_weeks_needed": 12.0,
        "too_little_cold_share": 0.0, "killed_share": 0.0, "chance": np.zeros(10), **fields,
    }  # fmt: skip
    return LayerForecast(**values)  # type: ignore[arg-type]


def season() -> list[tuple[date, object]]:
    days = [date(2026, 12, 1) + timedelta(days=k) for k in range(260)]
    return [(day, growth_on(forecast(), day)) for day in days]


def test_stages_come_once_each_in_their_order():
    seen = [growth.stage for _, growth in season()]
    changes = [stage for k, stage in enumerate(seen) if k == 0 or seen[k - 1] is not stage]
    assert changes == ORDER


def test_stages_change_on_the_forecast_days():
    on = dict(season())
    assert on[NOSE - timedelta(days=1)].stage is Stage.BELOW
    assert on[NOSE].stage is Stage.NOSE
    assert on[START - timedelta(days=1)].stage is Stage.BUD
    assert on[START].stage is Stage.FLOWER
    assert on[END].stage is Stage.FLOWER
    assert on[END + timedelta(days=1)].stage is Stage.GREEN
    assert on[OVER].stage is Stage.GONE


def test_plants_grow_until_they_flower_and_shares_stay_shares():
    growing = [g.height for day, g in season() if NOSE <= day <= END]
    assert growing == sorted(growing)
    assert growing[-1] == pytest.approx(1.0)
    for _, growth in season():
        for share in (growth.height, growth.open, growth.yellow):
            assert 0.0 <= share <= 1.0


def test_leaves_yellow_only_after_the_flowers():
    for day, growth in season():
        assert (growth.yellow > 0.0) <= (day > END)
    last = growth_on(forecast(), OVER - timedelta(days=1))
    assert last.yellow > 0.9


def test_a_layer_without_flowers_shows_nothing():
    barren = forecast(start=None, full=None, end=None, nose=None, leaves_over=None)
    assert not growth_on(barren, START).shows


def test_without_an_end_of_leaves_the_plant_goes_with_its_flowers():
    short = forecast(leaves_over=None)
    assert growth_on(short, END).stage is Stage.FLOWER
    assert growth_on(short, END + timedelta(days=1)).stage is Stage.GONE


def test_dates_on_one_day_do_not_divide_by_zero():
    at_once = forecast(nose=band(START), end=band(START), leaves_over=band(START))
    assert growth_on(at_once, START).stage is Stage.FLOWER
    assert growth_on(at_once, START + timedelta(days=1)).stage is Stage.GONE


def test_leaves_show_after_a_fifth_of_the_way_and_buds_after_three_quarters():
    layer = forecast()
    nose, start = layer.nose.p50, layer.start.p50
    days = (start - nose).days
    ways = {0.1: Stage.NOSE, 0.3: Stage.LEAF, 0.6: Stage.LEAF, 0.85: Stage.BUD}
    for share, stage in ways.items():
        assert growth_on(layer, nose + timedelta(days=round(share * days))).stage is stage
