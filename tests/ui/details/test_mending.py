"""What is amiss in a pot, its button in the details, and its mark in the yard."""

from __future__ import annotations

import time

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from bloomline.model import edits
from bloomline.ui.details.cards import AdviceCard
from bloomline.ui.yard.panel import YardPanel

LAYER, POT = "layer-4", "pot-2"


def card_with(page, words: str) -> AdviceCard:
    found = [
        card
        for card in page.advice.findChildren(AdviceCard)
        if card.isVisibleTo(page) and words in card.message.text()
    ]
    assert found, words
    return found[0]


def change(document, **fields) -> None:
    document.edit("Change", lambda yard: edits.change_layer(yard, LAYER, **fields))


def test_what_fits_has_a_button_that_can_be_undone(details, document) -> None:
    change(document, count=5000)
    document.select(layer_id=LAYER)
    card = card_with(details.layer_page, "5000 bulbs")
    assert "instead of 5000" in card.mend.text()
    fits = int(card.mend.text().split()[1])
    assert f"{fits} fit well" in card.message.text()
    card.mend.setFocus()
    QTest.keyClick(card.mend, Qt.Key.Key_Space)
    assert document.yard.layer(LAYER)[1].count == fits
    assert "5000" not in " ".join(each.message for each in details.layer_page.advice.shown)
    document.undo_stack.undo()
    assert document.yard.layer(LAYER)[1].count == 5000


def test_the_page_of_the_pot_has_the_buttons_too(details, document) -> None:
    document.edit("Widen", lambda yard: edits.change_pot(yard, POT, top_width_cm=380))
    document.select(pot_id=POT)
    card = card_with(details.pot_page, "was 38 cm meant?")
    assert card.mend.isVisibleTo(details.pot_page)
    QApplication.processEvents()  # the button gets its place
    QTest.mouseClick(card.mend, Qt.MouseButton.LeftButton)
    assert document.yard.pot(POT).top_width_cm == 38
    assert not any(each.topic == "size" for each in details.pot_page.advice.shown)


def test_advice_without_a_change_has_no_button(details, document) -> None:
    document.select(layer_id=LAYER)
    shown = details.layer_page.advice
    cards = [card for card in shown.findChildren(AdviceCard) if card.isVisibleTo(shown)]
    assert cards
    for card, advice in zip(cards, shown.shown, strict=True):
        assert card.mend.isVisibleTo(shown) == (advice.mending is not None)


@pytest.fixture
def canvas(document, service, qtbot):
    panel = YardPanel(document, service)
    qtbot.addWidget(panel)
    panel.resize(1300, 460)
    with qtbot.waitExposed(panel):
        panel.show()
    yield panel.canvas
    panel.stop()


def test_the_yard_marks_the_layer_and_its_pot(canvas, document) -> None:
    pot = document.yard.pot(POT)
    assert canvas.flaws.layers_of(pot) == frozenset()
    before = canvas.shown().line_of(pot)
    change(document, count=5000)
    pot = document.yard.pot(POT)
    assert canvas.flaws.layers_of(pot) == {LAYER}
    assert canvas.shown().flawed_of(pot) == {LAYER}
    assert "! 1 to mend" in canvas.shown().line_of(pot) and "!" not in before
    document.select(layer_id=LAYER)
    assert "don't fit" in canvas.accessibleDescription()
    spots = next(each for each in canvas.cut_of(pot).layers if each.layer_id == LAYER)
    depth = 0.5 * (spots.tip_cm + spots.base_cm)
    point = canvas.point_in_pot(POT, depth_cm=depth, x_cm=spots.bulbs[-1].x_cm)
    assert "don't fit" in canvas.tip_at(point)


def test_a_mistyped_width_is_painted_at_once(canvas, document) -> None:
    canvas.grab()
    began = time.perf_counter()
    document.edit(
        "Widen", lambda yard: edits.change_pot(yard, POT, top_width_cm=500, bottom_width_cm=490)
    )
    canvas.grab()
    assert time.perf_counter() - began < 1.0
    assert "to mend" in canvas.shown().line_of(document.yard.pot(POT))
