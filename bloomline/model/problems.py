"""Turn what pydantic found wrong into short sentences that say where and what is wanted."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from typing import Any

from pydantic import ValidationError

from bloomline.words import quoted

MOST_TOLD = 200
"""How many problems of one document are put into words."""

_WANTED = {
    "missing": "is missing",
    "extra_forbidden": "unknown key",
    "string_type": "text is wanted",
    "string_unicode": "text with a broken character",
    "int_type": "a whole number is wanted",
    "int_from_float": "a whole number is wanted",
    "float_type": "a number is wanted",
    "bool_type": "true or false is wanted",
    "finite_number": "a finite number is wanted",
    "tuple_type": "a list is wanted",
    "dict_type": "an object is wanted",
    "model_type": "an object is wanted",
    "model_attributes_type": "an object is wanted",
    "greater_than": "a number above {gt:g} is wanted",
    "greater_than_equal": "a number of at least {ge:g} is wanted",
    "less_than": "a number below {lt:g} is wanted",
    "less_than_equal": "a number of at most {le:g} is wanted",
    "string_too_short": "must not be blank",
    "string_too_long": "may be at most {max_length} characters long",
    "too_short": "at least {min_length} entries are wanted, not {actual_length}",
    "too_long": "at most {max_length} entries are allowed",
}

_PATTERNS = {
    r"^[a-z0-9][a-z0-9_-]{0,63}$": "a short id is wanted (at most 64 lower-case letters, digits "
    "and hyphens)",
    r"^(?:19|20|21)\d\d-(?:0[1-9]|1[0-2])$": "a month such as 2026-11, between 1900 and 2199, is "
    "wanted",
    r"^#[0-9A-Fa-f]{6}$": "a colour such as #A01B2C is wanted",
    r"^[A-Z]{3}$": "a currency code of three capitals is wanted, such as GBP",
    r"^\d{1,4}\.\d{1,4}$": "a version such as 1.0 is wanted",
}

# The value is worth showing beside these, since it is short and the person typed it.
_SHOW_VALUE = {
    *("literal_error", "string_pattern_mismatch", "finite_number", "int_from_float"),
    *("string_type", "int_type", "float_type", "bool_type", "tuple_type", "dict_type"),
    *("model_type", "model_attributes_type"),
    *("greater_than", "greater_than_equal", "less_than", "less_than_equal"),
    *("not_a_day", "no_such_day", "far_off_day"),
}


def location(loc: Sequence[int | str]) -> str:
    """Write a path into a document the way people read it: pots[2].layers[0].planted."""
    out = ""
    for step in loc:
        if isinstance(step, int):
            out += f"[{step}]"
        elif step != "[key]":
            out += f".{step[:80]}" if out else step[:80]
    return out


def describe(error: ValidationError, *, at: str = "") -> list[str]:
    """List what is wrong, one sentence each; `at` is the place of the checked part."""
    told = []
    for item in error.errors(include_url=False)[:MOST_TOLD]:
        where = location(item["loc"])
        if at and where:
            where = f"{at}{where}" if where.startswith("[") else f"{at}.{where}"
        where = where or at
        sentence = _sentence(item["type"], item.get("ctx") or {}, item.get("input"), item["msg"])
        told.append(f"{where}: {sentence}" if where else sentence)
    if (more := error.error_count() - len(told)) > 0:
        told.append(f"and {more:,} more of the kind")
    return told


def _sentence(kind: str, ctx: dict[str, Any], value: object, message: str) -> str:
    if kind == "literal_error":
        text = _one_of(str(ctx.get("expected", "")), value)
    elif kind == "string_pattern_mismatch":
        text = _PATTERNS.get(str(ctx.get("pattern")), "has a character that is not allowed here")
    elif kind in _WANTED:
        text = _WANTED[kind].format_map(ctx)
    else:
        text = message
    if kind in _SHOW_VALUE and isinstance(value, str | int | float):
        text += f", not {_short(value)}"
    return text


def _one_of(expected: str, value: object) -> str:
    choices = re.findall(r"'([^']*)'", expected)
    text = f"one of {', '.join(choices)} is wanted" if len(choices) > 1 else f"{expected} is wanted"
    near = difflib.get_close_matches(value[:80], choices, n=1) if isinstance(value, str) else []
    return f"{text} (did you mean {near[0]}?)" if near else text


def _short(value: str | int | float) -> str:
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) >= 10**20:
        return "so big a number"
    if isinstance(value, bool):
        return "true" if value else "false"
    text = quoted(value) if isinstance(value, str) else repr(value)
    return text if len(text) <= 40 else f"{text[:36]}…{text[-1]}"
