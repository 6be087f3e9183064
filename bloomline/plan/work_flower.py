"""Tasks round the flower: noses, bring forward, stake, look, dead-head, out of the way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

from bloomline.model.yard import Pot
from bloomline.plan.report import Band
from bloomline.plan.work_scene import Plant, Scene, plant_name
from bloomline.plan.work_task import Draft, Window

_STAYS_FORWARD_DAYS = 21  # a shorter rest between two layers is spent in place; judgement

# Kinds that flower for months are dead-headed every week; common practice, no source.
_LONG_SHOW_DAYS = 45
_DEAD_HEAD_DAYS = 7


def tasks_of_flower(scene: Scene) -> Iterator[Draft]:
    """Every task of layers that are expected to flower."""
    for pot, plants in scene.pots.values():
        for plant in plants:
            yield from _layer(scene, plant)
        yield from _moves(scene, pot, plants)


def _layer(scene: Scene, plant: Plant) -> Iterator[Draft]:
    forecast = plant.forecast
    if forecast.start is None or forecast.end is None:
        return
    words: dict[str, object] = {"what": plant_name(plant)}
    on = [plant.layer.id]
    # Bulbs in leaf when they are planted, or planted at rest to flower at once, have no wait.
    if forecast.nose is not None and (forecast.established or forecast.nose.p10 > forecast.planted):
        window = scene.from_band("nose", forecast.nose)
        if not forecast.established:
            window = Window.of(
                max(window.earliest, forecast.planted + timedelta(days=1)),
                window.best,
                window.latest,
            )
        words["latest"] = window.latest
        yield scene.draft("nose", [plant], window, on=on, words=words)
    if forecast.height_cm >= scene.tasks.rule("stake").limit:
        words["height"] = f"{forecast.height_cm:g}"
        start = Band(forecast.start.p10, forecast.start.p10, forecast.start.p10)
        window = scene.from_band("stake", start)
        shows = forecast.nose.p50 if forecast.nose else window.best
        best = max(window.best, min(shows, window.latest))
        yield scene.draft(
            "stake", [plant], Window.of(window.earliest, best, window.latest), on=on, words=words
        )
    window = scene.from_band("first-flower", forecast.start)
    yield scene.draft("first-flower", [plant], window, on=on, words=words, lapses=forecast.end.p50)
    window = scene.from_band("dead-head", forecast.end)
    dead_head = scene.draft("dead-head", [plant], window, on=on, words=words)
    if (forecast.end.p50 - forecast.start.p50).days > _LONG_SHOW_DAYS:
        first = (forecast.full or forecast.start).p50
        window = Window(first, first, forecast.end.p50 + timedelta(days=1))
        dead_head = replace(dead_head, window=window, repeat_days=_DEAD_HEAD_DAYS)
    yield dead_head


def spells(plants: list[Plant]) -> list[list[Plant]]:
    """Layers of a pot in the spells in which it shows colour, in order of first flower."""
    shown = sorted(
        (p for p in plants if p.forecast.start is not None and p.forecast.end is not None),
        key=lambda p: _start(p).p50,
    )
    found: list[list[Plant]] = []
    for plant in shown:
        if found:
            over = max(_end(each).p50 for each in found[-1])
            if (_start(plant).p50 - over).days <= _STAYS_FORWARD_DAYS:
                found[-1].append(plant)
                continue
        found.append([plant])
    return found


def _moves(scene: Scene, pot: Pot, plants: list[Plant]) -> Iterator[Draft]:
    if scene.compost_kg(pot) > scene.tasks.rule("forward").limit:
        return
    where = f" to {pot.display_place}" if pot.display_place else ""
    heavy = scene.heavy_words(pot)
    for spell in spells(plants):
        first = min((_start(plant) for plant in spell), key=lambda band: band.p10)
        on = [pot.id, spell[0].layer.id]
        words: dict[str, object] = {"what": pot.name, "where": where, "start": first.p10}
        ends = [_end(plant) for plant in spell]
        last = Band(
            max(end.p10 for end in ends),
            max(end.p50 for end in ends),
            max(end.p90 for end in ends),
        )
        forward = scene.draft(
            "forward",
            spell,
            scene.from_day("forward", first.p10),
            on=on,
            words=words,
            lapses=last.p50,
        )
        yield _with(forward, heavy)
        yield _with(
            scene.draft("away", spell, scene.from_band("away", last), on=on, words=words), heavy
        )


def _with(draft: Draft, more: str) -> Draft:
    return replace(draft, reason=draft.reason + more) if more else draft


def _start(plant: Plant) -> Band:
    assert plant.forecast.start is not None
    return plant.forecast.start


def _end(plant: Plant) -> Band:
    assert plant.forecast.end is not None
    return plant.forecast.end
