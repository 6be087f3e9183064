"""The strip on a real yard: slides, search, undo, and nothing that answers itself."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QStandardItemModel
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialogButtonBox, QWidget
from pytestqt.qtbot import QtBot

from bloomline.model import edits
from bloomline.model.yard import OwnNormals, PlaceChoice
from bloomline.plan.climate.garden import garden_of
from bloomline.ui.conditions.looking import LookingBar
from bloomline.ui.conditions.position import PositionDialog
from bloomline.ui.conditions.slider import GestureSlider
from bloomline.ui.conditions.strip import ConditionsStrip
from bloomline.ui.conditions.words import choice_of
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.ui.units import Units

LEFT = Qt.MouseButton.LeftButton
# What the offscreen platform says when a list drops down.
OFFSCREEN_LIST = "This plugin does not support (raise|grabbing the keyboard)"
HOBART = PlaceChoice(name="Hobart", latitude_deg=-42.88, longitude_deg=147.33, elevation_m=60.0)


def _shown(strip: ConditionsStrip, qtbot: QtBot) -> ConditionsStrip:
    qtbot.addWidget(strip)
    strip.resize(1280, 110)
    strip.show()
    qtbot.waitExposed(strip)
    strip.activateWindow()
    return strip


@pytest.fixture
def strip(document: Document, service: SeasonService, qtbot: QtBot) -> Iterator[ConditionsStrip]:
    strip = _shown(ConditionsStrip(document, service), qtbot)
    yield strip
    strip.stop()
    strip.stop()


@pytest.fixture
def empty_strip(
    empty_document: Document, empty_service: SeasonService, qtbot: QtBot
) -> Iterator[ConditionsStrip]:
    strip = _shown(ConditionsStrip(empty_document, empty_service), qtbot)
    yield strip
    strip.stop()


def drag(slider: GestureSlider, *to: int) -> None:
    QTest.mousePress(slider, LEFT, pos=slider.handle_centre().toPoint())
    for value in to:
        QTest.mouseMove(slider, QPoint(round(slider._x_of(value)), slider.height() // 2))
    QTest.mouseRelease(slider, LEFT, pos=QPoint(round(slider._x_of(to[-1])), 4))


# Region


def test_a_slide_only_looks_until_the_yard_is_moved(
    strip: ConditionsStrip, document: Document, qtbot: QtBot
) -> None:
    bar = LookingBar(document)
    qtbot.addWidget(bar)
    assert bar.isHidden()
    slider, before = strip.region.slider, document.yard
    start = slider.value()
    assert strip.region.stops[start].station.station_id == before.place.station_id
    drag(slider, 10, 2, 0)
    first = strip.region.stops[0].station
    assert document.yard is before and document.undo_stack.count() == 0
    assert document.place_looked_at == document.seen_outlook.yard.place == choice_of(first)
    assert first.name in strip.region.group.value.text()
    assert not bar.isHidden() and first.name in bar.words.text()
    assert before.place.name in bar.words.text()
    bar.back_button.click()
    assert document.place_looked_at is None and bar.isHidden()
    assert slider.value() == start
    drag(slider, 0)
    bar.move_button.click()
    assert document.yard.place == choice_of(first) and bar.isHidden()
    assert document.undo_stack.count() == 1
    document.undo_stack.undo()
    assert document.yard.place == before.place
    assert slider.value() == start


def test_looking_elsewhere_never_overwrites_a_typed_position(
    strip: ConditionsStrip, document: Document
) -> None:
    typed = PlaceChoice(name="My garden", latitude_deg=52.2, longitude_deg=0.1, elevation_m=31.0)
    document.set_place(typed)
    drag(strip.region.slider, 3)
    assert document.place_looked_at is not None
    document.edit("Rename", lambda yard: edits.rename_yard(yard, "Other"))
    assert document.yard.place == typed
    assert document.place_looked_at is not None, "another edit doesn't end the look"
    document.look_at_place(None)
    assert document.seen_outlook.yard is document.yard
    assert document.yard.place == typed


def test_keys_slide_through_the_region(strip: ConditionsStrip, document: Document) -> None:
    strip.region.slider.setFocus()
    QTest.keyClick(strip.region.slider, Qt.Key.Key_End)
    assert document.place_looked_at == choice_of(strip.region.stops[-1].station)
    QTest.keyClick(strip.region.slider, Qt.Key.Key_Left)
    assert document.place_looked_at == choice_of(strip.region.stops[-2].station)
    assert document.is_clean


def test_sliding_reaches_the_report(
    strip: ConditionsStrip, service: SeasonService, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(service.report_ready, timeout=10_000):
        QTest.keyClick(strip.region.slider, Qt.Key.Key_Home)
    qtbot.waitUntil(lambda: not service.is_busy, timeout=10_000)
    report = service.report
    assert report is not None
    assert report.station_id == strip.region.stops[0].station.station_id


def test_another_country_changes_nothing_until_it_is_slid(
    strip: ConditionsStrip, document: Document
) -> None:
    before = document.yard
    strip.region.choose_country("Italy")
    assert document.yard is before
    assert strip.region.slider.is_pale
    assert {stop.station.country for stop in strip.region.stops} == {"Italy"}
    document.edit("Rename", lambda yard: edits.rename_yard(yard, "Other"))
    assert strip.region.choice.currentData() == "Italy"  # another edit doesn't take it back
    QTest.mouseClick(strip.region.slider, LEFT, pos=strip.region.slider.handle_centre().toPoint())
    assert garden_of(document.seen_outlook.yard.place).station_id in {
        stop.station.station_id for stop in strip.region.stops
    }
    assert not strip.region.slider.is_pale
    document.look_at_place(None)
    assert strip.region.choice.currentData() == "United Kingdom"
    assert document.yard.place == before.place


def test_a_circle_stays_while_the_yard_slides_through_it(
    strip: ConditionsStrip, document: Document
) -> None:
    strip.region.choice.setCurrentIndex(strip.region.choice.findData(100.0))
    stops = strip.region.stops
    assert 1 < len(stops) < 60
    drag(strip.region.slider, 0, len(stops) - 1)
    assert strip.region.stops is stops
    assert document.place_looked_at == choice_of(stops[-1].station)
    document.set_place(HOBART)
    assert strip.region.stops is not stops
    assert all(stop.station.latitude_deg < 0 for stop in strip.region.stops)


def test_a_southern_place(strip: ConditionsStrip, document: Document) -> None:
    document.set_place(HOBART)
    assert strip.region.choice.currentData() == "Australia"
    stop = strip.region.stops[strip.region.slider.value()]
    assert stop.spring_day is not None and stop.spring_day.month in (7, 8, 9)
    document.select(layer_id="layer-1")
    # Planted in October 2026: before this southern season, so it is established there.
    assert not strip.start.slider.isEnabled()
    document.edit("Plant", lambda y: edits.set_planted(y, ["layer-1"], date(2027, 5, 1)))
    assert strip.start.slider.isEnabled()
    QTest.keyClick(strip.start.slider, Qt.Key.Key_Home)
    assert document.yard.layer("layer-1")[1].planted == date(2027, 2, 1)


def test_own_normals_stand_beside_the_places(strip: ConditionsStrip, document: Document) -> None:
    normals = OwnNormals(tmax_c=(8.0,) * 3 + (18.0,) * 9, tmin_c=(2.0,) * 3 + (9.0,) * 9)
    place = PlaceChoice(name="Valley", latitude_deg=52.0, longitude_deg=0.0, own_normals=normals)
    document.set_place(place)
    assert strip.region.slider.is_pale
    assert not strip.place.elevation.isEnabled()
    document.undo_stack.undo()
    assert not strip.region.slider.is_pale
    assert strip.place.elevation.isEnabled()


# Place


def _type(strip: ConditionsStrip, text: str, qtbot: QtBot) -> None:
    strip.place.search.setFocus()
    strip.place.search.selectAll()
    QTest.keyClicks(strip.place.search, text)
    places = strip.place.search.places
    qtbot.waitUntil(lambda: places.answer is not None and places.answer.text == text)


def _hide_list(strip: ConditionsStrip) -> None:
    popup = strip.place.search.completer().popup()
    assert popup is not None
    popup.hide()


@pytest.mark.qt_log_ignore(OFFSCREEN_LIST)
def test_search_forgives_accents(strip: ConditionsStrip, document: Document, qtbot: QtBot) -> None:
    _type(strip, "zurich", qtbot)
    assert any("Zürich" in label for label in strip.place.search.suggestions())
    QTest.keyClick(strip.place.search, Qt.Key.Key_Return)
    _hide_list(strip)
    assert document.seen_outlook.yard.place.name.startswith("Zürich")
    assert strip.region.choice.currentData() == "Switzerland"
    assert strip.place.search.text() == document.yard.place.name
    assert document.undo_stack.count() == 0


@pytest.mark.qt_log_ignore(OFFSCREEN_LIST)
def test_a_place_of_the_list_is_taken(
    strip: ConditionsStrip, document: Document, qtbot: QtBot
) -> None:
    _type(strip, "zurich", qtbot)
    second = strip.place.search.suggestions()[1]
    popup = strip.place.search.completer().popup()
    assert popup is not None and popup.isVisible()
    QTest.keyClick(popup, Qt.Key.Key_Down)
    QTest.keyClick(popup, Qt.Key.Key_Down)
    QTest.keyClick(popup, Qt.Key.Key_Return)
    assert not popup.isVisible()
    assert second.startswith(document.seen_outlook.yard.place.name)
    assert document.undo_stack.count() == 0


@pytest.mark.qt_log_ignore(OFFSCREEN_LIST)
def test_a_name_nobody_knows_is_said(
    strip: ConditionsStrip, document: Document, qtbot: QtBot
) -> None:
    told: list[str] = []
    document.refused.connect(told.append)
    before = document.yard
    _type(strip, "qqxyzzy", qtbot)
    QTest.keyClick(strip.place.search, Qt.Key.Key_Return)
    assert document.yard is before
    assert "qqxyzzy" in told[0] and "qqxyzzy" in strip.place.station.text()
    QTest.keyClick(strip.place.search, Qt.Key.Key_Escape)
    assert strip.place.search.text() == before.place.name


@pytest.mark.qt_log_ignore(OFFSCREEN_LIST)
def test_of_several_places_of_a_name_none_is_taken_unasked(
    strip: ConditionsStrip, document: Document, qtbot: QtBot
) -> None:
    told: list[str] = []
    document.refused.connect(told.append)
    _type(strip, "richmond", qtbot)
    QTest.keyClick(strip.place.search, Qt.Key.Key_Return)
    assert document.place_looked_at is None and "choose one" in told[0]
    assert strip.place.search.text() == "richmond"
    popup = strip.place.search.completer().popup()
    assert popup is not None and popup.isVisible()
    QTest.keyClick(popup, Qt.Key.Key_Down)
    QTest.keyClick(popup, Qt.Key.Key_Down)
    QTest.keyClick(popup, Qt.Key.Key_Return)
    assert document.place_looked_at is not None
    # The yard is in Britain, so both of its Richmonds stand first.
    assert document.place_looked_at.name == "Richmond, North Yorkshire, England, United Kingdom"


@pytest.mark.qt_log_ignore(OFFSCREEN_LIST)
def test_enter_waits_for_the_answer_and_then_takes_what_is_clear(
    strip: ConditionsStrip, document: Document, qtbot: QtBot
) -> None:
    strip.place.search.setFocus()
    strip.place.search.selectAll()
    QTest.keyClicks(strip.place.search, "york")
    QTest.keyClick(strip.place.search, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: document.place_looked_at is not None)
    _hide_list(strip)
    place = document.place_looked_at
    assert place is not None and place.name == "York, England, United Kingdom"
    assert place.station_id is None and place.elevation_m is None
    document.set_place(place)
    assert strip.place.elevation.text() == "about 17 m"
    assert "by 6 stations, mostly Linton-on-Ouse" in strip.place.station.text()
    # The slider has its own spring, not that of the nearest station.
    assert strip.region.group.value.text().startswith("York, 17 m · spring ")
    assert not strip.region.slider.is_pale
    tip = strip.place.station.toolTip()
    assert "Leeming" in tip and "guessed from the towns around" in tip
    QTest.keyClick(strip.place.elevation, Qt.Key.Key_Up)
    assert document.yard.place.elevation_m == 27.0
    assert strip.place.elevation.text() == "27 m"


def test_height_is_merged_and_taken_back(strip: ConditionsStrip, document: Document) -> None:
    box = strip.place.elevation
    assert box.value() == 107.0
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Up)
    QTest.keyClick(box, Qt.Key.Key_Up)
    assert document.yard.place.elevation_m == 127.0
    assert document.undo_stack.count() == 1
    assert garden_of(document.yard.place).rise_m == pytest.approx(20.0)
    document.undo_stack.undo()
    assert box.value() == 107.0
    box.setValue(200.0)
    box.setValue(107.0)
    assert document.yard.place.elevation_m is None  # the station's own height


def test_height_in_feet(strip: ConditionsStrip, document: Document) -> None:
    document.edit("Units", lambda yard: edits.change_settings(yard, units="imperial"))
    box = strip.place.elevation
    assert box.value() == 351.0  # 107 m / 0.3048
    box.setValue(1000.0)
    assert document.yard.place.elevation_m == 305.0  # 304.8 m
    assert "mi" in strip.region.choice.itemText(0)


def test_own_position(strip: ConditionsStrip, document: Document, qtbot: QtBot) -> None:
    dialog = PositionDialog(
        garden_of(document.yard.place), name="My garden", units=Units(), parent=strip
    )
    qtbot.addWidget(dialog)
    dialog.latitude.setValue(47.05)
    dialog.longitude.setValue(8.31)
    dialog.elevation.setValue(440.0)
    assert "km away" in dialog.station.text()
    document.set_place(dialog.choice())
    garden = garden_of(document.yard.place)
    assert garden.latitude_deg == 47.05 and garden.elevation_m == 440.0
    assert strip.place.search.text() == "My garden"
    assert garden.station_name in strip.place.station.text()
    assert strip.region.choice.currentData() == "Switzerland"
    dialog.name.setText("  ")
    ok = dialog.buttons.button(QDialogButtonBox.StandardButton.Ok)
    assert not ok.isEnabled()


def test_a_town_fills_the_own_position(
    strip: ConditionsStrip, document: Document, qtbot: QtBot
) -> None:
    home = document.yard.place
    dialog = PositionDialog(
        garden_of(home), name="My garden", units=Units(), home=home, parent=strip
    )
    qtbot.addWidget(dialog)
    QTest.keyClicks(dialog.chooser.search, "bath")
    qtbot.waitUntil(lambda: dialog.chooser.found() is not None)
    assert dialog.name.text() == "Bath, England, United Kingdom"
    assert (dialog.latitude.value(), dialog.longitude.value()) == (51.375, -2.362)
    assert dialog.elevation.text() == "about 96 m" and "guessed" in dialog.station.text()
    assert dialog.choice().elevation_m is None and dialog.choice().station_id is None
    dialog.elevation.setValue(150.0)
    assert dialog.elevation.text() == "150 m" and "guessed" not in dialog.station.text()
    dialog.name.setText("Hill Street")
    chosen = dialog.choice()
    assert (chosen.name, chosen.elevation_m) == ("Hill Street", 150.0)
    # A town of the yard's own country is meant; one elsewhere of that name is a choice.
    dialog.chooser.search.clear()
    QTest.keyClicks(dialog.chooser.search, "portland")
    qtbot.waitUntil(lambda: dialog.chooser.found() is not None)
    assert dialog.name.text() == "Portland, England, United Kingdom"
    dialog.stop()
    dialog.stop()


def test_the_position_dialog_opens_and_cancels(
    strip: ConditionsStrip, document: Document, qtbot: QtBot
) -> None:
    from PySide6.QtCore import QTimer

    seen: list[QWidget] = []

    def close() -> None:
        dialog = QApplication.activeModalWidget()
        assert isinstance(dialog, PositionDialog)
        seen.append(dialog)
        dialog.reject()

    before = document.yard
    QTimer.singleShot(0, close)
    QTest.mouseClick(strip.place.position, LEFT)
    assert seen and document.yard is before


# Planting day


def test_whole_yard_is_planted_in_one_step(strip: ConditionsStrip, document: Document) -> None:
    before = document.yard
    assert strip.start.target == "yard"
    assert "2 stay" in strip.start.group.value.text()
    drag(strip.start.slider, 40, 80, 92)
    planted = {layer.id: layer.planted for _, layer in document.yard.layers()}
    assert planted["layer-17"] == date(2024, 10, 5)
    assert planted["layer-19"] == date(2027, 4, 3)
    others = {day for name, day in planted.items() if name not in ("layer-17", "layer-19")}
    # A pixel is about a day, so the mouse may land on a neighbour.
    assert others == {date(2026, 8, 1) + timedelta(days=strip.start.slider.value())}
    assert abs(strip.start.slider.value() - 92) <= 2
    assert document.undo_stack.count() == 1
    document.undo_stack.undo()
    assert document.yard == before


def test_start_follows_the_selection(strip: ConditionsStrip, document: Document) -> None:
    document.select(layer_id="layer-7")
    assert strip.start.target == "layer"
    assert strip.start.slider.value() == (date(2026, 10, 10) - date(2026, 8, 1)).days
    QTest.keyClick(strip.start.slider, Qt.Key.Key_Right)
    QTest.keyClick(strip.start.slider, Qt.Key.Key_PageUp)
    assert document.yard.layer("layer-7")[1].planted == date(2026, 10, 18)
    assert document.yard.layer("layer-8")[1].planted == date(2026, 10, 10)
    assert document.undo_stack.count() == 1
    document.undo_stack.undo()
    assert strip.start.slider.value() == 70
    strip.start.choice.setCurrentIndex(1)
    strip.start.choice.activated.emit(1)
    assert strip.start.target == "pot"
    QTest.keyClick(strip.start.slider, Qt.Key.Key_Home)
    assert {layer.planted for layer in document.yard.layer("layer-7")[0].layers} == {
        date(2026, 8, 1)
    }
    document.select()
    assert strip.start.target == "yard"
    model = strip.start.choice.model()
    assert isinstance(model, QStandardItemModel)
    assert [model.item(row).isEnabled() for row in range(3)] == [False, False, True]


# Weather


def test_years_from_coldest_to_warmest(strip: ConditionsStrip, document: Document) -> None:
    part = strip.weather
    assert part.all_years.isChecked() and part.slider.is_pale
    QTest.keyClick(part.slider, Qt.Key.Key_Home)
    assert document.weather_year == 0
    assert not part.all_years.isChecked()
    assert "coldest" in part.group.value.text()
    QTest.keyClick(part.slider, Qt.Key.Key_End)
    assert document.weather_year == 20
    assert "warmest" in part.group.value.text()
    document.look_at_weather_year(5)
    assert part.slider.value() == 5
    action = next(a for a in strip.actions() if a.objectName() == "action_all_weather_years")
    assert action.isEnabled()
    action.trigger()
    assert document.weather_year is None and part.all_years.isChecked()
    part.all_years.click()
    assert document.weather_year == 5
    assert document.undo_stack.count() == 0  # looking is no change


# The whole strip


def test_figures_are_those_of_the_report(
    strip: ConditionsStrip, document: Document, service: SeasonService, qtbot: QtBot
) -> None:
    report = service.report
    assert report is not None
    assert (
        strip.figures.colour.text() == f"{round(report.weeks_of_colour.expected)} weeks of colour"
    )
    assert f"{round(report.bare_days.expected)} bare days" in strip.figures.rest.text()
    tip = strip.figures.colour.toolTip()
    bare = report.bare_days
    words = (
        f"{round(bare.p10)}–{round(bare.p90)} in eight years of ten; {round(bare.coldest)} in the"
    )
    assert words in tip and "Crowded days" in tip
    before = strip.figures.state.text()
    with qtbot.waitSignal(service.report_ready, timeout=10_000):
        document.look_at_weather_year(0)
    assert strip.figures.state.text() != before
    assert "in this weather year alone" in strip.figures.colour.toolTip()
    assert "eight years of ten" not in strip.figures.colour.toolTip()


def test_an_empty_yard(empty_strip: ConditionsStrip, empty_document: Document) -> None:
    assert not empty_strip.start.slider.isEnabled()
    assert "nothing planted yet" in empty_strip.start.group.value.text()
    assert "nothing planted yet" in empty_strip.figures.colour.text()
    QTest.keyClick(empty_strip.region.slider, Qt.Key.Key_Home)
    assert empty_document.seen_outlook.yard.place == choice_of(empty_strip.region.stops[0].station)
    QTest.keyClick(empty_strip.weather.slider, Qt.Key.Key_End)
    assert empty_document.weather_year == 20


def test_another_file_moves_everything_without_an_edit(
    strip: ConditionsStrip, document: Document
) -> None:
    yard = edits.set_place(document.yard, HOBART)
    document.replace(yard, path=None, seen=None)
    assert document.undo_stack.count() == 0
    assert document.yard is yard
    assert strip.region.choice.currentData() == "Australia"
    assert strip.place.search.text() == "Hobart"


def test_everything_is_named_and_reached_by_key(strip: ConditionsStrip) -> None:
    for slider in (strip.region.slider, strip.start.slider, strip.weather.slider):
        assert slider.accessibleName() and slider.accessibleDescription()
        assert slider.focusPolicy() == Qt.FocusPolicy.StrongFocus
    headings = [part.group.heading for part in (strip.region, strip.start, strip.weather)]
    keys = [label.text()[label.text().index("&") + 1].lower() for label in headings]
    assert len(set(keys)) == 3
    assert all(label.buddy() is not None for label in headings)
    assert all(action.objectName().startswith("action_") for action in strip.actions())


def test_it_wraps_when_there_is_no_room(strip: ConditionsStrip) -> None:
    wide = strip.minimumSizeHint()
    assert wide.width() < 400
    rights = [p.geometry().right() for p in strip._parts]
    assert len({p.geometry().top() for p in strip._parts}) == 1 and max(rights) <= 1280
    strip.resize(700, 300)
    QApplication.processEvents()
    assert len({p.geometry().top() for p in strip._parts}) > 1
    assert max(p.geometry().right() for p in strip._parts) <= 700
