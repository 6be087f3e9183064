"""The axis of days: months, ISO weeks or days under them, and the lines of the grid."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import ceil, floor

from PySide6.QtCore import QLineF
from PySide6.QtGui import QColor, QPen

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.petals import Theme
from bloomline.draw.season.days import DayScale
from bloomline.words import short_month_words

DAY_NUMBERS_FROM = 25.0  # width of a day that has room for its number
_WEEKS_FROM = 12.0  # width of a week that has room for a line
_INSET = 6.0  # left free beside the name of a month


def crisp(x: float) -> float:
    """Where a line one pixel wide is sharp."""
    return floor(x) + 0.5


def month_starts(scale: DayScale) -> list[date]:
    """The first days of the months in view; the first of them may lie before it."""
    found = [scale.first_day.replace(day=1)]
    while (month := (found[-1] + timedelta(days=32)).replace(day=1)).toordinal() < scale.last:
        found.append(month)
    return found


@dataclass(frozen=True, slots=True)
class Tick:
    """A month or a week: where it starts and ends, its words ("" = none) and where they begin."""

    first: date
    left: float
    right: float
    label: str
    label_x: float


def month_ticks(scale: DayScale, *, measure: Callable[[str], float]) -> tuple[Tick, ...]:
    """The months in view, named where the name fits; the year at the first name and in January."""
    ticks: list[Tick] = []
    is_year_due = True
    months = month_starts(scale)
    for month in months:
        following = (month + timedelta(days=32)).replace(day=1)
        left, right = max(scale.x_of(month), scale.left), min(scale.x_of(following), scale.right)
        room = right - left - 2 * _INSET
        name = short_month_words(month.month)
        choices = [name, name[:1]]
        # Elsewhere a year would look like something special about that month.
        if month.month == 1 or (is_year_due and len(ticks) < 3):
            choices = [f"{name} {month.year}", f"{name} ’{month.year % 100:02}", *choices]
        least = name[:1] if measure(name[:1]) <= right - left - 2 else ""
        label = next((one for one in choices if measure(one) <= room), least)
        is_year_due = is_year_due and label in choices[-2:]
        ticks.append(Tick(month, left, right, label, left + _INSET))
    # One style for all: single letters as soon as one whole month needs them, and only then.
    if not any(len(tick.label) == 1 for tick in ticks[1:-1]):
        return tuple(replace(t, label="" if len(t.label) == 1 else t.label) for t in ticks)
    middles = [(tick.left + tick.right - measure(tick.label[:1])) / 2 for tick in ticks]
    return tuple(
        replace(tick, label=tick.label[:1], label_x=min(tick.label_x, middle))
        for tick, middle in zip(ticks, middles, strict=True)
    )


def week_ticks(scale: DayScale, *, label_room: float = 18.0) -> tuple[Tick, ...]:
    """The ISO 8601 weeks that start in view; numbers are thinned where narrow."""
    monday = scale.first_day + timedelta(days=-scale.first_day.weekday() % 7)
    step = max(1, ceil(label_room / (7 * scale.per_day)))
    ticks = []
    while monday <= scale.last_day:
        left, right = scale.x_of(monday), scale.x_of(monday + timedelta(days=7))
        week = monday.isocalendar().week
        # Week 53 stands beside week 1: where numbers are thinned it gives way.
        is_left_out = step > 1 and ((week - 1) % step != 0 or week == 53)
        is_cut = monday + timedelta(days=6) > scale.last_day
        label = "" if is_left_out or is_cut else str(week)
        ticks.append(Tick(monday, left, right, label, (left + right) / 2))
        monday += timedelta(days=7)
    return tuple(ticks)


def paint_grid(
    ink: Ink, theme: Theme, scale: DayScale, *, top: float, bottom: float, weeks_top: float | None
) -> None:
    """Paint lines at the first of each month, and from `weeks_top` down at Mondays."""
    if weeks_top is not None and scale.per_day * 7 > _WEEKS_FROM:
        ink.painter.setPen(QPen(QColor(theme.grid), 1.0))
        xs = [crisp(tick.left) for tick in week_ticks(scale)]
        ink.painter.drawLines([QLineF(x, weeks_top, x, bottom) for x in xs])
    ink.painter.setPen(QPen(QColor(theme.month_line), 1.0))
    months = [crisp(scale.x_of(one)) for one in month_starts(scale) if one >= scale.first_day]
    ink.painter.drawLines([QLineF(x, top, x, bottom) for x in months])


def shows_days(scale: DayScale) -> bool:
    """Whether there is room for the numbers of days; else the weeks are numbered."""
    return scale.per_day >= DAY_NUMBERS_FROM


def paint_axis(
    ink: Ink,
    theme: Theme,
    scale: DayScale,
    *,
    months: tuple[float, int],
    weeks: tuple[float, int],
    number: Callable[[int], str] = str,
) -> None:
    """Write months, and weeks or days: each on its baseline in letters of a size. [px]"""
    line, px = months
    for tick in month_ticks(scale, measure=lambda text: ink.width(text, px, bold=True)):
        ink.text(tick.label_x, line, tick.label, px, theme.ink, bold=True)
    line, small = weeks
    if shows_days(scale):
        said = [
            (scale.x(at + 0.5), date.fromordinal(at).day)
            for at in range(ceil(scale.first - 0.2), floor(scale.last - 0.8) + 1)
        ]
    else:
        room = ink.width("00", small) + 6
        ticks = week_ticks(scale, label_room=room)
        said = [(tick.label_x, int(tick.label)) for tick in ticks if tick.label]
    for x, count in said:
        ink.text(x, line, number(count), small, theme.muted, align="centre")
