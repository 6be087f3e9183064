"""The page of what-ifs: choices move the dates, in the picture and in the table."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest

from bloomline.draw.base.petals import petal
from bloomline.model.edits import remove_pot
from bloomline.plan.climate.finding import find_places
from bloomline.ui.compare.page import ComparePage
from bloomline.ui.compare.timeline import scale_of
from bloomline.ui.theme import current_theme, em


@pytest.fixture
def page(document, service, qtbot):
    page = ComparePage(document, service)
    qtbot.addWidget(page)
    page.resize(1200, 700)
    page.show()
    qtbot.waitUntil(lambda: page.answer is not None, timeout=10_000)
    yield page
    page.stop()
    page.stop()


def settled(page, qtbot, test):
    qtbot.waitUntil(lambda: page.answer is not None and test(page.answer), timeout=10_000)


def test_two_degrees_warmer_is_shown_first(page):
    assert page.answer.b_words == "2 °C warmer"
    assert page.answer.median_start_days < 0
    assert "earlier" in page.figures.text()
    assert page.table.row_count() == len(page.answer.layers)
    row = next(
        row for row in range(page.table.row_count())
        if page.table.line(row).cells[1] == "Tulipa 'Shirley'"
    )  # fmt: skip
    assert page.table.line(row).cells[4].startswith("−")


def test_the_keyboard_changes_a_side(page, qtbot):
    page.b.warmer.setFocus()
    before = page.answer.median_start_days
    QTest.keyClick(page.b.warmer, Qt.Key.Key_Up)
    settled(page, qtbot, lambda answer: answer.b_words == "2.5 °C warmer")
    assert page.answer.median_start_days < before
    page.b.back.click()
    settled(page, qtbot, lambda answer: answer.median_start_days == 0)
    assert "B opens with A" in page.figures.text()


def test_actions_ask_ready_questions(page, qtbot):
    actions = {each.objectName(): each for each in page.actions()}
    actions["action_compare_ends"].trigger()
    settled(page, qtbot, lambda answer: "warmest" in answer.b_words)
    assert "coldest" in page.answer.a_words
    actions["action_compare_later"].trigger()
    settled(page, qtbot, lambda answer: answer.b_words == "planted 2 weeks later")


def test_it_follows_the_yard(page, document, qtbot):
    before = len(page.answer.layers)
    pot = next(pot for pot in document.yard.pots if pot.layers)
    document.edit("Remove", lambda yard: remove_pot(yard, pot.id))
    settled(page, qtbot, lambda answer: len(answer.layers) == before - len(pot.layers))


def test_another_place_is_chosen_and_taken_back(page, qtbot):
    page.b.place.found.emit(find_places("Aberdeen Dyce").best)
    settled(page, qtbot, lambda answer: "Aberdeen" in answer.b.place_label)
    assert "Aberdeen" in page.b.place.text()
    page.b.back.click()
    settled(page, qtbot, lambda answer: "Aberdeen" not in answer.b.place_label)
    assert page.b.place.text() == page.a.place.text()


def test_every_control_has_a_name(page):
    for side in (page.a, page.b):
        for name in ("weather", "warmer", "later", "site", "place", "back"):
            assert getattr(side, name).accessibleName().endswith((side.side, "is"))


def test_the_days_hold_every_bar(page):
    scale = scale_of(page.answer, left=100, width=400)
    for each in page.answer.layers:
        for layer in (each.a, each.b):
            if layer.start and layer.end:
                assert 100 < scale.x_of(layer.start.p10) < scale.end_of(layer.end.p90) < 500


def test_both_sides_of_a_layer_are_bars_at_their_dates(page):
    """The lower lane moves with the warmth that was asked for, by the days that the table says."""
    picture = page.timeline.grab().toImage()
    row = next(each for each in page.answer.layers if each.a.start and each.b.start)
    assert row.a.start.p50 != row.b.start.p50
    at = page.answer.layers.index(row)
    left = round(min(em() * 15, page.timeline.width() * 0.28)) + em() * 1.6
    scale = scale_of(page.answer, left=left, width=page.timeline.width() - em() - left)
    fill = QColor(petal(row.a.colour_hex, theme=current_theme()).fill)
    height = round(em() * 2.0)
    for layer, share in ((row.a, 0.27), (row.b, 0.73)):
        # Under the outline, over the marks.
        y = round(em() * 1.8 + (at + share) * height - height * 0.36 * 0.36)

        def apart(x: float, y: int = y) -> int:
            seen = picture.pixelColor(round(x), y)
            return sum(
                abs(p - q) for p, q in zip(seen.getRgb()[:3], fill.getRgb()[:3], strict=True)
            )

        x = scale.x_of(layer.start.p50)
        assert apart(x + 5) < 40 < apart(x - 8)
