"""What the season should keep: wishes on the page Plan, kept or missed, and what keeps them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

import pytest
from PySide6.QtCore import QDate
from PySide6.QtWidgets import QDialogButtonBox
from pytestqt.qtbot import QtBot

from bloomline.model.cultivar import MonthDay
from bloomline.model.edits import add_pot
from bloomline.model.wish import SeasonWish
from bloomline.model.wish_edits import add_wish
from bloomline.plan.fill.targets import targets
from bloomline.plan.pot.ready_pots import POT_FORMS, ready_pot
from bloomline.plan.shop.buying import shopping_list
from bloomline.ui.document import Document
from bloomline.ui.fill.targets_card import TargetsCard
from bloomline.ui.fill.wish_dialog import WishDialog

_LONG = 60_000
_OK = QDialogButtonBox.StandardButton.Ok


@pytest.fixture
def clock() -> Callable[[], date]:
    return lambda: date(2026, 9, 20)


@pytest.fixture
def document(empty_document: Document) -> Document:
    """A yard of two empty pots."""
    for number in (1, 2):
        pot = ready_pot(
            POT_FORMS[0], 36.0, "fired-clay-twice", pot_id=f"pot-{number}", name=f"Pot {number}"
        )
        empty_document.edit("Add", lambda yard, pot=pot: add_pot(yard, pot))
    return empty_document


WISH = SeasonWish(id="wish-1", first=MonthDay(4, 10), last=MonthDay(4, 20))


class Asked:
    """What the dialog is told."""

    def __init__(self) -> None:
        self.answer: SeasonWish | None = None
        self.shown: list[SeasonWish | None] = []

    def __call__(self, _outlook: object, wish: SeasonWish | None, _parent: object) -> object:
        self.shown.append(wish)
        return self.answer


@pytest.fixture
def asked() -> Asked:
    return Asked()


@pytest.fixture
def card(document: Document, asked: Asked, qtbot: QtBot) -> Iterator[TargetsCard]:
    made = TargetsCard(document, ask=asked)  # type: ignore[arg-type]
    qtbot.addWidget(made)
    made.resize(900, 600)
    made.show_outlook(document.outlook.usual)
    document.outlook_changed.connect(lambda outlook: made.show_outlook(outlook.usual))
    with qtbot.waitExposed(made):
        made.show()
    yield made
    made.stop()


def test_a_wish_is_added_changed_removed_and_every_step_undone(
    card: TargetsCard, document: Document, asked: Asked, qtbot: QtBot
) -> None:
    asked.answer = WISH
    card.add.click()
    assert document.yard.wishes == (WISH,)
    qtbot.waitUntil(lambda: "wish-1" in card.targets, timeout=_LONG)
    row = card.rows["wish-1"]
    (expected,) = targets(document.outlook.usual)
    assert row.sign.text() == "✗"
    assert row.verdict.text() == expected.verdict()
    assert "missed" in row.accessibleName()
    asked.answer = WISH.model_copy(update={"pots_at_least": 2})
    row.change.click()
    assert asked.shown == [None, WISH]
    assert document.yard.wishes == (asked.answer,)
    qtbot.waitUntil(lambda: "2 pots" in card.rows["wish-1"].words.text(), timeout=_LONG)
    card.rows["wish-1"].remove.click()
    assert document.yard.wishes == ()
    assert not card.rows
    for wishes in ((asked.answer,), (WISH,), ()):
        document.undo_stack.undo()
        assert document.yard.wishes == wishes


def test_the_cheapest_change_is_shown_and_planted_as_one_step(
    card: TargetsCard, document: Document, qtbot: QtBot
) -> None:
    document.edit("Wish", lambda yard: add_wish(yard, WISH))
    qtbot.waitUntil(lambda: "wish-1" in card.targets, timeout=_LONG)
    assert card.kept_words() == "0 of 1 wish kept"
    row = card.rows["wish-1"]
    assert not row.plant.isVisible()
    row.cure.click()
    assert row.working.isVisible()
    qtbot.waitUntil(row.plant.isVisible, timeout=_LONG)
    assert "£" in row.remedy.text() and "Pot 1" in row.remedy.text()
    cost, before = card._cures["wish-1"].cost, document.yard
    steps = document.undo_stack.count()
    row.plant.click()
    assert document.undo_stack.count() == steps + 1
    assert shopping_list(document.outlook.usual).total == cost
    qtbot.waitUntil(lambda: card.kept_words() == "1 of 1 wish kept", timeout=_LONG)
    assert row.sign.text() == "✓"
    assert not row.cure.isVisible()  # it is kept
    assert not row.plant.isVisible()
    document.undo_stack.undo()
    assert document.yard == before


def test_what_nothing_keeps_is_said(card: TargetsCard, document: Document, qtbot: QtBot) -> None:
    far = SeasonWish(id="wish-1", first=MonthDay(12, 20), last=MonthDay(2, 1), pots_at_least=2)
    document.edit("Wish", lambda yard: add_wish(yard, far))
    qtbot.waitUntil(lambda: "wish-1" in card.targets, timeout=_LONG)
    row = card.rows["wish-1"]
    row.cure.click()
    qtbot.waitUntil(row.remedy.isVisible, timeout=_LONG)
    assert "Nothing found would keep it" in row.remedy.text()
    assert not row.plant.isVisible()


def test_the_dialog_makes_a_wish_and_refuses_what_makes_no_sense(
    document: Document, qtbot: QtBot
) -> None:
    dialog = WishDialog(document.outlook.usual)
    qtbot.addWidget(dialog)
    ok = dialog.buttons.button(_OK)
    dialog.what.setCurrentIndex(1)
    dialog.first.setDate(QDate(2027, 4, 1))
    dialog.last.setDate(QDate(2027, 4, 30))
    dialog.where.setCurrentIndex(1)
    assert not ok.isEnabled() and "Choose the pots" in dialog.problem.text()
    dialog.pots.choose(["pot-2"])
    assert ok.isEnabled()
    assert dialog.wish() == SeasonWish(
        id="wish-1",
        what="scent",
        first=MonthDay(4, 1),
        last=MonthDay(4, 30),
        pot_ids=("pot-2",),
    )
    dialog.count.setValue(2)
    assert not ok.isEnabled()
    dialog.count.setValue(1)
    dialog.last.setDate(QDate(2027, 3, 30))
    assert not ok.isEnabled() and "before" in dialog.problem.text()


def test_the_dialog_shows_a_wish_as_it_is(document: Document, qtbot: QtBot) -> None:
    wish = SeasonWish(
        id="wish-7", what="scent", first=MonthDay(11, 20), last=MonthDay(2, 3), pot_ids=("pot-1",)
    )
    dialog = WishDialog(document.outlook.usual, wish)
    qtbot.addWidget(dialog)
    assert dialog.wish() == wish
