"""Carrying pots by hand, from whichever view: each edit is judged, done, told and can be undone."""

from __future__ import annotations

from datetime import date
from functools import partial

from PySide6.QtCore import QObject, Qt, Signal, Slot
from PySide6.QtWidgets import QMenu, QWidget

from bloomline.errors import BloomlineError
from bloomline.plan.stage.drops import StandVerdict, judge_freeing, judge_stand
from bloomline.plan.stage.rota import StagePlan, Stay
from bloomline.plan.stage.words import place_words
from bloomline.ui.document import Document
from bloomline.ui.stage.watch import StageWatch
from bloomline.words import tr


class StageDesk(QObject):
    """Asks `plan` what a drop would do, and does it."""

    said = Signal(str)

    def __init__(
        self, document: Document, watch: StageWatch, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._document, self._watch = document, watch
        self._conflicts: tuple[str, ...] | None = None
        watch.changed.connect(self._tell_conflicts)

    @property
    def plan(self) -> StagePlan | None:
        """The rota that is seen."""
        return self._watch.plan

    def judge(
        self, pot_id: str, place: str | None, day: date, *, for_good: bool = False
    ) -> StandVerdict:
        """What carrying a pot to a place on a day would do, until its next move or for good."""
        plan = self.plan
        if plan is None:
            return StandVerdict(tr("Who stands where is still being worked out"))
        try:
            outlook = self._document.outlook.usual
            return judge_stand(outlook, plan, pot_id, place, day, for_good=for_good)
        except BloomlineError as error:  # the rota may lag behind the yard
            return StandVerdict(str(error))

    def carry(self, pot_id: str, place: str | None, day: date, *, for_good: bool = False) -> bool:
        """Carry a pot to a place on a day, or say why not."""
        return self._do(self.judge(pot_id, place, day, for_good=for_good))

    def _carry_chosen(
        self, pot_id: str, place: str | None, day: date, for_good: bool, _checked: bool = False
    ) -> None:
        self.carry(pot_id, place, day, for_good=for_good)

    def free(self, stay: Stay) -> bool:
        """Leave a stay to the rota again."""
        plan = self.plan
        return plan is not None and self._do(judge_freeing(plan, stay))

    def _free_chosen(self, stay: Stay, _checked: bool = False) -> None:
        self.free(stay)

    def _do(self, verdict: StandVerdict) -> bool:
        done = verdict.apply is not None and self._document.edit(verdict.name, verdict.apply)
        self.said.emit(verdict.words)
        return done

    @Slot()
    def _tell_conflicts(self) -> None:
        """Say what can't be as it is wished since the last edit, when the next rota comes."""
        plan = self.plan
        conflicts = () if plan is None else plan.conflicts
        old, self._conflicts = self._conflicts, conflicts
        new = [words for words in conflicts if old is not None and words not in old]
        if new:
            self.said.emit(new[-1])

    def menu(self, pot_id: str, day: date, parent: QWidget) -> QMenu:
        """Where a pot may stand from a day on, and freeing it; it goes when closed."""
        menu = QMenu(parent)
        menu.setObjectName("stand_menu")
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        menu.setToolTipsVisible(True)
        plan = self.plan
        stay = None if plan is None else plan.stay_of(pot_id, day)
        head = menu.addAction(tr("From {day} on, stand at", day=day))
        head.setEnabled(False)
        names = [*(each.name for each in self._document.yard.display_places), None]
        here = [stay is not None and stay.place == name for name in names]
        for name, is_here in zip(names, here, strict=True):
            self._offer(menu, pot_id, name, day, is_here=is_here)
        for_good = menu.addMenu(tr("For the &rest of the season"))
        for_good.setToolTipsVisible(True)
        for name, is_here in zip(names, here, strict=True):
            self._offer(for_good, pot_id, name, day, is_here=is_here, for_good=True)
        if stay is not None and stay.by_hand:
            menu.addSeparator()
            free = menu.addAction(tr("&Leave it to the rota"))
            free.setObjectName("action_free_stand")
            free.triggered.connect(partial(self._free_chosen, stay))
        return menu

    def _offer(
        self,
        menu: QMenu,
        pot_id: str,
        name: str | None,
        day: date,
        *,
        is_here: bool,
        for_good: bool = False,
    ) -> None:
        verdict = self.judge(pot_id, name, day, for_good=for_good)
        words = place_words(name).replace("&", "&&")
        if is_here:
            words = tr("{place} (keep it here)", place=words)
        action = menu.addAction(words)
        action.setObjectName("action_stand_for_good" if for_good else "action_stand_at")
        action.setData(name)
        action.setToolTip(verdict.words)
        action.setEnabled(verdict.apply is not None)
        action.triggered.connect(partial(self._carry_chosen, pot_id, name, day, for_good))
