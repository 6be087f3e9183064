"""Rebuild shared/weather and shared/climate-checks from the published tables.

Run: python -m bloomline.reference.build_weather DAILY.csv FROST_DAYS.csv shared
DAILY.csv has date, tmin_c, tmax_c; FROST_DAYS.csv the columns in shared/climate-checks/README.md.
"""

from __future__ import annotations

import argparse
import csv
import json
from datetime import date, timedelta
from pathlib import Path

import numpy as np

from bloomline.errors import DataError

# One published id stands for two stations; the frost days are those of the second
# (0.9 days in January at a mean minimum of 9.3 °C, not of 6.5 °C).
_FROST_ID = {"0-20000-0-72255": "0-20000-0-72255-edinburg-17-nne"}


def build_weather(daily: Path, out: Path) -> int:
    """Write the daily extremes as tenths of a degree; return the number of days.

    Raises DataError when a day is missing.
    """
    with daily.open(encoding="utf-8", newline="") as handle:
        rows = list(csv.DictReader(handle))
    first = date.fromisoformat(rows[0]["date"])
    for offset, row in enumerate(rows):
        if date.fromisoformat(row["date"]) != first + timedelta(days=offset):
            raise DataError(str(daily), [f"row {offset + 2}: {row['date']} is out of order"])
    tenths = np.array(
        [[round(float(r[k]) * 10) for r in rows] for k in ("tmin_c", "tmax_c")], dtype="<i2"
    )
    np.save(out / "de_bilt_tenths.npy", tenths, allow_pickle=False)
    about = {"station": "De Bilt", "first_day": first.isoformat(), "days": len(rows)}
    (out / "de_bilt.json").write_text(json.dumps(about, indent=2) + "\n", encoding="utf-8")
    return len(rows)


def build_frost_days(source: Path, out: Path) -> int:
    """Write the frost-day table with our station ids; return the number of stations."""
    with source.open(encoding="utf-8", newline="") as handle:
        reader = csv.reader(handle)
        header, *rows = list(reader)
    with (out / "frost_days.csv").open("w", encoding="utf-8", newline="") as handle:
        writer = csv.writer(handle, lineterminator="\n")
        writer.writerow(header)
        writer.writerows([_FROST_ID.get(row[0], row[0]), *row[1:]] for row in rows)
    return len(rows)


def main() -> None:
    """Command line of the rebuild."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("daily", type=Path, help="CSV of daily extremes")
    parser.add_argument("frost_days", type=Path, help="CSV of published frost days")
    parser.add_argument("shared", type=Path, help="the shared folder")
    args = parser.parse_args()
    print(f"{build_weather(args.daily, args.shared / 'weather')} days")
    print(f"{build_frost_days(args.frost_days, args.shared / 'climate-checks')} stations")


if __name__ == "__main__":
    main()
