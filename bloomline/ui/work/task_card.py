"""Everything about one task: when, how long, where, why, on whose word, what has moved."""

from __future__ import annotations

from PySide6.QtWidgets import QLabel, QScrollArea, QVBoxLayout, QWidget

from bloomline.plan.words.durations import duration_words
from bloomline.plan.work.year import Task
from bloomline.ui.details.cards import Card, wrapping
from bloomline.ui.work.model import WorkModel
from bloomline.words import short_day_words, tr


class TaskCard(QScrollArea):
    """Shows a task; says how to choose one when none is chosen."""

    def __init__(self, model: WorkModel, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("task_card")
        self.setAccessibleName(tr("About the task"))
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self._model = model
        self._card = Card(tr("Choose a task"), self)
        self._labels: list[QLabel] = []
        self._kinds = ("", "caution", "", "", "", "muted")
        for kind in self._kinds:
            label = wrapping("", kind, self._card)
            self._labels.append(label)
            self._card.column.addWidget(label)
        holder = QWidget(self)
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._card)
        column.addStretch(1)
        self.setWidget(holder)
        self.show_task(None)

    def show_task(self, task: Task | None) -> None:
        """Show a task, or none."""
        if task is None:
            self._card.heading.setText(tr("Choose a task"))
            words = [tr("Its days, its reason and its source show here."), *[""] * 5]
        else:
            self._card.heading.setText(task.title)
            words = self.words(task)
        for label, text in zip(self._labels, words, strict=True):
            label.setText(text)
            label.setVisible(bool(text))
        self.setAccessibleDescription(" ".join(filter(None, words)))

    def words(self, task: Task) -> list[str]:
        """A task's days, move, places, note, reason and source."""
        days = tr(
            "Best on {best}; not before {earliest}, not after {latest}.",
            best=short_day_words(task.best, weekday=True, year=True),
            earliest=short_day_words(task.earliest),
            latest=short_day_words(task.latest, year=True),
        )
        if task.repeat_days is not None:
            every = tr("Every {days} days from {best} to {latest}.")
            days = every.format(
                days=task.repeat_days,
                best=short_day_words(task.best, year=True),
                latest=short_day_words(task.latest, year=True),
            )
        state = self._model.state(task)
        if task.done_on is not None:
            last = tr("Done on {day}") if task.done else tr("last done on {day}")
            told = last.format(day=short_day_words(task.done_on, year=True))
            state = told if task.done else f"{state}, {told}"
        moved = ""
        if task.moved is not None and not task.done:
            moved = tr(
                "{moved}: it was {day}. What changed: {why}.",
                moved=self._model.moved(task),
                day=short_day_words(task.moved.was, year=True),
                why=task.moved.why,
            )
        where = tr("Pots: {names}", names=", ".join(task.called))
        time = tr("About {time}, a judgement", time=duration_words(task.minutes))
        return [
            f"{state}. {days}",
            moved,
            f"{where}\n{time}" if task.pot_names else time,
            task.note,
            tr("Why: {reason}", reason=task.reason),
            tr("Source: {source}", source=task.source),
        ]
