"""Suggests whole fillings of one pot: wishes at the left, answers beside them."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Slot
from PySide6.QtWidgets import QDialog, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from bloomline.errors import UsageError
from bloomline.plan.fill.answer import Answer
from bloomline.ui import theme
from bloomline.ui.details.cards import wrapping
from bloomline.ui.document import Document
from bloomline.ui.fill.answers_view import AnswersView
from bloomline.ui.fill.wishes_form import WishesForm
from bloomline.words import tr


class SuggestDialog(QDialog):
    """Answers for a pot; layers that lie in it stay. The one chosen is planted by `suggest_layers`.

    It looks at once with the wishes that the yard begins with, and again when asked to.
    """

    def __init__(self, document: Document, pot_id: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("suggest_layers")
        self._outlook = document.outlook.usual
        self._pot_id = pot_id
        self.answer: Answer | None = None
        pot = document.yard.pot(pot_id)
        self.setWindowTitle(tr("Suggest layers for {pot}", pot=pot.name))
        self.form = WishesForm(self)
        self.form.show_outlook(self._outlook)
        self.problem = wrapping("", "warning", self)
        self.problem.hide()
        self.look = QPushButton(tr("&Look again"), self)
        self.look.setObjectName("suggest_look")
        self.look.setDefault(True)
        self.look.clicked.connect(self.ask)
        self.answers = AnswersView(tr("Plant this"), self)
        self.answers.wanted.connect(self._take)
        self.answers.found_changed.connect(self.answers.focus_first)
        close = QPushButton(tr("Close"), self)
        close.setAutoDefault(False)
        close.clicked.connect(self.reject)
        stays = tr("Layers that lie in it stay. Nothing changes before you choose.")
        side = QVBoxLayout()
        side.addWidget(wrapping(stays, "muted", self))
        side.addWidget(self.form)
        side.addWidget(self.problem)
        side.addWidget(self.look, 0, Qt.AlignmentFlag.AlignLeft)
        side.addStretch(1)
        side.addWidget(close, 0, Qt.AlignmentFlag.AlignLeft)
        row = QHBoxLayout(self)
        row.addLayout(side)
        row.addWidget(self.answers, 1)
        em = theme.em()
        row.setSpacing(round(em))
        wanted = QSize(round(76 * em), round(42 * em))
        self.resize(wanted.boundedTo(self.screen().availableSize() * 0.92))
        self.ask()

    @Slot()
    def ask(self) -> None:
        """Look for answers to the wishes as they are now."""
        try:
            self.form.check(self._outlook)
        except UsageError as error:
            self.problem.setText(str(error))
            self.problem.show()
            return
        self.problem.hide()
        self.answers.ask(self._outlook, self.form.wishes(), [self._pot_id])

    @Slot(object)
    def _take(self, answer: Answer) -> None:
        self.answer = answer
        self.accept()

    def stop(self) -> None:
        """End what runs beside."""
        self.answers.stop()


def suggest_layers(document: Document, pot_id: str, parent: QWidget) -> bool:
    """Ask which suggestion to plant in a pot, and plant it as one step; whether it was."""
    dialog = SuggestDialog(document, pot_id, parent)
    try:
        dialog.exec()
    finally:
        dialog.stop()
        dialog.deleteLater()
    if dialog.answer is None:
        return False
    pot = document.yard.pot(pot_id)
    return document.edit(tr("Plant what was suggested in {pot}", pot=pot.name), dialog.answer.apply)
