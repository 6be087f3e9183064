"""Prints what a country's grid costs: run by hand, `python tests/benchmarks/grid.py`.

Places on a grid times kinds of the catalogue, as Parquet, answered by `forecast --requests … --out`
with processes of this machine. The time of a million forecasts follows, the start left out: it is
measured with one row.
"""

from __future__ import annotations

import argparse
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent.parent


def write_grid(path: Path, *, n_places: int, n_kinds: int) -> int:
    """A grid of places between 48 and 53 degrees north with kinds at each; the number of rows."""
    import pyarrow
    import pyarrow.parquet

    from bloomline.reference.catalogue import load_catalogue

    kinds = [each.id for each in load_catalogue()][:n_kinds]
    side = max(1, round(n_places**0.5))
    places = [
        (48.0 + 5.0 * (at // side) / side, 6.0 + 8.0 * (at % side) / side) for at in range(n_places)
    ]
    rows = [(lat, lon, kind) for lat, lon in places for kind in kinds]
    latitudes, longitudes, names = zip(*rows, strict=True)
    table = {
        "id": [str(at) for at in range(len(rows))],
        "latitude_deg": latitudes,
        "longitude_deg": longitudes,
        "elevation_m": [200.0] * len(rows),
        "cultivar": names,
        "where": ["ground"] * len(rows),
    }
    pyarrow.parquet.write_table(pyarrow.table(table), path)
    return len(rows)


def seconds(table: Path, out: Path, *, workers: int, rows: int) -> float:
    """How long the whole command takes on the clock."""
    asked = ["forecast", "--requests", str(table), "--out", str(out), "--workers", str(workers)]
    asked += ["--partition-rows", str(rows), "--today", "2026-09-01"]
    begin = time.perf_counter()
    subprocess.run([sys.executable, "-m", "bloomline", *asked], cwd=ROOT, check=True)
    return time.perf_counter() - begin


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--places", type=int, default=100)
    parser.add_argument("--kinds", type=int, default=300)
    parser.add_argument("--workers", type=int, nargs="+", default=[1, 2])
    parser.add_argument("--partition-rows", type=int, default=3000)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as kept:
        folder = Path(kept)
        table, one = folder / "grid.parquet", folder / "one.parquet"
        count = write_grid(table, n_places=options.places, n_kinds=options.kinds)
        write_grid(one, n_places=1, n_kinds=1)
        for workers in options.workers:
            rows = options.partition_rows
            start = seconds(one, folder / f"one-{workers}", workers=workers, rows=rows)
            whole = seconds(table, folder / f"out-{workers}", workers=workers, rows=rows)
            size = sum(each.stat().st_size for each in (folder / f"out-{workers}").iterdir())
            each = (whole - start) / count
            print(
                f"{workers} workers: {count:,} forecasts in {whole:.1f} s, start {start:.1f} s, "
                f"{each * 1e6 / 60.0:.1f} minutes a million, {size / count:.0f} bytes each",
                flush=True,
            )


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    main()
