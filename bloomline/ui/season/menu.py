"""The context menu of the timeline: what can be done with the layer under the mouse."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QAction, QContextMenuEvent
from PySide6.QtWidgets import QMenu, QWidget

from bloomline.ui.season.hits import hit_at
from bloomline.ui.season.plot import SeasonPlot


def open_menu(
    view: SeasonPlot, actions: Sequence[QAction | None], event: QContextMenuEvent
) -> None:
    """Choose what lies under the mouse and show the menu; by keys, for what is chosen."""
    if view.shown.report is None or not actions:
        return
    if event.reason() is QContextMenuEvent.Reason.Mouse:
        hit = hit_at(view, QPointF(event.pos()))
        if hit.part_id is not None:
            _choose(view, hit.part_id)
        elif hit.pot_id is not None:
            _choose(view, hit.pot_id)
        elif hit.kind == "bare" and hit.stretch is not None:
            view.mark_gap((hit.stretch.first, hit.stretch.last))
        place = event.globalPos()
    else:
        index = view.shown.chosen_row()
        y = view.rect().center().y() if index is None else round(view.row_y(index))
        place = view.mapToGlobal(QPoint(view.rect().center().x(), y))
    menu = menu_of(actions, view)
    menu.popup(place)


def menu_of(actions: Sequence[QAction | None], parent: QWidget) -> QMenu:
    """A menu that goes when closed; None is a line between groups."""
    menu = QMenu(parent)
    menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    for action in actions:
        if action is None:
            menu.addSeparator()
        else:
            menu.addAction(action)
    return menu


def _choose(view: SeasonPlot, name: str) -> None:
    """Choose what is pointed at; of several selected all stay so."""
    if name not in view.shown.selection:
        view.chosen.emit(name, Qt.KeyboardModifier.NoModifier)
