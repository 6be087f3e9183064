"""What is to be bought, in one line under the heading: the same sums as on the list."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QTimer, Slot
from PySide6.QtWidgets import QLabel, QWidget

from bloomline.errors import BloomlineError
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.shop.buying import shopping_list
from bloomline.plan.shop.part_price import money_words, part_price, price_words
from bloomline.ui.dressed import say_as
from bloomline.ui.hands.plain import shown
from bloomline.ui.season_service import Beside, SeasonService
from bloomline.words import tr

_REST_MS = 120
"""A slider that is held gets its season first; the sums follow when it rests."""

_Answer = tuple[Outlook, str | None, str, bool]


class MoneyLine(QLabel):
    """Tells the price of a part and the list against the budget, worked out beside the window.

    Meanwhile it is grey when it tells of the yard before, and empty when of another part.
    """

    def __init__(self, service: SeasonService, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        say_as(self, "muted")
        self.setWordWrap(True)
        self.setToolTip(
            tr("What the shopping list would be less without this; Buy shows the list itself")
        )
        self._beside: Beside | None = None  # a thread, made when first needed
        self._asked: tuple[Outlook, str | None] | None = None
        self._service = service
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(_REST_MS)
        self._rest.timeout.connect(self._work)

    def ask(self, outlook: Outlook, part_id: str | None) -> None:
        """Show what a pot, a layer or companions add to the list, or the whole list for None."""
        if self._asked == (outlook, part_id):
            return
        if self._asked is None or self._asked[1] != part_id:
            self.setText("\N{NO-BREAK SPACE}")  # what stood here was of another part
        self._asked = (outlook, part_id)
        self.setEnabled(False)
        self._rest.start()

    @Slot()
    def _work(self) -> None:
        if self._asked is None:
            return
        if self._service.is_busy:
            self._rest.start()
            return
        if self._beside is None:
            self._beside = Beside(self)
            self._beside.answered.connect(self._take)
        self._beside.ask(partial(_priced, *self._asked))

    @Slot(object)
    def _take(self, answer: object) -> None:
        if isinstance(answer, tuple):
            self._show(answer)

    def _show(self, answer: _Answer) -> None:
        outlook, part_id, words, is_over = answer
        if self._asked != (outlook, part_id):
            return
        kind = "warning" if is_over else "muted"
        if self.objectName() != kind:
            say_as(self, kind)
        self.setText(words)
        self.setEnabled(True)
        self.setVisible(bool(words))

    def stop(self) -> None:
        """End the work beside the window; safe to call twice."""
        self._rest.stop()
        if self._beside is not None:
            self._beside.stop()
            self._beside = None


def _priced(outlook: Outlook, part_id: str | None) -> _Answer:
    try:
        whole = shopping_list(outlook.usual)
        words = money_words(whole)
        if part_id is not None:
            price = price_words(part_price(outlook.usual, part_id))
            words = tr("Price: {price}. {money}", price=price, money=words)
    except BloomlineError:  # a kind that isn't known: the advice says so
        return outlook, part_id, "", False
    return outlook, part_id, shown(words), whole.over > 0
