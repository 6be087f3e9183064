"""The card beside what is carried: what a drop would do, told before it is done.

It lies over the window, so that it has room where the yard's picture is low, lets the mouse
through, and stands where it covers neither the pot nor the place that is aimed at.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product

from PySide6.QtCore import QPoint, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QMainWindow, QWidget

from bloomline.model.advice import Severity
from bloomline.plan.carry.telling import Told, Topic
from bloomline.ui.hands.plain import shown
from bloomline.ui.shelf.paint import paint_severity
from bloomline.ui.theme import Tone, current_theme, em, tone_of
from bloomline.words import tr

_WIDTHS_EM = (25.0, 32.0, 20.0, 40.0, 16.0, 60.0)
"""Widths that are tried, the one that reads best first."""
_NARROWEST_EM = 12.0
_GAP_EM = 0.7
_WRAP = int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft)


@dataclass(frozen=True, slots=True)
class Line:
    """A line of the card: its heading, its words, and how grave it is."""

    label: str
    words: str
    severity: Severity | None


@dataclass(frozen=True, slots=True)
class CardText:
    """What the card says."""

    title: str
    lines: tuple[Line, ...]
    allowed: bool

    @property
    def spoken(self) -> str:
        """All of it in one line, for the status line and a screen reader."""
        return "; ".join([self.title, *self.spoken_lines])

    @property
    def spoken_lines(self) -> tuple[str, ...]:
        """Its lines with their headings."""
        return tuple(f"{each.label}: {each.words}" for each in self.lines)


def topic_words() -> dict[Topic, str]:
    """What the lines are called."""
    return {
        "depth": tr("Depth"),
        "fit": tr("Room"),
        "season": tr("Season"),
        "harm": tr("Harm"),
        "price": tr("Price"),
        "frost": tr("Frost"),
    }


def card_text(title: str, told: Sequence[Told], *, allowed: bool) -> CardText:
    """Put what is told into lines; what isn't known yet says so."""
    labels = topic_words()
    waiting = tr("being worked out …")
    lines = [
        Line(labels[each.topic], _sentence(shown(each.words)) or waiting, each.severity)
        for each in told
    ]
    return CardText(shown(title), tuple(lines), allowed)


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]


class GhostCard(QWidget):
    """The card. It answers to nothing and is read out by whoever carries."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setObjectName("ghost_card")
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.text = CardText("", (), True)
        self._is_tight = False
        self.hide()

    def tell(self, text: CardText, *, regions: Sequence[QRect], pot: QRectF, aim: QRectF) -> None:
        """Show words beside a pot without covering it, or where that can't be, what is aimed at.

        regions : where the card may lie, the best first; all in the parent's coordinates.
        """
        self.text = text
        heights = (self._height, self._tight_height)
        place = placed(*heights, most=self._widest(), regions=regions, pot=pot, aim=aim)
        self._is_tight = self._height(place.width()) > place.height()
        self.setGeometry(place.toAlignedRect())
        self.setAccessibleName(text.spoken)
        self.show()
        self.raise_()
        self.update()

    # Sizes

    def _fonts(self) -> tuple[QFont, QFont]:
        bold = QFont(self.font())
        bold.setWeight(QFont.Weight.DemiBold)
        return self.font(), bold

    def _label_width(self) -> float:
        metrics = QFontMetricsF(self.font())
        widths = [metrics.horizontalAdvance(each.label) for each in self.text.lines]
        return max(widths, default=0.0) + 1.5 * em()

    def _widest(self) -> float:
        """The width at which no line is broken. [px]"""
        plain, bold = map(QFontMetricsF, self._fonts())
        sign = 0.0 if self.text.allowed else 1.2 * em()
        title = bold.horizontalAdvance(self.text.title) + sign
        words = [plain.horizontalAdvance(each.words) for each in self.text.lines]
        lines = max(words, default=0.0) + (self._label_width() if words else 0.0)
        return max(title, lines) + em() + 6.0

    def _height(self, width: float) -> float:
        """How high the card is at a width. [px]"""
        return self._lay(width, None, is_tight=False)

    def _tight_height(self, width: float) -> float:
        """How high it is with its lines close together. [px]"""
        return self._lay(width, None, is_tight=True)

    def _lay(self, width: float, painter: QPainter | None, *, is_tight: bool) -> float:
        plain, bold = self._fonts()
        pad, gap = (0.3 * em(), 0.0) if is_tight else (0.5 * em(), 0.18 * em())
        tone = tone_of(current_theme())
        sign = 0.0 if self.text.allowed else 1.2 * em()
        y = pad
        box = QRectF(pad + sign, y, width - 2.0 * pad - sign, 10_000.0)
        title = QFontMetricsF(bold).boundingRect(box, _WRAP, self.text.title)
        if painter is not None:
            painter.setFont(bold)
            painter.setPen(QColor(tone.ink if self.text.allowed else tone.warning))
            painter.drawText(box, _WRAP, self.text.title)
            if sign:
                _paint_no(painter, QRectF(pad, y, em(), em()), tone)
        y += title.height() + gap
        left = pad + self._label_width()
        metrics = QFontMetricsF(plain)
        for line in self.text.lines:
            box = QRectF(left, y, width - left - pad, 10_000.0)
            words = metrics.boundingRect(box, _WRAP, line.words)
            if painter is not None:
                self._paint_line(painter, line, box, pad, tone)
            y += max(words.height(), metrics.height()) + gap
        return y - gap + pad

    def _paint_line(
        self, painter: QPainter, line: Line, box: QRectF, pad: float, tone: Tone
    ) -> None:
        colours = {Severity.WARNING: tone.warning, Severity.CAUTION: tone.caution}
        colour = colours.get(line.severity, tone.ink) if line.severity else tone.ink
        high = 0.8 * em()
        if line.severity is not None:
            sign = QRectF(pad, box.top() + 0.1 * em(), high, high)
            paint_severity(painter, sign, line.severity, colour=colour)
        painter.setFont(self.font())
        painter.setPen(QColor(tone.muted))
        label = QRectF(pad + 1.1 * em(), box.top(), box.left(), em())
        painter.drawText(label, int(Qt.AlignmentFlag.AlignLeft), line.label)
        painter.setPen(QColor(colour))
        painter.drawText(box, _WRAP, line.words)

    def paintEvent(self, _event: QPaintEvent) -> None:
        tone = tone_of(current_theme())
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(tone.focus if self.text.allowed else tone.warning), 1.5))
        painter.setBrush(QColor(tone.raised))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 5.0, 5.0)
        self._lay(float(self.width()), painter, is_tight=self._is_tight)
        painter.end()


def _paint_no(painter: QPainter, box: QRectF, tone: Tone) -> None:
    """A circle with a stroke through it."""
    circle = box.adjusted(2, 2, -2, -2)
    painter.setPen(QPen(QColor(tone.warning), 2.2))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawEllipse(circle)
    inset = 0.15 * circle.width()
    painter.drawLine(
        circle.topLeft() + QPoint(round(inset), round(inset)),
        circle.bottomRight() - QPoint(round(inset), round(inset)),
    )


def placed(
    *heights: Callable[[float], float],
    most: float,
    regions: Sequence[QRect],
    pot: QRectF,
    aim: QRectF,
) -> QRectF:
    """Where a card goes whose height follows from its width, and that needs `most` of it.

    heights : how high it is at a width, and how high with less air, for where room is scarce.
    Beside the pot, else above or below it; where no region leaves the pot free, so that the place
    aimed at stays free; and always within the last region.
    """
    gap = _GAP_EM * em()
    for free, height, region in product((pot, aim), heights, regions):
        room = QRectF(region)
        for width in _widths(free, room, most, gap):
            for found in _beside(free, width, height(width), room, gap):
                if room.contains(found) and not found.intersects(free):
                    return found
    room = QRectF(regions[-1])
    width = min(_WIDTHS_EM[1] * em(), most, room.width())
    high = min(heights[-1](width), room.height())
    at_left = aim.center().x() > room.center().x()
    x = room.left() if at_left else room.right() - width
    y = room.top() if aim.center().y() > room.center().y() else room.bottom() - high
    return QRectF(x, y, width, high)


def _widths(free: QRectF, room: QRectF, most: float, gap: float) -> list[float]:
    """Widths to try: those that read well, then all there is at either side and above."""
    usual = [each * em() for each in _WIDTHS_EM]
    sides = [room.right() - free.right() - gap, free.left() - gap - room.left()]
    rest = [each for each in sides if each >= _NARROWEST_EM * em()]
    return [min(each, most, room.width()) for each in (*usual, *rest, room.width())]


def _beside(
    free: QRectF, width: float, height: float, room: QRectF, gap: float
) -> tuple[QRectF, ...]:
    """Places around a rectangle, moved along its sides as far as the room asks for."""
    y = min(max(free.center().y() - 0.5 * height, room.top()), room.bottom() - height)
    x = min(max(free.center().x() - 0.5 * width, room.left()), room.right() - width)
    right = QRectF(free.right() + gap, y, width, height)
    left = QRectF(free.left() - gap - width, y, width, height)
    sides = (right, left) if free.center().x() <= room.center().x() else (left, right)
    above = QRectF(x, free.top() - gap - height, width, height)
    below = QRectF(x, free.bottom() + gap, width, height)
    return *sides, above, below


def regions_of(canvas: QWidget) -> tuple[QRect, ...]:
    """Where a card over a canvas may lie in its window: over the canvas, else over all pages."""
    window = canvas.window()
    here = QRect(canvas.mapTo(window, QPoint(0, 0)), canvas.size()).adjusted(3, 3, -3, -3)
    centre = window.centralWidget() if isinstance(window, QMainWindow) else None
    whole = window.rect() if centre is None else centre.geometry()
    return here, whole.adjusted(3, 3, -3, -3)
