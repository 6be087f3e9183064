"""Which kinds would flower on the days on which the yard is bare."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from bloomline.plan.forecast.report import SeasonReport, Stretch
from bloomline.plan.season.shelf import ShelfWindow


def bare_days_filled(report: SeasonReport, windows: Mapping[str, ShelfWindow]) -> dict[str, int]:
    """Bare days of the season on which each kind would be in flower, by id; those with none left
    out.

    A kind counts from its usual first flower to the day before its usual end, planted on its usual
    day.
    """
    found = {}
    for name, window in windows.items():
        if window.start is None or window.end is None:
            continue
        first, last = window.start.p50, max(window.end.p50 - timedelta(days=1), window.start.p50)
        days = sum(_shared(stretch, first, last) for stretch in report.bare)
        if days:
            found[name] = days
    return found


def _shared(stretch: Stretch, first: date, last: date) -> int:
    return max((min(stretch.last, last) - max(stretch.first, first)).days + 1, 0)
