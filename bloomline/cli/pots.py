"""Pots by the names that are given on a command line."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bloomline.plan.report import SeasonReport


def pot_ids_named(report: SeasonReport, names: Sequence[str] | None) -> tuple[str, ...] | None:
    """The pots of these ids or names; None for all. Raises UnknownNameError."""
    from bloomline.cli.chart import _pot_id

    return None if names is None else tuple(_pot_id(report, name) for name in names)
