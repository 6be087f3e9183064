"""Which kinds would flower on the days on which the yard is bare."""

from __future__ import annotations

from collections.abc import Mapping

from bloomline.plan.forecast.report import SeasonReport
from bloomline.plan.season.shelf import ShelfWindow


def bare_days_filled(report: SeasonReport, windows: Mapping[str, ShelfWindow]) -> dict[str, int]:
    """Bare days of the season on which each kind would be in flower, by id; those with none left
    out.

    A kind counts from its usual first flower to the day before its usual end, planted on its usual
    day.
    """
    found = {}
    bare = [(each.first.toordinal(), each.last.toordinal()) for each in report.bare]
    for name, window in windows.items():
        if window.start is None or window.end is None:
            continue
        first = window.start.p50.toordinal()
        last = max(window.end.p50.toordinal() - 1, first)
        days = sum(
            min(to, last) - max(begin, first) + 1
            for begin, to in bare
            if begin <= last and to >= first
        )
        if days:
            found[name] = days
    return found
