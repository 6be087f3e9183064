"""What the shelf says of its list as a whole: how much it shows, and how to find more."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

from PySide6.QtCore import QObject

from bloomline.plan.season.shelf import ShelfWindow
from bloomline.ui.shelf.companions import CompanionEntry, filtered_companions
from bloomline.ui.shelf.entries import Entry, Order, ShelfFilter, count_in_month
from bloomline.words import month_words, tr

TO_COMPANIONS = "companions"
_MOST_NAMED = 6


class ShelfTelling(QObject):
    """Sentences about the list."""

    def count(
        self,
        shown: Sequence[object],
        total: int,
        *,
        windows: Mapping[str, ShelfWindow],
        month: int,
    ) -> str:
        """How many kinds of bulbs are shown, and how many of them flower in a month."""
        words = tr("{shown} of {all} kinds", shown=len(shown), all=total)
        if not windows:
            return words + " · " + tr("windows are being worked out")
        kinds = [entry for entry in shown if isinstance(entry, Entry)]
        n = count_in_month(kinds, month, windows=windows)
        return words + " · " + tr("in flower in {month} here: {n}", month=month_words(month), n=n)

    def count_on_top(self, shown: int, total: int) -> str:
        """How many companions are shown."""
        words = tr("{shown} of {all} companions · on top of pots, season by date")
        return words.format(shown=shown, all=total)

    def how_to_widen(
        self, wanted: ShelfFilter, *, is_on_top: bool, on_top: Sequence[CompanionEntry]
    ) -> str:
        """What to do when nothing is found, as rich text with a link."""
        named: list[str] = []
        if wanted.text and not is_on_top:
            only_text = ShelfFilter(text=wanted.text)
            found = filtered_companions(on_top, only_text, order=Order.NAME)
            named = [escape(entry.companion.name) for entry in found[:_MOST_NAMED]]
        if named:
            words = tr("No bulb goes by that name, but plants that are set on top do:")
            return f"{words}<br><br><a href='{TO_COMPANIONS}'>{'<br>'.join(named)}</a>"
        if is_on_top:
            words = tr("No companion fits. Take a filter off, or look among the bulbs.")
        elif wanted.text and wanted.count > 1:
            words = tr("No bulb fits both the words and the filters.")
        elif wanted.text:
            words = tr("No bulb goes by that name. Try fewer letters, or the kind.")
        else:
            words = tr("No bulb passes all filters. Take one off, the month first.")
        return f"{words}<br><br><a href='all'>{tr('Show the whole shelf')}</a>"
