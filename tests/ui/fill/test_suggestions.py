"""Suggestions in the window: for one pot in a dialog, for the yard on the page Plan."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from types import SimpleNamespace
from typing import cast

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from bloomline.model.edits import add_pot
from bloomline.model.yard import Pot
from bloomline.plan.fill.answer import Answer
from bloomline.plan.fill.answer_words import differ_words
from bloomline.plan.pot.ready_pots import POT_FORMS, ready_pot
from bloomline.plan.season.yard import season_report
from bloomline.plan.shop.buying import shopping_list
from bloomline.ui.document import Document
from bloomline.ui.fill.dialog import SuggestDialog
from bloomline.ui.fill.page import FillPage
from bloomline.ui.season_service import SeasonService

_LONG = 60_000


@pytest.fixture
def clock() -> Callable[[], date]:
    return lambda: date(2026, 9, 20)


def _pot(number: int, width_cm: float) -> Pot:
    return ready_pot(
        POT_FORMS[0], width_cm, "fired-clay-twice", pot_id=f"pot-{number}", name=f"Pot {number}"
    )


@pytest.fixture
def document(empty_document: Document) -> Document:
    """A yard of two empty pots."""
    empty_document.edit("Add", lambda yard: add_pot(yard, _pot(1, 40.0)))
    empty_document.edit("Add", lambda yard: add_pot(yard, _pot(2, 32.0)))
    return empty_document


@pytest.fixture
def dialog(document: Document, qtbot: QtBot) -> Iterator[SuggestDialog]:
    shown = SuggestDialog(document, "pot-1")
    qtbot.addWidget(shown)
    shown.show()
    qtbot.waitUntil(lambda: shown.answers.found is not None, timeout=_LONG)
    yield shown
    shown.stop()


@pytest.fixture
def page(document: Document, empty_service: SeasonService, qtbot: QtBot) -> Iterator[FillPage]:
    made = FillPage(document, empty_service)
    qtbot.addWidget(made)
    made.resize(1250, 640)
    with qtbot.waitExposed(made):
        made.show()
    yield made
    made.stop()


def test_a_pot_has_answers_beside_each_other(dialog: SuggestDialog, document: Document) -> None:
    found = dialog.answers.found
    assert found is not None
    shown = [card for card in dialog.answers.cards if card.isVisible()]
    assert len(shown) == len(found.answers.answers) >= 2
    assert shown[0].button.hasFocus()
    sets = {tuple(sorted(answer.kinds)) for answer in found.answers.answers}
    assert len(sets) == len(shown)
    QTest.keyClick(shown[1].button, Qt.Key.Key_Space)
    assert dialog.answer is found.answers.answers[1]
    assert not document.yard.pots[0].layers  # nothing changes before it is planted


def test_a_pot_is_drawn_to_one_scale_on_all_cards(dialog: SuggestDialog) -> None:
    views = [card.view for card in dialog.answers.cards if not card.isHidden()]
    assert len(views) > 1
    scales = {each.px_per_cm for each in views}
    tops = {card.view.y() for card in dialog.answers.cards if not card.isHidden()}
    assert len(scales) == 1 and len(tops) == 1


def test_other_wishes_are_looked_for_when_asked(dialog: SuggestDialog, qtbot: QtBot) -> None:
    before = dialog.answers.found
    dialog.form.last.setDate(QDate(2027, 1, 2))
    dialog.look.click()
    assert "lies before" in dialog.problem.text()
    assert dialog.answers.found is before
    dialog.form.last.setDate(QDate(2027, 4, 20))
    dialog.form.budget.setValue(12)
    dialog.form.bulbs_only.setChecked(True)
    dialog.look.click()
    qtbot.waitUntil(lambda: dialog.answers.found not in (None, before), timeout=_LONG)
    found = dialog.answers.found
    assert found is not None
    assert found.answers.answers
    for answer in found.answers.answers:
        assert answer.bulbs_cost <= 12


def test_a_plan_is_planted_as_one_step_and_costs_what_it_said(
    page: FillPage, document: Document, qtbot: QtBot
) -> None:
    assert page.pot_ids() == ["pot-1", "pot-2"]
    steps = document.undo_stack.count()
    page.form.budget.setValue(60)
    page.look.click()
    qtbot.waitUntil(lambda: page.answers.found is not None, timeout=_LONG)
    found = page.answers.found
    assert found is not None
    answer = found.answers.answers[0]
    assert answer.cost <= 60
    before = document.yard
    page.answers.cards[0].button.click()
    assert document.undo_stack.count() == steps + 1
    outlook = document.outlook.usual
    assert shopping_list(outlook).total == answer.cost
    assert season_report(outlook).weeks_of_colour.expected == pytest.approx(
        answer.weeks_of_colour, abs=0.05
    )
    # Answers to the yard as it was are no longer offered.
    assert page.answers.found is None
    assert not page.answers.cards[0].isVisible()
    document.undo_stack.undo()
    assert document.yard == before


def test_only_pots_that_are_chosen_are_filled(
    page: FillPage, document: Document, qtbot: QtBot
) -> None:
    page.pots.item(0).setCheckState(Qt.CheckState.Unchecked)
    assert page.pot_ids() == ["pot-2"]
    page.look.click()
    qtbot.waitUntil(lambda: page.answers.found is not None, timeout=_LONG)
    found = page.answers.found
    assert found is not None
    assert {layer.pot_id for answer in found.answers.answers for layer in answer.layers} == {
        "pot-2"
    }
    page.pots.item(1).setCheckState(Qt.CheckState.Unchecked)
    assert not page.look.isEnabled()


def test_a_search_that_is_stopped_shows_the_best_so_far(page: FillPage, qtbot: QtBot) -> None:
    page.look.click()
    page.answers.working.cancel.click()
    qtbot.waitUntil(lambda: page.answers.found is not None, timeout=_LONG)
    assert page.answers.working.isHidden()
    assert page.answers.state.text()


def test_likings_and_scent_in_chosen_pots_reach_the_planner(
    page: FillPage, document: Document, qtbot: QtBot
) -> None:
    form = page.form
    form.not_liked.line.setText("tulip")  # typed, a list opens that no test can grab keys for
    QTest.keyClick(form.not_liked.line, Qt.Key.Key_Return)
    assert form.not_liked.values == ("tulip",)
    assert not form.not_liked.line.text()
    assert form.liked.add("Crocus tommasinianus 'Ruby Giant'")
    assert form.liked.values == ("crocus-tommasinianus-ruby-giant",)
    assert not form.liked.add("no such kind")
    assert "No type" in form.liked.problem.text()
    form.scent.setChecked(True)
    form.where.setCurrentIndex(1)
    page.look.click()
    assert "Choose the pots" in page.problem.text()
    form.scent_pots.choose(["pot-2"])
    wishes = form.wishes()
    assert (wishes.scent, wishes.scent_pots) == (True, ("pot-2",))
    page.look.click()
    qtbot.waitUntil(lambda: page.answers.found is not None, timeout=_LONG)
    found = page.answers.found
    assert found is not None and found.answers.answers
    for answer in found.answers.answers:
        assert all(layer.common_type != "tulip" for layer in answer.layers)
        assert any(layer.scent for layer in answer.layers if layer.pot_id == "pot-2")
    form.not_liked.findChildren(QPushButton)[0].click()
    assert form.wishes().not_liked == ()


def test_the_best_card_says_how_far_it_may_be_from_the_best(dialog: SuggestDialog) -> None:
    found = dialog.answers.found
    assert found is not None
    (card, *others), answer = dialog.answers.cards, found.answers.answers[0]
    gap, words = answer.bound_gap_percent, card.proof.text()
    assert gap is not None and answer.bound is not None
    if gap < 0.05:
        assert words.startswith("Proven")
    else:
        more = 100.0 * (answer.bound - answer.score) / answer.score
        assert f"{more:.1f} %" in words
    # The others are not sought to be the best: nothing is said of how far they are from it.
    assert all(other.proof.isHidden() for other in others)


def test_it_says_in_what_answers_differ() -> None:
    def answer(**fields: object) -> Answer:
        return cast(
            "Answer",
            SimpleNamespace(
                **{
                    "days_gained": 10.0,
                    "pot_days_gained": 10.0,
                    "cost": Decimal(3),
                    "kinds": ("a",),
                    "bulbs": 5,
                    "scent_days": 0.0,
                    **fields,
                }
            ),
        )

    one, same = answer(), answer(days_gained=10.01)
    dear = answer(cost=Decimal(9), bulbs=20)
    assert differ_words([one], many_pots=False) == "1 way to fill it."
    assert differ_words([one, same], many_pots=True) == "2 plans for these pots."
    words = differ_words([one, dear], many_pots=True)
    assert words == "2 plans for these pots; they differ in money and bulbs."


def test_three_cards_stand_side_by_side_in_a_small_window(page: FillPage, qtbot: QtBot) -> None:
    page.resize(1280, 560)
    for card in page.answers.cards:
        card.show()
    qtbot.wait(50)
    assert page.answers.area.horizontalScrollBar().maximum() == 0
