"""Plantings that are due while their pot isn't free, as the views ask for them."""

from __future__ import annotations

from bloomline.errors import BloomlineError
from bloomline.plan.carry.collision import Conflict
from bloomline.plan.carry.succession import successions
from bloomline.plan.season.outlook import known
from bloomline.plan.season.yard import season_report
from bloomline.ui.document import Document


def conflicts_now(document: Document, *, pot_id: str | None = None) -> tuple[Conflict, ...]:
    """All conflicts by day; those of one pot with the dates of flower that come of a later start.

    None while the season is being worked out, or the yard names what isn't known.
    """
    outlook = document.outlook
    if known(season_report, outlook) is None:
        return ()
    try:
        return successions(outlook, pot_id=pot_id, with_dates=pot_id is not None)
    except BloomlineError:
        return ()  # others tell so
