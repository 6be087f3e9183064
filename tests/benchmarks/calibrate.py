"""Cross-validates the growth law by place: `python tests/benchmarks/calibrate.py [HOW_MANY]`.

Laws are drawn evenly (a Halton sequence, so the same every time) from the range around the one
in use. For each of four groups of places, the law that does best on the other three is scored
on the group left out. Takes about a second a law; run by hand when the law is to change.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from pathlib import Path

import numpy as np
from scipy.stats import qmc

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "outside"))

from observed import Outcome, outcomes

from bloomline.engine.heat import GrowthLaw
from bloomline.plan.forecaster import Forecaster

LOW = {"base_c": 0.0, "power": 1.1, "day_length_power": 1.8, "unmet_rate": 0.05}
HIGH = {"base_c": 0.8, "power": 1.8, "day_length_power": 3.0, "unmet_rate": 0.16}
LOW |= {"need_factor": 0.7, "ground_lag_days": 4.0, "air_share": 0.5}
HIGH |= {"need_factor": 1.0, "ground_lag_days": 14.0, "air_share": 1.0}
FOLDS = 4


def laws(count: int) -> list[GrowthLaw]:
    """The law in use, then others drawn evenly around it."""
    drawn = qmc.Halton(d=len(LOW), scramble=False).random(count)
    scaled = qmc.scale(drawn, list(LOW.values()), list(HIGH.values()))
    return [
        GrowthLaw(),
        *(GrowthLaw(**dict(zip(LOW, map(float, row), strict=True))) for row in scaled),
    ]


def loss(errors: np.ndarray) -> float:  # type: ignore[type-arg]
    """Mean square error that grows only in proportion beyond ten days."""
    size = np.abs(errors)
    return float(np.mean(np.where(size < 10.0, size**2, 20.0 * size - 100.0)))


def main() -> None:
    """Print the best law and the error of each group, fitted and left out."""
    tried = laws(int(sys.argv[1]) if len(sys.argv) > 1 else 60)
    by_law: list[dict[str, Outcome]] = []
    for number, law in enumerate(tried):
        found = outcomes(forecaster=Forecaster(growth_law=law))
        by_law.append({each.seen.id: each for each in found})
        print(f"\r{number + 1} of {len(tried)} laws", end="", file=sys.stderr, flush=True)
    print(file=sys.stderr)
    common = sorted(set.intersection(*(set(each) for each in by_law)))
    seen = [by_law[0][name] for name in common]
    places = sorted({each.seen.place for each in seen})
    fold = np.array([places.index(each.seen.place) % FOLDS for each in seen])
    group = np.array([each.group for each in seen])
    errors = np.array([[found[name].error_days for name in common] for found in by_law], float)
    fitted = group == "Tulipa 'Madame Lefeber'"
    best = int(np.argmin([loss(row[fitted]) for row in errors]))
    left_out = np.empty(len(common))
    for k in range(FOLDS):
        chosen = int(np.argmin([loss(row[fitted & (fold != k)]) for row in errors]))
        left_out[fold == k] = errors[chosen][fold == k]
    print(f"best of {len(tried)}: {tried[best]}")
    rows: dict[str, list[str]] = defaultdict(list)
    for name in sorted(set(group)):
        which = group == name
        for label, values in (
            ("in use", errors[0]),
            ("best", errors[best]),
            ("left out", left_out),
        ):
            rows[name].append(f"{label} {np.abs(values[which]).mean():.1f}")
        print(f"{name} (n {which.sum()}), mean absolute error in days: {', '.join(rows[name])}")


if __name__ == "__main__":
    main()
