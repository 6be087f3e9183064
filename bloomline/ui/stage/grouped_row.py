"""The pots of a yard side by side, place by place. Pure geometry in pixels, as `ui.yard.scene`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bloomline.model.stage import DisplayPlace
from bloomline.model.yard import Yard
from bloomline.ui.yard.scene import PotRow

_APART_EM = 1.8
_LEAST_EM = 9.0  # room for the name of a place where nobody stands


@dataclass(frozen=True, slots=True)
class Group:
    """Who stands at a place; place None is their own spots."""

    place: DisplayPlace | None
    pot_ids: tuple[str, ...]

    @property
    def name(self) -> str | None:
        """What the place is called."""
        return None if self.place is None else self.place.name


@dataclass(frozen=True, slots=True)
class GroupSpan:
    """A group's stretch of the row. [px]"""

    group: Group
    left: float
    right: float


class GroupedRow(PotRow):
    """A row in which pots stand by place, with room between the places."""

    def __init__(self, yard: Yard, groups: Sequence[Group], *, scale: float, em: float) -> None:
        pots = {pot.id: pot for pot in yard.pots}
        order = [pots[pot_id] for group in groups for pot_id in group.pot_ids]
        super().__init__(yard.model_copy(update={"pots": tuple(order)}), scale=scale, em=em)
        apart = _APART_EM * em
        least = _LEAST_EM * em * min(max((scale - 0.4) / 0.6, 0.35), 1.0)
        placed, at, x = [], 0, 0.5 * apart + (self.pots[0].left if self.pots else self.gap)
        spans: list[GroupSpan] = []
        for group in groups:
            mine = self.pots[at : at + len(group.pot_ids)]
            at += len(mine)
            wide = mine[-1].right - mine[0].left if mine else 0.0
            room = max(wide, least)
            begin = x + 0.5 * (room - wide)
            for each in mine:
                by = begin - mine[0].left
                placed.append(
                    replace(
                        each,
                        left=each.left + by,
                        right=each.right + by,
                        middle=each.middle + by,
                    )
                )
            spans.append(GroupSpan(group, x - 0.5 * apart, x + room + 0.5 * apart))
            x += room + apart
        self.spans = tuple(spans)
        self.pots = placed
        self.width = x
        self._lefts = [each.left - 0.5 * self.gap for each in placed]
        self._by_id = {each.pot.id: each for each in placed}

    def group_at(self, x: float) -> int:
        """The group at an x, by number; the nearest one beside all."""
        for number, span in enumerate(self.spans):
            if x < span.right:
                return number
        return len(self.spans) - 1

    def place_x(self, number: int) -> float:
        span = self.spans[number]
        return 0.5 * (span.left + span.right)
