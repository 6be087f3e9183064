"""Companions on the shelf: what is set on top of pots, and when it is in season. Knows no Qt."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from bloomline.draw.base.petals import Family, family_of
from bloomline.draw.season.days import BarDays
from bloomline.model.cultivar import Companion
from bloomline.plan.tops.companions import planting_span, season_on
from bloomline.reference.folding import fold
from bloomline.ui.shelf.entries import Order, ShelfFilter

_EXAMPLE_YEAR = 2002  # no leap year is near it


@dataclass(frozen=True, slots=True)
class CompanionEntry:
    """One companion on the shelf; its season is read in a year without leap days."""

    companion: Companion
    words: str
    sort_name: str
    family: Family
    first: date
    last: date
    planted_from: date
    planted_to: date

    @property
    def months(self) -> frozenset[int]:
        """The months in which it is in season, 1 to 12."""
        months, day = {self.last.month}, self.first
        while day < self.last and len(months) < 12:
            months.add(day.month)
            day = (day.replace(day=1) + timedelta(days=32)).replace(day=1)
        return frozenset(months)

    @property
    def season(self) -> BarDays:
        """Its season on a strip from January to December, with hard ends."""
        first, last = self.first, self.last
        if self.companion.is_all_year:
            first, last = date(_EXAMPLE_YEAR, 1, 1), date(_EXAMPLE_YEAR, 12, 31)
        return BarDays(first, first, last, last)


def companion_entries(
    companions: Iterable[Companion], *, southern: bool
) -> tuple[CompanionEntry, ...]:
    """Everything that can be set on top of a pot."""
    return tuple(_entry(companion, southern=southern) for companion in companions)


def _entry(companion: Companion, *, southern: bool) -> CompanionEntry:
    around = date(_EXAMPLE_YEAR, 1, 1)
    planted_from, planted_to = planting_span(companion, around, southern=southern)
    if companion.is_all_year:
        season: tuple[date, date] | None = (around, date(_EXAMPLE_YEAR, 12, 31))
    else:
        season = season_on(companion, planted_from, taken_out=None, southern=southern)
    assert season is not None  # nothing is taken out
    return CompanionEntry(
        companion=companion,
        words=fold(f"{companion.name} {companion.id.replace('-', ' ')} {companion.colour}"),
        sort_name=fold(companion.name),
        family=family_of(companion.colour_hex),
        first=season[0],
        last=season[1],
        planted_from=planted_from,
        planted_to=planted_to,
    )


def filtered_companions(
    entries: Iterable[CompanionEntry], wanted: ShelfFilter, *, order: Order
) -> tuple[CompanionEntry, ...]:
    """Companions that hold every word of the text and pass the filters that concern them."""
    words = fold(wanted.text).split()
    found = [
        entry
        for entry in entries
        if all(word in entry.words for word in words) and _passes(entry, wanted)
    ]
    if order is Order.NAME:
        found.sort(key=lambda entry: entry.sort_name)
    elif order is Order.HEIGHT:
        found.sort(key=lambda entry: (entry.companion.height_cm, entry.sort_name))
    else:  # those in leaf all year come last
        found.sort(
            key=lambda entry: (
                entry.companion.is_leaf,
                entry.first.timetuple().tm_yday,
                entry.sort_name,
            )
        )
    return tuple(found)


def _passes(entry: CompanionEntry, wanted: ShelfFilter) -> bool:
    companion = entry.companion
    low, high = wanted.height_from_cm, wanted.height_to_cm
    return (
        (wanted.family is None or entry.family == wanted.family)
        and (not wanted.scented or companion.scent > 0)
        and (not wanted.pet_safe or companion.toxic_pets == 0)
        and (low is None or companion.height_cm >= low)
        and (high is None or companion.height_cm <= high)
        and (wanted.month is None or wanted.month in entry.months)
    )
