"""What stands on top of the pots on a day, and which of their bulbs are in them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from bloomline.draw.pot.companion_layout import TuftLook, Tufts, tufts_on
from bloomline.draw.pot.layout import PotCut, cut_pot
from bloomline.errors import BloomlineError
from bloomline.model.cultivar import Companion
from bloomline.model.yard import Pot
from bloomline.plan.carry.telling import Drop
from bloomline.plan.pot.fitting import CultivarOf
from bloomline.plan.tops.companions import companion_of
from bloomline.plan.tops.stand import CompanionStand, stand_on


@dataclass(frozen=True, slots=True)
class Top:
    """A planting of companions: where its plants are drawn, and how they stand."""

    tufts: Tufts
    stand: CompanionStand

    @property
    def planting_id(self) -> str:
        """Id of the planting."""
        return self.tufts.planting_id

    def covers(self, x_cm: float, high_cm: float) -> bool:
        """Whether a point over the compost lies on one of its plants."""
        if self.stand == "gone":
            return False
        return self.tufts.covers(x_cm, high_cm, is_planned=self.stand == "planned")


@dataclass(frozen=True, slots=True)
class Presence:
    """Layers that are not in their pot on a day: to be planted later, or lifted before.

    Bulbs to come are drawn as a muted outline: who has just planned dahlias for May must find
    them in the pot, although the day looked at is in April. Lifted ones are not drawn, or the
    next planting could not be told from what lay there before; keys, the timeline and the
    details still reach them.
    """

    planned: frozenset[str] = frozenset()
    gone: frozenset[str] = frozenset()


ALL_THERE = Presence()


def presence_on(pot: Pot, day: date) -> Presence:
    """Which layers of a pot are not in it on a day."""
    planned = frozenset(layer.id for layer in pot.layers if layer.planted > day)
    gone = frozenset(
        layer.id for layer in pot.layers if layer.lifted_on is not None and layer.lifted_on <= day
    )
    return Presence(planned, gone) if planned or gone else ALL_THERE


def tuft_look(companion: Companion) -> TuftLook:
    """How a companion is drawn."""
    return TuftLook(
        companion.colour_hex, companion.is_leaf, companion.height_cm, companion.spread_cm
    )


def tops_on(pot: Pot, cut: PotCut, day: date, *, southern: bool) -> tuple[Top, ...]:
    """What stands on a pot, from the back to the front; unknown kinds are left out.

    Leaf plants stand behind the flowers, else they would hide them; the taller behind the lower.
    """
    known = []
    for planting in pot.companions:
        try:
            look = tuft_look(companion_of(planting.companion_id))
        except BloomlineError:
            continue
        stand = stand_on(planting, day, southern=southern)
        known.append((planting, look, stand))
    # Each keeps its place while others come and go.
    placed = tufts_on(cut, [(planting.id, planting.count, look) for planting, look, _ in known])
    tops = [Top(tufts, stand) for tufts, (_, _, stand) in zip(placed, known, strict=True)]
    return tuple(sorted(tops, key=lambda top: _row(top.tufts.look)))


def _row(look: TuftLook) -> tuple[bool, float]:
    return not look.is_leaf, -look.height_cm


def top_at(tops: Sequence[Top], x_cm: float, high_cm: float) -> Top | None:
    """The planting at a height over the compost; one that stands there before one to come."""
    found = [top for top in reversed(tops) if top.covers(x_cm, high_cm)]
    return min(found, key=lambda top: top.stand == "planned") if found else None


def top_after(drop: Drop, *, cultivar_of: CultivarOf) -> tuple[Top | None, float]:
    """Carried companions as they would stand in season, and how far below the rim. [cm]"""
    pot = drop.pot
    cut = cut_pot(pot.model_copy(update={"layers": ()}), cultivar_of=cultivar_of)
    for top in tops_on(pot, cut, drop.part.planted, southern=drop.after.garden.is_southern):
        if top.planting_id == drop.part_id:
            in_season = replace(top, stand="leaf" if top.tufts.look.is_leaf else "flower")
            return in_season, cut.dressing_cm
    return None, cut.dressing_cm


class TopsOfDay:
    """What stands on the pots on the day looked at, kept while neither pot nor day changes."""

    def __init__(self) -> None:
        self._kept: dict[str, tuple[Pot, PotCut, tuple[Top, ...]]] = {}
        self._of: tuple[date, bool] | None = None

    def of(self, pot: Pot, cut: PotCut, day: date, *, southern: bool) -> tuple[Top, ...]:
        """What stands on a pot."""
        if not pot.companions:
            return ()
        if self._of != (day, southern):
            self._of = (day, southern)
            self._kept.clear()
        kept = self._kept.get(pot.id)
        if kept is None or kept[0] is not pot or kept[1] is not cut:
            kept = (pot, cut, tops_on(pot, cut, day, southern=southern))
            self._kept[pot.id] = kept
        return kept[2]
