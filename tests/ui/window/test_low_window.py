"""What is asked for stays to be seen in a low window."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint


@pytest.mark.parametrize("legend", [False, True])
def test_rows_of_the_season_stay_above_the_places(window, qtbot, legend):
    """At 1280 × 720 four rows are seen between the flowers by day and the places."""
    window.resize(1280, 720)
    window.legend.setVisible(legend)
    window.stage.lanes.setChecked(True)
    look = window.season.view.shown.look
    lanes, view = window.stage._lanes, window.season.view
    qtbot.waitUntil(lambda: lanes.watch.plan is not None, timeout=20_000)
    qtbot.waitUntil(lambda: view.rows_box.sceneBoundingRect().height() >= 4 * look.row_height - 2.0)
    assert window.height() == 720
    assert lanes.height() >= lanes.minimumSizeHint().height()
    top = lanes.mapTo(window.season, QPoint(0, 0)).y()
    assert view.mapTo(window.season, QPoint(0, view.height())).y() <= top
    window.stage.lanes.setChecked(False)
