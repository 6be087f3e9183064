"""Which layers of a yard are planted alike, kept from one look at it to the next.

What a garden and its weather make of a planting is worked out once for each plot; which plot a
layer is doesn't change with them. A pot that an edit left alone is known by its identity.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from itertools import accumulate, chain
from operator import is_
from threading import Lock
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.climate.surroundings import Standing, extra_cover_cm, standing_of
from bloomline.plan.season.outlook import find_cultivar
from bloomline.reference.catalogue import Catalogue

Ints = NDArray[np.int64]

_MOST_KEPT = 3  # the yard that is looked at, the one before, and one of a question beside
_MANY_TIMES, _SPARE = 4, 512


@dataclass(frozen=True, slots=True, eq=False)
class Plot:
    """All that tells one planting of a yard from another, wherever the yard is looked at."""

    cultivar: Cultivar
    standing: Standing
    planted: date
    prechill_weeks: float
    extra_cover_cm: float
    lifted_on: date | None


class LikeLayers(NamedTuple):
    """How many layers are of one plot and one number of bulbs, and in how many pots of benches."""

    n_layers: int
    times: int


@dataclass(frozen=True, eq=False)
class Plots:
    """The plots of a yard, and which of them its layers are, pot by pot.

    kinds : the different cultivars. numbers : which of `plots` the layers of each pot are.
    of_layer : the same in one array, shape (n_layers,). n_layers : of each plot, a layer counted
    in every copy of its pot. of_pot : the plots of each pot by its identity.
    """

    pots: tuple[Pot, ...]
    plots: tuple[Plot, ...]
    kinds: tuple[Cultivar, ...]
    numbers: tuple[tuple[int, ...], ...]
    of_layer: Ints
    n_layers: Ints
    of_pot: Mapping[int, tuple[Pot, tuple[Plot, ...]]]

    @cached_property
    def layer_ids(self) -> tuple[str, ...]:
        """The layers by their ids, pot by pot."""
        return tuple([layer.id for pot in self.pots for layer in pot.layers])

    @cached_property
    def alike(self) -> tuple[dict[tuple[int, int], LikeLayers], tuple[int, ...]]:
        """Layers by plot and number of bulbs, and the pots in which a new such pair comes first."""
        counts: dict[tuple[int, int], list[int]] = {}
        new: dict[int, None] = {}
        for at, pot in enumerate(self.pots):
            for layer, number in zip(pot.layers, self.numbers[at], strict=True):
                known = counts.get((number, layer.count))
                if known is None:
                    counts[(number, layer.count)] = [1, pot.copies]
                    new[at] = None
                else:
                    known[0] += 1
                    known[1] += pot.copies
        return {key: LikeLayers(*each) for key, each in counts.items()}, tuple(new)


class PlotKeep:
    """The plots of the yards that were looked at last, for several threads."""

    def __init__(self) -> None:
        self._kept: deque[tuple[_Reader, Plots]] = deque(maxlen=_MOST_KEPT)
        self._lock = Lock()

    def of(self, yard: Yard, catalogue: Catalogue) -> Plots:
        """The plots of a yard. Raises UnknownNameError for a cultivar that no catalogue holds."""
        with self._lock:
            kept = [each for each in self._kept if each[0].reads_alike(yard, catalogue)]
        for _, plots in kept:
            if len(plots.pots) == len(yard.pots) and all(map(is_, plots.pots, yard.pots)):
                return plots
        reader = kept[0][0] if kept else _Reader(yard, catalogue)
        plots = reader.read(yard.pots, kept[0][1] if kept else None)
        with self._lock:
            self._kept.appendleft((reader, plots))
        return plots


class _Reader:
    """Reads pots; makes a plot once for all the layers that it answers."""

    def __init__(self, yard: Yard, catalogue: Catalogue) -> None:
        self._catalogue, self._yard = catalogue, yard.model_copy(update={"pots": ()})
        self._standings: dict[Standing, Standing] = {}
        self._by_value: dict[tuple[object, ...], Plot] = {}
        self._by_cover: dict[tuple[object, ...], Plot] = {}

    def reads_alike(self, yard: Yard, catalogue: Catalogue) -> bool:
        """Whether this one would read pots of a yard as one of its own does."""
        return (
            catalogue is self._catalogue
            and yard.own_cultivars == self._yard.own_cultivars
            and yard.site_offsets == self._yard.site_offsets
        )

    def read(self, pots: tuple[Pot, ...], before: Plots | None) -> Plots:
        """The plots of pots. before : of those that were read last."""
        known = before.of_pot if before is not None else {}
        found = [known.get(each) for each in map(id, pots)]
        old_pots = () if before is None or len(before.pots) != len(pots) else before.pots
        for at, pot in enumerate(pots):
            if found[at] is None:
                stands = None
                if old_pots and _differ_in_layers(old_pots[at], pot):
                    stands = next((plot.standing for plot in known[id(old_pots[at])][1]), None)
                found[at] = (pot, self._plots_of(pot, stands or self._standing_of(pot)))
        of_pot = {id(each[0]): each for each in found if each is not None}
        lying = [of_pot[each][1] for each in map(id, pots)]
        in_layers = [*chain.from_iterable(lying)]
        ids = [*map(id, in_layers)]
        different = dict(zip(ids, in_layers, strict=True))  # in the order in which they come first
        numbers = dict(zip(different, range(len(different)), strict=True))
        if len(self._by_cover) > _MANY_TIMES * len(different) + _SPARE:
            self._by_cover.clear()
            self._by_value = {_value(plot): plot for plot in different.values()}
        which = [*map(numbers.__getitem__, ids)]
        of_layer = np.array(which, dtype=np.int64)
        ends = [*accumulate(map(len, lying))]
        copies = np.repeat([pot.copies for pot in pots], [*map(len, lying)])
        n_layers = np.bincount(of_layer, weights=copies, minlength=len(different))
        return Plots(
            pots=pots,
            plots=tuple(different.values()),
            kinds=tuple({plot.cultivar.id: plot.cultivar for plot in different.values()}.values()),
            numbers=tuple([tuple(which[a:b]) for a, b in zip([0, *ends], ends, strict=False)]),
            of_layer=of_layer,
            n_layers=n_layers.astype(np.int64),
            of_pot=of_pot,
        )

    def _standing_of(self, pot: Pot) -> Standing:
        """Where a pot stands, one object for all pots that stand alike."""
        standing = standing_of(pot, site_offset_c=self._yard.site_offsets.get(pot.site, 0.0))
        return self._standings.setdefault(standing, standing)

    def _plots_of(self, pot: Pot, standing: Standing) -> tuple[Plot, ...]:
        found = []
        for layer in pot.layers:
            key = (
                layer.cultivar_id,
                id(standing),
                layer.planted,
                layer.prechill_weeks,
                layer.cover_cm,
                layer.lifted_on,
            )
            plot = self._by_cover.get(key)
            if plot is None:
                plot = self._by_cover[key] = self._plot(layer, standing)
            found.append(plot)
        return tuple(found)

    def _plot(self, layer: Layer, standing: Standing) -> Plot:
        cultivar = find_cultivar(self._yard, layer.cultivar_id, catalogue=self._catalogue)
        plot = Plot(
            cultivar=cultivar,
            standing=standing,
            planted=layer.planted,
            prechill_weeks=layer.prechill_weeks,
            extra_cover_cm=extra_cover_cm(layer.cover_cm, cultivar),
            lifted_on=layer.lifted_on,
        )
        return self._by_value.setdefault(_value(plot), plot)


def _differ_in_layers(old: Pot, new: Pot) -> bool:
    """Whether two pots are the same but for their layers; told quickly for copies of one."""
    return {**old.__dict__, "layers": new.layers} == new.__dict__


def _value(plot: Plot) -> tuple[object, ...]:
    """What makes two plots one; a kind and a standing are the same objects in all of them."""
    return (
        plot.cultivar.id,
        id(plot.standing),
        plot.planted,
        plot.prechill_weeks,
        plot.extra_cover_cm,
        plot.lifted_on,
    )
