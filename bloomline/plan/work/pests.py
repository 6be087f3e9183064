"""Looking for what harms bulbs in pots: tulip fire, slugs, lily beetle, vine weevil."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from bloomline.model.yard import Pot
from bloomline.plan.work.alike import Lot
from bloomline.plan.work.draft import Call, Draft
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.rounds import call, rounds
from bloomline.plan.work.scene import Scene
from bloomline.plan.work.task import Window

_ROUNDS = ("slugs", "lily-beetle")
_LATE_SUMMER_DAY = 365 + 91
"""Of the axis, 31 August after the season in the north: the grubs are small and compost warm."""
_GRAZED_DAYS = 35  # from the nose on; shoots are out of reach of most by then; judgement


def tasks_of_pests(scene: Scene, *, emptied: dict[str, date]) -> Iterator[Draft]:
    """Every look for what harms the kinds of this yard. emptied : the day of each lot that is."""
    calls: dict[str, list[Call]] = {kind: [] for kind in _ROUNDS}
    for lot in scene.lots:
        last = emptied.get(lot.pot.id)
        for kind in _ROUNDS:
            calls[kind] += _calls(scene, kind, lot, until=last)
        yield from _looks(scene, lot.pot, lot.plants, until=last)
    for kind in _ROUNDS:
        for draft, _ in rounds(scene, kind, calls[kind]):
            yield draft


def _looks(scene: Scene, pot: Pot, plants: list[Plant], *, until: date | None) -> Iterator[Draft]:
    """What a pot is looked at for once."""
    fire = [p for p in plants if "tulip-fire" in p.care.pests and p.forecast.nose is not None]
    if fire:
        bands = [plant.forecast.nose for plant in fire if plant.forecast.nose is not None]
        nose = min(bands, key=lambda band: band.p50)
        window = scene.from_day("tulip-fire", max(nose.p50, max(p.here_from for p in fire)))
        if until is not None and window.latest >= until:
            window = Window.of(window.earliest, min(window.best, until), until)
        yield scene.draft("tulip-fire", fire, window, on=[pot])
    grubs = [plant for plant in plants if "vine-weevil" in plant.care.pests]
    if grubs and until is None:
        day = scene.first_day + timedelta(days=_LATE_SUMMER_DAY)
        yield scene.draft("vine-weevil", grubs, scene.from_day("vine-weevil", day), on=[pot])


def _calls(scene: Scene, kind: str, lot: Lot, *, until: date | None) -> Iterator[Call]:
    found: list[tuple[Plant, date, date]] = []
    for plant in lot.plants:
        nose, over = plant.forecast.nose, plant.over
        if kind not in plant.care.pests or nose is None or over is None:
            continue
        first = max(nose.p50, plant.here_from + timedelta(days=1))
        last = first + timedelta(days=_GRAZED_DAYS) if kind == "slugs" else over.p50
        last = min(last, over.p50, until - timedelta(days=1) if until else last)
        if (last - first).days >= 6:
            found.append((plant, first, last))
    if found:
        plants = [plant for plant, _, _ in found]
        first, last = min(first for _, first, _ in found), max(last for _, _, last in found)
        yield call(kind, lot, plants, first, last, on=[lot.pot])
