"""The cultivars one can plant, found by any of their names; a gardener's own table merges over."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import cached_property, lru_cache
from pathlib import Path

from bloomline.data import data_root
from bloomline.errors import UnknownNameError
from bloomline.model.cultivar import Companion, Cultivar
from bloomline.reference.catalogue_rows import (
    companions_from_rows,
    cultivars_from_rows,
    load_kinds,
    merged_rows,
)
from bloomline.reference.folding import fold, near_names
from bloomline.reference.tables import Row, read_rows

# A name that fits more cultivars than this lists only so many.
MOST_CHOICES = 6

_EPITHET = re.compile(r"'(.+)'")
_BRACKETS = re.compile(r"\s*\([^)]*\)")


class Catalogue:
    """Cultivars by id, in the order of the table."""

    def __init__(self, cultivars: Iterable[Cultivar]) -> None:
        self._by_id = {cultivar.id: cultivar for cultivar in cultivars}

    def __len__(self) -> int:
        return len(self._by_id)

    def __iter__(self) -> Iterator[Cultivar]:
        return iter(self._by_id.values())

    def __contains__(self, cultivar_id: object) -> bool:
        return cultivar_id in self._by_id

    def get(self, cultivar_id: str) -> Cultivar:
        """Return the cultivar of that id. Raises UnknownNameError with near ids."""
        found = self._by_id.get(cultivar_id)
        if found is None:
            near = near_names(cultivar_id, ((fold(i), i) for i in self._by_id))
            raise UnknownNameError("cultivar", cultivar_id, near=near)
        return found

    def find(self, text: str) -> Cultivar:
        """Return the cultivar meant by an id, a name, an epithet or a synonym.

        Case, accents, quotes, blanks, hyphens and the sign × don't matter. A botanical name
        without an epithet finds the only row of that species. Raises UnknownNameError that
        names near misses, or all that could be meant.
        """
        if text in self._by_id:
            return self._by_id[text]
        key = _key(text)
        for tier in self._tiers:
            hits = tier.get(key)
            if hits:
                return self._only(hits, text)
        words = _spaced(text)
        if " " in words:
            hits = [
                c.id
                for c, forms in self._spaced_names
                if any(form.startswith(words + " ") for form in forms)
            ]
            if hits:
                return self._only(hits, text)
        of_kind = [c.id for c in self if words in self._types[c.id]]
        if of_kind:
            return self._only(of_kind, text)
        raise UnknownNameError("cultivar", text, near=self._near(text))

    def search(
        self,
        text: str = "",
        *,
        common_type: str | None = None,
        colour: str | None = None,
        scent_min: int | None = None,
        height_min_cm: float | None = None,
        height_max_cm: float | None = None,
        month: int | None = None,
        pet_safe: bool | None = None,
    ) -> list[Cultivar]:
        """Return the cultivars that hold every word of `text` and pass every filter given.

        Names that start with the text come first, then the order of the table. `month` is a
        month in flower near London; `pet_safe` keeps those with no known harm (or the others).
        """
        words = fold(text).split()
        found: list[tuple[bool, int, Cultivar]] = []
        for order, (cultivar, haystack) in enumerate(self._haystacks):
            if not all(word in haystack for word in words):
                continue
            if common_type is not None and fold(common_type) not in self._types[cultivar.id]:
                continue
            if colour is not None and fold(colour) not in fold(cultivar.colour):
                continue
            if scent_min is not None and cultivar.scent < scent_min:
                continue
            if height_min_cm is not None and cultivar.height_cm < height_min_cm:
                continue
            if height_max_cm is not None and cultivar.height_cm > height_max_cm:
                continue
            if month is not None and month not in _months(cultivar):
                continue
            if pet_safe is not None and (cultivar.toxic_pets == 0) is not pet_safe:
                continue
            epithet = fold(_epithet(cultivar.name) or cultivar.name)
            found.append((not epithet.startswith(fold(text)), order, cultivar))
        found.sort(key=lambda hit: hit[:2])
        return [cultivar for _, _, cultivar in found]

    def with_own(self, own: Iterable[Cultivar]) -> Catalogue:
        """Return a catalogue in which `own` stand beside, or in place of, those of one id."""
        return Catalogue([*({**self._by_id, **{c.id: c for c in own}}).values()])

    def _only(self, ids: Iterable[str], text: str) -> Cultivar:
        unique = sorted(set(ids), key=list(self._by_id).index)
        if len(unique) == 1:
            return self._by_id[unique[0]]
        names = [self._by_id[i].name for i in unique[:MOST_CHOICES]]
        if len(unique) > MOST_CHOICES:
            names.append(f"{len(unique) - MOST_CHOICES} more")
        raise UnknownNameError("single cultivar", text, near=names)

    def _near(self, text: str) -> list[str]:
        return near_names(
            text,
            (
                (form, cultivar.name)
                for cultivar, forms in self._spaced_names
                for form in (*forms, *(_spaced(e) for e in _epithets(cultivar)))
            ),
        )

    @cached_property
    def _tiers(self) -> tuple[dict[str, list[str]], ...]:
        """Compact names to ids: whole names first, then other whole names, then epithets."""
        whole: dict[str, list[str]] = {}
        other: dict[str, list[str]] = {}
        short: dict[str, list[str]] = {}
        kinds = load_kinds()
        for c in self:
            for name in (c.id, c.name, _BRACKETS.sub("", c.name)):
                whole.setdefault(_key(name), []).append(c.id)
            prefixes = (c.genus, c.common_type, *kinds.for_genus(c.genus).common_names)
            for name in c.synonyms:
                other.setdefault(_key(_BRACKETS.sub("", name)), []).append(c.id)
            for epithet in _epithets(c):
                short.setdefault(_key(epithet), []).append(c.id)
                for prefix in prefixes:
                    other.setdefault(_key(f"{prefix} {epithet}"), []).append(c.id)
        return whole, other, short

    @cached_property
    def _spaced_names(self) -> list[tuple[Cultivar, tuple[str, ...]]]:
        return [
            (
                c,
                tuple(
                    _spaced(name) for name in (c.name, *(_BRACKETS.sub("", s) for s in c.synonyms))
                ),
            )
            for c in self
        ]

    @cached_property
    def _types(self) -> dict[str, tuple[str, ...]]:
        kinds = load_kinds()
        return {
            c.id: tuple(
                fold(name)
                for name in (c.common_type, c.genus, *kinds.for_genus(c.genus).common_names)
            )
            for c in self
        }

    @cached_property
    def _haystacks(self) -> list[tuple[Cultivar, str]]:
        return [
            (c, fold(" ".join((c.name, *c.synonyms, c.group, c.colour, *self._types[c.id]))))
            for c in self
        ]


def load_catalogue(extra: Path | None = None) -> Catalogue:
    """Return the catalogue, with a gardener's own table merged over it by id.

    The own table has the same columns; a row whose id is known needs only what it changes, and
    a cell that says "none" empties a value. Raises DataError that names file, row, column,
    value and what is allowed; FileProblemError when the file can't be read as a table.
    """
    if extra is None:
        return _shipped()
    base = _shipped_rows()
    rows = merged_rows(base, read_rows(extra), shown=str(extra))
    return _shipped().with_own(cultivars_from_rows(rows, shown=str(extra)))


@lru_cache(maxsize=1)
def load_companions() -> tuple[Companion, ...]:
    """Return the plants commonly set on top of bulb pots. Raises DataError."""
    table = data_root("shared").joinpath("catalogue", "companions.csv")
    return companions_from_rows(read_rows(table), shown="shared/catalogue/companions.csv")


@lru_cache(maxsize=1)
def _shipped_rows() -> tuple[Row, ...]:
    return tuple(read_rows(data_root("shared").joinpath("catalogue", "cultivars.csv")))


@lru_cache(maxsize=1)
def _shipped() -> Catalogue:
    return Catalogue(cultivars_from_rows(_shipped_rows(), shown="shared/catalogue/cultivars.csv"))


def _spaced(text: str) -> str:
    """Folded words without the multiplication sign of hybrids, which people type as x."""
    return " ".join(word for word in fold(text).split() if word != "x")


def _key(text: str) -> str:
    return _spaced(text).replace(" ", "")


def _epithet(name: str) -> str | None:
    match = _EPITHET.search(name)
    return match[1] if match else None


def _epithets(cultivar: Cultivar) -> list[str]:
    """Epithets of the name and synonyms; a synonym of one bare name counts as one."""
    found = []
    for name in (cultivar.name, *cultivar.synonyms):
        epithet = _epithet(name)
        if epithet is not None:
            found.append(epithet)
        elif name in cultivar.synonyms and not name.startswith(f"{cultivar.genus} "):
            found.append(_BRACKETS.sub("", name))
    return found


def _months(cultivar: Cultivar) -> set[int]:
    first, last = cultivar.ref_start.month, cultivar.ref_end.month
    return {(first - 1 + step) % 12 + 1 for step in range((last - first) % 12 + 1)}
