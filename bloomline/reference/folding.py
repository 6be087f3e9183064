"""Bring names to one form, so that accents, case, quotes and dashes don't stand in the way."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from difflib import SequenceMatcher

# Letters that do not fall apart into a base letter and an accent.
_LETTERS = str.maketrans(
    {
        "ß": "ss", "ø": "o", "Ø": "o", "đ": "d", "ð": "d", "Ð": "d", "ł": "l", "Ł": "l",
        "æ": "ae", "Æ": "ae", "œ": "oe", "Œ": "oe", "þ": "th", "Þ": "th", "ı": "i",
        "’": None, "‘": None, "'": None, "`": None, "´": None, '"': None, "“": None, "”": None,
        "ʻ": None, "«": None, "»": None,
    }
)  # fmt: skip


def fold(text: str) -> str:
    """Return text in lower case, without accents, quotes and marks, words one blank apart."""
    plain = text.translate(_LETTERS)
    if not plain.isascii():
        plain = "".join(
            c for c in unicodedata.normalize("NFKD", plain) if not unicodedata.combining(c)
        )
    plain = plain.casefold()
    if plain.isascii() and plain.replace(" ", "").isalnum():
        return " ".join(plain.split())
    return " ".join("".join(c if c.isalnum() else " " for c in plain).split())


def near_names(wanted: str, known: Iterable[tuple[str, str]], *, limit: int = 4) -> list[str]:
    """Return the display names whose folded form is most like `wanted`, best first.

    `known` holds pairs of folded form and display name.
    """
    folded = fold(wanted)
    if not folded:
        return []
    matcher = SequenceMatcher(autojunk=False)
    matcher.set_seq2(folded)
    best: dict[str, float] = {}
    for form, shown in known:
        matcher.set_seq1(form)
        if matcher.real_quick_ratio() < 0.6 or matcher.quick_ratio() < 0.6:
            continue
        ratio = matcher.ratio()
        if ratio >= 0.6 and ratio > best.get(shown, 0.0):
            best[shown] = ratio
    return sorted(best, key=lambda name: (-best[name], name))[:limit]
