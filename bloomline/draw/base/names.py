"""Plant names as they are printed: italic and upright parts, and shorter forms.

Source: International Code of Nomenclature for Cultivated Plants (9th edition), articles 8 and
14 and their recommendations: Latin names italic, cultivar epithets upright in single quotes,
Group names upright (recalled from memory).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

# An epithet that is cut with … has lost its second quote and is an epithet all the same.
_PIECES = re.compile(r"('[^']*(?:'(?=\w)[^']*)*(?:'|…$)|\([^)]*\))")
_RANKS = {"f.", "subsp.", "var.", "×", "x", "sp.", "spp.", "cv."}
_UPRIGHT_WORDS = {"hybrids", "hybrid", "mixed", "series", "strain", "seedlings", "group"}


@dataclass(frozen=True, slots=True)
class NameRun:
    """A piece of a name in one style."""

    text: str
    italic: bool


def name_runs(name: str) -> tuple[NameRun, ...]:
    """Split a name into italic and upright runs; joined, the runs give the name back."""
    runs: list[NameRun] = []
    for piece in _PIECES.split(name):
        if not piece:
            continue
        if piece[0] in "'(":
            _append(runs, piece, italic=False)
            continue
        for word in re.split(r"(\s+)", piece):
            if word:
                _append(runs, word, italic=_is_latin(word, first=not runs))
    return tuple(runs)


def _is_latin(word: str, *, first: bool) -> bool:
    if word.isspace() or word in _RANKS or word.lower() in _UPRIGHT_WORDS:
        return False
    if first:
        return word[0].isalpha()
    return word[0].islower() or bool(re.fullmatch(r"[A-Z]\.", word))


def _append(runs: list[NameRun], text: str, *, italic: bool) -> None:
    if runs and (runs[-1].italic == italic or text.isspace()):
        runs[-1] = NameRun(runs[-1].text + text, runs[-1].italic)
    else:
        runs.append(NameRun(text, italic))


def shorter_names(name: str) -> Iterator[str]:
    """Yield the name, then forms that are shorter and still name the plant."""
    yield name
    bare = re.sub(r"\s*\([^)]*\)", "", name).strip() or name
    if bare != name:
        yield bare
    genus, _, rest = bare.partition(" ")
    if rest and len(genus) > 2 and genus[0].isupper():
        yield f"{genus[0]}. {rest}"
        quote = rest.find("'")
        if quote > 0:
            yield f"{genus[0]}. {rest[quote:]}"


def fit_name(name: str, *, room: float, measure: Callable[[str], float]) -> str:
    """Return the longest form of the name that fits in `room`, cut with … only at the last."""
    form = name
    for form in shorter_names(name):
        if measure(form) <= room:
            return form
    return elide(form, room=room, measure=measure)


def elide(text: str, *, room: float, measure: Callable[[str], float]) -> str:
    """Return the text, cut with … if it is wider than `room`; empty if nothing fits."""
    if measure(text) <= room:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if measure(text[:middle].rstrip() + "…") <= room:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + "…" if low else ""


def wrapped(
    text: str, *, room: float, measure: Callable[[str], float], most_lines: int = 3
) -> tuple[str, ...]:
    """Return the text broken at spaces into lines; the last is cut with … if it must be."""
    if measure(text) <= room:
        return (text,)
    lines: list[str] = []
    words = text.split()
    while words and len(lines) < most_lines - 1:
        count = 1
        while count < len(words) and measure(" ".join(words[: count + 1])) <= room:
            count += 1
        lines.append(" ".join(words[:count]))
        words = words[count:]
    if words:
        lines.append(" ".join(words))
    return tuple(elide(line, room=room, measure=measure) for line in lines)
