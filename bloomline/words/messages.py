"""Sentences: whole English ones in the code, looked up in the catalogue of the language chosen.

`python -m bloomline.words.catalogues` finds every literal that is given to the functions here.
Nothing is decided by what they return: a rule reads values.
"""

from __future__ import annotations

from typing import Any

from bloomline.words.language import catalogue
from bloomline.words.numbers import in_language


def tr(message: str, /, **values: Any) -> str:
    """A message in the language chosen, with its named gaps filled.

    message : a literal, or what `later` marked. Without values, braces stay as they are.
    """
    found = catalogue()
    return _filled(message if found is None else found.gettext(message) if message else "", values)


def plural(one: str, many: str, n: float, /, **values: Any) -> str:
    """The form of a message that goes with a number, one or another.

    `{n}` is the number, unless values name it otherwise (n="some").
    """
    found = catalogue()
    values = {"n": n, **values}
    if found is None:
        return _filled(one if n == 1 else many, values)
    # Between whole numbers languages differ; gettext counts in whole ones.
    count = int(n) if n == int(n) else max(2, int(n))
    return _filled(found.ngettext(one, many, count), values)


def context(where: str, message: str, /, **values: Any) -> str:
    """A message that other languages say differently by where it stands."""
    found = catalogue()
    return _filled(message if found is None else found.pgettext(where, message), values)


def later(message: str, /) -> str:
    """Mark a message that stands in a table and goes through `tr` where it is shown."""
    return message


def _filled(message: str, values: dict[str, Any]) -> str:
    if not values:
        return message
    if catalogue() is None:
        return message.format(**values)
    return message.format(
        **{name: _Localised(each) if _is_number(each) else each for name, each in values.items()}
    )


class _Localised:
    """A number that is written as the language writes it, whatever its format."""

    def __init__(self, value: float) -> None:
        self._value = value

    def __format__(self, form: str) -> str:
        return in_language(format(self._value, form))


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)
