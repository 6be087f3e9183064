"""The order of the rows: the yard's, or by first flower; the same in table and chart, and kept."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from bloomline.draw.season.chart import plan_season
from bloomline.model import edits
from bloomline.ui.document import Document
from bloomline.ui.export.dialog import ExportDialog
from bloomline.ui.files.memory import Memory
from bloomline.ui.season.panel import SeasonPanel
from bloomline.ui.season.table import LAYER_ROLE
from bloomline.ui.season_service import SeasonService


@pytest.fixture
def settings(tmp_path: Path) -> Memory:
    return Memory(tmp_path / "settings.json")


@pytest.fixture
def sorted_panel(
    document: Document, service: SeasonService, settings: Memory, qtbot: QtBot
) -> Iterator[SeasonPanel]:
    panel = SeasonPanel(document, service, settings=settings)
    qtbot.addWidget(panel)
    panel.resize(1000, 560)
    panel.show()
    yield panel
    panel.stop()


def layers_in_view(panel: SeasonPanel) -> list[str]:
    return [row.part_id for row in panel._shown.rows.rows if row.layer is not None]


def layers_in_table(panel: SeasonPanel) -> list[str]:
    panel.table.catch_up()
    model = panel.table_view.model()
    found = [model.index(row, 0).data(LAYER_ROLE) for row in range(model.rowCount())]
    return [name for name in found if name]


def pots_of(document: Document, layer_ids: list[str]) -> list[str]:
    return list(dict.fromkeys(document.yard.layer(each)[0].id for each in layer_ids))


def test_rows_follow_a_pot_that_is_moved_in_the_yard(panel, document, qtbot) -> None:
    pots = [pot.id for pot in document.yard.pots]
    assert pots_of(document, layers_in_view(panel)) == pots
    document.edit("Move", lambda yard: edits.move_pot(yard, pots[0], len(pots) - 1))
    moved = [*pots[1:], pots[0]]
    qtbot.waitUntil(lambda: pots_of(document, layers_in_view(panel)) == moved, timeout=5000)
    assert layers_in_table(panel) == layers_in_view(panel)


def test_table_and_timeline_are_sorted_alike_from_either(panel, document) -> None:
    in_yard_order = layers_in_view(panel)
    assert layers_in_table(panel) == in_yard_order
    QTest.keyClick(panel.view, Qt.Key.Key_O)
    by_flower = layers_in_view(panel)
    assert by_flower != in_yard_order
    assert layers_in_table(panel) == by_flower
    panel._actions["season_as_table"].trigger()
    panel.table_view.setFocus()
    assert panel._actions["season_by_first_flower"].isEnabled()
    QTest.keyClick(panel.table_view, Qt.Key.Key_O)
    assert layers_in_table(panel) == in_yard_order == layers_in_view(panel)


def test_the_choice_is_remembered(sorted_panel, document, service, settings, qtbot) -> None:
    sorted_panel._actions["season_by_first_flower"].trigger()
    wanted = layers_in_view(sorted_panel)
    again = SeasonPanel(document, service, settings=settings)
    qtbot.addWidget(again)
    try:
        assert again.by_first_flower
        assert again._actions["season_by_first_flower"].isChecked()
        assert layers_in_view(again) == wanted == layers_in_table(again)
    finally:
        again.stop()


@pytest.mark.parametrize("by_first_flower", [False, True])
def test_the_exported_chart_has_the_order_of_the_window(
    document, service, sorted_panel, settings, qtbot, by_first_flower
) -> None:
    sorted_panel._actions["season_by_first_flower"].setChecked(by_first_flower)
    dialog = ExportDialog(document, settings=settings, by_first_flower=sorted_panel.by_first_flower)
    qtbot.addWidget(dialog)
    try:
        wish = dialog.choices.wish()
        assert service.report is not None
        plan = plan_season(service.report, wish.options())
        blocks = [block.pot.pot_id for block in plan.page.blocks]
        assert blocks == pots_of(document, layers_in_view(sorted_panel))
    finally:
        dialog.stop()


def test_names_heads_and_the_corner_say_what_they_are(panel) -> None:
    from PySide6.QtCore import QPointF

    from bloomline.ui.season.hits import tip_at

    report = panel._shown.report
    assert report is not None
    corner = tip_at(panel.view, QPointF(20, panel.view.rows_top() - 20))
    assert "in flower on each day" in corner and report.weather_label in corner
    for index, row in enumerate(panel._shown.rows.rows[:5]):
        tip = tip_at(panel.view, QPointF(20, panel.view.row_y(index)))
        assert (row.pot.name if row.plant is None else row.plant.name.split()[0]) in tip
    assert report.place_label in panel.head.heading.toolTip()
    assert panel.head.basis.toolTip()
