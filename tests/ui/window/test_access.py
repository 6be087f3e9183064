"""Everything in the window can be reached, named and pressed by keys, once and only once."""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAccessible, QAction, QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QLabel,
    QMenu,
    QMenuBar,
    QWidget,
)

from bloomline.ui.window import MainWindow

Context = Qt.ShortcutContext
EVERYWHERE = (Context.WindowShortcut, Context.ApplicationShortcut)


# The offscreen platform says so of menus that open.
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support (raise|grabbing)")


@pytest.fixture(params=["yard", "pot", "layer", "layers", "table"])
def state(request: pytest.FixtureRequest, window: MainWindow) -> str:
    """The window with one thing or another selected and shown."""
    pot = window.document.yard.pots[1]
    if request.param == "pot":
        window.document.select(pot_id=pot.id)
    elif request.param == "layer":
        window.document.select(layer_id=pot.layers[0].id)
    elif request.param == "layers":
        window.document.select_all([layer.id for layer in pot.layers])
    elif request.param == "table":
        next(a for a in window.season.actions() if "table" in a.objectName()).trigger()
    QApplication.processEvents()
    name: str = request.param
    return name


def focusable(window: QWidget) -> Iterator[QWidget]:
    """Visible widgets that Tab can come to; inner parts that hand the keyboard on are not."""
    for widget in window.findChildren(QWidget):
        if (
            widget.isVisible()
            and widget.isEnabled()
            and widget.focusPolicy() & Qt.FocusPolicy.TabFocus
            and widget.focusProxy() is None
            and QWidget.window(widget) is window
        ):
            inner = widget.parent()
            if isinstance(inner, QComboBox) or inner.focusProxy() is widget:
                continue
            yield widget


def spoken(widget: QWidget) -> str:
    if isinstance(widget, QComboBox):
        return widget.accessibleName()  # on some systems Qt calls what is chosen the name
    interface = QAccessible.queryAccessibleInterface(widget)
    return interface.text(QAccessible.Text.Name) if interface is not None else ""


def test_all_that_takes_the_keyboard_has_a_name(window: MainWindow, state: str) -> None:
    names = {widget: spoken(widget) for widget in focusable(window)}
    assert len(names) > 20
    nameless = [
        f"{type(each).__name__} {each.objectName()} in {each.parent().objectName()}"
        for each, name in names.items()
        if not any(letter.isalpha() for letter in name)
    ]
    assert nameless == []


def test_tab_goes_round_through_every_panel(window: MainWindow, state: str, hands: Any) -> None:
    panels = {
        "conditions": window.conditions,
        "shelf": window.shelf,
        "season": window.season,
        "yard": window.yard,
        "details": window.details,
    }
    wanted = set(focusable(window))
    first = QApplication.focusWidget()
    assert first is not None
    seen: list[QWidget] = []
    for key in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
        round_trip: list[QWidget] = []
        for _ in range(2 * len(wanted) + 20):
            hands.key(key)
            now = QApplication.focusWidget()
            assert now is not None
            if round_trip and now is round_trip[-1]:
                continue  # a date goes from day to month to year
            if now in round_trip:
                break
            round_trip.append(now)
        reached = {name for name, panel in panels.items() for w in round_trip if within(w, panel)}
        assert reached == set(panels)
        seen += round_trip
    assert {each.objectName() for each in wanted - set(seen)} == set()


def within(widget: QWidget, panel: QWidget) -> bool:
    return widget is panel or panel.isAncestorOf(widget)


def test_tab_stays_in_a_panel_until_it_is_through(window: MainWindow, hands: Any) -> None:
    panels = (window.conditions, window.shelf, window.season, window.yard, window.details)
    order = []
    for _ in range(120):
        now = QApplication.focusWidget()
        order.append(next((i for i, panel in enumerate(panels) if within(now, panel)), -1))
        hands.key(Qt.Key.Key_Tab)
        if QApplication.focusWidget() is window.season.view:
            break
    visits = [panel for panel, _ in itertools.groupby(order) if panel >= 0]
    # Once each, but the one it began in, which is left in the middle and come back to.
    assert len(visits) <= len(panels) + 1, visits


def scope(action: QAction) -> list[tuple[bool, QWidget | None]]:
    """Where an action's keys work: (with children, widget); None for the whole window."""
    if action.shortcutContext() in EVERYWHERE:
        return [(True, None)]
    children = action.shortcutContext() is Context.WidgetWithChildrenShortcut
    owners = [
        each
        for each in action.associatedObjects()
        if isinstance(each, QWidget) and not isinstance(each, QMenu | QMenuBar | QAbstractButton)
    ]
    return [(children, each) for each in owners]


def overlap(one: tuple[bool, QWidget | None], other: tuple[bool, QWidget | None]) -> bool:
    (wide, mine), (broad, theirs) = one, other
    if mine is None or theirs is None or mine is theirs:
        return True
    return (wide and mine.isAncestorOf(theirs)) or (broad and theirs.isAncestorOf(mine))


def test_no_key_means_two_things_at_once(window: MainWindow) -> None:
    bound = [
        (keys.toString(), action.objectName(), place)
        for action in window.findChildren(QAction)
        for keys in action.shortcuts()
        for place in scope(action)
    ]
    for shortcut in window.findChildren(QShortcut):
        bound.append((shortcut.key().toString(), "shortcut", (True, shortcut.parentWidget())))
    assert len(bound) > 30
    clashes = [
        (keys, mine, theirs)
        for (keys, mine, place), (others, theirs, where) in itertools.combinations(bound, 2)
        if keys == others and mine != theirs and overlap(place, where)
    ]
    assert clashes == []


def test_actions_have_names_words_and_work_where_they_say(window: MainWindow) -> None:
    actions = window.all_actions()
    names = Counter(action.objectName() for action in actions)
    assert "" not in names
    assert [name for name, count in names.items() if count > 1] == []
    assert all(action.text().replace("&", "").strip() for action in actions)
    homeless = [
        action.objectName()
        for action in actions
        if action.shortcuts() and action.shortcutContext() not in EVERYWHERE and not scope(action)
    ]
    assert homeless == []


def letters(window: MainWindow) -> Iterator[tuple[str, str]]:
    """Every letter that Alt reaches in the window as it is shown: (keys, words)."""
    for action in window.menuBar().actions():
        yield QKeySequence.mnemonic(action.text()).toString(), action.text()
    for label in window.findChildren(QLabel):
        if label.buddy() is not None and label.isVisible():
            yield QKeySequence.mnemonic(label.text()).toString(), label.text()
    for button in window.findChildren(QAbstractButton):
        if button.isVisible():
            yield QKeySequence.mnemonic(button.text()).toString(), button.text()


def test_no_alt_letter_is_there_twice(window: MainWindow, state: str) -> None:
    found = [(keys, words) for keys, words in letters(window) if keys]
    assert len(found) >= 10
    count = Counter(keys for keys, _ in found)
    assert [(keys, words) for keys, words in found if count[keys] > 1] == []


def test_no_menu_uses_a_letter_twice(window: MainWindow) -> None:
    for action in window.menuBar().actions():
        menu = action.menu()
        assert isinstance(menu, QMenu)
        letters = [QKeySequence.mnemonic(each.text()).toString() for each in menu.actions()]
        used = [letter for letter in letters if letter]
        assert len(used) == len(set(used)), f"{action.text()}: {sorted(used)}"


def test_alt_opens_every_menu(window: MainWindow, hands: Any) -> None:
    opened: list[QObject] = []
    for action in window.menuBar().actions():
        menu = action.menu()
        assert isinstance(menu, QMenu)
        menu.aboutToShow.connect(lambda menu=menu: opened.append(menu))
        keys = QKeySequence.mnemonic(action.text())[0]
        window.season.view.setFocus()
        hands.key(keys.key(), keys.keyboardModifiers())
        QApplication.processEvents()
        assert menu in opened, action.text()
        menu.close()
