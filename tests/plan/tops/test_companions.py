"""Companions: seasons by the calendar in both halves of the earth, frost, room; lifted bulbs."""

from __future__ import annotations

import math
from datetime import date

import pytest
from asking import outlook, yard

from bloomline.errors import UnknownNameError
from bloomline.model import companion_edits, edits
from bloomline.model.companion import CompanionPlanting
from bloomline.model.yard import Pot, Yard
from bloomline.plan.season.yard import season_report
from bloomline.plan.tops import companions
from bloomline.plan.tops.companions import (
    companion_of,
    planting_span,
    season_on,
    surface_share,
)


def report(of: Yard, **fields):
    return season_report(outlook(of, **fields))


def on_top(companion_id: str, planted: date, **fields) -> CompanionPlanting:
    start = {"id": "companion-1", "companion_id": companion_id, "count": 5, "planted": planted}
    return CompanionPlanting.model_validate({**start, **fields})


@pytest.mark.parametrize(
    ("companion_id", "planted", "southern", "first", "last"),
    [
        # Common practice, no source: pansies of autumn flower until the end of spring.
        ("winter-pansy", date(2026, 10, 20), False, date(2026, 10, 20), date(2027, 5, 31)),
        ("winter-pansy", date(2027, 2, 1), False, date(2027, 2, 1), date(2027, 5, 31)),
        ("winter-pansy", date(2026, 9, 5), False, date(2026, 10, 1), date(2027, 5, 31)),
        ("wallflower-tall", date(2026, 10, 20), False, date(2027, 4, 1), date(2027, 5, 31)),
        # Half a year's turn: October in the north is April in the south.
        ("wallflower-tall", date(2027, 4, 20), True, date(2027, 9, 30), date(2027, 11, 29)),
    ],
)
def test_a_season_goes_by_the_calendar(companion_id, planted, southern, first, last) -> None:
    companion = companion_of(companion_id)
    found = season_on(companion, planted, taken_out=None, southern=southern)
    assert found == (first, last)


def test_taking_it_out_ends_its_season() -> None:
    pansy = companion_of("winter-pansy")
    planted = date(2026, 10, 20)
    assert season_on(pansy, planted, taken_out=date(2027, 3, 1), southern=False) == (
        planted,
        date(2027, 2, 28),
    )
    flower = companion_of("wallflower-tall")
    assert season_on(flower, planted, taken_out=date(2027, 3, 1), southern=False) is None


def test_an_evergreen_stays_until_it_is_taken_out() -> None:
    ivy = companion_of("ivy-small-leaved")
    assert ivy.is_leaf and ivy.is_all_year
    assert season_on(ivy, date(2020, 4, 1), taken_out=None, southern=False) == (
        date(2020, 4, 1),
        date.max,
    )


def test_planting_time_over_new_year() -> None:
    primrose = companion_of("primrose-wild")  # mid-September to March
    assert planting_span(primrose, date(2027, 1, 5), southern=False) == (
        date(2026, 9, 15),
        date(2027, 3, 31),
    )


def test_an_unknown_companion_names_near_ones() -> None:
    with pytest.raises(UnknownNameError, match="winter-pansy"):
        companion_of("winter-pansie")


def test_five_plants_at_15_cm_take_their_squares() -> None:
    size = {"top_width_cm": 40.0, "bottom_width_cm": 30.0, "inside_height_cm": 30.0}
    pot = Pot(id="p", name="p", **size)
    pansies = [on_top("winter-pansy", date(2026, 10, 20))]
    # The area of a circle, worked out by hand: 5 · 15² / (π · 20²).
    assert surface_share(pot, pansies) == pytest.approx(5 * 225 / (math.pi * 400))
    trough = Pot(
        id="t", name="t", shape="trough", top_length_cm=80.0, bottom_length_cm=70.0, **size
    )
    assert surface_share(trough, pansies) == pytest.approx(5 * 225 / (40 * 80))


def test_it_stands_in_the_report_without_touching_the_bulbs() -> None:
    bare = yard([("tulipa-apricot-beauty", "2026-11-01")])
    pot_id = bare.pots[0].id
    planted = companion_edits.add_companion(
        bare, pot_id, on_top("winter-pansy", date(2026, 10, 20))
    )
    before, after = report(bare), report(planted)
    (found,) = after.companions
    assert (found.first, found.last) == (date(2026, 10, 20), date(2027, 5, 31))
    assert found.killed_share == 0.0
    assert after.coverage.tolist() == before.coverage.tolist()
    assert [layer.start for layer in after.layers] == [layer.start for layer in before.layers]


def test_frost_takes_what_is_planted_out_too_early() -> None:
    bare = yard([("tulipa-apricot-beauty", "2026-11-01")])
    pot_id = bare.pots[0].id
    early = on_top("pelargonium-zonal", date(2027, 2, 1))
    (found,) = report(companion_edits.add_companion(bare, pot_id, early)).companions
    assert found.killed_share > 0.5
    assert {"frost", "date"} <= {advice.topic for advice in found.advice}
    safe = on_top("pelargonium-zonal", date(2027, 6, 1))
    (found,) = report(companion_edits.add_companion(bare, pot_id, safe)).companions
    assert found.killed_share < 0.1
    assert found.first == date(2027, 6, 1)


def test_each_site_and_place_has_its_own_frost() -> None:
    start = yard([("tulipa-apricot-beauty", "2026-11-01")])
    planted = companion_edits.add_companion(
        start, start.pots[0].id, on_top("pelargonium-zonal", date(2027, 4, 1))
    )
    asked = [
        edits.change_pot(edits.set_place(planted, place), start.pots[0].id, site=site)
        for place in (start.place, start.place.model_copy(update={"latitude_deg": 57.0}))
        for site in ("open", "cold-frame", "cold-greenhouse")
    ]
    kept = [report(each).companions[0].killed_share for each in asked + asked]
    anew = []
    for each in asked:
        companions._site_low_c.cache_clear()
        anew.append(report(each).companions[0].killed_share)
    assert kept == anew + anew
    assert len(set(anew)) > 1


def test_lifted_bulbs_end_on_their_day_and_their_sisters_do_not() -> None:
    two = yard([("tulipa-apricot-beauty", "2026-11-01")] * 2)
    first, second = (layer.id for _, layer in two.layers())
    layers = {layer.layer_id: layer for layer in report(two).layers}
    start, end = layers[first].start, layers[first].end
    assert start is not None and end is not None
    half_way = start.p50 + (end.p50 - start.p50) // 2
    cut = {
        layer.layer_id: layer
        for layer in report(edits.change_layer(two, first, lifted_on=half_way)).layers
    }
    assert cut[second].end == end
    assert cut[first].end is not None and cut[first].end.p50 <= half_way
    gone = report(edits.change_layer(two, first, lifted_on=date(2027, 2, 1)))
    lost = next(layer for layer in gone.layers if layer.layer_id == first)
    assert lost.start is None
    assert lost.reason is not None and "lifted on 2027-02-01" in lost.reason
    assert lost.chance.sum() == pytest.approx(0.0, abs=0.05)
