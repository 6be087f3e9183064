"""The shelf panel: search, filters, the list, and the windows worked out beside the window."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import (
    QEvent,
    QItemSelectionModel,
    QModelIndex,
    QObject,
    QSize,
    Qt,
    QTimer,
    Signal,
    Slot,
)
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Yard
from bloomline.plan.season.shelf import ShelfWindow, shelf_windows
from bloomline.reference.catalogue import load_companions
from bloomline.ui.document import Document
from bloomline.ui.season_service import Beside, SeasonService
from bloomline.ui.shelf.companions import CompanionEntry as _OnTop
from bloomline.ui.shelf.companions import companion_entries, filtered_companions
from bloomline.ui.shelf.delegate import ShelfDelegate
from bloomline.ui.shelf.entries import Entry, entries_of, filtered
from bloomline.ui.shelf.filters import FilterRow
from bloomline.ui.shelf.header import MonthHeader
from bloomline.ui.shelf.model import ShelfModel
from bloomline.ui.shelf.planting import plant_on_selected_pot
from bloomline.ui.shelf.telling import TO_COMPANIONS, ShelfTelling
from bloomline.ui.shelf.view import ShelfView
from bloomline.ui.theme import em
from bloomline.ui.units import units_of

_REST_MS = 150
_SELECT = QItemSelectionModel.SelectionFlag.ClearAndSelect


class ShelfPanel(QWidget):
    """Everything that can be planted, with its expected window at this place."""

    plant_requested = Signal(str)
    """Plant this kind in the selected pot (cultivar id)."""
    message = Signal(str)
    """Something to be told in passing, such as why a drop is refused."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._service = service
        self._entries: tuple[Entry, ...] = ()
        self._own: tuple[Cultivar, ...] = ()
        self._companions: tuple[_OnTop, ...] = ()
        self._southern: bool | None = None
        self._windows: dict[str, ShelfWindow] = {}
        self._asked: object = None
        self._waiting_for: object = None
        self._waits = service.report is None
        self._settings: tuple[bool, str | None] = (False, None)
        self._telling = ShelfTelling(self)
        self._beside = Beside(self)
        self._beside.answered.connect(self._take_windows)
        # All kinds are worked out once a slider rests: while it moves, they would take the
        # interpreter from the season and its picture.
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(_REST_MS)
        self._rest.timeout.connect(self._work)
        self._model = ShelfModel(document, self)
        self._build()
        document.yard_changed.connect(self._follow_yard)
        document.day_changed.connect(self._follow_day)
        document.file_changed.connect(self._ask)
        service.report_ready.connect(self._follow_report)
        service.failed.connect(self._follow_report)
        self._follow_yard(document.yard)

    def _build(self) -> None:
        self.setObjectName("shelf")
        self.setAccessibleName(self.tr("Shelf"))
        self.search = QLineEdit(self)
        self.search.setObjectName("shelf_search")
        self.search.setPlaceholderText(self.tr("Find a plant"))
        self.search.setClearButtonEnabled(True)
        self.search.setAccessibleName(self.tr("Find a plant"))
        self.search.setAccessibleDescription(
            self.tr("Part of a name, in any spelling; Down goes to the list")
        )
        self.search.installEventFilter(self)
        self.filters = FilterRow(self)
        self.summary = QLabel(self)
        self.summary.setObjectName("muted")
        self.summary.setWordWrap(True)
        self.view = ShelfView(self._model, self)
        self.view.setObjectName("shelf_list")
        self.view.setAccessibleDescription(
            self.tr("Enter plants it in the selected pot; or drag it onto a pot")
        )
        self.months = MonthHeader(self.view, self)
        self._delegate = ShelfDelegate(self._document, self)
        self.view.setItemDelegate(self._delegate)
        self.empty = QLabel(self)
        self.empty.setObjectName("shelf_empty")
        self.empty.setWordWrap(True)
        self.empty.setTextFormat(Qt.TextFormat.RichText)
        self.empty.setTextInteractionFlags(Qt.TextInteractionFlag.LinksAccessibleByKeyboard)
        self.empty.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignHCenter)
        self.empty.setMargin(round(em()))
        self.empty.linkActivated.connect(self._follow_link)
        self._pages = QStackedWidget(self)
        self._pages.addWidget(self.view)
        self._pages.addWidget(self.empty)
        self.hint = QLabel(self)
        self.hint.setObjectName("caution")
        self.hint.setWordWrap(True)
        self.hint.setTextFormat(Qt.TextFormat.PlainText)
        self.hint.setVisible(False)
        column = QVBoxLayout(self)
        gap = round(em() * 0.4)
        column.setContentsMargins(gap, gap, gap, gap)
        head = QHBoxLayout()
        head.addWidget(self.search, 1)
        head.addWidget(self.filters.more)
        column.addLayout(head)
        for widget in (self.filters, self.summary, self.months, self.hint):
            column.addWidget(widget)
        before: QWidget = self.search
        for after in (*self.filters.tab_chain(), self.view):
            QWidget.setTabOrder(before, after)
            before = after
        column.addWidget(self._pages, 1)
        column.setSpacing(round(gap * 0.8))

        self._plant_action = QAction(self.tr("&Plant in the selected pot"), self)
        self._plant_action.setObjectName("action_plant_bulb")
        self._plant_action.triggered.connect(self._plant_current)
        self._show_all_action = QAction(self.tr("Show the &whole shelf"), self)
        self._show_all_action.setObjectName("action_show_all_bulbs")
        self._show_all_action.triggered.connect(self.show_all)

        self.search.textChanged.connect(self._filter)
        self.search.returnPressed.connect(self._into_list)
        self.filters.changed.connect(self._filter)
        self.view.chosen.connect(self.plant_requested)
        self.view.companion_chosen.connect(self._plant_companion)
        self.view.left_upwards.connect(self._back_to_search)
        self.view.hint_changed.connect(self._show_hint)
        self.view.selectionModel().currentChanged.connect(self._follow_current)
        self._model.taken_out.connect(self.message)
        self._follow_current()

    def minimumSizeHint(self) -> QSize:
        return QSize(round(em() * 12), round(em() * 16))

    # What the window uses

    def actions(self) -> list[QAction]:
        """Actions for the menus."""
        return [self._plant_action, self._show_all_action]

    def stop(self) -> None:
        """End the work beside the window."""
        self._rest.stop()
        self._beside.stop()

    @property
    def windows(self) -> dict[str, ShelfWindow]:
        """Expected windows by cultivar id; empty until the first are worked out."""
        return self._windows

    @Slot()
    def focus_search(self) -> None:
        """Put the cursor into the search field."""
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.search.selectAll()

    @Slot()
    def show_all(self) -> None:
        """Take the search and all filters off."""
        self.search.clear()
        self.filters.reset()

    def show_cultivar(self, cultivar_id: str) -> None:
        """Bring a kind into view and put the keyboard on it."""
        if self.filters.companions.isChecked() or self._model.row_of(cultivar_id) is None:
            self.show_all()
        row = self._model.row_of(cultivar_id)
        if row is not None:
            index = self._model.index(row)
            self.view.setCurrentIndex(index)
            self.view.scrollTo(index)

    # Following the yard

    @Slot(object)
    def _follow_yard(self, yard: Yard) -> None:
        self.filters.show_units(units_of(yard))
        southern = yard.place.latitude_deg < 0
        if southern != self._southern:
            self._southern = southern
            self._companions = companion_entries(load_companions(), southern=southern)
            self._filter()
        if not self._entries or self._own != yard.own_cultivars:
            self._own = yard.own_cultivars
            self._entries = entries_of(self._document.catalogue, own=yard.own_cultivars)
            self.filters.show_kinds(self._entries)
            self._filter()
        elif (yard.settings.pets, yard.settings.units) != self._settings:
            self._model.refresh()
        self._settings = (yard.settings.pets, yard.settings.units)
        self._ask()

    @Slot(object)
    def _follow_report(self, _report: object) -> None:
        # Weather that was read in since tells itself by a new report.
        if self._waits:
            # The season comes first, and is painted before all kinds are worked out.
            self._waits = False
            self._rest.start()
        else:
            self._ask()

    @Slot(object)
    def _follow_day(self, _day: object) -> None:
        self.view.viewport().update()
        self._tell_count()

    @Slot()
    def _ask(self) -> None:
        """Have the windows worked out soon if something that they stand on is another."""
        wanted = self._wanted()
        if wanted != self._asked and wanted != self._waiting_for and not self._waits:
            self._waiting_for = wanted
            self._rest.start()

    def _wanted(self) -> tuple[object, ...]:
        """What the windows stand on: most edits of a yard change nothing of it."""
        outlook = self._document.outlook
        yard, report = outlook.yard, self._service.report
        offset = yard.site_offsets.get("open", 0.0)
        learned = None if report is None else (report.learned_at("open"), report.garden_sd_days)
        kinds = yard.own_cultivars
        return (outlook.garden, outlook.recorded, yard.season_year, offset, kinds, learned)

    @Slot()
    def _work(self) -> None:
        self._waiting_for = None
        wanted = self._wanted()
        if wanted == self._asked:
            return
        self._asked = wanted
        self._beside.ask(partial(shelf_windows, self._document.outlook.usual))

    @Slot(object)
    def _take_windows(self, answer: object) -> None:
        if not isinstance(answer, dict):
            self._asked = None
            self.message.emit(str(answer))
            return
        self._windows = answer
        self._model.show_windows(answer)
        self._filter()

    # Filtering

    @Slot()
    def _filter(self) -> None:
        wanted = self.filters.wanted(self.search.text())
        order = self.filters.chosen_order()
        is_on_top = self.filters.companions.isChecked()
        shown: tuple[Entry | _OnTop, ...]
        if is_on_top:
            shown = filtered_companions(self._companions, wanted, order=order)
        else:
            shown = filtered(self._entries, wanted, windows=self._windows, order=order)
        self.view.setAccessibleName(
            self.tr("Companions on the shelf") if is_on_top else self.tr("Bulbs on the shelf")
        )
        keep = self.view.current_id
        offset = self.view.verticalScrollBar().value()
        if shown != self._model.entries:
            self._model.show(shown)
            row = self._model.row_of(keep) if keep else None
            if row is not None:
                self.view.selectionModel().setCurrentIndex(self._model.index(row), _SELECT)
            self.view.verticalScrollBar().setValue(offset)
        self._pages.setCurrentWidget(self.view if shown else self.empty)
        self.months.setVisible(bool(shown))
        if not shown:
            words = self._telling.how_to_widen(wanted, is_on_top=is_on_top, on_top=self._companions)
            self.empty.setText(words)
        self._tell_count()

    @Slot(str)
    def _follow_link(self, link: str) -> None:
        if link == TO_COMPANIONS:
            text = self.search.text()
            self.filters.reset()
            self.filters.companions.setChecked(True)
            self.search.setText(text)
        else:
            self.show_all()

    def _tell_count(self) -> None:
        shown = self._model.entries
        if self.filters.companions.isChecked():
            words = self._telling.count_on_top(len(shown), len(self._companions))
        else:
            words = self._telling.count(
                shown,
                len(self._entries),
                windows=self._windows,
                month=self.filters.month.currentData() or self._document.day.month,
            )
        self.summary.setText(words)

    # Keys and hints

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if (
            watched is self.search
            and isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
        ):
            if event.key() in (Qt.Key.Key_Down, Qt.Key.Key_PageDown):
                self._into_list()
                return True
            if event.key() == Qt.Key.Key_Escape and self.search.text():
                self.search.clear()
                return True
        return super().eventFilter(watched, event)

    @Slot()
    def _into_list(self) -> None:
        if not self._model.entries:
            return
        if not self.view.currentIndex().isValid():
            self.view.setCurrentIndex(self._model.index(0))
        self.view.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot()
    def _back_to_search(self) -> None:
        self.search.setFocus(Qt.FocusReason.BacktabFocusReason)

    @Slot()
    def _plant_current(self) -> None:
        self.view.choose_current()

    @Slot(str)
    def _plant_companion(self, companion_id: str) -> None:
        reason = plant_on_selected_pot(self._document, companion_id)
        if reason:
            self.message.emit(reason)

    @Slot(QModelIndex, QModelIndex)
    def _follow_current(self, _now: object = None, _before: object = None) -> None:
        self._plant_action.setEnabled(self.view.current_id is not None)

    @Slot(str)
    def _show_hint(self, words: str) -> None:
        self.hint.setText(words)
        # In place of the count, so that the list does not jump under the pointer.
        self.hint.setVisible(bool(words))
        self.summary.setVisible(not words)
        if words:
            self.message.emit(words)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() in (
            QEvent.Type.PaletteChange,
            QEvent.Type.FontChange,
            QEvent.Type.ApplicationFontChange,
        ) and hasattr(self, "_delegate"):
            self._delegate.restyle()
            self.filters.restyle()
            self.view.doItemsLayout()
            self.months.updateGeometry()
