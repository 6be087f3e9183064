"""Pots by the names that are given on a command line."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bloomline.plan.forecast.report import SeasonReport


def pot_ids_named(report: SeasonReport, names: Sequence[str] | None) -> tuple[str, ...] | None:
    """The pots of these ids or names; None for all. Raises UnknownNameError."""
    return None if names is None else tuple(_pot_id(report, name) for name in names)


def _pot_id(report: SeasonReport, name: str) -> str:
    return pot_id_of([(pot.pot_id, pot.name) for pot in report.pots], name)


def pot_id_of(pots: Sequence[tuple[str, str]], name: str) -> str:
    """The pot of that id or name, case and accents forgiven. Raises UnknownNameError.

    pots : id and name of each.
    """
    from bloomline.errors import UnknownNameError
    from bloomline.reference.folding import fold, near_names

    if any(pot_id == name for pot_id, _ in pots):
        return name
    wanted = fold(name)
    hits = [pot_id for pot_id, called in pots if fold(called) == wanted]
    if len(hits) == 1:
        return hits[0]
    if hits:
        raise UnknownNameError("single pot", name, near=hits)
    known = [(fold(called), called) for _, called in pots]
    near = near_names(name, known) or [called for _, called in pots][:6]
    raise UnknownNameError("pot", name, near=near)
