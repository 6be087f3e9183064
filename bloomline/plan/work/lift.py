"""The task of taking bulbs out of their pot on the day that was chosen for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from bloomline.plan.words.day_words import day_words
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.scene import Scene
from bloomline.plan.work.task import Draft


def task_of_lifting(scene: Scene, plant: Plant) -> Iterator[Draft]:
    """Take a layer out on its day: for good, in the green, or at rest."""
    day = plant.layer.lifted_on
    if day is None or not scene.first_day <= day <= scene.report.last_day:
        return
    why = f"Planned for {day_words(day)}, to make room."
    over = plant.forecast.leaves_over
    if plant.cultivar.perennial_in_pot == "replace":
        kind = "clear"
    elif over is not None and over.p50 < day:
        kind = "lift"
    else:
        kind = "lift-green"
    window = scene.from_day("lift-green", day)  # whatever the kind, the day was chosen
    on = [plant.layer.id]
    draft = scene.draft(
        kind,
        [plant],
        window,
        on=on,
        thing=plant.cultivar.name,
        more=why,
        # Lifting in the green names gloves itself.
        cautions=[] if kind == "lift-green" else scene.handling_words([plant.cultivar]),
    )
    # One key whatever the kind, which a forecast may change after the task was ticked.
    yield replace(draft, key=scene.key("take-out", on))
