"""The page of what-ifs: choices move the dates, in the picture and in the table."""

from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from bloomline.model.edits import remove_pot
from bloomline.reference.places import load_places
from bloomline.ui.compare.page import ComparePage
from bloomline.ui.compare.timeline import Span, month_names, span_of


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
    assert page.table.rowCount() == len(page.answer.layers)
    row = next(
        row for row in range(page.table.rowCount())
        if page.table.item(row, 1).text() == "Tulipa 'Shirley'"
    )  # fmt: skip
    assert page.table.item(row, 4).text().startswith("−")


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
    page.b.place.found.emit(load_places().find("Aberdeen Dyce"))
    settled(page, qtbot, lambda answer: "Aberdeen" in answer.b.place_label)
    assert "Aberdeen" in page.b.place.text()
    page.b.back.click()
    settled(page, qtbot, lambda answer: "Aberdeen" not in answer.b.place_label)
    assert page.b.place.text() == page.a.place.text()


def test_every_control_has_a_name(page):
    for side in (page.a, page.b):
        for name in ("weather", "warmer", "later", "site", "place", "back"):
            assert getattr(side, name).accessibleName().endswith((side.side, "is"))


def test_the_span_holds_every_bar(page):
    span = span_of(page.answer, left=100, right=500)
    for each in page.answer.layers:
        for layer in (each.a, each.b):
            if layer.start and layer.end:
                assert 100 < span.x(layer.start.p10) < span.x(layer.end.p90) < 500


def test_months_lie_within_the_span():
    span = Span(date(2027, 1, 15), date(2027, 4, 2), 0, 77)
    assert span.months() == [date(2027, 2, 1), date(2027, 3, 1), date(2027, 4, 1)]
    assert span.x(date(2027, 4, 2)) == 77


def test_names_of_months_never_run_together():
    span = Span(date(2026, 9, 1), date(2027, 11, 30), 0.0, 360.0)
    months = span.months()
    long = month_names(months, span=span, width=lambda words: 8.0 * len(words), gap=6.0)
    assert [len(words) for words in long] == [1] * len(months)
    wide = Span(date(2027, 2, 1), date(2027, 4, 30), 0.0, 360.0)
    short = month_names(wide.months(), span=wide, width=lambda words: 8.0 * len(words), gap=6.0)
    assert all(len(words) >= 3 for words in short)
