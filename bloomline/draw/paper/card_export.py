"""Writes planting cards as one PDF, or as pictures that are named by their pots."""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Iterator, Sequence
from itertools import count
from pathlib import Path

from bloomline.draw.paper.card import CardPage
from bloomline.draw.paper.label_export import write_pages

_MOST_LETTERS = 60
_MOST_BYTES = 120
_LAST, _LAST_NAME = "", "cautions"


def write_cards(
    pages: Sequence[CardPage], path: str | os.PathLike[str], *, title: str, dpi: float = 300.0
) -> tuple[Path, ...]:
    """Write the pages; each file appears whole or not at all. Returns the paths written.

    Pictures of several pots are named by them: cards-stone-sink.png; a pot's second page is
    cards-stone-sink-2.png. title : see `write_pages`. `dpi` is for PNG. Raises UsageError,
    FileProblemError.
    """
    target = Path(path)
    if target.suffix.lower() == ".pdf" or len(pages) < 2:
        return write_pages(pages, target, title=title, dpi=dpi)
    written: list[Path] = []
    for page, name in zip(pages, page_paths(pages, target), strict=True):
        written += write_pages([page], name, title=title, dpi=dpi)
    return tuple(written)


def page_paths(pages: Sequence[CardPage], target: Path) -> tuple[Path, ...]:
    """Where each page goes as a picture, beside `target` and with its suffix; all differ.

    A single pot goes by the target's own name, and the last sheet of a set as -cautions.
    """
    counts: dict[str, int] = {}
    names: dict[str, str] = {}
    for page in pages:
        key, name = _key(page)
        names[key] = name
        counts[key] = max(page.page, counts.get(key, 1))
    stems = dict.fromkeys(counts, target.stem)
    if sum(key != _LAST for key in counts) > 1 or _LAST in counts:
        taken: set[str] = set()
        is_single = sum(key != _LAST for key in counts) == 1
        for key, most in counts.items():
            if is_single and key != _LAST:
                continue
            for stem in _stems(names[key], key):
                wanted = {_page_name(stem, number) for number in range(1, most + 1)}
                if not wanted & taken:
                    break
            taken |= wanted
            stems[key] = f"{target.stem}-{stem}"
    return tuple(
        target.with_name(_page_name(stems[_key(page)[0]], page.page) + target.suffix)
        for page in pages
    )


def _key(page: CardPage) -> tuple[str, str]:
    """The id of a page's pot and its name; those of the last sheet belong to no pot."""
    return (_LAST, _LAST_NAME) if page.card is None else (page.card.pot.id, page.card.pot.name)


def _page_name(stem: str, page: int) -> str:
    return stem if page == 1 else f"{stem}-{page}"


def safe_name(text: str) -> str:
    """A text as a part of a file name on any system: small letters and figures, hyphens between.

    Accents are left out, letters of other scripts stay. Empty if nothing is left.
    """
    plain = unicodedata.normalize("NFKD", text).casefold()
    marks = "".join(each for each in plain if not unicodedata.combining(each))
    words = "".join(each if each.isalnum() else " " for each in marks).split()
    name = unicodedata.normalize("NFC", "-".join(words))[:_MOST_LETTERS]
    while len(name.encode()) > _MOST_BYTES:
        name = name[:-1]
    return name.strip("-")


def _stems(name: str, pot_id: str) -> Iterator[str]:
    """Names for a pot without end, the plainest first."""
    plain = safe_name(name)
    if plain:
        yield plain
    long = f"{plain}-{pot_id}".strip("-")
    yield long
    for number in count(2):
        yield f"{long}-pot-{number}"
