"""Text of a card: plant names in their styles, figures bold, broken into lines that fit."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from bloomline.draw.base.names import name_runs
from bloomline.words import language, month_words

_HARD_SPACE = "\u00a0"
# A figure stays on one line with its unit, a day with its month.
_UNITS = "cm|in|cu|kg|lb|L|°C|°F|bulbs?"


class Piece(NamedTuple):
    """A piece of text in one style."""

    text: str
    bold: bool = False
    italic: bool = False

    def saying(self, text: str) -> Piece:
        """Another text in the same style."""
        return Piece(text, self.bold, self.italic)


Measure = Callable[[str, bool], float]
"""Width of a text, bold or not."""


def styled(
    text: str, names: Iterable[str], *, strong: Sequence[str] = (), bold: bool = False
) -> tuple[Piece, ...]:
    """Give plant names their italic and upright parts and set `strong` pieces bold.

    names : the plants that may be named, whole; their genus alone is italic as well.
    """
    pieces: list[Piece] = []
    for at, part in enumerate(_any_name(tuple(names)).split(text)):
        if at % 2:  # between two texts stands the name that parts them
            pieces += [Piece(run.text, bold, run.italic) for run in name_runs(part)]
        elif part:
            pieces += _strong((Piece(part, bold),), strong)
    return tuple(pieces)


@lru_cache(maxsize=64)
def _any_name(names: tuple[str, ...]) -> re.Pattern[str]:
    genera = {name.split()[0] for name in names if name[:1].isalpha()}
    known = sorted({*names, *genera}, key=len, reverse=True)
    if not known:
        return re.compile(r"(\b\B)")  # found nowhere
    return re.compile(rf"(?<!\w)({'|'.join(map(re.escape, known))})(?!\w)")


def _strong(pieces: tuple[Piece, ...], strong: Sequence[str]) -> tuple[Piece, ...]:
    """Set each of `strong` bold where it is found first."""
    for wanted in strong:
        found: list[Piece] = []
        seen = False
        for piece in pieces:
            before, hit, rest = piece.text.partition(wanted)
            if seen or not hit or piece.bold:
                found.append(piece)
                continue
            seen = True
            found += [
                each
                for each in (
                    piece.saying(before),
                    Piece(hit, True, piece.italic),
                    piece.saying(rest),
                )
                if each.text
            ]
        pieces = tuple(found)
    return pieces


def wrap(
    pieces: Sequence[Piece], *, room: float, measure: Measure
) -> tuple[tuple[Piece, ...], ...]:
    """Break styled text at its spaces into lines; a word wider than the room is broken too."""
    lines: list[tuple[Piece, ...]] = []
    line: tuple[Piece, ...] = ()
    taken = 0.0
    for word in _words(pieces):
        wide = _width(word, measure)
        # Added up word by word: a line of the same words is not measured again and again.
        longer = taken + measure(" ", word[0].bold) + wide if line else wide
        if not line or longer <= room:
            line, taken = _joined(line, word), longer
        else:
            lines.append(line)
            line, taken = word, wide
        while taken > room:
            head, line = _cut(line, room, measure)
            lines.append(head)
            taken = _width(line, measure)
    if line:
        lines.append(line)
    return tuple(lines)


def _words(pieces: Sequence[Piece]) -> Iterator[tuple[Piece, ...]]:
    """Words of styled text; a word may have pieces of several styles."""
    word: list[Piece] = []
    for piece in _bound(pieces):
        for at, part in enumerate(piece.text.split(" ")):
            if at and word:
                yield tuple(word)
                word = []
            if part:
                word.append(piece.saying(part))
    if word:
        yield tuple(word)


@lru_cache(maxsize=4)
def _together(_language: str) -> re.Pattern[str]:
    months = "|".join(re.escape(month_words(month)) for month in range(1, 13))
    return re.compile(
        rf"(?<=[\d¼½¾⅛⅜⅝⅞]) (?=(?:{_UNITS}|{months})\b|[×:])"
        r"|(?<=cu) (?=ft\b)|(?<= :) (?=\d)|(?<=×) "
    )


def _bound(pieces: Sequence[Piece]) -> Iterator[Piece]:
    """The pieces with hard spaces where a line must not break, also from piece to piece."""
    text = "".join(piece.text for piece in pieces)
    bound = _together(language()).sub(_HARD_SPACE, text)
    at = 0
    for piece in pieces:
        yield piece.saying(bound[at : at + len(piece.text)])
        at += len(piece.text)


def _joined(line: tuple[Piece, ...], word: tuple[Piece, ...]) -> tuple[Piece, ...]:
    if not line:
        return word
    last, first = line[-1], word[0]
    if (last.bold, last.italic) == (first.bold, first.italic):
        return (*line[:-1], last.saying(f"{last.text} {first.text}"), *word[1:])
    return (*line[:-1], last.saying(f"{last.text} "), *word)


def _width(line: Sequence[Piece], measure: Measure) -> float:
    return sum(measure(piece.text, piece.bold) for piece in line)


def _cut(
    line: tuple[Piece, ...], room: float, measure: Measure
) -> tuple[tuple[Piece, ...], tuple[Piece, ...]]:
    """As much of a line as fits, at least a letter, and the rest."""
    head: list[Piece] = []
    left = room
    for at, piece in enumerate(line):
        if measure(piece.text, piece.bold) <= left:
            head.append(piece)
            left -= measure(piece.text, piece.bold)
            continue
        count = next(
            n
            for n in range(len(piece.text) - 1, -1, -1)
            if measure(piece.text[:n], piece.bold) <= left
        )
        count = max(count, 0 if head else 1)
        if count:
            head.append(piece.saying(piece.text[:count]))
        rest = piece.saying(piece.text[count:])
        return tuple(head), tuple(each for each in (rest, *line[at + 1 :]) if each.text)
    return tuple(head), ()
