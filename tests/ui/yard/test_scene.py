"""The row's geometry: one scale, places, gaps, what lies at a point, the rule."""

from __future__ import annotations

from datetime import date, timedelta
from typing import get_args

import pytest

from bloomline.model import edits
from bloomline.model.yard import Pot, Site
from bloomline.ui.yard.camera import Camera
from bloomline.ui.yard.rule import rule_step_cm
from bloomline.ui.yard.scene import Cuts, PotRow, spot_at, tallest_cm
from bloomline.ui.yard.words import site_tag


def test_pots_stand_side_by_side_at_one_scale(document):
    row = PotRow(document.yard, scale=3.0, em=16.0)
    rights = [placed.right for placed in row.pots]
    lefts = [placed.left for placed in row.pots]
    assert all(left > right for left, right in zip(lefts[1:], rights, strict=False))
    for placed in row.pots:
        pot = placed.pot
        width = pot.top_length_cm or pot.top_width_cm
        assert 2 * placed.half == pytest.approx(3.0 * (width + 2 * pot.wall_cm))
        assert placed.right - placed.left >= 2 * placed.half - 1e-6
        tall = pot.inside_height_cm + max(pot.wall_cm, 0.3)
        assert -placed.rim == pytest.approx(3.0 * tall)
    assert row.width > rights[-1]


def test_places_and_gaps_are_found_by_x(document):
    row = PotRow(document.yard, scale=3.0, em=16.0)
    for index, placed in enumerate(row.pots):
        assert row.at(placed.middle) is placed
        assert row.pot_under(placed.middle) is placed
        assert row.gap_index(placed.middle - 1.0) == index
        assert row.gap_index(placed.middle + 1.0) == index + 1
        assert row.pot_under(row.gap_x(index)) is None
    assert row.at(-500.0) is None
    assert row.at(row.width + 500.0) is None
    assert row.between(-1000.0, -900.0) in ([], row.pots[:1])
    assert row.between(0.0, row.width) == row.pots


def test_a_far_view_of_many_pots_needs_little_room(document):
    yard = document.yard
    for _ in range(50):
        yard = edits.duplicate_pot(yard, yard.pots[0].id)
    far = PotRow(yard, scale=0.5, em=16.0)
    outer = sum(2 * placed.half for placed in far.pots)
    assert far.width < 2.0 * outer


def test_points_beside_a_pot_are_none_of_it(document):
    cuts = Cuts(document.cultivar)
    row = PotRow(document.yard, scale=3.0, em=16.0)
    placed = row.pots[0]
    spot = spot_at(row, placed.left - 5.0, -30.0, cut_of=cuts.of, look=cuts.look, growths={})
    assert spot.pot_id is None
    under = spot_at(row, placed.middle, 12.0, cut_of=cuts.of, look=cuts.look, growths={})
    assert under.on_label
    assert under.pot_id == placed.pot.id


def test_cuts_are_kept_until_their_pot_changes(document):
    cuts = Cuts(document.cultivar)
    yard = document.yard
    cuts.begin(yard)
    first, second = cuts.of(yard.pots[0]), cuts.of(yard.pots[1])
    changed = edits.change_pot(yard, yard.pots[0].id, inside_height_cm=50.0)
    cuts.begin(changed)
    assert cuts.of(changed.pots[1]) is second
    assert cuts.of(changed.pots[0]) is not first
    assert cuts.of(changed.pots[0]).floor_cm == 50.0


def test_the_tallest_plant_has_room(document):
    tall = tallest_cm(document.yard, document.cultivar)
    for pot, layer in document.yard.layers():
        height = document.cultivar(layer.cultivar_id).height_cm
        assert tall >= pot.inside_height_cm - pot.rim_gap_cm + height
    camera = Camera()
    camera.fit_height(height=400.0, em=16.0, tallest_cm=tall)
    assert camera.ground_y(400.0, 16.0) - tall * camera.scale >= 0.0


@pytest.mark.parametrize(
    ("scale", "imperial", "step"),
    [(2.0, False, 20.0), (6.0, False, 5.0), (0.4, False, 100.0), (2.0, True, 10 * 2.54)],
)
def test_the_rule_has_round_steps(scale, imperial, step):
    assert rule_step_cm(scale, imperial=imperial) == pytest.approx(step)


def test_fit_gives_the_line_of_tags_to_the_pots_where_none_has_one(panel, document):
    canvas = panel.canvas
    canvas.fit()
    before, lines = canvas.camera.scale, canvas.camera.label_lines
    assert any(pot.site != "open" for pot in document.yard.pots)

    def all_in_the_open(yard):
        for pot in yard.pots:
            yard = edits.change_pot(yard, pot.id, site="open")
        return yard

    document.edit("Out", all_in_the_open)
    assert canvas.camera.label_lines == pytest.approx(lines - 1.0)
    assert canvas.camera.scale > before


def test_every_site_but_the_open_has_a_word_of_its_own():
    pot = Pot(id="pot-1", name="A", top_width_cm=30, bottom_width_cm=25, inside_height_cm=30)
    words = {
        site: site_tag(pot.model_copy(update={"site": site}), date(2027, 1, 1))
        for site in get_args(Site)
    }
    assert words.pop("open") == ""
    assert all(words.values()) and len(set(words.values())) == len(words)


def test_a_pot_that_is_out_has_no_tag_of_its_shelter(panel, document):
    """Out on the very day it goes out, as the forecast has it."""
    came, goes = date(2026, 11, 28), date(2027, 4, 10)
    pot = document.yard.pots[0]
    document.edit(
        "Shelter",
        lambda yard: edits.change_pot(
            yard, pot.id, site="shed", sheltered_from=came, sheltered_until=goes
        ),
    )
    told = {}
    for day in (came - timedelta(days=1), came, goes - timedelta(days=1), goes):
        document.look_at(day)
        told[day] = bool(panel.canvas.shown().site_of(document.yard.pots[0]))
    assert list(told.values()) == [False, True, True, False]
