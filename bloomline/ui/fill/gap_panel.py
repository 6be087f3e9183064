"""What would fill a gap, in the place of the shelf: days, order, rows, and the way back."""

from __future__ import annotations

from datetime import date
from functools import partial

from PySide6.QtCore import QDate, QSize, Qt, Signal, Slot
from PySide6.QtGui import QHideEvent, QKeyEvent, QShowEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from bloomline.plan.fill.gap import Filler, GapAnswer, fill_gap
from bloomline.plan.fill.gap_words import GAP_ORDERS, GapOrder, caution_words, gap_state, in_order
from bloomline.plan.fill.wishes import Go, Wishes
from bloomline.plan.season.outlook import Outlook
from bloomline.ui.details.cards import wrapping
from bloomline.ui.details.spin_fields import QuietDateEdit
from bloomline.ui.document import Document
from bloomline.ui.fill.gap_list import GapList
from bloomline.ui.fill.gap_wishes import GapWishes
from bloomline.ui.progress import WorkingRow
from bloomline.ui.season_service import Beside
from bloomline.ui.shelf.filters import QuietComboBox
from bloomline.ui.theme import em
from bloomline.words import day_words, tr


def order_words(order: GapOrder) -> str:
    """What stands first, in words."""
    return {
        "worth": tr("most days for the money first"),
        "days": tr("most days first"),
        "cost": tr("cheapest first"),
        "opens": tr("earliest flower first"),
        "pot": tr("by pot"),
        "name": tr("by name"),
    }[order]


class GapPanel(QWidget):
    """Asks what would fill some days, and plants what is chosen as one step."""

    left = Signal()
    """The shelf is wanted back."""
    message = Signal(str)
    days_changed = Signal(object)
    """First and last day of the gap asked for."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("gap_panel")
        self.setAccessibleName(tr("What would fill a gap"))
        self._document = document
        self._asked: Outlook | None = None
        self._outlook = document.outlook.usual
        self._days: tuple[date, date] | None = None
        self._showing = False
        self.found: GapAnswer | None = None
        self._build()
        self._beside = Beside(self)
        self._beside.answered.connect(self._take)
        document.outlook_changed.connect(self._follow)

    def _build(self) -> None:
        self.back = QPushButton(tr("← Shelf"), self)
        self.back.setObjectName("gap_back")
        self.back.setToolTip(tr("Back to the shelf (Esc)"))
        self.back.setAccessibleName(tr("Back to the shelf"))
        self.back.setAutoDefault(False)
        self.back.clicked.connect(self.left)
        self.heading = wrapping("", "heading", self)
        self.first, self.last = QuietDateEdit(self), QuietDateEdit(self)
        self.first.setObjectName("gap_first")
        self.first.setAccessibleName(tr("First day of the gap"))
        self.last.setObjectName("gap_last")
        self.last.setAccessibleName(tr("Last day of the gap"))
        for edit in (self.first, self.last):
            edit.dateChanged.connect(self._days_chosen)
        self.order = QuietComboBox(self)
        self.order.setObjectName("gap_order")
        self.order.setAccessibleName(tr("Order"))
        for order in GAP_ORDERS:
            self.order.addItem(order_words(order), order)
        self.order.currentIndexChanged.connect(self._sort)
        self.wishes = GapWishes(self)
        self.wishes.changed.connect(self._ask)
        self.working = WorkingRow(
            self, name="gap", what=tr("How far the search is"), stop=tr("Stop looking")
        )
        self.state = wrapping("", "muted", self)
        self.list = GapList(self)
        self.list.chosen.connect(self.plant)
        self.nothing = wrapping("", "", self)
        self.nothing.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.nothing.setMargin(round(em() * 0.5))
        self.pages = QStackedWidget(self)
        self.pages.addWidget(self.list)
        self.pages.addWidget(self.nothing)
        self.caution = wrapping("", "caution", self)
        self.caution.hide()
        self.button = QPushButton(tr("Plant it"), self)
        self.button.setObjectName("gap_plant")
        self.button.setToolTip(tr("Plant what is selected in the pot that it names (Enter)"))
        self.button.setAutoDefault(False)
        self.button.clicked.connect(self._plant_current)
        column = QVBoxLayout(self)
        gap = round(em() * 0.4)
        column.setContentsMargins(gap, gap, gap, gap)
        column.setSpacing(round(gap * 0.8))
        days = QHBoxLayout()
        days.setSpacing(round(gap * 0.5))
        days.addWidget(self.first, 1)
        days.addWidget(QLabel("–", self))
        days.addWidget(self.last, 1)
        column.addWidget(self.back, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.heading)
        column.addLayout(days)
        column.addWidget(self.wishes)
        column.addWidget(self.order)
        column.addWidget(self.state)
        column.addWidget(self.working)
        column.addWidget(self.pages, 1)
        column.addWidget(self.caution)
        column.addWidget(self.button)

    def minimumSizeHint(self) -> QSize:
        return QSize(round(em() * 12), round(em() * 16))

    @property
    def days(self) -> tuple[date, date] | None:
        """The gap that is asked for."""
        return self._days

    def show_gap(self, first: date, last: date) -> None:
        """Ask what would fill these days."""
        self._days = (first, last)
        self._showing = True
        self.first.setDate(QDate(first.year, first.month, first.day))
        self.last.setDate(QDate(last.year, last.month, last.day))
        self._showing = False
        self._ask()

    @Slot()
    def _days_chosen(self, *_: object) -> None:
        if not self._showing:
            self._days = (_as_date(self.first.date()), _as_date(self.last.date()))
            self._ask()

    @Slot(object)
    def _follow(self, _outlook: object) -> None:
        if self.isVisible() and self._document.outlook.usual is not self._asked:
            self._ask()

    def _ask(self) -> None:
        if self._days is None:
            return
        first, last = self._days
        self.days_changed.emit(self._days)
        self.heading.setText(
            tr("Fills {first} – {last}", first=day_words(first), last=day_words(last))
        )
        self.state.setText(tr("Looking in every pot what would fill these days…"))
        self.button.setEnabled(False)
        outlook = self._document.outlook.usual
        self._asked = outlook
        self.wishes.follow(outlook)
        progress = self.working.begin()
        self._beside.drop()
        self._beside.ask(
            partial(_found, outlook, first, last, self.wishes.wishes(), go=progress.go)
        )

    @Slot(object)
    def _take(self, answer: object) -> None:
        self.working.drop()
        if not isinstance(answer, tuple):
            self._show_nothing(str(answer))
            return
        self._outlook, self.found = answer
        self.state.setText(gap_state(self.found, stopped=self.working.is_cancelled))
        if self.found.fillers:
            self._sort()
            self.pages.setCurrentWidget(self.list)
            self.button.setEnabled(True)
        else:
            self._show_nothing(tr("Nothing fills it here. {why}", why=self.found.nothing))
        words = caution_words(self.found.fillers)
        self.caution.setText(words)
        self.caution.setVisible(bool(words))

    def _show_nothing(self, words: str) -> None:
        had_focus = self.list.hasFocus()
        self.list.show_fillers((), self._outlook)
        self.nothing.setText(words)
        self.pages.setCurrentWidget(self.nothing)
        self.caution.hide()
        self.button.setEnabled(False)
        if had_focus:
            self.back.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot()
    def _sort(self, *_: object) -> None:
        if self.found is not None:
            order: GapOrder = self.order.currentData()
            self.list.show_fillers(in_order(self.found.fillers, order), self._outlook)

    # Planting

    @Slot()
    def _plant_current(self) -> None:
        each = self.list.current
        if each is not None:
            self.plant(each)

    @Slot(object)
    def plant(self, filler: Filler) -> None:
        """Plant a row as one step; the list is worked out anew."""
        name = tr("Plant {name} in {pot}", name=filler.name, pot=filler.pot_name)
        known = {layer.id for _, layer in self._document.yard.layers()}
        if not self._document.edit(name, filler.apply):
            return
        for _, layer in self._document.yard.layers():
            if layer.id not in known:
                self._document.select(layer_id=layer.id)
        self.message.emit(
            tr(
                "{count} × {name} planted in {pot}; undo takes it back.",
                count=filler.layer.count,
                name=filler.name,
                pot=filler.pot_name,
            )
        )

    # Life of the widget

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self.left.emit()
            return
        super().keyPressEvent(event)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._document.outlook.usual is not self._asked:
            self._ask()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if self.working.isVisibleTo(self):
            self.working.drop()
            self._beside.drop()
            self._asked = None

    def stop(self) -> None:
        """End the search; safe to call twice."""
        self.working.drop()
        self._beside.stop()


def _found(
    outlook: Outlook, first: date, last: date, wishes: Wishes, *, go: Go
) -> tuple[Outlook, GapAnswer]:
    return outlook, fill_gap(outlook, first, last, wishes=wishes, go=go)


def _as_date(day: QDate) -> date:
    return date(day.year(), day.month(), day.day())
