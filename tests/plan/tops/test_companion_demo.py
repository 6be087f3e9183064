"""The small demo: a tub planted twice in a year, with one conflict to find."""

from __future__ import annotations

from datetime import date

import pytest
from asking import outlook

from bloomline.files.yardfile import load_yard
from bloomline.plan.carry.succession import successions
from bloomline.plan.season.yard import season_report
from bloomline.plan.tops.stand import fullest_share


@pytest.fixture(scope="module")
def demo(checkout):
    return load_yard(checkout / "demo" / "quince-steps.bloomline").yard


@pytest.fixture(scope="module")
def demo_report(demo):
    return season_report(outlook(demo))


def test_there_is_one_conflict_with_three_ways_out(demo, demo_report) -> None:
    (conflict,) = successions(outlook(demo))
    assert (conflict.pot_name, conflict.due) == ("Green tub", date(2027, 5, 15))
    assert conflict.new_ids == ("layer-2",) and conflict.blocking_ids == ("layer-1",)
    assert all(choice.available for choice in conflict.choices)
    spare = next(choice for choice in conflict.choices if choice.key == "second-pot")
    assert spare.apply(demo).layer("layer-2")[0].name == "Spare tub"
    for choice in conflict.choices:
        after = choice.apply(demo)
        assert successions(outlook(after)) == ()


def test_all_flower_and_the_tops_have_room(demo, demo_report) -> None:
    assert all(layer.start is not None for layer in demo_report.layers)
    assert all(top.first is not None for top in demo_report.companions)
    assert all(fullest_share(pot, southern=False) <= 1.0 for pot in demo.pots)
