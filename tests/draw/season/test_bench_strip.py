"""The strip over a season is as high as layers are expected in flower, benches counted too."""

from __future__ import annotations

from dataclasses import replace
from math import ceil

import numpy as np
import pytest
from sample_report import sample_report

from bloomline.draw.base.petals import LIGHT, petal_of
from bloomline.draw.season.strip import plan_strip


@pytest.mark.parametrize("copies", [1, 2, 60])
def test_a_bench_is_as_high_as_all_its_pots(copies):
    report = sample_report()
    pots = tuple(
        replace(pot, copies=copies) if at == 0 else pot for at, pot in enumerate(report.pots)
    )
    report = replace(report, pots=pots)
    looks = {each.layer_id: petal_of(each, theme=LIGHT) for each in report.layers}
    strip = plan_strip(report, report.alike, looks, first=report.first_day, last=report.last_day)
    expected = np.zeros(len(report.coverage))
    for pot in report.pots:
        for layer in pot.layers:
            if layer.start is not None:
                expected += pot.copies * layer.chance
    assert strip.peak == max(1.0, ceil(expected.max()))
