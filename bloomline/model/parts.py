"""What the pieces of a yard document have in common: their base class and field types."""

from __future__ import annotations

import datetime
import difflib
import re
from functools import lru_cache
from typing import Annotated, Self

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    StringConstraints,
    ValidationInfo,
    model_validator,
)
from pydantic_core import PydanticCustomError

from bloomline.words import quoted

KEEP_UNKNOWN = {"keep_unknown": True}
"""Validation context under which keys of a newer minor version are kept, not refused."""

_ISO_DAY = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_FIRST_DAY = datetime.date(1900, 1, 1)
_LAST_DAY = datetime.date(2199, 12, 31)


class Part(BaseModel):
    """Frozen piece of a yard. Unknown keys are refused, unless a newer file brought them."""

    # Late building takes a lock from pydantic 2.14 on: two threads may use a model first.
    model_config = ConfigDict(frozen=True, extra="allow", allow_inf_nan=False, defer_build=True)

    @model_validator(mode="after")
    def _refuse_unknown_keys(self, info: ValidationInfo) -> Self:
        extra = self.__pydantic_extra__
        if not extra or (info.context or {}).get("keep_unknown"):
            return self
        known = type(self).model_fields
        told = []
        for key in list(extra)[:5]:
            near = difflib.get_close_matches(key[:80], known, n=1)
            told.append(quoted(key[:80]) + (f" (did you mean {quoted(near[0])}?)" if near else ""))
        raise PydanticCustomError("unknown_key", "unknown key {keys}", {"keys": ", ".join(told)})


def _to_day(value: object) -> datetime.date:
    """Read a calendar day: a date, or text as ISO 8601 writes it (2026-10-31)."""
    if isinstance(value, str):
        return _read_day(value)
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return _within_time(value)
    raise _not_a_day()


@lru_cache(maxsize=4096)  # a yard has far fewer days than layers
def _read_day(text: str) -> datetime.date:
    if not _ISO_DAY.fullmatch(text):
        raise _not_a_day()
    try:
        day = datetime.date.fromisoformat(text)
    except ValueError:
        raise PydanticCustomError("no_such_day", "there is no such day") from None
    return _within_time(day)


def _within_time(day: datetime.date) -> datetime.date:
    if not _FIRST_DAY <= day <= _LAST_DAY:
        raise PydanticCustomError("far_off_day", "a day between 1900 and 2199 is wanted")
    return day


def _not_a_day() -> PydanticCustomError:
    return PydanticCustomError("not_a_day", "a day written like 2026-10-31 is wanted")


Day = Annotated[datetime.date, BeforeValidator(_to_day)]
"""A calendar day, without time of day or time zone."""

Slug = Annotated[str, StringConstraints(strict=True, pattern=r"^[a-z0-9][a-z0-9_-]{0,63}$")]
"""Short identifier: lower-case letters, digits, hyphens."""

_ONE_LINE = r"^[^\x00-\x1f\x7f\u2028\u2029]*$"

Name = Annotated[
    str,
    StringConstraints(
        strict=True, strip_whitespace=True, min_length=1, max_length=120, pattern=_ONE_LINE
    ),
]
"""One line that says what something is called; never blank."""

Line = Annotated[str, StringConstraints(strict=True, max_length=1024, pattern=_ONE_LINE)]
"""One line of free text."""

Text = Annotated[
    str,
    StringConstraints(strict=True, max_length=20_000, pattern=r"^[^\x00-\x08\x0b-\x1f\x7f]*$"),
]
"""Free text of several lines."""

Whole = Annotated[int, Field(strict=True)]
Number = Annotated[float, Field(strict=True)]
Flag = Annotated[bool, Field(strict=True)]
