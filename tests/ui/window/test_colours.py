"""Light and dark: what a change of colours goes through is counted, and what it shows looked at."""

from __future__ import annotations

from collections import Counter

import pytest
from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtGui import QColor, QFont
from PySide6.QtWidgets import QApplication, QDialog, QLabel, QVBoxLayout, QWidget

from bloomline.draw.base.petals import DARK, LIGHT
from bloomline.ui.dressed import CardFrame, say_as
from bloomline.ui.pages import PAGES
from bloomline.ui.plots import DayPlot
from bloomline.ui.theme import dress, tone_of


class Told(QObject):
    """Counts the events that tell widgets of other colours."""

    KINDS = (QEvent.Type.PaletteChange, QEvent.Type.StyleChange, QEvent.Type.FontChange)

    def __init__(self) -> None:
        super().__init__()
        self.counts = Counter()

    def eventFilter(self, watched, event) -> bool:
        if event.type() in self.KINDS and isinstance(watched, QWidget):
            self.counts[event.type()] += 1
        return False


@pytest.fixture
def light_again(qapp):
    yield
    dress(qapp, LIGHT)


def settled(app) -> None:
    for _ in range(3):
        app.processEvents()


def test_a_change_of_colours_tells_each_widget_a_few_times(
    window, qapp, qtbot, light_again, monkeypatch
) -> None:
    for spec in PAGES:
        window.pages.go_to(spec.name)
    window.pages.go_to("yard")
    dress(qapp, LIGHT)
    settled(qapp)
    drawn = Counter()
    real = DayPlot.dress
    monkeypatch.setattr(DayPlot, "dress", lambda self: (drawn.update(["plot"]), real(self)))
    told = Told()
    qapp.installEventFilter(told)
    try:
        dress(qapp, DARK)
        settled(qapp)
    finally:
        qapp.removeEventFilter(told)
    assert qapp.styleSheet() == ""
    n_widgets = len(qapp.allWidgets())
    assert n_widgets > 1000
    assert n_widgets / 2 < told.counts[QEvent.Type.PaletteChange] < 3 * n_widgets, told.counts
    # A style sheet of the application would tell ten times as many of another style.
    rest = told.counts[QEvent.Type.StyleChange] + told.counts[QEvent.Type.FontChange]
    assert rest < n_widgets / 2, told.counts
    # Plots out of sight wait until they are seen.
    assert drawn == {}
    window.pages.go_to("records")
    window.pages.page("records").history.show()
    settled(qapp)
    window.pages.go_to("weather")
    settled(qapp)
    assert 0 < drawn["plot"] <= 6


@pytest.mark.parametrize("kind", ["muted", "caution", "warning", "heading"])
def test_words_take_their_colour_and_weight(kind, dressed, qapp, qtbot, light_again) -> None:
    label = QLabel("████")
    qtbot.addWidget(label)
    say_as(label, kind)
    label.show()
    for theme in (LIGHT, DARK, LIGHT):
        dress(qapp, theme)
        settled(qapp)
        tone = tone_of(theme)
        image = label.grab().toImage()
        middle = image.pixelColor(image.width() // 2, image.height() // 2).name()
        assert middle == QColor(tone.ink if kind == "heading" else getattr(tone, kind)).name()
    assert (label.font().weight() == QFont.Weight.DemiBold) is (kind in ("heading", "warning"))
    say_as(label, "")
    assert label.font().weight() == qapp.font().weight() and label.objectName() == ""


def test_cards_and_headers_of_tables_are_repainted(window, qapp, qtbot, light_again) -> None:
    holder = QWidget()
    qtbot.addWidget(holder)
    card = CardFrame(holder)
    card.setFixedSize(80, 60)
    QVBoxLayout(holder).addWidget(card)
    holder.show()
    page = window.pages.go_to("buy")
    qtbot.waitUntil(lambda: page.weights.table.horizontalHeader().isVisible(), timeout=20_000)
    for theme in (LIGHT, DARK, LIGHT):
        dress(qapp, theme)
        settled(qapp)
        tone = tone_of(theme)
        image = card.grab().toImage()
        assert image.pixelColor(40, 30).name() == QColor(tone.raised).name()
        assert image.pixelColor(40, 0).name() == QColor(tone.line).name()
        table = page.weights.table
        head, rows = table.horizontalHeader().grab().toImage(), table.viewport().grab().toImage()
        assert head.pixelColor(2, 2).name() == QColor(tone.panel).name()
        assert rows.pixelColor(2, rows.height() - 2).name() == QColor(tone.raised).name()


@pytest.mark.parametrize("name", ["about", "export", "own_kinds", "packet", "mixture", "note_seen"])
def test_what_opens_and_closes_leaves_no_widgets_behind(window, qapp, qtbot, name) -> None:
    actions = {each.objectName(): each for each in window.all_actions()}

    def close() -> None:
        shown = qapp.activeModalWidget()
        if isinstance(shown, QDialog):
            shown.reject()

    def rounds(times: int) -> int:
        for _ in range(times):
            QTimer.singleShot(300, close)
            actions[f"action_{name}"].trigger()
            qtbot.waitUntil(lambda: qapp.activeModalWidget() is None)
            qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        return len(QApplication.allWidgets())

    assert rounds(2) == rounds(3)
