"""What is asked for stays to be seen in a low window."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint


@pytest.mark.parametrize("legend", [False, True])
def test_rows_of_the_season_stay_above_the_places(dressed, window, qtbot, legend):
    """At 1280 × 720 four rows are seen between the flowers by day and the places."""
    window.resize(1280, 720)
    window.stage.lanes.setChecked(True)
    window.legend.setVisible(legend)
    look = window.season.view.shown.look
    lanes, view = window.stage._lanes, window.season.view
    qtbot.waitUntil(lambda: lanes.watch.plan is not None, timeout=20_000)

    def parted() -> bool:
        """Whether rows and places have their heights, and neither lies over the other."""
        rows = view.rows_box.sceneBoundingRect().height()
        bottom = view.mapTo(window.season, QPoint(0, view.height())).y()
        top = lanes.mapTo(window.season, QPoint(0, 0)).y()
        return (
            rows >= 4 * look.row_height - 2.0
            and bottom <= top
            and lanes.height() >= lanes.minimumSizeHint().height()
        )

    qtbot.waitUntil(parted, timeout=10_000)
    assert window.height() == 720
    window.stage.lanes.setChecked(False)
