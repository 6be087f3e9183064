"""How the system writes days and measures, where yard and language leave it open.

Month before day in English, and inches, pounds and degrees Fahrenheit, are read in the United
States; of the other few places where either is usual the window is told by the system itself.
"""

from __future__ import annotations

import os
from dataclasses import dataclass

_AMERICAN = "US"


@dataclass(slots=True)
class _Habits:
    imperial: bool = False
    month_first: bool = False


_habits = _Habits()


def use_habits(*, imperial: bool, month_first: bool) -> None:
    """Measure and write days so from now on."""
    _habits.imperial, _habits.month_first = imperial, month_first


def is_imperial() -> bool:
    """Whether a yard that names no units is written in inches, pounds and degrees Fahrenheit."""
    return _habits.imperial


def is_month_first() -> bool:
    """Whether English has the month before the day: "April 22, 2027"."""
    return _habits.month_first


def use_habits_of_environment() -> None:
    """Take the habits from the variables that POSIX has for them."""
    use_habits(
        imperial=_territory("LC_MEASUREMENT") == _AMERICAN,
        month_first=_territory("LC_TIME") == _AMERICAN,
    )


def _territory(category: str) -> str:
    names = ("LC_ALL", category, "LANG")
    wanted = next((os.environ[name] for name in names if os.environ.get(name)), "")
    return wanted.partition(".")[0].partition("@")[0].partition("_")[2]
