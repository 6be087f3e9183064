"""Bring names to one form, so that accents, case, quotes and dashes don't stand in the way."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
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
_NO_WORD = re.compile(r"[^\w\n]|_")


def fold(text: str) -> str:
    """Return text in lower case, without accents, quotes and marks, words one blank apart."""
    plain = _letters_of(text)
    if plain.isascii() and plain.replace(" ", "").isalnum():
        return " ".join(plain.split())
    return " ".join("".join(c if c.isalnum() else " " for c in plain).split())


def fold_all(texts: Sequence[str]) -> list[str]:
    """Fold many texts in one pass; the same as `fold` of each, several times quicker.

    A line break inside a text counts as a blank.
    """
    if not texts:
        return []
    plain = _NO_WORD.sub(" ", "\n".join(letters_of(texts)))
    return [" ".join(line.split()) for line in plain.split("\n")]


def letters_of(texts: Sequence[str]) -> list[str]:
    """Texts in lower case without accents and quotes, as `fold` has them, with other marks left.

    A word of letters stands in one of them where it stands in the folded text, which takes longer.
    """
    return [_letters_of(text.replace("\n", " ")) for text in texts]


def _letters_of(text: str) -> str:
    if text.isascii():  # as most are: several times quicker than what follows
        return text.replace("'", "").replace("`", "").replace('"', "").lower()
    decomposed = unicodedata.normalize("NFKD", text.translate(_LETTERS))
    return "".join(c for c in decomposed if not unicodedata.combining(c)).casefold()


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
