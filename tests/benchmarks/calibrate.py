"""Fits the growth law on published dates: `python tests/benchmarks/calibrate.py [HOW_MANY]`.

Laws are drawn evenly (a Halton sequence, so the same every time) from the range around the one
in use, then the best is improved by steps in each constant. All is judged on the places marked
`fit` in shared/observations; the errors printed for `held_out` places had no say. The Japanese
series has a say too where its package is installed (see tests/outside/japanese.py). Takes some
five seconds a law; run by hand when the law is to change.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from dataclasses import replace
from importlib.metadata import PackageNotFoundError
from pathlib import Path

import numpy as np
from scipy.stats import qmc

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "outside"))

from japanese import errors_of as japanese_errors
from observed import RED_EMPEROR, Error, errors

from bloomline.engine.heat import GrowthLaw
from bloomline.plan.forecast.forecaster import Forecaster

LOW = {"base_c": 0.0, "power": 1.0, "day_length_power": 1.0, "unmet_rate": 0.02}
HIGH = {"base_c": 1.2, "power": 1.8, "day_length_power": 3.2, "unmet_rate": 0.25}
LOW |= {"need_factor": 0.6, "ground_lag_days": 4.0, "air_share": 0.6}
HIGH |= {"need_factor": 1.1, "ground_lag_days": 14.0, "air_share": 1.0}
LOW |= {"cooled_c": 7.0, "over_coldest_c": 1.0}
HIGH |= {"cooled_c": 11.0, "over_coldest_c": 4.0}
STEPS = (0.12, 0.05)
"""Parts of its range by which each constant is moved, round after round."""

HEAT_GROUPS = (RED_EMPEROR, "other tulips", "narcissi", "early small bulbs", "other spring kinds")


def laws(count: int) -> list[GrowthLaw]:
    """The law in use, then others drawn evenly around it."""
    drawn = qmc.Halton(d=len(LOW), scramble=False).random(count)
    scaled = qmc.scale(drawn, list(LOW.values()), list(HIGH.values()))
    return [
        GrowthLaw(),
        *(GrowthLaw(**dict(zip(LOW, map(float, row), strict=True))) for row in scaled),
    ]


def robust(days: np.ndarray) -> float:  # type: ignore[type-arg]
    """Mean square error that grows only in proportion beyond ten days."""
    size = np.abs(days)
    return float(np.mean(np.where(size < 10.0, size**2, 20.0 * size - 100.0)))


def loss(found: list[Error], japan: list[np.ndarray], *, aside: str) -> float:  # type: ignore[type-arg]
    """Mean over the groups, a sighting and a usual season alike, and Japan's years."""
    by_group: dict[tuple[str, str], list[int]] = defaultdict(list)
    for each in found:
        if each.group in HEAT_GROUPS and each.aside == aside:
            by_group[each.table, each.group].append(each.error_days)
    # A group counts by the root of its size: many rows of one kind err together.
    weights = {key: len(days) ** 0.5 for key, days in by_group.items()}
    total = sum(weights[key] * robust(np.array(days)) for key, days in by_group.items())
    share = sum(weights.values())
    if japan and aside == "fit":
        total += 5.0 * robust(np.concatenate(japan))
        share += 5.0
    return total / share


def tried(law: GrowthLaw) -> tuple[float, float, list[Error]]:
    """Loss on the places fitted on, on those held out, and every error."""
    found = errors(Forecaster(growth_law=law))
    try:
        japan = japanese_errors(law)
    except PackageNotFoundError:
        japan = []
    return loss(found, japan, aside="fit"), loss(found, [], aside="held_out"), found


def table(label: str, found: list[Error]) -> None:
    """Mean absolute error by group and side."""
    rows: dict[tuple[str, str, str], list[int]] = defaultdict(list)
    for each in found:
        rows[each.table, each.group, each.aside].append(each.error_days)
    for key in sorted(rows):
        days = np.array(rows[key])
        print(f"  {label:7} {' · '.join(key):55} n {len(days):3} bias {days.mean():+5.1f}", end=" ")
        print(f"mean absolute {np.abs(days).mean():5.1f}")


def main() -> None:
    """Print the law in use and the best one found, with their errors."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    best, before = GrowthLaw(), tried(GrowthLaw())
    now = before
    for number, law in enumerate(laws(count)[1:]):
        answer = tried(law)
        if answer[0] < now[0]:
            best, now = law, answer
            print(f"{number + 1}: fit {now[0]:.1f}, held out {now[1]:.1f}  {law}", flush=True)
    for part in STEPS:
        for name in LOW:
            for sign in (1.0, -1.0):
                step = sign * part * (HIGH[name] - LOW[name])
                law = replace(best, **{name: round(getattr(best, name) + step, 4)})
                answer = tried(law)
                if answer[0] < now[0]:
                    best, now = law, answer
                    print(f"{name}: fit {now[0]:.1f}, held out {now[1]:.1f}", flush=True)
                    break
    print(f"in use: fit {before[0]:.1f}, held out {before[1]:.1f}  {GrowthLaw()}")
    table("in use", before[2])
    print(f"best: fit {now[0]:.1f}, held out {now[1]:.1f}  {best}")
    table("best", now[2])


if __name__ == "__main__":
    main()
