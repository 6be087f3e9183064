"""The day of a season that is most worth looking at, and the days worth running through."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

from bloomline.plan.forecast.report import SeasonReport

_HAIR = 1e-6


def best_day(report: SeasonReport) -> date | None:
    """The day on which most layers are expected in flower; None where none flowers.

    Of days that are alike the one in their middle.
    """
    expected = report.expected_layers
    if not len(expected) or expected.max() <= _HAIR:
        return None
    at = np.flatnonzero(expected >= expected.max() - _HAIR)
    return report.first_day + timedelta(days=int(at[len(at) // 2]))


def days_of_colour(report: SeasonReport) -> tuple[date, date] | None:
    """From the first to the last day of the usual season; None where nothing flowers."""
    season = report.usual_season
    return None if season is None else (season.first, season.last)
