"""Draws the window's pages, dialogs and states as pictures, to be looked at by eye.

Run by hand: `python tests/benchmarks/looks.py FOLDER --size 1280x720 --scale 2 --dark --long`.
Needs no display. `--long` makes every word two fifths longer, as German is; `--only PART` draws
the states whose names hold it. What is cut, laid over another or too small is told of each state
(`faults_of`); `tests/ui/window/test_looks.py` asks the same.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from PySide6.QtWidgets import QComboBox, QLabel, QWidget

    from bloomline.ui.window import MainWindow

ROOT = Path(__file__).resolve().parent.parent.parent
DEMO = ROOT / "demo" / "hollyhock-lane.bloomline"
DAY, TODAY = date(2027, 4, 24), date(2026, 11, 20)
LIMIT_S = 60.0
LEAST_PT = 9.0

Look = Callable[[str, "QWidget"], None]
"""Takes the name of a state and the widget that shows it."""

# Longer words

_KEPT = re.compile(r"(\{[^{}]*\}|<[^<>]+>|%\(\w+\)s|&\w+;)")
_WORD = re.compile(r"[A-Za-z]{3,}")


def lengthened(text: str) -> str:
    """A message whose words are two fifths longer; gaps and tags stay."""

    def longer(word: re.Match[str]) -> str:
        return word[0] + word[0][-1] * max(1, round(0.4 * len(word[0])))

    parts = _KEPT.split(text)
    return "".join(part if at % 2 else _WORD.sub(longer, part) for at, part in enumerate(parts))


def speak_long(folder: Path) -> None:
    """Put lengthened words in place of every message."""
    from babel.messages.catalog import Catalog

    from bloomline.words import use_language
    from bloomline.words.catalogues import messages, written

    made = Catalog(locale="de", domain="bloomline", fuzzy=False)
    for message in messages(ROOT):
        if isinstance(message.id, tuple):
            made.add(message.id, tuple(map(lengthened, message.id)))
        elif message.id:
            made.add(message.id, lengthened(message.id), context=message.context)
    file = folder / "de" / "LC_MESSAGES" / "bloomline.mo"
    file.parent.mkdir(parents=True)
    file.write_bytes(written(made, compiled=True))
    assert use_language("de", folder=folder) == "de"


# Waiting


def until(what: Callable[[], object], *, rest_s: float = 0.0) -> None:
    """Turn the events until something is so, and for a while at least."""
    from PySide6.QtWidgets import QApplication

    begin = time.monotonic()
    while not what() or time.monotonic() < begin + rest_s:
        if time.monotonic() > begin + LIMIT_S:
            raise TimeoutError(what)
        QApplication.processEvents()
        time.sleep(0.005)


def calm(window: MainWindow, rest_s: float = 0.4) -> None:
    """Let the window come to rest."""
    until(lambda: not window.service.is_busy, rest_s=rest_s)


# States


def walk(
    window: MainWindow, look: Look, *, wanted: Callable[[str], bool] = bool, rest_s: float = 0.5
) -> None:
    """Bring the window into each state and have it looked at; leaves the yard as it was.

    rest_s : how long each state is let alone before, for what is worked out beside the window.
    """
    for states in (_yard_states, _page_states, _dialog_states):
        for name, bring in states(window):
            if not wanted(name):
                continue
            window.pages.go_to("yard")
            window.document.select()
            if isinstance(bring, tuple):
                _look_at_dialog(window, name, *bring, look=look, rest_s=rest_s)
                continue
            bring()
            calm(window, rest_s)
            look(name, window)
    while window.document.undo_stack.canUndo():
        window.document.undo_stack.undo()


_States = Iterator[tuple[str, Any]]


def _yard_states(window: MainWindow) -> _States:
    document, shelf = window.document, window.shelf
    actions = {each.objectName(): each for each in window.all_actions()}
    pots = document.yard.pots
    full = max(pots, key=lambda pot: len(pot.layers))
    topped = next((pot for pot in pots if pot.companions), None)

    def table(shown: bool) -> None:
        actions["action_season_as_table"].setChecked(shown)

    yield "yard", lambda: None
    yield "yard-table", lambda: table(True)
    yield "yard-pot", lambda: (table(False), document.select(pot_id=full.id))
    yield "yard-layer", lambda: document.select(layer_id=full.layers[1].id)
    if topped is not None:
        top = topped.companions[0].id
        yield "yard-companion", lambda: document.select_all([top])
    yield "yard-pots", lambda: document.select_all([pot.id for pot in pots[:3]])
    layers = [layer.id for _, layer in document.yard.layers()][:6]
    yield "yard-layers", lambda: document.select_all(layers)
    yield "yard-legend", lambda: actions["action_show_legend"].setChecked(True)

    def filtered() -> None:
        actions["action_show_legend"].setChecked(False)
        shelf.filters.more.setChecked(True)

    yield "shelf-filters", filtered

    def searched(words: str) -> None:
        shelf.filters.more.setChecked(False)
        shelf.search.setText(words)

    yield "shelf-search", lambda: searched("scented tulip")
    yield "shelf-unknown", lambda: searched("Moonlit Harbour")

    def cupboard() -> None:
        searched("")
        document.select(pot_id=full.id)
        shelf.view.setCurrentIndex(shelf.view.model().index(0, 0))

    yield "shelf-cupboard", cupboard


def _page_states(window: MainWindow) -> _States:
    from bloomline.ui.pages import PAGES

    for spec in PAGES:
        yield f"page-{spec.name}", lambda name=spec.name: window.pages.go_to(name)
    yield "page-fill-answers", lambda: _ask_plan(window)
    for what in ("labels", "cards"):
        yield f"page-labels-{what}", lambda what=what: window._show_paper(what)


def _ask_plan(window: MainWindow) -> None:
    page: Any = window.pages.go_to("fill")
    calm(window)
    page.ask()
    until(lambda: page.answers.found is not None, rest_s=0.5)


def _dialog_states(window: MainWindow) -> _States:
    """Names, what opens them, and what is done in them before each look."""
    from PySide6.QtTest import QTest

    from bloomline.model import edits
    from bloomline.ui.files import questions
    from bloomline.ui.fill.dialog import suggest_layers

    document = window.document
    pot = document.yard.pots[1]
    file = Path("hollyhock-lane.bloomline")

    def once(_dialog: Any) -> Iterator[str]:
        yield ""

    def guide(dialog: Any) -> Iterator[str]:
        QTest.keyClicks(dialog.place_page.search, "rothamsted")
        until(dialog.next_button.isEnabled, rest_s=0.5)
        yield "-1-place"
        dialog.next_button.click()
        yield "-2-pots"
        dialog.pots_page.remove()
        dialog.next_button.click()
        yield "-3-wishes"
        dialog.next_button.click()
        until(lambda: dialog.answers.found is not None, rest_s=0.5)
        yield "-4-answers"

    def suggested(dialog: Any) -> Iterator[str]:
        until(lambda: dialog.answers.found is not None, rest_s=0.5)
        yield ""

    def packet(dialog: Any) -> Iterator[str]:
        yield ""
        dialog.type.setCurrentIndex(max(0, dialog.type.findData("Tulipa")))
        dialog.name.setText("Moonlit Harbour")
        until(lambda: True, rest_s=1.0)
        yield "-filled"

    def mixture(dialog: Any) -> Iterator[str]:
        yield ""
        for row, name in zip(dialog._rows, ("Thalia", "Ice Follies"), strict=False):
            row.kind.setText(name)
        until(lambda: True, rest_s=0.5)
        yield "-filled"

    yield "dialog-guide", (window.files.new_yard, guide)
    yield "dialog-suggest", (lambda: suggest_layers(document, pot.id, window), suggested)
    yield "dialog-packet", (window.kinds.new_packet, packet)
    yield "dialog-mixture", (window.kinds.new_mixture, mixture)
    yield "dialog-own-kinds", (window.kinds.show_list, once)
    yield "dialog-note", (window.records.note, once)
    yield "dialog-export", (window.export_chart, once)
    yield "dialog-print", (window.print_chart, once)
    yield "dialog-about", (window.show_about, once)

    def changed() -> None:
        document.edit("Rename", lambda yard: edits.rename_yard(yard, "Another"))
        questions.ask_unsaved(window, title=document.title)

    yield "question-unsaved", (changed, once)
    ask = {
        "overwrite": lambda: questions.ask_overwrite_changed(window, path=file),
        "reload": lambda: questions.ask_reload(window, path=file, unsaved=True),
        "revert": lambda: questions.ask_revert(window, path=file),
        "where": lambda: questions.ask_where(window, path=file, title="Hollyhock Lane"),
        "throw-away": lambda: questions.ask_throw_away(window, name="Hollyhock Lane"),
    }
    for name, opens in ask.items():
        yield f"question-{name}", (opens, once)


def _look_at_dialog(
    window: MainWindow,
    name: str,
    opens: Callable[[], object],
    steps: Callable[[Any], Iterable[str]],
    *,
    look: Look,
    rest_s: float,
) -> None:
    """Open a dialog, which may wait until it is closed, look at it, and close it."""
    from PySide6.QtCore import QTimer
    from PySide6.QtWidgets import QApplication, QDialog

    failed: list[BaseException] = []
    seen: list[QDialog] = []

    def act() -> None:
        dialog = QApplication.activeModalWidget()
        if not isinstance(dialog, QDialog) or seen:
            return
        timer.stop()
        seen.append(dialog)
        try:
            for step in steps(dialog):
                until(lambda: True, rest_s=rest_s)
                look(f"{name}{step}", dialog)
        except BaseException as error:
            failed.append(error)
        finally:
            dialog.reject()

    timer = QTimer()
    timer.setInterval(50)
    timer.timeout.connect(act)
    timer.start()
    opens()
    until(lambda: seen)
    timer.stop()
    until(lambda: True, rest_s=0.1)
    if failed:
        raise failed[0]


# Faults


def faults_of(root: QWidget) -> list[str]:
    """What of a window's visible words is cut, lies over another or is too small to read."""
    from PySide6.QtWidgets import QApplication, QWidget

    QApplication.sendPostedEvents()  # what was said last has its room
    shown = [each for each in (root, *root.findChildren(QWidget)) if _is_shown(each, root)]
    told = []
    for each in shown:
        for fault in (_too_small(each), _cut(each), _out_of_sight(each, root)):
            if fault:
                told.append(f"{fault}: {_named(each)}")
    told += _overlaps(shown)
    return told


def _is_shown(widget: QWidget, root: QWidget) -> bool:
    from PySide6.QtWidgets import QWidget

    return widget is root or (
        widget.isVisible() and QWidget.window(widget) is root and not widget.size().isEmpty()
    )


def _named(widget: QWidget) -> str:
    parent = widget.parentWidget()
    above = "" if parent is None else f" in {type(parent).__name__} {parent.objectName()}"
    return f"{type(widget).__name__} {widget.objectName()} {words_on(widget)!r:.70}{above}"


def words_on(widget: QWidget) -> str:
    """What stands on a widget, "" where nothing does."""
    from PySide6.QtWidgets import QAbstractButton, QAbstractSpinBox, QComboBox, QGroupBox, QLabel

    if isinstance(widget, QLabel | QAbstractButton | QAbstractSpinBox):
        return str(widget.text())
    if isinstance(widget, QComboBox):
        return widget.currentText()
    return widget.title() if isinstance(widget, QGroupBox) else ""


def _too_small(widget: QWidget) -> str:
    size = widget.font().pointSizeF()
    small = 0 < size < LEAST_PT or 0 < widget.font().pixelSize() < LEAST_PT * 96 / 72
    return f"{size:g} pt" if small and words_on(widget) else ""


def _cut(widget: QWidget) -> str:
    """Whether the words on a widget need more room than it has."""
    from PySide6.QtWidgets import (
        QAbstractButton,
        QAbstractSpinBox,
        QCheckBox,
        QComboBox,
        QLabel,
        QLineEdit,
        QRadioButton,
        QTabBar,
    )

    wide, high = widget.width() + 1, widget.height() + 1
    advance = widget.fontMetrics().horizontalAdvance
    if isinstance(widget, QTabBar):
        last = widget.tabRect(widget.count() - 1)
        return "tabs cut" if widget.count() and last.right() > wide else ""
    if isinstance(widget, QLabel):
        return _label_cut(widget)
    if isinstance(widget, QCheckBox | QRadioButton):
        return "cut" if advance(widget.text().replace("&", "")) + 18 > wide else ""
    if isinstance(widget, QAbstractButton):
        if not widget.text():
            return ""
        if widget.hasHeightForWidth():
            return "low" if widget.heightForWidth(widget.width()) > high else ""
        hint = widget.sizeHint()
        return "cut" if hint.width() > wide or hint.height() > high + 2 else ""
    if isinstance(widget, QComboBox) and not widget.isEditable():
        return "cut" if advance(widget.currentText()) > _field_width(widget) else ""
    if isinstance(widget, QAbstractSpinBox):
        edit = widget.findChild(QLineEdit)
        return "cut" if edit is not None and advance(widget.text()) > edit.width() else ""
    return ""


def _field_width(box: QComboBox) -> int:
    """What a list's style leaves its words, as wide as they are painted. [px]"""
    from PySide6.QtWidgets import QStyle, QStyleOptionComboBox

    option = QStyleOptionComboBox()
    box.initStyleOption(option)
    complex_, part = QStyle.ComplexControl.CC_ComboBox, QStyle.SubControl.SC_ComboBoxEditField
    icon = 0 if option.currentIcon.isNull() else option.iconSize.width() + 4
    return box.style().subControlRect(complex_, option, part, box).width() - icon


def _label_cut(label: QLabel) -> str:
    """Words that end in … stand whole in the tooltip, or it is a fault."""
    shown = getattr(label, "shown_text", None)
    if shown is not None:
        whole = shown() == label.text() or label.text() in label.toolTip()
        return "" if whole or shown() == label.shorter else "cut without a tooltip"
    if not label.text() or "<" in label.text():
        return ""
    if label.wordWrap():
        low = label.heightForWidth(label.width()) > label.height() + 1
        return "low" if low else ""
    lines = label.text().replace("&", "").split("\n")
    need = max(map(label.fontMetrics().horizontalAdvance, lines))
    return "cut" if need > label.width() + 1 else ""


def _out_of_sight(widget: QWidget, root: QWidget) -> str:
    """Whether a widget with words reaches out of one that it stands in and that doesn't scroll."""
    from PySide6.QtCore import QRect, Qt
    from PySide6.QtWidgets import QAbstractScrollArea, QScrollArea

    if not words_on(widget):
        return ""
    rect, inner = QRect(0, 0, widget.width(), widget.height()), widget
    while inner is not root:
        outer = inner.parentWidget()
        if outer is None:
            return ""
        rect = rect.translated(inner.pos())
        above = outer.parentWidget()
        if isinstance(above, QAbstractScrollArea) and above.viewport() is outer:
            if isinstance(above, QScrollArea):
                policy = above.horizontalScrollBarPolicy()
                stiff = policy == Qt.ScrollBarPolicy.ScrollBarAlwaysOff
                if stiff and (rect.left() < -1 or rect.right() > outer.width()):
                    return "reaches out of what scrolls"
            return ""
        if not outer.rect().adjusted(-1, -1, 1, 1).contains(rect):
            return f"reaches out of {type(outer).__name__} {outer.objectName()}"
        inner = outer
    return ""


def _overlaps(shown: Iterable[QWidget]) -> list[str]:
    by_parent: dict[int, list[QWidget]] = {}
    for each in shown:
        if words_on(each) and each.parentWidget() is not None:
            by_parent.setdefault(id(each.parentWidget()), []).append(each)
    return [
        f"{_named(one)} lies over {_named(other)}"
        for some in by_parent.values()
        for at, one in enumerate(some)
        for other in some[at + 1 :]
        if one.geometry().adjusted(1, 1, -1, -1).intersects(other.geometry())
    ]


@contextmanager
def watching_paint(found: set[str]) -> Iterator[None]:
    """Note all words that our own painters write smaller than LEAST_PT while this lasts."""
    from PySide6.QtGui import QPainter

    before, here = QPainter.drawText, threading.get_ident()

    def draw(painter: Any, *args: Any) -> Any:
        grown = abs(painter.combinedTransform().determinant()) ** 0.5
        device = painter.device()
        ratio = device.devicePixelRatio() if device is not None else 1.0
        font = painter.font()
        size_pt = font.pointSizeF() if font.pixelSize() < 0 else font.pixelSize() * 72 / 96
        size_pt *= grown / ratio
        # Sheets of paper are painted in threads of their own, smaller than they are.
        if size_pt < LEAST_PT - 0.05 and threading.get_ident() == here:
            words = next((each for each in reversed(args) if isinstance(each, str)), "")
            found.add(f"{size_pt:.1f} pt painted: {words[:40]!r}")
        return before(painter, *args)

    QPainter.drawText = draw  # type: ignore[method-assign]
    try:
        yield
    finally:
        QPainter.drawText = before  # type: ignore[method-assign]


def mnemonic_faults(root: QWidget) -> list[str]:
    """Letters that two buttons, fields or entries of one window, or of one menu, claim."""
    from PySide6.QtWidgets import QAbstractButton, QLabel, QMenu, QMenuBar, QWidget

    told = []
    for menu in root.findChildren(QMenu) + root.findChildren(QMenuBar):
        entries = [each.text() for each in menu.actions() if not each.isSeparator()]
        told += _claimed_twice(entries, f"menu {menu.objectName() or menu.windowTitle()}")
    words = []
    for each in root.findChildren(QWidget):
        if isinstance(each, QAbstractButton) and _is_shown(each, root):
            words.append(each.text())
        if isinstance(each, QLabel) and each.buddy() is not None and _is_shown(each, root):
            words.append(each.text())
    for bar in root.findChildren(QMenuBar):
        if bar.isVisible():
            words += [each.text() for each in bar.actions()]
    told += _claimed_twice(words, f"window {root.objectName()}")
    return told


def _claimed_twice(texts: Iterable[str], where: str) -> list[str]:
    seen: dict[str, str] = {}
    told = []
    for text in texts:
        found = re.search(r"&([^&\s])", text.replace("&&", ""))
        if found is None:
            continue
        letter = found[1].lower()
        if letter in seen and seen[letter] != text:
            told.append(f"{where}: {seen[letter]!r} and {text!r} both claim {letter}")
        seen.setdefault(letter, text)
    return told


# By hand


def main() -> int:
    """Return 0 when all pictures are made and nothing was found amiss."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--size", default="1280x720")
    parser.add_argument("--scale", type=float, default=1.0)
    parser.add_argument("--dark", action="store_true")
    parser.add_argument("--long", action="store_true")
    parser.add_argument("--empty", action="store_true", help="start without a yard")
    parser.add_argument("--only", default="")
    options = parser.parse_args()
    width, height = map(int, options.size.split("x"))
    options.folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as home:
        _surround(Path(home), width, height, options.scale)
        return _draw(options, width, height, Path(home))


def _surround(home: Path, width: int, height: int, scale: float) -> None:
    """A screen of the size, and no folders of a person's own."""
    screen = {"name": "one", "x": 0, "y": 0, "logicalDpi": 96, "dpr": 1}
    screen |= {"width": round(width * scale), "height": round(height * scale)}
    (home / "screens.json").write_text(json.dumps({"screens": [screen]}))
    os.environ.update(
        dict.fromkeys(("XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME"), str(home))
    )
    os.environ["QT_QPA_PLATFORM"] = f"offscreen:configfile={home / 'screens.json'}"
    os.environ["QT_SCALE_FACTOR"] = str(scale)


def _draw(options: argparse.Namespace, width: int, height: int, home: Path) -> int:
    from PySide6.QtCore import QLocale
    from PySide6.QtWidgets import QApplication

    from bloomline.draw.base.petals import DARK, LIGHT
    from bloomline.ui.app import application
    from bloomline.ui.theme import dress
    from bloomline.ui.window import MainWindow

    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom))
    app = application()
    if options.long:
        speak_long(home / "locale")
    dress(app, DARK if options.dark else LIGHT)
    window = MainWindow(state=home / "state")
    window.document._clock = lambda: TODAY
    window.resize(width, height)
    window.start(None if options.empty else DEMO)
    window.show()
    calm(window)
    if not options.empty:
        until(lambda: window.shelf.windows)
        window.document.look_at(DAY)
    count, small = [0], set[str]()

    def look(name: str, widget: QWidget) -> None:
        with watching_paint(small):
            picture = widget.grab()
        picture.save(str(options.folder / f"{name}.png"))
        faults = [*faults_of(widget), *mnemonic_faults(widget), *sorted(small)]
        small.clear()
        count[0] += len(faults)
        for fault in faults:
            print(f"{name} [{widget.width()}x{widget.height()}] {fault}", flush=True)

    if options.empty:
        look("empty", window)
    else:
        walk(window, look, wanted=lambda name: options.only in name)
        window.show_help()
        help_page = window._help
        if help_page is not None and options.only in "help":
            until(lambda: True, rest_s=0.5)
            look("help", help_page)
    window.document.undo_stack.setClean()
    window.close()
    QApplication.processEvents()
    return 1 if count[0] else 0


if __name__ == "__main__":
    sys.exit(main())
