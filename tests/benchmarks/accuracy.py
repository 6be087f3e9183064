"""Prints how far forecasts are from published sightings: `python tests/benchmarks/accuracy.py`."""

from __future__ import annotations

import sys
from collections import defaultdict
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "outside"))

from observed import Outcome, outcomes

from bloomline.plan.forecaster import Forecaster


def _row(name: str, found: list[Outcome]) -> str:
    error = np.array([each.error_days for each in found], dtype=float)
    date_only = np.array([each.reference_date_error for each in found], dtype=float)
    plain = np.array([each.degree_day_error for each in found], dtype=float)
    inside = np.mean([each.inside for each in found])
    return (
        f"| {name} | {len(found)} | {np.median(error):+.0f} | {np.abs(error).mean():.1f} "
        f"| {inside:.0%} | {np.abs(plain).mean():.1f} | {np.abs(date_only).mean():.1f} |"
    )


def main() -> None:
    """Print one row a group."""
    groups: dict[str, list[Outcome]] = defaultdict(list)
    for each in outcomes(forecaster=Forecaster()):
        groups[each.group].append(each)
    print("| group | n | median error, days | mean absolute error | inside the 80 % band |", end="")
    print(" degree days from 1 January | the London date itself |")
    print("|---|---|---|---|---|---|---|")
    for name in sorted(groups):
        print(_row(name, groups[name]))
    if "--rows" in sys.argv:
        for name in sorted(groups):
            for each in groups[name]:
                seen = each.seen
                print(name, seen.place, seen.year, seen.cultivar, seen.seen_on, each.error_days)


if __name__ == "__main__":
    main()
