"""What stands above the compost on a day: nothing, nose, leaf, bud, flower, dying leaf."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from bloomline.plan.forecast.report import LayerForecast, PartForecast


class Stage(StrEnum):
    """How far a layer has come."""

    BELOW = "below"  # nothing shows yet
    NOSE = "nose"
    LEAF = "leaf"
    BUD = "bud"
    FLOWER = "flower"
    GREEN = "green"  # flowers over, leaves feed the bulbs
    YELLOWING = "yellowing"
    GONE = "gone"


@dataclass(frozen=True, slots=True)
class Growth:
    """A layer on a day. Shares run from 0 to 1.

    height : of the plant's full flowering height. open : of the flower (0 a closed bud).
    yellow : of the leaves.
    """

    stage: Stage
    height: float
    open: float
    yellow: float

    @property
    def shows(self) -> bool:
        """Whether anything stands above the compost."""
        return self.stage not in (Stage.BELOW, Stage.GONE)


_BELOW = Growth(Stage.BELOW, 0.0, 0.0, 0.0)
_GONE = Growth(Stage.GONE, 0.0, 0.0, 1.0)
_BUD_SHARE = 0.75  # of the way from nose to flower at which a coloured bud stands
_LEAF_SHARE = 0.2
_YELLOW_SHARE = 0.55  # of the way from last flower to yellow leaves at which yellowing shows


def growth_on(layer: LayerForecast | PartForecast, day: date) -> Growth:
    """How a layer, or a part of a mixture, is expected to look on a day, by its median dates.

    The shares between the dates are drawn for the picture; they are not measured.
    """
    if layer.start is None or layer.end is None or layer.nose is None:
        return _BELOW
    nose, start, end = layer.nose.p50, layer.start.p50, layer.end.p50
    over = layer.leaves_over.p50 if layer.leaves_over else end
    if day < nose:
        return _BELOW
    if day < start:
        share = (day - nose).days / max((start - nose).days, 1)
        if share < _LEAF_SHARE:
            return Growth(Stage.NOSE, 0.04 + 0.3 * share, 0.0, 0.0)
        stage = Stage.LEAF if share < _BUD_SHARE else Stage.BUD
        return Growth(stage, 0.1 + 0.8 * share, 0.0, 0.0)
    if day <= end:
        share = (day - start).days / max((end - start).days, 1)
        return Growth(Stage.FLOWER, 0.9 + 0.1 * min(1.0, 3.0 * share), min(1.0, 0.4 + 2 * share), 0)
    if day < over:
        share = (day - end).days / max((over - end).days, 1)
        yellow = max(0.0, (share - _YELLOW_SHARE) / (1.0 - _YELLOW_SHARE))
        stage = Stage.GREEN if yellow <= 0.0 else Stage.YELLOWING
        return Growth(stage, 0.75 - 0.45 * share, 0.0, yellow)
    return _GONE
