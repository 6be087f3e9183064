"""Records narrow the dates of a yard's own kinds; the figures are invented, none observed."""

from __future__ import annotations

import math
from datetime import date, timedelta

import numpy as np
import pytest
from asking import catalogue, outlook, yard

from bloomline.engine.learning import part_of_errors
from bloomline.model.yard import OwnCultivar, Record
from bloomline.plan.records.stages import PRIOR_SD_DAYS, SEEN_SD_DAYS
from bloomline.plan.season.solve import learned_of, solve_yard
from bloomline.plan.season.yard import season_report

LATER = 12


def own(sd_days):
    kind = catalogue().get("tulipa-shirley")
    fields = {**dict(kind), "id": "own-tulip", "ref_sd_days": sd_days}
    return OwnCultivar.model_validate(fields)


def layers_of(records, *, sd_days, seasons=1):
    here = yard([("own-tulip", "2026-11-15")], own_cultivars=(own(sd_days),))
    (forecast,) = season_report(outlook(here)).layers
    layer_id = here.pots[0].layers[0].id
    seen = tuple(
        Record(
            id=f"record-{n}",
            day=forecast.start.p50 + timedelta(days=LATER),
            layer_id=layer_id,
            seen="first-flower",
        )
        for n in range(records)
    )
    return here.model_copy(update={"records": seen})


def test_one_record_is_the_textbook_posterior():
    # One cause of 10 days, all else 5 days: mean r·τ²/(τ²+σ²), variance τ²σ²/(τ²+σ²).
    score, left = part_of_errors(
        np.array([8.0]), whole=np.array([[125.0]]), scale_days=np.array([10.0])
    )
    assert score * 10 == pytest.approx(8 * 100 / 125)
    assert (left * 10) ** 2 == pytest.approx(100 * 25 / 125)


def test_a_record_moves_and_narrows_a_wide_kind():
    today = date(2027, 12, 1)
    wide = layers_of(1, sd_days=15.0)
    taught = outlook(wide, today=today)
    lesson = learned_of(taught).by_kind["own-tulip"]
    assert lesson.n_records == 1
    assert 0 < lesson.days < LATER
    assert lesson.sd_days < 0.6 * lesson.unlearned_sd_days
    # What the record shows is shared out by variances: kind, yard, weather, model, seeing.
    worked = solve_yard(outlook(wide, today=today, use_records=False))
    weather = float(np.var(worked.solved.days.start[0], ddof=1))
    rest = weather + PRIOR_SD_DAYS**2 + 2.0**2 + SEEN_SD_DAYS["first-flower"] ** 2
    assert lesson.sd_days == pytest.approx(math.sqrt(225 * rest / (225 + rest)), rel=0.06)

    without, with_records = (
        season_report(outlook(wide, today=today, use_records=use)).layers[0]
        for use in (False, True)
    )
    moved = (with_records.start.p50 - without.start.p50).days
    offset = learned_of(taught).offset_at("open")
    assert moved == pytest.approx(lesson.days + offset, abs=1.5)
    assert moved >= 5

    def width(layer):
        return (layer.start.p90 - layer.start.p10).days

    assert width(with_records) < 0.75 * width(without)


def test_a_sure_kind_hardly_moves_and_a_catalogued_one_not_at_all():
    today = date(2027, 12, 1)
    sure = learned_of(outlook(layers_of(1, sd_days=2.0), today=today)).by_kind["own-tulip"]
    wide = learned_of(outlook(layers_of(1, sd_days=15.0), today=today)).by_kind["own-tulip"]
    assert abs(sure.days) < 0.15 * abs(wide.days)
    here = layers_of(1, sd_days=5.0)
    listed = here.model_copy(
        update={
            "own_cultivars": (),
            "pots": tuple(
                pot.model_copy(
                    update={
                        "layers": tuple(
                            each.model_copy(update={"cultivar_id": "tulipa-shirley"})
                            for each in pot.layers
                        )
                    }
                )
                for pot in here.pots
            ),
        }
    )
    assert learned_of(outlook(listed, today=today)).by_kind == {}


def test_more_records_of_one_day_teach_no_kind_twice():
    today = date(2027, 12, 1)
    one = learned_of(outlook(layers_of(1, sd_days=15.0), today=today)).by_kind["own-tulip"]
    # A season's weather is shared by all its records, so they stay what one is, nearly.
    four = learned_of(outlook(layers_of(4, sd_days=15.0), today=today)).by_kind["own-tulip"]
    assert four.n_records == 4
    assert one.sd_days > four.sd_days > 0.9 * one.sd_days
