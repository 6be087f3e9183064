"""Bring yard documents of older versions up to today's, one major version at a time.

A step takes a document of major version N and returns one of N + 1; it alters nothing. Minor
versions only add keys: this program keeps keys of a newer minor version that it doesn't know.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from bloomline.errors import BloomlineError
from bloomline.model.yard import VERSION
from bloomline.words import quoted

Document = dict[str, object]
Step = Callable[[Document], Document]

STEPS: Mapping[int, Step] = {}
"""For each old major version, the step to the next one."""


class VersionError(BloomlineError):
    """A document whose version this program can't read."""


def version_of(document: Mapping[str, object]) -> tuple[int, int]:
    """Return the (major, minor) version a document says it has. Raises VersionError."""
    said = document.get("version")
    if said is None:
        raise VersionError(f'the version is missing; this program writes "version": "{VERSION}"')
    if isinstance(said, int) and not isinstance(said, bool) and 0 < said < 10_000:
        return said, 0
    parts = (
        re.fullmatch(r"([1-9]\d{0,3})(?:\.(\d{1,4}))?", said, re.ASCII)
        if isinstance(said, str)
        else None
    )
    if parts is None:
        shown = quoted(str(said)[:40]) if isinstance(said, str | float) else "something else"
        raise VersionError(f'a version such as "{VERSION}" is wanted, not {shown}')
    return int(parts[1]), int(parts[2] or 0)


def is_newer_minor(document: Mapping[str, object], *, current: str = VERSION) -> bool:
    """Tell whether a document is of today's major version but a later minor one."""
    return version_of(document) > version_of({"version": current})


def up_to_date(
    document: Document, *, steps: Mapping[int, Step] = STEPS, current: str = VERSION
) -> Document:
    """Return the document in today's version, the given one unaltered. Raises VersionError."""
    major, minor = version_of(document)
    now_major, _ = version_of({"version": current})
    if major > now_major:
        raise VersionError(
            f"version {major}.{minor} is newer than this program, which reads version "
            f"{now_major}; get a newer bloomline, or save the yard in an older version there"
        )
    if major == now_major:
        return {**document, "version": f"{major}.{minor}"}
    for old in range(major, now_major):
        if old not in steps:
            raise VersionError(f"version {old} is too old to be read")
        document = steps[old](dict(document))
    return {**document, "version": current}
