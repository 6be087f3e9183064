"""Sentences: whole English ones in the code, looked up in the catalogue of the language chosen.

`python -m bloomline.words.catalogues` finds every literal that is given to the functions here.
Nothing is decided by what they return: a rule reads values.
"""

from __future__ import annotations

from datetime import date
from typing import Any

from bloomline.words.language import catalogue
from bloomline.words.numbers import in_language


def tr(message: str, /, **values: Any) -> str:
    """A message in the language chosen, with its named gaps filled.

    message : a literal, or a name for what `marked` marks. Without values its braces stay.
    values : days among them are put in words, with their year.
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


def marked(message: str, /) -> str:
    """Mark a message that stands in a table and goes through `tr` where it is shown."""
    return message


def quoted(text: object) -> str:
    """What somebody wrote, in quotation marks; what can't be seen in it stands as an escape."""
    return f"“{''.join(map(_seen, str(text)))}”"


def _seen(sign: str) -> str:
    return sign if sign.isprintable() else sign.encode("unicode_escape").decode("ascii")


def _filled(message: str, values: dict[str, Any]) -> str:
    if not values:
        return message
    return message.format(
        **{name: each if type(each) is str else _shown(each) for name, each in values.items()}
    )


def _shown(value: Any) -> Any:
    """A value as people read it: days in words, numbers as the language writes them."""
    if isinstance(value, date):
        from bloomline.words.days import full_day_words  # which stands on this module

        return full_day_words(value)
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return value if catalogue() is None else _Localised(value)
    return value


class _Localised:
    """A number that is written as the language writes it, whatever its format."""

    def __init__(self, value: float) -> None:
        self._value = value

    def __format__(self, form: str) -> str:
        return in_language(format(self._value, form))
