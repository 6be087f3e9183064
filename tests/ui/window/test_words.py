"""Every word of the window is a message: in a language that is none, others show."""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QGroupBox,
    QLabel,
    QLineEdit,
    QWidget,
)

from bloomline.model import edits
from bloomline.ui.window import MainWindow
from bloomline.words import tr

DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"
Unmarked = Callable[..., set[str]]


def words_of(root: QWidget) -> Iterator[tuple[str, str]]:
    """What stands on a widget's visible parts, and what it tells of them: (words, where)."""
    for widget in (root, *root.findChildren(QWidget)):
        if not widget.isVisible() or QWidget.window(widget) is not root:
            continue
        where = f"{type(widget).__name__} {widget.objectName()}"
        if isinstance(widget, QLabel | QAbstractButton):
            yield widget.text(), where
        if isinstance(widget, QGroupBox):
            yield widget.title(), where
        if isinstance(widget, QLineEdit):
            yield widget.placeholderText(), f"placeholder of {where}"
        yield widget.toolTip(), f"tip of {where}"
        yield widget.accessibleName(), f"name of {where}"


def bare(words: str) -> str:
    """Words without markup."""
    return html.unescape(re.sub(r"<[^>]*>", "", words))


def left_plain(
    root: QWidget, unmarked: Unmarked, *, data: str = ""
) -> list[tuple[str, str, set[str]]]:
    """What is not in the language that is none, and no name out of the yard."""
    # On whose word a thing is said stays as it was printed.
    source = tr("Source: {source}").partition("{")[0].strip("·: ")
    found = (
        (words, where, unmarked(bare(words).partition(source)[0], data))
        for words, where in words_of(root)
    )
    return [each for each in found if each[2]]


def names_in(window: MainWindow) -> str:
    """Names that are data, whatever the language."""
    report = window.service.report
    assert report is not None
    return f"{report.place_label} {report.yard_name} hollyhock lane bloomline"


@pytest.mark.parametrize("chosen", ["yard", "pot", "layer", "pots", "layers", "empty"])
def test_all_words_of_the_window_are_marked(
    pseudo_language: str, unmarked: Unmarked, open_window: Any, chosen: str
) -> None:
    window = open_window(None if chosen == "empty" else DEMO)
    yard = window.document.yard
    if chosen == "pot":
        window.document.select(pot_id=yard.pots[1].id)
    elif chosen == "layer":
        window.document.select(layer_id=yard.pots[1].layers[1].id)
    elif chosen == "pots":
        window.document.select_all([pot.id for pot in yard.pots[:3]])
    elif chosen == "layers":
        window.document.select_all([layer.id for _, layer in yard.layers()])
    QApplication.processEvents()
    assert left_plain(window, unmarked, data=names_in(window)) == []
    assert len([words for words, _ in words_of(window) if not words.isascii()]) > 60
    plain = [one.text() for one in window.all_actions() if unmarked(one.text(), "English")]
    assert plain == []
    assert not window.grab().isNull()


Show = Callable[[MainWindow], None]


@pytest.mark.parametrize(
    ("name", "show"),
    [
        ("about", MainWindow.show_about),
        ("export", MainWindow.export_chart),
        ("guide", lambda window: window.files.new_yard()),
        ("question_unsaved", MainWindow.close),
        ("file_dialog", lambda window: window.files.save_as()),
    ],
)
def test_dialogs_open_in_any_language(
    pseudo_language: str, unmarked: Unmarked, window: MainWindow, hands: Any, name: str, show: Show
) -> None:
    found: list[tuple[str, str, set[str]]] = []
    words: list[str] = []

    def look(dialog: Any) -> None:
        QApplication.processEvents()
        words.extend(text for text, _ in words_of(dialog))
        if name != "file_dialog":  # that one is Qt's own, in Qt's own languages
            found.extend(left_plain(dialog, unmarked, data=names_in(window)))
        dialog.reject()

    if name == "question_unsaved":
        window.document.edit("Rename", lambda yard: edits.rename_yard(yard, "Another"))
    hands.do(name, look)
    show(window)
    assert hands.asked == [name]
    assert words
    assert found == []


# The offscreen platform says so when the help page comes to the front.
@pytest.mark.qt_log_ignore("This plugin does not support raise")
def test_the_help_page_opens_in_any_language(
    pseudo_language: str, unmarked: Unmarked, window: MainWindow
) -> None:
    window.show_help()
    page = window._help
    assert page is not None
    QApplication.processEvents()
    assert left_plain(page, unmarked) == []
    assert not page.text.toPlainText().isascii()
    page.close()
