"""The picture of the yard as a widget: paints, scrolls, zooms, knows what lies where."""

from __future__ import annotations

from collections.abc import Container

from PySide6.QtCore import QEvent, QPoint, QPointF, QSize, QTimer, Signal, Slot
from PySide6.QtGui import QHideEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from bloomline.draw.base.petals import Theme
from bloomline.draw.base.qt import painting_font
from bloomline.draw.pot.layout import PotCut
from bloomline.model.yard import Pot, Yard
from bloomline.plan.forecast.report import CompanionForecast, LayerForecast
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import current_theme, em
from bloomline.ui.yard.arranging import Grouping
from bloomline.ui.yard.camera import LABEL_LINES, TAG_LINES, ZOOM_STEP, Camera, clamped
from bloomline.ui.yard.carrying import Carrying
from bloomline.ui.yard.flaws import Flaws
from bloomline.ui.yard.ghost_card import GhostCard, regions_of
from bloomline.ui.yard.growths import Barren, Forecasts, Growths, Lying
from bloomline.ui.yard.marking import aim_of, paint_marker
from bloomline.ui.yard.painting import ShownYard, View, YardPainter
from bloomline.ui.yard.scene import Cuts, PlacedPot, PotRow, UnderPointer, spot_at, tallest_cm
from bloomline.ui.yard.tops import Presence, Top, TopsOfDay, presence_on
from bloomline.ui.yard.words import bulbs_in, contents, selection_words, site_tag

_PAINT_BUDGET_S = 0.022
_REST_OF_PAINT_MS = 1


class YardCanvas(QWidget):
    """The row of pots. It shows the document; it changes nothing."""

    view_changed = Signal()
    """Scale, scrolling or the row's size changed: scroll bars follow."""

    def __init__(
        self,
        document: Document,
        service: SeasonService,
        carrying: Carrying,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("yard_canvas")
        self.setMinimumHeight(round(7 * em()))
        self.document = document
        self.service = service
        self.carrying = carrying
        self.camera = Camera()
        self.cuts = Cuts(document.cultivar)
        self.flaws = Flaws(document)
        self._painter = YardPainter(self.cuts.of, self.cuts.look, painting_font())
        self.grouping: Grouping | None = None
        """What arranges the pots by place, while they are; `arrange` sets it."""
        self._row: PotRow | None = None
        self._row_of: tuple[object, ...] = ()
        self._tallest: tuple[object, float] | None = None
        self._lying = Lying(document.yard)
        self._growths: Growths | None = None
        self._forecasts: Forecasts | None = None
        self._tops = TopsOfDay()
        self._barren: Container[str] = ()
        self.key_at: str | None = None
        """What the keyboard is on without having selected it."""
        self._held_still = False
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(_REST_OF_PAINT_MS)
        self._rest.timeout.connect(self.update)
        yard = document.yard
        self._seen: tuple[object, object, object] = (yard.pots, yard.own_cultivars, yard.settings)
        document.yard_changed.connect(self._show_yard)
        document.selection_changed.connect(self._show_selection)
        document.day_changed.connect(self._show_day)
        service.report_ready.connect(self._show_report)
        carrying.changed.connect(self._show_carried)
        self.view_changed.connect(self._show_card)
        self._card: GhostCard | None = None
        self._describe()

    def sizeHint(self) -> QSize:
        return QSize(round(50 * em()), round(20 * em()))

    # What there is

    @property
    def row(self) -> PotRow:
        """The pots at the present scale."""
        yard, scale = self.document.yard, self.camera.scale
        grouping = self.grouping
        key = (yard.pots, yard.own_cultivars, scale, em(), grouping and grouping.key)
        if self._row is None or self._row_of != key:
            self.cuts.begin(yard)
            make = PotRow if grouping is None else grouping.row
            self._row = make(yard, scale=scale, em=em())
            self._row_of = key
        return self._row

    @property
    def tallest_cm(self) -> float:
        """How high the yard reaches with all in flower. [cm]"""
        yard = self.document.yard
        of = (yard.pots, yard.own_cultivars)
        if self._tallest is None or self._tallest[0] != of:
            self._tallest = (of, tallest_cm(yard, self.document.cultivar))
        return self._tallest[1]

    @property
    def view(self) -> View:
        """Where the row lies on the widget."""
        return View(
            origin_x=self.camera.origin_x(self.width(), self.row.width),
            ground_y=self.camera.ground_y(self.height(), em()),
            width=self.width(),
            height=self.height(),
        )

    def growths(self) -> Growths:
        """How every layer stands on the day looked at."""
        if self._forecasts is None:
            self._forecasts = Forecasts(self.service.report, self._lying.pot_of)
            self._barren = Barren(self._forecasts)
            self._growths = None
        if self._growths is None:
            self._growths = Growths(self._forecasts, self._lying.lifted, self.document.day)
        return self._growths

    def forecast(self, layer_id: str) -> LayerForecast | None:
        """What is expected of a layer."""
        self.growths()
        return None if self._forecasts is None else self._forecasts.get(layer_id)

    def companion_forecast(self, planting_id: str) -> CompanionForecast | None:
        """What is expected of companions."""
        report = self.service.report
        plantings = report.companions if report is not None else ()
        return next((each for each in plantings if each.planting_id == planting_id), None)

    def tops_of(self, pot: Pot) -> tuple[Top, ...]:
        """What stands on a pot on the day looked at."""
        southern = self.document.yard.place.latitude_deg < 0
        return self._tops.of(pot, self.cuts.of(pot), self.document.day, southern=southern)

    def presence_of(self, pot: Pot) -> Presence:
        """Which bulbs of a pot are not in it on the day looked at."""
        return presence_on(pot, self.document.day)

    def cut_of(self, pot: Pot) -> PotCut:
        """The cutaway of a pot."""
        return self.cuts.of(pot)

    # What lies where

    def on_row(self, point: QPointF) -> tuple[float, float]:
        """A point of the widget on the row."""
        view = self.view
        return point.x() - view.origin_x, point.y() - view.ground_y

    def spot_at(self, point: QPointF) -> UnderPointer:
        """What lies at a point of the widget."""
        x, y = self.on_row(point)
        return spot_at(
            self.row,
            x,
            y,
            cut_of=self.cuts.of,
            look=self.cuts.look,
            growths=self.growths(),
            tops_of=self.tops_of,
            presence_of=self.presence_of,
        )

    def place_of(self, pot_id: str) -> PlacedPot | None:
        """The place of a pot in the row."""
        return self.row.of(pot_id)

    def point_in_pot(self, pot_id: str, *, depth_cm: float, x_cm: float = 0.0) -> QPointF:
        """The point of the widget at a depth below the rim of a pot."""
        placed = self.row.of(pot_id)
        if placed is None:
            return QPointF()
        view, scale = self.view, self.camera.scale
        return QPointF(
            view.origin_x + placed.middle + x_cm * scale,
            view.ground_y + placed.rim + depth_cm * scale,
        )

    # Scrolling and zooming

    def scroll_to(self, scroll: float, lift: float | None = None) -> None:
        """Scroll the row to an offset."""
        self.camera.scroll = scroll
        if lift is not None:
            self.camera.lift = lift
        self._settle()

    def scroll_by(self, dx: float, dy: float = 0.0) -> None:
        """Scroll on."""
        self.scroll_to(self.camera.scroll + dx, self.camera.lift + dy)

    def zoom_by(self, factor: float, at: QPointF | None = None) -> None:
        """Zoom about a point of the widget, else about the selected pot or the middle."""
        anchor = at or self._zoom_anchor()
        x, _ = self.on_row(anchor)
        share = x / max(self.row.width, 1.0)
        self.camera.follows_size = False
        self.camera.scale = clamped(self.camera.scale * factor)
        row = self.row
        self.camera.scroll = share * row.width - anchor.x()
        self._settle()

    def _zoom_anchor(self) -> QPointF:
        placed = self.row.of(self.document.pot_id) if self.document.pot_id else None
        if placed is not None:
            x = self.view.origin_x + placed.middle
            if 0.0 <= x <= self.width():
                return QPointF(x, 0.5 * self.height())
        return QPointF(0.5 * self.width(), 0.5 * self.height())

    @Slot()
    def zoom_in(self) -> None:
        """Show the pots larger."""
        self.zoom_by(ZOOM_STEP)

    @Slot()
    def zoom_out(self) -> None:
        """Show the pots smaller."""
        self.zoom_by(1.0 / ZOOM_STEP)

    @Slot()
    def fit(self) -> None:
        """Show the pots as large as their plants can be seen to the top, from now on."""
        self.camera.follows_size = True
        self._fit_if_following()
        self._settle()

    def fit_all(self) -> None:
        """Show the whole row at once."""
        self.camera.follows_size = False
        self.camera.fit_height(height=self.height(), em=em(), tallest_cm=self.tallest_cm)
        for _ in range(12):  # names give way as the scale falls, so step down to it
            if self.row.width <= self.width() or self.camera.scale <= clamped(0.0):
                break
            share = self.width() / self.row.width
            self.camera.scale = clamped(self.camera.scale * max(min(share, 0.97), 0.5))
        self.camera.scroll = 0.0
        self._settle()

    def hold_still(self, held: bool) -> None:
        """Keep the scale while something is dragged."""
        self._held_still = held
        if not held:
            self._fit_if_following()
            self._settle()

    def reveal(self, pot_id: str) -> None:
        """Scroll so that a pot is seen."""
        placed = self.row.of(pot_id)
        if placed is None:
            return
        margin = em()
        if placed.left - margin < self.camera.scroll:
            self.scroll_to(placed.left - margin)
        elif placed.right + margin > self.camera.scroll + self.width():
            self.scroll_to(placed.right + margin - self.width())

    def _fit_if_following(self) -> None:
        # Where no pot has a tag of its place, its line belongs to the pots.
        tagged = any(pot.site != "open" for pot in self.document.yard.pots)
        self.camera.head = 0.0 if self.grouping is None else self.grouping.head_px()
        self.camera.label_lines = LABEL_LINES + (TAG_LINES if tagged else 0.0)
        if self.camera.follows_size and not self._held_still:
            self.camera.fit_height(height=self.height(), em=em(), tallest_cm=self.tallest_cm)

    def arrange(self, grouping: Grouping | None) -> None:
        """Arrange the pots by place, or in the yard's order again."""
        if grouping is self.grouping:
            return
        self.carrying.leave()
        self.grouping = self.carrying.places = grouping
        self._fit_if_following()
        self.regroup()

    @Slot()
    def regroup(self) -> None:
        """Follow who stands where, with what is selected in sight."""
        self._settle()
        if self.document.pot_id is not None and not self._held_still:
            self.reveal(self.document.pot_id)
        self._describe()

    def _settle(self) -> None:
        self.camera.clamp(
            width=self.width(),
            height=self.height(),
            row_width=self.row.width,
            em=em(),
            tall=self.tallest_cm,
        )
        self.update()
        self.view_changed.emit()

    # Following the document

    @Slot(object)
    def _show_yard(self, yard: Yard) -> None:
        # Another place or start of the season is seen when its report comes, not before.
        seen = (yard.pots, yard.own_cultivars, yard.settings)
        if seen == self._seen:
            return
        self._seen = seen
        self._lying = Lying(yard)
        self._forecasts = self._growths = None  # bulbs may be lifted on another day
        self._fit_if_following()
        self._settle()
        self._describe()

    @Slot()
    def _show_selection(self) -> None:
        self.key_at = None
        if self.document.pot_id is not None and not self._held_still:
            self.reveal(self.document.pot_id)
        self.update()
        self._describe()

    @Slot(object)
    def _show_day(self, _day: object) -> None:
        self._growths = None
        self.update()
        self._describe()

    @Slot(object)
    def _show_report(self, _report: object) -> None:
        self._forecasts = None
        self.update()
        self._describe()

    def _describe(self) -> None:
        growths = self.growths()
        words = selection_words(self.document, growths, self._barren)
        pot = self.document.selected_pot()
        if pot is not None:
            words = " ".join([f"{words}.", *self.flaws.words_of(pot, self.document.layer_id)])
        if self.grouping is not None:
            words = f"{words} {self.grouping.told()}"
        self.setAccessibleDescription(words)

    # What is carried

    @Slot()
    def _show_carried(self) -> None:
        self.update()
        self._show_card()

    @Slot()
    def _show_card(self) -> None:
        """Tell beside the pot what a drop would do."""
        marker, window = self.carrying.marker, self.window()
        if marker is None or not self.isVisible():
            if self._card is not None:
                self._card.hide()
            return
        if self._card is None or self._card.parentWidget() is not window:
            self._card = GhostCard(window)
        aim, offset = aim_of(marker, self.row, self.view), QPointF(self.mapTo(window, QPoint(0, 0)))
        self._card.tell(
            marker.text,
            regions=regions_of(self),
            pot=aim.pot.translated(offset),
            aim=aim.place.translated(offset),
        )

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if self._card is not None:
            self._card.hide()

    # Painting

    def shown(self) -> ShownYard:
        """What the painter needs to know."""
        return ShownYard(
            growths=self.growths(),
            barren=self._barren,
            flawed_of=self.flaws.layers_of,
            selection=self.document.selection,
            cursor=self.key_at,
            tops_of=self.tops_of,
            presence_of=self.presence_of,
            has_focus=self.hasFocus(),
            line_of=lambda pot: contents(pot) + self.flaws.mark_of(pot),
            short_line_of=lambda pot: bulbs_in(pot) + self.flaws.mark_of(pot),
            site_of=lambda pot: site_tag(pot, self.document.day),
        )

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        theme = current_theme()
        late = self._painter.paint(
            painter,
            self.row,
            self.view,
            self.shown(),
            theme=theme,
            ratio=self.devicePixelRatioF(),
            font=self.font(),
            budget_s=_PAINT_BUDGET_S,
        )
        marker = self.carrying.marker
        place = None if marker is None else marker.target.place
        if self.grouping is not None:
            aim = None if marker is None or place is None else (place, marker.verdict.allowed)
            self.grouping.paint(painter, self.view, theme=theme, font=self.font(), aim=aim)
        self.paint_over(painter, theme)
        if marker is not None:
            paint_marker(painter, marker, self.row, self.view, theme=theme)
        painter.end()
        if late:
            self._rest.start()

    def paint_over(self, painter: QPainter, theme: Theme) -> None:
        """Paint what stands over the pots; the hand adds the scale rule here."""

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit_if_following()
        self._settle()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (
            QEvent.Type.PaletteChange,
            QEvent.Type.FontChange,
            QEvent.Type.StyleChange,
        ):
            self._painter.clear()
            self.update()
