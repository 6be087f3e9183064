"""Which records the table shows: a season, a cultivar, only those that are questioned."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QHBoxLayout, QLabel, QWidget

from bloomline.plan.season.lesson import RecordRow
from bloomline.ui.dressed import say_as
from bloomline.words import plural, tr


class FilterBar(QWidget):
    """Filters over the table, with how many records they leave."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.season = QComboBox(self)
        self.season.setObjectName("records_season")
        self.season.setAccessibleName(tr("Season"))
        self.season.addItem(tr("All seasons"), None)
        self.cultivar = QComboBox(self)
        self.cultivar.setObjectName("records_cultivar")
        self.cultivar.setAccessibleName(tr("Cultivar"))
        self.cultivar.addItem(tr("All cultivars"), None)
        self.cultivar.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.cultivar.setMinimumContentsLength(22)
        self.odd = QCheckBox(tr("Only questioned"), self)
        self.odd.setObjectName("records_odd")
        self.summary = QLabel(self)
        say_as(self.summary, "muted")
        for box in (self.season, self.cultivar):
            box.currentIndexChanged.connect(self.changed)
        self.odd.toggled.connect(self.changed)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for widget in (self.season, self.cultivar, self.odd):
            row.addWidget(widget)
        row.addStretch(1)
        row.addWidget(self.summary)

    def offer(self, rows: Sequence[RecordRow]) -> None:
        """Offer the seasons and cultivars of some records; what is chosen stays, if it can."""
        seasons = sorted({row.season_year for row in rows}, reverse=True)
        self._fill(self.season, [(str(year), year) for year in seasons])
        kinds = {row.cultivar_id: row.cultivar_name for row in rows}
        by_name = sorted(kinds.items(), key=lambda each: each[1].casefold())
        self._fill(self.cultivar, [(name, kind) for kind, name in by_name])

    @staticmethod
    def _fill(box: QComboBox, entries: Sequence[tuple[str, object]]) -> None:
        chosen = box.currentData()
        box.blockSignals(True)
        while box.count() > 1:
            box.removeItem(1)
        for words, value in entries:
            box.addItem(words, value)
        box.setCurrentIndex(max(0, box.findData(chosen)))
        box.blockSignals(False)

    def clear(self) -> None:
        """Show everything again."""
        for box in (self.season, self.cultivar):
            box.setCurrentIndex(0)
        self.odd.setChecked(False)

    def summarise(self, n_shown: int, n_questioned: int) -> None:
        """Say how many records are shown, and how many of the yard's are questioned."""
        words = plural("{n} record", "{n} records", n_shown)
        if n_questioned:
            words += " · " + tr("{count} questioned", count=n_questioned)
        self.summary.setText(words)
