"""Prints what plainer ways to the same dates cost: `python tests/benchmarks/baselines.py`.

The work is the first flower of every layer of 1,000 pots of four layers in 21 weather years, from
daily rates of growth and cold that are made already. Beside the engine's searches in running sums
stand a loop over the days of each layer and year in plain Python, the same loop with NumPy over the
years, and the thermal time of pyPhenology (`pip install pyPhenology pandas`; without it the line
says so), which knows no cold and reads daily means. The slow ones do some layers, and the time is
reckoned up; all but the last give the same days, to a thousandth.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path

import numpy as np
from large_yard import REGIONS, big_yard
from numpy.typing import NDArray

ROOT = Path(__file__).resolve().parent.parent.parent
Floats = NDArray[np.float64]


class Work:
    """Daily rates by root zone and year, shape (n_zones, n_years, n_days), and what is planted."""

    def __init__(self) -> None:
        from bloomline.engine.flowering import flowering_days
        from bloomline.engine.heat_sums import SPRING
        from bloomline.plan.climate.garden import garden_named
        from bloomline.plan.forecast.forecaster import Forecaster
        from bloomline.plan.season.outlook import Outlook
        from bloomline.plan.season.solve import solve_yard
        from bloomline.reference.catalogue import load_catalogue

        forecaster = Forecaster()
        outlook = Outlook.of(
            big_yard(),
            catalogue=load_catalogue(),
            forecaster=forecaster,
            today=date(2026, 9, 1),
            garden=garden_named(REGIONS[0]),
        )
        worked = solve_yard(outlook)
        solved = worked.solved
        self.weather = solved.weather
        _, sums, table = forecaster._asked(
            solved.plantings, garden=solved.garden, weather=solved.weather
        )
        self.growth, self.cold = np.diff(sums.growth), np.diff(sums.cold_weeks)
        self.table = table
        self.unmet = forecaster.growth_law.unmet_rate
        spring = set(np.flatnonzero(table.law == SPRING).tolist())
        self.layers = [place.row for place in worked.places if place.row in spring]

        def engine() -> Floats:
            days = flowering_days(
                sums,
                plantings=table,
                law=forecaster.growth_law,
                ageing=forecaster.ageing_law,
                autumn=forecaster.autumn_law,
            )
            # What is learned, and a longer way to the light, come on top of the sums.
            return (days.start - table.shift_days[:, None])[self.layers]

        self.engine = engine

    def one(self, row: int) -> tuple[int, int, float, float, float]:
        """Zone, first day, weeks at the full rate, weeks before planting, heat at first flower."""
        table = self.table
        return (
            int(table.zone[row]),
            int(table.begins[row]),
            float(table.full_rate_weeks[row]),
            float(table.prechilled_weeks[row]),
            float(table.heat_need[row]),
        )


def plain_days(work: Work, rows: Sequence[int]) -> Floats:
    """Day by day, layer by layer, year by year."""
    growth, cold = work.growth.tolist(), work.cold.tolist()
    found = []
    for row in rows:
        zone, begins, weeks, had, need = work.one(row)
        for rates, colds in zip(growth[zone], cold[zone], strict=True):
            heat, chilled, opens = 0.0, had, float("nan")
            for day in range(begins, len(rates)):
                met = 1.0 if weeks <= 0.0 else min(1.0, max(chilled, 0.0) / weeks)
                gain = rates[day] * (work.unmet + (1.0 - work.unmet) * met)
                if heat + gain >= need:
                    opens = day + (need - heat) / gain
                    break
                heat += gain
                chilled += colds[day]
            found.append(opens)
    return np.array(found).reshape(len(rows), -1)


def array_days(work: Work, rows: Sequence[int]) -> Floats:
    """The same sums with NumPy over all years of a layer."""
    found = []
    for row in rows:
        zone, begins, weeks, had, need = work.one(row)
        growth, cold = work.growth[zone, :, begins:], work.cold[zone, :, begins:]
        chilled = had + np.cumsum(cold, axis=1) - cold
        met = np.minimum(1.0, chilled / weeks) if weeks > 0.0 else 1.0
        gain = growth * (work.unmet + (1.0 - work.unmet) * met)
        heat = np.cumsum(gain, axis=1)
        at = np.argmax(heat >= need, axis=1)
        years = np.arange(len(heat))
        before = heat[years, at] - gain[years, at]
        opens = begins + at + (need - before) / gain[years, at]
        found.append(np.where(heat[:, -1] >= need, opens, np.nan))
    return np.array(found)


def package_days(work: Work, rows: Sequence[int]) -> Floats | None:
    """Thermal time above 5 °C from New Year by pyPhenology; None where it isn't installed."""
    try:
        import pandas
        from pyPhenology import models
    except ImportError:
        return None
    mean = 0.5 * (work.weather.tmin_c + work.weather.tmax_c)
    new_year = int(
        (np.datetime64(str(work.weather.first_day)[:4], "Y") + 1).astype("M8[D]").astype(int)
    ) - int(work.weather.first_day.astype("M8[D]").astype(int))
    n_days = min(300, mean.shape[1] - new_year)
    n_years = len(mean)
    years, days = np.meshgrid(np.arange(n_years) + 2000, np.arange(1, n_days + 1), indexing="ij")
    weather = pandas.DataFrame(
        {
            "site_id": 1,
            "year": years.ravel(),
            "doy": days.ravel(),
            "temperature": mean[:, new_year : new_year + n_days].ravel(),
        }
    )
    asked = pandas.DataFrame(
        {"species": "bulb", "site_id": 1, "year": np.arange(n_years) + 2000, "phenophase": 1}
    )
    found = []
    for row in rows:
        model = models.ThermalTime(parameters={"t1": 1, "T": 5, "F": work.one(row)[4]})
        found.append(model.predict(to_predict=asked, predictors=weather))
    return np.array(found)


def seconds(act: Callable[[], object], runs: int) -> float:
    """The least processor time of some runs. [s]"""
    times = []
    for _ in range(runs):
        begin = time.process_time()
        act()
        times.append(time.process_time() - begin)
    return min(times)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--layers", type=int, default=40, help="layers that the slow ones do")
    parser.add_argument("--runs", type=int, default=3)
    options = parser.parse_args()
    work = Work()
    some = work.layers[: options.layers]
    different = len(set(work.layers))
    print(f"{len(work.layers):,} layers, {different:,} different, 21 years, processor time")
    own = seconds(work.engine, options.runs)
    print(f"{'searches in running sums, nose to yellow leaves':50}{own:10.3f} s")
    expected = work.engine()[: len(some)]
    for name, way in (("loop over days, plain Python", plain_days), ("NumPy by layer", array_days)):
        taken = seconds(lambda way=way: way(work, some), options.runs) / len(some)
        off = np.nanmax(np.abs(way(work, some) - expected))
        total = taken * len(work.layers)
        print(f"{name:50}{total:10.3f} s  ({total / own:,.0f} times; days differ by {off:.4f})")
    if package_days(work, some[:1]) is None:
        print("thermal time by pyPhenology: not installed here")
        return
    taken = seconds(lambda: package_days(work, some), options.runs) / len(some)
    total = taken * len(work.layers)
    print(f"{'thermal time by pyPhenology':50}{total:10.3f} s  ({total / own:,.0f} times)")


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    main()
