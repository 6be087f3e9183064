"""Which layers a slide of the planting day moves, and between which days."""

from __future__ import annotations

from datetime import date

import pytest

from bloomline.model import edits
from bloomline.model.yard import PlaceChoice, Yard
from bloomline.ui.conditions.planting import (
    Movable,
    PlantingRange,
    Target,
    autumn_range,
    movable,
    spring_range,
)
from bloomline.ui.document import Document

HOBART = PlaceChoice(name="Hobart", latitude_deg=-42.88, longitude_deg=147.33)


def _movable(document: Document, target: Target, yard: Yard | None = None) -> Movable:
    outlook = document.outlook if yard is None else document.outlook.with_(yard=yard)
    pot, layer = document.selected_pot(), document.selected_layer()
    return movable(outlook, target, pots=[pot] if pot else [], layers=[layer] if layer else [])


def test_ranges_of_both_halves_of_the_earth() -> None:
    north = autumn_range(2027, southern=False)
    south = autumn_range(2027, southern=True)
    assert (north.first, north.last) == (date(2026, 8, 1), date(2027, 1, 31))
    assert (south.first, south.last) == (date(2027, 2, 1), date(2027, 7, 31))
    assert spring_range(2027, southern=False).first == date(2027, 2, 1)
    assert spring_range(2027, southern=True).first == date(2027, 8, 1)


@pytest.mark.parametrize(
    ("day", "index"),
    [
        (date(2026, 7, 31), 0),
        (date(2026, 8, 1), 0),
        (date(2026, 8, 2), 1),
        (date(2027, 1, 31), 183),
        (date(2027, 2, 1), 183),
    ],
)
def test_days_are_held_within_the_range(day: date, index: int) -> None:
    span = PlantingRange(date(2026, 8, 1), date(2027, 1, 31))
    assert span.days == 183
    assert span.index_of(day) == index


def test_days_and_indexes_go_round() -> None:
    span = autumn_range(2028, southern=False)
    assert all(span.index_of(span.day_at(i)) == i for i in range(span.days + 1))


def test_whole_yard_leaves_spring_and_older_plantings(document: Document) -> None:
    found = _movable(document, "yard")
    # Of the demo's 19 layers one was planted in 2024, one is planted in April.
    assert len(found.layer_ids) == 17
    assert (found.other_season, found.established) == (1, 1)
    assert "layer-17" not in found.layer_ids and "layer-19" not in found.layer_ids
    assert min(found.days) <= (found.middle or date.min) <= max(found.days)


def test_a_pot_moves_its_own_layers(document: Document) -> None:
    document.select(pot_id="pot-1")
    assert _movable(document, "pot").layer_ids == ("layer-1", "layer-2", "layer-3")


def test_a_spring_layer_alone_has_the_days_of_spring(document: Document) -> None:
    document.select(layer_id="layer-19")
    found = _movable(document, "layer")
    assert found.layer_ids == ("layer-19",)
    assert found.span == spring_range(2027, southern=False)


def test_an_established_layer_stays(document: Document) -> None:
    document.select(layer_id="layer-17")
    found = _movable(document, "layer")
    assert found.layer_ids == () and found.established == 1
    assert found.middle is None


def test_southern_yard_plants_from_february(document: Document) -> None:
    yard = edits.set_place(document.yard, HOBART)
    yard = edits.set_planted(yard, ["layer-1"], date(2027, 5, 1))
    document.select(layer_id="layer-1")
    found = _movable(document, "layer", yard)
    assert found.span.first == date(2027, 2, 1)
    assert found.span.index_of(date(2027, 5, 1)) == 89


def test_next_autumns_layers_are_not_this_seasons(document: Document) -> None:
    yard = edits.set_planted(document.yard, ["layer-1"], date(2027, 10, 1))
    assert "layer-1" not in _movable(document, "yard", yard).layer_ids
