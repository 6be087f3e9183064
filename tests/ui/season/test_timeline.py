from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QColor, QHelpEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QToolTip
from pytestqt.qtbot import QtBot

from bloomline.draw.base.petals import DARK, LIGHT, petal_of
from bloomline.draw.season.days import bar_days
from bloomline.model import edits
from bloomline.model.yard import Record, Yard
from bloomline.plan.forecast.report import LayerForecast
from bloomline.plan.season.best_day import best_day, days_of_colour
from bloomline.ui.document import Document
from bloomline.ui.season.day_line import pieces
from bloomline.ui.season.hits import hit_at, tip_at
from bloomline.ui.season.panel import SeasonPanel
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import dress

LEFT = Qt.MouseButton.LeftButton
NONE = Qt.KeyboardModifier.NoModifier
SHIFT, ALT, CTRL = (
    Qt.KeyboardModifier.ShiftModifier,
    Qt.KeyboardModifier.AltModifier,
    Qt.KeyboardModifier.ControlModifier,
)


def forecast(panel: SeasonPanel, index: int = 0) -> LayerForecast:
    report = panel._shown.report
    assert report is not None
    return report.layers[index]


def y_of(panel: SeasonPanel, layer: LayerForecast) -> int:
    index = panel._shown.rows.of(layer.layer_id)
    assert index is not None
    return round(panel.view.row_y(index))


def on_bar(panel: SeasonPanel, layer: LayerForecast) -> QPoint:
    assert layer.start is not None
    x = panel.view.days().middle_of(layer.start.p50 + timedelta(days=1))
    return QPoint(round(x), y_of(panel, layer))


def on_marker(panel: SeasonPanel, layer: LayerForecast) -> QPoint:
    x = panel.view.days().middle_of(panel._shown.planted[layer.layer_id])
    return QPoint(round(x), y_of(panel, layer))


def drag(panel: SeasonPanel, start: QPoint, stop: QPoint, *, steps: int = 8) -> None:
    port = panel.view.viewport()
    QTest.mousePress(port, LEFT, NONE, start)
    for step in range(1, steps + 1):
        at = start + (stop - start) * (step / steps)
        QTest.mouseMove(port, at)
        QApplication.processEvents()
    QTest.mouseRelease(port, LEFT, NONE, stop)


def wheel(panel: SeasonPanel, at: QPoint, turn: int, keys: Qt.KeyboardModifier = NONE) -> None:
    port = panel.view.viewport()
    event = QWheelEvent(
        QPointF(at),
        QPointF(port.mapToGlobal(at)),
        QPoint(),
        QPoint(0, turn),
        Qt.MouseButton.NoButton,
        keys,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(port, event)


# What is seen


def test_bars_lie_at_the_pixels_of_their_dates(panel: SeasonPanel) -> None:
    # No day line and no grid over the bars that are looked at.
    panel._document.look_at(date(2026, 9, 1))
    picture = panel.view.grab().toImage()
    days, ratio = panel.view.days(), picture.devicePixelRatio()
    height = panel._shown.look.bar_height
    for layer in panel._shown.report.pots[0].layers:
        spans, petal = bar_days(layer.start, layer.end), petal_of(layer, theme=LIGHT)
        assert spans is not None
        y = y_of(panel, layer) + height / 2 - 3  # under the marks
        left, right = spans.core(days)
        for x, is_fill in ((left + 5, True), (right - 5, True), (days.x_of(spans.rise) - 4, False)):
            seen = QColor(picture.pixel(round(x * ratio), round(y * ratio)))
            fill = QColor(petal.fill)
            apart = sum(
                abs(a - b) for a, b in zip(seen.getRgb()[:3], fill.getRgb()[:3], strict=True)
            )
            assert (apart < 40) is is_fill, (layer.name, x, seen.name(), fill.name())


def test_the_fade_grows_towards_the_middle_dates(panel: SeasonPanel) -> None:
    panel._document.look_at(date(2026, 9, 1))
    panel.view.zoom(3, around=date(2027, 5, 1).toordinal())
    picture = panel.view.grab().toImage()
    layer = next(one for one in panel._shown.report.layers if "Queen of Night" in one.name)
    spans, days = bar_days(layer.start, layer.end), panel.view.days()
    assert spans is not None
    y = y_of(panel, layer) + 4
    xs = [days.x_of(spans.rise) + 2, days.x_of(spans.open) - 6]
    tones = [QColor(picture.pixel(round(x), y)).lightness() for x in xs]
    assert tones[0] > tones[1] + 30  # a nearly black petal on a light ground


def test_light_and_dark_differ_and_dark_is_dark(qapp: QApplication, panel: SeasonPanel) -> None:
    light = panel.grab().toImage()
    try:
        dress(qapp, DARK)
        QApplication.processEvents()
        dark = panel.grab().toImage()
        assert panel._shown.look.theme is DARK
    finally:
        dress(qapp, LIGHT)
    at = QPoint(5, panel.height() - 5)
    assert QColor(light.pixel(at)).lightness() > 200
    assert QColor(dark.pixel(at)).lightness() < 70


def test_a_thousand_rows_paint_a_screenful(
    document: Document, service: SeasonService, panel: SeasonPanel, qtbot: QtBot
) -> None:
    yard = document.yard
    pots = tuple(
        pot.model_copy(
            update={
                "id": f"{pot.id}-{n}",
                "layers": tuple(
                    one.model_copy(update={"id": f"{one.id}-{n}"}) for one in pot.layers
                ),
            }
        )
        for n in range(45)
        for pot in yard.pots
    )
    many = yard.model_copy(update={"pots": pots, "records": ()})
    with qtbot.waitSignal(service.report_ready, timeout=20_000):
        document.edit("Many pots", lambda _: many)
    rows = panel._shown.rows
    assert len(rows.rows) > 1000
    for value in (0, panel.view.scroll_bar.maximum() // 2, panel.view.scroll_bar.maximum()):
        panel.view.scroll_bar.setValue(value)
        panel.view.grab()
        assert 5 < panel.view.rows.painted_rows < 40
    last = rows.rows[-1].layer
    assert last is not None
    assert y_of(panel, last) < panel.view.viewport().height()


def test_rows_are_in_yard_order_or_by_first_flower(panel: SeasonPanel) -> None:
    report = panel._shown.report
    assert report is not None

    def pots() -> list[str]:
        return [row.pot.pot_id for row in panel._shown.rows.rows if row.plant is None]

    assert pots() == [pot.pot_id for pot in report.pots]
    QTest.keyClick(panel.view, Qt.Key.Key_O)
    firsts = [
        min(layer.start.p50 for layer in pot.layers if layer.start)
        for pot_id in pots()
        for pot in report.pots
        if pot.pot_id == pot_id
    ]
    assert firsts == sorted(firsts)
    QTest.keyClick(panel.view, Qt.Key.Key_O)
    assert pots() == [pot.pot_id for pot in report.pots]


# The day line


def test_dragging_the_day_line_looks_at_days(panel: SeasonPanel) -> None:
    days = panel.view.days()
    document = panel._document
    seen: list[date] = []
    document.day_changed.connect(seen.append)
    y = round(panel.view.rows_top()) + 5
    start = QPoint(round(days.middle_of(document.day)), y)
    stop = QPoint(round(days.middle_of(date(2027, 3, 1))), y)
    drag(panel, start, stop)
    assert document.day == date(2027, 3, 1)
    assert len(seen) > 3
    assert panel.view.day_line.x() == pytest.approx(days.middle_of(document.day))


def test_the_flag_is_a_handle_and_the_axis_takes_the_line_along(panel: SeasonPanel) -> None:
    days, document = panel.view.days(), panel._document
    flag = panel.view.day_line.flag_rect().center().toPoint()
    drag(panel, flag, flag + QPoint(round(10 * days.per_day), 0))
    assert document.day == date(2027, 4, 25)
    at = QPoint(round(days.middle_of(date(2027, 2, 10))), 45)
    QTest.mouseClick(panel.view.viewport(), LEFT, NONE, at)
    assert document.day == date(2027, 2, 10)


def test_keys_move_the_day(panel: SeasonPanel) -> None:
    document, view = panel._document, panel.view
    QTest.keyClick(view, Qt.Key.Key_Right)
    assert document.day == date(2027, 4, 16)
    QTest.keyClick(view, Qt.Key.Key_Left, SHIFT)
    assert document.day == date(2027, 4, 9)
    QTest.keyClick(view, Qt.Key.Key_T)
    assert document.day == date(2026, 11, 25)
    QTest.keyClick(view, Qt.Key.Key_End)
    end = document.day
    QTest.keyClick(view, Qt.Key.Key_Home)
    starts = [one.start.p10 for one in panel._shown.report.layers if one.start]
    ends = [one.end.p90 for one in panel._shown.report.layers if one.end]
    assert document.day < min(starts)
    assert end > max(ends) - timedelta(days=1)


def test_the_day_stays_within_the_report_and_in_view(panel: SeasonPanel) -> None:
    report = panel._shown.report
    assert report is not None
    panel.view.zoom(6)
    panel.view.ask_day(date(2040, 1, 1))
    assert panel._document.day == report.last_day
    panel.view.ask_day(date(1990, 1, 1))
    assert panel._document.day == report.first_day
    first, last = panel.view.day_range
    assert first <= report.first_day.toordinal() <= last


def test_space_plays_and_hiding_stops(panel: SeasonPanel, qtbot: QtBot) -> None:
    document = panel._document
    begin = document.day
    QTest.keyClick(panel.view, Qt.Key.Key_Space)
    assert panel.player.is_playing
    assert panel._actions["play_season"].iconText() == "■ Stop"
    qtbot.waitUntil(lambda: document.day > begin, timeout=3000)
    QTest.keyClick(panel.view, Qt.Key.Key_Space)
    assert not panel.player.is_playing
    QTest.keyClick(panel.view, Qt.Key.Key_Space)
    panel.hide()
    assert not panel.player.is_playing


def test_a_yard_opens_on_its_best_day_and_plays_from_its_first_colour(
    document: Document, service: SeasonService, qtbot: QtBot
) -> None:
    fresh = SeasonPanel(document, service, today=lambda: date(2026, 11, 25))
    qtbot.addWidget(fresh)
    fresh.show()
    qtbot.waitUntil(lambda: fresh._shown.report is not None, timeout=10_000)
    report = fresh._shown.report
    assert report is not None
    assert document.day == best_day(report)
    season = days_of_colour(report)
    assert season is not None
    asked: list[date] = []
    fresh.player.day_asked.connect(asked.append)
    fresh.play_or_stop()
    assert asked[0] == season[0]
    fresh.player.advance(100.0)
    assert asked[-1] == season[1]
    document.look_at(date(2027, 3, 3))  # a day chosen by hand is where the film goes on
    fresh.play_or_stop()
    assert asked[-1] == date(2027, 3, 3)
    fresh.player.stop()
    service.refresh()
    assert document.day == date(2027, 3, 3)
    fresh.stop()


# Planting days


def test_dragging_the_marker_changes_the_planting_day_in_one_step(
    panel: SeasonPanel, document: Document
) -> None:
    layer = forecast(panel, 4)
    before = document.yard
    start = on_marker(panel, layer)
    days = panel.view.days()
    assert hit_at(panel.view, QPointF(start)).kind == "planting"
    drag(panel, start, start + QPoint(round(20 * days.per_day), 0))
    moved = document.yard.layer(layer.layer_id)[1].planted
    assert moved - layer.planted == timedelta(days=20)
    assert document.layer_id == layer.layer_id
    assert document.undo_stack.count() == 1
    assert document.undo_stack.undoText() == "Change planting day"
    document.undo_stack.undo()
    assert document.yard == before


def test_escape_puts_a_held_marker_back(panel: SeasonPanel, document: Document) -> None:
    layer = forecast(panel, 4)
    before = document.yard
    start = on_marker(panel, layer)
    port = panel.view.viewport()
    QTest.mousePress(port, LEFT, NONE, start)
    QTest.mouseMove(port, start + QPoint(60, 0))
    assert document.yard != before
    QTest.keyClick(panel.view, Qt.Key.Key_Escape)
    assert document.yard == before
    QTest.mouseMove(port, start + QPoint(90, 0))
    QTest.mouseRelease(port, LEFT, NONE, start + QPoint(90, 0))
    assert document.yard == before


def test_the_day_line_drags_the_days_along_at_the_edge(panel: SeasonPanel) -> None:
    panel.view.zoom(4)
    window = panel.view.day_range
    rect = panel.view.plot_rect()
    flag = panel.view.day_line.flag_rect().center().toPoint()
    drag(panel, flag, QPoint(round(rect.right()) + 40, flag.y()))
    assert panel.view.day_range[0] > window[0]
    assert panel.view.day_line.isVisible()


def test_a_layer_that_is_gone_before_the_report_knows_is_left_alone(
    panel: SeasonPanel, document: Document, qtbot: QtBot
) -> None:
    layer = forecast(panel, 4)
    start, bar = on_marker(panel, layer), on_bar(panel, layer)
    panel._shown.planted.clear()  # as while a report is being worked out
    with qtbot.assertNotEmitted(panel.details_requested):
        drag(panel, start, start + QPoint(50, 0))
        QTest.mouseDClick(panel.view.viewport(), LEFT, NONE, bar)
    assert document.undo_stack.count() == 0
    assert document.layer_id is None


def test_two_drags_are_two_steps(panel: SeasonPanel, document: Document) -> None:
    for _ in range(2):
        start = on_marker(panel, forecast(panel, 4))
        drag(panel, start, start + QPoint(round(9 * panel.view.days().per_day), 0))
    assert document.undo_stack.count() == 2


def test_the_row_stays_under_the_hand_and_the_zoom_stays(
    panel: SeasonPanel, service: SeasonService, qtbot: QtBot
) -> None:
    panel.view.zoom(1.4, around=date(2026, 11, 1).toordinal())
    window = panel.view.day_range
    layer = forecast(panel, 0)
    start = on_marker(panel, layer)
    port = panel.view.viewport()
    y = y_of(panel, layer)
    QTest.mousePress(port, LEFT, NONE, start)
    with qtbot.waitSignal(service.report_ready, timeout=5000):
        QTest.mouseMove(port, start + QPoint(round(60 * panel.view.days().per_day), 0))
    assert y_of(panel, layer) == y
    assert panel.view.day_range == window
    QTest.mouseRelease(port, LEFT, NONE, start + QPoint(300, 0))
    assert panel.view.day_range == window


def test_keys_change_the_planting_day_of_the_selected_layer(
    panel: SeasonPanel, document: Document
) -> None:
    layer = forecast(panel, 4)
    QTest.keyClick(panel.view, Qt.Key.Key_Right, ALT)
    assert document.undo_stack.count() == 0  # nothing is selected
    document.select(layer_id=layer.layer_id)
    QTest.keyClick(panel.view, Qt.Key.Key_Right, ALT)
    QTest.keyClick(panel.view, Qt.Key.Key_Right, ALT | SHIFT)
    QTest.keyClick(panel.view, Qt.Key.Key_Left, ALT)
    planted = document.yard.layer(layer.layer_id)[1].planted
    assert planted - layer.planted == timedelta(days=7)
    assert document.undo_stack.count() == 1  # quick presses belong together
    document.undo_stack.undo()
    assert document.yard.layer(layer.layer_id)[1].planted == layer.planted


# Zoom and pan


def test_ctrl_wheel_zooms_round_the_pointer(panel: SeasonPanel) -> None:
    at = QPoint(600, 300)
    before = panel.view.days()
    wheel(panel, at, 240, CTRL)
    after = panel.view.days()
    assert after.per_day > before.per_day * 1.2
    assert after.number_at(at.x()) == pytest.approx(before.number_at(at.x()), abs=0.01)
    QTest.keyClick(panel.view, Qt.Key.Key_F)
    assert panel.view.days() == before


def test_wheel_scrolls_and_shift_wheel_pans(panel: SeasonPanel) -> None:
    panel.view.zoom(2)
    first = panel.view.day_range[0]
    wheel(panel, QPoint(600, 300), -120)
    assert panel.view.scroll_bar.value() > 0
    assert panel.view.day_range[0] == first
    wheel(panel, QPoint(600, 300), -120, SHIFT)
    assert panel.view.day_range[0] > first


def test_dragging_empty_space_pans(panel: SeasonPanel) -> None:
    panel.view.zoom(2)
    days = panel.view.days()
    y = round(panel.view.rows_top() + panel._shown.rows.middle(0))  # a heading
    at = QPoint(round(panel.view.plot_rect().left()) + 300, y)
    drag(panel, at, at + QPoint(round(-10 * days.per_day), 0))
    assert panel.view.day_range[0] == pytest.approx(days.first + 10, abs=0.6)


def test_plus_and_minus_zoom_and_no_further_than_it_makes_sense(panel: SeasonPanel) -> None:
    begin = panel.view.day_range
    QTest.keyClick(panel.view, Qt.Key.Key_Plus)
    assert panel.view.day_range[1] - panel.view.day_range[0] < begin[1] - begin[0]
    for _ in range(30):
        QTest.keyClick(panel.view, Qt.Key.Key_Plus)
    assert panel.view.day_range[1] - panel.view.day_range[0] == pytest.approx(14)
    for _ in range(60):
        QTest.keyClick(panel.view, Qt.Key.Key_Minus)
    report = panel._shown.report
    assert report is not None
    assert panel.view.day_range == (
        report.first_day.toordinal(),
        report.last_day.toordinal() + 1,
    )


def test_zoom_stays_when_the_report_changes_and_another_yard_is_fitted(
    panel: SeasonPanel, document: Document, service: SeasonService, qtbot: QtBot
) -> None:
    fitted = panel.view.day_range
    panel.view.zoom(2)
    window = panel.view.day_range
    layer = forecast(panel, 4)
    with qtbot.waitSignal(service.report_ready, timeout=5000):
        document.edit(
            "x", lambda yard: edits.set_planted(yard, [layer.layer_id], date(2026, 12, 24))
        )
    assert panel.view.day_range == window
    one = document.yard.pots[0]
    layers = tuple(x.model_copy(update={"id": f"new-{x.id}"}) for x in one.layers)
    other = document.yard.model_copy(
        update={"pots": (one.model_copy(update={"layers": layers}),), "records": ()}
    )
    with qtbot.waitSignal(service.report_ready, timeout=5000):
        document.replace(other, path=None, seen=None)
    assert panel.view.day_range != window
    assert panel.view.day_range[1] <= fitted[1]


# Selection and details


def test_a_click_selects_and_a_double_click_asks_for_details(
    panel: SeasonPanel, document: Document, qtbot: QtBot
) -> None:
    layer = forecast(panel, 1)
    port = panel.view.viewport()
    QTest.mouseClick(port, LEFT, NONE, on_bar(panel, layer))
    assert document.layer_id == layer.layer_id
    assert document.pot_id == layer.pot_id
    with qtbot.waitSignal(panel.details_requested) as asked:
        QTest.mouseDClick(port, LEFT, NONE, on_bar(panel, layer))
    assert asked.args == [layer.layer_id]
    heading = QPoint(40, round(panel.view.row_y(0)))
    QTest.mouseClick(port, LEFT, NONE, heading)
    assert document.layer_id is None
    assert document.pot_id == panel._shown.rows.rows[0].pot.pot_id


def test_the_selected_row_is_outlined_and_scrolled_into_view(panel: SeasonPanel) -> None:
    last = panel._shown.rows.rows[-1].layer
    assert last is not None
    assert y_of(panel, last) > panel.view.viewport().height()
    before = panel.view.grab().toImage()
    panel._document.select(layer_id=last.layer_id)
    assert y_of(panel, last) < panel.view.viewport().height()
    assert panel.view.grab().toImage() != before


def test_keys_alone_choose_a_layer_and_open_it(
    panel: SeasonPanel, document: Document, qtbot: QtBot
) -> None:
    QTest.keyClick(panel.view, Qt.Key.Key_Down)
    QTest.keyClick(panel.view, Qt.Key.Key_Down)
    rows = [row.layer for row in panel._shown.rows.rows if row.layer is not None]
    assert document.layer_id == rows[1].layer_id
    QTest.keyClick(panel.view, Qt.Key.Key_Up)
    assert document.layer_id == rows[0].layer_id
    with qtbot.waitSignal(panel.details_requested) as asked:
        QTest.keyClick(panel.view, Qt.Key.Key_Return)
    assert asked.args == [rows[0].layer_id]
    assert rows[0].name in panel.view.accessibleDescription()


# Tooltips


def test_the_tooltip_says_why(panel: SeasonPanel) -> None:
    layer = next(one for one in panel._shown.report.layers if one.cold_met_on and one.advice)
    panel.view.show_selection()
    words = tip_at(panel.view, QPointF(on_bar(panel, layer)))
    report, say = panel._shown.report, panel._words
    assert layer.start is not None
    for part in (
        layer.name.split("'")[0],
        say.band(layer.start),
        say.day(layer.cold_met_on),
        say.number(layer.cold_weeks, 1),
        say.number(layer.cold_weeks_needed, 1),
        report.station_id,
        report.place_label,
        report.weather_label,
        layer.date_source.split(":")[0],
        layer.advice[0].message[10:40],
    ):
        assert part in words


def test_a_real_help_event_shows_the_tooltip(
    panel: SeasonPanel, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []
    # The offscreen platform can't raise a tooltip's window.
    monkeypatch.setattr(QToolTip, "showText", lambda at, words, *_: told.append(words))
    port = panel.view.viewport()
    for at in (on_bar(panel, forecast(panel, 1)), QPoint(30, 20)):
        QApplication.sendEvent(port, QHelpEvent(QEvent.Type.ToolTip, at, port.mapToGlobal(at)))
    assert "weeks" in told[0]
    assert "in flower on each day" in told[1]


def test_bare_and_crowded_stretches_tell_their_days(panel: SeasonPanel) -> None:
    report, view = panel._shown.report, panel.view
    assert report is not None
    assert report.bare
    assert report.crowded
    top = panel._shown.look.axis_height
    _, base = view.strip.field()
    for stretch, y, word in (
        (report.bare[0], top + base + 6, "bare"),
        (report.crowded[0], top + 3, "crowded"),
    ):
        middle = stretch.first + (stretch.last - stretch.first) / 2
        words = tip_at(view, QPointF(view.days().middle_of(middle), y))
        assert word in words
        assert str(stretch.days) in words
        if word == "bare":
            low, high = round(report.bare_days.p10), round(report.bare_days.p90)
            assert f"{round(report.bare_days.expected)} ({low}–{high} in eight" in words


def test_names_and_headings_tell_in_full_what_is_cut(panel: SeasonPanel) -> None:
    row = panel._shown.rows.rows[0]
    words = tip_at(panel.view, QPointF(20, panel.view.row_y(0)))
    assert row.pot.name in words
    assert row.pot.summary in words
    layer = forecast(panel, 0)
    assert layer.name.split("'")[0] in tip_at(panel.view, QPointF(20, y_of(panel, layer)))


def test_records_are_ticks_with_their_own_words(
    panel: SeasonPanel, document: Document, qtbot: QtBot
) -> None:
    layer = forecast(panel, 0)
    before = panel.view.grab().toImage()
    seen = Record(
        id="record-90", day=date(2027, 3, 2), layer_id=layer.layer_id, seen="nose", note="Slow."
    )
    document.edit("Note", lambda yard: edits.add_record(yard, seen))
    at = QPointF(panel.view.days().middle_of(seen.day), y_of(panel, layer))
    hit = hit_at(panel.view, at)
    assert hit.kind == "record"
    words = tip_at(panel.view, at)
    assert "nose showing" in words
    assert "Slow." in words
    qtbot.waitUntil(lambda: panel.view.grab().toImage() != before)


def test_a_layer_without_flower_says_so_and_keeps_its_marker(
    panel: SeasonPanel, document: Document, service: SeasonService, qtbot: QtBot
) -> None:
    layer = forecast(panel, 1)
    with qtbot.waitSignal(service.report_ready, timeout=5000):
        document.edit("x", lambda yard: edits.set_planted(yard, [layer.layer_id], date(2027, 4, 1)))
    barren = next(one for one in panel._shown.report.layers if one.layer_id == layer.layer_id)
    assert barren.start is None
    assert barren.reason
    at = on_marker(panel, barren)
    assert hit_at(panel.view, QPointF(at)).kind == "planting"
    words = tip_at(panel.view, QPointF(panel.view.plot_rect().right() - 20, at.y()))
    assert barren.reason[3:30] in words
    panel.view.grab()


def test_the_day_line_leaves_words_out() -> None:
    assert pieces(10.0, 100.0, around=[(40.0, 50.0), (20.0, 30.0)]) == [
        (10.0, 20.0),
        (30.0, 40.0),
        (50.0, 100.0),
    ]
    # Words that overlap or stick out leave no crumbs of the line between them.
    around = [(0.0, 12.0), (14.0, 30.0), (25.0, 28.0), (95.0, 120.0)]
    assert pieces(10.0, 100.0, around=around) == [(30.0, 95.0)]
    assert pieces(10.0, 100.0, around=[]) == [(10.0, 100.0)]


def test_words_under_the_day_line_are_not_struck_through(panel: SeasonPanel) -> None:
    look, line = panel.view.shown.look, panel.view.day_line
    accent = QColor(look.tone.accent)
    panel._document.look_at(panel.view.days().day_at(panel.view.plot_rect().left() + 60))
    ratio = panel.view.devicePixelRatioF()
    picture = panel.view.grab().toImage()
    begin, end = panel.view.shown.rows.span(0)
    top = panel.view.rows_top() - panel.view.rows.top()

    def is_line(y: float) -> bool:
        seen = picture.pixelColor(round(line.x() * ratio), round(y * ratio))
        return abs(seen.red() - accent.red()) + abs(seen.green() - accent.green()) < 40

    # A pot's heading says what the pot is made of there; the row below is empty in autumn.
    assert not is_line(top + (begin + end) / 2)
    assert is_line(top + end + 3)


def test_the_column_of_names_is_as_wide_as_the_names(panel: SeasonPanel) -> None:
    names, view = panel.view.names, panel.view
    assert names.width() == pytest.approx(names.wanted_width(), abs=1.0)
    before = names.width()
    panel.resize(520, 560)  # the days keep most of a narrow one
    assert names.width() == pytest.approx(view.viewport().width() * 0.35, abs=1.0)
    assert names.width() < before


def test_a_pot_is_told_in_the_yards_units(panel: SeasonPanel) -> None:
    report = panel.view.shown.report
    assert report is not None
    pot = report.pots[0]
    assert panel.view.shown.summary(pot) == pot.summary and " cm, " in pot.summary

    def in_inches(yard: Yard) -> Yard:
        settings = yard.settings.model_copy(update={"units": "imperial"})
        return yard.model_copy(update={"settings": settings})

    panel._document.edit("Inches", in_inches)
    # 58 and 38 cm at 2.54 cm to the inch (NIST Special Publication 811, appendix B).
    assert pot.name == "Half barrel by the gate"
    assert "round 22.8 × 15 in, " in panel.view.shown.summary(pot)


def test_a_row_scrolled_into_view_leaves_no_half_row_on_top(panel: SeasonPanel) -> None:
    panel.resize(1000, 420)
    rows, bar = panel.view.shown.rows, panel.view.scroll_bar
    tops = {round(rows.span(index)[0]) for index in range(len(rows.rows))}
    assert bar.maximum() > 0
    for index, row in enumerate(rows.rows):
        if row.layer is None:
            continue
        panel._document.select(layer_id=row.layer.layer_id)
        begin, end = rows.span(index)
        assert bar.value() <= begin and end <= bar.value() + bar.pageStep()
        assert bar.value() in tops or bar.value() == bar.maximum()


def test_a_pot_without_plants_is_called_empty(panel: SeasonPanel) -> None:
    report = panel.view.shown.report
    assert report is not None
    pot = report.pots[0]
    assert panel.view.words.weeks_of_colour(pot).endswith(" weeks of colour")
    bare = replace(pot, layers=(), companions=())
    assert panel.view.words.weeks_of_colour(bare) == "empty"
