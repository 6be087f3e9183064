"""A heading with a table as high as its lines, so that only the page scrolls."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QEvent, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView, QWidget

from bloomline.ui.buy.model import Column, LinesModel
from bloomline.ui.details.cards import Card, wrapping
from bloomline.ui.theme import current_theme, em, tone_of

_MEASURED = 60  # rows that tell how wide a column must be


class ListCard(Card):
    """Shows lines; hidden while there are none."""

    def __init__(self, name: str, heading: str, parent: QWidget | None = None) -> None:
        super().__init__(heading, parent)
        self.model = LinesModel(parent=self)
        self.table = QTableView(self)
        self.table.setObjectName(name)
        self.table.setAccessibleName(heading)
        self.table.setModel(self.model)
        self.table.setShowGrid(False)
        self.table.setWordWrap(False)
        self.table.setTabKeyNavigation(False)
        self.table.verticalHeader().hide()
        self.table.verticalHeader().setDefaultSectionSize(round(1.5 * em()))
        self.table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.table.horizontalHeader().setHighlightSections(False)
        self.table.setFrameShape(QTableView.Shape.NoFrame)
        # Whole rows would hide which cell is typed into.
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.table.setStyleSheet(f"QTableView::item {{ padding: 0 {_pad()}px; }}")
        self._dress_header()
        self.foot = wrapping("", "muted", self)
        self.foot.hide()
        self.column.addWidget(self.table)
        self.column.addWidget(self.foot)
        self._stretched = False

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "table"):
            self._dress_header()

    def _dress_header(self) -> None:
        # With its ground named: a flat section keeps that of the day when it was told.
        ground, pad = tone_of(current_theme()).panel, _pad()
        sheet = (
            f"QHeaderView::section {{ background: {ground}; border: none;"
            f" padding: {pad // 2}px {pad}px; }}"
        )
        header = self.table.horizontalHeader()
        if header.styleSheet() != sheet:
            header.setStyleSheet(sheet)

    def show_lines(self, lines: Sequence[Any], columns: Sequence[Column]) -> None:
        """Show other lines."""
        self.model.show_lines(lines, columns)
        self.setVisible(bool(lines))
        header = self.table.horizontalHeader()
        if not self._stretched and columns:
            self._stretched = True
            header.setMinimumSectionSize(round(3 * em()))
            header.setResizeContentsPrecision(_MEASURED)
            header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
            header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        # Once per list: a header that follows every change measures long lists again and again.
        self.table.resizeColumnsToContents()
        self._fit()

    def show_foot(self, words: str) -> None:
        """Show a sentence below the table, or none."""
        self.foot.setText(words)
        self.foot.setVisible(bool(words))

    @Slot()
    def _fit(self) -> None:
        rows = self.model.rowCount() * self.table.verticalHeader().defaultSectionSize()
        head = self.table.horizontalHeader().sizeHint().height()
        bar = self.table.horizontalScrollBar().sizeHint().height()
        # A bar that comes must not lie over the last row.
        is_wide = self.table.horizontalHeader().length() > self.table.viewport().width()
        self.table.setFixedHeight(rows + head + bar // 2 + (bar if is_wide else 0))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()


def _pad() -> int:
    """Room at the sides of a cell. [px]"""
    return round(0.35 * em())
