"""What is carried over the yard, and what a judge says of a drop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from bloomline.engine.packing import Room
from bloomline.model.yard import Yard


@dataclass(frozen=True, slots=True)
class Cargo:
    """What is being carried.

    A cultivar or a companion from the shelf; a layer, a planting of companions or a pot of
    the yard.
    """

    kind: Literal["cultivar", "layer", "companion", "planting", "pot"]
    id: str


@dataclass(frozen=True, slots=True)
class Verdict:
    """Whether a drop makes sense.

    `words` say what will happen, or why not. `cover_cm`, `tip_from_rim_cm` and `room` tell
    where bulbs would lie and how many fit; `apply` makes the new yard.
    """

    allowed: bool
    words: str
    name: str = ""
    cover_cm: float = 0.0
    tip_from_rim_cm: float = 0.0
    bulb_height_cm: float = 0.0
    count: int = 0
    room: Room | None = None
    apply: Callable[[Yard], Yard] | None = None


def refusal(words: str) -> Verdict:
    """A drop that makes no sense, and why."""
    return Verdict(allowed=False, words=words)
