"""The context menu of the shelf: what can be done with the kind under the mouse."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, QPoint, Qt
from PySide6.QtGui import QAction, QGuiApplication, QKeySequence
from PySide6.QtWidgets import QMenu, QWidget

from bloomline.model.cultivar import Cultivar
from bloomline.plan.shop.cupboard import Stock
from bloomline.ui.hands.plain import shown
from bloomline.words import tr

Deed = Callable[[], object]


class ShelfMenu(QObject):
    """Makes the menu of a kind out of what the shelf can do."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._parent = parent

    def for_kind(
        self,
        cultivar: Cultivar,
        stock: Stock | None,
        *,
        plant: Deed,
        from_cupboard: Deed,
        count: Deed,
        take_out: Deed,
        facts: Deed,
        only_genus: Deed,
    ) -> QMenu:
        """The menu of a kind of bulb."""
        menu = self._menu()
        self._add(menu, "shelf_menu_plant", tr("&Plant in the selected pot"), plant, "Enter")
        if stock is not None:
            words = tr("Plant from the &cupboard ({n} left)", n=stock.left)
            self._add(menu, "shelf_menu_from_cupboard", words, from_cupboard).setEnabled(
                stock.left > 0
            )
        menu.addSeparator()
        self._add(menu, "shelf_menu_count", tr("Count the cup&board …"), count, "F2")
        if stock is not None:
            self._add(menu, "shelf_menu_take_out", tr("Take &out of the cupboard"), take_out)
        menu.addSeparator()
        self._add(menu, "shelf_menu_facts", tr("&Facts …"), facts)
        only = tr("Show only {genus}", genus=cultivar.genus)
        self._add(menu, "shelf_menu_only_genus", only, only_genus)
        self._add_copy(menu, cultivar.name)
        return menu

    def for_companion(self, name: str, *, plant: Deed, facts: Deed) -> QMenu:
        """The menu of a companion."""
        menu = self._menu()
        self._add(menu, "shelf_menu_plant", tr("&Plant on the selected pot"), plant, "Enter")
        menu.addSeparator()
        self._add(menu, "shelf_menu_facts", tr("&Facts …"), facts)
        self._add_copy(menu, name)
        return menu

    def _menu(self) -> QMenu:
        menu = QMenu(self._parent)
        menu.setObjectName("shelf_menu")
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        return menu

    def _add_copy(self, menu: QMenu, name: str) -> None:
        def copy() -> None:
            QGuiApplication.clipboard().setText(shown(name))

        self._add(menu, "shelf_menu_copy", tr("Copy the &name"), copy)

    @staticmethod
    def _add(menu: QMenu, name: str, words: str, deed: Deed, keys: str = "") -> QAction:
        # The keys belong to the list: here they are only told.
        told = QKeySequence(keys).toString(QKeySequence.SequenceFormat.NativeText)
        action = menu.addAction(f"{words}\t{told}" if told else words)
        action.setObjectName(name)
        action.triggered.connect(lambda _checked=False: deed())
        return action


def open_at(menu: QMenu, place: QPoint) -> None:
    """Show a menu, the first entry under the keyboard."""
    menu.popup(place)
    actions = menu.actions()
    if actions:
        menu.setActiveAction(actions[0])
