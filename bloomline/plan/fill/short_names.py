"""Shorter forms of names in a list that keep what tells a row from the others.

Most kinds are told by their epithet; what stands in brackets, a Group or a way of growing, can go.
Kinds without an epithet may differ in the brackets alone: there those words stay that differ.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator

_IN_BRACKETS = re.compile(r"\s*\(([^)]*)\)")


def short_form(
    name: str, others: Iterable[str], *, room: float, measure: Callable[[str], float]
) -> str:
    """The longest form that is no wider than `room`; the shortest where none is.

    others : the names beside it, itself among them or not. measure : how wide words are.
    """
    form = name
    for form in _forms(name, others):
        if measure(form) <= room:
            break
    return form


def _forms(name: str, others: Iterable[str]) -> Iterator[str]:
    yield name
    bare = _bare(name)
    genus, _, rest = bare.partition(" ")
    initial = f"{genus[0]}." if rest and len(genus) > 2 and genus[0].isupper() else genus
    epithet = rest[rest.find("'") :] if "'" in rest else ""
    alike = {each for each in others if each != name and _bare(each) == bare}
    if not alike:
        yield bare
        yield f"{initial} {rest}".strip()
        if epithet:
            yield f"{initial} {epithet}"
        return
    brackets = _in_brackets(name)
    apart = _what_differs(brackets, [_in_brackets(each) for each in alike])
    for words in (brackets, apart):
        told = f" ({words})" if words else ""
        yield f"{bare}{told}"
        yield f"{initial} {rest}".strip() + told
    yield f"{initial} {epithet}".strip() + (f" ({apart})" if apart else "")


def _bare(name: str) -> str:
    return _IN_BRACKETS.sub("", name).strip() or name


def _in_brackets(name: str) -> str:
    found = _IN_BRACKETS.search(name)
    return found[1] if found else ""


def _what_differs(words: str, others: Iterable[str]) -> str:
    """The words but for those that all begin and end with, which are left out with …."""
    mine, rest = words.split(), [each.split() for each in others]
    first = 0
    while first < len(mine) and all(each[first : first + 1] == [mine[first]] for each in rest):
        first += 1
    last = 0
    while last < len(mine) - first and all(
        len(each) - first > last and each[-1 - last] == mine[-1 - last] for each in rest
    ):
        last += 1
    kept = " ".join(mine[first : len(mine) - last])
    return f"{'…' if kept and first else ''}{kept}{'…' if kept and last else ''}"
