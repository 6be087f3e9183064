"""A new yard: by keyboard, to whole pots of layers that were chosen among three."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from bloomline.files.yardfile import load_yard
from bloomline.model.edits import change_settings
from bloomline.model.yard import Yard
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.season.yard import season_report
from bloomline.ui.conditions.words import margin_text, place_words
from bloomline.ui.document import Document
from bloomline.ui.files.desk import FileDesk
from bloomline.ui.files.guide import FirstYardGuide
from bloomline.ui.files.guide_place import PlacePage
from bloomline.ui.units import Units, units_of

TODAY = date(2026, 9, 20)
_LONG = 60_000


@pytest.fixture
def guide(empty_document: Document, qtbot: QtBot) -> Iterator[FirstYardGuide]:
    shown = FirstYardGuide(empty_document.outlook.with_(today=TODAY))
    qtbot.addWidget(shown)
    shown.show()
    yield shown
    shown.stop()
    shown.stop()


def _to_pots(guide: FirstYardGuide, qtbot: QtBot, town: str = "rothamsted") -> None:
    QTest.keyClicks(guide.place_page.search, town)
    qtbot.waitUntil(guide.next_button.isEnabled, timeout=_LONG)
    QTest.keyClick(guide.place_page.search, Qt.Key.Key_Return)
    assert guide.stack.currentWidget() is guide.pots_page


def _to_answers(guide: FirstYardGuide, qtbot: QtBot) -> None:
    guide.pots_page.remove()
    guide.next_button.click()
    guide.next_button.click()
    qtbot.waitUntil(lambda: guide.answers.found is not None, timeout=_LONG)


def test_by_keyboard_alone(guide: FirstYardGuide, qtbot: QtBot) -> None:
    assert QApplication.focusWidget() is guide.place_page.search
    assert not guide.next_button.isEnabled()
    _to_pots(guide, qtbot)
    assert QApplication.focusWidget() is guide.pots_page.list
    QTest.keyClick(guide.pots_page.list, Qt.Key.Key_Delete)  # one pot is enough here
    QTest.keyClick(guide.pots_page.list, Qt.Key.Key_Return)
    assert QApplication.focusWidget() is guide.wishes_form.first
    QTest.keyClick(guide.wishes_form.first, Qt.Key.Key_Return)
    assert guide.stack.currentWidget() is guide.answers
    qtbot.waitUntil(lambda: guide.answers.found is not None, timeout=_LONG)
    first = guide.answers.cards[0]
    assert QApplication.focusWidget() is first.button
    QTest.keyClick(first.button, Qt.Key.Key_Space)
    yard = guide.yard()
    assert yard is not None
    assert not guide.isVisible()
    assert yard.season_year == 2027
    assert "Rothamsted" in yard.place.name
    assert len(yard.pots) == 1
    assert yard.pots[0].layers
    assert all(layer.planted >= TODAY for _, layer in yard.layers())
    assert Yard.model_validate(yard.model_dump()) == yard


def test_a_guessed_height_is_told_with_its_margin_and_put_right_by_keys(
    guide: FirstYardGuide, qtbot: QtBot
) -> None:
    page = guide.place_page
    box = page.height_box
    assert not box.isEnabled() and not box.text().strip()
    QTest.keyClicks(page.search, "bolzano")
    qtbot.waitUntil(guide.next_button.isEnabled, timeout=_LONG)
    place = page.choice()
    assert place is not None and place.elevation_m is None
    guessed = garden_of(place)
    assert guessed.guess is not None
    assert box.text() == f"about {guessed.elevation_m:.0f} m"
    off = margin_text(guessed.guess.margin_m, Units())
    assert f"may be {off} off" in page.hint.text()
    QTest.keyClick(guide, Qt.Key.Key_H, Qt.KeyboardModifier.AltModifier)
    assert QApplication.focusWidget() is box
    box.selectAll()
    QTest.keyClicks(box, "640")
    assert box.text() == "640 m"
    assert "guessed" not in page.hint.text()
    typed = page.choice()
    assert typed is not None and typed.elevation_m == 640.0
    assert place_words(garden_of(typed), Units()) == page.hint.text()
    QTest.keyClick(box, Qt.Key.Key_Return)
    assert guide.stack.currentWidget() is guide.pots_page
    assert guide._empty_yard().place == typed
    # Another town has a height of its own.
    guide._back()
    page.search.clear()
    QTest.keyClicks(page.search, "rothamsted")
    qtbot.waitUntil(lambda: page.choice() not in (None, typed), timeout=_LONG)
    other = page.choice()
    assert other is not None and other.elevation_m is None
    assert box.height_m == garden_of(other).elevation_m


def test_a_height_in_feet_is_kept_in_metres(document: Document, qtbot: QtBot) -> None:
    document.edit("Units", lambda yard: change_settings(yard, units="imperial"))
    page = PlacePage(today=TODAY, units=units_of(document.yard))
    qtbot.addWidget(page)
    page.show()
    QTest.keyClicks(page.search, "bolzano")
    qtbot.waitUntil(lambda: page.choice() is not None, timeout=_LONG)
    assert " ft off" in page.hint.text()
    page.height_box.setValue(860)
    place = page.choice()
    assert page.height_box.text() == "860 ft"
    assert place is not None and place.elevation_m == 262.0  # 860 × 0.3048 = 262.1
    page.stop()


def test_what_a_card_tells_is_what_the_season_then_says(
    guide: FirstYardGuide, qtbot: QtBot
) -> None:
    _to_pots(guide, qtbot)
    _to_answers(guide, qtbot)
    found = guide.answers.found
    assert found is not None
    shown = [card for card in guide.answers.cards if card.isVisible()]
    assert len(shown) == len(found.answers.answers) >= 2
    for card, answer, report in zip(shown, found.answers.answers, found.reports, strict=True):
        alone = season_report(guide._outlook.with_(yard=answer.yard, use_records=False))
        assert alone.weeks_of_colour == report.weeks_of_colour
        assert answer.title in card.accessibleName()
        for each in answer.layers:
            assert each.name in card.layers.text()
        assert card.view.grab().toImage().colorCount() == 0  # painted without a palette
    assert len({each.layers[0].layer.cultivar_id for each in found.answers.answers}) > 1


def test_wishes_are_kept_and_days_that_make_no_sense_are_told(
    guide: FirstYardGuide, qtbot: QtBot
) -> None:
    _to_pots(guide, qtbot)
    guide.pots_page.remove()
    guide.next_button.click()
    form = guide.wishes_form
    form.last.setDate(QDate(2027, 1, 2))
    guide.next_button.click()
    assert guide.stack.currentIndex() == 2
    assert "lies before" in guide.problem.text()
    form.last.setDate(QDate(2027, 5, 10))
    form.budget.setValue(40)
    form.harmless.setChecked(True)
    guide._back()
    guide.next_button.click()
    assert form.budget.value() == 40
    guide.next_button.click()
    qtbot.waitUntil(lambda: guide.answers.found is not None, timeout=_LONG)
    found = guide.answers.found
    assert found is not None
    for answer in found.answers.answers:
        assert answer.cost <= 40
        assert all(each.harm == 0 for each in answer.layers)
    yard = found.outlook.yard
    assert yard.money.budget == 40
    assert yard.settings.pets


def test_pots_are_named_by_hand_and_the_last_one_stays(guide: FirstYardGuide, qtbot: QtBot) -> None:
    _to_pots(guide, qtbot)
    page = guide.pots_page
    page.form_box.setCurrentIndex(4)
    assert "long" in page.size_box.currentText()
    QTest.mouseClick(page.add_button, Qt.MouseButton.LeftButton)
    assert page.list.count() == 3
    assert page.pots()[-1].shape == "trough"
    page.list.setFocus()
    QTest.keyClick(page.list, Qt.Key.Key_Delete)
    QTest.keyClick(page.list, Qt.Key.Key_Delete)
    assert page.list.count() == 1
    assert not page.remove_button.isEnabled()  # a yard of the guide has a pot
    QTest.keyClick(page.list, Qt.Key.Key_F2)
    editor = QApplication.focusWidget()
    assert editor is not page.list
    QTest.keyClick(editor, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClicks(editor, "By the door")
    QTest.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: QApplication.focusWidget() is page.list)
    assert page.pots()[0].name == "By the door"
    QTest.keyClick(guide, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert guide.stack.currentWidget() is guide.place_page


def test_the_search_can_be_stopped_and_pots_left_empty(guide: FirstYardGuide, qtbot: QtBot) -> None:
    _to_pots(guide, qtbot)
    guide.next_button.click()
    guide.next_button.click()
    guide.answers.working.cancel.click()
    qtbot.waitUntil(lambda: guide.answers.found is not None, timeout=_LONG)
    guide.next_button.click()
    yard = guide.yard()
    assert yard is not None
    assert len(yard.pots) == 2
    assert not list(yard.layers())


def test_a_place_that_is_not_there_is_said(guide: FirstYardGuide, qtbot: QtBot) -> None:
    waiting = guide.place_page.hint.text()
    QTest.keyClicks(guide.place_page.search, "qqqqqq")
    qtbot.waitUntil(lambda: guide.place_page.hint.text() != waiting, timeout=_LONG)
    assert not guide.next_button.isEnabled()


def test_a_new_yard_counts_as_unsaved_and_opens_on_its_best_day(
    make_desk: Callable[[Document], FileDesk],
    empty_document: Document,
    hand: Any,
    qtbot: QtBot,
    tmp_path: Path,
) -> None:
    desk = make_desk(empty_document)

    def answer(shown: FirstYardGuide) -> None:
        _to_pots(shown, qtbot)
        _to_answers(shown, qtbot)
        shown.answers.cards[0].button.click()

    hand.do("guide", answer)
    assert desk.new_yard()
    assert len(empty_document.yard.pots) == 1
    assert not empty_document.undo_stack.canUndo()
    assert desk.is_unsaved
    hand.press("question_unsaved", "save")
    hand.choose(tmp_path / "first.bloomline")
    assert desk.maybe_close()
    assert load_yard(tmp_path / "first.bloomline").yard == empty_document.yard


def test_a_kind_from_its_packet_is_liked_and_comes_along(
    guide: FirstYardGuide, qtbot: QtBot
) -> None:
    _to_pots(guide, qtbot)
    guide.pots_page.remove()
    guide.next_button.click()
    guide.missing.click()
    packet = guide.packet
    assert packet is not None
    QTest.keyClicks(packet.name, "Evening Tale")
    packet.group.setCurrentIndex(packet.group.findData("Triumph"))
    QTest.keyClicks(packet.flowers, "April-May")
    QTest.keyClick(packet.flowers, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: guide.packet is None, timeout=_LONG)
    assert "Evening Tale" in guide.made.text()
    guide.next_button.click()
    qtbot.waitUntil(lambda: guide.answers.found is not None, timeout=_LONG)
    found = guide.answers.found
    assert found is not None
    assert found.wishes.liked == ("own-tulipa-evening-tale",)
    guide.answers.cards[0].button.click()
    yard = guide.yard()
    assert yard is not None
    assert [kind.name for kind in yard.own_cultivars] == ["Tulipa 'Evening Tale'"]
