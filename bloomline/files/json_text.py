"""JSON as the standard library indents it, piece by piece and several times as quick.

The library's own indenting writer hands every comma up through as many generators as it is deep,
and wants the whole value at once. Here an iterator stands for a list that is made while it is
written.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping
from functools import lru_cache
from json.encoder import encode_basestring
from typing import Any

_STEP = "  "


def json_pieces(value: Any, *, indent: str = "") -> Iterator[str]:
    """The text of a value, two blanks a level, in pieces as they come.

    value : dicts with texts for keys, lists, tuples, iterators, and what `json.dumps` takes.
    Iterators may stand as the value itself or in the outermost dict. Raises TypeError for what
    JSON has no word for, ValueError for numbers that aren't finite.
    """
    within = indent + _STEP
    if isinstance(value, Mapping) and not indent and value:  # the outermost
        for number, (key, each) in enumerate(value.items()):
            yield f"{',' if number else '{'}\n{within}{_key(key)}: "
            yield from json_pieces(each, indent=within)
        yield "\n}"
    elif isinstance(value, Iterator) or (isinstance(value, (list, tuple)) and value):
        empty = True
        for each in value:
            yield f"{'[' if empty else ','}\n{within}{json_text(each, within)}"
            empty = False
        yield "[]" if empty else f"\n{indent}]"
    else:
        yield json_text(value, indent)


class Again(dict[str, Any]):
    """A dict that stands in a value in many places, and whose text is made once for all of a depth.

    It must not change once it was written.
    """

    __slots__ = ("_at", "_text")

    def text_at(self, indent: str) -> str:
        """Its text, whose lines but the first begin with `indent`."""
        if getattr(self, "_at", None) != indent:
            self._at, self._text = indent, json_text(dict(self), indent)
        return self._text


def json_text(value: Any, indent: str = "") -> str:
    """The text of a value without iterators, whose lines but the first begin with `indent`.

    Raises TypeError and ValueError as `json_pieces` does.
    """
    kind = type(value)
    if kind is str:
        return encode_basestring(value)
    if value is None:
        return "null"
    if kind is bool:
        return "true" if value else "false"
    if kind is int or (kind is float and math.isfinite(value)):
        return repr(value)
    if kind is Again:
        text: str = value.text_at(indent)
        return text
    if kind is dict:
        if not value:
            return "{}"
        within = indent + _STEP
        parts = [  # most values are texts, which need no call
            f"{_key(key)}: "
            f"{encode_basestring(each) if type(each) is str else json_text(each, within)}"
            for key, each in value.items()
        ]
        inside = f",\n{within}".join(parts)
        return f"{{\n{within}{inside}\n{indent}}}"
    if kind is list or kind is tuple:
        if not value:
            return "[]"
        within = indent + _STEP
        parts = [
            encode_basestring(each) if type(each) is str else json_text(each, within)
            for each in value
        ]
        inside = f",\n{within}".join(parts)
        return f"[\n{within}{inside}\n{indent}]"
    # What derives from one of these, and what JSON has no word for.
    text = json.dumps(value, ensure_ascii=False, indent=len(_STEP), allow_nan=False)
    return text.replace("\n", f"\n{indent}")


@lru_cache(maxsize=1024)
def _key(key: Any) -> str:
    if not isinstance(key, str):
        raise TypeError(f"a key of JSON must be text, not “{key}”")
    return encode_basestring(key)
