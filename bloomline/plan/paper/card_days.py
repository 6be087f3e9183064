"""The work of a card, a section for each day of planting: what goes in, and what waits."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.packing import smallest_distance_cm
from bloomline.engine.potshape import Section
from bloomline.model.companion import CompanionPlanting
from bloomline.model.yard import Layer, Pot
from bloomline.plan.forecast.report import LayerForecast
from bloomline.plan.kinds.mixtures import parts_words
from bloomline.plan.paper import card_words as words
from bloomline.plan.paper.card_words import CardSentence
from bloomline.plan.pot.compost import PotCompost
from bloomline.plan.pot.fill_marks import Filling
from bloomline.plan.pot.fitting import CultivarOf, LayerFit, PotFit, pot_positions_cm
from bloomline.plan.pot.residence import TOGETHER_DAYS, is_out_before
from bloomline.plan.pot.safety import wants_mesh
from bloomline.plan.tops.companions import companion_of
from bloomline.plan.words.units import Units
from bloomline.reference.tasks import load_task_rules
from bloomline.words import listed

_SAME_CM = 0.05


@dataclass(frozen=True, slots=True)
class CardLayer:
    """One layer on the card, named by a letter. [cm]

    base_cm, tip_cm : depth below the rim. loose_l : compost that goes in up to its base, None
    where it is dug in. [L]
    spacing_cm : from middle to middle, the nearest two; None for a single bulb.
    positions_cm : shape (n, 2), from the middle of the pot; fewer than `count` where not all fit.
    mark : to where the pot is filled, and how many bulbs. work : what to do. expected : when it
    flowers.
    """

    letter: str
    name: str
    count: int
    planted: date
    base_cm: float
    tip_cm: float
    loose_l: float | None
    spacing_cm: float | None
    bulb_diameter_cm: float
    section: Section
    positions_cm: NDArray[np.float64]
    colour_hex: str
    mark: str
    work: tuple[CardSentence, ...]
    expected: str


@dataclass(frozen=True, slots=True)
class CardDay:
    """What is done on one day of planting, in its order."""

    planted: date
    head: str
    steps: tuple[CardSentence | CardLayer, ...]


@dataclass(frozen=True, slots=True)
class _Bulbs:
    """A layer with what its words need."""

    layer: Layer
    fit: LayerFit
    positions_cm: NDArray[np.float64]
    name: str


class DayWriter:
    """Writes the days of one pot; `compost` fills it."""

    def __init__(
        self,
        pot: Pot,
        fit: PotFit,
        compost: PotCompost,
        *,
        forecasts: Mapping[str, LayerForecast],
        cultivar_of: CultivarOf,
        units: Units,
    ) -> None:
        self.pot, self.compost = pot, compost
        self.forecasts, self.cultivar_of, self.units = forecasts, cultivar_of, units
        self._bulbs = sorted(
            (
                _Bulbs(layer, each, places, cultivar_of(layer.cultivar_id).name)
                for layer, each, places in zip(
                    pot.layers, fit.layers, pot_positions_cm(fit), strict=True
                )
            ),
            key=lambda each: -each.fit.base_from_rim_cm,
        )
        self._filling = Filling(pot, compost)
        self._inside: list[_Bulbs] = []
        self._on_top: list[CompanionPlanting] = []
        self._is_dug = self._is_dressed = False
        self._letters = 0

    def days(self, *, has_wheels: bool) -> tuple[CardDay, ...]:
        """The sections, in the order of their days."""
        planted = [each.layer.planted for each in self._bulbs]
        days = sorted({*planted, *(each.planted for each in self.pot.companions)})
        found = []
        for at, day in enumerate(days):
            new = [each for each in self._bulbs if each.layer.planted == day]
            tops = [each for each in self.pot.companions if each.planted == day]
            steps: list[CardSentence | CardLayer] = []
            if at == 0:
                steps += words.before(self.pot, has_wheels=has_wheels, units=self.units)
            steps += self._leaving(day, new)
            steps += [self._layer(each) for each in new]
            steps += self._filled(day, days[at + 1 :], tops)
            steps += [words.companion_in(each, units=self.units) for each in tops]
            self._on_top += tops
            if self._is_full and self.pot.top_dressing_cm > 0 and (self._is_dug or at == 0 or new):
                steps.append(
                    words.dressed(self.pot, self.compost, again=self._is_dressed, units=self.units)
                )
                self._is_dressed = True
            steps.append(words.watered(has_labels=bool(new)))
            steps += self._meshed([each.layer for each in new])
            head = words.day_head(day, [each.layer for each in new])
            found.append(CardDay(day, head, tuple(steps)))
        return tuple(found)

    @property
    def still_on_top(self) -> tuple[CompanionPlanting, ...]:
        """Companions with a set day to leave that is after the last day of planting."""
        return tuple(each for each in self._on_top if each.taken_out is not None)

    def _meshed(self, layers: Sequence[Layer]) -> list[CardSentence]:
        """Wire mesh over bulbs that animals dig for, as long as the work list has it."""
        told = {each.id: self.forecasts.get(each.id) for each in layers}
        new = [each for each in layers if (known := told[each.id]) is None or not known.established]
        kinds = [self.cultivar_of(each.cultivar_id) for each in new]
        rules = load_task_rules()
        cares = [rules.aftercare(kind.genus, kind.group) for kind in kinds]
        if not wants_mesh(self.pot, cares):
            return []
        noses = [
            known.nose.p50
            for each, care in zip(new, cares, strict=True)
            if care.mesh
            and (known := told[each.id]) is not None
            and known.nose is not None
            and known.nose.p50 > each.planted
        ]
        return [words.meshed(min(noses, default=None))]

    @property
    def _is_full(self) -> bool:
        return self._filling.depth_cm <= self._filling.surface_cm + _SAME_CM

    def _leaving(self, day: date, new: Sequence[_Bulbs]) -> list[CardSentence]:
        """What comes out before the plants of a day go in."""
        found = []
        for plant in list(self._on_top):
            if plant.taken_out is not None and plant.taken_out <= day:
                found.append(words.companion_out(plant, on=day))
                self._on_top.remove(plant)
        for old in list(self._inside):
            forecast = self.forecasts.get(old.layer.id)
            gone = any(
                is_out_before(old.layer, each.layer, cultivar_of=self.cultivar_of) for each in new
            )
            # Bulbs in bud are not dug out, whatever is planted over them.
            is_in_bud = (
                forecast is not None
                and forecast.start is not None
                and (old.layer.lifted_on is None and forecast.start.p50 > day)
            )
            if gone and not is_in_bud:
                found.append(words.layer_out(old.layer, old.name, day=day, forecast=forecast))
                self._inside.remove(old)
                self._filling.dig_to(old.fit.base_from_rim_cm)
                self._is_dug = True
        return found

    def _layer(self, bulbs: _Bulbs) -> CardLayer:
        fit, positions = bulbs.fit, bulbs.positions_cm
        base_cm = fit.base_from_rim_cm
        loose_l: float | None = None
        beside: list[str] = []
        if base_cm > self._filling.depth_cm + _SAME_CM and self._filling.depth_cm < (
            self._filling.floor_cm
        ):
            self._filling.dig_to(base_cm)
            self._is_dug = True
            beside = [each.name for each in self._inside if each.fit.tip_from_rim_cm < base_cm]
            beside += [companion_of(each.companion_id).name for each in self._on_top]
        else:
            loose_l = self._filling.fill_to(base_cm)
        self._filling.lay(fit)
        self._inside.append(bulbs)
        spacing_cm = smallest_distance_cm(positions) if len(positions) > 1 else None
        cultivar = self.cultivar_of(fit.cultivar_id)
        self._letters += 1
        return CardLayer(
            letter=_letter(self._letters),
            name=bulbs.name,
            count=fit.count,
            planted=bulbs.layer.planted,
            base_cm=base_cm,
            tip_cm=fit.tip_from_rim_cm,
            loose_l=loose_l,
            spacing_cm=spacing_cm,
            bulb_diameter_cm=fit.bulb_diameter_cm,
            section=fit.section,
            positions_cm=positions,
            colour_hex=cultivar.colour_hex,
            mark=words.layer_mark(fit, placed=len(positions), units=self.units),
            work=words.layer_work(
                bulbs.layer,
                loose_l=loose_l,
                is_dug=self._is_dug,
                placed=len(positions),
                spacing_cm=spacing_cm,
                has_flat_side=cultivar.genus == "Tulipa",
                parts=parts_words(cultivar),
                beside=tuple(dict.fromkeys(beside)),
                units=self.units,
            ),
            expected=words.expected(bulbs.layer, self.forecasts.get(bulbs.layer.id)),
        )

    def _filled(
        self, day: date, later: Sequence[date], tops: Sequence[CompanionPlanting]
    ) -> list[CardSentence]:
        """The last fill of a day: up to the surface, or to where the next bulbs will lie."""
        if self._is_full:
            return []
        filling = self._filling
        waiting = [each for each in self._bulbs if each.layer.planted in later]
        due = min((each.layer.planted for each in waiting), default=None)
        names = listed(each.name for each in waiting if each.layer.planted == due)
        if due is not None and not tops and not self._on_top:
            level = max(each.fit.base_from_rim_cm for each in waiting if each.layer.planted == due)
            covers = level <= min(each.fit.tip_from_rim_cm for each in self._inside)
            if (due - day).days <= TOGETHER_DAYS and covers:
                loose_l = filling.fill_to(level)
                return [
                    words.left_open(
                        filling.depth_cm,
                        loose_l=loose_l,
                        surface_cm=filling.surface_cm,
                        day=due,
                        names=names,
                        units=self.units,
                    )
                ]
        loose_l = filling.fill_to(filling.surface_cm)
        return [
            words.filled_up(
                filling.surface_cm,
                loose_l=None if self._is_dug else loose_l,
                waiting=names,
                day=due,
                units=self.units,
            )
        ]


def _letter(number: int) -> str:
    """A, B … Z, AA, AB …"""
    text = ""
    while number:
        number, rest = divmod(number - 1, 26)
        text = chr(ord("A") + rest) + text
    return text
