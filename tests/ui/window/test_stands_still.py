"""Strip and pots stand still when a box is ticked or a message comes."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, QRect
from PySide6.QtWidgets import QApplication, QWidget

from bloomline.model import edits
from bloomline.ui.conditions.words import choice_of
from bloomline.ui.window import MainWindow

DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"

Geometry = dict[str, tuple[object, ...]]


def geometry_of(window: MainWindow) -> Geometry:
    """Where the strip, its controls, the panels and every pot stand."""
    found: Geometry = {}
    panels = (
        window.conditions,
        window.pages,
        window.shelf,
        window.season.view,
        window.yard.canvas,
        window.details,
        window.statusBar(),
    )
    for panel in (*panels, *window.conditions.findChildren(QWidget)):
        if panel.isVisible():
            at = panel.mapTo(window, QPoint(0, 0))
            place = QRect(at, panel.size()).getRect()
            found[f"{type(panel).__name__} {panel.objectName()} {id(panel)}"] = place
    canvas = window.yard.canvas
    for placed in canvas.row.pots:
        found[placed.pot.id] = (canvas.view.origin_x + placed.left, placed.right, placed.rim)
    found["ground"] = (canvas.view.ground_y,)
    return found


def settled(window: MainWindow, hands) -> Geometry:
    hands.rest(window)
    for _ in range(3):
        QApplication.processEvents()
    return geometry_of(window)


def moved(before: Geometry, after: Geometry) -> dict[str, tuple[object, object]]:
    return {
        name: (place, after[name])
        for name, place in before.items()
        if name in after and after[name] != place
    }


@pytest.fixture(params=[(1280, 720), (1600, 1000), (1000, 700)])
def window(request, open_window) -> MainWindow:
    width, height = request.param
    return open_window(DEMO, width=width, height=height)


def test_nothing_moves_for_a_message_a_box_or_another_look(window, hands) -> None:
    document, weather = window.document, window.conditions.weather
    stations = window.conditions.region._stops
    elsewhere = choice_of(stations[0].station)
    steps: list[tuple[str, Callable[[], object]]] = [
        ("a message", lambda: window.say("The season is still being worked out")),
        ("one weather year", lambda: weather.all_years.setChecked(False)),
        ("another weather year", lambda: document.look_at_weather_year(0)),
        ("all weather years", lambda: weather.all_years.setChecked(True)),
        ("another place", lambda: document.look_at_place(elsewhere)),
        ("a message meanwhile", lambda: window.say("A message " * 30)),
        ("back again", lambda: document.look_at_place(None)),
        ("without records", lambda: document.look_with_records(False)),
        ("with records", lambda: document.look_with_records(True)),
        ("no pets", lambda: document.edit("x", lambda y: edits.change_settings(y, pets=False))),
        ("a day", lambda: document.look_at(document.day.replace(month=6))),
    ]
    before = settled(window, hands)
    assert len(before) > 30
    for name, step in steps:
        step()
        after = settled(window, hands)
        assert moved(before, after) == {}, name


def test_what_is_only_looked_at_is_told_with_room_for_all_of_it(window, hands) -> None:
    stations = window.conditions.region._stops
    window.document.look_at_place(choice_of(stations[0].station))
    settled(window, hands)
    looking = window.looking
    assert looking.isVisible()
    assert window.rect().contains(QRect(looking.mapTo(window, QPoint(0, 0)), looking.size()))
    assert looking.words.shown_text() == looking.words.text()
    assert window.document.yard.place.name in looking.words.text()
    assert "shopping list" in looking.accessibleDescription()
