"""Watering, season by season: which pots need a look, when, and how often."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from bloomline.plan.work.draft import Draft
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.rounds import call, rounds
from bloomline.plan.work.scene import Scene

_SEASONS = ("autumn", "winter", "spring", "summer")
_BLIND_DAYS = 210  # how long a layer that won't flower is watered: it may still make leaves
_WATERED_IN_DAYS = 7  # after the soaking at planting; judgement


def tasks_of_water(
    scene: Scene, *, stopped: Mapping[str, date], emptied: Mapping[str, date]
) -> Iterator[Draft]:
    """A round a season that calls at each pot while it is in growth.

    stopped : the day on which watering a pot is stopped. emptied : on which a lot is emptied.
    """
    wanted = [
        (lot, list(_thirsty(scene, lot.plants, day, emptied.get(first.pot.id))))
        for first in scene.lots
        for day, lot in first.parted(stopped)
    ]
    for number, season in enumerate(_SEASONS, start=1):
        begin = _months_on(scene.first_day, 3 * number)
        end = _months_on(scene.first_day, 3 * number + 3) - timedelta(days=1)
        kind = f"water-{season}"
        days = scene.tasks.rule(kind).repeat_days or 1
        calls = []
        for lot, runs in wanted:
            for first, last, plants in runs:
                first, last = max(first, begin), min(last, end)
                if (last - first).days >= days - 1:
                    calls.append(call(kind, lot, plants, first, last, on=[lot.pot]))
        for draft, _ in rounds(scene, kind, calls, on="yard"):
            yield draft


def _thirsty(
    scene: Scene, plants: list[Plant], stopped: date | None, emptied: date | None
) -> Iterator[tuple[date, date, tuple[Plant, ...]]]:
    """Spans in which a pot wants water, each with the plants it is for."""
    runs: list[tuple[date, date, tuple[Plant, ...]]] = []
    spans = [(*watered(scene, plant), plant) for plant in plants]
    for first, last, plant in sorted(spans, key=lambda each: (*each[:2], each[2].layer.id)):
        if emptied is not None and first < emptied:
            last = min(last, emptied - timedelta(days=1))
        if stopped is not None and first < stopped:
            # Not in the same week: the pot dries off before its rest.
            last = min(last, stopped - timedelta(days=stopped.weekday() + 1))
        if last < first:
            continue
        if runs and first <= runs[-1][1] + timedelta(days=1):
            begin, until, mine = runs.pop()
            runs.append((begin, max(until, last), (*mine, plant)))
        else:
            runs.append((first, last, (plant,)))
    yield from runs


def watered(scene: Scene, plant: Plant) -> tuple[date, date]:
    """First and last day on which a layer wants water: from planting until it rests."""
    first = plant.here_from
    if not plant.forecast.established:
        first += timedelta(days=_WATERED_IN_DAYS)
    over = plant.over
    last = over.p50 if over is not None else first + timedelta(days=_BLIND_DAYS)
    stay = scene.stay(plant)
    if stay is not None:
        last = min(last, stay.window.best - timedelta(days=1))
    elif plant.care.rest == "moist" and plant.layer.lifted_on is None:
        last = max(last, scene.report.last_day)
    if plant.layer.lifted_on is not None:
        last = min(last, plant.layer.lifted_on - timedelta(days=1))
    return first, max(first, last)


def _months_on(day: date, months: int) -> date:
    """The same day of a later month; the axis begins on the first of one."""
    years, month = divmod(day.month - 1 + months, 12)
    return date(day.year + years, month + 1, day.day)
