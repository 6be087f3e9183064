"""The task of taking bulbs out of their pot on the day that was chosen for it."""

from __future__ import annotations

from collections.abc import Iterator

from bloomline.plan.work.draft import Draft
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.scene import Scene
from bloomline.words import day_words, tr


def task_of_lifting(scene: Scene, plant: Plant) -> Iterator[Draft]:
    """Take a layer out on its day: for good, in the green, or at rest."""
    day = plant.layer.lifted_on
    if day is None or not scene.first_day <= day <= scene.report.last_day:
        return
    why = tr("Planned for {day}, to make room.", day=day_words(day))
    over = plant.forecast.leaves_over
    if plant.cultivar.perennial_in_pot == "replace":
        kind = "clear"
    elif over is not None and over.p50 < day:
        kind = "lift"
    else:
        kind = "lift-green"
    window = scene.from_day("lift-green", day)  # whatever the kind, the day was chosen
    yield scene.draft(
        kind,
        [plant],
        window,
        on=[plant],
        # One key whatever the kind, which a forecast may change after the task was ticked.
        called="take-out",
        thing=plant.cultivar.name,
        more=why,
        # Lifting in the green names gloves itself.
        cautions=[] if kind == "lift-green" else scene.handling_words([plant.cultivar]),
    )
