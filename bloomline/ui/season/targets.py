"""The wishes for the season on the timeline: worked out beside the window, shown as spans."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QObject, Signal, Slot

from bloomline.draw.season.wish_lane import WishSpan
from bloomline.plan.fill.target_words import short_words
from bloomline.plan.fill.targets import Target, targets
from bloomline.ui.document import Document
from bloomline.ui.season.shown import Shown
from bloomline.ui.season_service import Beside


class SeasonTargets(QObject):
    """Keeps what is wished of the season, kept or missed, in step with the yard."""

    changed = Signal()

    def __init__(self, document: Document, shown: Shown, parent: QObject) -> None:
        super().__init__(parent)
        self._document, self._shown = document, shown
        self._asked: object = None
        self._beside: Beside | None = None

    @Slot()
    def follow(self) -> None:
        """Show the wishes of the yard as it is now; until they are judged, those still there."""
        outlook = self._document.outlook.usual
        wishes = outlook.yard.wishes
        if not wishes:
            self._asked = None
            self._show(())
            return
        if outlook is self._asked:
            return
        self._asked = outlook
        self._show(tuple(each for each in self._shown.targets if each.wish in wishes))
        if self._beside is None:
            self._beside = Beside(self)
            self._beside.answered.connect(self._take)
        self._beside.ask(partial(targets, outlook))

    @Slot(object)
    def _take(self, answer: object) -> None:
        if isinstance(answer, tuple) and self._document.yard.wishes:
            self._show(answer)

    def _show(self, found: tuple[Target, ...]) -> None:
        if found != self._shown.targets:
            self._shown.targets = found
            self.changed.emit()

    def stop(self) -> None:
        """End the work beside the window; safe to call twice."""
        if self._beside is not None:
            self._beside.stop()


def wish_spans(shown: Shown) -> tuple[WishSpan, ...]:
    """The wishes as the lane shows them."""
    return tuple(
        WishSpan(each.wish.id, each.first, each.last, short_words(each), each.is_kept)
        for each in shown.targets
    )
