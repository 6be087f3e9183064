"""The one menu bar of the window: made once, the same on every page.

What belongs to a page stands on the page; its keys are listed in the help.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, SignalInstance
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu

from bloomline.ui.colours_menu import ColoursMenu
from bloomline.ui.help.content import KeyGroup, KeyLine, key_line
from bloomline.ui.icons import icon
from bloomline.ui.language_menu import LanguageMenu
from bloomline.ui.page_commands import PAGE_COMMANDS, key_lines
from bloomline.ui.pages import PAGES
from bloomline.ui.theme import bar_sheet, current_theme
from bloomline.words import tr

if TYPE_CHECKING:
    from bloomline.ui.window import MainWindow

Keys = QKeySequence.StandardKey | str | None
Deed = Callable[[], object] | SignalInstance
LEGEND_KEY = "window/legend"
_Entries = Sequence[QAction | None]
"""None is a line between groups."""


class MenuBar(QObject):
    """Fills the bar of a window and knows every command there is."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._menus: list[QMenu] = []
        # Children of the window, not of their menus: the wrapper of a menu that is made on the
        # way takes those of its children along when it goes (PySide6 6.10).
        self.colours = ColoursMenu(window.settings, window)
        self.language = LanguageMenu(window.settings, window)
        self._fill_file()
        self._fill_edit()
        self._fill_view()
        self._fill_go()
        self._fill_help()
        self._dress()
        window.menuBar().installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.PaletteChange:
            self._dress()
        return False

    def _dress(self) -> None:
        """Take the colours of light or dark, with the tabs in its corner."""
        bar, sheet = self._window.menuBar(), bar_sheet(current_theme())
        if bar.styleSheet() != sheet:
            bar.setStyleSheet(sheet)

    def _fill_file(self) -> None:
        window = self._window
        export = self._action(
            "export", tr("&Export season chart…"), window.export_chart, "Ctrl+E", "export"
        )
        close = self._action("close", tr("&Quit"), window.close, QKeySequence.StandardKey.Quit)
        self._print_menu = QMenu(tr("&Print"), window)
        self._print_menu.setObjectName("print_menu")
        self._print_menu.menuAction().setObjectName("menu_print")
        self._print_menu.menuAction().setIcon(icon("print"))
        key = QKeySequence.StandardKey.Print
        self._print_menu.addActions(
            [
                self._action("print_season", tr("&Season chart…"), window.print_chart, key),
                self._action("print_cards", tr("Planting &cards"), window.print_cards, None),
                self._action("print_labels_of_yard", tr("&Labels"), window.print_labels, None),
                self._action("print_tasks", tr("&Tasks"), window.print_tasks, None),
                self._action("print_shopping", tr("&What to buy"), window.print_shopping, None),
            ]
        )
        of_files, printing = window.files.actions(), self._print_menu.menuAction()
        self._menu(tr("&File"), [*of_files, None, printing, export, None, close])

    def _fill_edit(self) -> None:
        window, undoing = self._window, self._window.undoing
        menu = self._menu(
            tr("&Edit"),
            [
                *(undoing.undo_action, undoing.redo_action, None),
                *(*window.yard.commands.editing(), None),
                *(window.records.note_action, window.details.edit_action, None),
                *window.kinds.actions(),
            ],
        )
        menu.aboutToShow.connect(undoing.refresh)

    def _fill_view(self) -> None:
        window = self._window
        self.show_shelf = self._action("show_shelf", tr("Show the &shelf"), None, "F9")
        self.show_details = self._action("show_details", tr("Show the &details"), None, "F10")
        column, details = window.shelf_column, window.details
        for action, panel in ((self.show_shelf, column), (self.show_details, details)):
            action.setCheckable(True)
            action.setChecked(True)
            action.toggled.connect(panel.setVisible)
        self.show_legend = self._action("show_legend", tr("Show the le&gend"), None, "F8")
        self.show_legend.setCheckable(True)
        self.show_legend.setStatusTip(tr("What bars, bands, hatching and marks mean"))
        self.show_legend.toggled.connect(window.take_legend)
        self.show_legend.setChecked(window.settings.value(LEGEND_KEY) is True)
        self._menu(
            tr("&View"),
            [
                *(self.show_shelf, self.show_details, self.show_legend, None),
                *(*window.stage.actions(), None),
                *(self.colours.menuAction(), self.language.menuAction()),
            ],
        )

    def _fill_go(self) -> None:
        window = self._window
        search = self._action(
            "search_shelf", tr("Sea&rch the shelf"), window.search_shelf, "Ctrl+F"
        )
        pages = window.pages.actions_of_pages()
        self._menu(tr("G&o"), [*pages, None, window.conditions.find_action, search])

    def _fill_help(self) -> None:
        window, key = self._window, QKeySequence.StandardKey.HelpContents
        keys = self._action("help", tr("&Help and keys"), window.show_help, key, "help")
        about = self._action("about", tr("&About bloomline"), window.show_about, None, "about")
        self._menu(tr("&Help"), [keys, about])

    def _action(
        self, name: str, text: str, deed: Deed | None, keys: Keys, picture: str = ""
    ) -> QAction:
        action = QAction(text, self._window)
        action.setObjectName(f"action_{name}")
        if keys is not None:
            action.setShortcut(QKeySequence(keys))
        if picture:
            action.setIcon(icon(picture))
        if deed is not None:
            action.triggered.connect(deed)
        return action

    def _menu(self, title: str, entries: _Entries) -> QMenu:
        menu = self._window.menuBar().addMenu(title)
        menu.setToolTipsVisible(True)
        for action in entries:
            if action is None:
                menu.addSeparator()
            else:
                menu.addAction(action)
        self._menus.append(menu)
        return menu

    # What there is

    def commands(self) -> list[QAction]:
        """Every command of the menus and of the Yard page, in order."""
        return [*(each for menu in self._menus for each in _in_menu(menu)), *self._of_yard_page()]

    def _of_yard_page(self) -> list[QAction]:
        """What stands on the Yard page alone."""
        window = self._window
        in_menus = {each.objectName() for menu in self._menus for each in _in_menu(menu)}
        on_page = (window.yard, window.season, window.details, window.shelf, window.conditions)
        actions = [action for part in on_page for action in part.actions()]
        return [each for each in actions if each.objectName() not in in_menus]

    def key_groups(self) -> list[KeyGroup]:
        """All commands with their keys, menu by menu and page by page, for the help."""
        groups = [KeyGroup(_plain(menu), tuple(_lines(menu))) for menu in self._menus]
        yard = tuple(key_line(each) for each in self._of_yard_page())
        groups.append(KeyGroup(tr("On the page {page}", page=tr("Yard")), yard))
        for spec in PAGES:
            if spec.name in PAGE_COMMANDS:
                title = tr("On the page {page}", page=spec.title())
                groups.append(KeyGroup(title, key_lines(spec.name)))
        return groups


def _plain(menu: QMenu) -> str:
    return menu.title().replace("&", "")


def _lines(menu: QMenu) -> Iterator[KeyLine]:
    """What the help says of a menu, of menus beside it with their name before each."""
    beside = {each for each in map(QAction.menu, menu.actions()) if isinstance(each, QMenu)}
    inner = {id(action): each for each in beside for action in each.actions()}
    for action in _in_menu(menu):
        line = key_line(action)
        if id(action) in inner:
            title = _plain(inner[id(action)])
            line = replace(line, name=tr("{menu}: {command}", menu=title, command=line.name))
        yield line


def _in_menu(menu: QMenu) -> list[QAction]:
    """The commands of a menu, those of a menu beside it in their place, but for lists of files."""
    found: list[QAction] = []
    for action in menu.actions():
        inner = action.menu()
        if isinstance(inner, QMenu) and inner.objectName() != "menu_recent":
            found += _in_menu(inner)
        elif not action.isSeparator():
            found.append(action)
    return found
