"""Details of several pots or layers: what differs says so, and one edit goes for all."""

from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QLineEdit, QPushButton

from bloomline.model.companion import CompanionPlanting
from bloomline.model.companion_edits import add_companion
from bloomline.model.many_edits import change_parts
from bloomline.ui.details.fields import Several


def veil_of(field) -> QLabel | None:
    found = field.editor.findChild(QLineEdit).findChildren(QLabel)
    return found[0] if found else None


def type_into(editor, words: str) -> None:
    editor.setFocus()
    editor.findChild(QLineEdit).selectAll()
    QTest.keyClicks(editor, words)
    QTest.keyClick(editor, Qt.Key.Key_Return)


@pytest.fixture
def layers(details, document) -> list[str]:
    """Three layers of three pots, no two alike."""
    ids = [pot.layers[0].id for pot in document.yard.pots[:3]]
    document.select_all(ids)
    QApplication.processEvents()
    assert details.page is details.parts_page
    return ids


def test_fields_that_differ_say_so_and_others_show_their_value(details, document, layers) -> None:
    document.edit("Same", lambda yard: change_parts(yard, layers, count=9))
    fields = details.parts_page.form.fields
    assert fields["count"].box.value() == 9 and not fields["count"].is_several
    values = details.parts_page.values()
    for key in ("cover_cm", "planted"):
        found = {getattr(document.yard.layer(name)[1], key) for name in layers}
        assert len(found) > 1, "the demo yard has lost what this test needs"
        assert isinstance(values[key], Several)
        veil = veil_of(fields[key])
        assert veil is not None and veil.isVisible() and veil.text() == "several values"
        assert fields[key].editor.accessibleDescription() == "several values"
    assert fields["cultivar_id"].line.placeholderText() == "several values"
    assert "3 layers" in details.page.title.text()


def test_what_is_typed_goes_for_all_in_one_step(details, document, layers) -> None:
    before = document.yard
    type_into(details.page.form.fields["count"].editor, "21")
    assert {document.yard.layer(name)[1].count for name in layers} == {21}
    assert document.undo_stack.count() == 1
    assert document.undo_stack.undoText() == "Change number"
    others = [each for _, each in document.yard.layers() if each.id not in layers]
    assert others == [each for _, each in before.layers() if each.id not in layers]
    document.undo_stack.undo()
    assert document.yard == before
    assert details.page.form.fields["count"].is_several


def test_the_figure_that_a_box_holds_already_is_taken_for_all_too(
    details, document, layers
) -> None:
    field = details.page.form.fields["count"]
    held = field.box.value()
    type_into(field.editor, str(held))
    assert {document.yard.layer(name)[1].count for name in layers} == {held}


def test_looking_into_a_field_changes_nothing(details, document, layers) -> None:
    before = document.yard
    for field in details.page.form.fields.values():
        if field.editor.isVisible():
            field.editor.setFocus()
            QApplication.processEvents()
    details.page.form.fields["count"].editor.setFocus()
    assert document.yard is before and document.undo_stack.count() == 0
    veil = veil_of(details.page.form.fields["planted"])
    assert veil is not None and veil.isVisible()


def test_a_day_picked_goes_for_all_even_the_one_shown(details, document, layers) -> None:
    field = details.page.form.fields["planted"]
    held = field.box.date()
    field.box.calendarWidget().clicked.emit(held)
    assert {document.yard.layer(name)[1].planted for name in layers} == {
        date(held.year(), held.month(), held.day())
    }
    field.box.setDate(QDate(2026, 11, 5))
    assert {document.yard.layer(name)[1].planted for name in layers} == {date(2026, 11, 5)}


def test_sites_and_materials_of_pots_change_together(details, document) -> None:
    ids = [pot.id for pot in document.yard.pots]
    document.select_all(ids)
    fields = details.page.form.fields
    assert details.page is details.pots_page
    for key, value in (("site", "shed"), ("material", "stone")):
        box = fields[key].box
        assert box.currentIndex() == -1 and box.placeholderText() == "several values"
        box.setCurrentIndex(box.findData(value))
        box.activated.emit(box.currentIndex())
        assert {getattr(pot, key) for pot in document.yard.pots} == {value}
        assert box.placeholderText() == "" and not fields[key].is_several
    assert document.undo_stack.count() == 2
    in_turn = fields["successive"].box
    document.edit("Differ", lambda yard: yard.model_copy(update={"pots": _alternating(yard.pots)}))
    assert in_turn.checkState() == Qt.CheckState.PartiallyChecked
    in_turn.click()
    assert {pot.successive for pot in document.yard.pots} == {True}


def _alternating(pots):
    return tuple(pot.model_copy(update={"successive": bool(at % 2)}) for at, pot in enumerate(pots))


def test_a_value_that_one_of_them_can_not_take_is_refused_with_its_name(
    details, document, qtbot
) -> None:
    document.select_all([pot.id for pot in document.yard.pots])
    before, page = document.yard, details.page
    low = min(before.pots, key=lambda pot: pot.inside_height_cm)
    with qtbot.waitSignal(details.message) as told:
        type_into(page.form.fields["crocks_cm"].editor, str(low.inside_height_cm - 1.0))
    assert document.yard is before
    pot, _, why = told.args[0].partition(": ")
    assert pot in {each.name for each in before.pots}
    assert "at least 1 cm is needed" in why
    assert page.form.problem("crocks_cm") == told.args[0]
    assert page.form.fields["crocks_cm"].is_several


def test_companions_share_what_layers_have_as_well(details, document, layers) -> None:
    pot = document.yard.pots[0]
    pansies = CompanionPlanting(
        id="top-1", companion_id="winter-pansy", count=3, planted=date(2026, 10, 3)
    )
    document.edit("Plant", lambda yard: add_companion(yard, pot.id, pansies))
    document.select_all([*layers, "top-1"])
    shown = {key for key, each in details.page.form.fields.items() if each.editor.isVisible()}
    assert shown == {"count", "planted", "notes"}
    type_into(details.page.form.fields["count"].editor, "4")
    assert document.yard.companion("top-1")[1].count == 4
    assert {document.yard.layer(name)[1].count for name in layers} == {4}


def test_buttons_duplicate_and_delete_all(details, document, layers) -> None:
    before = len(list(document.yard.layers()))
    details.page.findChild(QPushButton, "many_duplicate").click()
    assert len(list(document.yard.layers())) == before + 3
    assert document.selection.is_many and details.page is details.parts_page
    details.page.findChild(QPushButton, "many_delete").click()
    assert len(list(document.yard.layers())) == before
    assert document.undo_stack.count() == 2


def test_what_is_being_typed_is_kept_as_a_draft_and_taken_when_left(
    details, document, layers
) -> None:
    notes = details.page.form.fields["notes"]
    notes.editor.setFocus()
    QTest.keyClicks(notes.editor, "from the fair")
    draft = details.draft()
    assert {draft.layer(name)[1].notes for name in layers} == {"from the fair"}
    document.select(pot_id=document.yard.pots[0].id)
    assert {document.yard.layer(name)[1].notes for name in layers} == {"from the fair"}
    assert document.undo_stack.count() == 1
