"""One suggestion on a card: what it looks like, when it flowers, what it costs, and why."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QLabel, QPushButton, QWidget

from bloomline.plan.fill.answer import Answer
from bloomline.plan.fill.answer_words import cost_words, gained_words, layer_words, proof_words
from bloomline.plan.season.best_day import best_day
from bloomline.plan.season.words import figure
from bloomline.ui.details.cards import Card, wrapping
from bloomline.ui.fill.bars import LayerBars
from bloomline.ui.fill.jobs import Suggested
from bloomline.ui.fill.pots_view import PotsView
from bloomline.ui.units import units_of
from bloomline.words import day_words, plural, tr


class AnswerCard(Card):
    """Shows an answer; tells when it is wanted."""

    wanted = Signal(object)
    """The Answer whose layers are to be planted."""

    def __init__(self, button: str, parent: QWidget | None = None) -> None:
        super().__init__("", parent)
        self._answer: Answer | None = None
        self.figures = wrapping("", "", self)
        self.view = PotsView(self)
        self.day = wrapping("", "muted", self)
        self.bars = LayerBars(self)
        self.layers = wrapping("", "", self)
        self.proof = wrapping("", "", self)
        self.why = wrapping("", "muted", self)
        self.gives_up = wrapping("", "muted", self)
        self.warnings = wrapping("", "caution", self)
        self.button = QPushButton(button, self)
        self.button.setObjectName("plant_answer")
        self.button.setAutoDefault(False)
        self.button.clicked.connect(self._choose)
        self.column.addWidget(self.figures)
        self.column.addWidget(self.button, 0, Qt.AlignmentFlag.AlignLeft)
        for widget in (
            self.view,
            self.day,
            self.bars,
            self.layers,
            self.proof,
            self.warnings,
            self.gives_up,
            self.why,
        ):
            self.column.addWidget(widget)
        self.column.addStretch(1)

    def show_answer(self, found: Suggested, number: int, *, tall_cm: float) -> None:
        """Show one of the answers, by its number from 0; tall_cm : as the tallest of all."""
        answer, report = found.answers.answers[number], found.reports[number]
        self._answer = answer
        currency = found.outlook.yard.money.currency
        self.heading.setText(answer.title)
        self.heading.show()
        weeks = tr("{weeks} weeks in colour", weeks=figure(answer.days / 7.0, 1))
        cost = cost_words(answer, currency=currency)
        bulbs = plural("{n} bulb", "{n} bulbs", answer.bulbs)
        told = [weeks, cost, bulbs]
        if answer.tells_pots_apart():
            told.insert(1, gained_words(answer))
        self.figures.setText(" · ".join(told))
        proof = proof_words(answer)
        self.proof.setText(proof)
        self.proof.setVisible(bool(proof))
        shown = found.filled(answer)
        day = best_day(report)
        if day is not None:
            self.view.show_pots(found.after(answer), report, shown, day, tall_cm=tall_cm)
            self.day.setText(tr("As expected on {day}", day=day_words(day)))
        wishes = found.answers.wishes
        assert wishes.first is not None and wishes.last is not None  # settled
        ids = [each.layer.id for each in answer.layers]
        self.bars.show_layers(report, ids, wishes.first, wishes.last)
        many, units = len(shown.pots) > 1, units_of(found.outlook.yard)
        self.layers.setText(
            "\n".join(layer_words(each, units=units, with_pot=many) for each in answer.layers)
        )
        _put(self.why, "\n".join(answer.why))
        _put(self.gives_up, answer.gives_up)
        _put(self.warnings, "\n".join(f"▲ {words}" for words in answer.warnings))
        self.setAccessibleName(f"{answer.title}: {self.figures.text()}")
        self.button.setAccessibleName(f"{self.button.text()}: {answer.title}")
        self.button.setAccessibleDescription(self.layers.text())

    @Slot()
    def _choose(self) -> None:
        if self._answer is not None:
            self.wanted.emit(self._answer)


def _put(label: QLabel, words: str) -> None:
    label.setText(words)
    label.setVisible(bool(words))
