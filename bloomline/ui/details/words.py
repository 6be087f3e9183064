"""Refusals in a gardener's words."""

from __future__ import annotations

import re

from bloomline.ui.units import Units

_WHERE = re.compile(r"^(?:[a-z_]+(?:\[\d+\])*\.?)+: ")
_LENGTH = re.compile(r"(-?\d+(?:\.\d+)?) cm")
_BARE_NUMBER = re.compile(r"(at least|at most|above|below|not) (-?\d+(?:\.\d+)?)(?= (?!cm\b)|,|$)")
_UNIT = re.compile(r"(?<=\d) (?=(?:cm|in|kg|lb|L|°C|°F)\b)")
_LENGTH_END = "_cm"
_INNER_NAMES = {
    "top_length_cm": "the length at the top",
    "bottom_length_cm": "the length at the bottom",
    "sheltered_from": "“Sheltered from”",
    "sheltered_until": "“Sheltered until”",
}


def friendly(refusal: str, *, key: str, units: Units) -> str:
    """A refusal without names of fields, in the units shown, as a sentence."""
    parts = []
    for part in refusal.split("; "):
        words = _WHERE.sub("", part)
        for inner, outer in _INNER_NAMES.items():
            words = words.replace(inner, outer)
        if key.endswith(_LENGTH_END):
            words = _BARE_NUMBER.sub(
                lambda match: f"{match[1]} {units.length(float(match[2]), decimals=1)}", words
            )
            words = words.replace("a number of", "a length of").replace("a number", "a length")
        elif units.imperial:
            words = _LENGTH.sub(lambda match: units.length(float(match[1]), decimals=1), words)
        parts.append(words)
    text = "; ".join(dict.fromkeys(parts)).strip()
    if not text:
        return refusal
    text = f"{text[0].upper()}{text[1:]}"
    return text if text[-1] in ".?!…" else f"{text}."


def kept_together(words: str) -> str:
    """Words in which a line can't end between a number and its unit."""
    return _UNIT.sub("\N{NO-BREAK SPACE}", words)
