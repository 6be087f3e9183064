"""A season's yearly figures in words."""

from __future__ import annotations

from bloomline.plan.forecast.report import SeasonReport, Spread
from bloomline.words import tr


def figure(value: float, decimals: int = 0) -> str:
    """A figure as it is shown."""
    return f"{rounded(value, decimals):.{decimals}f}"


def rounded(value: float, decimals: int = 0) -> float:
    """The number that is shown. What is worked out of shown numbers is worked out of these."""
    return round(float(value), decimals) + 0.0  # no minus before a zero


def years_words(spread: Spread, *, decimals: int = 0, one_year: bool = False) -> str:
    """What stands beside the mean: its range and two years as examples, or that it is one year.

    Coldest and warmest are examples by their winters: neither need lie at an end of the range.
    """
    if one_year:
        return tr("in this weather year alone")
    p10, p90, coldest, warmest = (
        figure(each, decimals) for each in (spread.p10, spread.p90, spread.coldest, spread.warmest)
    )
    return tr(
        "{p10}–{p90} in eight years of ten; {coldest} in the coldest winter, "
        "{warmest} in the warmest",
        p10=p10,
        p90=p90,
        coldest=coldest,
        warmest=warmest,
    )


def bare_words(report: SeasonReport) -> str:
    """The yard's bare days with their range, or "" where there is none to speak of."""
    bare = report.bare_days
    if max(rounded(each) for each in (bare.expected, bare.p90)) < 1:
        return ""
    days = figure(bare.expected)
    return (
        tr(
            "{days} bare day between the year's first and last flower ({years_words})",
            days=days,
            years_words=years_words(bare, one_year=report.weather_year is not None),
        )
        if days == "1"
        else tr(
            "{days} bare days between the year's first and last flower ({years_words})",
            days=days,
            years_words=years_words(bare, one_year=report.weather_year is not None),
        )
    )
