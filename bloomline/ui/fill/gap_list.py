"""The list of what would fill a gap: rows to read, to plant and to drag onto a pot."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import (
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QPointF,
    QRectF,
    QSize,
    Qt,
    Signal,
    Slot,
)
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import (
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from bloomline.draw.base.names import elide
from bloomline.draw.base.petals import petal_of
from bloomline.model.advice import Severity
from bloomline.model.cultivar import Cultivar
from bloomline.plan.carry.drops import Cargo
from bloomline.plan.fill.gap import Filler
from bloomline.plan.fill.gap_words import filler_told, filler_words, signs_of
from bloomline.plan.fill.short_names import short_form
from bloomline.plan.season.outlook import Outlook
from bloomline.ui.shelf.carrying import CARGO, CarriedModel, CarryingList
from bloomline.ui.shelf.paint import paint_name, paint_petal_dot, paint_severity
from bloomline.ui.shelf.view import plant_picture
from bloomline.ui.theme import current_theme, em, tone_of
from bloomline.ui.units import Units, units_of
from bloomline.words import tr

_Index = QModelIndex | QPersistentModelIndex
_NO_INDEX = QModelIndex()
FILLER = Qt.ItemDataRole.UserRole + 1
_LINES = 4


class GapModel(CarriedModel):
    """Fillers in the order shown."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._fillers: tuple[Filler, ...] = ()
        self.units, self.currency = Units(), ""
        self._kinds: dict[str, Cultivar] = {}

    @property
    def fillers(self) -> tuple[Filler, ...]:
        """What is shown."""
        return self._fillers

    def show(self, fillers: Sequence[Filler], outlook: Outlook) -> None:
        """Show others, or the same in another order. outlook : of the yard that they are for."""
        self.beginResetModel()
        self._fillers = tuple(fillers)
        self.units, self.currency = units_of(outlook.yard), outlook.yard.money.currency
        names = {each.layer.cultivar_id for each in fillers}
        self._kinds = {name: outlook.cultivar_of(name) for name in names}
        self.endResetModel()

    def kind_of(self, each: Filler) -> Cultivar:
        """The kind of a row, with all its petals."""
        return self._kinds[each.layer.cultivar_id]

    def name_in(self, each: Filler, *, room: float, measure: Callable[[str], float]) -> str:
        """The name of a row as it fits, told from the names of the others. [px]"""
        others = [kind.name for kind in self._kinds.values()]
        form = short_form(each.name, others, room=room, measure=measure)
        return elide(form, room=room, measure=measure)

    def rowCount(self, parent: _Index = _NO_INDEX) -> int:
        return 0 if parent.isValid() else len(self._fillers)

    def data(self, index: _Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        if not index.isValid() or not 0 <= index.row() < len(self._fillers):
            return None
        each = self._fillers[index.row()]
        if role == FILLER:
            return each
        if role == CARGO:
            return Cargo("cultivar", each.layer.cultivar_id)
        if role == Qt.ItemDataRole.DisplayRole:
            return each.name
        if role == Qt.ItemDataRole.ToolTipRole:
            return filler_told(each, units=self.units, currency=self.currency)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            told = filler_told(each, units=self.units, currency=self.currency)
            return told.replace("\n", ", ")
        return None


class GapDelegate(QStyledItemDelegate):
    """Paints a row: petal and name, pot and depth, worth, when it flowers, scent and harm."""

    def __init__(self, model: GapModel, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._model = model

    def sizeHint(self, option: QStyleOptionViewItem, index: _Index) -> QSize:
        return QSize(round(em() * 12), round(em() * (_LINES * 1.02 + 0.9)))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        each = index.data(FILLER)
        if not isinstance(each, Filler):
            return
        theme, line = current_theme(), em()
        tone = tone_of(theme)
        rect = QRectF(option.rect)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.translate(rect.topLeft())
        box = QRectF(0, 0, rect.width(), rect.height())
        self._ground(painter, box, option)
        pad, dot = line * 0.45, line * 1.25
        left, right = pad + dot + pad, rect.width() - pad
        top, step = line * 1.15, line * 1.02
        paint_petal_dot(
            painter,
            QPointF(pad + dot / 2, top - line * 0.2),
            dot / 2,
            petal_of(self._model.kind_of(each), theme=theme),
        )
        font = QFont(painter.font())
        bold = QFont(font)
        bold.setWeight(QFont.Weight.DemiBold)
        measure = QFontMetricsF(bold).horizontalAdvance
        name = self._model.name_in(each, room=right - left, measure=measure)
        paint_name(painter, QPointF(left, top), name, bold, tone.ink)
        small = QFont(font)
        small.setPointSizeF(max(small.pointSizeF() * 0.92, 9.0))
        painter.setFont(small)
        metrics = QFontMetricsF(small)
        words = filler_words(each, units=self._model.units, currency=self._model.currency)
        rows = ((words.worth, tone.ink), (words.row, tone.muted))
        for number, (text, colour) in enumerate(rows, start=1):
            painter.setPen(QColor(colour))
            shown = elide(text, room=right - left, measure=metrics.horizontalAdvance)
            painter.drawText(QPointF(left, top + number * step), shown)
        self._last_line(painter, each, words.flowers, left, right, top + 3 * step, metrics)
        painter.restore()

    def _last_line(
        self,
        painter: QPainter,
        each: Filler,
        flowers: str,
        left: float,
        right: float,
        y: float,
        metrics: QFontMetricsF,
    ) -> None:
        """When it flowers; scent and harm behind it, harm with its sign besides the word."""
        tone, x = tone_of(current_theme()), left
        painter.setPen(QColor(tone.muted))
        painter.drawText(QPointF(x, y), flowers)
        x += metrics.horizontalAdvance(flowers)
        icon = metrics.ascent() * 0.95
        for at, word in enumerate(signs_of(each)):
            is_harm = bool(each.harm) and at == len(signs_of(each)) - 1
            x += metrics.horizontalAdvance("  ")
            if is_harm and x + icon <= right:
                severity = Severity.WARNING if each.harm > 1 else Severity.CAUTION
                colour = tone.warning if each.harm > 1 else tone.caution
                paint_severity(
                    painter, QRectF(x, y - icon * 0.9, icon, icon), severity, colour=colour
                )
                painter.setPen(QColor(colour))
                x += icon + metrics.horizontalAdvance(" ") * 0.8
            shown = elide(word, room=max(right - x, 0.0), measure=metrics.horizontalAdvance)
            painter.drawText(QPointF(x, y), shown)
            x += metrics.horizontalAdvance(shown)
            painter.setPen(QColor(tone.muted))

    @staticmethod
    def _ground(painter: QPainter, box: QRectF, option: QStyleOptionViewItem) -> None:
        tone, state = tone_of(current_theme()), option.state
        if state & QStyle.StateFlag.State_Selected:
            accent = QColor(tone.accent)
            accent.setAlphaF(0.16)
            painter.fillRect(box, accent)
            painter.fillRect(QRectF(0, 0, 3, box.height()), QColor(tone.accent))
        elif state & QStyle.StateFlag.State_MouseOver:
            tint = QColor(tone.line)
            tint.setAlphaF(0.28)
            painter.fillRect(box, tint)
        if state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QPen(QColor(tone.focus), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(box.adjusted(1.5, 1.5, -1.5, -1.5), 4, 4)
        else:
            painter.setPen(QPen(QColor(tone.line), 1.0))
            painter.drawLine(box.bottomLeft(), box.bottomRight())


class GapList(CarryingList):
    """Rows below each other; Enter or a double click plants one, a drag carries its kind."""

    chosen = Signal(object)
    """The Filler to plant."""

    def __init__(self, parent: QWidget | None = None) -> None:
        self.rows = GapModel()
        super().__init__(self.rows, parent)
        self.rows.setParent(self)
        self.setObjectName("gap_list")
        self.setAccessibleName(tr("What would fill the gap"))
        self.setAccessibleDescription(
            tr("Enter plants it in the pot it names; or drag it onto another pot")
        )
        self.setItemDelegate(GapDelegate(self.rows, self))
        self.activated.connect(self._choose)

    @property
    def current(self) -> Filler | None:
        """What the keyboard is on."""
        each = self.currentIndex().data(FILLER)
        return each if isinstance(each, Filler) else None

    def show_fillers(self, fillers: Sequence[Filler], outlook: Outlook) -> None:
        """Show rows; the keyboard stays on the same kind in the same pot, or goes to the first."""
        was = self.current
        self.rows.show(fillers, outlook)
        key = None if was is None else (was.pot_id, was.layer.cultivar_id, was.layer.planted)
        at = next(
            (
                row
                for row, each in enumerate(fillers)
                if (each.pot_id, each.layer.cultivar_id, each.layer.planted) == key
            ),
            0,
        )
        if fillers:
            self.setCurrentIndex(self.rows.index(at))

    def startDrag(self, actions: Qt.DropAction) -> None:
        each = self.current
        if each is None:
            return
        kind, ratio = self.rows.kind_of(each), self.devicePixelRatioF()
        self.carry(plant_picture(kind, ratio=ratio, font=self.font()))

    @Slot(QModelIndex)
    def _choose(self, index: QModelIndex) -> None:
        each = index.data(FILLER)
        if isinstance(each, Filler):
            self.chosen.emit(each)
