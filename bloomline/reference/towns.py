"""Towns and villages of the world, found by the names that people type.

The names are one block of text, searched as such: a letter typed is one pass over five million
bytes, some ten thousandths of a second, and nothing needs to be built before the first. All else of
the table is unpacked for the towns that are found alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from bloomline.errors import UnknownNameError
from bloomline.model.place import Town
from bloomline.reference.distances import great_circles_km
from bloomline.reference.folding import fold, fold_all, near_names
from bloomline.reference.town_heights import NO_HEIGHT
from bloomline.reference.town_table import TownTable, town_table

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

_WHOLE, _START, _OWN_COUNTRY, _OTHER_NAME = 3.0, 1.0, 2.5, -1.5
"""What counts beside people, in powers of ten of them: a whole name, the start of one, a place in
the country one is in, and a name that is not the first. Judgement, no source."""

_LEAST_PEOPLE = 100.0
"""Places whose people were not counted rank like hamlets."""

_SHORTEST_LAND = 3
"""A region begun with fewer letters is only meant by a whole short form, such as UK or OR."""

_MOST_LAND_WORDS = 4
_BY_FAR = 10
_FEW = 1000
"""Hits whose names are looked at one by one; for more, all bars are found first."""


@dataclass(frozen=True, slots=True)
class TownHit:
    """A town that a text may mean.

    is_whole : the whole name was given; is_word : whole words of it.
    is_first_name : it is the town's first name. score : rank among hits, higher first.
    """

    town: Town
    is_whole: bool
    is_word: bool
    is_first_name: bool
    score: float


class Towns:
    """All towns, the largest first. Lines of text stay raw until asked for."""

    def __init__(self, table: TownTable) -> None:
        self._table = table
        self._countries = [line.split("|") for line in table.lines("countries")]

    def __len__(self) -> int:
        return self._table.n_rows("population")

    def __iter__(self) -> Iterator[Town]:
        return (self._town(i) for i in range(len(self)))

    def search(self, text: str, *, country_code: str = "", limit: int = 20) -> list[TownHit]:
        """Towns whose name, or a word of it, begins with `text`; best first.

        Accents, case and marks don't matter. Behind a comma, or behind a whole name, may stand
        county, region and country ("Bath, UK", "Springfield Illinois"). `country_code` puts the
        towns of a country first.
        """
        best: dict[int, tuple[float, int, bool, bool, bool]] = {}
        for name, lands, whole_only in _readings(text):
            hits = self._named(name, whole_only=whole_only)
            if not hits.shape[1]:
                continue
            for land in lands:
                hits = hits[:, self._in_land(hits[0], land)]
            scores = self._scores(hits, country_code)
            for at in np.argsort(-scores, kind="stable")[: 4 * max(limit, 0)]:
                index, position, whole, word, first = (int(each) for each in hits[:, at])
                entry = (float(scores[at]), position, bool(whole), bool(word), bool(first))
                if index not in best or entry[0] > best[index][0]:
                    best[index] = entry
        order = sorted(best, key=lambda index: (-best[index][0], index))[: max(limit, 0)]
        return [
            TownHit(
                self._town(index, found_at=None if best[index][4] else best[index][1]),
                is_whole=best[index][2],
                is_word=best[index][3],
                is_first_name=best[index][4],
                score=best[index][0],
            )
            for index in order
        ]

    def near(self, text: str, *, country_code: str = "", limit: int = 3) -> list[Town]:
        """Towns whose names are most like a name that none has.

        Of several of one name that of the country and the largest by far are given.
        """
        wanted = fold(_readings(text)[0][0])
        if len(wanted) < _SHORTEST_LAND:
            return []
        alike: dict[str, list[int]] = {}
        for index, name in enumerate(self._first_names):
            # Who mistypes seldom errs in the first letter and adds or drops few others.
            if name[:1] == wanted[:1] and abs(len(name) - len(wanted)) <= 2:
                alike.setdefault(name, []).append(index)
        own = self._country_index(country_code)
        found: list[int] = []
        for name in near_names(wanted, ((name, name) for name in alike), limit=limit):
            largest = alike[name][0]
            mine = next((i for i in alike[name] if self._country[i] == own), largest)
            found.append(mine)
            if self._population[largest] > _BY_FAR * self._population[mine]:
                found.append(largest)
        return [self._town(index) for index in found[: max(limit, 0)]]

    def nearest(self, latitude_deg: float, longitude_deg: float) -> tuple[Town, float]:
        """The town nearest to a position, with its distance [km]."""
        ground_km = great_circles_km(
            latitude_deg, longitude_deg, self._latitude_deg, self._longitude_deg
        )
        index = int(np.argmin(ground_km))
        return self._town(index), float(ground_km[index])

    def most_people_near(
        self, latitude_deg: float, longitude_deg: float, *, within_km: float
    ) -> int:
        """How many people the largest town near a position has, 0 where there is none."""
        near = (
            great_circles_km(latitude_deg, longitude_deg, self._latitude_deg, self._longitude_deg)
            <= within_km
        )
        return int(self._population[near].max(initial=0))

    def country_code(self, country: str) -> str:
        """The code of a country by its name, another usual name or a code.

        Raises UnknownNameError with near names.
        """
        wanted = fold(country)
        found = self._country_codes.get(wanted)
        if found is None:
            pairs = ((fold(name), names[1]) for names in self._countries for name in names[1:])
            raise UnknownNameError("country", country, near=near_names(country, pairs))
        return found

    def country_name(self, code: str) -> str:
        """The name of a country by its code of two letters, "" where there is none."""
        return next((names[1] for names in self._countries if names[0] == code), "")

    def _town(self, index: int, *, found_at: int | None = None) -> Town:
        table = self._table
        names = table.line("names", index).split("|")
        country = self._countries[table.number("country", index)]
        height_m = table.number("elevation_m", index)
        town = Town(
            name=names[0],
            county=table.line("counties", table.number("county", index)),
            region=table.line("regions", table.number("region", index)).split("|")[1],
            country=country[1],
            country_code=country[0],
            latitude_deg=table.number("latitude_mdeg", index) / 1000.0,
            longitude_deg=table.number("longitude_mdeg", index) / 1000.0,
            elevation_m=None if height_m == NO_HEIGHT else float(height_m),
            population=table.number("population", index),
        )
        if fold(town.region) in (fold(town.name), fold(town.country)):
            town = replace(town, region="")
        if found_at is None:
            return town
        which = self._folded.count(b"|", int(self._starts[index]), found_at + 1) - 1
        return replace(town, found_as=names[which])

    def _named(self, name: str, *, whole_only: bool) -> NDArray[np.int64]:
        """Where a name is found, shape (5, n).

        Rows: town, position, is the whole name, is whole words, is the town's first name.
        """
        wanted = fold(name).encode("utf-8")
        none = np.zeros((5, 0), dtype=np.int64)
        if not wanted:
            return none
        needle = b"|" + wanted + (b"|" if whole_only else b"")
        found = self._positions(needle)
        if not whole_only and len(wanted) >= _SHORTEST_LAND:
            found = np.concatenate([found, self._positions(b" " + wanted)])
        if not len(found):
            return none
        town = np.searchsorted(self._starts, found, side="right") - 1
        block = np.frombuffer(self._folded, dtype=np.uint8)
        after = block[np.minimum(found + 1 + len(wanted), len(block) - 1)]
        starts = block[found] == ord("|")
        # A word inside a first name is of that name too.
        first = found < self._first_ends(town)
        whole, word = (after == ord("|")) & starts, np.isin(after, (ord("|"), ord(" ")))
        hits = np.stack([town, found, whole, word, first]).astype(np.int64)
        # A letter or two begin some other name of half the world.
        few = len(wanted) < _SHORTEST_LAND and wanted.isascii()
        return hits[:, first] if few else hits

    def _first_ends(self, town: NDArray[np.int64]) -> NDArray[np.int64]:
        """Where the first names of some towns end."""
        if len(town) < _FEW:
            ends = [self._folded.find(b"|", int(self._starts[at]) + 1) for at in town]
            return np.array(ends, dtype=np.int64)
        bars = self._bars
        return bars[np.searchsorted(bars, self._starts[town], side="right")]

    def _positions(self, needle: bytes) -> NDArray[np.int64]:
        found, at = [], self._folded.find(needle)
        while at >= 0:
            found.append(at)
            at = self._folded.find(needle, at + len(needle))
        return np.array(found, dtype=np.int64)

    def _scores(self, hits: NDArray[np.int64], country_code: str) -> Floats:
        town, position, whole, _, first = hits
        people = np.log10(np.maximum(self._population[town], _LEAST_PEOPLE))
        block = np.frombuffer(self._folded, dtype=np.uint8)
        starts = block[position] == ord("|")
        scores: Floats = (
            people
            + np.where(whole, _WHOLE, np.where(starts & (first == 1), _START, 0.0))
            + np.where(first, 0.0, _OTHER_NAME)
            + np.where(self._country[town] == self._country_index(country_code), _OWN_COUNTRY, 0.0)
        )
        return scores

    def _in_land(self, towns: NDArray[np.int64], land: str) -> Bools:
        """Which of some towns lie in what a text names: a country, a region or a county."""
        wanted = fold(land)

        def inside(column: str, is_named: Callable[[list[int]], list[bool]]) -> Bools:
            """Asked once of each that some of the towns lie in."""
            at, back = np.unique(self._table.numbers(column)[towns], return_inverse=True)
            found: Bools = np.array(is_named(at.tolist()), dtype=bool)[back]
            return found

        countries = self._folded_countries
        found = inside("country", lambda at: [_is_land(countries[each], wanted) for each in at])
        found = found | inside("region", lambda at: self._are_regions(at, wanted))
        if len(wanted) >= _SHORTEST_LAND:
            found = found | inside("county", lambda at: self._are_counties(at, wanted))
        return found

    def _are_regions(self, at: list[int], wanted: str) -> list[bool]:
        lines = [self._table.line("regions", each).split("|")[1:] for each in at]
        return [_is_land(names, wanted) for names in _folded(lines)]

    def _are_counties(self, at: list[int], wanted: str) -> list[bool]:
        counties = fold_all([self._table.line("counties", each) for each in at])
        return [f" {wanted}" in f" {county}" for county in counties]

    def _country_index(self, code: str) -> int:
        return next((i for i, names in enumerate(self._countries) if names[0] == code), -1)

    @property
    def _population(self) -> NDArray[np.int32]:
        return self._table.numbers("population")

    @property
    def _country(self) -> NDArray[np.uint8]:
        return self._table.numbers("country")

    @cached_property
    def _latitude_deg(self) -> Floats:
        degrees: Floats = self._table.numbers("latitude_mdeg") / 1000.0
        return degrees

    @cached_property
    def _longitude_deg(self) -> Floats:
        degrees: Floats = self._table.numbers("longitude_mdeg") / 1000.0
        return degrees

    @property
    def _folded(self) -> bytes:
        """Names as the search compares them: a line a town, `|` about each."""
        return self._table.text("folded")

    @cached_property
    def _starts(self) -> NDArray[np.int64]:
        """Where the line of each town begins, and where the last one ends, shape (n + 1,)."""
        ends = np.flatnonzero(np.frombuffer(self._folded, dtype=np.uint8) == ord("\n")) + 1
        return np.concatenate([[0], ends])

    @cached_property
    def _bars(self) -> NDArray[np.int64]:
        """Positions of all bars, the ends of names."""
        return np.flatnonzero(np.frombuffer(self._folded, dtype=np.uint8) == ord("|"))

    @cached_property
    def _first_names(self) -> list[str]:
        return [line[1 : line.index("|", 1)] for line in self._folded.decode("utf-8").splitlines()]

    @cached_property
    def _folded_countries(self) -> list[list[str]]:
        return _folded(self._countries)

    @cached_property
    def _country_codes(self) -> dict[str, str]:
        return {
            name: names[0]
            for names, folded in zip(self._countries, self._folded_countries, strict=True)
            for name in folded
        }


def _readings(text: str) -> list[tuple[str, list[str], bool]]:
    """What a text may mean: name, lands, and whether the name must be whole.

    "Bath, UK" is a name and a land; "York England" may be too, and a name of two words.
    """
    head, *lands = [part.strip() for part in text.split(",")]
    # "1012 AB Amsterdam", "München 80331": the figures tell nothing here.
    plain = [word for word in head.split() if not any(c.isdigit() for c in word)]
    words = plain or head.split()
    lands = [land for land in lands if land and not any(c.isdigit() for c in land)]
    readings = [(" ".join(words), lands, False)]
    for n in range(1, min(_MOST_LAND_WORDS, len(words) - 1) + 1):
        readings.append((" ".join(words[:-n]), [" ".join(words[-n:]), *lands], True))
    return readings


def _folded(lines: list[list[str]]) -> list[list[str]]:
    """The same names, folded."""
    flat = iter(fold_all([name for names in lines for name in names]))
    return [[next(flat) for _ in names] for names in lines]


def _is_land(names: list[str], wanted: str) -> bool:
    """Whether one of some names, folded, is what is wanted, or begins so."""
    if len(wanted) < _SHORTEST_LAND:
        return wanted in names
    return any(name.startswith(wanted) for name in names)


@lru_cache(maxsize=1)
def load_towns() -> Towns:
    """Return all towns of shared/places; opened once a process.

    Raises DataError, then or as parts are unpacked, when they don't belong together.
    """
    return Towns(town_table())
