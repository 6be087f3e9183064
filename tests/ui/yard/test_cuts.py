"""The cutaway of a pot is made anew when what it shows changes, and only then."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from bloomline.model import edits
from bloomline.model.yard import Yard
from bloomline.ui.document import Document
from bloomline.ui.yard.scene import Cuts


@pytest.fixture
def cuts(document: Document) -> Cuts:
    made = Cuts(document.cultivar)
    made.begin(document.yard)
    return made


def test_dates_and_notes_leave_the_picture(document: Document, cuts: Cuts) -> None:
    yard = document.yard
    before = [cuts.of(pot) for pot in yard.pots]
    ids = [layer.id for _, layer in yard.layers()]
    later: Yard = edits.set_planted(yard, ids, date(2026, 11, 1) + timedelta(days=3))
    assert later != yard
    assert all(cuts.of(pot) is cut for pot, cut in zip(later.pots, before, strict=True))


@pytest.mark.parametrize(
    ("name", "value"),
    [("count", 3), ("cover_cm", 9.0), ("cultivar_id", "muscari-armeniacum")],
)
def test_what_a_layer_shows_makes_it_anew(
    document: Document, cuts: Cuts, name: str, value: object
) -> None:
    pot = document.yard.pots[0]
    before = cuts.of(pot)
    first = pot.layers[0].model_copy(update={name: value})
    changed = pot.model_copy(update={"layers": (first, *pot.layers[1:])})
    after = cuts.of(changed)
    assert after is not before and after != before


@pytest.mark.parametrize(
    ("name", "value"),
    [("inside_height_cm", 44.0), ("material", "plastic"), ("crocks_cm", 6.0), ("layers", ())],
)
def test_what_a_pot_shows_makes_it_anew(
    document: Document, cuts: Cuts, name: str, value: object
) -> None:
    pot = document.yard.pots[0]
    before = cuts.of(pot)
    assert cuts.of(pot.model_copy(update={name: value})) is not before
