"""What can be done with the kind chosen on the shelf, from its menu and by keys."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QModelIndex, QObject, QPoint, Qt, Signal, Slot
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu

from bloomline.plan.season.shelf import ShelfWindow
from bloomline.ui.document import Document
from bloomline.ui.shelf.companions import CompanionEntry
from bloomline.ui.shelf.cupboard import CupboardRow
from bloomline.ui.shelf.entries import Entry
from bloomline.ui.shelf.facts import FactsDialog
from bloomline.ui.shelf.menu import ShelfMenu, open_at
from bloomline.ui.shelf.model import Role
from bloomline.ui.shelf.planting import (
    count_in_cupboard,
    plant_from_cupboard,
    plant_on_selected_pot,
    stock_of,
    stock_words,
)
from bloomline.ui.shelf.view import ShelfView
from bloomline.ui.shelf.words import CompanionWords
from bloomline.words import tr


class ShelfDeeds(QObject):
    """Menu, cupboard and facts of the list's entries."""

    plant_requested = Signal(str)
    """Plant this kind in the selected pot (cultivar id)."""
    genus_wanted = Signal(str)
    """Show only the kinds of this genus."""
    message = Signal(str)

    def __init__(self, document: Document, view: ShelfView, row: CupboardRow) -> None:
        super().__init__(view)
        self._document = document
        self._view = view
        self._row = row
        self._menu = ShelfMenu(view)
        self._words = CompanionWords()
        self.count_action = QAction(tr("Count the cup&board …"), view)
        self.count_action.setObjectName("action_count_cupboard")
        self.count_action.setShortcut("F2")
        self.count_action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
        self.count_action.triggered.connect(self._count)
        view.addAction(self.count_action)
        view.menu_requested.connect(self._open_menu)
        view.companion_chosen.connect(self.plant_companion)
        row.counted.connect(self._take_count)
        row.left.connect(self._back_to_list)

    @property
    def current(self) -> Entry | CompanionEntry | None:
        """What the keyboard stands on."""
        entry = self._view.currentIndex().data(Role.ENTRY)
        return entry if isinstance(entry, Entry | CompanionEntry) else None

    def menu(self) -> QMenu | None:
        """The menu of what the keyboard stands on."""
        entry = self.current
        if isinstance(entry, CompanionEntry):
            companion = entry.companion
            return self._menu.for_companion(
                companion.name,
                plant=partial(self.plant_companion, companion.id),
                facts=partial(self._show_facts, entry),
            )
        if entry is None:
            return None
        kind = entry.cultivar
        return self._menu.for_kind(
            kind,
            stock_of(self._document, kind.id),
            plant=partial(self.plant_requested.emit, kind.id),
            from_cupboard=partial(self.plant_from_cupboard, kind.id),
            count=self._count,
            take_out=partial(self._take_count, kind.id, 0),
            facts=partial(self._show_facts, entry),
            only_genus=partial(self.genus_wanted.emit, kind.genus),
        )

    def follow(self) -> None:
        """Show the count of the kind the keyboard stands on."""
        entry = self.current
        kind = entry.cultivar if isinstance(entry, Entry) else None
        self.count_action.setEnabled(kind is not None)
        stock = None if kind is None else stock_of(self._document, kind.id)
        self._row.show_kind(kind, stock)

    @Slot(str)
    def plant_companion(self, companion_id: str) -> None:
        """Set a companion on the selected pot."""
        reason = plant_on_selected_pot(self._document, companion_id)
        if reason:
            self.message.emit(reason)

    def plant_from_cupboard(self, cultivar_id: str) -> None:
        """Plant no more than are left in the cupboard, and say how many are left then."""
        reason = plant_from_cupboard(self._document, cultivar_id)
        self.message.emit(reason or stock_words(self._document, cultivar_id))

    @Slot(QPoint)
    def _open_menu(self, place: QPoint) -> None:
        menu = self.menu()
        if menu is not None:
            open_at(menu, place)

    @Slot()
    def _count(self) -> None:
        self._row.begin()

    @Slot(str, int)
    def _take_count(self, cultivar_id: str, count: int) -> None:
        count_in_cupboard(self._document, cultivar_id, count)

    @Slot()
    def _back_to_list(self) -> None:
        self._view.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_facts(self, entry: Entry | CompanionEntry) -> None:
        yard = self._document.yard
        if isinstance(entry, CompanionEntry):
            name = entry.companion.name
            html = self._words.companion_tip(entry, yard=yard)
        else:
            name = entry.cultivar.name
            window = self._window_of(self._view.currentIndex())
            html = self._words.facts(entry, window, yard=yard)
        FactsDialog(name, html, self._view.window()).open()

    @staticmethod
    def _window_of(index: QModelIndex) -> ShelfWindow | None:
        window = index.data(Role.WINDOW)
        return window if isinstance(window, ShelfWindow) else None
