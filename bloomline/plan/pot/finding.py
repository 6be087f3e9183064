"""Something amiss in a pot: one kind of finding for check, window, card and shopping list."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from bloomline.engine.layers import FindingCode
from bloomline.model.advice import Advice, Severity
from bloomline.model.mending import Mending

PotFindingCode = (
    FindingCode
    | Literal[
        "too_many", "tight", "no_room", "planted_before_lower", "too_many_layers", "size_doubtful"
    ]
)

_ROOM: frozenset[PotFindingCode] = frozenset({"too_many", "no_room"})


@dataclass(frozen=True, slots=True)
class PotFinding:
    """Something amiss in a pot.

    layer_ids : the layers concerned, the one it is about first; none for the pot itself.
    values : figures by name, with their unit in it; days are ISO. advice : how grave, in words.
    """

    code: PotFindingCode
    pot_id: str
    pot_name: str
    layer_ids: tuple[str, ...]
    values: tuple[tuple[str, float | str], ...]
    advice: Advice

    @property
    def severity(self) -> Severity:
        """How grave it is."""
        return self.advice.severity

    @property
    def mending(self) -> Mending | None:
        """The one change that mends it."""
        return self.advice.mending

    @property
    def key(self) -> tuple[object, ...]:
        """What it is about, whatever its figures."""
        return self.code, self.layer_ids

    @property
    def is_about_room(self) -> bool:
        """Whether bulbs have no room where they are to lie."""
        return self.code in _ROOM
