"""Looking for what harms bulbs in pots: tulip fire, slugs, lily beetle, vine weevil."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from functools import partial

from bloomline.model.yard import Pot
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.scene import Scene
from bloomline.plan.work.task import Draft, Span, Window

_ROUNDS = ("slugs", "lily-beetle")
_LATE_SUMMER_DAY = 365 + 91
"""Of the axis, 31 August after the season in the north: the grubs are small and compost warm."""
_GRAZED_DAYS = 35  # from the nose on; shoots are out of reach of most by then; judgement


def tasks_of_pests(scene: Scene, *, emptied: dict[str, date]) -> Iterator[Draft]:
    """Every look for what harms the kinds of this yard. emptied : the day of each pot that is."""
    spans: dict[str, list[Span]] = {kind: [] for kind in _ROUNDS}
    for pot, plants in scene.pots.values():
        last = emptied.get(pot.id)
        for kind in _ROUNDS:
            spans[kind] += _spans(scene, kind, plants, until=last)
        yield from scene.of_pot(
            "pests",
            pot,
            partial(_looks, scene, pot, plants, until=last),
            last,
        )
    for kind in _ROUNDS:
        yield from scene.rounds(kind, spans[kind])


def _looks(scene: Scene, pot: Pot, plants: list[Plant], *, until: date | None) -> Iterator[Draft]:
    """What a pot is looked at for once."""
    fire = [p for p in plants if "tulip-fire" in p.care.pests and p.forecast.nose is not None]
    if fire:
        bands = [plant.forecast.nose for plant in fire if plant.forecast.nose is not None]
        nose = min(bands, key=lambda band: band.p50)
        window = scene.from_day("tulip-fire", max(nose.p50, max(p.here_from for p in fire)))
        if until is not None and window.latest >= until:
            window = Window.of(window.earliest, min(window.best, until), until)
        yield scene.draft("tulip-fire", fire, window, on=[pot.id])
    grubs = [plant for plant in plants if "vine-weevil" in plant.care.pests]
    if grubs and until is None:
        day = scene.first_day + timedelta(days=_LATE_SUMMER_DAY)
        yield scene.draft("vine-weevil", grubs, scene.from_day("vine-weevil", day), on=[pot.id])


def _spans(scene: Scene, kind: str, plants: list[Plant], *, until: date | None) -> Iterator[Span]:
    found: list[tuple[Plant, date, date]] = []
    for plant in plants:
        nose, over = plant.forecast.nose, plant.over
        if kind not in plant.care.pests or nose is None or over is None:
            continue
        first = max(nose.p50, plant.here_from + timedelta(days=1))
        last = first + timedelta(days=_GRAZED_DAYS) if kind == "slugs" else over.p50
        last = min(last, over.p50, until - timedelta(days=1) if until else last)
        if (last - first).days >= 6:
            found.append((plant, first, last))
    if found:
        ids = tuple(plant.layer.id for plant, _, _ in found)
        yield Span(
            scene.key(kind, [found[0][0].pot.id]),
            found[0][0].pot.id,
            ids,
            min(first for _, first, _ in found),
            max(last for _, _, last in found),
        )
