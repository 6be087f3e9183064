"""The season panel: the timeline, its table twin, the film of the season and its buttons."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

from PySide6.QtCore import QElapsedTimer, QEvent, QLocale, Qt, Signal, Slot
from PySide6.QtGui import QAction, QCloseEvent, QHideEvent
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from bloomline.model import edits
from bloomline.model.yard import Yard
from bloomline.plan.report import SeasonReport
from bloomline.ui.document import Document
from bloomline.ui.season.actions import ActionData, make_action
from bloomline.ui.season.geometry import Range, growing_days, kept_within, limits_of
from bloomline.ui.season.look import current_look
from bloomline.ui.season.player import SPEEDS, Player
from bloomline.ui.season.shown import Shown
from bloomline.ui.season.table import SeasonTable
from bloomline.ui.season.table_view import SeasonTableView
from bloomline.ui.season.view import SeasonView
from bloomline.ui.season.words import SeasonWords
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import em

_ZOOM_STEP = 1.3
_SAME_GESTURE_MS = 900
"""Key presses nearer than this belong together: they are undone in one step."""


class SeasonPanel(QWidget):
    """When each layer flowers, and the day that is looked at."""

    details_requested = Signal(str)
    """Id of a layer whose details are wanted."""
    add_pot_requested = Signal()
    first_yard_requested = Signal()

    def __init__(
        self,
        document: Document,
        service: SeasonService,
        parent: QWidget | None = None,
        *,
        today: Callable[[], date] = date.today,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("season_panel")
        self._document, self._service, self._today = document, service, today
        self._words = SeasonWords(self)
        self._shown = Shown(look=current_look(), day=document.day, today=today())
        self._shown.take_yard(document.yard)
        self._known: tuple[Range, frozenset[str]] = ((0.0, 0.0), frozenset())
        self._key_clock = QElapsedTimer()
        self._key_gesture, self._key_layer = 0, ""
        self.player = Player(self)
        self.view = SeasonView(self._shown, self._words, self)
        self.table = SeasonTable(self._words, self)
        self.table_view = SeasonTableView(self.table, self)
        self._actions = self._make_actions()
        self._build()
        self._connect()
        self._select()
        if service.report is not None:
            self._take_report(service.report)
        self._choose_page()

    # Building

    def _make_actions(self) -> dict[str, QAction]:
        tr = self.tr
        data = [
            ActionData(
                "play_season", tr("&Play the season"), ("Space",),
                tr("Run the day line through the season"), self._play_or_stop,
            ),
            ActionData(
                "day_today", tr("Look at &today"), ("T",),
                tr("Show the yard as it stands today"), self._look_at_today,
            ),
            ActionData(
                "day_before", tr("Pre&vious day"), ("Left",),
                tr("Move the day line a day back"), self._day_before,
            ),
            ActionData(
                "day_after", tr("&Next day"), ("Right",),
                tr("Move the day line a day on"), self._day_after,
            ),
            ActionData(
                "season_fit", tr("&Whole season"), ("F",),
                tr("Show all days from the first planting to the last flower"), self.view.fit,
            ),
            ActionData(
                "season_zoom_in", tr("Zoom &in"), ("+", "="),
                tr("Show fewer days, wider"), self._zoom_in,
            ),
            ActionData(
                "season_zoom_out", tr("Zoom &out"), ("-",),
                tr("Show more days, narrower"), self._zoom_out,
            ),
            ActionData(
                "season_by_first_flower", tr("Pots by &first flower"), ("O",),
                tr("Put the pots that flower first on top"), self._order, is_toggle=True,
            ),
            ActionData(
                "season_as_table", tr("Show as t&able"), ("Ctrl+T",),
                tr("Show the same season as a table"), self._show_table, is_toggle=True,
            ),
            ActionData(
                "plant_day_before", tr("Plant a day &earlier"), ("Alt+Left",),
                tr("Move the selected layer's planting day a day back"), self._plant_day_before,
            ),
            ActionData(
                "plant_day_after", tr("Plant a day &later"), ("Alt+Right",),
                tr("Move the selected layer's planting day a day on"), self._plant_day_after,
            ),
            ActionData(
                "plant_week_before", tr("Plant a week earlier"), ("Alt+Shift+Left",),
                tr("Move the selected layer's planting day a week back"), self._plant_week_before,
            ),
            ActionData(
                "plant_week_after", tr("Plant a week later"), ("Alt+Shift+Right",),
                tr("Move the selected layer's planting day a week on"), self._plant_week_after,
            ),
        ]  # fmt: skip
        both = ("season_as_table", "plant_")
        made = {}
        for one in data:
            listeners: tuple[QWidget, ...] = (self.view,)
            if one.name.startswith(both):
                listeners = (self.view, self.table_view)
            made[one.name] = make_action(one, owner=self, listeners=listeners)
        return made

    def actions(self) -> list[QAction]:
        """What the panel offers, for menus."""
        return list(self._actions.values())

    def _build(self) -> None:
        self.view.setAccessibleName(self.tr("Season timeline"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(self._build_head())
        self.pages = QStackedWidget(self)
        self._plot_page = QWidget()
        row = QHBoxLayout(self._plot_page)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self.view, 1)
        row.addWidget(self.view.scroll_bar)
        self._empty_page = self._build_empty()
        self._waiting_page = QLabel(self.tr("Working the season out…"))
        self._waiting_page.setObjectName("muted")
        self._waiting_page.setAlignment(Qt.AlignmentFlag.AlignCenter)
        for page in (self._plot_page, self.table_view, self._empty_page, self._waiting_page):
            self.pages.addWidget(page)
        column.addWidget(self.pages, 1)

    def _build_head(self) -> QHBoxLayout:
        head = QHBoxLayout()
        margin = round(em() * 0.5)
        head.setContentsMargins(margin, round(em() * 0.3), margin, round(em() * 0.2))
        head.setSpacing(round(em() * 0.25))
        self.heading = QLabel()
        self.heading.setObjectName("heading")
        self.basis = QLabel()
        self.basis.setObjectName("muted")
        self.basis.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        head.addWidget(self.heading)
        head.addSpacing(margin)
        head.addWidget(self.basis, 1)
        self.speed = QComboBox()
        self.speed.setObjectName("season_speed")
        self.speed.setAccessibleName(self.tr("Speed of the film"))
        self.speed.setToolTip(self.tr("Speed of the film"))
        for speed in SPEEDS:
            decimals = 0 if speed == int(speed) else 1
            words = self.tr("{times} ×").format(times=self._words.number(speed, decimals))
            self.speed.addItem(words, speed)
        self.speed.setCurrentIndex(SPEEDS.index(1.0))
        self._head_buttons: list[QToolButton] = []
        for name, words in (
            ("play_season", self.tr("▶ Play")),
            ("", ""),
            ("day_today", self.tr("Today")),
            ("season_fit", self.tr("Fit")),
            ("season_zoom_out", "−"),
            ("season_zoom_in", "+"),
            ("season_by_first_flower", self.tr("By first flower")),
            ("season_as_table", self.tr("Table")),
        ):
            if not name:
                head.addWidget(self.speed)
                continue
            action = self._actions[name]
            button = QToolButton()
            button.setDefaultAction(action)
            button.setText(words)
            button.setObjectName(f"button_{name}")
            button.setAccessibleName(action.text().replace("&", ""))
            button.setAccessibleDescription(action.statusTip())
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            head.addWidget(button)
            self._head_buttons.append(button)
        return head

    def _build_empty(self) -> QWidget:
        page = QWidget()
        column = QVBoxLayout(page)
        column.addStretch(1)
        self._empty_line = QLabel(
            self.tr("No pots yet. Add one, drop bulbs into it, and see here when they flower.")
        )
        self._empty_line.setObjectName("muted")
        self._empty_line.setWordWrap(True)
        self._empty_line.setAlignment(Qt.AlignmentFlag.AlignCenter)
        column.addWidget(self._empty_line)
        self.empty_button = QPushButton()
        self.empty_button.setObjectName("season_empty_button")
        self.empty_button.clicked.connect(self._fill_empty)
        column.addWidget(self.empty_button, 0, Qt.AlignmentFlag.AlignHCenter)
        column.addStretch(1)
        return page

    def _connect(self) -> None:
        document, service, view = self._document, self._service, self.view
        document.yard_changed.connect(self._take_yard)
        document.selection_changed.connect(self._select)
        document.day_changed.connect(self._take_day)
        service.report_ready.connect(self._take_report)
        service.failed.connect(self._tell_failure)
        view.day_asked.connect(self._look_at)
        view.layer_chosen.connect(self._choose_layer)
        view.pot_chosen.connect(self._choose_pot)
        view.planting_asked.connect(self._plant)
        view.planting_let_go.connect(self._planting_let_go)
        view.details_asked.connect(self.details_requested)
        self.table_view.layer_chosen.connect(self._choose_layer)
        self.table_view.details_asked.connect(self.details_requested)
        self.player.day_asked.connect(self._play_day)
        self.player.playing_changed.connect(self._playing_changed)
        self.speed.currentIndexChanged.connect(self._change_speed)

    # What comes from the document

    @Slot(object)
    def _take_report(self, report: SeasonReport) -> None:
        self._shown.today = self._today()
        hold = self.view.hand.holds_planting
        self._shown.take_report(report, hold_order=hold)
        self.table.take(report, planted=self._shown.planted)
        self._keep_window(report)
        self.heading.setText(self.tr("Season {year}").format(year=str(report.season_year)))
        self._show_basis(f"{report.place_label} · {report.weather_label}")
        self._choose_page()
        self.view.renew()
        self.table_view.select_layer(self._document.layer_id)
        self._describe()

    def _keep_window(self, report: SeasonReport) -> None:
        """Keep the days shown while the same yard changes; fit when it is another one."""
        limits = limits_of(report)
        layers = frozenset(layer.layer_id for layer in report.layers)
        old_limits, old_layers = self._known
        self._known = (limits, layers)
        is_other = limits != old_limits or not (layers & old_layers)
        # A whole season that gains or loses a layer is still to be a whole season.
        if is_other or (self.view.is_fitted and layers != old_layers):
            self.view.fit()
        else:
            window = kept_within(self.view.window, limits)
            if window != self.view.window:
                self.view.show_window(window)

    def _show_basis(self, words: str, *, is_failure: bool = False) -> None:
        name = "warning" if is_failure else "muted"
        if self.basis.objectName() != name:
            self.basis.setObjectName(name)
            self.basis.style().unpolish(self.basis)
            self.basis.style().polish(self.basis)
        self.basis.setText(words)
        self.basis.setToolTip(words)

    @Slot(str)
    def _tell_failure(self, words: str) -> None:
        self._show_basis(words, is_failure=True)

    @Slot(object)
    def _take_yard(self, yard: Yard) -> None:
        self._shown.take_yard(yard)
        self._choose_page()
        self._enable()
        self.view.renew()

    @Slot(object)
    def _take_day(self, day: date) -> None:
        self._shown.day = day
        self.view.show_day()
        self._describe()

    @Slot()
    def _select(self) -> None:
        self._shown.layer_id = self._document.layer_id
        self._shown.pot_id = self._document.pot_id
        self.view.show_selection()
        self.table_view.select_layer(self._document.layer_id)
        self._enable()
        self._describe()

    def _enable(self) -> None:
        has_report = self._shown.report is not None and bool(self._document.yard.pots)
        for name, action in self._actions.items():
            needs_layer = name.startswith("plant_")
            action.setEnabled(has_report and (not needs_layer or bool(self._document.layer_id)))
        self.speed.setEnabled(has_report)

    def _describe(self) -> None:
        """Tell a screen reader what the timeline shows."""
        report, document = self._shown.report, self._document
        if report is None:
            return
        words = [
            self.tr("%n layer(s)", "", len(report.layers)),
            self._words.strip_tip(report, document.day),
        ]
        layer = next((one for one in report.layers if one.layer_id == document.layer_id), None)
        if layer is not None:
            words.append(self.tr("selected: {name}").format(name=layer.name))
            if layer.start is not None:
                words.append(self.tr("opens {band}").format(band=self._words.band(layer.start)))
            elif layer.reason:
                words.append(layer.reason)
        self.view.setAccessibleDescription("; ".join(words))

    def _choose_page(self) -> None:
        yard = self._document.yard
        if not yard.pots:
            page: QWidget = self._empty_page
            is_new = self._document.path is None and not self._document.undo_stack.count()
            self.empty_button.setText(
                self.tr("Plan a first yard…") if is_new else self.tr("Add a pot")
            )
            self.player.stop()
        elif self._shown.report is None:
            page = self._waiting_page
        elif self._actions["season_as_table"].isChecked():
            page = self.table_view
        else:
            page = self._plot_page
        if self.pages.currentWidget() is not page:
            self.pages.setCurrentWidget(page)
        self._enable()

    # What goes to the document

    @Slot()
    def _fill_empty(self) -> None:
        document = self._document
        if document.path is None and not document.undo_stack.count():
            self.first_yard_requested.emit()
        else:
            self.add_pot_requested.emit()

    @Slot(object)
    def _look_at(self, day: date) -> None:
        self.player.stop()
        self._document.look_at(day)

    @Slot(object)
    def _play_day(self, day: date) -> None:
        self._document.look_at(day)

    @Slot(str)
    def _choose_layer(self, layer_id: str) -> None:
        # A report may lag behind the yard: its layer may be gone.
        if layer_id in self._shown.planted:
            self._document.select(layer_id=layer_id)

    @Slot(str)
    def _choose_pot(self, pot_id: str) -> None:
        if any(pot.id == pot_id for pot in self._document.yard.pots):
            self._document.select(pot_id=pot_id)

    @Slot(str, object, str)
    def _plant(self, layer_id: str, day: date, gesture: str) -> None:
        if layer_id in self._shown.planted and self._shown.planted[layer_id] != day:
            self._document.edit(
                self.tr("Change planting day"),
                lambda yard: edits.set_planted(yard, [layer_id], day),
                gesture=gesture,
            )

    @Slot()
    def _planting_let_go(self) -> None:
        # Rows held in place under the hand now take their order by first flower.
        if self._shown.report is not None:
            self._shown.take_report(self._shown.report)
            self.view.show_selection()

    def _plant_by(self, days: int) -> None:
        layer = self._document.selected_layer()
        report = self._shown.report
        if layer is None or report is None:
            return
        is_same = (
            self._key_layer == layer.id
            and self._key_clock.isValid()
            and self._key_clock.elapsed() < _SAME_GESTURE_MS
        )
        if not is_same:
            self._key_gesture += 1
        self._key_layer = layer.id
        self._key_clock.start()
        day = min(layer.planted + timedelta(days=days), report.last_day)
        self._plant(layer.id, day, f"planting-keys-{self._key_gesture}")

    @Slot()
    def _plant_day_before(self) -> None:
        self._plant_by(-1)

    @Slot()
    def _plant_day_after(self) -> None:
        self._plant_by(1)

    @Slot()
    def _plant_week_before(self) -> None:
        self._plant_by(-7)

    @Slot()
    def _plant_week_after(self) -> None:
        self._plant_by(7)

    # The other actions

    @Slot()
    def _play_or_stop(self) -> None:
        report = self._shown.report
        if self.player.is_playing or report is None:
            self.player.stop()
            return
        first, last = growing_days(report)
        self.player.play(first, last, start=self._document.day)

    @Slot(bool)
    def _playing_changed(self, is_playing: bool) -> None:
        words = self.tr("&Stop the film") if is_playing else self.tr("&Play the season")
        self._actions["play_season"].setText(words)
        button = self._head_buttons[0]
        button.setText(self.tr("■ Stop") if is_playing else self.tr("▶ Play"))
        button.setAccessibleName(words.replace("&", ""))

    @Slot(int)
    def _change_speed(self, _index: int) -> None:
        self.player.speed = float(self.speed.currentData())

    @Slot()
    def _look_at_today(self) -> None:
        self.view.ask_day(self._today())

    @Slot()
    def _day_before(self) -> None:
        self.view.ask_day(self._document.day - timedelta(days=1))

    @Slot()
    def _day_after(self) -> None:
        self.view.ask_day(self._document.day + timedelta(days=1))

    @Slot()
    def _zoom_in(self) -> None:
        self.view.zoom(_ZOOM_STEP)

    @Slot()
    def _zoom_out(self) -> None:
        self.view.zoom(1 / _ZOOM_STEP)

    @Slot(bool)
    def _order(self, by_first_flower: bool) -> None:
        self._shown.by_first_flower = by_first_flower
        if self._shown.report is not None:
            self._shown.take_report(self._shown.report)
            self.view.show_selection()

    @Slot(bool)
    def _show_table(self, _is_table: bool) -> None:
        had_focus = self.view.hasFocus() or self.table_view.hasFocus()
        self._choose_page()
        if had_focus:
            self.pages.currentWidget().setFocus()

    # Life of the widget

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        kinds = (QEvent.Type.PaletteChange, QEvent.Type.FontChange, QEvent.Type.LocaleChange)
        if event.type() in kinds and hasattr(self, "_actions"):
            self._restyle()

    def _restyle(self) -> None:
        self._words.locale = QLocale()
        self._shown.look = current_look()
        if self._shown.report is not None:
            self._shown.take_report(self._shown.report)
        self.view.restyle()
        self.table_view.resize_columns()

    def hideEvent(self, event: QHideEvent) -> None:
        self.player.stop()
        super().hideEvent(event)

    def closeEvent(self, event: QCloseEvent) -> None:
        self.stop()
        super().closeEvent(event)

    def stop(self) -> None:
        """End what runs by itself; safe to call twice."""
        self.player.stop()
