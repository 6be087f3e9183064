"""What becomes of bulbs after their season: they stay, come out for good, or are lifted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer
from bloomline.reference.tasks import AfterCare

Fate = Literal["stays", "replaced", "lifted", "stored"]

CROWDED_SEASONS = 3
"""Seasons after which a kind that is good for "2-3 years" comes out of its pot."""


@dataclass(frozen=True, slots=True)
class Resident:
    """A layer with what decides about it. seasons : 1 in its first."""

    layer: Layer
    cultivar: Cultivar
    care: AfterCare
    seasons: int

    @property
    def own_fate(self) -> Fate:
        """What becomes of it if nothing else in the pot is touched."""
        if self.cultivar.perennial_in_pot == "replace":
            return "replaced"
        if self.care.rest == "tender":
            return "stored"
        if (
            self.cultivar.perennial_in_pot == "2-3 years"
            and self.seasons >= CROWDED_SEASONS
            and self.care.rest != "shelter"
        ):
            return "lifted"
        return "stays"


def fates(pot: Sequence[Resident]) -> list[Fate]:
    """What becomes of each layer of a pot: whoever lies over one that is dug out comes out too."""
    own = [resident.own_fate for resident in pot]
    dug_out = [
        resident.layer.cover_cm
        for resident, fate in zip(pot, own, strict=True)
        if fate != "stays" and resident.layer.state != "planned"
    ]
    deepest = max(dug_out, default=0.0)
    return [
        "lifted" if fate == "stays" and resident.layer.cover_cm < deepest else fate
        for resident, fate in zip(pot, own, strict=True)
    ]
