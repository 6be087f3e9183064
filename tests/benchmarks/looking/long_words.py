"""Words two fifths longer, as German is, in place of every message."""

from __future__ import annotations

import re
from pathlib import Path

_ROOT = Path(__file__).resolve().parents[3]
_KEPT = re.compile(r"(\{[^{}]*\}|<[^<>]+>|%\(\w+\)s|&\w+;)")
_WORD = re.compile(r"[A-Za-z]{3,}")


def lengthened(text: str) -> str:
    """A message whose words are two fifths longer; gaps and tags stay."""

    def longer(word: re.Match[str]) -> str:
        return word[0] + word[0][-1] * max(1, round(0.4 * len(word[0])))

    parts = _KEPT.split(text)
    return "".join(part if at % 2 else _WORD.sub(longer, part) for at, part in enumerate(parts))


def speak_long(folder: Path) -> None:
    """Put lengthened words in place of every message."""
    from babel.messages.catalog import Catalog

    from bloomline.words import use_language
    from bloomline.words.catalogues import messages, written

    made = Catalog(locale="de", domain="bloomline", fuzzy=False)
    for message in messages(_ROOT):
        if isinstance(message.id, tuple):
            made.add(message.id, tuple(map(lengthened, message.id)))
        elif message.id:
            made.add(message.id, lengthened(message.id), context=message.context)
    file = folder / "de" / "LC_MESSAGES" / "bloomline.mo"
    file.parent.mkdir(parents=True)
    file.write_bytes(written(made, compiled=True))
    assert use_language("de", folder=folder) == "de"
