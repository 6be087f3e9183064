"""A strip of one calendar year, on which a season of the shelf lies. Knows no Qt."""

from __future__ import annotations

from datetime import date

from bloomline.draw.season.days import BarDays, DayScale


def year_scale(day: date, *, left: float = 0.0, width: float = 1.0) -> DayScale:
    """The scale of the calendar year that a day lies in."""
    return DayScale.of(date(day.year, 1, 1), date(day.year, 12, 31), left, width)


def month_starts() -> tuple[float, ...]:
    """Where the twelve months begin, as shares of the year."""
    year = year_scale(date(2001, 1, 1))
    return tuple(year.x_of(date(2001, month, 1)) for month in range(1, 13))


def scales_of(days: BarDays, *, left: float, width: float) -> tuple[DayScale, ...]:
    """The year's scale, once for each end at which the season shows: over the new year at both."""
    years = [year_scale(days.open, left=left + shift * width, width=width) for shift in (-1, 0, 1)]
    spans = [(year, *days.across(year)) for year in years]
    return tuple(year for year, begin, end in spans if end > left and begin < left + width)
