"""Plantings of a pot that are due while it isn't free, and the ways out."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from bloomline.model.advice import Severity
from bloomline.plan.carry.collision import Choice, Conflict
from bloomline.ui.details.cards import Card, SeveritySign, wrapping
from bloomline.ui.details.wrapping_button import WrappingButton
from bloomline.ui.dressed import say_as
from bloomline.ui.theme import em
from bloomline.words import tr


class ConflictsCard(QWidget):
    """Conflicts below each other; gone when there are none."""

    chosen = Signal(object)
    """A way out was chosen (Choice)."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(round(em() * 0.5))
        self._shown: tuple[object, ...] = ()
        self._cards: list[QWidget] = []
        self.setVisible(False)

    def show_conflicts(self, conflicts: Sequence[Conflict]) -> None:
        """Show other conflicts; what is in focus stays while they are the same."""
        key = tuple(
            (each.words, tuple((c.title, c.words, c.available, c.why_not) for c in each.choices))
            for each in conflicts
        )
        if key != self._shown:
            self._shown = key
            for card in self._cards:
                card.hide()
                card.deleteLater()
            self._cards = [_ConflictCard(each, self) for each in conflicts]
            for card in self._cards:
                self._column.addWidget(card)
        else:  # the same in words, but they must change the yard as it is now
            for card, conflict in zip(self._cards, conflicts, strict=True):
                assert isinstance(card, _ConflictCard)
                card.renew(conflict)
        self.setVisible(bool(conflicts))


class _ConflictCard(Card):
    """One conflict: what is in the way, and each way out with what it costs."""

    def __init__(self, conflict: Conflict, owner: ConflictsCard) -> None:
        super().__init__("", owner)
        self._owner = owner
        self.setAccessibleName(tr("The pot is not free: {words}", words=conflict.words))
        head = QHBoxLayout()
        head.setSpacing(round(em() * 0.35))
        sign = SeveritySign(self)
        sign.show_severity(Severity.CAUTION)
        word = QLabel(tr("The pot is not free"), self)
        say_as(word, "caution")
        head.addWidget(sign)
        head.addWidget(word, 1)
        self.column.addLayout(head)
        self.column.addWidget(wrapping(conflict.words, "", self))
        self._choices: dict[QObject, Choice] = {}
        for choice in conflict.choices:
            self._add(choice)

    def renew(self, conflict: Conflict) -> None:
        """Take the same choices as they are made for the yard of now."""
        self._choices = dict(zip(self._choices, conflict.choices, strict=True))

    def _add(self, choice: Choice) -> None:
        self.column.addSpacing(round(em() * 0.35))
        button = WrappingButton(choice.title, self)
        button.setObjectName(f"choice_{choice.key}")
        button.setAccessibleName(choice.title)
        button.setAccessibleDescription(choice.words if choice.available else choice.why_not)
        button.setEnabled(choice.available)
        button.clicked.connect(self._choose)
        self.column.addWidget(button)
        self.column.addWidget(wrapping(choice.words, "muted", self))
        if not choice.available:
            why = tr("Not possible: {why}", why=choice.why_not)
            self.column.addWidget(wrapping(why, "caution", self))
        self._choices[button] = choice

    @Slot()
    def _choose(self) -> None:
        button = self.sender()
        choice = self._choices.get(button) if button is not None else None
        if choice is not None:
            self._owner.chosen.emit(choice)
