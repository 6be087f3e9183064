"""The types and classes that an own kind can be of, and what is usual in each."""

from __future__ import annotations

import math
import statistics
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from bloomline.errors import UnknownNameError
from bloomline.model.cultivar import Cultivar, MonthDay
from bloomline.reference.catalogue import Catalogue, load_catalogue
from bloomline.reference.catalogue_rows import load_kinds
from bloomline.reference.folding import fold, near_names

LEAST_SD_DAYS = 5.0
"""Nothing is surer of a class of which few kinds are known; judgement, no source."""

Range = tuple[float, float]


@dataclass(frozen=True, slots=True)
class BulbType:
    """A genus with its plain name and its classes, as people choose it. group "" : not known."""

    genus: str
    label: str
    groups: tuple[tuple[str, int | None], ...]


@dataclass(frozen=True, slots=True)
class Usual:
    """What is usual of a class.

    typical : a kind of it that opens in the middle, with the middle figures of all. sd_days :
    how far the first flower of its kinds lies from that, what isn't known of each included.
    heights, covers, sizes : least and most among its kinds. [cm]
    """

    typical: Cultivar
    sd_days: float
    heights: Range
    covers: Range
    sizes: Range
    n_kinds: int


@lru_cache(maxsize=1)
def bulb_types() -> tuple[BulbType, ...]:
    """All types of the catalogue by their plain names, each with its classes in their order."""
    by_genus: dict[str, list[Cultivar]] = {}
    for cultivar in load_catalogue():
        by_genus.setdefault(cultivar.genus, []).append(cultivar)
    types = []
    for genus, rows in by_genus.items():
        label = Counter(row.common_type for row in rows).most_common(1)[0][0]
        groups = dict.fromkeys((row.group, row.division) for row in rows)
        ordered = sorted(groups, key=lambda each: (each[1] or 99, fold(each[0])))
        types.append(BulbType(genus, label, tuple(ordered)))
    return tuple(sorted(types, key=lambda each: (fold(each.label), each.genus)))


@lru_cache(maxsize=256)
def usual_of(genus: str, group: str = "", *, month: int | None = None) -> Usual:
    """What is usual of a class; without one, or of a class that isn't known, of its genus.

    Of a genus that isn't known it is what is usual of all kinds in flower in a month.
    """
    rows = class_rows(load_catalogue(), genus, group)
    if not rows:
        rows = _in_flower(load_catalogue(), month)
    starts = _days_from(rows)
    typical = rows[min(range(len(rows)), key=lambda i: (abs(starts[i]), i))]
    spread = statistics.pstdev(starts) if len(starts) > 1 else 0.0
    own = math.sqrt(statistics.fmean(row.ref_sd_days**2 for row in rows))
    circumference = statistics.median(row.bulb_circumference_cm for row in rows)
    spacing = statistics.median(row.spacing_cm for row in rows)
    fields = dict(typical) | {
        "height_cm": float(statistics.median(row.height_cm for row in rows)),
        "cover_cm": float(statistics.median(row.cover_cm for row in rows)),
        "bulb_circumference_cm": float(circumference),
        "spacing_cm": float(max(spacing, math.ceil(circumference / math.pi))),
        "grams_per_bulb": float(statistics.median(row.grams_per_bulb for row in rows)),
        "synonyms": (),
    }
    return Usual(
        typical=Cultivar.model_validate(fields),
        sd_days=max(math.hypot(spread, own), LEAST_SD_DAYS),
        heights=_range(row.height_cm for row in rows),
        covers=_range(row.cover_cm for row in rows),
        sizes=_range(row.bulb_circumference_cm for row in rows),
        n_kinds=len(rows),
    )


def class_rows(catalogue: Catalogue, genus: str, group: str) -> list[Cultivar]:
    """The kinds of a class, else those of its genus, else none."""
    of_genus = [each for each in catalogue if each.genus == genus]
    return [each for each in of_genus if each.group == group] or of_genus


@lru_cache(maxsize=1)
def colours() -> dict[str, tuple[str, str | None]]:
    """Words for colours that the catalogue uses, most used first, with the petals of one."""
    petals: dict[str, list[tuple[str, str | None]]] = {}
    for cultivar in load_catalogue():
        look = (cultivar.colour_hex, cultivar.second_colour_hex)
        petals.setdefault(cultivar.colour, []).append(look)
    ordered = sorted(petals, key=lambda word: (-len(petals[word]), word))
    return {word: Counter(petals[word]).most_common(1)[0][0] for word in ordered}


def _in_flower(catalogue: Catalogue, month: int | None) -> list[Cultivar]:
    rows = list(catalogue)
    if month is None:
        return rows
    near = [row for row in rows if (row.ref_start.month - month) % 12 in (0, 1, 11)]
    return near or rows


def _days_from(rows: Sequence[Cultivar]) -> list[float]:
    """Starts in days from the middle one, round the year."""
    days = [row.ref_start.day_of_year for row in rows]

    def apart(day: int, other: int) -> int:
        return (day - other + 182) % 365 - 182

    # The middle of a circle: the day from which all are least far away.
    middle = min(days, key=lambda day: sum(abs(apart(each, day)) for each in days))
    offsets = [apart(day, middle) for day in days]
    shift = statistics.median(offsets)
    return [offset - shift for offset in offsets]


def _range(values: Iterable[float]) -> Range:
    known = list(values)
    return min(known), max(known)


def day_after(day: MonthDay, days: float) -> MonthDay:
    """The day of the year so many days after another."""
    number = (day.day_of_year - 1 + round(days)) % 365
    when = date(2001, 1, 1) + timedelta(days=number)
    return MonthDay(when.month, when.day)


def find_class(type_text: str, class_text: str = "") -> tuple[str, str]:
    """Genus and group of a type and a class as people write them.

    A type by its plain or botanical name; one that the catalogue lacks by a botanical genus. A
    class by its name, the beginning of it or the number of its division; "" where it isn't known.
    Raises UnknownNameError with what comes near.
    """
    wanted = fold(type_text)
    found = next(
        (each for each in bulb_types() if wanted in (fold(each.label), fold(each.genus))), None
    ) or next((each for each in bulb_types() if wanted in names_of(each)), None)
    if found is None:
        text = type_text.strip()
        near = near_names(
            text, ((name, each.label) for each in bulb_types() for name in names_of(each))
        )
        if near or not text.isalpha() or not text[:1].isupper():
            raise UnknownNameError("type of bulb", type_text, near=near[:3])
        return text, ""
    if not class_text.strip():
        return found.genus, ""
    key = fold(class_text)
    hits = [
        group
        for group, number in found.groups
        if key == fold(group) or (number is not None and key == str(number))
    ] or [group for group, _ in found.groups if fold(group).startswith(key)]
    if len(dict.fromkeys(hits)) != 1:
        names = [group for group, _ in found.groups]
        near = hits or near_names(class_text, ((fold(name), name) for name in names))
        raise UnknownNameError("class", class_text, near=near[:4] or names[:8])
    return found.genus, hits[0]


def names_of(bulb: BulbType) -> tuple[str, ...]:
    """All folded names that a type goes by."""
    kind = load_kinds().for_genus(bulb.genus)
    return tuple(fold(name) for name in (bulb.label, bulb.genus, *kind.common_names))
