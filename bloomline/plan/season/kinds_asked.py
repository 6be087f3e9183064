"""Kinds found by what a gardener types: names, kind, colour, scent, height, month, in any order."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass

from bloomline.model.colours import Family, family_of
from bloomline.model.cultivar import Cultivar
from bloomline.reference.catalogue import Catalogue
from bloomline.reference.cultivar_names import spaced
from bloomline.reference.folding import fold
from bloomline.words import month_words

MonthsOf = Callable[[Cultivar], Collection[int] | None]
"""The months a kind is in flower, 1 to 12; None while that is not known."""

_CM_PER_INCH = 2.54
_ABOUT = 0.15  # a height that is named is met within this part of it; judgement
_LOW_CM, _TALL_CM = 25.0, 60.0  # judgement
_HEIGHT = re.compile(
    r"\b(?:(?P<below>under|below|up to|max|less than)|(?P<above>over|above|at least|more than))?"
    r" ?\b(?P<first>\d{1,3})(?: (?:to |and )?(?P<last>\d{1,3}))?"
    r"(?: ?(?P<unit>cm|in|inch|inches)\b)?"
)
_SCENTED = {"scent", "scented", "fragrant", "fragrance", "perfumed"}
_UNSCENTED = {"unscented", "scentless"}
_SAFE = {"pet", "pets", "safe", "harmless"}
_SHADE = {"shade", "shady"}
_SEASONS = {"winter": "winter", "spring": "spring", "summer": "summer", "autumn": "autumn"}
_SEASONS["fall"] = "autumn"
_LOW, _TALL = {"dwarf", "low", "short", "small"}, {"tall", "high"}
_FAMILIES = {
    "white": Family.WHITE,
    "yellow": Family.YELLOW,
    "orange": Family.ORANGE,
    "pink": Family.PINK,
    "red": Family.RED,
    "purple": Family.PURPLE,
    "blue": Family.BLUE,
    "black": Family.DARK,
    "dark": Family.DARK,
    "green": Family.GREEN,
}
_SAY_NOTHING = {
    *("in", "for", "with", "and", "or", "the", "a", "any", "all", "some"),
    *("flower", "flowers", "flowering", "bulb", "bulbs", "kind", "kinds", "plant", "plants"),
}
_MOST_WORDS = 12  # what is typed beyond them is left aside
_LEAST_OF_MONTH = 3  # letters that name a month


@dataclass(frozen=True, slots=True)
class KindsAsked:
    """Words and a range of heights [cm] out of what was typed."""

    words: tuple[str, ...]
    height_from_cm: float | None = None
    height_to_cm: float | None = None

    def has_height(self, cultivar: Cultivar) -> bool:
        """Whether a kind is as tall as was asked for."""
        low, high = self.height_from_cm, self.height_to_cm
        return (low is None or cultivar.height_cm >= low) and (
            high is None or cultivar.height_cm <= high
        )


@dataclass(frozen=True, slots=True)
class KindsFound:
    """Ids of the kinds found, each with its rank (the lowest comes first).

    `near` are the kinds whose names are most like the text, where none was found.
    """

    ranks: Mapping[str, int]
    near: tuple[str, ...] = ()


def read_asked(text: str, *, inches: bool = False) -> KindsAsked:
    """Read what was typed. inches : in what a height without a unit is given."""
    folded = fold(text)
    height = _HEIGHT.search(folded)
    low: float | None = None
    high: float | None = None
    if height is not None:
        unit = height["unit"]
        factor = _CM_PER_INCH if unit in ("in", "inch", "inches") or (not unit and inches) else 1.0
        first = float(height["first"]) * factor
        last = None if height["last"] is None else float(height["last"]) * factor
        if last is not None:
            low, high = min(first, last), max(first, last)
        elif height["below"]:
            high = first
        elif height["above"]:
            low = first
        else:
            low, high = first * (1.0 - _ABOUT), first * (1.0 + _ABOUT)
        folded = folded[: height.start()] + " " + folded[height.end() :]
    words = spaced(folded).split()
    telling = [word for word in words if word not in _SAY_NOTHING]
    # A name may be made of such words alone.
    kept = telling or ([] if height is not None else words)
    return KindsAsked(tuple(dict.fromkeys(kept))[:_MOST_WORDS], low, high)


def find_kinds(
    kinds: Catalogue, text: str, *, months_of: MonthsOf, inches: bool = False
) -> KindsFound:
    """Find the kinds that every word of a text fits, whatever their order.

    A word fits by a name, the kind, its group or colour, or for what it asks: "scented", "april",
    "dwarf", "pet safe"; "under 30 cm" asks for a height. Where nothing fits, the nearest names are
    told.
    """
    asked = read_asked(text, inches=inches)
    ranks = kinds.index.search(asked.words, also=_also(kinds, months_of))
    found = {name: rank for name, rank in ranks.items() if asked.has_height(kinds.get(name))}
    near = () if ranks or not asked.words else _near(kinds, asked.words)
    return KindsFound(found, near)


def _near(kinds: Catalogue, words: Sequence[str]) -> tuple[str, ...]:
    """The kinds that misspelt words mean, else those with the nearest names."""
    return tuple(kinds.index.mended(words) or kinds.index.nearest(" ".join(words)))


def _also(kinds: Catalogue, months_of: MonthsOf) -> Callable[[str], list[str]]:
    """What else a word asks for: the ids that it fits."""

    def fits(word: str) -> list[str]:
        test = _test_of(word, months_of)
        return [] if test is None else [cultivar.id for cultivar in kinds if test(cultivar)]

    return fits


def _test_of(word: str, months_of: MonthsOf) -> Callable[[Cultivar], bool] | None:
    months = _months_named(word)
    if months:
        return lambda each: (known := months_of(each)) is None or not months.isdisjoint(known)
    if word in _FAMILIES:
        family = _FAMILIES[word]
        return lambda each: family_of(each.colour_hex) is family
    if word in _SEASONS:
        season = _SEASONS[word]
        return lambda each: each.flowers_in == season
    tests: tuple[tuple[set[str], Callable[[Cultivar], bool]], ...] = (
        (_SCENTED, lambda each: each.scent > 0),
        (_UNSCENTED, lambda each: each.scent == 0),
        (_SAFE, lambda each: each.toxic_pets == 0),
        (_SHADE, lambda each: each.light != "sun"),
        (_LOW, lambda each: each.height_cm <= _LOW_CM),
        (_TALL, lambda each: each.height_cm >= _TALL_CM),
    )
    return next((test for words, test in tests if word in words), None)


def _months_named(word: str) -> set[int]:
    """Months a word names, in the gardener's language or in English, whole or begun."""
    if len(word) < _LEAST_OF_MONTH:
        return set()
    names = [(month, fold(month_words(month))) for month in range(1, 13)]
    names += [(month, name) for month, name in enumerate(_ENGLISH_MONTHS, start=1)]
    return {month for month, name in names if name.startswith(word)}


_ENGLISH_MONTHS = (
    *("january", "february", "march", "april", "may", "june", "july", "august"),
    *("september", "october", "november", "december"),
)
