"""The tree of tasks by week, with columns of fixed width and ticks from the keyboard."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTreeView, QWidget

from bloomline.ui.theme import em
from bloomline.ui.work.model import DAY, POTS, STATE, TASK, TIME, WINDOW, WorkModel
from bloomline.words import tr

_WIDE_EM = {POTS: 9.0, DAY: 5.2, WINDOW: 5.8, TIME: 3.6, STATE: 6.2}


class WorkTree(QTreeView):
    """Space ticks the task of the row, whichever cell the keyboard is on."""

    def __init__(self, model: WorkModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("work_tree")
        self.setAccessibleName(tr("Tasks by week"))
        self.setModel(model)
        self.setUniformRowHeights(True)
        self.setRootIsDecorated(False)
        self.setItemsExpandable(False)
        self.setIndentation(round(em() * 0.6))
        self.setAllColumnsShowFocus(True)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        header = self.header()
        header.setStretchLastSection(False)
        # Fixed widths: to measure thousands of rows after every tick would take seconds.
        for column, wide in _WIDE_EM.items():
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Interactive)
            header.resizeSection(column, round(wide * em()))
        header.setSectionResizeMode(TASK, QHeaderView.ResizeMode.Stretch)
        model.modelReset.connect(self._open_groups)

    @Slot()
    def _open_groups(self) -> None:
        self.expandAll()
        for row in range(self.model().rowCount()):
            self.setFirstColumnSpanned(row, QModelIndex(), True)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        at = self.currentIndex().siblingAtColumn(TASK)
        if event.key() == Qt.Key.Key_Space and at.isValid():
            if at.flags() & Qt.ItemFlag.ItemIsUserCheckable:
                is_on = Qt.CheckState(at.data(Qt.ItemDataRole.CheckStateRole))
                off = is_on == Qt.CheckState.Checked
                state = Qt.CheckState.Unchecked if off else Qt.CheckState.Checked
                self.model().setData(at, state, Qt.ItemDataRole.CheckStateRole)
            return
        super().keyPressEvent(event)
