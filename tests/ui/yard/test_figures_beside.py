"""Figures beside pots belong to one pot each, and a pot being resized tells its size."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QImage, QPainter
from PySide6.QtTest import QTest

from bloomline.draw.base.petals import LIGHT
from bloomline.ui.theme import em
from bloomline.ui.units import Units
from bloomline.ui.yard.counts import Count, count_px, places_of
from bloomline.ui.yard.rule import paint_rule, rule_width
from bloomline.ui.yard.scene import COUNTS_FROM_SCALE, PotRow
from bloomline.ui.yard.size_tag import size_words, tag_box


@pytest.fixture
def canvas(panel):
    return panel.canvas


@pytest.mark.parametrize("scale", [COUNTS_FROM_SCALE, 1.6, 2.4, 5.0])
def test_a_number_is_nearer_to_its_own_pot_than_to_the_next(document, scale):
    row = PotRow(document.yard, scale=scale, em=em())
    for placed in row.pots[:-1]:
        counts = [Count(words, 10.0 + k, 15.0, False) for k, words in enumerate(("36", "120"))]
        widths = [0.7 * em(), 1.1 * em()]  # two and three figures
        free = row.free_right_of(placed)
        places = places_of(counts, scale=scale, size=12.0, widths=widths, free=free)
        for width, (_, is_outside) in zip(widths, places, strict=True):
            assert is_outside
            own, other = 10.0, free - 10.0 - width
            assert own < other


def test_a_number_without_room_before_the_next_pot_stands_inside_its_own():
    counts = [Count("(120 ! ∅)", 10.0, 15.0, False)]
    ((_, is_outside),) = places_of(counts, scale=2.0, size=12.0, widths=[60.0], free=75.0)
    assert not is_outside
    ((_, is_outside),) = places_of(counts, scale=2.0, size=12.0, widths=[60.0], free=120.0)
    assert is_outside


def test_numbers_of_thin_layers_do_not_lie_on_one_another():
    counts = [Count("5", 10.0, 15.0, False), Count("6", 10.5, 15.0, False)]
    first, second = places_of(counts, scale=1.2, size=12.0, widths=[8.0, 8.0], free=60.0)
    assert second[0] - first[0] >= 0.9 * 12.0


def test_numbers_are_no_smaller_than_nine_points():
    """9 pt are 12 px at 96 dots an inch (CSS Values and Units 4: 1 pt is 1/72 in)."""
    assert count_px(em()) >= 12


def test_the_rule_covers_what_is_scrolled_under_it(qapp):
    image = QImage(200, 200, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.red)  # a pot that is scrolled there
    painter = QPainter(image)
    font = qapp.font()
    paint_rule(painter, ground_y=180.0, scale=2.0, imperial=False, theme=LIGHT, font=font)
    painter.end()
    width = round(rule_width(QFontMetricsF(font).height()))
    red = image.pixel(199, 100)
    assert all(image.pixel(x, y) != red for x in range(width - 1) for y in range(5, 178, 3))
    assert image.pixel(width + 4, 100) == red


def test_a_pot_tells_its_size_while_it_is_resized_and_not_after(canvas, document, qtbot):
    pot = document.yard.pots[1]
    document.select(pot_id=pot.id)
    canvas.grab()
    told: list[str] = []
    plain = type(canvas)._paint_size

    def note(self, painter, pot_id, theme):
        told.append(size_words(self.document.yard.pot(pot_id), Units()))
        plain(self, painter, pot_id, theme)

    type(canvas)._paint_size = note
    try:
        canvas._start_resizing(pot, "height", QPointF(300.0, 200.0))
        before = canvas.grab().toImage()
        canvas._resize_to(QPointF(300.0, 200.0 - 10.0 * canvas.camera.scale))
        during = canvas.grab().toImage()
        higher = document.yard.pot(pot.id)
        assert higher.inside_height_cm == pytest.approx(pot.inside_height_cm + 10.0)
        assert f"{pot.inside_height_cm + 10.0:g} cm high" in told[-1]
        assert f"{pot.top_width_cm:g} cm wide at the top" in told[-1]
        assert during != before
        told.clear()
        QTest.mouseRelease(canvas, Qt.MouseButton.LeftButton)
        canvas.grab()
        assert told == []
    finally:
        type(canvas)._paint_size = plain


def test_the_size_is_told_in_the_units_of_the_yard_and_for_long_pots(document):
    pot = document.yard.pots[0].model_copy(
        update={"shape": "rectangular", "top_length_cm": 80.0, "bottom_length_cm": 76.0}
    )
    words = size_words(pot, Units(imperial=True))
    assert "31.5 in long at the top" in words  # 80 / 2.54
    assert "29.9 in long at the foot" in words


@pytest.mark.parametrize("left", [4.0, 250.0, 560.0])
def test_the_size_stays_in_view_and_beside_its_pot(canvas, left):
    seen = QRectF(0, 0, 640, 220)
    pot = QRectF(left, 60, 70, 150)
    box = tag_box("38 cm wide at the top\n30 cm high", pot=pot, seen=seen, font=canvas.font())
    assert seen.contains(box)
    assert not box.intersects(pot)


def test_the_row_leaves_room_for_the_numbers_of_the_last_pot(document):
    row = PotRow(document.yard, scale=2.0, em=em())
    assert row.free_right_of(row.pots[-1]) >= 2.0 * em()
