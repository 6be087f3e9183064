"""Benches of equal pots in the window: made, split, joined and named, each one step to undo."""

from __future__ import annotations

import pytest
from PySide6.QtWidgets import QInputDialog

from bloomline.ui.yard.words import selection_words


@pytest.fixture
def asked(monkeypatch):
    """What the question for a number is answered with, and what it offered."""
    answer = {"number": 60, "said": True, "offered": []}

    def get_int(_over, title, words, value, least, most):
        answer["offered"].append((title, words, value, least, most))
        return answer["number"], answer["said"]

    monkeypatch.setattr(QInputDialog, "getInt", get_int)
    return answer


def test_a_pot_becomes_a_bench_and_undo_takes_it_back(panel, document, asked, qtbot):
    pot = document.yard.pots[0]
    document.select(pot_id=pot.id)
    with qtbot.waitSignal(panel.said) as told:
        panel.commands.bench.trigger()
    assert document.yard.pots[0].copies == 60
    assert f"{pot.name} × 60" in told.args[0]
    assert f"{pot.name} × 60" in selection_words(document, {}, frozenset())
    assert document.undo_stack.count() == 1
    document.undo_stack.undo()
    assert document.yard.pots[0] == pot


def test_a_question_that_is_left_changes_nothing(panel, document, asked):
    asked["said"] = False
    document.select(pot_id=document.yard.pots[0].id)
    before = document.yard
    panel.commands.bench.trigger()
    assert document.yard is before


def test_several_pots_become_benches_in_one_step(panel, document, asked):
    ids = [pot.id for pot in document.yard.pots[:3]]
    document.select_all(ids)
    panel.commands.bench.trigger()
    assert [document.yard.pot(name).copies for name in ids] == [60, 60, 60]
    assert document.undo_stack.count() == 1


def test_some_are_split_off_and_joined_again(panel, document, asked):
    pot = document.yard.pots[0]
    document.select(pot_id=pot.id)
    assert not panel.commands.split.isEnabled()
    panel.commands.bench.trigger()
    assert panel.commands.split.isEnabled()
    asked["number"] = 12
    panel.commands.split.trigger()
    assert asked["offered"][-1][3:] == (1, 59)
    assert [each.copies for each in document.yard.pots[:2]] == [48, 12]
    assert document.pot_id == document.yard.pots[1].id
    panel.commands.join.trigger()
    assert document.yard.pots[0].copies == 60
    assert document.pot_id == pot.id


def test_a_pot_without_an_equal_one_says_so(panel, document, qtbot):
    document.select(pot_id=document.yard.pots[0].id)
    before = document.yard
    with qtbot.waitSignal(panel.said) as told:
        panel.commands.join.trigger()
    assert "No other pot is equal" in told.args[0]
    assert document.yard is before
