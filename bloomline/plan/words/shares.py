"""Shares of years in words."""

from __future__ import annotations

from typing import Literal

from bloomline.words import plural, tr

_ALL_BUT = 1e-9

Counted = Literal["year", "winter"]


def of_ten(share: float, unit: Counted, *, never: str = "") -> str:
    """A share as a number of ten: "3 years of ten", "every winter".

    unit : what is counted. never : what a share of nothing at all is called;
    without it, that is less than one of ten like any small share. "Every" is kept for all, and
    "5 of ten" for half, since verdicts turn there.
    """
    winters = unit == "winter"
    tenths = round(share * 10)
    if tenths >= 10:
        if share >= 1.0 - _ALL_BUT:
            return tr("every winter") if winters else tr("every year")
        return tr("nearly every winter") if winters else tr("nearly every year")
    if tenths == 5 and share != 0.5:
        if share < 0.5:
            return tr("nearly half of the winters") if winters else tr("nearly half of the years")
        return tr("over half of the winters") if winters else tr("over half of the years")
    if tenths == 0:
        if never and share <= 0.0:
            return never
        return tr("less than one winter of ten") if winters else tr("less than one year of ten")
    if winters:
        return plural("{n} winter of ten", "{n} winters of ten", tenths)
    return plural("{n} year of ten", "{n} years of ten", tenths)
