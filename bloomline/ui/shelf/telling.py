"""What the shelf says of its list as a whole: how much it shows, and how to find more."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape

from PySide6.QtCore import QObject

from bloomline.plan.forecast.report import SeasonReport
from bloomline.plan.season.shelf import ShelfWindow
from bloomline.ui.shelf.companions import CompanionEntry, filtered_companions
from bloomline.ui.shelf.entries import Entry, Order, ShelfFilter, count_in_month
from bloomline.words import month_words, tr

TO_COMPANIONS = "companions"
TO_PACKET = "packet"
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
        wanted: ShelfFilter,
    ) -> str:
        """How many kinds of bulbs are shown, and how many of them flower in a month.

        wanted : where the cupboard or bare days are asked for, that is told in place of the month.
        """
        if wanted.in_cupboard:
            return tr("{shown} of {all} kinds, out of the cupboard", shown=len(shown), all=total)
        if wanted.when_bare and windows:
            return tr(
                "{shown} of {all} kinds flower on bare days of this season",
                shown=len(shown),
                all=total,
            )
        words = tr("{shown} of {all} kinds", shown=len(shown), all=total)
        if not windows:
            return words + " · " + tr("flowering times are being worked out")
        kinds = [entry for entry in shown if isinstance(entry, Entry)]
        n = count_in_month(kinds, month, windows=windows)
        return words + " · " + tr("in flower in {month} here: {n}", month=month_words(month), n=n)

    def nearest(self, text: str) -> str:
        """That nothing is called so, and that the nearest names are shown."""
        return tr("No kind is called “{text}”; nearest:", text=text.strip())

    def count_on_top(self, shown: int, total: int) -> str:
        """How many companions are shown."""
        words = tr("{shown} of {all} companions · on top of pots, season by date")
        return words.format(shown=shown, all=total)

    def on_top_named(
        self, wanted: ShelfFilter, on_top: Sequence[CompanionEntry]
    ) -> tuple[CompanionEntry, ...]:
        """The companions that the words name."""
        if not wanted.text:
            return ()
        return filtered_companions(on_top, ShelfFilter(text=wanted.text), order=Order.NAME)

    def how_to_widen(
        self,
        wanted: ShelfFilter,
        *,
        is_on_top: bool,
        on_top: Sequence[CompanionEntry],
        report: SeasonReport | None,
    ) -> str:
        """What to do when nothing is found, as rich text with a link."""
        found = () if is_on_top else self.on_top_named(wanted, on_top)
        named = [escape(entry.companion.name) for entry in found[:_MOST_NAMED]]
        if named:
            words = tr("No bulb goes by that name, but plants that are set on top do:")
            return f"{words}<br><br><a href='{TO_COMPANIONS}'>{'<br>'.join(named)}</a>"
        if is_on_top:
            words = tr("No companion fits. Take a filter off, or look among the bulbs.")
        elif wanted == ShelfFilter(in_cupboard=True):
            words = tr(
                "Nothing lies in the cupboard. Show the whole shelf, choose a kind and press F2 to "
                "count what you have of it."
            )
        elif wanted.when_bare and report is not None and report.usual_season is None:
            words = tr("Nothing flowers in this yard yet, so no day between its flowers is bare.")
        elif wanted.when_bare and report is not None and not report.bare:
            words = tr(
                "No day of this season is bare: something flowers from the first flower to the "
                "last."
            )
        elif wanted == ShelfFilter(when_bare=True):
            words = tr("No kind on the shelf flowers on the bare days of this season.")
        elif wanted.text and wanted.count > 1:
            words = tr("No bulb fits both the words and the filters.")
        elif wanted.text:
            words = tr("No bulb goes by that name. Try fewer letters, or the kind.")
        else:
            words = tr("No bulb passes all filters. Take one off, the month first.")
        links = f"<a href='all'>{tr('Show the whole shelf')}</a>"
        if wanted.text and not is_on_top:
            links = f"<a href='{TO_PACKET}'>{tr('Add it from its packet…')}</a><br><br>{links}"
        return f"{words}<br><br>{links}"
