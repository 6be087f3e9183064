"""The states of the window: pages, selections, filters, dialogs; and how it comes into each."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

    from bloomline.ui.window import MainWindow

LIMIT_S = 60.0
_BESIDE_S = 20.0

Look = Callable[[str, "QWidget"], None]
"""Takes the name of a state and the widget that shows it."""


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
    """Let the window come to rest, with what its pages work out beside it."""
    from PySide6.QtWidgets import QApplication

    from bloomline.ui.season_service import Beside

    until(lambda: not window.service.is_busy, rest_s=rest_s)
    end = time.monotonic() + _BESIDE_S
    while any(each.is_busy for each in window.findChildren(Beside)) and time.monotonic() < end:
        QApplication.processEvents()
        time.sleep(0.005)
    for _ in range(5):  # a layout asks for another
        QApplication.sendPostedEvents()
        QApplication.processEvents()


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
