"""Quick entry, by keys and mouse: what is kept, what is questioned, what is undone."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog

from bloomline.model.edits import add_record, change_record
from bloomline.model.yard import Record
from bloomline.plan.season.yard import season_report
from bloomline.ui.page_kit import day_words
from bloomline.ui.records.desk import RecordsDesk
from bloomline.ui.records.entry import EntryDialog
from bloomline.ui.records.photo import found_path, kept_path

TODAY = date(2027, 6, 20)

ENTER = Qt.Key.Key_Return

# The offscreen platform says so of the list that opens under a field.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)")


@pytest.fixture
def desk(page, document) -> Iterator[RecordsDesk]:
    yield page.desk
    page.desk.stop()


def as_qdate(day: date) -> QDate:
    return QDate(day.year, day.month, day.day)


def opened(desk, qtbot) -> EntryDialog:
    dialog = desk.dialog
    assert isinstance(dialog, EntryDialog)
    qtbot.waitExposed(dialog)
    dialog.activateWindow()
    qtbot.waitUntil(lambda: QApplication.activeWindow() is dialog, timeout=5000)
    return dialog


def judged(dialog: EntryDialog, qtbot) -> None:
    qtbot.waitUntil(lambda: dialog._verdict is not None, timeout=15_000)


def closed(desk, qtbot) -> None:
    qtbot.waitUntil(lambda: desk.dialog is None, timeout=15_000)


@pytest.fixture
def free_layer(document, spring_layers) -> str:
    """A spring layer of which nothing was noted."""
    noted = {record.layer_id for record in document.yard.records}
    return next(each for each in spring_layers if each not in noted)


@pytest.fixture
def note(desk, document, free_layer, qtbot) -> Callable[[date], EntryDialog]:
    """Opens the dialog for a layer, with a day put in."""

    def begin(day: date) -> EntryDialog:
        document.select(layer_id=free_layer)
        desk.note()
        dialog = opened(desk, qtbot)
        dialog.day.setDate(as_qdate(day))
        return dialog

    return begin


def test_a_first_flower_takes_a_digit_and_enter(
    note, desk, document, free_layer, expected, qtbot
) -> None:
    day = expected(free_layer, "first-flower", 2027)
    before, steps = document.yard, document.undo_stack.count()
    dialog = note(day)
    assert dialog.layer.layer_id() == free_layer
    focus = dialog.focusWidget()
    QTest.keyClick(focus, Qt.Key.Key_4)
    assert dialog.stages.seen() == "over"
    QTest.keyClick(dialog.focusWidget(), Qt.Key.Key_2)
    assert dialog.stages.seen() == "first-flower"
    QTest.keyClick(dialog.focusWidget(), ENTER)
    closed(desk, qtbot)
    new = [each for each in document.yard.records if each not in before.records]
    assert [(each.day, each.layer_id, each.seen) for each in new] == [
        (day, free_layer, "first-flower")
    ]
    assert new[0].confirmed is None
    assert document.undo_stack.count() == steps + 1
    document.undo_stack.undo()
    assert document.yard == before
    document.undo_stack.redo()
    assert new[0] in document.yard.records


def test_the_day_steps_with_keys_over_the_end_of_a_month(note, qtbot) -> None:
    dialog = note(date(2027, 3, 31))
    dialog.day.setFocus()
    QTest.keyClick(dialog.day, Qt.Key.Key_Up)
    assert dialog.day.date() == QDate(2027, 4, 1)
    QTest.keyClick(dialog.day, Qt.Key.Key_Down)
    QTest.keyClick(dialog.day, Qt.Key.Key_Down)
    assert dialog.day.date() == QDate(2027, 3, 30)


def test_the_day_is_held_against_the_forecast_that_all_pages_show(
    note, expected, document, free_layer, qtbot
) -> None:
    layers = {each.layer_id: each for each in season_report(document.outlook).layers}
    middle = layers[free_layer].start.p50
    # The records of this yard came late, and what they taught is in the forecast.
    assert middle > expected(free_layer, "first-flower", 2027)
    dialog = note(middle + timedelta(days=4))
    judged(dialog, qtbot)
    words = dialog.forecast.text()
    assert day_words(middle) in words
    assert "4 days later" in words
    dialog.day.setDate(as_qdate(middle - timedelta(days=1)))
    qtbot.waitUntil(lambda: "1 day earlier" in dialog.forecast.text(), timeout=15_000)
    assert not dialog.question.isVisible()


def test_a_month_off_is_questioned_and_only_kept_when_it_was_seen(
    note, desk, document, expected, free_layer, qtbot
) -> None:
    before = document.yard
    off = expected(free_layer, "first-flower", 2027) + timedelta(days=30)
    dialog = note(off)
    judged(dialog, qtbot)
    assert dialog.question.isVisible()
    assert "30 days later than forecast for 2027" in dialog.question_words.text()
    assert "is another month meant?" in dialog.question_words.text()
    QTest.keyClick(dialog.focusWidget(), ENTER)
    assert desk.dialog is dialog and document.yard is before  # not swallowed
    assert dialog.refusal.isVisible()
    assert dialog.focusWidget() is dialog.sure
    QTest.keyClick(dialog.sure, Qt.Key.Key_Space)
    assert dialog.sure.isChecked() and not dialog.refusal.isVisible()
    QTest.keyClick(dialog.sure, ENTER)
    closed(desk, qtbot)
    (new,) = [each for each in document.yard.records if each not in before.records]
    assert new.day == off and new.confirmed is True


def test_corrected_days_need_no_tick_and_a_tick_is_for_one_day_only(
    note, desk, document, expected, free_layer, qtbot
) -> None:
    middle = expected(free_layer, "first-flower", 2027)
    dialog = note(middle + timedelta(days=30))
    judged(dialog, qtbot)
    dialog.sure.setChecked(True)
    dialog.day.setDate(as_qdate(middle + timedelta(days=60)))
    judged(dialog, qtbot)
    assert dialog.question.isVisible() and not dialog.sure.isChecked()
    dialog.day.setDate(as_qdate(middle))
    judged(dialog, qtbot)
    assert not dialog.question.isVisible()
    dialog.accept()
    closed(desk, qtbot)
    new = next(each for each in document.yard.records if each.layer_id == free_layer)
    assert new.confirmed is None


@pytest.mark.parametrize("how", ["future", "before planting"])
def test_days_that_cannot_be_are_questioned_in_words(how, note, document, free_layer, qtbot):
    planted = document.yard.layer(free_layer)[1].planted
    day = TODAY + timedelta(days=2) if how == "future" else planted - timedelta(days=3)
    dialog = note(day)
    judged(dialog, qtbot)
    words = dialog.question_words.text()
    assert ("is still to come" if how == "future" else "before these bulbs were planted") in (
        words[0].lower() + words[1:]
    )
    assert str(day.year) in words and day.isoformat() not in words


def test_stages_out_of_order_are_questioned(note, document, expected, free_layer, qtbot) -> None:
    first = expected(free_layer, "first-flower", 2027)
    over = first - timedelta(days=2)
    document.edit(
        "Note",
        lambda yard: add_record(
            yard, Record(id="record-over", day=over, layer_id=free_layer, seen="over")
        ),
    )
    dialog = note(first)
    assert dialog.stages.seen() == "over"
    QTest.keyClick(dialog.focusWidget(), Qt.Key.Key_2)
    judged(dialog, qtbot)
    assert not dialog.question_words.text()  # it is the other that is wrong
    document.edit("Note", lambda yard: change_record(yard, "record-over", seen="first-flower"))
    dialog = note(over - timedelta(days=1))
    QTest.keyClick(dialog.focusWidget(), Qt.Key.Key_4)
    judged(dialog, qtbot)
    words = dialog.question_words.text()
    assert "lies before first flower" in words or "earlier than forecast" in words


def test_enter_before_the_forecast_is_there_waits_for_it(
    note, desk, document, expected, free_layer, qtbot
) -> None:
    good = expected(free_layer, "first-flower", 2027)
    dialog = note(good)
    assert dialog._verdict is None
    dialog.accept()
    closed(desk, qtbot)
    assert any(each.layer_id == free_layer for each in document.yard.records)
    document.undo_stack.undo()
    dialog = note(good + timedelta(days=60))
    dialog.accept()
    qtbot.waitUntil(dialog.question.isVisible, timeout=15_000)
    assert desk.dialog is dialog
    assert all(each.layer_id != free_layer for each in document.yard.records)


def test_digits_belong_to_the_note_while_it_is_typed(
    note, desk, document, expected, free_layer, qtbot
) -> None:
    dialog = note(expected(free_layer, "first-flower", 2027))
    dialog.note.setFocus()
    QTest.keyClicks(dialog.note, "14 open")
    QTest.keyClick(dialog.note, ENTER, Qt.KeyboardModifier.ShiftModifier)
    QTest.keyClicks(dialog.note, "in the sun")
    assert dialog.stages.seen() == "first-flower"
    QTest.keyClick(dialog.note, Qt.Key.Key_3, Qt.KeyboardModifier.AltModifier)
    qtbot.waitUntil(lambda: dialog.stages.seen() == "full", timeout=2000)
    dialog.note.setFocus()
    QTest.keyClick(dialog.note, ENTER)
    closed(desk, qtbot)
    new = next(each for each in document.yard.records if each.layer_id == free_layer)
    assert new.note == "14 open\nin the sun" and new.seen == "full"


def test_a_layer_is_found_by_any_part_of_its_names(desk, document, qtbot) -> None:
    document.select()
    desk.note()
    dialog = opened(desk, qtbot)
    assert dialog.layer.layer_id() is None
    dialog.accept()
    assert "Choose a layer" in dialog.refusal.text()
    pot, layer = next(
        (pot, layer)
        for pot, layer in document.yard.layers()
        if document.cultivar(layer.cultivar_id).name.endswith("'Queen of Night'")
    )
    edit = dialog.layer.lineEdit()
    edit.setFocus()
    QTest.keyClicks(edit, "queen of")
    completer = dialog.layer.completer()
    qtbot.waitUntil(completer.popup().isVisible, timeout=2000)
    assert completer.completionCount() == 1
    completer.popup().hide()
    assert dialog.layer.layer_id() == layer.id  # as soon as it can be no other
    dialog.note.setFocus()
    assert dialog.layer.layer_id() == layer.id
    assert pot.name in dialog.layer.currentText()
    dialog.layer.setEditText("no such bulb")
    assert dialog.layer.layer_id() is None


def test_the_same_thing_is_not_noted_twice(desk, document, qtbot) -> None:
    had = next(each for each in document.yard.records if each.seen == "first-flower")
    document.select(layer_id=had.layer_id)
    desk.note()
    dialog = opened(desk, qtbot)
    dialog.stages.choose("first-flower")
    dialog.day.setDate(as_qdate(had.day + timedelta(days=1)))
    qtbot.waitUntil(dialog.same.isVisible, timeout=15_000)
    assert day_words(had.day) in dialog.same.text()
    dialog.day.setDate(as_qdate(had.day))
    judged(dialog, qtbot)
    before = document.yard
    dialog.accept()
    assert "noted already" in dialog.refusal.text()
    assert document.yard is before


def test_a_record_is_corrected_in_one_step_and_nothing_new_is_no_step(
    desk, document, qtbot
) -> None:
    record = document.yard.records[0]
    steps = document.undo_stack.count()
    desk.edit(record.id)
    dialog = opened(desk, qtbot)
    assert dialog.entered().day == record.day
    assert dialog.layer.layer_id() == record.layer_id
    judged(dialog, qtbot)
    dialog.accept()
    closed(desk, qtbot)
    assert document.undo_stack.count() == steps
    desk.edit(record.id)
    dialog = opened(desk, qtbot)
    dialog.day.setDate(as_qdate(record.day + timedelta(days=1)))
    dialog.note.setPlainText("a day later")
    dialog.accept()
    closed(desk, qtbot)
    now = document.yard.record(record.id)
    assert (now.day, now.note) == (record.day + timedelta(days=1), "a day later")
    assert document.undo_stack.count() == steps + 1
    document.undo_stack.undo()
    assert document.yard.record(record.id) == record


def test_what_the_file_cannot_hold_is_refused_and_the_dialog_stays(
    note, desk, document, expected, free_layer, qtbot
) -> None:
    before = document.yard
    dialog = note(expected(free_layer, "first-flower", 2027))
    judged(dialog, qtbot)
    dialog.note.setPlainText("x" * 20_001)
    dialog.accept()
    assert desk.dialog is dialog and document.yard is before
    assert "note" in dialog.refusal.text()


def test_cancel_keeps_nothing(note, desk, document, qtbot) -> None:
    before = document.yard
    dialog = note(date(2027, 4, 2))
    QTest.keyClick(dialog.focusWidget(), Qt.Key.Key_Escape)
    closed(desk, qtbot)
    assert document.yard is before


def test_the_day_looked_at_is_offered_unless_it_lies_ahead(desk, document, qtbot) -> None:
    document.look_at(TODAY - timedelta(days=20))
    document.select(layer_id=document.yard.records[0].layer_id)
    desk.note()
    dialog = opened(desk, qtbot)
    assert dialog.day.date() == as_qdate(TODAY)
    QTest.mouseClick(dialog.looked_at, Qt.MouseButton.LeftButton)
    assert dialog.day.date() == as_qdate(TODAY - timedelta(days=20))
    dialog.reject()
    closed(desk, qtbot)
    document.look_at(TODAY + timedelta(days=20))
    desk.note()
    assert not opened(desk, qtbot).looked_at.isVisible()


def test_the_next_stage_is_offered(desk, document, free_layer, qtbot) -> None:
    document.edit(
        "Note",
        lambda yard: add_record(
            yard,
            Record(
                id="record-first",
                day=TODAY - timedelta(days=30),
                layer_id=free_layer,
                seen="first-flower",
            ),
        ),
    )
    document.select(layer_id=free_layer)
    desk.note()
    assert opened(desk, qtbot).stages.seen() == "full"


def picture(path: Path) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    image = QImage(320, 200, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.darkYellow)
    assert image.save(str(path))
    return path


def test_a_photo_is_kept_from_the_yards_file_on(
    note, desk, document, expected, free_layer, tmp_path, qtbot, monkeypatch
) -> None:
    document.path = tmp_path / "yard" / "here.bloomline"
    photo = picture(tmp_path / "yard" / "photos" / "first.png")
    monkeypatch.setattr(
        QFileDialog, "getOpenFileName", staticmethod(lambda *_args, **_more: (str(photo), ""))
    )
    dialog = note(expected(free_layer, "first-flower", 2027))
    QTest.mouseClick(dialog.photo.choose, Qt.MouseButton.LeftButton)
    assert dialog.photo.kept == "photos/first.png"
    qtbot.waitUntil(dialog.photo.picture.isVisible, timeout=5000)
    shown = dialog.photo.picture.pixmap()
    assert shown.width() / shown.height() == pytest.approx(320 / 200, rel=0.03)
    dialog.accept()
    closed(desk, qtbot)
    new = next(each for each in document.yard.records if each.layer_id == free_layer)
    assert new.photo == "photos/first.png"
    photo.unlink()
    desk.edit(new.id)
    dialog = opened(desk, qtbot)
    qtbot.waitUntil(lambda: "isn't there any more" in dialog.photo.name.text(), timeout=5000)
    assert dialog.photo.kept == "photos/first.png"  # what was written down stays


def test_paths_of_photos(tmp_path) -> None:
    yard = tmp_path / "a" / "yard.bloomline"
    beside, elsewhere = picture(tmp_path / "a" / "b.png"), picture(tmp_path / "c" / "d.png")
    assert kept_path(beside, yard) == "b.png"
    assert kept_path(elsewhere, yard) == str(elsewhere)
    assert kept_path(beside, None) == str(beside)
    assert found_path("b.png", yard) == yard.parent / "b.png"
    assert found_path("b.png", None) is None
    assert found_path(str(elsewhere), None) == elsewhere
    assert found_path("gone.png", yard) is None
    assert found_path("\0", yard) is None


def test_a_file_that_is_no_picture_is_told(note, document, tmp_path, qtbot) -> None:
    document.path = tmp_path / "yard.bloomline"
    (tmp_path / "text.jpg").write_text("not a picture")
    dialog = note(date(2027, 4, 1))
    dialog.photo.show_photo("text.jpg")
    qtbot.waitUntil(lambda: "can't be shown" in dialog.photo.name.text(), timeout=5000)


def test_records_of_past_seasons_keep_their_forecast(desk, document, qtbot) -> None:
    record = next(each for each in document.yard.records if each.day.year == 2024)
    desk.edit(record.id)
    dialog = opened(desk, qtbot)
    judged(dialog, qtbot)
    assert "Forecast for 2024, without the yard's own offset" in dialog.forecast.text()
    assert "5 days later" in dialog.forecast.text()
    QApplication.processEvents()


def test_what_was_confirmed_stays_so_until_the_day_is_another(
    desk, document, expected, free_layer, qtbot
) -> None:
    off = expected(free_layer, "first-flower", 2027) + timedelta(days=30)
    record = Record(
        id="record-sure", day=off, layer_id=free_layer, seen="first-flower", confirmed=True
    )
    document.edit("Note", lambda yard: add_record(yard, record))
    before = document.yard
    desk.edit(record.id)
    dialog = opened(desk, qtbot)
    judged(dialog, qtbot)
    assert dialog.question.isVisible() and dialog.sure.isChecked()
    dialog.accept()
    closed(desk, qtbot)
    assert document.yard is before  # nothing was changed, so there is no step
    desk.edit(record.id)
    dialog = opened(desk, qtbot)
    dialog.day.setDate(as_qdate(off + timedelta(days=30)))
    judged(dialog, qtbot)
    assert dialog.question.isVisible() and not dialog.sure.isChecked()
    dialog.day.setDate(as_qdate(off - timedelta(days=30)))
    judged(dialog, qtbot)
    dialog.accept()
    closed(desk, qtbot)
    assert document.yard.record(record.id).confirmed is None
