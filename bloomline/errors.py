"""Errors a person can act on: each says what is wrong, where, and what would mend it."""

from __future__ import annotations

from collections.abc import Sequence

from bloomline.words import tr


class BloomlineError(Exception):
    """Base of every error that bloomline raises on purpose.

    `exit_code` is what the command line returns for it: 2 bad use, 3 bad input.
    """

    exit_code = 3


class UsageError(BloomlineError):
    """A request that can't be carried out as asked (unknown option value, missing choice)."""

    exit_code = 2


class StoppedError(BloomlineError):
    """Long work was stopped because it is no longer wanted."""


class UnknownNameError(BloomlineError):
    """A cultivar, place, pot or layer that no one knows by that name."""

    exit_code = 2

    def __init__(self, what: str, name: str, *, near: Sequence[str] = ()) -> None:
        self.what = what
        self.name = name
        self.near = tuple(near)
        told = tr("no {what} called “{name}”", what=tr(what), name=name)
        if near:
            told = tr("{told}; did you mean {near}?", told=told, near=", ".join(near))
        super().__init__(told)


class FileProblemError(BloomlineError):
    """A file that can't be read or written as it is."""

    def __init__(self, path: str, problem: str, *, where: str = "") -> None:
        self.path = path
        self.problem = problem
        self.where = where
        place = f"{path}: {where}" if where else path
        super().__init__(f"{place}: {problem}")


class DataError(BloomlineError):
    """Rows of a table that break its rules; every row is named, not only the first."""

    def __init__(self, path: str, problems: Sequence[str]) -> None:
        self.path = path
        self.problems = tuple(problems)
        shown = "; ".join(self.problems[:5])
        more = f"; and {len(self.problems) - 5} more" if len(self.problems) > 5 else ""
        super().__init__(f"{path}: {shown}{more}")


class EditRefusedError(BloomlineError):
    """A change to the yard that makes no sense; the sentence says why."""
