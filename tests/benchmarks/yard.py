"""Prints how long a large yard takes to work out: run by hand, `python tests/benchmarks/yard.py`.

The yard has 1,000 pots of four layers, 24 sizes and materials at three sites, 60 cultivars and
8 planting days, in 21 weather years. `recompute_ms` is the whole forecast (starts, full
flower, ends and bands of all layers) after a change of region; `season_ms` the daily chances,
bare and crowded stretches on top of it; `change_one_ms` one layer's new planting day.
"""

from __future__ import annotations

import resource
import statistics
import time
from collections.abc import Callable
from datetime import date, timedelta

from large_yard import REGIONS, big_yard

from bloomline.plan.climate.garden import garden_named
from bloomline.plan.climate.surroundings import standing_of
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.outcomes import bands_of
from bloomline.plan.forecast.plantings import Planting
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.solve import solve_yard
from bloomline.plan.season.yard import report_of
from bloomline.reference.catalogue import load_catalogue


def median_ms(action: Callable[[int], object], runs: int = 7) -> float:
    """Median wall time of an action, which is told the number of the run. [ms]"""
    times = []
    for run in range(runs):
        begin = time.perf_counter()
        action(run)
        times.append(1000.0 * (time.perf_counter() - begin))
    return statistics.median(times)


def main() -> None:
    """Measure and print."""
    yard = big_yard()
    catalogue = load_catalogue()
    forecaster = Forecaster()
    gardens = [garden_named(name) for name in REGIONS]
    here = Outlook.of(
        yard,
        catalogue=catalogue,
        forecaster=forecaster,
        today=date(2026, 9, 1),
        garden=gardens[0],
    )
    solve_yard(here)

    def recompute(run: int) -> None:
        forecaster.forget()
        worked = solve_yard(here.with_(garden=gardens[run % len(gardens)]))
        bands_of(worked.solved)

    worked = solve_yard(here)
    pot = yard.pots[0]
    cultivar = catalogue.get(pot.layers[0].cultivar_id)

    def change_one(run: int) -> None:
        solved = forecaster.solve(
            [
                Planting(
                    cultivar=cultivar,
                    rooted=date(2026, 10, 1) + timedelta(days=run),
                    standing=standing_of(pot),
                )
            ],
            garden=worked.garden,
            first_day=worked.solved.first_day,
        )
        bands_of(solved)

    change_one(0)
    print(f"layers {4 * len(yard.pots)}, different plantings {len(worked.solved.plantings)}")
    print(f"recompute_ms {median_ms(recompute):.1f}")
    print(f"season_ms {median_ms(lambda _run: report_of(worked)):.1f}")
    print(f"change_one_ms {median_ms(change_one, runs=21):.2f}")
    peak_kib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    print(f"peak_memory_mib {peak_kib / 1024:.0f}")


if __name__ == "__main__":
    main()
