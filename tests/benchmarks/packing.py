"""How long capacities, positions and spreads take: `python tests/benchmarks/packing.py`.

Prints the median and the slowest of fresh answers (no cache), then what a cached one takes.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

from bloomline.engine import packing, packing_region, packing_spread
from bloomline.engine.potshape import Section

SECTIONS = {
    "round 30 cm": Section("circle", 30.0, 30.0),
    "round 50 cm": Section("circle", 50.0, 50.0),
    "oval 40 x 25": Section("ellipse", 25.0, 40.0),
    "trough 60 x 20": Section("rectangle", 20.0, 60.0),
}
BULBS = {"tulip 3.8 + 3": (3.8, 3.0), "tulip 3.8 + 0.5": (3.8, 0.5), "small 1.7 + 0.3": (1.7, 0.3)}


def forget() -> None:
    """Empty the caches that hold answers; what is made once at the start stays."""
    packing.capacity.cache_clear()
    packing.positions.cache_clear()
    packing_spread._spread.cache_clear()
    packing_region._oval_reach.cache_clear()


def timed(
    work: Callable[[], object], *, times: int = 15, fresh: bool = True
) -> tuple[float, float]:
    """Give median and slowest time of the work. [ms]"""
    found = []
    for _ in range(times):
        if fresh:
            forget()
        start = time.perf_counter()
        work()
        found.append((time.perf_counter() - start) * 1e3)
    return statistics.median(found), max(found)


def main() -> None:
    """Print one line for each pot and bulb."""
    start = time.perf_counter()
    packing.capacity(SECTIONS["round 30 cm"], bulb_diameter_cm=2.0, gap_cm=0.5)
    packing.capacity(SECTIONS["oval 40 x 25"], bulb_diameter_cm=2.0, gap_cm=0.5)
    print(f"first answers, tables unpacked: {(time.perf_counter() - start) * 1e3:.1f} ms")
    print(f"{'':34}{'n':>5}{'capacity':>16}{'positions':>16}{'spread n - 1':>16}{'cached':>9}  ms")
    for where, section in SECTIONS.items():
        for what, (diameter, gap) in BULBS.items():

            def count(s: Section = section, d: float = diameter, g: float = gap) -> int:
                return packing.capacity(s, bulb_diameter_cm=d, gap_cm=g)

            def place(s: Section = section, d: float = diameter, g: float = gap) -> object:
                return packing.positions(s, bulb_diameter_cm=d, gap_cm=g)

            n = count()

            def spread(
                s: Section = section, d: float = diameter, g: float = gap, n: int = n
            ) -> object:
                return packing_spread.spread_positions(s, count=n - 1, bulb_diameter_cm=d, gap_cm=g)

            cells = [f"{a:7.2f} /{b:6.1f} " for a, b in map(timed, (count, place, spread))]
            count()
            cached = timed(count, fresh=False)[0]
            print(f"{where:16}{what:18}{n:5}{''.join(cells)}{cached:9.4f}")


if __name__ == "__main__":
    main()
