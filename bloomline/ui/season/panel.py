"""The season panel: the timeline, its table twin, the film of the season and its buttons."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta

from PySide6.QtCore import QEvent, Qt, Signal, Slot
from PySide6.QtGui import QAction, QCloseEvent, QHideEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QStackedWidget, QVBoxLayout, QWidget

from bloomline.model.yard import Yard
from bloomline.plan.forecast.report import SeasonReport
from bloomline.plan.season.best_day import best_day, days_of_colour
from bloomline.ui.document import Document
from bloomline.ui.dressed import Splitter, say_as
from bloomline.ui.files.memory import ProgramSettings
from bloomline.ui.season.actions import PLOT_ONLY, SeasonActions
from bloomline.ui.season.empty import EmptyPage
from bloomline.ui.season.geometry import growing_days
from bloomline.ui.season.head import SeasonHead
from bloomline.ui.season.look import current_look
from bloomline.ui.season.notes import SeasonNotes
from bloomline.ui.season.planting import PlantingDays
from bloomline.ui.season.player import Player
from bloomline.ui.season.shown import Shown
from bloomline.ui.season.table import SeasonTable
from bloomline.ui.season.table_view import SeasonTableView
from bloomline.ui.season.targets import SeasonTargets
from bloomline.ui.season.view import SeasonView
from bloomline.ui.season.words import SeasonWords
from bloomline.ui.season_service import SeasonService
from bloomline.ui.successions import conflicts_now
from bloomline.words import tr

_ZOOM_STEP = 1.3
_ORDER_KEY = "season/by_first_flower"


class SeasonPanel(QWidget):
    """When each layer flowers, and the day that is looked at."""

    details_requested = Signal(str)
    """Id of a layer or of companions whose details are wanted."""
    add_pot_requested = Signal()
    first_yard_requested = Signal()

    def __init__(
        self,
        document: Document,
        service: SeasonService,
        parent: QWidget | None = None,
        *,
        today: Callable[[], date] = date.today,
        settings: ProgramSettings | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("season_panel")
        self._document, self._service, self._today = document, service, today
        self._words = SeasonWords(self)
        self._shown = Shown(look=current_look(), day=document.day, today=today())
        self._shown.take_yard(document.yard)
        self._settings = settings
        if settings is not None:
            self._shown.by_first_flower = settings.value(_ORDER_KEY) is True
        self._offered: list[QAction | None] = []
        self._planting = PlantingDays(document, self._shown, self)
        self.player = Player(self)
        self.targets = SeasonTargets(document, self._shown, self)
        self.targets.changed.connect(self._show_targets)
        self.notes = SeasonNotes(self._words, self)
        self.view = SeasonView(self._shown, self._words, self)
        self.table = SeasonTable(self._words, self)
        self.table_view = SeasonTableView(self.table, self)
        self._actions = SeasonActions(
            self._deeds(), owner=self, plot=self.view, table=self.table_view
        ).by_name
        self._actions["season_by_first_flower"].setChecked(self._shown.by_first_flower)
        self.head = SeasonHead(self._actions, self._words, self)
        self._build()
        self._connect()
        self._select()
        if service.report is not None:
            self._take_report(service.report)
        self._choose_page()

    # Building

    def actions(self) -> list[QAction]:
        """What the panel offers, for menus."""
        return list(self._actions.values())

    def offer(self, actions: Sequence[QAction | None]) -> None:
        """Put other parts' actions into the context menu of rows, before those of the panel."""
        self._offered += [*actions, None]
        own = [self._actions[name] for name in self._actions if name.startswith("plant_")]
        self.table_view.menu_actions = [*self._offered, *own, self._actions["fill_gap"]]
        self.view.menu_actions = [
            *self._offered,
            *own,
            self._actions["fill_gap"],
            None,
            *(self._actions[name] for name in ("season_fit", "season_zoom_in", "season_zoom_out")),
        ]

    def put_under(self, lanes: QWidget) -> None:
        """Let lanes lie under the rows; the handle between them parts the height."""
        parted = Splitter(Qt.Orientation.Vertical, self._plot_page)
        parted.addWidget(self._rows)
        parted.addWidget(lanes)
        parted.setStretchFactor(0, 1)
        layout = self._plot_page.layout()
        assert layout is not None
        layout.addWidget(parted)
        parted.show()

    def _deeds(self) -> dict[str, Callable[..., object]]:
        """What each action does, by its name."""
        planting = self._planting
        return {
            "play_season": self.play_or_stop,
            "day_today": self.look_at_today,
            "day_before": lambda: self._step_day(-1),
            "day_after": lambda: self._step_day(1),
            "season_fit": self.view.fit,
            "season_zoom_in": lambda: self.view.zoom(_ZOOM_STEP),
            "season_zoom_out": lambda: self.view.zoom(1 / _ZOOM_STEP),
            "season_by_first_flower": self.order,
            "season_as_table": self.show_table,
            "bare_after": lambda: self.view.step_bare(1),
            "bare_before": lambda: self.view.step_bare(-1),
            "fill_gap": self.view.ask_gap,
            "plant_day_before": planting.day_before,
            "plant_day_after": planting.day_after,
            "plant_week_before": planting.week_before,
            "plant_week_after": planting.week_after,
        }

    def _build(self) -> None:
        self.view.setAccessibleName(tr("Season timeline"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        self.pages = QStackedWidget(self)
        self._plot_page = QWidget()
        self._rows = QWidget(self._plot_page)
        whole = QVBoxLayout(self._plot_page)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self._rows)
        row = QHBoxLayout(self._rows)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(0)
        row.addWidget(self.view, 1)
        row.addWidget(self.view.scroll_bar)
        self.empty = EmptyPage()
        self._waiting_page = QLabel(tr("Working the season out…"))
        say_as(self._waiting_page, "muted")
        self._waiting_page.setAlignment(Qt.AlignmentFlag.AlignCenter)
        for page in (self._plot_page, self.table_view, self.empty, self._waiting_page):
            self.pages.addWidget(page)
        column.addWidget(self.pages, 1)
        column.addWidget(self.notes)

    def _connect(self) -> None:
        document, service, view = self._document, self._service, self.view
        document.yard_changed.connect(self._take_yard)
        document.selection_changed.connect(self._select)
        document.day_changed.connect(self._take_day)
        service.report_ready.connect(self._take_report)
        service.failed.connect(self._tell_failure)
        view.day_asked.connect(self._look_at)
        view.chosen.connect(self._choose)
        view.planting_asked.connect(self._planting.plant)
        view.planting_let_go.connect(self._planting_let_go)
        view.details_asked.connect(self._ask_details)
        self.notes.gap_asked.connect(view.gap_asked)
        self.empty.fill_requested.connect(self._fill_empty)
        self.table_view.parts_chosen.connect(self._choose_parts)
        self.table_view.details_asked.connect(self._ask_details)
        self.player.day_asked.connect(self._play_day)
        self.player.playing_changed.connect(self._playing_changed)
        self.head.speed_changed.connect(self._change_speed)

    # What comes from the document

    @Slot(object)
    def _take_report(self, report: SeasonReport) -> None:
        self._shown.today = self._today()
        self._shown.take_report(report, hold_order=self.view.hand.holds_planting)
        self._shown.take_conflicts(conflicts_now(self._document))
        self._fill_table(report)
        self.view.keep_window(report)
        self.head.heading.setText(tr("Season {year}", year=str(report.season_year)))
        self.head.heading.setToolTip(
            tr(
                "From {first} to {last}, at {place}",
                first=report.first_day,
                last=report.last_day,
                place=report.place_label,
            )
        )
        # The place stands above.
        self.head.show_basis(report.weather_label, shorter=report.learned_words)
        self.targets.follow()
        self._choose_page()
        self.view.renew()
        self._select_in_table()
        self._document.offer_day(best_day(report))
        self._describe()

    @Slot()
    def _show_targets(self) -> None:
        self.view.renew()
        self._choose_page()

    def _fill_table(self, report: SeasonReport) -> None:
        shown = self._shown
        self.table.take(
            report,
            planted=dict(shown.planted),
            conflicts=shown.conflicts,
            by_first_flower=shown.by_first_flower,
            rows=None if shown.holds_order else shown.rows.rows,
            is_seen=self._actions["season_as_table"].isChecked(),
        )

    @Slot(str)
    def _tell_failure(self, words: str) -> None:
        self.head.show_basis(words, is_failure=True)

    @Slot(object)
    def _take_yard(self, yard: Yard) -> None:
        self._choose_page()
        # Another place is seen when its report comes, not before.
        if self._shown.take_yard(yard):
            self.view.renew_marks(report_comes=self._service.is_busy)

    @Slot(object)
    def _take_day(self, day: date) -> None:
        self._shown.day = day
        self.view.show_day()
        self._describe()

    @Slot()
    def _select(self) -> None:
        document, shown = self._document, self._shown
        shown.selection, shown.pot_id, shown.cursor = document.selection, document.pot_id, None
        shown.current = document.layer_id or document.companion_id or document.pot_id
        self.view.show_selection()
        self._select_in_table()
        self._enable()
        self._describe()

    def _select_in_table(self) -> None:
        document = self._document
        current = document.layer_id or document.companion_id
        if not self.table.is_waiting:
            self.table_view.select_parts(document.selection.parts, current=current)

    def _enable(self) -> None:
        has_report = self._shown.report is not None and bool(self._document.yard.pots)
        is_plot = not self._actions["season_as_table"].isChecked()
        for name, action in self._actions.items():
            is_right = True
            if name.startswith("plant_"):
                document = self._document
                is_right = (document.layer_id or document.companion_id) is not None
            elif name in PLOT_ONLY:
                is_right = is_plot and (name[:4] != "bare" or self._shown.has_bare)
            action.setEnabled(has_report and is_right)
        self.head.speed.setEnabled(has_report)

    def _describe(self) -> None:
        """Tell a screen reader what the timeline shows."""
        report, document = self._shown.report, self._document
        if report is not None:
            name = document.layer_id or document.companion_id
            conflict = self._shown.conflicts.get(name or "")
            told = self._words.told(report, document.day, selected=name, conflict=conflict)
            gap = self._words.gap_told(self._shown.gap)
            self.view.setAccessibleDescription(f"{told}; {gap}" if gap else told)

    def _choose_page(self) -> None:
        yard = self._document.yard
        if not yard.pots:
            page: QWidget = self.empty
            self.empty.show_state(is_new=self._is_new)
            self.player.stop()
        elif self._shown.report is None:
            page = self._waiting_page
        elif self._actions["season_as_table"].isChecked():
            page = self.table_view
        else:
            page = self._plot_page
        if self.pages.currentWidget() is not page:
            self.pages.setCurrentWidget(page)
        self.notes.show_season(self._shown, yard, is_table=page is self.table_view)
        self.setFocusProxy(self._answering(page))
        self._enable()

    def _answering(self, page: QWidget) -> QWidget:
        """What of a page takes the keys."""
        if page is self.empty:
            return self.empty.button
        return self.view if page is self._plot_page else page

    # What goes to the document

    @property
    def _is_new(self) -> bool:
        return self._document.path is None and not self._document.undo_stack.count()

    @Slot()
    def _fill_empty(self) -> None:
        if self._is_new:
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

    @Slot(str, object)
    def _choose(self, name: str, keys: Qt.KeyboardModifier) -> None:
        """Select a row alone, with Ctrl besides the others, with Shift all up to it."""
        is_pot = any(pot.id == name for pot in self._document.yard.pots)
        if not is_pot and name not in self._shown.planted:
            return  # a report may lag behind the yard: its layer may be gone
        if keys & Qt.KeyboardModifier.ShiftModifier:
            rows = self._shown.rows.rows
            order = [row.part_id for row in rows if (row.plant is None) == is_pot]
            self._document.select_up_to(name, order)
        elif keys & Qt.KeyboardModifier.ControlModifier:
            self._document.select_too(name)
        else:
            self._document.select_all([name])

    @Slot(list, object)
    def _choose_parts(self, part_ids: list[str], current: str | None) -> None:
        self._document.select_all(part_ids, current=current)

    @Slot(str)
    def _ask_details(self, part_id: str) -> None:
        if part_id in self._shown.planted:
            self.details_requested.emit(part_id)

    @Slot()
    def _planting_let_go(self) -> None:
        # Rows held in place under the hand now take their order by first flower.
        if self._shown.report is not None:
            self._shown.take_report(self._shown.report)
            self.view.show_selection()

    # The other actions

    @Slot()
    def play_or_stop(self) -> None:
        """Start or stop the film."""
        report = self._shown.report
        if self.player.is_playing or report is None:
            self.player.stop()
            return
        first, last = days_of_colour(report) or growing_days(report)
        # From the day chosen, if someone chose one: the one that is offered is the season's best.
        start = self._document.day if self._document.day_is_chosen else first
        self.player.play(first, last, start=start)

    @Slot(bool)
    def _playing_changed(self, is_playing: bool) -> None:
        words = tr("&Stop the film") if is_playing else tr("&Play the season")
        action = self._actions["play_season"]
        action.setText(words)
        action.setIconText(tr("■ Stop") if is_playing else tr("▶ Play"))
        self.head.buttons["play_season"].setAccessibleName(words.replace("&", ""))

    @Slot(float)
    def _change_speed(self, speed: float) -> None:
        self.player.speed = speed

    @Slot()
    def look_at_today(self) -> None:
        """Look at today."""
        self.view.ask_day(self._today())

    def _step_day(self, days: int) -> None:
        self.view.ask_day(self._document.day + timedelta(days=days))

    @Slot(bool)
    def order(self, by_first_flower: bool) -> None:
        """Put the pots in order of first flower, or in the yard's order."""
        if by_first_flower == self._shown.by_first_flower:
            return
        self._shown.by_first_flower = by_first_flower
        if self._settings is not None:
            self._settings.setValue(_ORDER_KEY, by_first_flower)
        if self._shown.report is not None:
            self._shown.take_report(self._shown.report)
            self._fill_table(self._shown.report)
            self.view.show_selection()
            self._select_in_table()

    @property
    def by_first_flower(self) -> bool:
        """Whether the pots stand in order of first flower, not as in the yard."""
        return self._shown.by_first_flower

    @Slot(bool)
    def show_table(self, _is_table: bool) -> None:
        """Show the table in place of the timeline, or the timeline again."""
        had_focus = self.view.hasFocus() or self.table_view.hasFocus()
        self.table.catch_up()
        self._select_in_table()
        self._choose_page()
        if had_focus:
            self.setFocus()

    # Life of the widget

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        kinds = (QEvent.Type.PaletteChange, QEvent.Type.FontChange, QEvent.Type.LocaleChange)
        if event.type() in kinds and hasattr(self, "_actions"):
            self._restyle()

    def _restyle(self) -> None:
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
        self.targets.stop()
