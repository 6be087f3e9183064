"""Benches of equal pots in the window: make one, split some off, join what is equal."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtWidgets import QInputDialog, QWidget

from bloomline.model.bench_edits import equal_to, join_pots, set_copies, split_off
from bloomline.model.yard import MAX_COPIES, Pot, Yard
from bloomline.plan.words.benches import pot_words
from bloomline.ui.document import Document
from bloomline.words import plural, tr


class Benches(QObject):
    """Edits of how many pots the selected ones stand for; each one step to undo."""

    said = Signal(str)
    """What was done, for a status line."""

    def __init__(self, document: Document, parent: QWidget) -> None:
        super().__init__(parent)
        self._document, self._over = document, parent

    # What is there to be done

    @property
    def pots(self) -> list[Pot]:
        """The selected pots, whole ones only."""
        document = self._document
        if document.selection.is_many:
            wanted = set(document.selection.pots)
            return [pot for pot in document.yard.pots if pot.id in wanted]
        pot = document.selected_pot()
        return [] if pot is None else [pot]

    @property
    def can_split(self) -> bool:
        """Whether one bench is selected."""
        pots = self.pots
        return len(pots) == 1 and pots[0].copies > 1

    # Deeds

    @Slot()
    def make(self) -> None:
        """Ask how many equal pots the selected ones stand for."""
        pots = self.pots
        if not pots:
            return
        ids = [pot.id for pot in pots]
        number = self._asked(
            tr("Make a bench"),
            plural(
                "How many pots like this one stand there?",
                "How many pots like each of these {n} stand there?",
                len(pots),
            ),
            value=pots[0].copies if pots[0].copies > 1 else 10,
            least=1,
            most=MAX_COPIES,
        )
        if number is not None and self._edit(
            tr("Make a bench"), lambda yard: set_copies(yard, ids, number)
        ):
            names = ", ".join(pot_words(pot) for pot in self.pots[:3])
            self.said.emit(tr("{pots}: one row, counted as often in all sums", pots=names))

    @Slot()
    def split(self) -> None:
        """Ask how many pots of a bench get a row of their own."""
        if not self.can_split:
            return
        (pot,) = self.pots
        number = self._asked(
            tr("Split off from {name}", name=pot_words(pot)),
            tr("How many of these pots get a row of their own?"),
            value=1,
            least=1,
            most=pot.copies - 1,
        )
        known = {each.id for each in self._document.yard.pots}
        if number is not None and self._edit(
            tr("Split off pots"), lambda yard: split_off(yard, pot.id, number)
        ):
            new = [each for each in self._document.yard.pots if each.id not in known]
            self._document.select(pot_id=new[0].id)
            self.said.emit(tr("{name} has a row of its own now", name=pot_words(new[0])))

    @Slot()
    def join(self) -> None:
        """Make one row of the selected pots; of one, with all that are equal to it."""
        pots = self.pots
        if not pots:
            return
        ids = [pot.id for pot in pots]
        if len(ids) == 1:
            ids = list(equal_to(self._document.yard, ids[0]))
            if len(ids) == 1:
                self.said.emit(tr("No other pot is equal to {name}", name=pot_words(pots[0])))
                return
        first = next(pot.id for pot in self._document.yard.pots if pot.id in ids)
        if self._edit(tr("Join equal pots"), lambda yard: join_pots(yard, ids)):
            self._document.select(pot_id=first)
            joined = pot_words(self._document.yard.pot(first))
            self.said.emit(tr("Joined to one row: {name}", name=joined))

    def _edit(self, name: str, change: Callable[[Yard], Yard]) -> bool:
        return self._document.edit(name, change)

    def _asked(self, title: str, words: str, *, value: int, least: int, most: int) -> int | None:
        number, is_said = QInputDialog.getInt(self._over, title, words, value, least, most)
        return number if is_said else None
