from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from PySide6.QtCore import QAbstractItemModel, Qt
from PySide6.QtTest import QAbstractItemModelTester, QTest
from pytestqt.qtbot import QtBot

from bloomline.model import edits
from bloomline.ui.document import Document
from bloomline.ui.season.panel import SeasonPanel
from bloomline.ui.season.table import LAYER_ROLE, SORT_ROLE, SeasonTable
from bloomline.ui.season.words import SeasonWords
from bloomline.ui.season_service import SeasonService

ALT = Qt.KeyboardModifier.AltModifier


def column(model: QAbstractItemModel, title: str) -> int:
    across = Qt.Orientation.Horizontal
    titles = [model.headerData(at, across) for at in range(model.columnCount())]
    return titles.index(title)


def cells(model: QAbstractItemModel, title: str) -> list[str]:
    at = column(model, title)
    return [model.index(row, at).data() for row in range(model.rowCount())]


def keys(model: QAbstractItemModel, title: str) -> list[Any]:
    at = column(model, title)
    return [model.index(row, at).data(SORT_ROLE) for row in range(model.rowCount())]


# The table twin


def test_the_table_is_a_sound_model(service: SeasonService, qtbot: QtBot) -> None:
    words = SeasonWords()
    table = SeasonTable(words)
    tester = QAbstractItemModelTester(table, QAbstractItemModelTester.FailureReportingMode.Warning)
    report = service.report
    assert report is not None
    table.take(report, planted={})
    table.take(report, planted={})
    table.retranslate()
    assert table.rowCount() == len(report.layers)
    assert tester.model() is table


def test_the_table_tells_what_the_timeline_shows(panel: SeasonPanel) -> None:
    QTest.keyClick(panel.view, Qt.Key.Key_T, Qt.KeyboardModifier.ControlModifier)
    assert panel.pages.currentWidget() is panel.table_view
    assert panel.table_view.hasFocus()
    panel.table.catch_up()
    report, words, table = panel._shown.report, panel._words, panel.table
    assert report is not None
    layer = report.layers[2]
    assert layer.start is not None
    assert layer.end is not None
    expected = {
        "Pot": report.pots[0].name,
        "Cultivar": layer.name,
        "Bulbs": words.number(layer.count),
        "Planted": words.short(layer.planted),
        "Opens, early": words.short(layer.start.p10),
        "Opens": words.short(layer.start.p50),
        "Opens, late": words.short(layer.start.p90),
        "Over, early": words.short(layer.end.p10),
        "Over": words.short(layer.end.p50),
        "Over, late": words.short(layer.end.p90),
        "Weeks": words.number(((layer.end.p50 - layer.start.p50).days + 1) / 7, 1),
        "Advice": words.advice(layer),
    }
    assert {title: cells(table, title)[2] for title in expected} == expected
    QTest.keyClick(panel.table_view, Qt.Key.Key_T, Qt.KeyboardModifier.ControlModifier)
    assert panel.view.isVisible()


def test_sorting_by_keys_orders_by_value_not_by_words(panel: SeasonPanel) -> None:
    panel._actions["season_as_table"].trigger()
    view = panel.table_view
    model = view.model()
    for title in ("Bulbs", "Opens"):
        view.setCurrentIndex(model.index(0, column(model, title)))
        QTest.keyClick(view, Qt.Key.Key_Down, ALT)
        rising = keys(model, title)
        assert rising == sorted(rising)
        QTest.keyClick(view, Qt.Key.Key_Up, ALT)
        assert keys(model, title) == sorted(rising, reverse=True)


def test_selection_is_one_in_table_and_document(
    panel: SeasonPanel, document: Document, qtbot: QtBot
) -> None:
    panel._actions["season_as_table"].trigger()
    view = panel.table_view
    view.setFocus()
    panel.table.catch_up()
    document.select(layer_id=panel.table.index(3, 0).data(LAYER_ROLE))
    assert view.currentIndex().row() == 3
    QTest.keyClick(view, Qt.Key.Key_Down)
    assert document.layer_id == panel.table.index(4, 0).data(LAYER_ROLE)
    with qtbot.waitSignal(panel.details_requested) as asked:
        QTest.keyClick(view, Qt.Key.Key_Return)
    assert asked.args == [document.layer_id]


def test_planting_keys_work_in_the_table_and_keep_its_place(
    panel: SeasonPanel, document: Document
) -> None:
    panel._actions["season_as_table"].trigger()
    panel.table_view.setFocus()
    panel.table.catch_up()
    layer_id = panel.table.index(3, 0).data(LAYER_ROLE)
    document.select(layer_id=layer_id)
    before = document.yard.layer(layer_id)[1].planted
    QTest.keyClick(panel.table_view, Qt.Key.Key_Left, ALT)
    assert (before - document.yard.layer(layer_id)[1].planted).days == 1
    assert panel.table_view.currentIndex().data(LAYER_ROLE) == layer_id


def test_a_layer_taken_away_leaves_table_and_timeline(
    panel: SeasonPanel, document: Document, service: SeasonService, qtbot: QtBot
) -> None:
    panel.table.catch_up()
    layer_id = panel.table.index(3, 0).data(LAYER_ROLE)
    document.select(layer_id=layer_id)
    rows = panel.table.rowCount()
    with qtbot.waitSignal(service.report_ready, timeout=5000):
        document.edit("Remove", lambda yard: edits.remove_layer(yard, layer_id))
    panel.table.catch_up()
    assert panel.table.rowCount() == rows - 1
    assert panel._shown.rows.of(layer_id) is None
    panel.view.grab()


# Empty states, actions, words


def test_a_new_yard_offers_a_first_yard(
    empty_document: Document, empty_service: SeasonService, qtbot: QtBot
) -> None:
    panel = SeasonPanel(empty_document, empty_service)
    qtbot.addWidget(panel)
    panel.show()
    assert panel.empty.button.isVisible()
    assert not any(action.isEnabled() for action in panel.actions())
    with qtbot.waitSignal(panel.first_yard_requested):
        QTest.keyClick(panel.empty.button, Qt.Key.Key_Space)


def test_a_yard_emptied_by_hand_offers_a_pot(
    panel: SeasonPanel, document: Document, qtbot: QtBot
) -> None:
    for pot in document.yard.pots:
        document.edit("Remove", lambda yard, name=pot.id: edits.remove_pot(yard, name))
    assert panel.empty.button.isVisible()
    with qtbot.waitSignal(panel.add_pot_requested):
        QTest.mouseClick(panel.empty.button, Qt.MouseButton.LeftButton)
    while document.undo_stack.canUndo():
        document.undo_stack.undo()
    assert panel.view.isVisible()
    panel.view.grab()


def test_pots_without_bulbs_are_painted(
    panel: SeasonPanel, document: Document, service: SeasonService, qtbot: QtBot
) -> None:
    bare = document.yard.model_copy(
        update={
            "pots": tuple(pot.model_copy(update={"layers": ()}) for pot in document.yard.pots),
            "records": (),
        }
    )
    with qtbot.waitSignal(service.report_ready, timeout=5000):
        document.replace(bare, path=None, seen=None)
    panel.view.grab()
    panel.view.fit()
    assert len(panel._shown.rows.rows) == len(bare.pots)


def test_actions_are_named_have_words_and_keys_of_their_own(panel: SeasonPanel) -> None:
    actions = panel.actions()
    keys = [key.toString() for action in actions for key in action.shortcuts()]
    assert len(keys) == len(set(keys))
    for action in actions:
        assert action.objectName().startswith("action_")
        assert action.text()
        assert action.statusTip()
        assert action.shortcutContext() is Qt.ShortcutContext.WidgetShortcut
    assert not panel._actions["plant_day_after"].isEnabled()
    panel.table.catch_up()
    panel._document.select(layer_id=panel.table.index(0, 0).data(LAYER_ROLE))
    assert panel._actions["plant_day_after"].isEnabled()
    panel._actions["season_as_table"].trigger()
    assert not panel._actions["season_fit"].isEnabled()


def test_every_control_has_an_accessible_name(panel: SeasonPanel) -> None:
    controls = [panel.view, panel.table_view, panel.view.scroll_bar, panel.head.speed]
    controls += list(panel.head.buttons.values())
    assert all(control.accessibleName() for control in controls)
    assert "15 April 2027" in panel.view.accessibleDescription()


def test_a_failure_is_told_and_goes_with_the_next_report(
    panel: SeasonPanel, service: SeasonService
) -> None:
    service.failed.emit("No station comes near.")
    assert panel.head.basis.text() == "No station comes near."
    assert panel.head.basis.objectName() == "warning"
    assert service.report is not None
    panel._take_report(service.report)
    assert panel.head.basis.objectName() == "muted"
    assert service.report.weather_label in panel.head.basis.text()


def test_days_and_numbers_are_written_in_one_style(qtbot: QtBot) -> None:
    words = SeasonWords()
    assert words.flag(date(2027, 4, 3)) == "Sat 3 Apr"
    assert words.number(20.75, 1) == "20.8"


def test_stop_can_be_called_twice(panel: SeasonPanel) -> None:
    panel.stop()
    panel.stop()
    assert not panel.player.is_playing


def test_the_yard_is_noted_anew_only_when_pots_or_records_change(panel, document) -> None:
    shown = panel._shown
    place = document.yard.place.model_copy(update={"station_id": None, "latitude_deg": 57.0})
    assert not shown.take_yard(document.yard.model_copy(update={"place": place}))
    layer = document.yard.pots[0].layers[0]
    day = layer.planted + timedelta(days=3)
    assert shown.take_yard(edits.change_layer(document.yard, layer.id, planted=day))
    assert shown.planted[layer.id] == day
    assert shown.take_yard(document.yard)
    assert shown.planted[layer.id] == layer.planted
