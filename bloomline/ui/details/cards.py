"""Cards of the details: a frame with a heading, and pieces of advice."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import QRectF, QSize, Qt, Signal, Slot
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from bloomline.model.advice import Advice, Severity
from bloomline.model.mending import Mending
from bloomline.ui.details.wrapping_button import WrappingButton
from bloomline.ui.dressed import CardFrame, say_as
from bloomline.ui.shelf.paint import paint_severity
from bloomline.ui.theme import current_theme, em, tone_of
from bloomline.words import tr


class Card(CardFrame):
    """A framed group with a heading."""

    def __init__(self, heading: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.column = QVBoxLayout(self)
        gap = round(em() * 0.55)
        self.column.setContentsMargins(gap, gap, gap, gap)
        self.column.setSpacing(round(em() * 0.3))
        self.heading = wrapping(heading, "heading", self)
        self.heading.setVisible(bool(heading))
        self.column.addWidget(self.heading)
        self.setAccessibleName(heading)


def wrapping(words: str, kind: str = "", parent: QWidget | None = None) -> QLabel:
    """A label that wraps and whose words can be selected."""
    label = QLabel(words, parent)
    say_as(label, kind)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    return label


class SeveritySign(QWidget):
    """Triangle, diamond or ring: how grave a piece of advice is."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._severity = Severity.NOTE
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def show_severity(self, severity: Severity) -> None:
        """Show another sign."""
        self._severity = severity
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(round(em() * 0.85), round(em() * 0.85))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        tone = tone_of(current_theme())
        colour = {
            Severity.WARNING: tone.warning,
            Severity.CAUTION: tone.caution,
            Severity.NOTE: tone.muted,
        }[self._severity]
        paint_severity(painter, QRectF(self.rect()), self._severity, colour=colour)
        painter.end()


class AdviceCard(CardFrame):
    """One piece of advice: how grave, what to do, why, on whose word, and what mends it."""

    mended = Signal(object)
    """The change that mends it was chosen (Mending)."""
    gap_asked = Signal(object, object)
    """First and last of the bare days that it tells of: what would fill them is wanted."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        # Reached by Tab, so that it can be read and scrolled to without a mouse.
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        gap = round(em() * 0.5)
        column = QVBoxLayout(self)
        column.setContentsMargins(gap, gap, gap, gap)
        column.setSpacing(round(em() * 0.2))
        head = QHBoxLayout()
        head.setSpacing(round(em() * 0.35))
        self._sign = SeveritySign(self)
        self._word = QLabel(self)
        head.addWidget(self._sign)
        head.addWidget(self._word, 1)
        column.addLayout(head)
        self.message = wrapping("", "", self)
        self.reason = wrapping("", "muted", self)
        self.source = wrapping("", "muted", self)
        self.mend = WrappingButton("", self)
        self.mend.setObjectName("mend")
        self.mend.clicked.connect(self._choose)
        self._mending: Mending | None = None
        self.fill = QPushButton(tr("Fill this gap…"), self)
        self.fill.setObjectName("fill_gap")
        self.fill.setAutoDefault(False)
        self.fill.clicked.connect(self._ask_gap)
        self._gap: tuple[date, date] | None = None
        for widget in (self.message, self.fill, self.mend, self.reason, self.source):
            column.addWidget(widget)

    def show_advice(self, advice: Advice) -> None:
        """Show a piece of advice."""
        words = {
            Severity.WARNING: tr("Warning"),
            Severity.CAUTION: tr("Caution"),
            Severity.NOTE: tr("Note"),
        }[advice.severity]
        self._sign.show_severity(advice.severity)
        self._word.setText(f"{words} · {self._topic(advice.topic)}")
        kind = {Severity.WARNING: "warning", Severity.CAUTION: "caution"}.get(
            advice.severity, "heading"
        )
        if self._word.objectName() != kind:
            say_as(self._word, kind)
        self.message.setText(advice.message)
        self.reason.setText(tr("Why: {reason}", reason=advice.reason))
        self.reason.setVisible(bool(advice.reason))
        self.source.setText(tr("Source: {source}", source=advice.source))
        self.source.setVisible(bool(advice.source))
        self._mending = advice.mending
        self.mend.setVisible(advice.mending is not None)
        if advice.mending is not None:
            self.mend.set_words(advice.mending.words)
            self.mend.setAccessibleName(advice.mending.words)
            self.mend.setAccessibleDescription(advice.message)
        self._gap = advice.gap
        self.fill.setVisible(advice.gap is not None)
        self.fill.setAccessibleDescription(advice.message)
        self.setAccessibleName(f"{words}: {advice.message}")
        self.setAccessibleDescription(f"{advice.reason} {advice.source}".strip())

    @Slot()
    def _choose(self) -> None:
        if self._mending is not None:
            self.mended.emit(self._mending)

    @Slot()
    def _ask_gap(self) -> None:
        if self._gap is not None:
            self.gap_asked.emit(*self._gap)

    def _topic(self, topic: str) -> str:
        names = {
            "bare": tr("bare stretch"),
            "cold": tr("cold"),
            "crowding": tr("flowering together"),
            "date": tr("date"),
            "depth": tr("depth"),
            "drainage": tr("drainage"),
            "frost": tr("frost"),
            "price": tr("price"),
            "stability": tr("stability"),
            "sun": tr("sun"),
            "handling": tr("handling"),
            "order": tr("order of layers"),
            "place": tr("place"),
            "planting": tr("planting day"),
            "poison": tr("poison"),
            "room": tr("room"),
            "size": tr("size"),
            "weight": tr("weight"),
        }
        return names.get(topic, topic)


class AdviceList(QWidget):
    """Pieces of advice below each other; cards are kept and written anew."""

    mended = Signal(object)
    """The change that mends one of them was chosen (Mending)."""
    gap_asked = Signal(object, object)
    """What would fill bare days is wanted, from the first to the last."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(round(em() * 0.4))
        self._cards: list[AdviceCard] = []
        self._shown: tuple[Advice, ...] = ()
        self.setAccessibleName(tr("Advice"))

    @property
    def shown(self) -> tuple[Advice, ...]:
        """What is shown."""
        return self._shown

    def show_advice(self, advice: Sequence[Advice]) -> None:
        """Show other advice; nothing happens when it is the same."""
        if tuple(advice) == self._shown:
            return
        before, self._shown = self._shown, tuple(advice)
        while len(self._cards) < len(self._shown):
            card = AdviceCard(self)
            card.mended.connect(self.mended)
            card.gap_asked.connect(self.gap_asked)
            self._cards.append(card)
            self._column.addWidget(card)
        for i, card in enumerate(self._cards):
            if i < len(self._shown) and self._shown[i : i + 1] != before[i : i + 1]:
                card.show_advice(self._shown[i])
            card.setVisible(i < len(self._shown))
