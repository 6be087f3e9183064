"""Colour of a stretch of days, counted as the season counts its weeks.

`DaysWith` answers it for one layer more at a time, for many of them: what flowers beside it is
put together once.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.covering import is_sure
from bloomline.engine.in_flower import N_NODES
from bloomline.plan.forecast.report import Spread
from bloomline.plan.season.colour import YardColour, in_flower
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.solve import SolvedYard, solve_yard

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class StretchColour:
    """Days in colour and with scent between two days: anywhere in the yard, and by pot id.

    by_day : share of the years in colour on each day, by pot id (None for the yard) and whether
    only scent is asked for.
    """

    colour: Spread
    scent: Spread
    pots: dict[str, Spread]
    pot_scent: dict[str, Spread]
    by_day: dict[tuple[str | None, bool], Floats]

    def days(
        self, pot_id: str | None = None, *, scented: bool = False, least_share: float | None = None
    ) -> float:
        """Days in colour in the mean, or those that are so in at least a share of the years."""
        if least_share is not None:
            return float(is_sure(self.by_day[pot_id, scented], least_share=least_share).sum())
        if pot_id is None:
            return (self.scent if scented else self.colour).expected
        return (self.pot_scent if scented else self.pots)[pot_id].expected


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

    by_day: dict[tuple[str | None, bool], Floats] = {}

    def spread(pot_id: str | None, *, scented: bool) -> Spread:
        rows = [
            place.row
            for place in worked.places
            if place.row >= 0
            and (pot_id is None or place.pot.id == pot_id)
            and (not scented or place.cultivar.scent > 0)
        ]
        layers = np.bincount(rows, minlength=len(worked.solved.plantings))
        colour = YardColour(worked, layers, flowers=flowers)
        by_day[pot_id, scented] = colour.by_day(*days)
        return colour.days(*days)

    return StretchColour(
        colour=spread(None, scented=False),
        scent=spread(None, scented=True),
        pots={name: spread(name, scented=False) for name in pot_ids},
        pot_scent={name: spread(name, scented=True) for name in pot_ids},
        by_day=by_day,
    )


class DaysWith:
    """Days in colour of some rows of a solved yard with one more."""

    def __init__(
        self, worked: SolvedYard, rows: Collection[int], *, first: date, last: date
    ) -> None:
        """Put what flowers on the days from `first` to `last` together by cultivar."""
        self._flowers = in_flower(worked.solved)
        start = worked.solved.first_ordinal + self._flowers.begin
        self._n_days = (last - first).days + 1
        self._from = first.toordinal() - start
        self._cultivar = self._flowers.cultivar
        self._kinds: dict[int, NDArray[np.uint8]] = {}
        for row in rows:
            bits = self._bits(row)
            known = self._kinds.get(int(self._cultivar[row]))
            self._kinds[int(self._cultivar[row])] = bits if known is None else known | bits
        self._without: dict[int, Floats] = {}
        self.before = self._days(self._dark_without(-1))

    def after(self, row: int) -> float:
        """Expected days in colour with a row more."""
        kind = int(self._cultivar[row])
        bits = self._bits(row)
        if kind in self._kinds:  # which errs together with what is there of it
            bits = bits | self._kinds[kind]
        return self._days(self._dark_without(kind) * (1.0 - np.bitwise_count(bits) / N_NODES))

    def _days(self, dark: Floats) -> float:
        return float((1.0 - dark).sum(axis=0).mean())

    def _dark_without(self, kind: int) -> Floats:
        key = kind if kind in self._kinds else -1
        if key not in self._without:
            dark = np.ones((self._n_days, self._flowers.n_years))
            for name, bits in self._kinds.items():
                if name != key:
                    dark *= 1.0 - np.bitwise_count(bits) / N_NODES
            self._without[key] = dark
        return self._without[key]

    def _bits(self, row: int) -> NDArray[np.uint8]:
        """Nodes in flower on the days, shape (n_days, n_years)."""
        seen = self._flowers.bits[row]
        bits = np.zeros((self._n_days, seen.shape[1]), dtype=np.uint8)
        low, high = max(self._from, 0), min(self._from + self._n_days, len(seen))
        if low < high:
            bits[low - self._from : high - self._from] = seen[low:high]
        return bits
