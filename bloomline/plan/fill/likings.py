"""Kinds that are liked or not liked, by the words they go by: cultivars and types."""

from __future__ import annotations

from bloomline.model.yard import unknown
from bloomline.plan.season.outlook import Outlook


def likings(outlook: Outlook) -> dict[str, str]:
    """All that can be liked, by its words: types such as "tulip", then cultivars by name.

    The values are what `Wishes.liked` and `Wishes.not_liked` take.
    """
    types = sorted({kind.common_type for kind in outlook.kinds}, key=str.casefold)
    named = {each: each.casefold() for each in types}
    return named | {kind.name: kind.id for kind in outlook.kinds}


def liking_of(outlook: Outlook, text: str) -> str:
    """The id of a cultivar, or a type as it is. Raises UnknownNameError."""
    wanted = text.strip().casefold()
    known = likings(outlook)
    if wanted in known.values():
        return wanted
    for words, liking in known.items():
        if words.casefold() == wanted:
            return liking
    raise unknown("cultivar or type", text, list(known))
