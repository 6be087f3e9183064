"""Shares of years in words."""

from __future__ import annotations

_ALL_BUT = 1e-9


def of_ten(share: float, unit: str, *, never: str = "") -> str:
    """A share as a number of ten: "3 years of ten", "every winter".

    unit : what is counted, in the singular. never : what a share of nothing at all is called;
    without it, that is less than one of ten like any small share. "Every" is kept for all, and
    "5 of ten" for half, since verdicts turn there.
    """
    tenths = round(share * 10)
    if tenths >= 10:
        return f"every {unit}" if share >= 1.0 - _ALL_BUT else f"nearly every {unit}"
    if tenths == 5 and share != 0.5:
        return f"{'nearly' if share < 0.5 else 'over'} half of the {unit}s"
    if tenths == 0:
        return never if never and share <= 0.0 else f"less than one {unit} of ten"
    return f"{tenths} {unit}{'s' if tenths > 1 else ''} of ten"
