"""The strip on top of the window: place, region, planting day, weather, the yard's figures."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QSize, Slot
from PySide6.QtGui import QAction, QKeySequence, QResizeEvent
from PySide6.QtWidgets import QGridLayout, QLayout, QWidget

from bloomline.ui.conditions.ahead import RegionAhead
from bloomline.ui.conditions.figures import FiguresPart
from bloomline.ui.conditions.place import PlacePart
from bloomline.ui.conditions.region import RegionPart
from bloomline.ui.conditions.start import StartPart
from bloomline.ui.conditions.weather import WeatherPart
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import em
from bloomline.words import tr


def columns_for(widths: Sequence[float], *, room: float, gap: float) -> int:
    """Into how many columns parts of these widths go, filled row by row.

    The most columns, each as wide as its widest part, that fit into `room`; at least one.
    """
    for count in range(len(widths), 1, -1):
        columns = [max(widths[at::count]) for at in range(count)]
        if sum(columns) + gap * (count - 1) <= room:
            return count
    return 1


class ConditionsStrip(QWidget):
    """One calm strip that says where, when and in which weather; all of it live."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setObjectName("conditions")
        self.setAccessibleName(tr("Conditions"))
        self._document = document
        self.place = PlacePart(document)
        self.region = RegionPart(document)
        self.ahead = RegionAhead(self.region, document, service, self)
        self.start = StartPart(document)
        self.weather = WeatherPart(document, service)
        self.figures = FiguresPart(service)
        self._parts: tuple[QWidget, ...] = (
            self.place,
            self.region,
            self.start,
            self.weather,
            self.figures,
        )
        self._grid = QGridLayout(self)
        self._grid.setSizeConstraint(QLayout.SizeConstraint.SetNoConstraint)
        self._columns = 0
        self._arrange(len(self._parts))
        self._actions = self._make_actions()
        document.weather_year_changed.connect(self._show_weather)
        self._show_weather()

    # Layout

    def _gap(self) -> int:
        return round(em() * 1.4)

    def _arrange(self, columns: int) -> None:
        margin = round(em() * 0.6)
        self._grid.setContentsMargins(margin, round(margin * 0.7), margin, round(margin * 0.7))
        self._grid.setHorizontalSpacing(self._gap())
        self._grid.setVerticalSpacing(round(em() * 0.5))
        if columns == self._columns:
            return
        for index in range(len(self._parts)):
            self._grid.setColumnStretch(index, 0)
        for index, part in enumerate(self._parts):
            self._grid.addWidget(part, index // columns, index % columns)
            # A slider gains by room, the figures don't: they get what their words need.
            if part is not self.figures:
                self._grid.setColumnStretch(index % columns, 1)
        self._columns = columns
        self.updateGeometry()

    def _fit(self) -> None:
        widths = [
            max(part.minimumSizeHint().width(), em() * (8.0 if part is self.figures else 12.0))
            for part in self._parts
        ]
        margins = self._grid.contentsMargins()
        room = self.width() - margins.left() - margins.right()
        self._arrange(columns_for(widths, room=room, gap=self._gap()))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._fit()

    def minimumSizeHint(self) -> QSize:
        # As narrow as one part, so that the strip never holds the window open.
        margins = self._grid.contentsMargins()
        widest = max(part.minimumSizeHint().width() for part in self._parts)
        return QSize(widest + margins.left() + margins.right(), self._grid.minimumSize().height())

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_grid"):
            self._fit()

    # Actions

    def _make_actions(self) -> list[QAction]:
        find = QAction(tr("Fin&d a place"), self)
        find.setObjectName("action_find_place")
        find.setShortcut(QKeySequence(tr("Ctrl+L")))
        find.triggered.connect(self.find_place)
        position = QAction(tr("Own po&sition…"), self)
        position.setObjectName("action_own_position")
        position.triggered.connect(self.place.ask_position)
        self._all_years = QAction(tr("All weather &years"), self)
        self._all_years.setObjectName("action_all_weather_years")
        self._all_years.triggered.connect(self._look_at_all)
        self.find_action = find
        return [find, position, self._all_years]

    def actions(self) -> list[QAction]:
        """What the window offers in its menus."""
        return list(self._actions)

    @Slot()
    def find_place(self) -> None:
        """Go to the search for a place."""
        self.place.search.setFocus()
        self.place.search.selectAll()

    @Slot()
    def _look_at_all(self) -> None:
        self._document.look_at_weather_year(None)

    @Slot()
    def _show_weather(self) -> None:
        self._all_years.setEnabled(self._document.weather_year is not None)

    def stop(self) -> None:
        """End what runs beside; safe to call twice."""
        self.figures.stop()
        self.place.stop()
