"""Colour of a stretch of days, counted as the season counts its weeks."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

import numpy as np

from bloomline.plan.forecast.report import Spread
from bloomline.plan.season.colour import YardColour, in_flower
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.solve import solve_yard


@dataclass(frozen=True, slots=True)
class StretchColour:
    """Days in colour and with scent between two days: anywhere in the yard, and by pot id."""

    colour: Spread
    scent: Spread
    pots: dict[str, Spread]
    pot_scent: dict[str, Spread]


def stretch_colour(
    outlook: Outlook, first: date, last: date, *, pot_ids: Collection[str] = ()
) -> StretchColour:
    """Days in colour from `first` to `last`, both counted; of some pots as well.

    Over the whole axis the yard's are seven times the weeks of colour of `season_report`.
    """
    worked = solve_yard(outlook)
    flowers = in_flower(worked.solved)
    start = worked.solved.first_ordinal
    days = (first.toordinal() - start, last.toordinal() - start)

    def spread(pot_id: str | None, *, scented: bool) -> Spread:
        rows = [
            place.row
            for place in worked.places
            if place.row >= 0
            and (pot_id is None or place.pot.id == pot_id)
            and (not scented or place.cultivar.scent > 0)
        ]
        return YardColour(worked, np.array(rows, dtype=np.int64), flowers=flowers).days(*days)

    return StretchColour(
        colour=spread(None, scented=False),
        scent=spread(None, scented=True),
        pots={name: spread(name, scented=False) for name in pot_ids},
        pot_scent={name: spread(name, scented=True) for name in pot_ids},
    )
