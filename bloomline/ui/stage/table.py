"""The lanes as a table: the same stays in words, for a screen reader and the keyboard."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import QPoint, Qt, Signal, Slot
from PySide6.QtGui import QContextMenuEvent, QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QVBoxLayout, QWidget

from bloomline.plan.forecast.later import LaterItems
from bloomline.plan.stage.rota import StageMove, StagePlan, Stay
from bloomline.plan.stage.words import carried_words, carrying_words, place_words
from bloomline.ui.document import Document
from bloomline.ui.quiet_table import Line, QuietTable
from bloomline.ui.stage.desk import StageDesk
from bloomline.words import listed, number_words, short_day_words, short_span_words, tr

_FLOWERS, _CARRIED = 3, 5


class StageTable(QWidget):
    """A row for each stay, place by place; own spots last."""

    current_changed = Signal()

    def __init__(self, document: Document, desk: StageDesk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document, self._desk = document, desk
        self._stays: tuple[Stay, ...] = ()
        self._plan: StagePlan | None = None
        self._wanted: StagePlan | None = None
        self._filling = False
        heads = (
            tr("Place"),
            tr("Pot"),
            tr("Days"),
            tr("In flower"),
            tr("Weeks of colour"),
            tr("Carried there"),
            tr("Chosen"),
        )
        self.table = QuietTable(self, name="stage_table", heads=heads, wide=_FLOWERS)
        self.table.setAccessibleName(tr("Who stands where"))
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.setContextMenuPolicy(Qt.ContextMenuPolicy.NoContextMenu)
        self.table.row_chosen.connect(self._choose)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.table)
        self.setFocusProxy(self.table)
        document.selection_changed.connect(self._follow_pot)

    def show_plan(self, plan: StagePlan | None) -> None:
        """Show another rota, now or when the table is seen."""
        self._wanted = plan
        if self.isVisible():
            self._fill()

    def showEvent(self, event: object) -> None:
        super().showEvent(event)  # type: ignore[arg-type]
        self._fill()

    def _fill(self) -> None:
        plan = self._wanted
        if plan is self._plan:
            return
        self._plan = plan
        stays = self._stays = () if plan is None else tuple(plan.stays())
        came = {} if plan is None else {id(move.stay): move for move in plan.moves}

        def line(at: int) -> Line:
            stay = stays[at]
            move = came.get(id(stay))
            cells = (
                place_words(stay.place),
                stay.called,
                short_span_words(stay.first, stay.last, year=True),
                listed(dict.fromkeys(flower.name for flower in stay.flowers)),
                number_words(stay.weeks_of_colour, 1) if stay.flowers else "",
                "" if move is None else _carried(move),
                tr("by hand") if stay.by_hand else tr("by the rota"),
            )
            return Line(cells, tips={} if move is None else {_CARRIED: carrying_words(move)})

        self.table.show_lines(LaterItems(len(stays), line))
        self._follow_pot()
        self.current_changed.emit()

    @Slot()
    def _follow_pot(self) -> None:
        pot_id = self._document.pot_id
        row = self.table.row
        if self._filling or (0 <= row < len(self._stays) and self._stays[row].pot_id == pot_id):
            return
        mine = [at for at, stay in enumerate(self._stays) if stay.pot_id == pot_id]
        day = self._document.day
        on = [at for at in mine if self._stays[at].first <= day <= self._stays[at].last]
        found = next(iter([*on, *mine]), -1)
        self._filling = True
        self.table.choose(found)
        self._filling = False

    @Slot(int)
    def _choose(self, row: int) -> None:
        if not self._filling and 0 <= row < len(self._stays):
            self._document.select(pot_id=self._stays[row].pot_id)
        self.current_changed.emit()

    @property
    def current(self) -> Stay | None:
        """The stay that the keyboard is on."""
        row = self.table.row
        return self._stays[row] if 0 <= row < len(self._stays) else None

    def free(self) -> None:
        """Leave the current stay to the rota again."""
        if self.current is not None:
            self._desk.free(self.current)

    def _day(self, stay: Stay) -> date:
        day = self._document.day
        return day if stay.first <= day <= stay.last else stay.first

    def _open_menu(self, at: QPoint) -> None:
        stay = self.current
        if stay is not None:
            self._desk.menu(stay.pot_id, self._day(stay), self).popup(at)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        self._open_menu(event.globalPos())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace):
            self.free()
        elif event.key() in (Qt.Key.Key_M, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.table.row >= 0:
                self._open_menu(self.table.below_row())
        else:
            super().keyPressEvent(event)


def _carried(move: StageMove) -> str:
    """When a pot is carried to where it stands, and how."""
    return tr("{day}, {how}", day=short_day_words(move.day, weekday=True), how=carried_words(move))
