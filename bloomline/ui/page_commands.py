"""What each page beside the yard can be told to do: words, keys and picture, in one table.

A page makes its actions from here, and the help lists them from here without making the page.
"""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QKeySequence

from bloomline.ui.help.content import KeyLine
from bloomline.ui.icons import icon
from bloomline.words import marked, tr

COPY, PRINT, EXPORT, IMPORT = "Ctrl+Shift+C", "Ctrl+Shift+P", "Ctrl+Shift+E", "Ctrl+Shift+I"
"""The same key means the like on every page."""


@dataclass(frozen=True, slots=True)
class Command:
    """A command: the name of its action, its words (to be translated), its keys, its picture."""

    name: str
    words: str
    keys: str = ""
    picture: str = ""


PAGE_COMMANDS: dict[str, tuple[Command, ...]] = {
    "fill": (Command("action_fill_look", marked("Look for plans"), "Ctrl+Return", "search"),),
    "work": (
        Command("action_work_calendar", marked("Export a calendar…"), EXPORT, "export"),
        Command("action_work_copy", marked("Copy the tasks as text"), COPY, "copy"),
        Command("action_work_print", marked("Print the tasks…"), PRINT, "print"),
        Command("action_remember_tasks", marked("Remember these days"), "Ctrl+Shift+D"),
        Command("action_roll_over", marked("Make next year's yard…"), "Ctrl+Shift+N"),
    ),
    "stage": (
        Command("action_add_place", marked("Add a place"), "Insert"),
        Command("action_rename_place", marked("Rename the place"), "F2", "rename"),
        Command("action_remove_place", marked("Remove the place"), "Ctrl+Shift+X", "delete"),
        Command("action_stage_table", marked("Table"), "Ctrl+T", "table"),
        Command("action_winter_pots", marked("Let them winter there"), "Ctrl+Shift+W"),
        Command("action_free_stand", marked("Leave it to the rota"), "Ctrl+Shift+L"),
        Command("action_stage_sheet", marked("Save the sheet…"), "Ctrl+Shift+S", "save"),
        Command("action_stage_print", marked("Print the sheet…"), PRINT, "print"),
        Command("action_stage_calendar", marked("Export the moves…"), EXPORT, "export"),
    ),
    "buy": (
        Command("action_buy_copy", marked("Copy the list as text"), COPY, "copy"),
        Command("action_buy_csv", marked("Save the list as CSV…"), EXPORT, "table"),
        Command("action_buy_print", marked("Print the list…"), PRINT, "print"),
        Command("action_import_prices", marked("Import prices…"), IMPORT, "open"),
        Command("action_export_prices", marked("Export prices…"), "Ctrl+Shift+X", "export"),
    ),
    "records": (
        Command("action_records_note", marked("Note what is seen…"), "", "note"),
        Command("action_records_edit", marked("Correct…"), "F2", "rename"),
        Command("action_records_confirm", marked("It is right"), "Ctrl+Shift+R"),
        Command("action_records_delete", marked("Delete"), "", "delete"),
        Command("action_records_import", marked("Import records…"), IMPORT, "open"),
        Command("action_records_export", marked("Export records…"), EXPORT, "export"),
    ),
    "labels": (
        Command("action_save_labels", marked("Save labels…"), EXPORT),
        Command("action_print_labels", marked("Print labels…"), PRINT),
        Command("action_copy_labels", marked("Copy page of labels"), COPY),
    ),
    "weather": (
        Command("action_import_weather", marked("Import weather…"), IMPORT, "open"),
        Command("action_clear_weather", marked("Forget the weather kept")),
    ),
    "compare": (
        Command("action_compare_warmer", marked("As it is, and two degrees warmer"), "Ctrl+1"),
        Command("action_compare_ends", marked("The coldest year and the warmest"), "Ctrl+2"),
        Command("action_compare_later", marked("As it is, and planted two weeks later"), "Ctrl+3"),
    ),
}
"""The commands of each page, by the page's name in `ui.pages`."""


def action_of(name: str, owner: QObject) -> QAction:
    """An action of the table; its keys work while the keyboard is within its page."""
    command = next(each for some in PAGE_COMMANDS.values() for each in some if each.name == name)
    action = QAction(tr(command.words), owner)
    action.setObjectName(name)
    action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
    if command.keys:
        action.setShortcut(QKeySequence(command.keys))
    if command.picture:
        action.setIcon(icon(command.picture))
    return action


def with_keys(action: QAction) -> str:
    """An action's words with its keys behind them, for a tooltip."""
    words = action.text().replace("&", "").rstrip("…")
    keys = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
    return f"{words} ({keys})" if keys else words


def key_lines(page: str) -> tuple[KeyLine, ...]:
    """What the help says of a page's commands."""
    return tuple(
        KeyLine(
            tr(each.words).rstrip("…"),
            QKeySequence(each.keys).toString(QKeySequence.SequenceFormat.NativeText),
        )
        for each in PAGE_COMMANDS[page]
    )
