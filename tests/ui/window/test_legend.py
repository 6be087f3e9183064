"""The legend on the screen: by key and menu, with room of its own only while it is shown."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from bloomline.ui.window import MainWindow


def action_of(window: MainWindow):
    return next(each for each in window.all_actions() if each.objectName() == "action_show_legend")


def settle() -> None:
    for _ in range(4):
        QApplication.processEvents()


def test_a_key_shows_and_hides_it_and_it_takes_no_room_when_hidden(window) -> None:
    view = [action.text() for action in window.menuBar().actions()]
    assert any("View" in text for text in view)
    canvas = window.yard.canvas
    before = (window.season.size(), canvas.size(), window.details.size())
    assert not window.legend.isVisible()
    QTest.keyClick(window, Qt.Key.Key_F8)
    settle()
    legend = window.legend
    assert legend.isVisible() and action_of(window).isChecked()
    assert legend.height() >= 40
    assert window.details.height() == before[2].height() - legend.height()
    QTest.keyClick(window, Qt.Key.Key_F8)
    settle()
    assert not legend.isVisible()
    assert (window.season.size(), canvas.size(), window.details.size()) == before


def test_it_explains_every_sign_and_none_is_cut(window) -> None:
    action_of(window).setChecked(True)
    settle()
    picture = window.legend.picture
    told = [item.words for item in picture.items]
    for words in ("expected first to last day", "full flower", "bulbs yet to be planted", "today"):
        assert words in told
    assert any(words.startswith("bare: ") and "50%" in words for words in told)
    assert any(words.startswith("crowded: more than 5") for words in told)
    assert "yellow" in told  # the petals of this season
    assert all(words in picture.accessibleDescription() for words in told)
    places = picture.places(picture.width())
    factor = picture._factor()
    for item, (x, line) in zip(picture.items, places, strict=True):
        right = x + item.sign_width + 7.0 + picture._ink.width(item.words, 13)
        assert right * factor <= picture.width()
        assert (line + 1) * 21.0 * factor <= picture.minimumHeight() + 1
    assert factor * 13 >= 12  # nine points


def test_it_follows_the_limits_of_the_yard(window, hands) -> None:
    from bloomline.model import edits

    window.document.edit("x", lambda yard: edits.change_settings(yard, crowd_limit=2))
    hands.rest(window)
    settle()
    told = [item.words for item in window.legend.picture.items]
    assert any(words.startswith("crowded: more than 2") for words in told)


def test_it_is_remembered(open_window) -> None:
    first = open_window()
    action_of(first).setChecked(True)
    again = open_window.made()
    assert action_of(again).isChecked()
    assert not again.legend.isHidden()


def test_in_a_low_window_it_scrolls_and_leaves_the_most_to_the_yard(open_window) -> None:
    window = open_window(width=700, height=600)
    action_of(window).setChecked(True)
    settle()
    assert window.legend.height() <= 0.31 * window.height()
