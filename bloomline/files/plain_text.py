"""Plain text for a page, and CSV: tables, paragraphs and cells."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Any, TextIO

from bloomline.words import tr

WIDTH = 100

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
"""What makes a spreadsheet take a cell's text for a formula."""


def write_csv(out: TextIO, columns: Sequence[str], rows: Iterable[Mapping[str, Any]]) -> None:
    """Write rows as CSV (RFC 4180). Absent values are empty cells."""
    import csv

    writer = csv.writer(out)
    writer.writerow(columns)
    for row in rows:
        writer.writerow([cell(row.get(name)) for name in columns])


def csv_text(value: Any) -> str:
    """A cell's value as it stands between the commas of what `write_csv` writes."""
    if type(value) is str and value.isalnum():  # neither quoted nor a formula
        return value
    # A second, empty cell, which is cut off: an empty one alone would be quoted.
    line: str = _line_writer().writerow((cell(value), None))
    return line.removesuffix(",\r\n")


class _Through:
    """Hands a written text back, as a writer of CSV hands on what its file returns."""

    def write(self, text: str) -> str:
        return text


@lru_cache(maxsize=1)
def _line_writer() -> Any:
    import csv

    return csv.writer(_Through())


def cell(value: Any) -> Any:
    """A value for a CSV cell; text that a spreadsheet would run as a formula is quoted.

    Source: the usual remedy for formulas in exported tables, common practice.
    """
    if isinstance(value, str):
        text = plain(value, keep="\n\t")
        return f"'{text}" if text.startswith(FORMULA_STARTS) and not _is_number(text) else text
    if isinstance(value, bool):
        return "yes" if value else "no"
    return value


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def table(
    columns: Sequence[str], rows: Sequence[Sequence[object]], *, right: Iterable[int] = ()
) -> list[str]:
    """Lines of a table as wide as its content; `right` columns are set to the right."""
    to_right = set(right)
    sides = []
    turned = zip(*rows, strict=True) if rows else ((),) * len(columns)
    for i, (name, column) in enumerate(zip(columns, turned, strict=True)):
        cells = ["" if each is None or each == "" else plain(str(each)) for each in column]
        width = max(map(len, (name, *cells)))
        put = str.rjust if i in to_right else str.ljust
        sides.append([put(each, width) for each in (name, "─" * width, *cells)])
    return ["  ".join(line).rstrip() for line in zip(*sides, strict=True)]


_ODD = re.compile(
    "[\x00-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    "\ud800-\udfff]"
)
"""Control characters, which move a terminal's cursor; those that turn the direction of writing
or can't be seen, so that a line would read as other than it is; halves of characters.

Source: Unicode Standard, annexes 9 (bidirectional controls) and 14; from memory.
"""


def plain(text: str, *, keep: str = "") -> str:
    """Text whose odd characters are replaced by a visible sign; `keep` are let through."""
    bare = text
    for sign in keep:
        bare = bare.replace(sign, "")
    if bare.isprintable():  # what is odd isn't
        return text
    return _ODD.sub(lambda found: found[0] if found[0] in keep else "�", text)


def escaped(json_text: str) -> str:
    """JSON that means the same, with its odd characters written as escapes."""
    if json_text.isascii() and "\x7f" not in json_text:  # the others are escapes already
        return json_text
    if json_text.replace("\n", "").isprintable():  # what is odd isn't
        return json_text
    return _ODD.sub(
        lambda found: found[0] if found[0] == "\n" else f"\\u{ord(found[0]):04x}", json_text
    )


def shorten(text: str, width: int) -> str:
    """Text cut to a width, with an ellipsis where something is left out."""
    return text if len(text) <= width else f"{text[: width - 1]}…"


def wrapped(text: str, *, indent: str = "", hang: str = "  ") -> list[str]:
    """A paragraph in lines that fit the page."""
    shown = plain(text)
    if len(indent) + len(shown) <= WIDTH and shown.isprintable():
        return [indent + shown.rstrip()] if shown.strip() else [indent]
    return broken(shown, WIDTH, indent=indent, hang=indent + hang) or [indent]


def broken(text: str, width: int, *, indent: str = "", hang: str = "") -> list[str]:
    """Lines as `textwrap` breaks a paragraph, the first behind `indent`, the others `hang`.

    It takes a paragraph apart and puts it together again bit by bit, which for a list of a
    nursery's pots takes as long as all else; so words with one blank between are broken here.
    """
    found = _at_blanks(text, width, indent=indent, hang=hang) if text.isprintable() else None
    if found is None:
        return textwrap.wrap(text, width, initial_indent=indent, subsequent_indent=hang)
    return found


_IN_WORDS = textwrap.TextWrapper()


def _at_blanks(text: str, width: int, *, indent: str, hang: str) -> list[str] | None:
    """The lines of words with one blank between; None for what `textwrap` must do."""
    if not text.strip() or text[0] == " " or "  " in text or "--" in text:
        return None
    text = text.rstrip()
    lines: list[str] = []
    start, before = 0, indent
    while len(text) - start > (room := width - len(before)):
        end = text.rfind(" ", start, start + room + 1)
        if end <= start:
            return None  # a word that is longer than a line
        after = end + 1
        if "-" in text[after : start + room]:  # the next word may be broken there
            stop = text.find(" ", after)
            word = text[after:stop] if stop > 0 else text[after:]
            for part in _IN_WORDS._split(word):
                if after + len(part) > start + room:
                    break
                after += len(part)
            end = after if after > end + 1 else end
        lines.append(before + text[start:end])
        start, before = after, hang
    return [*lines, before + text[start:]]


def advice_lines(advice: Iterable[Any], *, indent: str = "") -> list[str]:
    """Advice in paragraphs, most serious first."""
    rank = {"warning": 0, "caution": 1, "note": 2}
    lines: list[str] = []
    for each in sorted(advice, key=lambda a: rank[str(a.severity)]):
        lines += wrapped(f"{severity_words(each)}: {each.message}", indent=indent)
    return lines


def severity_words(advice: Any) -> str:
    """How serious a piece of advice is."""
    said = {"warning": tr("Warning"), "caution": tr("Caution"), "note": tr("Note")}
    return said[str(advice.severity)]


def advice_object(advice: Any) -> dict[str, str]:
    """A piece of advice for JSON."""
    return {
        "severity": str(advice.severity),
        "topic": advice.topic,
        "message": advice.message,
        "reason": advice.reason,
        "source": advice.source,
    }
