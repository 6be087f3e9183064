"""Rebuild the tables under shared/places from the published normals.

Run: python -m bloomline.reference.build_places NORMALS.csv shared/places
NORMALS.csv has the columns named in shared/places/README.md. The hand-made tables beside the
result (name_fixes, regions, countries, id_owners,
corrections, other_names) are read, never written.
"""

from __future__ import annotations

import argparse
import csv
from collections import Counter
from pathlib import Path

import numpy as np

from bloomline.errors import DataError
from bloomline.reference.folding import fold
from bloomline.reference.place_names import tidy_name

COLUMNS = (
    "station_id",
    "name",
    "region",
    "country",
    "latitude_deg",
    "longitude_deg",
    "elevation_m",
    "submitted_name",
    "other_names",
)


# No id is longer, before the height is put behind it.
ID_LENGTH = 34

# Countries whose stations carry a state or province in regions.csv.
REGION_COUNTRIES = ("United States", "Canada")


def build_places(normals: Path, out: Path) -> int:
    """Write stations.csv and normals_tenths.npy into `out`; return the number of stations.

    Raises DataError when a hand-made row names a station that isn't there, or when two
    stations of one country would carry the same name at the same height.
    """
    rows = _corrected(_read(normals), _read(out / "corrections.csv"), shown=str(out))
    fixes = {(r["country"], r["submitted_name"]): r["name"] for r in _read(out / "name_fixes.csv")}
    others = {
        (r["country"], r["submitted_name"]): r["other_names"]
        for r in _read(out / "other_names.csv")
    }
    regions = {r["submitted_name"]: r["region"] for r in _read(out / "regions.csv")}
    countries = {r["submitted_as"]: r["country"] for r in _read(out / "countries.csv")}
    seen = {(r["country"], r["station"]) for r in rows}
    named = {r["station"] for r in rows if r["country"] in REGION_COUNTRIES}
    lost = [f"{s}: no such station" for s in regions if s not in named]
    lost += [f"{c}, {s}: no such station" for c, s in (*fixes, *others) if (c, s) not in seen]
    if lost:
        raise DataError(str(out), lost)

    names = [
        fixes.get((r["country"], r["station"])) or tidy_name(r["station"], r["country"])
        for r in rows
    ]
    shown = [countries.get(r["country"], r["country"]) for r in rows]
    names = _tell_apart(names, shown, rows, regions)
    ids = _own_ids(rows, _read(out / "id_owners.csv"))
    tenths = np.array(
        [
            [round(float(r[f"{kind}_{m:02d}_c"]) * 10) for m in range(1, 13)]
            for r in rows
            for kind in ("tmax", "tmin")
        ],
        dtype="<i2",
    ).reshape(len(rows), 2, 12)
    with (out / "stations.csv").open("w", encoding="utf-8", newline="") as handle:
        writer = csv.writer(handle, lineterminator="\n")
        writer.writerow(COLUMNS)
        for row, own_id, name, country in zip(rows, ids, names, shown, strict=True):
            writer.writerow(
                (
                    own_id,
                    name,
                    _region(row, regions),
                    country,
                    f"{float(row['latitude_deg']):.3f}",
                    f"{float(row['longitude_deg']):.3f}",
                    f"{float(row['elevation_m']):g}",
                    row["station"],
                    others.get((row["country"], row["station"]), ""),
                )
            )
    np.save(out / "normals_tenths.npy", tenths, allow_pickle=False)
    return len(rows)


def _corrected(
    rows: list[dict[str, str]], corrections: list[dict[str, str]], *, shown: str
) -> list[dict[str, str]]:
    """Put right the heights and positions that can't be. Raises DataError for a lost row."""
    by_name = {(r["country"], r["station"]): r for r in rows}
    lost = []
    for wrong in corrections:
        row = by_name.get((wrong["country"], wrong["submitted_name"]))
        if row is None:
            lost.append(f"{wrong['country']}, {wrong['submitted_name']}: no such station")
        else:
            row[wrong["column"]] = wrong["value"]
    if lost:
        raise DataError(shown, lost)
    return rows


def _tell_apart(
    names: list[str], countries: list[str], rows: list[dict[str, str]], regions: dict[str, str]
) -> list[str]:
    """Put the mark of the station kind back where a country has a name twice."""
    result = list(names)
    keys = [(n, c, _region(r, regions)) for n, c, r in zip(names, countries, rows, strict=True)]
    counts = Counter(keys)
    for i, key in enumerate(keys):
        if counts[key] > 1:
            result[i] = tidy_name(rows[i]["station"], rows[i]["country"], keep_mark=True)
    return result


def _region(row: dict[str, str], regions: dict[str, str]) -> str:
    return regions.get(row["station"], "") if row["country"] in REGION_COUNTRIES else ""


def _own_ids(rows: list[dict[str, str]], owners: list[dict[str, str]]) -> list[str]:
    """Ids that name one station each.

    Some services gave several stations one id (0-20000-0-99999 stands for 877). Such a
    station gets the id with its submitted name behind, but for the one that owns it.
    """
    counts = Counter(r["station_id"] for r in rows)
    owner = {(o["published_id"], o["country"], o["submitted_name"]) for o in owners}
    ids = []
    for row in rows:
        published = row["station_id"].strip("-") or "none"
        alone = counts[published] == 1 and published != "none"
        if alone or (published, row["country"], row["station"]) in owner:
            ids.append(published)
        else:
            own = f"{published}-{_slug(row['station'].replace('_', ' '))}"
            ids.append(own[:ID_LENGTH].strip("-"))
    # Two stations of one name and one shared id: the height tells.
    heights = [f"{float(r['elevation_m']):.0f}m" for r in rows]
    doubles = {i for i, n in Counter(ids).items() if n > 1}
    return [f"{i}-{height}" if i in doubles else i for i, height in zip(ids, heights, strict=True)]


def _slug(text: str) -> str:
    return fold(text).replace(" ", "-")


def _read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def main() -> None:
    """Command line of the rebuild."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("normals", type=Path, help="CSV of the published monthly normals")
    parser.add_argument("out", type=Path, help="folder with the hand-made tables")
    args = parser.parse_args()
    print(f"{build_places(args.normals, args.out)} stations")


if __name__ == "__main__":
    main()
