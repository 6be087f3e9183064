"""When a pot is emptied: one day for all that comes out of it, in flower time of nothing else."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta

from bloomline.plan.pot.layer_life import CROWDED_SEASONS
from bloomline.plan.work.alike import Lot
from bloomline.plan.work.draft import Draft
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.scene import Scene, days_from
from bloomline.words import listed, marked, tr

_SETTLED_DAYS = 7  # from the median last flower or leaf to digging, to be sure of it; judgement
_SAME_WEEK_DAYS = 7
_SUMMER_IS_OVER_DAY = 365 + 92
"""Of the axis, 1 September after the season in the north."""


@dataclass(frozen=True, slots=True)
class Emptying:
    """Pots alike whose bulbs come out on a day, told by the first of them.

    busy : spans in which others flower or grow there.
    """

    lot: Lot
    day: date
    cleared: tuple[Plant, ...]
    lifted: tuple[Plant, ...]
    busy: tuple[tuple[date, date], ...]
    left: bool  # whether something stays in the pot

    def suits(self, day: date) -> bool:
        """Whether nothing else of the pot is in the way on a day."""
        return not any(first <= day <= last for first, last in self.busy)

    def blocked_days(self) -> set[date]:
        """Days of the week from its own on that something else of the pot is in the way."""
        week = (self.day + timedelta(days=n) for n in range(_SAME_WEEK_DAYS + 1))
        return {day for day in week if not self.suits(day)}


def emptyings(scene: Scene) -> list[Emptying]:
    """Every emptying of the season; pots of one week are emptied on its last day."""
    single = [each for lot in scene.lots for each in _of(scene, lot)]
    bunches: list[list[Emptying]] = []
    blocked: set[date] = set()
    for each in sorted(single, key=lambda one: one.day):
        if bunches:
            bunch = bunches[-1]
            near = (each.day - bunch[0].day).days <= _SAME_WEEK_DAYS
            if near and each.day not in blocked:
                bunch.append(each)
                blocked |= each.blocked_days()
                continue
        bunches.append([each])
        blocked = each.blocked_days()
    return [replace(each, day=bunch[-1].day) for bunch in bunches for each in bunch]


def leaves_in_season(scene: Scene, plant: Plant) -> bool:
    """Whether a layer has a day of lifting of its own in this season."""
    day = plant.layer.lifted_on
    return day is not None and day <= scene.report.last_day


def _of(scene: Scene, lot: Lot) -> Iterator[Emptying]:
    going = [
        plant
        for plant in lot.plants
        if scene.fates[plant.layer.id] in ("replaced", "lifted")
        and not leaves_in_season(scene, plant)
        and plant.forecast.end is not None
        and not (scene.fates[plant.layer.id] == "lifted" and scene.stay(plant) is not None)
    ]
    others = [plant for plant in lot.plants if plant not in going]
    going.sort(key=lambda plant: _free(scene, plant))
    while going:
        day, mine = _free(scene, going[0]), [going.pop(0)]
        # What is planted only after the others are over comes out another time.
        while with_them := [plant for plant in going if plant.layer.planted <= day]:
            mine += with_them
            going = [plant for plant in going if plant not in with_them]
            day = max(_free(scene, plant) for plant in mine)
        busy = tuple(span for plant in (*others, *going) if (span := _busy(scene, plant)))
        while blocked := [last for first, last in busy if first <= day <= last]:
            day = max(blocked) + timedelta(days=1)
        replaced = [plant for plant in mine if scene.fates[plant.layer.id] == "replaced"]
        yield Emptying(
            lot,
            day,
            tuple(replaced),
            tuple(plant for plant in mine if plant not in replaced),
            busy,
            left=bool(others or going),
        )


def _free(scene: Scene, plant: Plant) -> date:
    """The day from which a layer may come out for its own sake."""
    assert plant.forecast.end is not None
    over = plant.forecast.end
    if scene.fates[plant.layer.id] == "lifted":
        over = plant.forecast.leaves_over or over
    return over.p50 + timedelta(days=_SETTLED_DAYS)


def _busy(scene: Scene, plant: Plant) -> tuple[date, date] | None:
    """When a layer that stays is above the compost, and must not be dug through."""
    shows, over = plant.forecast.nose or plant.forecast.start, plant.over
    if shows is None or over is None or plant.forecast.start is None:
        return None
    first = max(min(shows.p50, plant.forecast.start.p50), plant.here_from)
    last = over.p50
    if plant.layer.lifted_on is not None:
        last = min(last, plant.layer.lifted_on)
    stay = scene.stay(plant)
    if stay is not None and plant.care.rest == "tender":
        last = min(last, stay.window.best)
    return (first, max(last, plant.forecast.end.p50 if plant.forecast.end else last))


def tasks_of_emptying(scene: Scene, found: list[Emptying]) -> Iterator[Draft]:
    """Compost what is spent, lift what is kept, refill: of each pot on its one day."""
    for each in found:
        for kind, plants in (("clear", each.cleared), ("lift", each.lifted)):
            for plant in plants:
                window = scene.from_day(kind, each.day)
                after = [first for first, _ in each.busy if first > window.best]
                latest = min([window.latest, *(first - timedelta(days=1) for first in after)])
                earliest = max(window.earliest, _own_end(plant))
                while not each.suits(earliest) and earliest < window.best:
                    earliest += timedelta(days=1)
                yield scene.draft(
                    kind,
                    [plant],
                    replace(window, earliest=min(earliest, window.best), latest=latest),
                    on=[plant],
                    thing=plant.cultivar.name,
                    more=_why(plant) if kind == "lift" else "",
                    cautions=scene.handling_words([plant.cultivar]),
                )
        yield from _refill(scene, each)


def _own_end(plant: Plant) -> date:
    assert plant.forecast.end is not None
    return plant.forecast.end.p50 + timedelta(days=1)


def _why(plant: Plant) -> str:
    crowded = plant.cultivar.perennial_in_pot == "2-3 years" and plant.seasons >= CROWDED_SEASONS
    why = (
        tr(
            "After {seasons} seasons the pot is crowded and its compost spent.",
            seasons=plant.seasons,
        )
        if crowded
        else tr("The layer under it is dug out, so it comes out too, to be planted again.")
    )
    if plant.care.rest == "moist":
        why += tr(" It must not dry out: replant soon, or keep in damp sand.")
    return why


def _refill(scene: Scene, each: Emptying) -> Iterator[Draft]:
    """Fill a pot again once it is free, where that is before the summer is over."""
    plants = (*each.cleared, *each.lifted)
    over = scene.first_day + timedelta(days=_SUMMER_IS_OVER_DAY)
    if each.left or each.day > over or each.day <= plants[0].usual:
        return
    if any(plant.cultivar.season_planted != "autumn" for plant in plants):
        return
    window = scene.from_day("refill", each.day)
    still = _still_plantable(scene, window.best)
    kinds = (
        tr("There is still time to plant {still}.", still=listed(still, most=4))
        if still
        else tr("It is late for dry bulbs: take plants grown in small pots.")
    )
    yield scene.draft("refill", plants, window, on=[each.lot.pot], words={"kinds": kinds})


_SUMMER_KINDS = {
    "Begonia": marked("begonias"),
    "Dahlia": marked("dahlias"),
    "Eucomis": marked("pineapple lilies"),
    "Gladiolus": marked("gladioli"),
    "Lilium": marked("lilies"),
}


def _still_plantable(scene: Scene, day: date) -> list[str]:
    """Summer kinds whose planting time here includes a day."""
    found = []
    # Half a year's turn brings the windows near London to the southern half of the earth.
    turned = day if not scene.garden.is_southern else day + timedelta(days=182)
    for genus, name in _SUMMER_KINDS.items():
        window = scene.rules.planting_window(genus)
        today = (turned - date(turned.year, 1, 1)).days + 1
        begin = window.best_from_md.day_of_year
        end = begin + days_from(window.best_from_md, window.to_md)
        if begin <= today <= end:
            found.append(tr(name))
    return found
