"""What a start leaves for later: modules, pages and widgets that nobody sees yet."""

from __future__ import annotations

import subprocess
import sys

from PySide6.QtWidgets import QApplication

LATER = (
    "pyqtgraph",
    "scipy.optimize",
    "numpy.ma",
    "bloomline.files.weather_import",
    "bloomline.plan.stage.rota",
    "bloomline.plan.fill.gap",
    "bloomline.ui.details.layer_page",
    "bloomline.ui.export.dialog",
    "bloomline.ui.stage.season_lanes",
)


def test_modules_of_what_is_not_seen_are_not_read() -> None:
    code = f"import sys, bloomline.ui.app; print([n for n in {LATER!r} if n in sys.modules])"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=120
    )
    assert done.stdout.strip() == "[]"


def test_the_details_have_the_page_that_is_seen_alone(window) -> None:
    assert len(window.details._made) == 1
    inside = sum(window.details.isAncestorOf(each) for each in QApplication.allWidgets())
    window.document.select(layer_id=window.document.yard.pots[0].layers[0].id)
    window.document.select(pot_id=window.document.yard.pots[0].id)
    assert len(window.details._made) == 3
    assert sum(window.details.isAncestorOf(each) for each in QApplication.allWidgets()) > inside
