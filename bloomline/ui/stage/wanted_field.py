"""The weeks in which a place is to look its best: some rows, each of days or of a feast."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from PySide6.QtCore import QDate, Qt, Signal, Slot
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from bloomline.model.cultivar import MonthDay
from bloomline.model.stage import MAX_WANTED, WantedWeeks
from bloomline.ui.details.fields import Field
from bloomline.ui.details.spin_fields import QuietDateEdit
from bloomline.ui.dressed import say_as
from bloomline.ui.icons import icon
from bloomline.ui.shelf.filters import QuietComboBox
from bloomline.ui.theme import em
from bloomline.ui.units import QuietDoubleSpinBox
from bloomline.words import day_pattern, tr

_LEAP_YEAR = 2000  # any, so that 29 February can be given
_NEW = WantedWeeks(first=MonthDay(5, 1), last=MonthDay(5, 31))


class WantedRow(QWidget):
    """Some weeks, round a feast or from one day of the year to another, and how much they count."""

    changed = Signal()
    removed = Signal(object)

    def __init__(self, wanted: WantedWeeks, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.kind = QuietComboBox(self)
        self.kind.setAccessibleName(tr("Which weeks"))
        self.kind.addItem(tr("Every year"), None)
        self.kind.addItem(tr("Round Easter"), "easter")
        self.kind.setToolTip(tr("Round Easter: the week before the Sunday and the week after"))
        self.times = QuietDoubleSpinBox(self)
        self.times.setAccessibleName(tr("How much flowers of these weeks count"))
        self.times.setToolTip(
            tr("How many times flowers of these weeks count; 0 when nobody looks, as on holidays")
        )
        self.times.setDecimals(1)
        self.times.setRange(0.0, 20.0)
        self.times.setSingleStep(0.5)
        self.times.setPrefix("× ")
        self.remove = QToolButton(self)
        self.remove.setIcon(icon("delete"))
        self.remove.setAccessibleName(tr("Remove these weeks"))
        self.remove.setToolTip(tr("Remove these weeks"))
        self.first, self.last = self._day(tr("First day")), self._day(tr("Last day"))
        dash = QLabel("–", self)
        say_as(dash, "muted")
        self._days = QWidget(self)
        days = QHBoxLayout(self._days)
        days.setContentsMargins(0, 0, 0, 0)
        days.addWidget(self.first, 1)
        days.addWidget(dash)
        days.addWidget(self.last, 1)
        top = QHBoxLayout()
        top.addWidget(self.kind, 1)
        top.addWidget(self.times)
        top.addWidget(self.remove)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(round(0.15 * em()))
        column.addLayout(top)
        column.addWidget(self._days)
        self._showing = False
        self.show_wanted(wanted)
        self.kind.activated.connect(self._tell)
        self.times.valueChanged.connect(self._tell)
        self.first.dateChanged.connect(self._tell)
        self.last.dateChanged.connect(self._tell)
        self.remove.clicked.connect(self._remove)

    def _day(self, name: str) -> QuietDateEdit:
        box = QuietDateEdit(self)
        box.setAccessibleName(name)
        box.setDisplayFormat(day_pattern(year=False))
        box.setDateRange(QDate(_LEAP_YEAR, 1, 1), QDate(_LEAP_YEAR, 12, 31))
        box.setCalendarPopup(False)
        return box

    def show_wanted(self, wanted: WantedWeeks) -> None:
        """Show other weeks."""
        self._showing = True
        self.kind.setCurrentIndex(max(self.kind.findData(wanted.feast), 0))
        self.times.setValue(wanted.weight)
        first, last = wanted.first or _NEW.first, wanted.last or _NEW.last
        assert first is not None and last is not None
        for box, day in ((self.first, first), (self.last, last)):
            box.setDate(QDate(_LEAP_YEAR, day.month, day.day))
        self._days.setVisible(wanted.feast is None)
        self._showing = False

    def wanted(self) -> dict[str, object]:
        """The weeks as they are given."""
        days: dict[str, object] = {"feast": self.kind.currentData()}
        if days["feast"] is None:
            days = {"first": _month_day(self.first), "last": _month_day(self.last)}
        return {**days, "weight": self.times.value()}

    def spins(self) -> tuple[QAbstractSpinBox, ...]:
        """What is typed into."""
        return (self.times, self.first, self.last)

    @Slot()
    def _tell(self, *_: object) -> None:
        if not self._showing:
            self._days.setVisible(self.kind.currentData() is None)
            self.changed.emit()

    @Slot()
    def _remove(self) -> None:
        self.removed.emit(self)


def _month_day(box: QuietDateEdit) -> MonthDay:
    day = date(box.date().year(), box.date().month(), box.date().day())
    return MonthDay(day.month, day.day)


class WantedRows(QWidget):
    """The rows and a button for one more."""

    given = Signal(object)
    """The gardener gave other weeks (a tuple of the fields of each)."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rows: list[WantedRow] = []
        self.add = QPushButton(tr("Add weeks"), self)
        self.add.setObjectName("add_wanted")
        self.add.setAutoDefault(False)
        self.add.setToolTip(tr("Weeks in which flowers at this place count more, or not at all"))
        self.add.clicked.connect(self._add)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(round(0.3 * em()))
        self._column.addWidget(self.add, 0, Qt.AlignmentFlag.AlignLeft)

    def show_wanted(self, wanted: Sequence[WantedWeeks]) -> None:
        """Show other weeks; rows that stay keep the keyboard."""
        while len(self.rows) > len(wanted):
            row = self.rows.pop()
            self._column.removeWidget(row)
            row.hide()
            row.deleteLater()
        for row, weeks in zip(self.rows, wanted, strict=False):
            row.show_wanted(weeks)
        for weeks in wanted[len(self.rows) :]:
            row = WantedRow(weeks, self)
            row.changed.connect(self._tell)
            row.removed.connect(self._remove)
            self._column.insertWidget(len(self.rows), row)
            self.rows.append(row)
        self.add.setEnabled(len(self.rows) < MAX_WANTED)

    def wanted(self) -> tuple[dict[str, object], ...]:
        """The weeks as they are given."""
        return tuple(row.wanted() for row in self.rows)

    @Slot()
    def _tell(self) -> None:
        self.given.emit(self.wanted())

    @Slot()
    def _add(self) -> None:
        self.given.emit((*self.wanted(), _NEW.model_dump(exclude_none=True)))
        if self.rows:
            self.rows[-1].kind.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot(object)
    def _remove(self, row: WantedRow) -> None:
        at = self.rows.index(row)
        given = self.wanted()
        self.add.setFocus(Qt.FocusReason.OtherFocusReason)
        self.given.emit(given[:at] + given[at + 1 :])


class WantedField(Field):
    """The weeks of a place as a field of its form."""

    def __init__(self, key: str, editor: WantedRows) -> None:
        super().__init__(key, editor)
        self.list = editor
        editor.given.connect(self._give)

    @property
    def is_being_edited(self) -> bool:
        return any(
            line.isModified()
            for row in self.list.rows
            for spin in row.spins()
            for line in spin.findChildren(QLineEdit)
        )

    def flush(self) -> None:
        for row in self.list.rows:
            for spin in row.spins():
                for line in spin.findChildren(QLineEdit):
                    if line.isModified():
                        spin.interpretText()
                        line.setModified(False)

    @Slot(object)
    def _give(self, weeks: object) -> None:
        # Each is a step of its own to undo.
        self.stroke += 1
        self.chosen.emit(weeks)

    def _put(self, value: Any) -> None:
        self.list.show_wanted(value)
