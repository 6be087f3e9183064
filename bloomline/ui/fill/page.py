"""Plan: wishes for the whole yard, and three ways to fill it beside each other."""

from __future__ import annotations

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from bloomline.errors import UsageError
from bloomline.plan.fill.answer import Answer
from bloomline.plan.words.benches import pot_words
from bloomline.ui.details.cards import Card, wrapping
from bloomline.ui.document import Document
from bloomline.ui.fill.answers_view import AnswersView
from bloomline.ui.fill.wishes_form import WishesForm
from bloomline.ui.page_frame import PageFrame
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import em
from bloomline.words import plural, tr

_POT = Qt.ItemDataRole.UserRole


class FillPage(PageFrame):
    """Looks for plans when asked to; what is chosen is planted as one step."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, service, parent, name="fill_page")
        self.setAccessibleName(tr("Plan"))
        self._place: object = None
        self.form = WishesForm(self)
        self.pots = QListWidget(self)
        self.pots.setObjectName("fill_pots")
        self.pots.setAccessibleName(tr("Pots that may be filled"))
        self.pots.itemChanged.connect(self._count)
        self.chosen = QLabel(self)
        self.chosen.setObjectName("muted")
        self.problem = wrapping("", "warning", self)
        self.problem.hide()
        self._action("action_fill_look", self.ask)
        self.look = self._button(self._actions[0])
        self.answers = AnswersView(tr("Plant this"), self)
        self.answers.wanted.connect(self._plant)
        self.answers.state.setText(
            tr(
                "Say what you wish for, and which pots may be filled. Layers that lie in them "
                "stay; nothing changes before you choose."
            )
        )
        self._lay_out()
        self.setFocusProxy(self.form.first)
        self._follow_document()

    def _lay_out(self) -> None:
        gap = round(em() * 0.6)
        wishes = Card(tr("Wishes"), self)
        wishes.column.addWidget(self.form)
        pots = Card(tr("Pots that may be filled"), self)
        pots.column.addWidget(self.pots)
        pots.column.addWidget(self.chosen)
        side = QWidget(self)
        column = QVBoxLayout(side)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(gap)
        column.addWidget(wishes)
        column.addWidget(pots, 1)
        area = QScrollArea(self)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setAccessibleName(tr("Wishes and pots"))
        area.setWidgetResizable(True)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setWidget(side)
        area.setFixedWidth(round(27 * em()))
        left = QVBoxLayout()
        left.addWidget(area, 1)
        left.addWidget(self.problem)
        left.addWidget(self.look, 0, Qt.AlignmentFlag.AlignLeft)
        row = QHBoxLayout()
        row.setSpacing(gap)
        row.addLayout(left)
        row.addWidget(self.answers, 1)
        page = QVBoxLayout(self)
        page.setContentsMargins(gap, gap, gap, gap)
        page.addWidget(self.notice)
        page.addLayout(row, 1)

    # Following the yard

    def _work_out(self) -> None:
        """Show the yard's pots; answers to another yard than this are no longer offered."""
        outlook = self._outlook
        shown_for = (outlook.yard.place, outlook.yard.season_year, outlook.yard.money)
        if shown_for != self._place:
            self._place = shown_for
            self.form.show_outlook(outlook)
        off = {
            str(self.pots.item(at).data(_POT))
            for at in range(self.pots.count())
            if self.pots.item(at).checkState() is Qt.CheckState.Unchecked
        }
        self.pots.blockSignals(True)
        self.pots.clear()
        for pot in outlook.yard.pots:
            item = QListWidgetItem(pot_words(pot), self.pots)
            item.setData(_POT, pot.id)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Unchecked if pot.id in off else Qt.CheckState.Checked)
        self.pots.blockSignals(False)
        self._count()
        self.answers.forget(tr("The yard has changed: look for plans again."))

    @Slot()
    def _count(self, *_: object) -> None:
        count = len(self.pot_ids())
        self.chosen.setText(plural("{n} pot chosen", "{n} pots chosen", count))
        self.look.setEnabled(count > 0)

    def pot_ids(self) -> list[str]:
        """The pots that may be filled."""
        items = (self.pots.item(at) for at in range(self.pots.count()))
        return [
            str(item.data(_POT)) for item in items if item.checkState() is Qt.CheckState.Checked
        ]

    # Plans

    @Slot()
    def ask(self) -> None:
        """Look for plans for the wishes as they are now."""
        outlook = self._outlook
        try:
            self.form.check(outlook)
        except UsageError as error:
            self.problem.setText(str(error))
            self.problem.show()
            return
        self.problem.hide()
        self.answers.ask(outlook, self.form.wishes(), self.pot_ids())

    @Slot(object)
    def _plant(self, answer: Answer) -> None:
        if self._document.edit(tr("Plant a plan: {plan}", plan=answer.title), answer.apply):
            self.message.emit(
                plural(
                    "{n} layer planted. Buy has what is to be bought; undo takes all back.",
                    "{n} layers planted. Buy has what is to be bought; undo takes all back.",
                    len(answer.layers),
                )
            )

    def stop(self) -> None:
        super().stop()
        self.answers.stop()
