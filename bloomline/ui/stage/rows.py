"""Where the lanes of the stage and the stays in them lie. Pure geometry in pixels, no Qt."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from bloomline.plan.stage.rota import Flower, Lane, StageMove, StagePlan, Stay


@dataclass(frozen=True, slots=True)
class Sizes:
    """Heights that follow from the font. [px]"""

    head: float
    line: float
    bar: float
    gap: float = 3.0


@dataclass(frozen=True, slots=True)
class PlacedStay:
    """A stay with its box's top and height, and its flowers in tiers so that none covers another.

    free_until : the day before the next box of its row, for words that need more room than it has.
    """

    stay: Stay
    top: float
    height: float
    tiers: tuple[tuple[Flower, ...], ...]
    free_until: date | None
    move: StageMove | None


@dataclass(frozen=True, slots=True)
class PlacedLane:
    """A lane with its stays; lane None holds what comes from and goes to pots' own spots."""

    lane: Lane | None
    top: float
    head: float
    bottom: float
    stays: tuple[PlacedStay, ...]

    @property
    def name(self) -> str | None:
        """The place, None for own spots."""
        return None if self.lane is None else self.lane.place.name


class StageRows:
    """All lanes from top to bottom."""

    def __init__(self, plan: StagePlan | None, sizes: Sizes) -> None:
        self.plan = plan
        self.lanes: tuple[PlacedLane, ...] = () if plan is None else self._placed(plan, sizes)
        self.height = self.lanes[-1].bottom + sizes.gap if self.lanes else 0.0
        self._tops = [lane.top for lane in self.lanes]
        self.stays = tuple(placed for lane in self.lanes for placed in lane.stays)
        """Lane by lane, in order of their days."""

    @staticmethod
    def _placed(plan: StagePlan, sizes: Sizes) -> tuple[PlacedLane, ...]:
        came = {id(move.stay): move for move in plan.moves}
        lanes: list[PlacedLane] = []
        top = 0.0
        shown: list[tuple[Lane | None, Sequence[Stay]]] = [(one, one.stays) for one in plan.lanes]
        # Who is never carried has nothing to show here.
        going = [s for s in plan.own if s.first > plan.weeks[0] or s.last < plan.last_day]
        if going:
            shown.append((None, sorted(going, key=lambda s: (s.first, s.last, s.pot_name))))
        for lane, stays in shown:
            y = top + sizes.head
            placed: list[PlacedStay] = []
            for row in slots(stays):
                height = max(_height(stay, sizes) for stay in row)
                for at, stay in enumerate(row):
                    after = row[at + 1].first if at + 1 < len(row) else None
                    placed.append(
                        PlacedStay(stay, y, height, tiers(stay), after, came.get(id(stay)))
                    )
                y += height + sizes.gap
            if not stays:
                y += sizes.line
            placed.sort(key=lambda each: (each.stay.first, each.top))
            lanes.append(PlacedLane(lane, top, sizes.head, y, tuple(placed)))
            top = y + sizes.gap
        return tuple(lanes)

    def visible(self, top: float, bottom: float) -> Iterator[PlacedLane]:
        """The lanes that are seen between two heights."""
        return (lane for lane in self.lanes if lane.bottom >= top and lane.top <= bottom)

    def lane_at(self, y: float) -> PlacedLane | None:
        """The lane at a height."""
        at = bisect_right(self._tops, y) - 1
        return self.lanes[at] if at >= 0 and y <= self.lanes[at].bottom else None

    def stay_at(self, y: float, day: date) -> PlacedStay | None:
        """The stay at a height on a day."""
        lane = self.lane_at(y)
        if lane is None:
            return None
        return next(
            (
                placed
                for placed in lane.stays
                if placed.top <= y <= placed.top + placed.height
                and placed.stay.first <= day <= placed.stay.last
            ),
            None,
        )

    def index_of(self, pot_id: str | None, day: date) -> int | None:
        """The stay of a pot on a day, else its first one, by number."""
        mine = [at for at, each in enumerate(self.stays) if each.stay.pot_id == pot_id]
        on = [at for at in mine if self.stays[at].stay.first <= day <= self.stays[at].stay.last]
        return next(iter([*on, *mine]), None)


def slots(stays: Sequence[Stay]) -> list[list[Stay]]:
    """Stays in as few rows as hold them side by side, in order of their days."""
    rows: list[list[Stay]] = []
    for stay in sorted(stays, key=lambda each: (each.first, each.last, each.pot_name)):
        row = next((row for row in rows if row[-1].last < stay.first), None)
        if row is None:
            rows.append([stay])
        else:
            row.append(stay)
    return rows


def tiers(stay: Stay) -> tuple[tuple[Flower, ...], ...]:
    """The flowers of a stay in tiers, so that none covers another."""
    found: list[list[Flower]] = []
    for flower in stay.flowers:
        tier = next((tier for tier in found if tier[-1].last < flower.first), None)
        if tier is None:
            found.append([flower])
        else:
            tier.append(flower)
    return tuple(tuple(tier) for tier in found)


def _height(stay: Stay, sizes: Sizes) -> float:
    return sizes.line + len(tiers(stay)) * (sizes.bar + 2.0) + (3.0 if stay.flowers else 1.0)
