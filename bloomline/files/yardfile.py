"""Read and write yard files: UTF-8 JSON that people can read and compare line by line."""

from __future__ import annotations

import json
import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cache
from pathlib import Path
from typing import cast

from pydantic import BaseModel, ValidationError

from bloomline.errors import DataError, FileProblemError
from bloomline.files.atomic import digest_of, read_limited, replace_file
from bloomline.files.json_text import json_text
from bloomline.files.locking import locked
from bloomline.model.cultivar import MonthDay
from bloomline.model.migrate import VersionError, is_newer_minor, up_to_date
from bloomline.model.parts import KEEP_UNKNOWN, Part
from bloomline.model.problems import MOST_TOLD, describe
from bloomline.model.store import MAX_IN_CUPBOARD, MAX_PRICES
from bloomline.model.yard import (
    FORMAT,
    MAX_DISPLAY_PLACES,
    MAX_DONE_TASKS,
    MAX_FIXED_STANDS,
    MAX_LAYERS,
    MAX_OWN_CULTIVARS,
    MAX_POTS,
    MAX_RECORDS,
    MAX_SEEN_TASKS,
    Pot,
    Record,
    Yard,
)
from bloomline.words import quoted

SUFFIX = ".bloomline"
MAX_BYTES = 32 * 1024**2

# Well above what the largest yard needs (about 130,000 objects, 70,000 lists and a
# million keys), low enough to refuse a file made to keep the decoder busy before it is decoded.
_MOST_OF = {b"{": 400_000, b"[": 400_000, b":": 1_600_000, b",": 4_000_000}
_MOST_KEYS = 1_000
_MAX_DEPTH = 60
_LINE_WIDTH = 240


_Nest = dict[str, object] | list[object]
_NESTS = frozenset({dict, list})
_encode = json.JSONEncoder(ensure_ascii=False, allow_nan=False).encode


class ChangedOnDiskError(FileProblemError):
    """The file was changed by someone else since it was read."""


@dataclass(frozen=True, slots=True)
class LoadedYard:
    """A yard, the file it came from, and the digest of what was in it."""

    yard: Yard
    digest: str
    path: Path


def load_yard(path: Path) -> LoadedYard:
    """Read a yard file. Raises FileProblemError, DataError."""
    data = read_limited(path, limit=MAX_BYTES)
    return LoadedYard(parse_yard(data, name=str(path)), digest_of(data), path)


def parse_yard(data: bytes, *, name: str) -> Yard:
    """Make a yard of a file's content; `name` is how errors call the file.

    Raises FileProblemError when it is no yard file at all, DataError when parts are wrong.
    """
    return yard_of(parse_object(data, name=name), name=name)


def yard_of(document: dict[str, object], *, name: str) -> Yard:
    """Check a decoded document and make a yard of it. Raises FileProblemError, DataError."""
    if document.get("format") != FORMAT:
        raise FileProblemError(
            name, f'is not a yard file: a yard file begins with "format": "{FORMAT}"'
        )
    try:
        document = up_to_date(document)
        newer = is_newer_minor(document)
    except VersionError as error:
        raise FileProblemError(name, str(error), where="version") from None
    if newer and (odd := _oddity(document)):
        raise FileProblemError(name, odd)
    _refuse_long_lists(document, name=name)
    # One part after the other, so that a file with a hundred thousand faults is left early.
    context = KEEP_UNKNOWN if newer else {}
    problems: list[str] = []
    for key, kind in (("pots", Pot), ("records", Record)):
        document[key] = _parts(document.get(key, ()), kind, key, problems, context)
    try:
        yard = Yard.model_validate(document, context={**context, "links_checked": bool(problems)})
    except ValidationError as error:
        raise DataError(name, describe(error) + problems) from None
    if problems:
        raise DataError(name, problems)
    return yard


def _parts(
    raw: object, kind: type[Part], key: str, problems: list[str], context: dict[str, bool]
) -> object:
    if not isinstance(raw, list):
        return raw  # the yard's own check says that a list is wanted
    parts: list[Part] = []
    for at, item in enumerate(raw):
        try:
            parts.append(kind.model_validate(item, context=context))
        except ValidationError as error:
            problems += describe(error, at=f"{key}[{at}]")
            if len(problems) >= MOST_TOLD:
                break
    return parts


def dump_yard(yard: Yard) -> bytes:
    """Write a yard as a file holds it: keys in fixed order, short items on one line.

    Empty text, empty lists and absent values are left out; every other value is written even
    where it is the default, so that a default that changes later alters no old file.
    """
    lines: list[str] = []
    _lay_out(cast(_Nest, _plain(yard)), indent="", lead="", tail="", lines=lines)
    return ("\n".join(lines) + "\n").encode()


def save_yard(path: Path, yard: Yard, *, seen: str | None) -> str:
    """Write a yard file whole or not at all, and return the digest of its content.

    `seen` is the digest from when the file was read or last saved, None to write over
    whatever is there. Of two programs that save at once, the later one finds the change.
    Raises ChangedOnDiskError, FileProblemError.
    """
    data = dump_yard(yard)
    _refuse_too_much(data, name=str(path))
    with locked(path):
        if seen is not None and (now := digest_on_disk(path)) is not None and now != seen:
            raise ChangedOnDiskError(
                str(path),
                "was changed by someone else since it was opened; save under another name, or open "
                "it again",
            )
        replace_file(path, data)
    return digest_of(data)


def digest_on_disk(path: Path) -> str | None:
    """Return the digest of what a file holds now, None when there is none.

    Raises FileProblemError.
    """
    try:
        path.stat()
    except FileNotFoundError:
        return None
    except (OSError, ValueError):
        pass  # reading says why
    return digest_of(read_limited(path, limit=4 * MAX_BYTES))


def parse_object(data: bytes, *, name: str) -> dict[str, object]:
    """Decode a JSON object, stricter than the standard library does. Raises FileProblemError."""
    _refuse_too_much(data, name=name)
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise FileProblemError(name, "is UTF-16 text; save it as UTF-8")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise FileProblemError(name, "is not UTF-8 text", where=f"line {line}") from None
    if not text.strip():
        raise FileProblemError(name, "is empty")
    reader = _Reader(name)
    try:
        document = json.loads(
            text,
            object_pairs_hook=reader.take_object,
            parse_constant=reader.refuse_constant,
            parse_int=reader.take_int,
        )
    except json.JSONDecodeError as error:
        where = f"line {error.lineno}, column {error.colno}"
        raise FileProblemError(name, f"is not JSON: {error.msg.lower()}", where=where) from None
    except RecursionError:
        raise FileProblemError(name, "is nested too deeply for a yard file") from None
    if not isinstance(document, dict):
        raise FileProblemError(name, "is not a yard file: a JSON object is wanted")
    return document


def _refuse_too_much(data: bytes, *, name: str) -> None:
    if len(data) > MAX_BYTES:
        raise FileProblemError(name, f"more than {MAX_BYTES // 1024**2} MiB is too much for a yard")
    for sign, most in _MOST_OF.items():
        if data.count(sign) > most:
            raise FileProblemError(name, "has more parts than a yard file may have")
    # Objects of a yard have some thirty keys at most; one of a million takes long to decode.
    if data.count(b":") > 200_000 + 100 * data.count(b"{"):
        raise FileProblemError(name, "has more keys in an object than a yard file may have")


def _refuse_long_lists(document: dict[str, object], *, name: str) -> None:
    """Refuse lists beyond their limit at once, before every item of them is looked at."""
    limits = {
        "pots": MAX_POTS,
        "records": MAX_RECORDS,
        "own_cultivars": MAX_OWN_CULTIVARS,
        "display_places": MAX_DISPLAY_PLACES,
        "fixed_stands": MAX_FIXED_STANDS,
        "done": MAX_DONE_TASKS,
        "seen_tasks": MAX_SEEN_TASKS,
        "cupboard": MAX_IN_CUPBOARD,
        "prices": MAX_PRICES,
    }
    lists = [(key, document.get(key), most) for key, most in limits.items()]
    pots = document.get("pots")
    if isinstance(pots, list) and len(pots) <= MAX_POTS:
        lists += [
            (f"pots[{at}].layers", pot.get("layers"), MAX_LAYERS)
            for at, pot in enumerate(pots)
            if isinstance(pot, dict)
        ]
    problems = [
        f"{where}: at most {most} entries are allowed, not {len(value)}"
        for where, value, most in lists
        if isinstance(value, list) and len(value) > most
    ]
    if problems:
        raise DataError(name, problems)


class _Reader:
    """Hooks for the JSON decoder that refuse what a careful reader would."""

    def __init__(self, name: str) -> None:
        self.name = name

    def take_object(self, pairs: list[tuple[str, object]]) -> dict[str, object]:
        if len(pairs) > _MOST_KEYS:
            raise FileProblemError(
                self.name, f"an object of {len(pairs):,} keys is no part of a yard"
            )
        found = dict(pairs)
        if len(found) < len(pairs):
            counts = Counter(key for key, _ in pairs)
            twice = next(key for key, number in counts.items() if number > 1)
            raise FileProblemError(
                self.name, f"the key {quoted(twice[:80])} stands twice in one object"
            )
        return found

    def refuse_constant(self, word: str) -> object:
        raise FileProblemError(self.name, f"{word} is not a number that JSON knows")

    def take_int(self, digits: str) -> int:
        if len(digits) > 30:
            raise FileProblemError(self.name, f"a number of {len(digits)} digits is no yard figure")
        return int(digits)


def _oddity(document: object) -> str:
    """Say what in a document could be read but not be written again, "" when nothing."""
    level: list[object] = [document]
    for _ in range(_MAX_DEPTH):
        inner: list[object] = []
        for value in level:
            if isinstance(value, dict):
                inner.extend(value)
                inner.extend(value.values())
            elif isinstance(value, list):
                inner.extend(value)
            elif isinstance(value, float) and not math.isfinite(value):
                return "holds a number too big to be kept"
            elif isinstance(value, str) and not _is_unicode(value):
                return "holds text with a broken character"
        if not inner:
            return ""
        level = inner
    return "is nested too deeply for a yard file"


def _is_unicode(text: str) -> bool:
    try:
        text.encode()
    except UnicodeEncodeError:
        return False
    return True


_AS_THEY_ARE = frozenset({str, int, bool, type(None)})


@cache
def _fields_of(kind: type[BaseModel]) -> tuple[tuple[str, bool], ...]:
    """The fields of a part, and which of them a file must have."""
    return tuple((name, each.is_required()) for name, each in kind.model_fields.items())


def _plain(value: object) -> object:
    """Turn a part into JSON values, without what is empty by default.

    A pot that stands for itself alone doesn't say so: older programs know no benches.
    """
    if isinstance(value, float):
        return int(value) if value.is_integer() else value
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, MonthDay):
        return str(value)
    if isinstance(value, list | tuple):
        return [_plain(inner) for inner in value]
    if isinstance(value, BaseModel):
        out: dict[str, object] = {}
        held = value.__dict__
        for name, is_required in _fields_of(type(value)):
            plain = held[name]
            if type(plain) not in _AS_THEY_ARE:
                plain = _plain(plain)
            is_told = plain or plain in (0, False) or is_required
            if is_told and not (name == "copies" and plain == 1):
                out[name] = plain
        out.update(value.model_extra or {})
        return out
    if isinstance(value, Mapping):
        return {key: _plain(inner) for key, inner in value.items()}
    return value


def _lay_out(value: _Nest, *, indent: str, lead: str, tail: str, lines: list[str]) -> None:
    start = indent + lead
    inner = value.values() if isinstance(value, dict) else value
    if _NESTS.isdisjoint(map(type, inner)):
        line = _encode(value)
        if not value or len(start) + len(line) <= _LINE_WIDTH:
            lines.append(f"{start}{line}{tail}")
            return
    deeper = indent + "  "
    begin, end = "{}" if isinstance(value, dict) else "[]"
    leads = [f"{json_text(key)}: " for key in value] if begin == "{" else [""] * len(value)
    commas = [","] * (len(value) - 1) + [""]
    lines.append(start + begin)
    for lead, item, comma in zip(leads, inner, commas, strict=True):
        if isinstance(item, dict | list):
            _lay_out(item, indent=deeper, lead=lead, tail=comma, lines=lines)
        else:
            lines.append(f"{deeper}{lead}{json_text(item)}{comma}")
    lines.append(f"{indent}{end}{tail}")
