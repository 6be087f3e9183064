"""Guides to a first yard of layered pots: place, pots, wishes, and whole pots to choose from."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QSize, Qt, Slot
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from bloomline.errors import UsageError
from bloomline.model.kind_edits import put_kind, with_kinds_used
from bloomline.model.yard import Money, OwnCultivar, PlaceChoice, Settings, Yard
from bloomline.plan.fill.answer import Answer
from bloomline.plan.fill.new_yard import shelter_words
from bloomline.plan.fill.wishes import Wishes
from bloomline.plan.kinds.prices import with_pack
from bloomline.plan.season.outlook import Outlook
from bloomline.ui import theme
from bloomline.ui.details.cards import wrapping
from bloomline.ui.dressed import say_as
from bloomline.ui.files.guide_place import PlacePage
from bloomline.ui.files.guide_pots import PotsPage
from bloomline.ui.fill.answers_view import AnswersView
from bloomline.ui.fill.jobs import suggested_for_new
from bloomline.ui.fill.wishes_form import WishesForm
from bloomline.ui.units import units_of
from bloomline.words import listed, tr

if TYPE_CHECKING:
    from bloomline.ui.kinds.packet_dialog import Made, PacketDialog

_PLACE, _POTS, _WISHES, _ANSWERS = range(4)


class FirstYardGuide(QDialog):
    """Four short steps; Enter goes on, Alt+Left back. `yard()` is what was made."""

    def __init__(self, outlook: Outlook, *, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("guide")
        self.setWindowTitle(tr("A new yard"))
        self._outlook = outlook.usual
        self._yard: Yard | None = None
        self._asked: tuple[Yard, Wishes] | None = None
        self._shown_for: tuple[PlaceChoice, int] | None = None
        self.packet: PacketDialog | None = None
        self._packets: list[Made] = []
        units = units_of(outlook.yard)
        self.place_page = PlacePage(
            today=outlook.today, units=units, home=outlook.yard.place, parent=self
        )
        self.pots_page = PotsPage(units, self)
        self.wishes_form = WishesForm(self)
        self.answers = AnswersView(tr("Plant this"), self, find=suggested_for_new)
        self.place_page.changed.connect(self._refresh)
        self.pots_page.changed.connect(self._refresh)
        self.wishes_form.changed.connect(self._refresh)
        self.answers.wanted.connect(self._take)
        self.answers.found_changed.connect(self._found)
        self.place_page.list.activated.connect(self._next)
        self._lay_out()
        self._go(_PLACE)

    def _lay_out(self) -> None:
        self.stack = QStackedWidget(self)
        wishes = QWidget(self)
        column = QVBoxLayout(wishes)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.wishes_form)
        self.missing = self._button("guide_missing", tr("No&t in the list…"), self._ask_packet)
        self.missing.setToolTip(tr("Make a kind from what stands on its packet"))
        column.addWidget(self.missing, 0, Qt.AlignmentFlag.AlignLeft)
        self.made = wrapping("", "muted", wishes)
        self.made.hide()
        column.addWidget(self.made)
        column.addStretch(1)
        for page in (self.place_page, self.pots_page, wishes, self.answers):
            self.stack.addWidget(page)
        self.step = QLabel(self)
        say_as(self.step, "muted")
        self.head = QLabel(self)
        say_as(self.head, "heading")
        self.problem = wrapping("", "warning", self)
        self.problem.hide()
        self.back_button = self._button("guide_back", tr("&Back"), self._back)
        QShortcut(QKeySequence("Alt+Left"), self, self._back)
        self.next_button = self._button("guide_next", "", self._next)
        self.next_button.setDefault(True)
        buttons = QHBoxLayout()
        buttons.addWidget(self._button("guide_cancel", tr("Cancel"), self.reject))
        buttons.addStretch(1)
        buttons.addWidget(self.back_button)
        buttons.addWidget(self.next_button)
        em = theme.em()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(round(em), round(em), round(em), round(em))
        layout.setSpacing(round(em * 0.5))
        layout.addWidget(self.step)
        layout.addWidget(self.head)
        layout.addWidget(self.problem)
        layout.addWidget(self.stack, 1)
        layout.addLayout(buttons)
        wanted = QSize(round(58 * em), round(40 * em))
        self.resize(wanted.boundedTo(self.screen().availableSize() * 0.92))

    def _button(self, name: str, words: str, what: object) -> QPushButton:
        button = QPushButton(words, self)
        button.setObjectName(name)
        button.setAutoDefault(False)
        button.clicked.connect(what)
        return button

    def yard(self) -> Yard | None:
        """The yard that was put together, None before the last step is done."""
        return self._yard

    # Steps

    def _go(self, step: int) -> None:
        heads = (
            tr("Where is your yard?"),
            tr("Which pots do you have?"),
            tr("What do you wish for?"),
            tr("Whole pots to choose from"),
        )
        self.problem.hide()
        if step == _WISHES:
            self._show_wishes()
        if step == _ANSWERS and not self._ask():
            return
        self.stack.setCurrentIndex(step)
        self.step.setText(tr("Step {n} of {all}", n=step + 1, all=len(heads)))
        self.head.setText(heads[step])
        self.back_button.setVisible(step > 0)
        last = step == _ANSWERS
        self.next_button.setText(tr("Begin with &empty pots") if last else tr("&Next"))
        # Enter plants the suggestion that has the keyboard, never empty pots by a slip.
        self.next_button.setDefault(not last)
        focus = (self.place_page.search, self.pots_page.list, self.wishes_form.first, self.answers)
        focus[step].setFocus(Qt.FocusReason.OtherFocusReason)
        self._refresh()

    @Slot()
    def _refresh(self) -> None:
        self.next_button.setEnabled(
            self.stack.currentIndex() != _PLACE or self.place_page.choice() is not None
        )

    @Slot()
    def _back(self) -> None:
        self._go(max(self.stack.currentIndex() - 1, 0))

    @Slot()
    def _next(self) -> None:
        if not self.next_button.isEnabled():
            return
        step = self.stack.currentIndex()
        if step < _ANSWERS:
            self._go(step + 1)
        else:
            self._yard = self._asked[0] if self._asked else None
            self.accept()

    # Wishes and answers

    def _empty_yard(self, wishes: Wishes | None = None) -> Yard:
        """A yard of the pots, which keeps what of the wishes holds for all that follows."""
        place = self.place_page.choice()
        assert place is not None  # Next is off without one
        budget = None if wishes is None else wishes.budget
        pots = self.pots_page.pots()
        yard = Yard(
            name=tr("Yard in {place}", place=place.name.split(",")[0])[:120],
            place=place,
            season_year=self.place_page.year.value(),
            money=Money(budget=None if budget is None else float(budget)),
            settings=Settings(pets=wishes is not None and wishes.harmless),
            pots=tuple(pots),
        )
        for made in self._packets:
            yard = with_pack(
                put_kind(yard, made.kind), made.kind.id, pack=made.pack, price=made.price
            )
        return yard

    def _show_wishes(self) -> None:
        """Days of the season at the place; wishes that were changed for it are kept."""
        yard = self._empty_yard()
        shown_for = (yard.place, yard.season_year)
        if shown_for != self._shown_for:
            self._shown_for = shown_for
            self.wishes_form.show_outlook(self._outlook.with_(yard=yard, use_records=False))

    def _ask(self) -> bool:
        """Look for answers, unless nothing has changed; False for wishes that make no sense."""
        liked = tuple(each.kind.id for each in self._packets)
        wishes = self.wishes_form.wishes()
        wishes = replace(wishes, liked=(*wishes.liked, *liked))
        yard = self._empty_yard(wishes)
        if self._asked == (yard, wishes):
            return True
        outlook = self._outlook.with_(yard=yard, use_records=False)
        try:
            self.wishes_form.check(outlook)
        except UsageError as error:
            self.problem.setText(str(error))
            self.problem.show()
            return False
        self._asked = (yard, wishes)
        self.answers.ask(outlook, wishes, [pot.id for pot in yard.pots])
        return True

    @Slot()
    def _found(self) -> None:
        found = self.answers.found
        if found is not None:
            words = shelter_words(found.outlook.yard)
            self.problem.setText(words)
            self.problem.setVisible(bool(words))
            if self.stack.currentIndex() == _ANSWERS:
                # The dialog has always a button for Enter: the first suggestion's, not empty pots.
                self.answers.cards[0].button.setDefault(True)
                self.answers.focus_first()

    @Slot(object)
    def _take(self, answer: Answer) -> None:
        # Kinds that the gardener keeps for all yards stand in the catalogue of the window.
        kept = [kind for kind in self._outlook.catalogue if isinstance(kind, OwnCultivar)]
        self._yard = with_kinds_used(answer.yard, kept)
        self.accept()

    # A kind that is in no list

    @Slot()
    def _ask_packet(self) -> None:
        from bloomline.ui.kinds.packet_dialog import PacketDialog

        if self.packet is not None:
            return
        outlook = self._outlook.with_(yard=self._empty_yard(), use_records=False)
        dialog = PacketDialog(outlook, parent=self)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.accepted.connect(self._take_packet)
        dialog.finished.connect(self._packet_closed)
        self.packet = dialog
        dialog.open()

    @Slot()
    def _take_packet(self) -> None:
        made = None if self.packet is None else self.packet.made
        if made is not None:
            self._packets.append(made)
            names = listed([each.kind.name for each in self._packets])
            self.made.setText(tr("Liked above others, and on the shelf: {names}", names=names))
            self.made.show()

    @Slot(int)
    def _packet_closed(self, _result: int) -> None:
        self.packet = None

    def stop(self) -> None:
        """End what runs beside; safe to call twice."""
        self.place_page.stop()
        self.answers.stop()
