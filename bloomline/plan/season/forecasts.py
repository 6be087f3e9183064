"""What a solved yard says of its pots and layers, each when it is asked for."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import date
from functools import cached_property, partial
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.in_flower import InFlower
from bloomline.model.advice import Advice
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot
from bloomline.plan.forecast.advice import planting_advice, poison_advice
from bloomline.plan.forecast.later import WorkOut, later
from bloomline.plan.forecast.mixed import MixedRow, part_bands
from bloomline.plan.forecast.outcomes import Bands, Outcome, OutcomeColumns, bands_of, dates_of
from bloomline.plan.forecast.planting_day import usual_planting_span
from bloomline.plan.forecast.report import (
    Alike,
    CompanionForecast,
    LayerForecast,
    PartForecast,
    PotForecast,
    Spread,
    Stretch,
)
from bloomline.plan.forecast.solved import STAGES, some_rows
from bloomline.plan.season.colour import HANDOVER_DAYS, pot_summary, spreads_of
from bloomline.plan.season.solve import SolvedYard, warmth_order
from bloomline.plan.tops.companions import companion_forecast, companion_of
from bloomline.words import tr

Floats = NDArray[np.float64]
Fields = Mapping[str, object]

_layer_forecast, _pot_forecast = later(LayerForecast), later(PotForecast)
_POTS_AT_ONCE = 32
_PART_STAGES = ("nose", "start", "end", "leaves_over")


class YardForecasts:
    """Pots and layers of a solved yard; what a view doesn't ask for is never made."""

    def __init__(
        self,
        worked: SolvedYard,
        *,
        chance: Floats,
        part_chance: Mapping[int, Floats],
        flowers: InFlower,
    ) -> None:
        """Read a yard.

        chance : of each row by day, shape (n_rows, n_days). part_chance : of the parts of rows
        that are mixtures. flowers : of the solved table (`in_flower`).
        """
        self._worked, self._flowers = worked, flowers
        self._chance, self._part_chance = chance, part_chance
        self._bands = bands_of(worked.solved)
        self._numbers, self._row_of = worked.plots.numbers, worked.plot_rows.tolist()
        self._seen: dict[int, tuple[Bands, int]] = {}
        self._opens: dict[int, float] = {-1: math.inf}
        self._looked_at: set[int] = set()
        self._mixed = {mixed.row: mixed for mixed in worked.solved.mixed}
        self._poison: dict[str, list[Advice]] = {}
        self._rows: dict[int, Fields] = {}
        self._plots: dict[int, tuple[WorkOut, Fields]] = {}
        self._weeks: dict[int, tuple[Spread, Spread]] = {}
        self._weeks_of_groups: dict[tuple[int, ...], Spread] = {}
        self._pots: tuple[PotForecast, ...] = ()

    def pots(self) -> tuple[PotForecast, ...]:
        """Every pot, in yard order. Raises UnknownNameError for a companion that isn't known."""
        for pot in self._worked.yard.pots:
            for planting in pot.companions:
                companion_of(planting.companion_id)
        self._pots = tuple(
            _pot_forecast(
                partial(self._of_pot, at),
                {
                    "pot_id": pot.id,
                    "name": pot.name,
                    "copies": pot.copies,
                    "n_parts": len(pot.layers) + len(pot.companions),
                    **({} if pot.companions else {"companions": ()}),
                },
            )
            for at, pot in enumerate(self._worked.yard.pots)
        )
        return self._pots

    def alike(self) -> tuple[Alike, ...]:
        """A layer of each plot and number of bulbs; only of pots with one are layers made."""
        counts, pots = self._worked.plots.alike
        found: dict[tuple[int, int], Alike] = {}
        for at in pots:
            for (layer, number), made in zip(self._lying(at), self._pots[at].layers, strict=True):
                key = (number, layer.count)
                if key not in found:
                    found[key] = Alike(made, *counts[key])
        return tuple(found.values())

    # A pot

    def _of_pot(self, at: int, name: str) -> Fields:
        pot = self._worked.yard.pots[at]
        match name:
            case "summary":
                return {name: pot_summary(pot)}
            case "layers":
                return {name: self._layers(at)}
            case "clashes":
                return {name: self._clashes(at, pot)}
            case "companions":
                return {name: _companions(pot, self._worked)}
        if at not in self._weeks:
            self._find_weeks(at)
        colour, scent = self._weeks[at]
        return {"weeks_of_colour": colour, "weeks_of_scent": scent}

    def _lying(self, at: int) -> list[tuple[Layer, int]]:
        """Layers and plots of a pot by first flower; those without one come last."""
        lying = [*zip(self._worked.yard.pots[at].layers, self._numbers[at], strict=True)]
        self._see(at)
        lying.sort(key=lambda each: self._opens[self._row_of[each[1]]])
        return lying

    def _layers(self, at: int) -> tuple[LayerForecast, ...]:
        pot = self._worked.yard.pots[at]
        found = []
        for layer, number in self._lying(at):
            more, same = self._plots.get(number) or self._plot(number)
            own = {"layer_id": layer.id, "pot_id": pot.id, "count": layer.count}
            found.append(_layer_forecast(more, {**same, **own}))
        return tuple(found)

    def _see(self, at: int) -> None:
        """Have bands of the rows of a pot, and of those of the pots about it at the same time.

        A plot opens on a day, so that layers that open on one day stay in order as they lie.
        """
        if at in self._looked_at:
            return
        about = self._about(at, len(self._looked_at))
        rows = {self._row_of[number] for each in about for number in self._numbers[each]}
        new = sorted(row for row in rows if row >= 0 and row not in self._seen)
        if new:
            bands = bands_of(some_rows(self._worked.solved, new))
            days = np.where(bands.flowers, np.floor(bands["start"].p50), np.inf)
            self._seen.update({row: (bands, number) for number, row in enumerate(new)})
            self._opens.update(zip(new, days.tolist(), strict=True))
        self._looked_at.update(about)

    def _about(self, at: int, n_before: int) -> range:
        """The pots to work out with a pot: some for a view, ever more where all are read."""
        first = at - at % _POTS_AT_ONCE
        size = _POTS_AT_ONCE + n_before // 2
        return range(first, min(first + size, len(self._numbers)))

    def _clashes(self, at: int, pot: Pot) -> tuple[Stretch, ...]:
        """Layers of one pot that flower together though meant to follow one another.

        A week's overlap is a good hand-over; more is flowering together.
        """
        if not pot.successive:
            return ()
        self._see(at)
        date_of = self._worked.solved.date_of
        found = []
        flowering = []
        for layer, number in zip(pot.layers, self._numbers[at], strict=True):
            if self._opens[self._row_of[number]] < math.inf:
                bands, row = self._seen[self._row_of[number]]
                flowering.append((layer, bands["start"].p50[row], bands["end"].p50[row]))
        for number, (layer, start, end) in enumerate(flowering):
            for other, other_start, other_end in flowering[number + 1 :]:
                first, last = max(start, other_start), min(end, other_end)
                if last - first > HANDOVER_DAYS:
                    ids = (layer.id, other.id)
                    found.append(Stretch(date_of(first), date_of(last), layer_ids=ids))
        return tuple(found)

    def _groups_of(self, at: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """The rows of a pot's layers that flower this season, and those of them that smell."""
        plots, rows = self._worked.plots.plots, self._row_of
        shown = [number for number in self._numbers[at] if rows[number] >= 0]
        scented = [number for number in shown if plots[number].cultivar.scent > 0]
        return tuple([rows[each] for each in shown]), tuple([rows[each] for each in scented])

    def _find_weeks(self, at: int) -> None:
        """Weeks of a pot and of those about it, which a view shows with it.

        Pots of one planting have one answer, and most have no scent at all.
        """
        about = {each: self._groups_of(each) for each in self._about(at, len(self._weeks))}
        known = self._weeks_of_groups
        asked = {*chain.from_iterable(about.values())}
        new = sorted(group for group in asked if group not in known)
        if new:
            groups = np.full((len(new), max(map(len, new))), -1, dtype=np.int64)
            for some, group in zip(groups, new, strict=True):
                some[: len(group)] = group
            days = self._flowers.days_of_groups(groups)
            spreads = spreads_of(days / 7.0, warmth_order(self._worked.solved))
            known.update(zip(new, spreads, strict=True))
        self._weeks.update(
            {each: (known[colour], known[scent]) for each, (colour, scent) in about.items()}
        )

    # A layer

    def _plot(self, number: int) -> tuple[WorkOut, Fields]:
        """The way to the words and figures of all layers of a plot, and what is at hand of them."""
        plot, row = self._worked.plots.plots[number], self._row_of[number]
        of_row = self._rows.get(row)
        if of_row is None:
            of_row = self._rows[row] = self._of_row(row)
        same = {
            **_of_kind(plot.cultivar),
            **of_row,
            "planted": plot.planted,
            "established": self._worked.established[number],
        }
        made = self._plots[number] = partial(self._more, number, {}), same
        return made

    def _more(self, number: int, told: dict[str, object], name: str) -> Fields:
        """The words and figures of a plot's layers; what one was told of, the others are too."""
        if name not in told:
            told.update(self._tell(number, name))
        return told

    def _tell(self, number: int, name: str) -> Fields:
        row = self._row_of[number]
        match name:
            case "advice":
                said = () if row < 0 else self._outcomes[row].advice
                return {name: (*said, *self._notes(number))}
            case "reason":
                return {name: self._reason(number, row)}
        return _NO_FIGURES if row < 0 else self._columns.figures(row)

    @cached_property
    def _columns(self) -> OutcomeColumns:
        worked = self._worked
        return OutcomeColumns(worked.solved, self._bands, worked.cold_plans)

    @cached_property
    def _outcomes(self) -> Sequence[Outcome]:
        """What the rows say in words; figures alone need none of it."""
        return self._columns.rows()

    def _of_row(self, row: int) -> Fields:
        """What is the same of all layers of a row of the table."""
        mixed = self._mixed.get(row)
        bands, at = self._seen.get(row, (self._bands, row))
        return {
            **(dict.fromkeys(STAGES) if row < 0 else bands.dates(at)),
            "after_season": row < 0,
            "chance": self._chance[row] if row >= 0 else np.zeros(self._worked.n_days),
            "parts": () if mixed is None else self._parts(mixed),
        }

    def _parts(self, mixed: MixedRow) -> tuple[PartForecast, ...]:
        solved, chances = self._worked.solved, self._part_chance[mixed.row]
        bands = {
            stage: dates_of(part_bands(solved, mixed, stage), solved) for stage in _PART_STAGES
        }
        return tuple(
            PartForecast(
                kind.name,
                kind.colour_hex,
                kind.second_colour_hex,
                float(mixed.shares[at]),
                chances[at],
                **{stage: dates[at] for stage, dates in bands.items()},
            )
            for at, kind in enumerate(mixed.kinds)
        )

    def _reason(self, number: int, row: int) -> str | None:
        """Why there is no flower."""
        if row < 0:
            return tr("planted after this season")
        if self._bands.flowers[row]:
            return None
        outcome = self._outcomes[row]
        frail = max(outcome.too_little_cold_share, outcome.killed_share) >= 0.5
        lifted_on = self._worked.plots.plots[number].lifted_on
        if lifted_on is not None and not frail:
            return tr(
                "no flower this season: to be lifted on {lifted_on}, before it opens",
                lifted_on=lifted_on,
            )
        return outcome.reason

    def _notes(self, number: int) -> list[Advice]:
        """Advice on a plot beside what its forecast says; what many share is worded once."""
        plot, row = self._worked.plots.plots[number], self._row_of[number]
        cultivar = plot.cultivar
        if cultivar.id not in self._poison:
            pets = self._worked.yard.settings.pets
            self._poison[cultivar.id] = poison_advice(cultivar, pets=pets)
        usual = self._worked.usual_days[cultivar.id]
        planting = planting_advice(
            planted=plot.planted,
            usual=usual,
            established=self._worked.established[number] or row < 0,
            prechilled=plot.prechill_weeks > 0.0,
            flowers=row >= 0 and bool(self._bands.flowers[row]),
            window=usual_planting_span(cultivar, usual=usual),
        )
        return planting + self._poison[cultivar.id]


def _of_kind(cultivar: Cultivar) -> Fields:
    """What a forecast says of the kind itself."""
    return {
        "cultivar_id": cultivar.id,
        "name": cultivar.name,
        "common_type": cultivar.common_type,
        "colour": cultivar.colour,
        "colour_hex": cultivar.colour_hex,
        "second_colour_hex": cultivar.second_colour_hex,
        "height_cm": cultivar.height_cm,
        "scent": cultivar.scent,
        "date_source": f"{cultivar.date_basis}: {cultivar.date_note}".rstrip(": "),
    }


_NO_FIGURES: Fields = {
    "cold_met_on": None,
    "cold_weeks": 0.0,
    "cold_weeks_needed": None,
    "too_little_cold_share": 0.0,
    "killed_share": 0.0,
    "cold_plan": None,
}
"""Cold and frost of a layer that is planted after the season."""


def _companions(pot: Pot, worked: SolvedYard) -> tuple[CompanionForecast, ...]:
    found = [
        companion_forecast(
            pot,
            planting,
            solved=worked.solved,
            site_offset_c=worked.yard.site_offsets.get(pot.site, 0.0),
            pets=worked.yard.settings.pets,
        )
        for planting in pot.companions
    ]
    return tuple(sorted(found, key=lambda each: each.first or date.max))
