"""Weeks of colour of any set of layers and kinds, from a few forecasts made once.

The yard's weeks are those of `plan.season`: colour counted year by year, cultivars independent
within a year. So the chance that nothing flowers is a product over cultivars, and a set's weeks
are one product of tables instead of a forecast.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.in_flower import N_NODES, InFlower
from bloomline.model.revising import given
from bloomline.model.yard import Yard
from bloomline.plan.season.colour import in_flower
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.solve import SolvedYard, solve_yard
from bloomline.plan.shop.choices import Line

Floats = NDArray[np.float64]
Table = NDArray[np.float32]


def _only(yard: Yard, changes: Mapping[str, Mapping[str, str | int]]) -> Yard:
    """A yard of nothing but the layers that are changed; each flowers as it does among others."""
    pots = []
    for pot in yard.pots:
        layers = tuple(
            given(layer, changes[layer.id]) for layer in pot.layers if layer.id in changes
        )
        if layers:
            pots.append(given(pot, {"layers": layers}))
    return yard.model_copy(update={"pots": tuple(pots)})


class SetColours:
    """Tables of darkness, shape (n_days, n_years), by line, layers kept and kind."""

    def __init__(self, outlook: Outlook, lines: Sequence[Line]) -> None:
        """Forecast the yard with every kind of every line."""
        self._lines = lines
        most = max((len(line.kinds) for line in lines), default=1)
        self._solved: list[tuple[Mapping[str, int], InFlower]] = []
        worked: SolvedYard | None = None
        for number in range(most):
            changes: dict[str, dict[str, str | int]] = {
                layer_id: {"cultivar_id": line.kinds[number].id}
                for line in lines
                if 0 < number < len(line.kinds)
                for layer_id in line.everything
            }
            there = outlook.yard if number == 0 else _only(outlook.yard, changes)
            found = solve_yard(outlook.what_if(yard=there))
            worked = worked or found
            rows = dict(zip(found.plots.layer_ids, found.rows.tolist(), strict=True))
            self._solved.append((rows, in_flower(found.solved)))
        assert worked is not None
        self._shape = (self._solved[0][1].n_days, self._solved[0][1].n_years)
        chosen = {layer_id for line in lines for layer_id in line.everything}
        standing: dict[str, list[str]] = {}
        kinds = [plot.cultivar.id for plot in worked.plots.plots]
        for layer_id, plot in zip(
            worked.plots.layer_ids, worked.plots.of_layer.tolist(), strict=True
        ):
            if layer_id not in chosen:
                standing.setdefault(kinds[plot], []).append(layer_id)
        self._beside = [self.rows(standing.pop(line.cultivar.id, []), 0) for line in lines]
        self.base = np.ones(self._shape)
        for ids in standing.values():
            self.base *= self._dark(self.rows(ids, 0), 0)
        self._tables: dict[tuple[int, frozenset[int], int], Floats] = {}

    def row(self, layer_id: str, kind: int) -> int:
        """Where a layer flowers as a kind: layers that flower alike share a row; -1 for never."""
        return self._solved[kind][0][layer_id]

    def rows(self, layer_ids: Iterable[str], kind: int) -> frozenset[int]:
        """The rows in which some layers flower as a kind."""
        return frozenset(self.row(each, kind) for each in layer_ids) - {-1}

    def _dark(self, rows: frozenset[int], number: int) -> Floats:
        """Chance of no flower of layers that err together."""
        flowers = self._solved[number][1]
        dark = np.ones(self._shape)
        if rows:
            shown = np.bitwise_or.reduce(flowers.bits[list(rows)], axis=0)
            days = slice(flowers.begin, min(flowers.begin + len(shown), self._shape[0]))
            dark[days] -= np.bitwise_count(shown[: days.stop - days.start]) / N_NODES
        return dark

    def table(self, at: int, kept: frozenset[str], kind: int) -> Floats:
        """Darkness of a line with some of its layers kept, as its kind of that number."""
        return self.table_of(at, self.rows(kept, kind), kind)

    def table_of(self, at: int, rows: frozenset[int], kind: int) -> Floats:
        """The same by the rows in which those that are kept flower."""
        key = (at, rows, kind if rows else 0)
        found = self._tables.get(key)
        if found is None:
            beside = self._beside[at]
            if kind == 0 or not rows:
                found = self._dark(beside | rows, 0)
            else:
                found = self._dark(rows, kind) * self._dark(beside, 0)
            self._tables[key] = found
        return found

    def weeks(self, dark: Floats) -> float:
        """Weeks of colour of a product of tables, `base` among them."""
        return float((dark.shape[0] - dark.sum() / dark.shape[1]) / 7.0)

    def weeks_of(self, scene: Sequence[tuple[frozenset[str], int]]) -> float:
        """Weeks of colour with what is kept of every line, and its kind."""
        return self.weeks_in([(self.rows(kept, kind), kind) for kept, kind in scene])

    def weeks_in(self, rows: Sequence[tuple[frozenset[int], int]]) -> float:
        """The same by the rows in which each line flowers, and its kind."""
        dark = self.base.copy()
        for at, (mine, kind) in enumerate(rows):
            dark *= self.table_of(at, mine, kind)
        return self.weeks(dark)
