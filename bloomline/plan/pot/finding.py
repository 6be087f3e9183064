"""Something amiss in a pot: one kind of finding for check, window, card and shopping list."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, NamedTuple

from bloomline.engine.layers import FindingCode
from bloomline.model.advice import Advice, Severity
from bloomline.model.mending import FieldChange, Mending

PotFindingCode = (
    FindingCode
    | Literal[
        "too_many", "tight", "no_room", "planted_before_lower", "too_many_layers", "size_doubtful"
    ]
)

SEVERITIES: Mapping[PotFindingCode, Severity] = {
    "size_doubtful": Severity.CAUTION,
    "no_room": Severity.WARNING,
    "too_many": Severity.WARNING,
    "tight": Severity.NOTE,
    "too_shallow": Severity.CAUTION,
    "shallower_than_usual": Severity.NOTE,
    "too_deep": Severity.CAUTION,
    "little_compost_under": Severity.NOTE,
    "in_crocks": Severity.WARNING,
    "layers_collide": Severity.WARNING,
    "layers_close": Severity.NOTE,
    "later_above_earlier": Severity.NOTE,
    "taller_above_shorter": Severity.NOTE,
    "too_many_layers": Severity.CAUTION,
    "planted_before_lower": Severity.WARNING,
}
"""How grave a finding is, by its code."""

ROOM: frozenset[PotFindingCode] = frozenset({"too_many", "no_room"})
"""Bulbs that have no room where they are to lie."""

Values = tuple[tuple[str, float | str], ...]


class PotFinding(NamedTuple):
    """Something amiss in a pot.

    layer_ids : the layers concerned, the one it is about first; none for the pot itself.
    values : figures by name, with their unit in it; days are ISO. said : how grave, in words, and
    what mends it in a pot whose layers are called by their places. called : those of this pot.
    """

    code: PotFindingCode
    pot_id: str
    pot_name: str
    layer_ids: tuple[str, ...]
    values: Values
    said: Advice
    called: tuple[str, ...]

    @property
    def advice(self) -> Advice:
        """How grave it is, in words, with what mends it."""
        return self.said if self.said.mending is None else self.said.mended_by(self.mending)

    @property
    def severity(self) -> Severity:
        """How grave it is."""
        return self.said.severity

    @property
    def mending(self) -> Mending | None:
        """The one change that mends it."""
        found = self.said.mending
        if found is None:
            return None
        pot_id, called = self.pot_id, self.called
        return Mending(
            found.words,
            pot_id,
            tuple([FieldChange(pot_id, each.field, each.value) for each in found.pot]),
            tuple(
                [FieldChange(called[int(each.id)], each.field, each.value) for each in found.layers]
            ),
        )

    @property
    def key(self) -> tuple[object, ...]:
        """What it is about, whatever its figures."""
        return self.code, self.layer_ids

    @property
    def is_about_room(self) -> bool:
        """Whether bulbs have no room where they are to lie."""
        return self.code in ROOM
