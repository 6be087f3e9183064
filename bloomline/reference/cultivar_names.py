"""All names a cultivar goes by: its own, those of the trade, older botanical and English ones."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from bloomline.data import data_root
from bloomline.model.cultivar import Cultivar
from bloomline.reference.catalogue_rows import load_kinds
from bloomline.reference.folding import fold
from bloomline.reference.tables import read_rows

_EPITHET = re.compile(r"'(.+)'")
_BRACKETS = re.compile(r"\s*\([^)]*\)")


@dataclass(frozen=True, slots=True)
class CultivarNames:
    """Names of one cultivar, all folded (no accents, quotes, capitals or sign of a hybrid).

    `own` is its name with and without what stands in brackets; `other` are whole names and names
    without a genus in use for it; `short` are epithets alone, or the species of a kind without
    one; `kinds` are the words for its sort, such as "tulip", "tulipa" and "species tulip".
    """

    own: tuple[str, ...]
    other: tuple[str, ...]
    short: tuple[str, ...]
    kinds: tuple[str, ...]

    @property
    def whole(self) -> tuple[str, ...]:
        """Its own and its other names."""
        return self.own + self.other


@dataclass(frozen=True, slots=True)
class Renaming:
    """A name in use for a plant, and the folded beginning of the names it stands for.

    `group` is set where a whole group of a genus is meant.
    """

    was: str
    now: str
    group: str
    is_common: bool


def spaced(text: str) -> str:
    """Folded words without the multiplication sign of hybrids, which people type as x."""
    return " ".join(word for word in fold(text).split() if word != "x")


def without_remark(name: str) -> str:
    """A name without remarks in brackets, such as "(unnamed)" or "(of gardens)"."""
    return _BRACKETS.sub("", name)


@lru_cache(maxsize=1)
def load_renamings() -> dict[str, tuple[Renaming, ...]]:
    """Return older, trade and English names by the first word of the name they stand for.

    Raises DataError.
    """
    found: dict[str, list[Renaming]] = {}
    for row in read_rows(data_root("shared").joinpath("catalogue", "synonyms.csv")):
        now, _, group = row["now"].partition(": ")
        each = Renaming(spaced(row["was"]), spaced(now), group, row["kind"] == "common")
        found.setdefault(each.now.split()[0], []).append(each)
    return {word: tuple(each) for word, each in found.items()}


@lru_cache(maxsize=16_384)
def names_of(cultivar: Cultivar) -> CultivarNames:
    """Return the names of a cultivar; they are worked out once for each."""
    kinds = load_kinds()
    genus = fold(cultivar.genus)
    sorts = [
        genus,
        fold(cultivar.common_type),
        *map(fold, kinds.for_genus(cultivar.genus).common_names),
        *map(fold, kinds.find(cultivar.genus, cultivar.group).common_names),
    ]
    own = _distinct((spaced(cultivar.name), spaced(without_remark(cultivar.name))))
    other = [spaced(without_remark(name)) for name in cultivar.synonyms]
    for form in (*own, *other):
        for each in load_renamings().get(form.split(" ", 1)[0], ()):
            if each.group:
                if each.now == genus and each.group == cultivar.group:
                    sorts.append(each.was)
            elif form == each.now or form.startswith(each.now + " "):
                if each.is_common and " " not in each.now:
                    sorts.append(each.was)
                else:
                    other.append(each.was + form[len(each.now) :])
    short: list[str] = []
    for name in (cultivar.name, *cultivar.synonyms):
        epithet = _EPITHET.search(name)
        if epithet:
            short.append(spaced(epithet[1]))
        elif name in cultivar.synonyms and not name.startswith(f"{cultivar.genus} "):
            short.append(spaced(without_remark(name)))
    return CultivarNames(
        own,
        _distinct(each for each in other if each not in own),
        _distinct(short),
        _distinct(sorts),
    )


def _distinct(texts: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(text for text in texts if text))
