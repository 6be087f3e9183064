"""Watering, season by season: which pots need a look, and how often."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from bloomline.plan.words.listing import listed
from bloomline.plan.work.scene import Plant, Scene
from bloomline.plan.work.task import Draft, Window

_SEASONS = ("autumn", "winter", "spring", "summer")
_BLIND_DAYS = 210  # how long a layer that won't flower is watered: it may still make leaves


def tasks_of_water(scene: Scene) -> Iterator[Draft]:
    """One recurring task a season, with the pots that are in growth in it."""
    spans = [(plant, *watered(plant)) for plant in scene.plants]
    for number, season in enumerate(_SEASONS, start=1):
        begin = _months_on(scene.first_day, 3 * number)
        end = _months_on(scene.first_day, 3 * number + 3) - timedelta(days=1)
        thirsty = [
            (plant, max(first, begin), min(last, end))
            for plant, first, last in spans
            if first <= end and last >= begin
        ]
        if not thirsty:
            continue
        kind = f"water-{season}"
        first = min(day for _, day, _ in thirsty)
        last = max(day for _, _, day in thirsty)
        plants = [plant for plant, _, _ in thirsty]
        names = list(dict.fromkeys(plant.pot.name for plant in plants))
        what = (
            "all pots"
            if len(names) == len(scene.pots) and len(names) > 3
            else listed(names, most=4)
        )
        yield scene.draft(
            kind, plants, Window(first, first, last), on=["yard"], words={"what": what}
        )


def watered(plant: Plant) -> tuple[date, date]:
    """First and last day on which a layer wants water: from planting until it rests."""
    forecast = plant.forecast
    first = plant.usual if forecast.established else forecast.planted
    over = forecast.leaves_over or forecast.end
    last = over.p50 if over is not None else first + timedelta(days=_BLIND_DAYS)
    return first, max(first, last)


def _months_on(day: date, months: int) -> date:
    """The same day of a later month; the axis begins on the first of one."""
    years, month = divmod(day.month - 1 + months, 12)
    return date(day.year + years, month + 1, day.day)
