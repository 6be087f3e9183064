"""A planting that is due while its pot isn't free: what is known of it, and ways out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Literal

from bloomline.model.companion import CompanionPlanting
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Yard
from bloomline.plan.forecast.report import Band, LayerForecast

ConflictKind = Literal["leaf", "flower", "resting"]
ChoiceKey = Literal["lift", "second-pot", "later"]
Newcomer = Layer | CompanionPlanting

SINGLE_SEASON = "replace"
"""What the catalogue calls kinds that are planted anew each year."""


@dataclass(frozen=True, slots=True)
class Choice:
    """A way out of a conflict. `words` say what it costs; `why_not` why it can't be taken."""

    key: ChoiceKey
    title: str
    words: str
    available: bool
    why_not: str
    apply: Callable[[Yard], Yard]


@dataclass(frozen=True, slots=True)
class Conflict:
    """A planting that is due while others stand in its way.

    kind : they flower, are in leaf, or rest where the new ones are to lie. new_ids,
    blocking_ids : ids of layers and of companion plantings. free : when the way is free,
    None where bulbs stay for good.
    """

    pot_id: str
    pot_name: str
    kind: ConflictKind
    new_ids: tuple[str, ...]
    blocking_ids: tuple[str, ...]
    due: date
    free: Band | None
    words: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class Blocker:
    """A layer in the way, what is forecast of it, and when it no longer is."""

    layer: Layer
    cultivar: Cultivar
    forecast: LayerForecast
    kind: ConflictKind
    free: Band | None
    must_go: bool  # it would lie where the new ones go, even at rest

    @property
    def is_kept(self) -> bool:
        """Whether its bulbs flower again in later years."""
        return self.cultivar.perennial_in_pot != SINGLE_SEASON

    def is_lost_on(self, day: date) -> bool:
        """Whether taking it out on a day would lose flowers still to come of this planting."""
        start = self.forecast.start
        return self.forecast.after_season or (start is not None and start.p50 > day)


def free_band(forecast: LayerForecast, cultivar: Cultivar) -> Band | None:
    """When bulbs no longer need their pot.

    Kinds kept for one season don't once they have flowered, others once their leaves are over.
    """
    if cultivar.perennial_in_pot == SINGLE_SEASON:
        return forecast.end
    return forecast.leaves_over or forecast.end
