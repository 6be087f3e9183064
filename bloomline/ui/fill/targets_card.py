"""What the season should keep: wishes, whether they are kept, and what would keep them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from bloomline.model.wish import SeasonWish
from bloomline.model.wish_edits import add_wish, change_wish, remove_wish
from bloomline.plan.fill.target_words import remedy_words, target_sign, wish_of
from bloomline.plan.fill.targets import Remedy, Target, cheapest_change, targets
from bloomline.plan.season.outlook import Outlook
from bloomline.ui.details.cards import Card, wrapping
from bloomline.ui.document import Document
from bloomline.ui.dressed import CardFrame, say_as
from bloomline.ui.fill.wish_dialog import ask_wish
from bloomline.ui.progress import WorkingRow
from bloomline.ui.season_service import Beside
from bloomline.ui.theme import em
from bloomline.ui.units import units_of
from bloomline.words import plural, tr

AskWish = Callable[[Outlook, SeasonWish | None, QWidget], SeasonWish | None]


@dataclass(frozen=True, slots=True)
class _Cure:
    """What would keep a wish of a yard."""

    outlook: Outlook
    target: Target
    remedy: Remedy | None


class TargetRow(CardFrame):
    """One wish: sign and words, its chance, and what can be done with it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.sign = QLabel(self)
        say_as(self.sign, "heading")
        self.words = wrapping("", "heading", self)
        self.verdict = wrapping("", "", self)
        self.change = self._button("wish_change", tr("Change…"))
        self.remove = self._button("wish_remove", tr("Remove"))
        self.cure = self._button("wish_cure", tr("What would keep it…"))
        self.working = WorkingRow(
            self, name="cure", what=tr("How far the search is"), stop=tr("Stop looking")
        )
        self.remedy = wrapping("", "", self)
        self.plant = self._button("wish_plant", tr("Plant this"))
        self.forget()
        head = QHBoxLayout()
        head.addWidget(self.sign, 0, Qt.AlignmentFlag.AlignTop)
        head.addWidget(self.words, 1)
        buttons = QHBoxLayout()
        for button in (self.cure, self.change, self.remove):
            buttons.addWidget(button)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        gap = round(em() * 0.5)
        column.setContentsMargins(gap, gap, gap, gap)
        column.setSpacing(round(em() * 0.3))
        column.addLayout(head)
        column.addWidget(self.verdict)
        column.addLayout(buttons)
        column.addWidget(self.working)
        column.addWidget(self.remedy)
        column.addWidget(self.plant, 0, Qt.AlignmentFlag.AlignLeft)

    def _button(self, name: str, words: str) -> QPushButton:
        button = QPushButton(words, self)
        button.setObjectName(name)
        button.setAutoDefault(False)
        return button

    def show_wish(self, outlook: Outlook, wish: SeasonWish, target: Target | None) -> None:
        """Show a wish; without a target, that it is still being worked out."""
        if target is None:
            self.sign.setText("…")
            self.words.setText(tr("Working out whether it is kept…"))
            self.verdict.setText("")
        else:
            self.sign.setText(target_sign(target))
            self.words.setText(wish_of(target, outlook.yard))
            self.verdict.setText(target.verdict())
        say_as(self.verdict, "caution" if target and not target.is_kept else "")
        self.cure.setVisible(target is not None and not target.is_kept)
        told = f"{self.words.text()}: {self.verdict.text()}"
        self.setAccessibleName(told)
        for button in (self.change, self.remove, self.cure, self.plant):
            button.setAccessibleName(f"{button.text().rstrip('…')}: {self.words.text()}")

    def show_cure(self, words: str, *, can_plant: bool) -> None:
        """Tell what would keep it, or why nothing would."""
        self.working.drop()
        self.remedy.setText(words)
        self.remedy.show()
        self.plant.setVisible(can_plant)
        if can_plant:
            self.plant.setFocus(Qt.FocusReason.OtherFocusReason)

    def forget(self) -> None:
        """Offer no longer what was found for another yard."""
        self.working.drop()
        self.remedy.hide()
        self.plant.hide()


class TargetsCard(Card):
    """The wishes of the yard for its seasons."""

    message = Signal(str)
    kept_changed = Signal(str)
    """How many of them are kept, in words; "" without any."""

    def __init__(
        self, document: Document, parent: QWidget | None = None, *, ask: AskWish = ask_wish
    ) -> None:
        super().__init__(tr("What the season should keep"), parent)
        self._document, self._ask_wish = document, ask
        self._outlook = document.outlook.usual
        self.targets: dict[str, Target] = {}
        self.rows: dict[str, TargetRow] = {}
        self._order: list[str] = []
        self._cures: dict[str, Remedy] = {}
        self.about = wrapping(
            tr(
                "Such as at least two pots in colour from 20 February to 10 May, or scent by the "
                "door in April. A year keeps a wish that holds on nine of ten of its days; the "
                "season keeps it when eight years of ten do."
            ),
            "muted",
            self,
        )
        self.add = QPushButton(tr("&Add a wish…"), self)
        self.add.setObjectName("wish_add")
        self.add.setAutoDefault(False)
        self.add.clicked.connect(self._add)
        self._list = QVBoxLayout()
        self._list.setSpacing(round(em() * 0.4))
        self.column.addWidget(self.about)
        self.column.addLayout(self._list)
        self.column.addWidget(self.add, 0, Qt.AlignmentFlag.AlignLeft)
        self.column.addStretch(1)
        self._judging = Beside(self)
        self._judging.answered.connect(self._take_targets)
        self._curing = Beside(self)
        self._curing.answered.connect(self._take_cure)

    def show_outlook(self, outlook: Outlook) -> None:
        """Show the wishes of a yard, and work out beside the window whether they are kept."""
        self._outlook = outlook
        self._curing.drop()
        self._cures.clear()
        wishes = outlook.yard.wishes
        for name in [each for each in self.rows if each not in {wish.id for wish in wishes}]:
            row = self.rows.pop(name)
            self._list.removeWidget(row)
            row.hide()
            row.deleteLater()
        for wish in wishes:
            if wish.id not in self.rows:
                self.rows[wish.id] = self._new_row(wish.id)
            self.rows[wish.id].forget()
        self.targets = {
            wish.id: old
            for wish in wishes
            if (old := self.targets.get(wish.id)) is not None and old.wish == wish
        }
        self._show()
        self._judging.drop()
        if wishes:
            self._judging.ask(partial(_judged, outlook))

    def _new_row(self, name: str) -> TargetRow:
        row = TargetRow(self)
        row.change.clicked.connect(partial(self._change, name))
        row.remove.clicked.connect(partial(self._remove, name))
        row.cure.clicked.connect(partial(self.ask_cure, name))
        row.plant.clicked.connect(partial(self.plant, name))
        self._list.addWidget(row)
        return row

    def _show(self) -> None:
        for wish in self._outlook.yard.wishes:
            self.rows[wish.id].show_wish(self._outlook, wish, self.targets.get(wish.id))
        self.kept_changed.emit(self.kept_words())

    def kept_words(self) -> str:
        """How many wishes are kept; "" while it isn't known, or there are none."""
        count = len(self._outlook.yard.wishes)
        if not count or len(self.targets) < count:
            return ""
        kept = sum(each.is_kept for each in self.targets.values())
        return plural("{kept} of {n} wish kept", "{kept} of {n} wishes kept", count, kept=kept)

    @Slot(object)
    def _take_targets(self, answer: object) -> None:
        if isinstance(answer, tuple):
            self.targets = {each.wish.id: each for each in answer}
            self._show()
        else:
            self.message.emit(str(answer))

    # Edits

    @Slot()
    def _add(self) -> None:
        wish = self._ask_wish(self._outlook, None, self.window())
        if wish is not None:
            self._document.edit(tr("Wish for the season"), lambda yard: add_wish(yard, wish))

    def _change(self, name: str, *_: object) -> None:
        old = next(each for each in self._document.yard.wishes if each.id == name)
        wish = self._ask_wish(self._outlook, old, self.window())
        if wish is not None and wish != old:
            self._document.edit(
                tr("Change a wish for the season"), lambda yard: change_wish(yard, wish)
            )

    def _remove(self, name: str, *_: object) -> None:
        self.add.setFocus(Qt.FocusReason.OtherFocusReason)
        self._document.edit(
            tr("Remove a wish for the season"), lambda yard: remove_wish(yard, name)
        )

    # What would keep one

    def ask_cure(self, name: str, *_: object) -> None:
        """Look beside the window for the cheapest change that keeps a wish."""
        target = self.targets.get(name)
        if target is None:
            return
        for row in self.rows.values():
            row.forget()
        progress = self.rows[name].working.begin()
        self._curing.drop()
        self._curing.ask(partial(_cured, self._outlook, target, go=progress.go))

    @Slot(object)
    def _take_cure(self, answer: object) -> None:
        if not isinstance(answer, _Cure):
            for row in self.rows.values():
                row.working.drop()
            self.message.emit(str(answer))
            return
        name = answer.target.wish.id
        if name not in self.rows or answer.outlook is not self._outlook:
            return
        row = self.rows[name]
        if row.working.is_cancelled and answer.remedy is None:
            row.show_cure(tr("Stopped before a change was found."), can_plant=False)
            return
        if answer.remedy is not None:
            self._cures[name] = answer.remedy
        yard = self._outlook.yard
        words = remedy_words(answer.remedy, answer.target, yard, units_of(yard))
        row.show_cure(words, can_plant=answer.remedy is not None)

    def plant(self, name: str, *_: object) -> None:
        """Plant what keeps a wish, as one step."""
        remedy = self._cures.get(name)
        if remedy is None:
            return
        self.add.setFocus(Qt.FocusReason.OtherFocusReason)
        if self._document.edit(tr("Plant what keeps a wish for the season"), remedy.apply):
            self.message.emit(
                plural(
                    "{n} layer planted. Buy has what is to be bought; undo takes all back.",
                    "{n} layers planted. Buy has what is to be bought; undo takes all back.",
                    len(remedy.layers),
                )
            )

    def stop(self) -> None:
        """End what is worked out beside the window; safe to call twice."""
        for row in self.rows.values():
            row.working.drop()
        self._judging.stop()
        self._curing.stop()


def _judged(outlook: Outlook) -> tuple[Target, ...]:
    return targets(outlook)


def _cured(outlook: Outlook, target: Target, *, go: Callable[[float], bool]) -> _Cure:
    return _Cure(outlook, target, cheapest_change(outlook, target.wish, go=go))
