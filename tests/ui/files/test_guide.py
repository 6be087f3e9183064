"""The first yard: by keyboard, with kinds that really follow one another at the place."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from bloomline.files.yardfile import load_yard
from bloomline.model.yard import Yard
from bloomline.plan.carry.first_yard import (
    READY_POTS,
    build_yard,
    default_season_year,
    suggest,
)
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.pot.fitting import fit_pot
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.yard import season_report
from bloomline.reference.catalogue import load_catalogue
from bloomline.reference.places import load_places
from bloomline.ui.conditions.words import choice_of as place_of
from bloomline.ui.document import Document
from bloomline.ui.files.desk import FileDesk
from bloomline.ui.files.guide import FirstYardGuide

TODAY = date(2026, 9, 20)


@pytest.fixture
def guide(empty_document: Document, qtbot: QtBot) -> Iterator[FirstYardGuide]:
    shown = FirstYardGuide(empty_document.outlook.with_(today=TODAY))
    qtbot.addWidget(shown)
    shown.show()
    yield shown
    shown.stop()
    shown.stop()


def test_by_keyboard_alone(guide: FirstYardGuide, qtbot: QtBot) -> None:
    assert QApplication.focusWidget() is guide.place_page.search
    assert not guide.next_button.isEnabled()
    QTest.keyClicks(guide.place_page.search, "rothamsted")
    qtbot.waitUntil(guide.next_button.isEnabled, timeout=5000)
    QTest.keyClick(guide.place_page.search, Qt.Key.Key_Return)
    assert guide.stack.currentWidget() is guide.pots_page
    assert QApplication.focusWidget() is guide.pots_page.list
    QTest.keyClick(guide.pots_page.list, Qt.Key.Key_Return)
    assert guide.stack.currentWidget() is guide.kinds_page
    qtbot.waitUntil(guide.next_button.isEnabled, timeout=10_000)
    qtbot.waitUntil(lambda: "weeks in all" in guide.kinds_page.why.text(), timeout=10_000)
    QTest.keyClick(guide.kinds_page.boxes[0], Qt.Key.Key_Return)
    yard = guide.yard()
    assert yard is not None
    assert not guide.isVisible()
    assert yard.season_year == 2027
    assert "Rothamsted" in yard.place.name
    assert len(yard.pots) == 2
    assert len(list(yard.layers())) == 3
    assert Yard.model_validate(yard.model_dump()) == yard


def test_back_pots_and_another_kind(guide: FirstYardGuide, qtbot: QtBot) -> None:
    QTest.keyClicks(guide.place_page.search, "heathrow")
    qtbot.waitUntil(guide.next_button.isEnabled, timeout=5000)
    QTest.keyClick(guide.place_page.search, Qt.Key.Key_Return)
    page = guide.pots_page
    QTest.mouseClick(page.add_button, Qt.MouseButton.LeftButton)
    assert page.list.count() == 3
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
    assert guide.stack.currentWidget() is page
    QTest.keyClick(guide, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    assert guide.stack.currentWidget() is guide.place_page
    QTest.keyClick(guide.place_page.search, Qt.Key.Key_Return)
    QTest.keyClick(page.list, Qt.Key.Key_Return)
    qtbot.waitUntil(guide.next_button.isEnabled, timeout=10_000)
    box = guide.kinds_page.boxes[2]
    before = guide.yard()
    assert before is not None and before.pots[0].name == "By the door"
    assert len(before.pots[0].layers) == 3
    QTest.keyClick(box, Qt.Key.Key_Down)
    after = guide.yard()
    assert after is not None
    assert {each.cultivar_id for _, each in after.layers()} != {
        each.cultivar_id for _, each in before.layers()
    }


def test_a_place_that_is_not_there_is_said(guide: FirstYardGuide, qtbot: QtBot) -> None:
    QTest.keyClicks(guide.place_page.search, "qqqqqq")
    qtbot.waitUntil(lambda: "No place" in guide.place_page.hint.text(), timeout=5000)
    assert not guide.next_button.isEnabled()


def test_of_several_towns_of_a_name_one_is_to_be_chosen(
    guide: FirstYardGuide, qtbot: QtBot
) -> None:
    page = guide.place_page
    QTest.keyClicks(page.search, "richmond")
    qtbot.waitUntil(lambda: "choose one" in page.hint.text(), timeout=5000)
    assert not guide.next_button.isEnabled() and page.choice() is None
    QTest.keyClick(page.search, Qt.Key.Key_Down)
    assert guide.next_button.isEnabled()
    place = page.choice()
    assert place is not None and place.name.startswith("Richmond, Greater London")
    assert "Climate: by " in page.hint.text() and "guessed" in page.hint.text()
    QTest.keyClicks(page.search, "x")
    assert not guide.next_button.isEnabled()


def test_a_postcode_is_told_to_take_the_town(guide: FirstYardGuide, qtbot: QtBot) -> None:
    QTest.keyClicks(guide.place_page.search, "BA1 2AB")
    qtbot.waitUntil(lambda: "postcode" in guide.place_page.hint.text(), timeout=5000)
    assert not guide.next_button.isEnabled()


def test_near_names_are_offered_but_none_is_taken(guide: FirstYardGuide, qtbot: QtBot) -> None:
    page = guide.place_page
    QTest.keyClicks(page.search, "edinbrugh")
    qtbot.waitUntil(lambda: page.chooser.places.rowCount() == 3, timeout=5000)
    assert not guide.next_button.isEnabled() and "Is one of these meant" in page.hint.text()
    QTest.keyClick(page.search, Qt.Key.Key_Down)
    place = page.choice()
    assert place is not None and place.name == "Edinburgh, Scotland, United Kingdom"


def test_a_town_of_the_south_has_its_own_spring(guide: FirstYardGuide, qtbot: QtBot) -> None:
    QTest.keyClicks(guide.place_page.search, "christchurch, nz")
    qtbot.waitUntil(guide.next_button.isEnabled, timeout=5000)
    assert guide.place_page.year.value() == default_season_year(TODAY, southern=True)


def test_a_new_yard_counts_as_unsaved(
    make_desk: Callable[[Document], FileDesk],
    empty_document: Document,
    hand: Any,
    qtbot: QtBot,
    tmp_path: Path,
) -> None:
    desk = make_desk(empty_document)

    def answer(shown: FirstYardGuide) -> None:
        QTest.keyClicks(shown.place_page.search, "heathrow")
        qtbot.waitUntil(shown.next_button.isEnabled, timeout=5000)
        for _ in range(2):
            shown.next_button.click()
        qtbot.waitUntil(shown.next_button.isEnabled, timeout=10_000)
        shown.next_button.click()

    hand.do("guide", answer)
    assert desk.new_yard()
    assert len(empty_document.yard.pots) == 2
    assert not empty_document.undo_stack.canUndo()
    assert desk.is_unsaved
    hand.press("question_unsaved", "save")
    hand.choose(tmp_path / "first.bloomline")
    assert desk.maybe_close()
    assert load_yard(tmp_path / "first.bloomline").yard == empty_document.yard


@pytest.mark.parametrize("name", ["Heathrow", "De Bilt", "Hobart", "Madrid"])
def test_what_is_suggested_flowers_and_follows_on(name: str, forecaster: Forecaster) -> None:
    catalogue = load_catalogue()
    place = place_of(load_places().search(name)[0])
    pots = [READY_POTS[1].pot("pot-1", "A"), READY_POTS[0].pot("pot-2", "B")]
    empty = Yard(name="Y", place=place, season_year=2027, pots=pots)
    outlook = Outlook.of(empty, catalogue=catalogue, forecaster=forecaster, today=TODAY)
    found = suggest(outlook)
    assert len(found.chosen) == 3
    yard = build_yard(
        name="Y",
        place=place,
        pots=found.pots,
        season_year=2027,
        planted=list(zip(found.pot_ids, found.chosen, strict=True)),
        catalogue=catalogue,
    )
    report = season_report(outlook.with_(yard=yard))
    starts = {layer.cultivar_id: layer.start for layer in report.layers}
    # The season of the whole yard agrees with what the guide showed for each kind.
    for choice in found.chosen:
        start = starts[choice.cultivar.id]
        # Under others it may lie deeper than usual, and open a little later.
        assert start is not None and 0 <= (start.p50 - choice.first).days <= 4
    assert sum(stretch.days for stretch in report.bare) <= 14
    assert report.bare_days.expected <= 20
    assert report.weeks_of_colour.expected > 6
    for pot in yard.pots:
        fitted = fit_pot(pot, cultivar_of=catalogue.get)
        assert all(layer.density is not None for layer in fitted.layers)
        assert all(layer.compost_under_cm >= 0 for layer in fitted.layers)


def test_where_pots_freeze_through_they_are_wintered_under_cover(forecaster: Forecaster) -> None:
    place = place_of(load_places().search("Oslo")[0])
    pot = READY_POTS[1].pot("pot-1", "A")
    empty = Yard(name="Y", place=place, season_year=2027, pots=(pot,))
    found = suggest(
        Outlook.of(empty, catalogue=load_catalogue(), forecaster=forecaster, today=TODAY)
    )
    assert found.pots[0].site in ("shed", "garage", "cold-greenhouse")
    assert found.pots[0].sheltered_until == date(2027, 4, 1)
    assert all(found.choices)


def test_the_spring_meant_is_the_next_one() -> None:
    assert default_season_year(date(2026, 9, 20), southern=False) == 2027
    assert default_season_year(date(2027, 2, 1), southern=False) == 2027
    assert default_season_year(date(2026, 4, 20), southern=True) == 2026
    assert default_season_year(date(2026, 12, 1), southern=True) == 2027
