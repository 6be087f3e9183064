"""Keeps the rota of the open yard worked out, beside the window and only while it is looked at."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from bloomline.plan.season.outlook import Outlook, known
from bloomline.ui.document import Document
from bloomline.ui.season_service import Beside

if TYPE_CHECKING:
    from bloomline.plan.stage.rota import StagePlan

_CALM_MS = 120
"""A slider that is held gets its season first; the rota follows when it rests."""


def planning(outlook: Outlook) -> tuple[Outlook, StagePlan | None]:
    """A job: the rota of a way of looking at a yard."""
    from bloomline.plan.stage.rota import stage_plan

    return outlook, stage_plan(outlook)


class StageWatch(QObject):
    """The rota for whoever looks at it; those who look at the same share the work."""

    changed = Signal()
    """There is another rota, or none."""
    failed = Signal(str)

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._beside: Beside | None = None
        self._plan: StagePlan | None = None
        self._of: Outlook | None = None
        self._awake = False
        self._stopped = False
        self._calm = QTimer(self)
        self._calm.setSingleShot(True)
        self._calm.setInterval(_CALM_MS)
        self._calm.timeout.connect(self._ask)
        document.outlook_changed.connect(self._follow)

    @property
    def plan(self) -> StagePlan | None:
        """The last rota: while the next one is worked out, the one before."""
        return self._plan

    @property
    def is_awake(self) -> bool:
        """Whether it follows the yard."""
        return self._awake

    @property
    def is_up_to_date(self) -> bool:
        """Whether the rota is of the yard as it is now."""
        return self._of is self._document.outlook.usual

    def wake(self, awake: bool, *, at_once: bool = True) -> None:
        """Begin to follow the yard, or rest; where it is not urgent the season comes first."""
        self._awake = awake
        if awake and not self.is_up_to_date:
            if at_once:
                self._ask()
            else:
                self._calm.start()

    @Slot(object)
    def _follow(self, _outlook: object) -> None:
        if not self._awake or self.is_up_to_date:
            return
        if not self._document.yard.display_places:
            self._ask()  # nothing to work out
        else:
            self._calm.start()

    @Slot()
    def _ask(self) -> None:
        if self._stopped or not self._awake:
            return
        self._calm.stop()
        outlook = self._document.outlook.usual
        plan, is_wanted = None, bool(outlook.yard.display_places and outlook.yard.pots)
        if is_wanted:
            from bloomline.plan.stage.rota import stage_plan  # no part of a start

            plan = known(stage_plan, outlook)
        if plan is not None or not is_wanted:
            if self._beside is not None:
                self._beside.drop()
            self._show(outlook, plan)
            return
        if self._beside is None:
            self._beside = Beside(self)
            self._beside.answered.connect(self._take)
        self._beside.ask(partial(planning, outlook))

    @Slot(object)
    def _take(self, answer: object) -> None:
        if isinstance(answer, tuple):
            self._show(*answer)
        else:
            self.failed.emit(str(answer))

    def _show(self, outlook: Outlook, plan: StagePlan | None) -> None:
        self._of, self._plan = outlook, plan
        self.changed.emit()

    def stop(self) -> None:
        """End the work beside the window; safe to call twice."""
        if not self._stopped:
            self._stopped = True
            self._calm.stop()
            if self._beside is not None:
                self._beside.stop()
