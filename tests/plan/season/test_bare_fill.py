from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from asking import outlook, yard

from bloomline.plan.forecast.report import Band, Stretch
from bloomline.plan.season.bare_fill import bare_days_filled
from bloomline.plan.season.shelf import shelf_windows
from bloomline.plan.season.yard import season_report


def test_days_of_flower_on_bare_days_are_counted() -> None:
    at = outlook(yard())
    windows = shelf_windows(at)
    report = season_report(at)
    name, window = next((n, w) for n, w in windows.items() if w.start is not None)
    first = date(2027, 5, 1)

    def band(day: date) -> Band:
        return Band(day, day, day)

    told = replace(window, start=band(first), end=band(first + timedelta(days=10)))
    two = (
        Stretch(first - timedelta(days=5), first + timedelta(days=2)),  # 3 of its days
        Stretch(first + timedelta(days=8), first + timedelta(days=30)),  # days 8 and 9
    )
    holed = replace(report, bare=two)
    assert bare_days_filled(holed, {name: told}) == {name: 5}
    assert bare_days_filled(replace(report, bare=()), {name: told}) == {}
    nothing = replace(window, start=None, end=None, reason="too cold")
    assert bare_days_filled(holed, {name: nothing}) == {}
    late = replace(told, start=band(date(2027, 9, 1)), end=band(date(2027, 9, 9)))
    assert bare_days_filled(holed, {name: late}) == {}
