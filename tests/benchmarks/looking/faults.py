"""What of a window's words is cut, lies over another, is too small or claims a letter twice."""

from __future__ import annotations

import re
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from PySide6.QtWidgets import QComboBox, QLabel, QWidget

LEAST_PT = 9.0


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
    from PySide6.QtWidgets import QAbstractItemView

    by_parent: dict[int, list[QWidget]] = {}
    for each in shown:
        has_words = isinstance(each, QAbstractItemView) or words_on(each)
        if has_words and each.parentWidget() is not None:
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
