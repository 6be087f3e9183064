"""The shelf panel: search, filters, the list, and the windows worked out beside the window."""

from __future__ import annotations

from PySide6.QtCore import (
    QEvent,
    QItemSelectionModel,
    QModelIndex,
    QObject,
    QSize,
    Qt,
    Signal,
    Slot,
)
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Yard
from bloomline.plan.season.bare_fill import bare_days_filled
from bloomline.plan.season.kinds_asked import KindsFound
from bloomline.plan.season.shelf import ShelfWindow
from bloomline.plan.shop.cupboard import stock_of
from bloomline.reference.catalogue import load_companions
from bloomline.ui.document import Document
from bloomline.ui.dressed import say_as
from bloomline.ui.season_service import SeasonService
from bloomline.ui.shelf.companions import CompanionEntry as _OnTop
from bloomline.ui.shelf.companions import companion_entries, filtered_companions
from bloomline.ui.shelf.cupboard import CupboardRow
from bloomline.ui.shelf.deeds import ShelfDeeds
from bloomline.ui.shelf.delegate import ShelfDelegate
from bloomline.ui.shelf.entries import (
    NOTHING_KNOWN,
    Entry,
    Known,
    entries_of,
    filtered,
    find_entries,
    nearest,
)
from bloomline.ui.shelf.filters import FilterRow
from bloomline.ui.shelf.header import MonthHeader
from bloomline.ui.shelf.model import ShelfModel
from bloomline.ui.shelf.season import ShelfSeason
from bloomline.ui.shelf.telling import TO_COMPANIONS, TO_PACKET, ShelfTelling
from bloomline.ui.shelf.view import ShelfView
from bloomline.ui.theme import em
from bloomline.ui.units import units_of
from bloomline.words import tr

_SELECT = QItemSelectionModel.SelectionFlag.ClearAndSelect


class ShelfPanel(QWidget):
    """Everything that can be planted, with its expected window at this place."""

    plant_requested = Signal(str)
    """Plant this kind in the selected pot (cultivar id)."""
    packet_requested = Signal(str)
    """Make a kind from its packet, by what is typed in the search."""
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
        self._listed = document.catalogue
        self._companions: tuple[_OnTop, ...] = ()
        self._southern: bool | None = None
        self._kinds = document.catalogue
        self._known = NOTHING_KNOWN
        self._found: KindsFound | None = None
        self._settings: tuple[bool, str | None] = (False, None)
        self._telling = ShelfTelling(self)
        self.season = ShelfSeason(document, service, self)
        self.season.changed.connect(self._take_windows)
        self.season.failed.connect(self.message)
        self._model = ShelfModel(document, self)
        self._build()
        document.yard_changed.connect(self._follow_yard)
        document.day_changed.connect(self._follow_day)
        service.report_ready.connect(self._follow_report)
        service.failed.connect(self._follow_report)
        self._follow_yard(document.yard)

    def _build(self) -> None:
        self.setObjectName("shelf")
        self.setAccessibleName(tr("Shelf"))
        self.search = QLineEdit(self)
        self.search.setObjectName("shelf_search")
        self.search.setPlaceholderText(tr("Find a plant: white tulip april"))
        self.search.setClearButtonEnabled(True)
        self.search.setAccessibleName(tr("Find a plant"))
        self.search.setAccessibleDescription(
            tr(
                "Words in any order and any spelling: names, kind, colour, scented, a month, a "
                "height; Down goes to the list"
            )
        )
        self.search.installEventFilter(self)
        self.filters = FilterRow(self)
        self.summary = QLabel(self)
        say_as(self.summary, "muted")
        self.summary.setWordWrap(True)
        self.view = ShelfView(self._model, self)
        self.view.setObjectName("shelf_list")
        self.view.setAccessibleDescription(
            tr("Enter plants it in the selected pot; or drag it onto a pot")
        )
        self.cupboard = CupboardRow(self)
        self.cupboard.setVisible(False)
        self.deeds = ShelfDeeds(self._document, self.view, self.cupboard)
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
        say_as(self.hint, "caution")
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
        self.missing = QPushButton(tr("Not in the list…"), self)
        self.missing.setObjectName("shelf_missing")
        self.missing.setToolTip(tr("Make a kind from what stands on its packet"))
        self.missing.setAutoDefault(False)
        # Low and beside the words, or it would take a row of the list away.
        self.missing.setFixedHeight(round(em() * 1.2))
        self.missing.setStyleSheet("padding: 0 4px;")
        self.missing.clicked.connect(self._ask_packet)
        about = QHBoxLayout()
        about.addWidget(self.summary, 1)
        about.addWidget(self.missing)
        column.addWidget(self.filters)
        column.addLayout(about)
        for widget in (self.months, self.hint):
            column.addWidget(widget)
        before: QWidget = self.search
        for after in (
            *self.filters.tab_chain(),
            self.missing,
            self.view,
            self.cupboard.count,
        ):
            QWidget.setTabOrder(before, after)
            before = after
        column.addWidget(self._pages, 1)
        column.addWidget(self.cupboard)
        column.setSpacing(round(gap * 0.8))

        self._plant_action = QAction(tr("&Plant in the selected pot"), self)
        self._plant_action.setObjectName("action_plant_bulb")
        self._plant_action.triggered.connect(self._plant_current)
        self._show_all_action = QAction(tr("Show the &whole shelf"), self)
        self._show_all_action.setObjectName("action_show_all_bulbs")
        self._show_all_action.triggered.connect(self.show_all)

        self.search.textChanged.connect(self._filter)
        self.search.returnPressed.connect(self._into_list)
        self.filters.changed.connect(self._filter)
        self.view.chosen.connect(self._plant_chosen)
        self.deeds.plant_requested.connect(self.plant_requested)
        self.deeds.genus_wanted.connect(self._show_only)
        self.cupboard.left.connect(self._fold_cupboard)
        self.deeds.message.connect(self.message)
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
        return [self._plant_action, self.deeds.count_action, self._show_all_action]

    def stop(self) -> None:
        """End the work beside the window."""
        self.season.stop()

    @property
    def windows(self) -> dict[str, ShelfWindow]:
        """Expected windows by cultivar id; empty until the first are worked out."""
        return self.season.windows

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
        settings = (yard.settings.pets, yard.settings.units)
        southern = yard.place.latitude_deg < 0
        if southern != self._southern:
            self._southern = southern
            self._companions = companion_entries(load_companions(), southern=southern)
            self._filter()
        listed = self._document.catalogue  # with the gardener's kinds for all yards
        if not self._entries or (self._listed, self._own) != (listed, yard.own_cultivars):
            self._listed, self._own = listed, yard.own_cultivars
            self._kinds = self._document.catalogue.with_own(yard.own_cultivars)
            self._entries = entries_of(self._document.catalogue, own=yard.own_cultivars)
            self.filters.show_kinds(self._entries)
            self._learn(by_season=False)
            self._filter()
        elif not self._learn(by_season=False) and settings != self._settings:
            self._model.refresh()
        self._settings = settings
        self.season.ask(self._kinds)

    def _learn(self, *, by_season: bool) -> bool:
        """Take over what is known of the kinds now; whether that is another than before.

        A season comes before or after its yard: whichever brings something new shows it.
        by_season : whether the season or the windows are others.
        """
        report = self._service.report
        bare = self._known.bare_days
        if by_season:
            bare = bare_days_filled(report, self.windows) if report and self.windows else None
        known = Known(self.windows, stock_of(self._document.outlook), bare)
        changed = known != self._known
        if changed:
            self._known = known
            self._model.show_known(known, tells_bare=self.filters.bare.isChecked())
            if self.filters.cupboard.isChecked() or self.filters.bare.isChecked():
                self._filter()
        self.deeds.follow()
        return changed

    @Slot(object)
    def _follow_report(self, _report: object) -> None:
        self._learn(by_season=True)

    @Slot(object)
    def _follow_day(self, _day: object) -> None:
        self.view.viewport().update()
        self._tell_count()

    @Slot()
    def _take_windows(self) -> None:
        self._learn(by_season=True)
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
            self._found = find_entries(
                self._entries,
                wanted.text,
                known=self._known,
                kinds=self._kinds,
                inches=units_of(self._document.yard).imperial,
            )
            shown = filtered(
                self._entries, wanted, known=self._known, order=order, found=self._found
            )
            if not shown and not self._telling.on_top_named(wanted, self._companions):
                shown = nearest(self._entries, self._found)
        self._model.show_known(self._known, tells_bare=wanted.when_bare)
        self.cupboard.setVisible(wanted.in_cupboard or self.cupboard.count.hasFocus())
        self.view.setAccessibleName(
            tr("Companions on the shelf") if is_on_top else tr("Bulbs on the shelf")
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
            words = self._telling.how_to_widen(
                wanted, is_on_top=is_on_top, on_top=self._companions, report=self._service.report
            )
            self.empty.setText(words)
        self._tell_count()

    @Slot()
    def _ask_packet(self) -> None:
        self.packet_requested.emit(self.search.text().strip())

    @Slot(str)
    def _follow_link(self, link: str) -> None:
        if link == TO_PACKET:
            self._ask_packet()
        elif link == TO_COMPANIONS:
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
        elif shown and self._found is not None and not self._found.ranks:
            words = self._telling.nearest(self.search.text())
        else:
            words = self._telling.count(
                shown,
                len(self._entries),
                windows=self.windows,
                month=self.filters.month.currentData() or self._document.day.month,
                wanted=self.filters.wanted(""),
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
    def _plant_chosen(self, cultivar_id: str) -> None:
        """Plant a kind; while the cupboard is looked through, out of the cupboard."""
        if self.filters.cupboard.isChecked():
            self.deeds.plant_from_cupboard(cultivar_id)
        else:
            self.plant_requested.emit(cultivar_id)

    @Slot()
    def _fold_cupboard(self) -> None:
        self.cupboard.setVisible(self.filters.cupboard.isChecked())

    @Slot(str)
    def _show_only(self, genus: str) -> None:
        self.filters.reset()
        self.search.setText(genus)

    @Slot(QModelIndex, QModelIndex)
    def _follow_current(self, _now: object = None, _before: object = None) -> None:
        self._plant_action.setEnabled(self.view.current_id is not None)
        self.deeds.follow()

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
