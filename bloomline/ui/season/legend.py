"""The legend on the screen: under the yard's page while it is wanted, nothing when it is not."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QSize, Qt, Slot
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QSizePolicy, QWidget

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.qt import painting_font
from bloomline.draw.season.legend import TEXT_PX, Item, legend_places, paint_legend
from bloomline.ui.season.legend_items import items_of
from bloomline.ui.season.look import current_look
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import current_theme, em
from bloomline.words import tr

_LINE_PX = 21.0
_MOST_OF_WINDOW = 0.3
_LOW_EM, _THIN_LINES = 48, 2


class LegendPicture(QWidget):
    """Signs and words that flow in lines as wide as there is room."""

    def __init__(self, service: SeasonService, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("legend_picture")
        self._service = service
        self._ink = Ink(QPainter(), painting_font())
        self._items: tuple[Item, ...] = ()
        policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self._is_stale = True
        service.report_ready.connect(self._follow)

    @Slot()
    def _follow(self, *_: object) -> None:
        self._is_stale = True
        if self.isVisible():
            self.renew()

    def catch_up(self) -> None:
        """Explain what the season shows now, if that is another than before."""
        if self._is_stale:
            self.renew()

    @property
    def items(self) -> tuple[Item, ...]:
        """What is explained."""
        self.catch_up()
        return self._items

    @Slot()
    def renew(self, *_: object) -> None:
        """Explain what the season shows now."""
        self._is_stale = False
        self._items = items_of(self._service.report, theme=current_theme())
        words = "; ".join(item.words for item in self._items)
        self.setAccessibleName(tr("Legend"))
        self.setAccessibleDescription(words)
        self.updateGeometry()
        self.update()

    def _factor(self) -> float:
        """The chart's legend is laid out for its own letters; here they are the window's."""
        return current_look().small_px / TEXT_PX

    def places(self, width: float) -> list[tuple[float, int]]:
        """Offset and line of each item, in the legend's own pixels."""
        room = (width - 2 * self._margin()) / self._factor()
        return legend_places(self._items, room=room, measure=self._ink.width)

    def _margin(self) -> float:
        return 0.6 * em()

    def heightForWidth(self, width: int) -> int:
        lines = 1 + max((line for _, line in self.places(width)), default=0)
        return round(lines * _LINE_PX * self._factor() + 0.5 * em())

    def sizeHint(self) -> QSize:
        width = max(self.width(), round(30 * em()))
        return QSize(width, self.heightForWidth(width))

    def minimumSizeHint(self) -> QSize:
        return QSize(round(20 * em()), round(2 * em()))

    def paintEvent(self, _event: QPaintEvent) -> None:
        theme, factor = current_theme(), self._factor()
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.translate(self._margin(), 0.25 * em())
        painter.scale(factor, factor)
        paint_legend(
            Ink(painter, self._ink.family),
            self._items,
            self.places(self.width()),
            left=0.0,
            top=0.0,
            line_height=_LINE_PX,
            theme=theme,
        )
        painter.end()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (QEvent.Type.PaletteChange, QEvent.Type.FontChange):
            self._follow()


class Legend(QScrollArea):
    """The legend, as high as it needs to be, but never most of the window: then it scrolls."""

    def __init__(self, service: SeasonService, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("legend")
        self.setAccessibleName(tr("Legend"))
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setWidgetResizable(True)
        self._is_thin = False
        self.picture = LegendPicture(service, self)
        self.setWidget(self.picture)
        service.report_ready.connect(self._fit)
        self.hide()

    @Slot(bool)
    def be_thin(self, thin: bool) -> None:
        """Leave room in a low window for what else was asked for: a few lines, which scroll."""
        self._is_thin = thin
        self.fit(self.width())

    @Slot()
    def _fit(self, *_: object) -> None:
        if self.isVisible():
            self.fit(self.width())

    def fit(self, width: int) -> None:
        """Take the height that a width asks for."""
        wanted = self.picture.heightForWidth(width)
        most = round(_MOST_OF_WINDOW * self.window().height())
        if self._is_thin and self.window().height() < _LOW_EM * em():
            most = round(_THIN_LINES * _LINE_PX)
        self.setFixedHeight(min(wanted, most))
        self.picture.setMinimumHeight(wanted)

    def event(self, event: QEvent) -> bool:
        kind = event.type()
        if kind == QEvent.Type.Show:
            self.picture.catch_up()
        if kind == QEvent.Type.Show or (
            kind in (QEvent.Type.Resize, QEvent.Type.FontChange) and self.isVisible()
        ):
            self.fit(self.width())
        return super().event(event)
