"""Prints how far forecasts are from what was seen: `python tests/benchmarks/accuracy.py`.

With `--rows` every sighting and usual season too.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "outside"))

from observed import (
    Outcome,
    SeasonOutcome,
    group_of,
    outcomes,
    season_outcomes,
    usable,
)

from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.reference.catalogue import load_catalogue
from bloomline.reference.observations import load_observations

SIDES = ("fit", "held_out")


def _table(title: str, columns: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    print(f"\n{title}\n\n| {' | '.join(columns)} |\n|{'---|' * len(columns)}")
    for row in rows:
        print(f"| {' | '.join(row)} |")


def _sighting_row(name: str, side: str, found: list[Outcome], asked: int) -> list[str]:
    if not found:
        return [name, side, f"0 of {asked}", *["–"] * 8]
    error = np.array([each.error_days for each in found], dtype=float)
    date_only = np.array([each.reference_date_error for each in found], dtype=float)
    plain = np.array([each.degree_day_error for each in found], dtype=float)
    return [
        name,
        side,
        f"{len(found)}" if len(found) == asked else f"{len(found)} of {asked}",
        f"{error.mean():+.1f}",
        f"{np.median(error):+.1f}",
        f"{np.abs(error).mean():.1f}",
        f"{np.sqrt((error**2).mean()):.1f}",
        f"{np.mean([each.inside for each in found]):.0%}",
        f"{np.mean([each.crps_days for each in found]):.1f}",
        f"{np.abs(plain).mean():.1f}",
        f"{np.abs(date_only).mean():.1f}",
    ]


def _season_row(name: str, side: str, found: list[SeasonOutcome]) -> list[str]:
    missed = np.array(
        [np.nan if e.outside_days is None else e.outside_days for e in found], dtype=float
    )
    london = np.array([e.london_outside_days for e in found], dtype=float)
    held = [
        e.band is not None and e.band[0] <= e.window[1] and e.band[2] >= e.window[0] for e in found
    ]
    known = missed[np.isfinite(missed)]
    return [
        name,
        side,
        str(len(found)),
        str(int(np.isnan(missed).sum())),
        str(int((missed == 0).sum())),
        str(int((np.abs(missed) <= 7).sum())),
        f"{np.abs(known).mean():.1f}" if len(known) else "–",
        f"{known.mean():+.1f}" if len(known) else "–",
        str(sum(held)),
        str(int((london == 0).sum())),
        str(int((np.abs(london) <= 7).sum())),
    ]


def main() -> None:
    """Print a table of sightings and one of usual seasons, a group and side each row."""
    forecaster = Forecaster()
    found = outcomes(forecaster=forecaster)
    catalogue = load_catalogue()
    asked = [(group_of(catalogue.find(s.cultivar)), s) for s in load_observations() if usable(s)]
    rows = []
    for name in sorted({group for group, _ in asked}):
        for side in (*SIDES, "all"):
            chosen = [e for e in found if e.group == name and side in ("all", e.seen.aside)]
            count = sum(group == name and side in ("all", s.aside) for group, s in asked)
            if count:
                rows.append(_sighting_row(name, side, chosen, count))
    _table(
        "Sightings: forecast less seen, in days; single years against all weather years",
        (
            "group",
            "places",
            "n",
            "bias: mean",
            "bias: median",
            "mean absolute error",
            "root mean square",
            "inside the 80 % band",
            "CRPS",
            "degree days from 1 January",
            "the London date itself",
        ),
        rows,
    )
    seasons = season_outcomes(forecaster=forecaster)
    rows = []
    for name in (*sorted({each.group for each in seasons}), "all kinds"):
        for side in (*SIDES, "all", "published"):
            chosen_seasons = [
                each
                for each in seasons
                if name in ("all kinds", each.group)
                and side in ("all", each.season.aside, each.season.basis)
            ]
            if chosen_seasons:
                rows.append(_season_row(name, side, chosen_seasons))
    _table(
        "Usual seasons: the median start against the usual window of first flowers",
        (
            "group",
            "rows",
            "n",
            "no flower forecast",
            "inside",
            "within a week",
            "mean days outside",
            "bias, days outside",
            "80 % band meets the window",
            "London date inside",
            "London date within a week",
        ),
        rows,
    )
    if "--rows" in sys.argv:
        for each in sorted(found, key=lambda e: (e.group, e.seen.aside, e.error_days)):
            seen = each.seen
            print(each.group, seen.aside, seen.place, seen.year, seen.cultivar, sep="; ", end="; ")
            print(seen.seen_on, f"{each.error_days:+d} days")
        for each in sorted(seasons, key=lambda e: (e.group, e.season.kind, e.season.place)):
            season = each.season
            print(each.group, season.aside, season.basis, season.kind, season.place, sep="; ")
            print(f"    {each.window[0]} to {each.window[1]}; outside {each.outside_days};", end="")
            print(" band", *(each.band or ("none",)))


if __name__ == "__main__":
    main()
