"""Suggestions side by side, worked out beside the window; what stands in the way when none is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QFrame, QHBoxLayout, QScrollArea, QVBoxLayout, QWidget

from bloomline.plan.fill.answer_words import differ_words
from bloomline.plan.fill.wishes import Wishes
from bloomline.plan.season.outlook import Outlook
from bloomline.ui.details.cards import wrapping
from bloomline.ui.fill.answer_card import AnswerCard
from bloomline.ui.fill.jobs import Suggested, suggested
from bloomline.ui.progress import WorkingRow
from bloomline.ui.season_service import Beside
from bloomline.ui.theme import em
from bloomline.ui.yard.scene import tallest_cm
from bloomline.words import plural, tr

_MOST = 3

Find = Callable[..., Suggested]


class AnswersView(QWidget):
    """Asks the planner and shows what it answers; tells which answer is wanted."""

    wanted = Signal(object)
    """An Answer."""
    found_changed = Signal()

    def __init__(
        self, button: str, parent: QWidget | None = None, *, find: Find = suggested
    ) -> None:
        """button : what plants an answer. find : looks for answers."""
        super().__init__(parent)
        self.setObjectName("answers")
        self._find = find
        self.found: Suggested | None = None
        self._many_pots = False
        self.state = wrapping("", "", self)
        self.working = WorkingRow(
            self,
            name="fill",
            what=tr("How far the search is"),
            stop=tr("Stop looking, and show the best so far"),
        )
        self.cards = [AnswerCard(button, self) for _ in range(_MOST)]
        holder = QWidget(self)
        row = QHBoxLayout(holder)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(round(em() * 0.6))
        for card in self.cards:
            card.wanted.connect(self.wanted)
            card.setMinimumWidth(round(14.2 * em()))
            row.addWidget(card, 1)
            card.hide()
        self.area = QScrollArea(self)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setAccessibleName(tr("Suggestions side by side"))
        self.area.setWidgetResizable(True)
        self.area.setWidget(holder)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.state)
        column.addWidget(self.working)
        column.addWidget(self.area, 1)
        self._beside = Beside(self)
        self._beside.answered.connect(self._take)

    def ask(self, outlook: Outlook, wishes: Wishes, pot_ids: Sequence[str]) -> None:
        """Look for ways to fill some pots; what was looked for before is dropped."""
        self._many_pots = len(pot_ids) > 1
        self._clear(
            plural(
                "Weighing kinds and depths for the pot; Stop shows the best so far.",
                "Weighing kinds and depths for {n} pots; Stop shows the best so far.",
                len(pot_ids),
            )
        )
        progress = self.working.begin()
        self._beside.drop()
        self._beside.ask(partial(self._find, outlook, wishes, tuple(pot_ids), go=progress.go))

    def forget(self, words: str) -> None:
        """Offer no longer what was found or is looked for, if anything; words : say why."""
        if self.found is not None or self._beside.is_busy:
            self.working.drop()
            self._beside.drop()
            self._clear(words)

    def _clear(self, words: str) -> None:
        self.found = None
        for card in self.cards:
            card.hide()
        self.state.setText(words)
        self.state.show()
        self.found_changed.emit()

    @Slot(object)
    def _take(self, answer: object) -> None:
        self.working.drop()
        if not isinstance(answer, Suggested):
            self._clear(str(answer))
            return
        self.found = answer
        count = len(answer.answers.answers)
        tall_cm = max(
            (
                tallest_cm(answer.filled(each), answer.after(each).cultivar_of)
                for each in answer.answers.answers
            ),
            default=0.0,
        )
        for number, card in enumerate(self.cards):
            if number < count:
                card.show_answer(answer, number, tall_cm=tall_cm)
            card.setVisible(number < count)
        self.area.verticalScrollBar().setValue(0)
        words = answer.answers.nothing
        if count:
            words = differ_words(answer.answers.answers, many_pots=self._many_pots)
        if answer.answers.stopped or self.working.is_cancelled:
            words = f"{words} {tr('The search was stopped: these are the best so far.')}"
        self.state.setText(words)
        self.found_changed.emit()

    def focus_first(self) -> None:
        """Give the keyboard to the first suggestion."""
        if self.found is not None and self.found.answers.answers:
            self.cards[0].button.setFocus(Qt.FocusReason.OtherFocusReason)

    def stop(self) -> None:
        """End the search; safe to call twice."""
        self.working.drop()
        self._beside.stop()
