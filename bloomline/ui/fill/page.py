"""Plan: wishes for the whole yard with three ways to fill it, and what the season should keep."""

from __future__ import annotations

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from bloomline.errors import UsageError
from bloomline.plan.fill.answer import Answer
from bloomline.ui.details.cards import Card, wrapping
from bloomline.ui.document import Document
from bloomline.ui.dressed import say_as
from bloomline.ui.fill.answers_view import AnswersView
from bloomline.ui.fill.pots_list import PotsList
from bloomline.ui.fill.targets_card import TargetsCard
from bloomline.ui.fill.wishes_form import WishesForm
from bloomline.ui.page_frame import PageFrame
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import em
from bloomline.words import plural, tr


class FillPage(PageFrame):
    """Looks for plans when asked to; what is chosen is planted as one step."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, service, parent, name="fill_page")
        self.setAccessibleName(tr("Plan"))
        self._place: object = None
        self.form = WishesForm(self, of_pots=True)
        self.pots = PotsList(self)
        self.pots.setObjectName("fill_pots")
        self.pots.setAccessibleName(tr("Pots that may be filled"))
        self.pots.changed.connect(self._count)
        self.all_pots = self._small(tr("All"), tr("Choose all pots"))
        self.all_pots.clicked.connect(self._choose_all)
        self.no_pots = self._small(tr("None"), tr("Choose no pots"))
        self.no_pots.clicked.connect(self._choose_none)
        self.chosen = QLabel(self)
        say_as(self.chosen, "muted")
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
        self.targets = TargetsCard(document, self)
        self.targets.message.connect(self.message)
        self.targets.kept_changed.connect(self._name_tab)
        self.tabs = QTabWidget(self)
        self.tabs.setObjectName("fill_tabs")
        self.tabs.setDocumentMode(True)
        self.tabs.tabBar().setDrawBase(False)
        self._lay_out()
        self.setFocusProxy(self.form.first)
        self._follow_document()

    def _small(self, words: str, name: str) -> QPushButton:
        button = QPushButton(words, self)
        button.setAccessibleName(name)
        button.setAutoDefault(False)
        return button

    def _lay_out(self) -> None:
        gap = round(em() * 0.6)
        wishes = Card(tr("Wishes"), self)
        wishes.column.addWidget(self.form)
        pots = Card(tr("Pots that may be filled"), self)
        pots.column.addWidget(self.pots)
        choosing = QHBoxLayout()
        choosing.addWidget(self.chosen, 1)
        choosing.addWidget(self.all_pots)
        choosing.addWidget(self.no_pots)
        pots.column.addLayout(choosing)
        side = QWidget(self)
        column = QVBoxLayout(side)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(gap)
        column.addWidget(wishes)
        column.addWidget(pots)
        column.addStretch(1)
        area = _scrolled(side, tr("Wishes and pots"))
        # As wide as its parts: what is left is for the answers.
        bar = area.verticalScrollBar().sizeHint().width()
        area.setFixedWidth(side.minimumSizeHint().width() + bar + 2)
        left = QVBoxLayout()
        left.addWidget(area, 1)
        left.addWidget(self.problem)
        left.addWidget(self.look, 0, Qt.AlignmentFlag.AlignLeft)
        filling = QWidget(self)
        row = QHBoxLayout(filling)
        row.setContentsMargins(0, gap, 0, 0)
        row.setSpacing(gap)
        row.addLayout(left)
        row.addWidget(self.answers, 1)
        self.tabs.addTab(filling, tr("Fill pots"))
        self.tabs.addTab(_scrolled(self.targets, tr("What the season should keep")), "")
        self._name_tab("")
        page = QVBoxLayout(self)
        page.setContentsMargins(gap, round(gap * 0.5), gap, gap)
        page.addWidget(self.notice)
        page.addWidget(self.tabs, 1)

    @Slot(str)
    def _name_tab(self, kept: str) -> None:
        words = tr("Season's wishes")
        self.tabs.setTabText(1, tr("{words}: {kept}", words=words, kept=kept) if kept else words)

    # Following the yard

    def _work_out(self) -> None:
        """Show the yard's pots; answers to another yard than this are no longer offered."""
        outlook = self._outlook
        shown_for = (outlook.yard.place, outlook.yard.season_year, outlook.yard.money)
        if shown_for != self._place:
            self._place = shown_for
            self.form.show_outlook(outlook)
        self.form.follow(outlook)
        self.pots.show_pots(outlook.yard.pots, checked=True)
        self._count()
        self.targets.show_outlook(outlook)
        self.answers.forget(tr("The yard has changed: look for plans again."))

    @Slot()
    def _count(self, *_: object) -> None:
        count = len(self.pot_ids())
        self.chosen.setText(plural("{n} pot chosen", "{n} pots chosen", count))
        self.look.setEnabled(count > 0)

    @Slot()
    def _choose_all(self) -> None:
        self.pots.choose([pot.id for pot in self._outlook.yard.pots])

    @Slot()
    def _choose_none(self) -> None:
        self.pots.choose(())

    def pot_ids(self) -> list[str]:
        """The pots that may be filled."""
        return list(self.pots.pot_ids())

    # Plans

    @Slot()
    def ask(self) -> None:
        """Look for plans for the wishes as they are now."""
        outlook = self._outlook
        self.tabs.setCurrentIndex(0)
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
        self.targets.stop()


def _scrolled(widget: QWidget, name: str) -> QScrollArea:
    area = QScrollArea()
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setAccessibleName(name)
    area.setWidgetResizable(True)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setWidget(widget)
    return area
