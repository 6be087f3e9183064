"""What the window asks and tells about files."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from enum import Enum, auto
from pathlib import Path

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QMessageBox, QPushButton, QWidget

from bloomline.errors import DataError, FileProblemError
from bloomline.ui.hands.plain import shown
from bloomline.words import tr

_MOST_SHOWN = 8


translate = QCoreApplication.translate


@contextmanager
def waiting() -> Iterator[None]:
    """Show the pointer of a busy program: reading a yard of thousands of pots takes a second."""
    QGuiApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
    try:
        yield
    finally:
        QGuiApplication.restoreOverrideCursor()


class Answer(Enum):
    """What was chosen."""

    SAVE = auto()
    SAVE_AS = auto()
    DISCARD = auto()
    CANCEL = auto()
    OVERWRITE = auto()
    RELOAD = auto()
    KEEP = auto()
    HERE = auto()
    ELSEWHERE = auto()


class Question(QMessageBox):
    """A question with named buttons; closing it is the answer CANCEL."""

    def __init__(self, parent: QWidget | None, name: str, text: str, more: str) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self.setIcon(QMessageBox.Icon.NoIcon)
        self.setWindowTitle("bloomline")
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setText(shown(text))
        self.setInformativeText("\n".join(shown(line) for line in more.split("\n")))
        self._answers: dict[QPushButton, Answer] = {}

    def offer(
        self, answer: Answer, words: str, role: QMessageBox.ButtonRole, *, default: bool = False
    ) -> None:
        """Add a button."""
        button = self.addButton(words, role)
        button.setObjectName(answer.name.lower())
        self._answers[button] = answer
        if default:
            self.setDefaultButton(button)
        if answer in (Answer.CANCEL, Answer.KEEP):
            self.setEscapeButton(button)

    def ask(self) -> Answer:
        """Show it and wait for the answer."""
        self.exec()
        chosen = self.clickedButton()
        answer = (
            self._answers.get(chosen, Answer.CANCEL)
            if isinstance(chosen, QPushButton)
            else (Answer.CANCEL)
        )
        self.deleteLater()
        return answer


_ACCEPT = QMessageBox.ButtonRole.AcceptRole
_REJECT = QMessageBox.ButtonRole.RejectRole
_DESTROY = QMessageBox.ButtonRole.DestructiveRole
_ACTION = QMessageBox.ButtonRole.ActionRole


def ask_unsaved(parent: QWidget | None, *, title: str) -> Answer:
    """SAVE, DISCARD or CANCEL."""
    question = Question(
        parent,
        "question_unsaved",
        tr("Keep the changes to {title}?", title=title),
        tr("What you changed since the last save is lost if you don't."),
    )
    question.offer(Answer.SAVE, tr("&Save"), _ACCEPT, default=True)
    question.offer(Answer.DISCARD, tr("&Don't save"), _DESTROY)
    question.offer(Answer.CANCEL, tr("Cancel"), _REJECT)
    return question.ask()


def ask_overwrite_changed(parent: QWidget | None, *, path: Path) -> Answer:
    """OVERWRITE, SAVE_AS, RELOAD or CANCEL: the file was changed by someone else."""
    question = Question(
        parent,
        "question_overwrite",
        tr("{name} was changed by another program since you opened it.", name=path.name),
        tr(
            "Saving now would throw those changes away. Saving under another name keeps both.",
        ),
    )
    question.offer(Answer.SAVE_AS, tr("Save under &another name…"), _ACCEPT, default=True)
    question.offer(Answer.OVERWRITE, tr("&Overwrite the file"), _DESTROY)
    question.offer(Answer.RELOAD, tr("&Reload and lose mine"), _DESTROY)
    question.offer(Answer.CANCEL, tr("Cancel"), _REJECT)
    return question.ask()


def ask_reload(parent: QWidget | None, *, path: Path, unsaved: bool) -> Answer:
    """RELOAD or KEEP: the open file changed on disk."""
    if unsaved:
        more = tr("You have unsaved changes here; reloading throws them away.")
    else:
        more = tr("You have no unsaved changes here.")
    question = Question(
        parent,
        "question_reload",
        tr("{name} has changed on disk.", name=path.name),
        more,
    )
    question.offer(Answer.RELOAD, tr("&Reload it"), _ACCEPT, default=not unsaved)
    question.offer(Answer.KEEP, tr("&Keep mine"), _REJECT, default=unsaved)
    return question.ask()


def ask_revert(parent: QWidget | None, *, path: Path) -> Answer:
    """DISCARD or CANCEL: go back to what the file holds."""
    question = Question(
        parent,
        "question_revert",
        tr("Go back to {name} as it was last saved?", name=path.name),
        tr("All changes since then are lost, and can't be brought back by undo."),
    )
    question.offer(Answer.DISCARD, tr("&Go back"), _DESTROY)
    question.offer(Answer.CANCEL, tr("Cancel"), _REJECT, default=True)
    return question.ask()


def ask_where(parent: QWidget | None, *, path: Path, title: str) -> Answer:
    """HERE, ELSEWHERE or CANCEL: another yard is open in this window."""
    question = Question(
        parent,
        "question_where",
        tr("Open {name} in another window?", name=path.name),
        tr("A window shows one yard; this one shows {title}.", title=title),
    )
    question.offer(Answer.ELSEWHERE, tr("&Another window"), _ACCEPT, default=True)
    question.offer(Answer.HERE, tr("&This window"), _ACTION)
    question.offer(Answer.CANCEL, tr("Cancel"), _REJECT)
    return question.ask()


def ask_throw_away(parent: QWidget | None, *, name: str) -> bool:
    """Whether unsaved work that was found is to go for good."""
    question = Question(
        parent,
        "question_throw_away",
        tr("Throw the unsaved work on {name} away?", name=name),
        tr("It can't be brought back."),
    )
    question.offer(Answer.DISCARD, tr("&Throw away"), _DESTROY)
    question.offer(Answer.CANCEL, tr("Cancel"), _REJECT, default=True)
    return question.ask() is Answer.DISCARD


def tell_problem(parent: QWidget | None, head: str, error: Exception) -> None:
    """Say what went wrong with a file: the sentence, or every problem found in it."""
    text, more, details = words_of(error)
    question = Question(parent, "problem", head, f"{text}\n{more}" if more else text)
    if details:
        question.setDetailedText(details)
    question.offer(Answer.CANCEL, tr("Close"), _REJECT, default=True)
    question.ask()


def words_of(error: Exception) -> tuple[str, str, str]:
    """A sentence, further lines, and all lines where there are too many to show."""
    if isinstance(error, DataError):
        count = len(error.problems)
        shown = [f"•  {each}" for each in error.problems[:_MOST_SHOWN]]
        if count > _MOST_SHOWN:
            shown.append(tr("…and {n} more", n=count - _MOST_SHOWN))
        head = tr("{path} has mistakes in it:", path=error.path)
        details = "\n".join(error.problems) if count > _MOST_SHOWN else ""
        return head, "\n".join(shown), details
    if isinstance(error, FileProblemError):
        where = f" ({error.where})" if error.where else ""
        return f"{error.path}{where}: {error.problem}.", "", ""
    return str(error), "", ""
