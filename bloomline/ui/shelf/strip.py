"""Where an expected window lies on a strip of one calendar year. Knows no Qt."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from bloomline.plan.shelf_season import ShelfWindow

_YEAR_DAYS = 365.0


@dataclass(frozen=True, slots=True)
class Span:
    """Part of a window on the strip, as shares of the year: soft from and to, firm between."""

    soft_from: float
    firm_from: float
    firm_to: float
    soft_to: float


def month_starts() -> tuple[float, ...]:
    """Where the twelve months begin, as shares of the year."""
    return tuple(year_share(date(2001, month, 1)) for month in range(1, 13))


def year_share(day: date) -> float:
    """Where a day lies in its year, 0 to 1; leap days don't move the months."""
    if (day.month, day.day) == (2, 29):
        return (date(2001, 3, 1).timetuple().tm_yday - 1.5) / _YEAR_DAYS
    return (day.replace(year=2001).timetuple().tm_yday - 1) / _YEAR_DAYS


def spans_of(window: ShelfWindow) -> tuple[Span, ...]:
    """The window on a strip from January to December; one over the new year shows twice.

    The firm part runs from the typical first flower to the typical end, the soft ends to what
    happens in one year of ten.
    """
    start, end = window.start, window.end
    if start is None or end is None:
        return ()
    anchor = start.p50
    origin = year_share(anchor)

    def at(day: date) -> float:
        return origin + (day - anchor).days / _YEAR_DAYS

    whole = Span(at(start.p10), origin, max(at(end.p50), origin), at(end.p90))
    spans = []
    for shift in (-1.0, 0.0, 1.0):
        span = Span(
            whole.soft_from + shift,
            whole.firm_from + shift,
            whole.firm_to + shift,
            whole.soft_to + shift,
        )
        if span.soft_to > 0.0 and span.soft_from < 1.0:
            spans.append(span)
    return tuple(spans)
