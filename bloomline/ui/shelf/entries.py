"""What stands on the shelf, and which of it passes the filters. Knows no Qt."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields
from datetime import date
from enum import StrEnum

from bloomline.draw.base.petals import Family, family_of
from bloomline.model.cultivar import Cultivar
from bloomline.plan.season.kinds_asked import KindsFound, find_kinds
from bloomline.plan.season.shelf import ShelfWindow
from bloomline.plan.shop.cupboard import Stock
from bloomline.reference.catalogue import Catalogue
from bloomline.reference.folding import fold

NO_WINDOWS: Mapping[str, ShelfWindow] = {}


class Order(StrEnum):
    """How the shelf is sorted."""

    FLOWERING = "flowering"
    NAME = "name"
    HEIGHT = "height"


@dataclass(frozen=True, slots=True)
class Entry:
    """One kind on the shelf, with what sorting and filtering need worked out once."""

    cultivar: Cultivar
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
    in_cupboard: bool = False
    when_bare: bool = False

    @property
    def is_empty(self) -> bool:
        """Whether nothing is asked for."""
        return self == ShelfFilter()

    @property
    def count(self) -> int:
        """How many things are asked for; a height range counts once."""
        asked = [each.name for each in fields(self) if getattr(self, each.name)]
        return len(asked) - ("height_from_cm" in asked and "height_to_cm" in asked)


def entry_of(cultivar: Cultivar, *, own: bool = False) -> Entry:
    """Make the entry of a cultivar."""
    return Entry(
        cultivar=cultivar,
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


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of the kinds at this yard, each by cultivar id.

    `bare_days` are those of the season that a kind would fill; None while that is not known.
    """

    windows: Mapping[str, ShelfWindow] = field(default_factory=lambda: NO_WINDOWS)
    stock: Mapping[str, Stock] = field(default_factory=dict)
    bare_days: Mapping[str, int] | None = None

    def months_of(self, cultivar: Cultivar) -> frozenset[int] | None:
        """The months a kind is in flower here."""
        window = self.windows.get(cultivar.id)
        return None if window is None else window.months


NOTHING_KNOWN = Known()


def passes(entry: Entry, wanted: ShelfFilter, known: Known) -> bool:
    """Whether an entry passes all filters but the text.

    Where no window is worked out yet, what depends on it passes.
    """
    cultivar = entry.cultivar
    if wanted.in_cupboard and cultivar.id not in known.stock:
        return False
    if wanted.when_bare and known.bare_days is not None and cultivar.id not in known.bare_days:
        return False
    window = known.windows.get(cultivar.id)
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


def find_entries(
    entries: Iterable[Entry],
    text: str,
    *,
    known: Known = NOTHING_KNOWN,
    kinds: Catalogue | None = None,
    inches: bool = False,
) -> KindsFound | None:
    """Which entries every word of a text fits; None for no text. kinds : those of the entries."""
    if not text.strip():
        return None
    among = kinds or Catalogue(entry.cultivar for entry in entries)
    return find_kinds(among, text, months_of=known.months_of, inches=inches)


def filtered(
    entries: Iterable[Entry],
    wanted: ShelfFilter,
    *,
    known: Known = NOTHING_KNOWN,
    order: Order = Order.FLOWERING,
    found: KindsFound | None = None,
) -> tuple[Entry, ...]:
    """Entries that fit the text and pass the filters: those meant most come first, then in order.

    found : what the text finds, where that is worked out already.
    """
    entries = tuple(entries)
    found = found or find_entries(entries, wanted.text, known=known)
    kept = [
        entry
        for entry in entries
        if (found is None or entry.cultivar.id in found.ranks) and passes(entry, wanted, known)
    ]
    if order is Order.NAME:
        kept.sort(key=lambda entry: entry.sort_name)
    elif order is Order.HEIGHT:
        kept.sort(key=lambda entry: (entry.cultivar.height_cm, entry.sort_name))
    else:
        kept.sort(key=lambda entry: (_opens(known.windows.get(entry.cultivar.id)), entry.sort_name))
    if wanted.when_bare and known.bare_days is not None:
        bare = known.bare_days
        kept.sort(key=lambda entry: -bare[entry.cultivar.id])
    if found is not None:
        kept.sort(key=lambda entry: found.ranks[entry.cultivar.id])
    return tuple(kept)


def nearest(entries: Iterable[Entry], found: KindsFound | None) -> tuple[Entry, ...]:
    """The entries whose names are most like a text that none fits."""
    near = found.near if found is not None else ()
    by_id = {entry.cultivar.id: entry for entry in entries if entry.cultivar.id in near}
    return tuple(by_id[name] for name in near if name in by_id)


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
