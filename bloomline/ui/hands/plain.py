"""Typed names where the window shows them."""

from __future__ import annotations

import re
import unicodedata


def shown(text: str) -> str:
    """A name without what would turn the words around it about, or hide some of them.

    Control characters and the marks and overrides of writing direction (Unicode Standard
    Annex 9) are shown as the replacement character, a line end as a blank.
    """
    return "".join(
        " "
        if each in "\n\t\r\u2028\u2029"
        else "\N{REPLACEMENT CHARACTER}"
        if unicodedata.category(each) == "Cc" or each in _TURNING
        else each
        for each in text
    )


def unbroken(text: str) -> str:
    """A text in which no line ends between a number and its unit."""
    return _UNIT.sub("\N{NO-BREAK SPACE}", text)


_UNIT = re.compile(r"(?<=\d) (?=(?:m|cm|mm|ft|kg|lb|L|°C|°F)\b)")
_TURNING = frozenset(
    "\N{ARABIC LETTER MARK}\N{LEFT-TO-RIGHT MARK}\N{RIGHT-TO-LEFT MARK}"
    "\N{LEFT-TO-RIGHT EMBEDDING}\N{RIGHT-TO-LEFT EMBEDDING}\N{POP DIRECTIONAL FORMATTING}"
    "\N{LEFT-TO-RIGHT OVERRIDE}\N{RIGHT-TO-LEFT OVERRIDE}\N{LEFT-TO-RIGHT ISOLATE}"
    "\N{RIGHT-TO-LEFT ISOLATE}\N{FIRST STRONG ISOLATE}\N{POP DIRECTIONAL ISOLATE}"
)
