"""Prints how well and how soon pots are filled: `python tests/benchmarks/fill.py [SECONDS]`.

Pots of five sizes at Bath, February to May, all kinds of the catalogue, 21 weather years. Of one
pot every set is weighed; of more the programme of a yard is solved. `rows` are sets that were
weighed, `cpu` seconds of one processor (the clock of the wall beside it), `worth` and `greedy`
days of colour of the yard and their mean over the pots, `gap` the most by which any filling can
be better.
"""

from __future__ import annotations

import sys
import time
from datetime import date
from decimal import Decimal

from bloomline.engine.filling_solve import Solution
from bloomline.model.yard import PlaceChoice, Pot, Yard
from bloomline.plan.fill import yard as filling
from bloomline.plan.fill.pot import suggest_pot
from bloomline.plan.fill.wishes import Wishes
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.season.outlook import Outlook
from bloomline.reference.catalogue import load_catalogue

SIZES = (
    (30.0, 30.0, 40.0),
    (40.0, 30.0, 36.0),
    (30.0, 22.0, 28.0),
    (36.0, 26.0, 18.0),
    (60.0, 50.0, 38.0),
)
BATH = PlaceChoice(name="Bath", latitude_deg=51.381, longitude_deg=-2.359, elevation_m=40.0)
CASES = (
    (1, 15, 5.0, False),
    (1, None, 5.0, False),
    (2, 40, 8.0, False),
    (2, 20, 8.0, True),
    (3, 40, 8.0, True),
    (4, 60, 8.0, True),
    (4, 60, 8.0, False),
    (12, 150, 10.0, False),
    (12, None, 10.0, False),
    (100, 800, 30.0, False),
)
"""Pots, money, seconds of search, and whether the money is for compost too."""


def yard_of(n_pots: int) -> Yard:
    """Empty pots of five sizes."""
    pots = []
    for number in range(n_pots):
        top, bottom, height = SIZES[number % len(SIZES)]
        pots.append(
            Pot(
                id=f"pot-{number + 1}",
                name=f"Pot {number + 1}",
                top_width_cm=top,
                bottom_width_cm=bottom,
                inside_height_cm=height,
                wall_cm=1.5,
                crocks_cm=3.0,
            )
        )
    return Yard(name="Benchmark", place=BATH, season_year=2027, pots=tuple(pots))


def main() -> None:
    """Print a line for each case."""
    longer = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    catalogue = load_catalogue()
    solved: list[Solution] = []
    solve = filling.solve

    def watched(*args: object, **kwargs: object) -> Solution:
        found = solve(*args, **kwargs)  # type: ignore[arg-type]
        solved.append(found)
        return found

    filling.solve = watched
    print(f"{len(catalogue)} kinds; {longer:g} times the usual seconds of search")
    print("pots  money         rows     cpu    wall   worth   bound  gap %  greedy")
    for n_pots, money, seconds, with_bags in CASES:
        outlook = Outlook.of(
            yard_of(n_pots),
            catalogue=catalogue,
            forecaster=Forecaster(),
            today=date(2026, 9, 1),
        )
        wishes = Wishes(
            first=date(2027, 2, 1),
            last=date(2027, 5, 31),
            budget=None if money is None else Decimal(money),
            bulbs_only=not with_bags,
        )
        cpu, wall = time.process_time(), time.perf_counter()
        solved.clear()
        if n_pots == 1:
            found = suggest_pot(outlook, "pot-1", wishes)
        else:
            found = filling.fill_yard(outlook, wishes, seconds=longer * seconds, most_answers=1)
        cpu, wall = time.process_time() - cpu, time.perf_counter() - wall
        best = found.answers[0]
        greedy = f"{solved[0].greedy_worth:7.1f}" if solved else "      –"
        print(
            f"{n_pots:4d} {money or '–':>6} {'bags' if with_bags else '':4s} {found.seen:7d} "
            f"{cpu:7.1f} {wall:7.1f} "
            f"{best.score:7.1f} {best.bound or 0.0:7.1f} "
            f"{best.bound_gap_percent or 0.0:6.2f} {greedy}"
        )


if __name__ == "__main__":
    main()
