"""The focus frame comes and goes as a whole, whatever moves under it."""

from __future__ import annotations

from datetime import timedelta

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication, QLineEdit, QVBoxLayout, QWidget

from bloomline.ui.season.panel import SeasonPanel


@pytest.fixture
def beside(document, service, qtbot):
    """A season panel and a field beside it, in one window."""
    window = QWidget()
    panel, field = SeasonPanel(document, service, window), QLineEdit(window)
    column = QVBoxLayout(window)
    column.addWidget(panel)
    column.addWidget(field)
    qtbot.addWidget(window)
    window.resize(800, 400)
    window.show()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow, timeout=5000)
    yield window, panel, field
    panel.stop() if hasattr(panel, "stop") else None


def on_screen(window: QWidget) -> QImage:
    """What is seen of a window, fragments and all."""
    for _ in range(3):
        QApplication.processEvents()
    return window.windowHandle().screen().grabWindow(window.winId()).toImage()


def wrong(window: QWidget, view: QWidget) -> int:
    """How many pixels round the edge of a view are seen other than they would be painted anew."""
    seen, fresh = on_screen(window), window.grab().toImage()
    at, size = view.mapTo(window, QPoint(0, 0)), view.size()
    edge = {
        (x, y)
        for x in range(size.width())
        for y in range(size.height())
        if min(x, y, size.width() - 1 - x, size.height() - 1 - y) < 4
    }
    return sum(
        seen.pixel(at.x() + x, at.y() + y) != fresh.pixel(at.x() + x, at.y() + y) for x, y in edge
    )


def test_no_piece_of_the_frame_is_left_when_the_focus_goes_and_the_day_moves(beside, document):
    window, panel, field = beside
    viewport = panel.view.viewport()
    panel.view.setFocus()
    assert wrong(window, viewport) == 0
    with_frame = on_screen(window)
    field.setFocus()
    assert wrong(window, viewport) == 0
    assert on_screen(window) != with_frame
    for _ in range(12):
        document.look_at(document.day + timedelta(days=3))
        on_screen(window)
    assert wrong(window, viewport) == 0
    panel.view.setFocus()
    for _ in range(12):
        document.look_at(document.day - timedelta(days=5))
        on_screen(window)
    assert wrong(window, viewport) == 0
