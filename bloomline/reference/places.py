"""Weather stations of the world with their normals: found by name, by place, by country."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Sequence
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bloomline.data import data_root
from bloomline.errors import DataError, UnknownNameError
from bloomline.model.place import Station
from bloomline.reference.distances import great_circles_km
from bloomline.reference.folding import fold, fold_all, letters_of, near_names
from bloomline.reference.tables import read_rows

# How far a station may lie for 100 m less of height difference. Measured by leaving each
# station out: see shared/places/README.md, "Height in the distance".
KM_PER_100_M = 12.0

_ID = re.compile(r"\d-\d+-\d+-\S+|\d{5,}")

# Stations of one name this close to one another are one place to a gardener.
SAME_PLACE_KM = 40.0

_REMEMBERED = 64

_Rows = Sequence[Sequence[str]]
_Folded = tuple[str, tuple[str, ...], str]


class Places:
    """All stations. Rows stay raw until asked for, so that loading is quick."""

    def __init__(
        self, rows: _Rows, normals_tenths: NDArray[np.int16], other_countries: dict[str, str]
    ) -> None:
        self._rows = rows
        self._normals = normals_tenths
        self._other_countries = other_countries
        self._index = {row[0]: i for i, row in enumerate(rows)}
        self._answers: dict[str, list[int]] = {}
        self._known_folded: dict[int, _Folded] = {}
        self._lands: dict[tuple[str, str], str] = {}

    def __len__(self) -> int:
        return len(self._rows)

    def __iter__(self) -> Iterator[Station]:
        return (self._station(i) for i in range(len(self)))

    def get(self, station_id: str) -> Station:
        """Return the station of that id. Raises UnknownNameError."""
        wanted = station_id.strip()
        index = self._index.get(wanted)
        if index is None:
            # Some published ids stand for many stations; ours add the name to those.
            near = [known for known in self._index if known.startswith(f"{wanted}-")][:4]
            raise UnknownNameError("station", station_id, near=near if wanted else ())
        return self._station(index)

    def at(self, row: int) -> Station:
        """The station of a row of the table, as `distances_km` and `elevations_m` have them."""
        return self._station(row)

    def search(self, text: str, *, limit: int = 20) -> list[Station]:
        """Return stations whose name holds every word of `text`; best first.

        Accents, case and marks don't matter; each word may be a part of a name, and hits at
        the start of a name, then of a word, come first. After a comma stands the country or
        state ("perth, australia"). A station id finds that station.
        """
        return [self._station(i) for i in self._ranked(text)[: max(limit, 0)]]

    def find(self, text: str) -> Station:
        """Return the one station meant by an id, a name, or "name, country".

        The name may be the tidy one or the one submitted. Stations that share a name stand for
        one place when all lie within SAME_PLACE_KM: then the middle one answers. Raises
        UnknownNameError that lists what else could be meant.
        """
        wanted = text.strip()
        if wanted in self._index or _ID.fullmatch(wanted):
            return self.get(wanted)
        ranked = self._ranked(wanted)
        if not ranked:
            raise UnknownNameError("place", text, near=self._near(wanted))
        name = fold(wanted.split(",")[0])
        for test in (self._is_name, self._starts):
            hits = [i for i in ranked if test(i, name)]
            if hits:
                return self._only(hits, text)
        return self._only(ranked, text)

    def nearest(
        self,
        latitude_deg: float,
        longitude_deg: float,
        *,
        elevation_m: float | None = None,
        limit: int = 1,
    ) -> list[tuple[Station, float]]:
        """Return the stations that stand best for a point, with their distance [km].

        With `elevation_m` a height difference counts as distance in the ranking (KM_PER_100_M
        for each 100 m, at a right angle to the way over ground); the distance returned is the
        great circle alone.
        """
        ground_km = self.distances_km(latitude_deg, longitude_deg)
        ranking = ground_km
        if elevation_m is not None:
            height_km = (self.elevations_m - elevation_m) * (KM_PER_100_M / 100.0)
            ranking = np.hypot(ground_km, height_km)
        count = min(max(limit, 0), len(self))
        order = np.argsort(ranking, kind="stable")[:count]
        return [(self._station(int(i)), float(ground_km[i])) for i in order]

    def within(
        self, latitude_deg: float, longitude_deg: float, radius_km: float
    ) -> list[tuple[Station, float]]:
        """Return the stations within a radius with their distance [km], nearest first."""
        ground_km = self.distances_km(latitude_deg, longitude_deg)
        inside = np.flatnonzero(ground_km <= radius_km)
        order = inside[np.argsort(ground_km[inside], kind="stable")]
        return [(self._station(int(i)), float(ground_km[i])) for i in order]

    def in_country(self, country: str) -> list[Station]:
        """Return the stations of a country (also by another usual name), by name.

        Raises UnknownNameError with near names.
        """
        wanted = fold(country)
        shown = self._country_names.get(wanted)
        if shown is None:
            near = near_names(country, ((f, s) for f, s in self._country_names.items()))
            raise UnknownNameError("country", country, near=near)
        found = [self._station(i) for i, row in enumerate(self._rows) if row[3] == shown]
        return sorted(found, key=lambda s: (fold(s.name), s.station_id))

    def countries(self) -> list[str]:
        """Return the names of all countries, sorted."""
        return sorted({row[3] for row in self._rows}, key=fold)

    def distances_km(self, latitude_deg: float, longitude_deg: float) -> NDArray[np.float64]:
        """Great-circle distance to every station. [km], shape (n_stations,)

        Raises DataError for a latitude or longitude that is none.
        """
        if not (-90.0 <= latitude_deg <= 90.0):
            raise DataError("place", [f"latitude {latitude_deg} is not between -90 and 90"])
        if not (-180.0 <= longitude_deg <= 360.0):
            raise DataError("place", [f"longitude {longitude_deg} is not between -180 and 180"])
        return great_circles_km(
            latitude_deg, longitude_deg, self.latitudes_deg, self.longitudes_deg
        )

    def _station(self, index: int) -> Station:
        station_id, name, region, country, lat, lon, elevation, submitted, _ = self._rows[index]
        normals = self._normals[index] / 10.0
        factor, note = self._narrowed(country, submitted)
        if factor != 1.0:
            # About the middle of each month's range, which agrees with the published mean.
            normals = normals.mean(axis=0) + factor * (normals - normals.mean(axis=0))
        tmax, tmin = normals.tolist()
        return Station(
            station_id=station_id,
            name=name,
            country=country,
            latitude_deg=float(lat),
            longitude_deg=float(lon),
            elevation_m=float(elevation),
            tmax_c=tuple(tmax),
            tmin_c=tuple(tmin),
            region=region,
            submitted_name=submitted,
            note=note,
        )

    def _narrowed(self, country: str, submitted: str) -> tuple[float, str]:
        """Factor on a station's daily range, and why, where the range can't be a day's."""
        return self._extremes.get((country, submitted)) or self._extremes.get(
            (country, ""), (1.0, "")
        )

    @cached_property
    def _extremes(self) -> dict[tuple[str, str], tuple[float, str]]:
        rows = read_rows(data_root("shared").joinpath("places", "extremes.csv"))
        return {
            (row["country"], row["submitted_name"]): (float(row["range_factor"]), row["reason"])
            for row in rows
        }

    def _column(self, column: int) -> NDArray[np.float64]:
        return np.array([row[column] for row in self._rows], dtype=np.float64)

    @cached_property
    def latitudes_deg(self) -> NDArray[np.float64]:
        """Latitude of every station, shape (n_stations,)."""
        return self._column(4)

    @cached_property
    def longitudes_deg(self) -> NDArray[np.float64]:
        """Longitude of every station, shape (n_stations,)."""
        return self._column(5)

    @cached_property
    def elevations_m(self) -> NDArray[np.float64]:
        """Height of every station, shape (n_stations,). [m]"""
        return self._column(6)

    @cached_property
    def _letters(self) -> list[str]:
        """All names of each row; a word that isn't in them isn't in the folded ones."""
        return letters_of([f"{row[1]}|{row[7]}|{row[8]}" for row in self._rows])

    def _folded(self, indices: Sequence[int]) -> list[_Folded]:
        """Name; names as submitted and in other tongues; region, country, its other names."""
        new = [index for index in indices if index not in self._known_folded]
        rows = [self._rows[index] for index in new]
        names = fold_all([row[1] for row in rows])
        submitted = fold_all([row[7] for row in rows])
        others = iter(fold_all([n for row in rows if row[8] for n in row[8].split(";")]))
        for index, name, sent, row in zip(new, names, submitted, rows, strict=True):
            more = [next(others) for _ in row[8].split(";")] if row[8] else ()
            self._known_folded[index] = (name, (sent, *more), self._land(row[2], row[3]))
        return [self._known_folded[index] for index in indices]

    def _land(self, region: str, country: str) -> str:
        if (region, country) not in self._lands:
            named = (region, country, self._other_countries.get(country, ""))
            at_first, *rest = (fold(each) for each in named)
            land = " ".join(rest)
            self._lands[region, country] = f"{at_first} {land}" if at_first else land
        return self._lands[region, country]

    @cached_property
    def _country_names(self) -> dict[str, str]:
        names: dict[str, str] = {}
        for country in {row[3] for row in self._rows}:
            names[fold(country)] = country
            for other in self._other_countries.get(country, "").split(";"):
                if other:
                    names[fold(other)] = country
        return names

    def _ranked(self, text: str) -> list[int]:
        """Rows that a text can mean, best first; the last few texts are remembered."""
        if text not in self._answers:
            if len(self._answers) >= _REMEMBERED:
                self._answers.clear()
            self._answers[text] = self._rank_all(text)
        return self._answers[text]

    def _rank_all(self, text: str) -> list[int]:
        wanted = text.strip()
        if wanted in self._index:
            return [self._index[wanted]]
        head, _, tail = wanted.partition(",")
        # A label typed back ("Heathrow, United Kingdom, 25 m") ends in the height.
        lands = [fold(part) for part in tail.split(",") if not _is_height(part)]
        lands = [land for land in lands if land]
        words = fold(head).split()
        if not words:
            return []
        ranked: list[tuple[int, int, str, int]] = []
        may = [i for i, letters in enumerate(self._letters) if words[0] in letters]
        for i, (name, others, land) in zip(may, self._folded(may), strict=True):
            if words[0] not in name and all(words[0] not in other for other in others):
                continue
            if not all(_starts_word(land, wanted_land) for wanted_land in lands):
                continue
            if all(w in name for w in words):
                ranked.append((_rank(name, others, words), len(name), land, i))
            elif any(all(w in other for w in words) for other in others):
                best = min(_rank(other, others, words) for other in others)
                ranked.append((best, len(name), land, i))
            elif words[0] in name and _rest_is_land(name, land, words):
                ranked.append((4, len(name), land, i))
        ranked.sort()
        return [entry[-1] for entry in ranked]

    def _only(self, hits: list[int], text: str) -> Station:
        """The one hit, or the middle one of hits that are one place; else an error."""
        if len(hits) == 1:
            return self._station(hits[0])
        if len(hits) <= 6:
            stations = [self._station(i) for i in hits]
            spread = [
                self.distances_km(s.latitude_deg, s.longitude_deg)[hits].max() for s in stations
            ]
            if max(spread) <= SAME_PLACE_KM:
                return stations[int(np.argmin(spread))]
        near = [self._choice(i) for i in hits[:6]]
        raise UnknownNameError("single place", text, near=near)

    def _is_name(self, index: int, name: str) -> bool:
        ((shown, others, _),) = self._folded([index])
        return name == shown or name in others

    def _starts(self, index: int, name: str) -> bool:
        return self._folded([index])[0][0].startswith(name + " ")

    def _choice(self, index: int) -> str:
        row = self._rows[index]
        land = f"{row[2]}, {row[3]}" if row[2] else row[3]
        return f"{row[1]}, {land} ({row[0]})"

    def _near(self, text: str) -> list[str]:
        pairs = (
            (names[0], f"{row[1]}, {row[3]}")
            for names, row in zip(self._folded(range(len(self))), self._rows, strict=True)
        )
        return near_names(text.split(",")[0], pairs)


def _rank(name: str, others: tuple[str, ...], words: list[str]) -> int:
    phrase = " ".join(words)
    if phrase == name or phrase in others:
        return 0
    if name.startswith(phrase):
        return 1
    return 2 if all(_starts_word(name, word) for word in words) else 3


def _rest_is_land(name: str, land: str, words: list[str]) -> bool:
    return all(w in name or _starts_word(land, w) for w in words[1:])


def _starts_word(text: str, start: str) -> bool:
    return f" {start}" in f" {text}"


def _is_height(text: str) -> bool:
    number = text.strip().removesuffix("m").strip().lstrip("-")
    return text.strip().endswith("m") and number.isdigit()


@lru_cache(maxsize=1)
def load_places() -> Places:
    """Return all stations of shared/places; read once a process.

    Raises DataError when the tables don't belong together.
    """
    folder = data_root("shared").joinpath("places")
    reader = csv.reader(io.StringIO(folder.joinpath("stations.csv").read_text("utf-8")))
    next(reader)
    rows = list(reader)
    with folder.joinpath("normals_tenths.npy").open("rb") as handle:
        normals: NDArray[Any] = np.load(handle, allow_pickle=False)
    if normals.shape != (len(rows), 2, 12):
        raise DataError(
            "shared/places", [f"{len(rows)} stations, but normals of shape {normals.shape}"]
        )
    countries = csv.DictReader(io.StringIO(folder.joinpath("countries.csv").read_text("utf-8")))
    others: dict[str, str] = {}
    for row in countries:
        if row["other_names"]:
            known = [others[row["country"]]] if row["country"] in others else []
            others[row["country"]] = ";".join([*known, row["other_names"]])
    return Places(rows, normals, others)
