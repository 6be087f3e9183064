"""The cultivars one can plant, found by any of their names; a gardener's own table merges over."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import cached_property, lru_cache
from pathlib import Path

from bloomline.data import data_root
from bloomline.errors import UnknownNameError
from bloomline.model.cultivar import Companion, Cultivar
from bloomline.reference.catalogue_rows import (
    KIND_COLUMNS,
    companions_from_rows,
    cultivars_from_rows,
    merged_rows,
)
from bloomline.reference.cultivar_names import CultivarNames, names_of, spaced, without_remark
from bloomline.reference.folding import fold, fold_all, near_names
from bloomline.reference.name_index import NameIndex
from bloomline.reference.tables import ROW_NUMBER, Row, read_rows

# A name that fits more cultivars than this lists only so many.
MOST_CHOICES = 6


class KindsById(Mapping[str, Cultivar]):
    """Kinds by id, each made when it is first asked for; most questions are about few of them.

    names : of all, by id, in their order. make : what makes a kind by its id. made : those that
    there are already.
    """

    def __init__(
        self,
        names: Mapping[str, str],
        *,
        make: Callable[[str], Cultivar],
        made: Mapping[str, Cultivar],
    ) -> None:
        self.names = names
        self._make = make
        self._made = dict(made)

    def __getitem__(self, cultivar_id: str) -> Cultivar:
        found = self._made.get(cultivar_id)
        if found is None:
            found = self._made.setdefault(cultivar_id, self._make(cultivar_id))
        return found

    def __contains__(self, cultivar_id: object) -> bool:
        return cultivar_id in self.names

    def __iter__(self) -> Iterator[str]:
        return iter(self.names)

    def __len__(self) -> int:
        return len(self.names)

    @property
    def n_made(self) -> int:
        """How many were made so far."""
        return len(self._made)

    def with_own(self, own: Mapping[str, Cultivar]) -> KindsById:
        """The same with others beside, or in place of, those of one id."""
        names = {**self.names, **{name: each.name for name, each in own.items()}}
        return KindsById(names, make=self.__getitem__, made=own)


_NONE = KindsById({}, make=dict[str, Cultivar]().__getitem__, made={})


class Catalogue:
    """Cultivars by id, in the order of the table."""

    def __init__(self, cultivars: Iterable[Cultivar], *, over: KindsById = _NONE) -> None:
        own = {cultivar.id: cultivar for cultivar in cultivars}
        self._by_id = over.with_own(own) if own else over

    def __len__(self) -> int:
        return len(self._by_id)

    @property
    def n_made(self) -> int:
        """How many kinds were made so far; the others are rows of a table."""
        return self._by_id.n_made

    def __iter__(self) -> Iterator[Cultivar]:
        return iter(self._by_id.values())

    def __contains__(self, cultivar_id: object) -> bool:
        return cultivar_id in self._by_id

    def get(self, cultivar_id: str) -> Cultivar:
        """Return the cultivar of that id. Raises UnknownNameError with near ids."""
        if cultivar_id not in self._by_id:
            near = near_names(cultivar_id, ((fold(i), i) for i in self._by_id))
            raise UnknownNameError("cultivar", cultivar_id, near=near)
        return self._by_id[cultivar_id]

    def find(self, text: str) -> Cultivar:
        """Return the cultivar meant by an id, a name, an epithet or a synonym.

        Case, accents, quotes, blanks, hyphens and the sign × don't matter, nor the order of the
        words, nor one wrong letter in a long word. Older botanical, trade and English names do
        as well. A botanical name without an epithet finds the only row of that species. Raises
        UnknownNameError that names the nearest, or all that could be meant.
        """
        if text in self._by_id:
            return self._by_id[text]
        key = _key(text)
        hits = self._own_names.get(key) or next(
            (hits for tier in self._other_names if (hits := tier.get(key))), None
        )
        if hits:
            return self._only(hits, text)
        words = spaced(text)
        if " " in words:
            hits = [
                name
                for name, each in self._names.items()
                if any(form.startswith(words + " ") for form in each.whole)
            ]
            if hits:
                return self._only(hits, text)
        of_kind = [name for name, each in self._names.items() if words in each.kinds]
        if of_kind:
            return self._only(of_kind, text)
        sure, some = self.index.meant(words.split())
        hits = sure or (self.index.mended(words.split()) if not some else [])
        if hits:
            return self._only(hits, text)
        if len(some) > 1:
            self._only(some, text)
        near = some or self.index.nearest(text)
        raise UnknownNameError("cultivar", text, near=[self._by_id.names[name] for name in near])

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
        """Return the cultivars that every word of `text` fits and that pass every filter given.

        The words may stand in any order. Those whose epithet or kind is named come first, else
        it is the order of the table. `month` is a month in flower near London; `pet_safe` keeps
        those with no known harm (or the others).
        """
        ranks = self.index.search(spaced(text).split())
        found: list[tuple[int, int, Cultivar]] = []
        for order, cultivar in enumerate(self):
            if cultivar.id not in ranks:
                continue
            if common_type is not None and not self.is_kind(cultivar, common_type):
                continue
            if colour is not None and fold(colour) not in fold(cultivar.colour):
                continue
            if scent_min is not None and cultivar.scent < scent_min:
                continue
            if height_min_cm is not None and cultivar.height_cm < height_min_cm:
                continue
            if height_max_cm is not None and cultivar.height_cm > height_max_cm:
                continue
            if month is not None and month not in months_near_london(cultivar):
                continue
            if pet_safe is not None and (cultivar.toxic_pets == 0) is not pet_safe:
                continue
            found.append((ranks[cultivar.id], order, cultivar))
        found.sort(key=lambda hit: hit[:2])
        return [cultivar for _, _, cultivar in found]

    def is_kind(self, cultivar: Cultivar, kind: str) -> bool:
        """Whether a cultivar is of a kind, named in any usual way ("daffodils", "Narcissus")."""
        return cultivar.id in self.index.of_kind(kind)

    def with_own(self, own: Iterable[Cultivar]) -> Catalogue:
        """Return a catalogue in which `own` stand beside, or in place of, those of one id."""
        mine = tuple(own)
        return Catalogue(mine, over=self._by_id) if mine else self

    def _only(self, ids: Iterable[str], text: str) -> Cultivar:
        unique = sorted(set(ids), key=list(self._by_id).index)
        if len(unique) == 1:
            return self._by_id[unique[0]]
        names = [self._by_id.names[i] for i in unique[:MOST_CHOICES]]
        if len(unique) > MOST_CHOICES:
            names.append(f"{len(unique) - MOST_CHOICES} more")
        raise UnknownNameError("single cultivar", text, near=names)

    @cached_property
    def index(self) -> NameIndex:
        """The words of all names, to search by."""
        return NameIndex(self, self._names)

    @cached_property
    def _names(self) -> dict[str, CultivarNames]:
        return {c.id: names_of(c) for c in self}

    @cached_property
    def _own_names(self) -> dict[str, list[str]]:
        """Compact ids and own names to ids; most ask by these, and they are made sooner."""
        names = self._by_id.names
        named = [*names.items(), *((name, name) for name in names)]
        named += [(key, without_remark(name)) for key, name in names.items() if "(" in name]
        found: dict[str, list[str]] = {}
        forms = fold_all([text for _, text in named])
        for (cultivar_id, _), form in zip(named, forms, strict=True):
            found.setdefault(_joined(form), []).append(cultivar_id)
        return found

    @cached_property
    def _other_names(self) -> tuple[dict[str, list[str]], ...]:
        """Compact names to ids: other whole names first, then epithets."""
        other: dict[str, list[str]] = {}
        short: dict[str, list[str]] = {}
        for name, each in self._names.items():
            for form in each.other:
                other.setdefault(_key(form), []).append(name)
            for form in each.short:
                short.setdefault(_key(form), []).append(name)
                for kind in each.kinds:
                    other.setdefault(_key(f"{kind} {form}"), []).append(name)
        return other, short


def load_catalogue(extra: Path | None = None) -> Catalogue:
    """Return the catalogue, with a gardener's own table merged over it by id.

    The own table has the same columns; a row whose id is known needs only what it changes, and
    a cell that says "none" empties a value. Raises DataError that names file, row, column,
    value and what is allowed; FileProblemError when the file can't be read as a table.
    """
    if extra is None:
        return _shipped()
    return _shipped().with_own(kinds_from(read_rows(extra), shown=str(extra)))


def kind_columns() -> list[str]:
    """The columns of a table of kinds: the catalogue's, and those of their class."""
    shipped = [name for name in _shipped_rows()[0] if name != ROW_NUMBER]
    return [*shipped, *(name for name in KIND_COLUMNS if name not in shipped)]


def kinds_from(rows: Sequence[Row], *, shown: str) -> tuple[Cultivar, ...]:
    """Checked cultivars of an own table's rows; a row of a shipped id fills it up.

    Mixtures come last; their kinds are the table's or the shipped ones. Raises DataError.
    """
    # Read here: mixtures are parts of a yard, and the shipped catalogue has none.
    from bloomline.reference.mixture_rows import mixtures_from, split_rows

    single, mixed = split_rows(rows)
    kinds = cultivars_from_rows(merged_rows(_shipped_rows(), single, shown=shown), shown=shown)
    if not mixed:
        return kinds
    known, taken = _shipped().with_own(kinds), [kind.id for kind in kinds]
    return (*kinds, *mixtures_from(mixed, known.find, taken=taken, shown=shown))


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
    rows = {row["id"]: row for row in _shipped_rows()}

    def make(cultivar_id: str) -> Cultivar:
        (made,) = cultivars_from_rows([rows[cultivar_id]], shown="shared/catalogue/cultivars.csv")
        return made

    names = {cultivar_id: row["name"] for cultivar_id, row in rows.items()}
    return Catalogue((), over=KindsById(names, make=make, made={}))


def _key(text: str) -> str:
    return _joined(fold(text))


def _joined(folded: str) -> str:
    """Folded words without blanks, and without the sign of hybrids."""
    return "".join(word for word in folded.split() if word != "x")


def months_near_london(cultivar: Cultivar) -> set[int]:
    """The months, 1 to 12, in which a cultivar flowers at the reference garden."""
    first, last = cultivar.ref_start.month, cultivar.ref_end.month
    return {(first - 1 + step) % 12 + 1 for step in range((last - first) % 12 + 1)}
