from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest
from asking import catalogue
from hypothesis import given
from hypothesis import strategies as st
from shopping_yards import layer, pot, yard

from bloomline.errors import UnknownNameError
from bloomline.plan.pot.fitting import fit_pot
from bloomline.plan.pot.layout import (
    finding_words,
    lay_out_pot,
    lay_out_yard,
    same_time,
    worth_telling,
)

TULIP, NARCISSUS, CROCUS = (
    "tulipa-queen-of-night",
    "narcissus-hawera",
    "crocus-tommasinianus-ruby-giant",
)
DAYS = {"layer-1": 120.0, "layer-2": 100.0, "layer-3": 50.0}


def lay(here, days=DAYS):
    return lay_out_pot(here, "pot-1", cultivar_of=catalogue().get, flowering_days=days)


def upside_down():
    return yard(
        pot(1, layer(3, CROCUS, 30, 20.0), layer(2, NARCISSUS, 20, 12.0), layer(1, TULIP, 20, 4.0))
    )


def test_an_upside_down_pot_is_turned_round():
    found = lay(upside_down())
    laid = found.yard.pot("pot-1").layers
    assert [each.cultivar_id for each in laid] == [TULIP, NARCISSUS, CROCUS]
    covers = [each.cover_cm for each in laid]
    assert covers == sorted(covers, reverse=True)
    assert {"later_above_earlier"} <= {each.code for each in found.before}
    assert found.after == ()
    assert [move.layer_id for move in found.moves] == ["layer-1", "layer-2", "layer-3"]
    assert "layer 3 → 1 from the bottom" in found.moves[0].words
    assert "deeper" in found.moves[0].words
    # About 5 cm of compost between layers, at least 5 below: nursery pages named in figures.csv.
    bulbs = [catalogue().get(each.cultivar_id).bulb_height_cm for each in laid]
    for (low, _), (high, height) in pairwise(zip(covers, bulbs, strict=True)):
        assert low - high - height == pytest.approx(5, abs=0.11)
    assert 36 - 2.5 - covers[0] - bulbs[0] >= 4.9


def test_a_second_time_changes_nothing():
    first = lay(upside_down())
    again = lay(first.yard)
    assert again.moves == ()
    assert again.yard is first.yard


def test_planted_bulbs_are_left_alone():
    here = yard(
        pot(1, layer(1, CROCUS, 30, 20.0), layer(2, TULIP, 20, 4.0, state="planted")), pot(2)
    )
    after, (first, second) = lay_out_yard(here, cultivar_of=catalogue().get)
    assert after is here
    assert "planted already: Tulipa 'Queen of Night'" in first.left_alone
    assert first.before == first.after != ()
    assert second.left_alone == "empty"


def test_a_small_bulb_a_day_later_does_not_go_below_a_large_one():
    here = yard(
        pot(1, layer(1, "narcissus-ice-follies", 12, 13.0), layer(2, "muscari-armeniacum", 30, 6.0))
    )
    found = lay(here, {"layer-1": 90.0, "layer-2": 95.0})
    assert [each.id for each in found.yard.pot("pot-1").layers] == ["layer-1", "layer-2"]


def test_days_apart_by_less_than_a_week_are_the_same_time():
    assert same_time({"a": 90.0, "b": 95.0, "c": 99.0}, ["a", "b", "c"]) == {
        "a": 90.0,
        "b": 90.0,
        "c": 99.0,
    }
    assert same_time({"a": 90.0}, ["b"]) == {}


@given(
    st.lists(
        st.tuples(st.sampled_from([TULIP, NARCISSUS, CROCUS]), st.floats(0, 28)),
        min_size=1,
        max_size=4,
    ),
    st.floats(14, 60),
)
def test_nothing_is_lost_and_faults_never_grow_graver(drawn, height_cm):
    here = yard(
        pot(
            1,
            *(layer(i, kind, 10, round(cover, 1)) for i, (kind, cover) in enumerate(drawn)),
            inside_height_cm=round(height_cm, 1),
        )
    )
    found = lay_out_pot(here, "pot-1", cultivar_of=catalogue().get)
    before, after = here.pot("pot-1"), found.yard.pot("pot-1")
    assert {each.id: each.count for each in after.layers} == {
        each.id: each.count for each in before.layers
    }
    covers = [each.cover_cm for each in after.layers]
    assert covers == sorted(covers, reverse=True)
    collides = [each for each in found.after if each.code == "layers_collide"]
    bulbs = sum(catalogue().get(each.cultivar_id).bulb_height_cm for each in after.layers)
    assert not collides or bulbs > after.compost_depth_cm
    for finding in found.after:
        assert finding_words(finding, after, cultivar_of=catalogue().get)
    # One rule for the one that lays out and the one that judges.
    was, now = (
        Counter(
            each.code
            for each in worth_telling(fit_pot(one, cultivar_of=catalogue().get).layout.findings)
        )
        for one in (before, after)
    )
    for grave in (("in_crocks", "layers_collide"), ("too_shallow",)):
        less, more = sum(now[code] for code in grave), sum(was[code] for code in grave)
        assert less <= more
        if less < more:
            break


def test_a_bulb_that_lies_deep_enough_is_not_laid_too_shallow():
    """Never less than 5 cm over the tip: container planting leaflet, R3 of the shared rules."""
    bowl = pot(1, layer(1, "muscari-aucheri-mount-hood", 30, 7.0), inside_height_cm=14.0)
    assert bowl.compost_depth_cm < 5.0 + 2.0 + 5.0
    found = lay(yard(bowl), {})
    assert found.yard.pot("pot-1").layers[0].cover_cm == 5.0
    assert "too_shallow" not in {each.code for each in found.after}


def test_an_unknown_pot_is_told():
    with pytest.raises(UnknownNameError, match="pot-9"):
        lay_out_pot(yard(), "pot-9", cultivar_of=catalogue().get)
