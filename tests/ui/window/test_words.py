"""Every word of the window goes through the translator: one that marks what it is given shows."""

from __future__ import annotations

import html
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QLocale, QObject, QTranslator
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QGroupBox,
    QLabel,
    QLineEdit,
    QWidget,
)

from bloomline.model import edits
from bloomline.reference.sites import load_sites
from bloomline.ui.details.cards import AdviceCard
from bloomline.ui.window import MainWindow

DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"
OPEN, CLOSE = "⟦", "⟧"


class Marking(QTranslator):
    """Puts brackets round all words and makes them a third longer, as other languages are."""

    def translate(
        self, context: str, source: str, disambiguation: str | None = None, n: int = -1
    ) -> str:
        pad = "~" * (len(source) // 3)
        return f"{OPEN}{source}{pad}{CLOSE}"

    def isEmpty(self) -> bool:
        return False


@pytest.fixture
def marking(qapp: QApplication) -> Iterator[Marking]:
    translator = Marking()
    qapp.installTranslator(translator)
    yield translator
    qapp.removeTranslator(translator)


def words_of(root: QWidget) -> Iterator[tuple[str, str]]:
    """What stands on a widget's visible parts, and what it tells of them: (words, where)."""
    for widget in (root, *root.findChildren(QWidget)):
        if not widget.isVisible() or QWidget.window(widget) is not root or in_advice(widget):
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
    """Words without markup and without the names of months, which are the locale's."""
    plain = html.unescape(re.sub(r"<[^>]*>", "", words))
    for month in range(1, 13):
        for form in (QLocale.FormatType.LongFormat, QLocale.FormatType.ShortFormat):
            plain = plain.replace(QLocale().monthName(month, form), "")
    return plain.strip().casefold()


def unmarked(root: QWidget, *, data: set[str]) -> list[tuple[str, str]]:
    """Words without a mark that are not names out of the yard or the reference data."""
    return [
        (words, where)
        for words, where in words_of(root)
        if OPEN not in words
        and any(letter.isalpha() for letter in bare(words))
        and not any(bare(words) in each or each in bare(words) for each in data)
    ]


def names_in(window: MainWindow) -> set[str]:
    """Names that are data, whatever the language."""
    document, report = window.document, window.service.report
    assert report is not None
    yard = document.yard
    found = {yard.name, yard.place.name, report.place_label}
    for pot in yard.pots:
        found.add(pot.name)
        for layer in pot.layers:
            kind = document.cultivar(layer.cultivar_id)
            found |= {kind.name, kind.common_type}
    # What the reference tables and the plan call things is English, here and in print.
    found |= {site.label for site in load_sites().values()} | {report.weather_label}
    return {each.casefold() for each in found if each}


def in_advice(widget: QWidget) -> bool:
    """Whether a widget tells advice: its sentences come from the rules, as on the command line."""
    at: QObject | None = widget
    while at is not None:
        if isinstance(at, AdviceCard):
            return True
        at = at.parent()
    return False


@pytest.mark.parametrize("chosen", ["yard", "pot", "layer", "empty"])
def test_all_words_of_the_window_are_marked(
    marking: Marking, open_window: Any, chosen: str
) -> None:
    window = open_window(None if chosen == "empty" else DEMO)
    yard = window.document.yard
    if chosen == "pot":
        window.document.select(pot_id=yard.pots[1].id)
    elif chosen == "layer":
        window.document.select(layer_id=yard.pots[1].layers[1].id)
    QApplication.processEvents()
    assert unmarked(window, data=names_in(window)) == []
    marked = [words for words, _ in words_of(window) if OPEN in words]
    assert len(marked) > 60
    actions = window.all_actions()
    assert [one.text() for one in actions if OPEN not in one.text()] == []
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
    marking: Marking, window: MainWindow, hands: Any, name: str, show: Show
) -> None:
    found: list[tuple[str, str]] = []
    words: list[str] = []

    def look(dialog: Any) -> None:
        QApplication.processEvents()
        words.extend(text for text, _ in words_of(dialog))
        if name != "file_dialog":  # that one is Qt's own, in Qt's own languages
            found.extend(unmarked(dialog, data=names_in(window)))
        dialog.reject()

    if name == "question_unsaved":
        window.document.edit("Rename", lambda yard: edits.rename_yard(yard, "Another"))
    hands.do(name, look)
    show(window)
    assert hands.asked == [name]
    assert any(OPEN in each for each in words)
    assert found == []


# The offscreen platform says so when the help page comes to the front.
@pytest.mark.qt_log_ignore("This plugin does not support raise")
def test_the_help_page_opens_in_any_language(marking: Marking, window: MainWindow) -> None:
    window.show_help()
    page = window._help
    assert page is not None
    QApplication.processEvents()
    assert unmarked(page, data=set()) == []
    assert OPEN in page.text.toPlainText()
    page.close()
