"""Names in a sentence: "a, b and c"."""

from __future__ import annotations

from collections.abc import Iterable


def listed(names: Iterable[str], *, most: int | None = None) -> str:
    """Names in a sentence, each once; more than `most` are cut with how many are left."""
    each = list(dict.fromkeys(names))
    if most is not None and len(each) > most:
        each = [*each[: most - 1], f"{len(each) - most + 1} more"]
    if len(each) < 2:
        return "".join(each)
    return f"{', '.join(each[:-1])} and {each[-1]}"
