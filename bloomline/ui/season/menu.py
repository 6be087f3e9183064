"""The context menu of the timeline: what can be done with the layer under the mouse."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QAction, QContextMenuEvent
from PySide6.QtWidgets import QMenu

from bloomline.ui.season.hits import hit_at
from bloomline.ui.season.plot import SeasonPlot


def open_menu(view: SeasonPlot, actions: Sequence[QAction], event: QContextMenuEvent) -> None:
    """Choose what lies under the mouse and show the menu; by keys, for what is chosen."""
    if view.shown.report is None or not actions:
        return
    if event.reason() is QContextMenuEvent.Reason.Mouse:
        hit = hit_at(view, QPointF(event.pos()))
        if hit.part_id is not None:
            view.part_chosen.emit(hit.part_id)
        elif hit.pot_id is not None:
            view.pot_chosen.emit(hit.pot_id)
        place = event.globalPos()
    else:
        index = view.shown.chosen_row()
        y = view.rect().center().y() if index is None else round(view.row_y(index))
        place = view.mapToGlobal(QPoint(view.rect().center().x(), y))
    menu = QMenu(view)
    menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    menu.addActions(list(actions))
    menu.popup(place)
