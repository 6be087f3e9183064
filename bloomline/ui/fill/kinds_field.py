"""Kinds to name: a line that completes what is typed, and a button for each that is named."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from PySide6.QtCore import QStringListModel, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QCompleter, QLineEdit, QPushButton, QVBoxLayout, QWidget

from bloomline.ui.details.cards import wrapping
from bloomline.ui.shelf.flow import FlowLayout
from bloomline.ui.theme import em
from bloomline.words import tr


class _Line(QLineEdit):
    """Enter names what is typed, and presses no button of a dialog on the way."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        super().keyPressEvent(event)
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.text():
            event.accept()


class KindsField(QWidget):
    """Types and cultivars, each named once; tells when they change."""

    changed = Signal()

    def __init__(self, what: str, parent: QWidget | None = None, *, name: str) -> None:
        """what : what is said of the kinds, for a screen reader."""
        super().__init__(parent)
        self.setObjectName(name)
        self._what = what
        self._known: dict[str, str] = {}
        self._named: dict[str, str] = {}
        self._names = QStringListModel(self)
        self.line = _Line(self)
        self.line.setObjectName(f"{name}_line")
        self.line.setAccessibleName(what)
        self.line.setPlaceholderText(tr("a type or a cultivar, then Enter"))
        self.line.setMinimumWidth(round(em() * 13))
        completer = QCompleter(self._names, self)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.setMaxVisibleItems(10)
        # Queued: the completer writes its choice into the line after it has told of it.
        completer.activated.connect(self._take, Qt.ConnectionType.QueuedConnection)
        self.line.setCompleter(completer)
        self.line.returnPressed.connect(self._take_line)
        self.line.textEdited.connect(self._forget_problem)
        self.problem = wrapping("", "warning", self)
        self.problem.hide()
        self._chips = QWidget(self)
        self._flow = FlowLayout(self._chips, gap=round(em() * 0.25))
        self._buttons: dict[str, QPushButton] = {}
        self._chips.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(round(em() * 0.25))
        for widget in (self.line, self.problem, self._chips):
            column.addWidget(widget)

    def show_known(self, known: Mapping[str, str]) -> None:
        """What can be named, with the value of each; what is not there any more goes."""
        if known != self._known:
            self._known = dict(known)
            self._names.setStringList(list(known))
            for words in [each for each in self._named if each not in known]:
                self.remove(words)

    @property
    def values(self) -> tuple[str, ...]:
        """The values of what is named, in turn."""
        return tuple(self._named.values())

    def add(self, text: str) -> bool:
        """Name a kind; False, with a word why, where there is none of that name."""
        wanted = text.strip().casefold()
        words = next((each for each in self._known if each.casefold() == wanted), None)
        if words is None:
            near = [each for each in self._known if wanted in each.casefold()]
            if len(near) == 1:
                words = near[0]
            else:
                self.problem.setText(
                    tr("Several kinds are called so: choose one of the list.")
                    if near
                    else tr("No type and no cultivar is called so.")
                )
                self.problem.show()
                return False
        self._forget_problem()
        if words not in self._named:
            self._named[words] = self._known[words]
            button = QPushButton(tr("{name} ✕", name=words).replace("&", "&&"), self._chips)
            button.setObjectName("kind_named")
            button.setAutoDefault(False)
            button.setToolTip(tr("Take {name} off the list", name=words))
            button.setAccessibleName(f"{self._what}: {button.toolTip()}")
            button.clicked.connect(partial(self.remove, words))
            self._buttons[words] = button
            self._flow.addWidget(button)
            button.show()
            self._chips.show()
            self.changed.emit()
        return True

    def remove(self, words: str, *_: object) -> None:
        """Name a kind no longer."""
        del self._named[words]
        button = self._buttons.pop(words)
        had_focus = button.hasFocus()
        self._flow.removeWidget(button)
        button.hide()
        button.deleteLater()
        self._chips.setVisible(bool(self._named))
        self._chips.updateGeometry()
        if had_focus:
            self.line.setFocus(Qt.FocusReason.OtherFocusReason)
        self.changed.emit()

    @Slot(str)
    def _take(self, text: str) -> None:
        if self.line.text() and self.add(text):
            self.line.clear()

    @Slot()
    def _take_line(self) -> None:
        text = self.line.text().strip()
        if text:
            self._take(text)

    @Slot()
    def _forget_problem(self, *_: object) -> None:
        self.problem.hide()
