"""What stands on the shelf, and which of it passes the filters. Knows no Qt."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from datetime import date
from enum import StrEnum

from bloomline.draw.base.petals import Family, family_of
from bloomline.model.cultivar import Cultivar
from bloomline.plan.season.shelf import ShelfWindow
from bloomline.reference.folding import fold

NO_WINDOWS: Mapping[str, ShelfWindow] = {}


class Order(StrEnum):
    """How the shelf is sorted."""

    FLOWERING = "flowering"
    NAME = "name"
    HEIGHT = "height"


@dataclass(frozen=True, slots=True)
class Entry:
    """One kind on the shelf, with what searching and sorting need worked out once.

    `words` hold every name it goes by, folded: without accents, quotes and capitals.
    """

    cultivar: Cultivar
    words: str
    sort_name: str
    family: Family
    own: bool


@dataclass(frozen=True, slots=True)
class ShelfFilter:
    """What the gardener asks for; None and False ask for nothing."""

    text: str = ""
    kind: str | None = None
    family: Family | None = None
    scented: bool = False
    height_from_cm: float | None = None
    height_to_cm: float | None = None
    month: int | None = None
    pet_safe: bool = False
    flowers_well: bool = False

    @property
    def is_empty(self) -> bool:
        """Whether nothing is asked for."""
        return self == ShelfFilter()

    @property
    def count(self) -> int:
        """How many things are asked for; a height range counts once."""
        asked = [field.name for field in fields(self) if getattr(self, field.name)]
        return len(asked) - ("height_from_cm" in asked and "height_to_cm" in asked)


def entry_of(cultivar: Cultivar, *, own: bool = False) -> Entry:
    """Make the entry of a cultivar."""
    names = (cultivar.name, *cultivar.synonyms, cultivar.common_type, cultivar.genus)
    return Entry(
        cultivar=cultivar,
        words=fold(" ".join((*names, cultivar.group, cultivar.colour))),
        sort_name=fold(cultivar.name),
        family=family_of(cultivar.colour_hex),
        own=own,
    )


def entries_of(catalogue: Iterable[Cultivar], *, own: Iterable[Cultivar]) -> tuple[Entry, ...]:
    """Everything on the shelf; the yard's own kinds stand in place of those of the same id."""
    mine = {cultivar.id: cultivar for cultivar in own}
    shared = [cultivar for cultivar in catalogue if cultivar.id not in mine]
    return (
        *(entry_of(cultivar, own=True) for cultivar in mine.values()),
        *(entry_of(cultivar) for cultivar in shared),
    )


def kinds_of(entries: Iterable[Entry]) -> tuple[str, ...]:
    """The kinds (tulip, daffodil …) that are on the shelf, by name."""
    return tuple(sorted({entry.cultivar.common_type for entry in entries}))


def passes(entry: Entry, wanted: ShelfFilter, window: ShelfWindow | None) -> bool:
    """Whether an entry passes all filters but the text.

    Where no window is worked out yet, what depends on it passes.
    """
    cultivar = entry.cultivar
    if wanted.kind is not None and cultivar.common_type != wanted.kind:
        return False
    if wanted.family is not None and entry.family != wanted.family:
        return False
    if wanted.scented and cultivar.scent == 0:
        return False
    if wanted.pet_safe and cultivar.toxic_pets > 0:
        return False
    if wanted.height_from_cm is not None and cultivar.height_cm < wanted.height_from_cm:
        return False
    if wanted.height_to_cm is not None and cultivar.height_cm > wanted.height_to_cm:
        return False
    if window is None:
        return True
    if wanted.month is not None and wanted.month not in window.months:
        return False
    return not wanted.flowers_well or window.flowers_well


def filtered(
    entries: Iterable[Entry],
    wanted: ShelfFilter,
    *,
    windows: Mapping[str, ShelfWindow] = NO_WINDOWS,
    order: Order = Order.FLOWERING,
) -> tuple[Entry, ...]:
    """Entries that hold every word of the text and pass the filters, in order."""
    words = fold(wanted.text).split()
    found = [
        entry
        for entry in entries
        if all(word in entry.words for word in words)
        and passes(entry, wanted, windows.get(entry.cultivar.id))
    ]
    if order is Order.NAME:
        found.sort(key=lambda entry: entry.sort_name)
    elif order is Order.HEIGHT:
        found.sort(key=lambda entry: (entry.cultivar.height_cm, entry.sort_name))
    else:
        found.sort(key=lambda entry: (_opens(windows.get(entry.cultivar.id)), entry.sort_name))
    return tuple(found)


def _opens(window: ShelfWindow | None) -> date:
    """First flower; what doesn't flower comes last."""
    return window.start.p50 if window is not None and window.start is not None else date.max


def count_in_month(
    entries: Iterable[Entry], month: int, *, windows: Mapping[str, ShelfWindow]
) -> int:
    """How many of the entries are in flower in a month here."""
    return sum(
        1
        for entry in entries
        if (window := windows.get(entry.cultivar.id)) is not None and month in window.months
    )
