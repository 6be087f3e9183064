"""Tasks round the flower: noses, bring forward, stake, look, dead-head, out of the way."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from bloomline.model.yard import Pot
from bloomline.plan.forecast.report import Band
from bloomline.plan.words.day_words import day_words
from bloomline.plan.work.scene import Plant, Scene, plant_name
from bloomline.plan.work.task import Draft, Window
from bloomline.reference.sites import load_sites

_STAYS_FORWARD_DAYS = 21  # a shorter rest between two layers is spent in place; judgement

# Kinds that flower for months are dead-headed every week; common practice, no source.
_LONG_SHOW_DAYS = 45
_DEAD_HEAD_DAYS = 7
_FOR_THE_BULB = (
    "Cut spent flowers at the base of the stalk so that the strength goes to the bulb; leave the "
    "leaves."
)
_FOR_MORE_FLOWERS = "Cut spent flowers every week above the next bud, so that new ones keep coming."


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
    if plant.care.dead_head:
        yield _dead_head(scene, plant, forecast.start, forecast.end)


def _dead_head(scene: Scene, plant: Plant, start: Band, end: Band) -> Draft:
    window = scene.from_band("dead-head", end)
    stay = scene.stay(plant)
    long_show = (end.p50 - start.p50).days > _LONG_SHOW_DAYS
    if long_show:
        first = (plant.forecast.full or start).p50
        last = end.p50 + timedelta(days=1)
        if stay is not None:
            last = min(last, stay.window.best)
        window = Window.of(first, first, last)
    why = _FOR_MORE_FLOWERS if long_show else _FOR_THE_BULB
    draft = scene.draft(
        "dead-head",
        [plant],
        window,
        on=[plant.layer.id],
        words={"what": plant_name(plant), "why": why},
        more=scene.handling_words([plant.cultivar], bulbs=False),
    )
    return replace(draft, repeat_days=_DEAD_HEAD_DAYS) if long_show else draft


def spells(plants: list[Plant]) -> list[list[Plant]]:
    """Layers of a pot in the spells in which it shows colour, in order of first flower.

    Two spells are one if in an early year the second begins soon after the first.
    """
    shown = sorted(
        (p for p in plants if p.forecast.start is not None and p.forecast.end is not None),
        key=lambda p: _start(p).p50,
    )
    found: list[list[Plant]] = []
    for plant in shown:
        if found:
            over = max(_end(each).p50 for each in found[-1])
            if (_start(plant).p10 - over).days <= _STAYS_FORWARD_DAYS:
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
            more=scene.cat_words(spell) + _out_words(scene, pot, plants, first.p10) + heavy,
        )
        yield forward
        window = scene.from_band("away", last)
        stays = [scene.stay(plant) for plant in spell]
        if all(stay is not None and stay.window.best <= window.latest for stay in stays):
            continue  # it is carried in, or emptied, instead
        yield scene.draft("away", spell, window, on=on, words=words, more=heavy)


def _out_words(scene: Scene, pot: Pot, plants: list[Plant], day: date) -> str:
    """What to heed when a pot is brought forward that still stands under cover then."""
    if not scene.is_sheltered(pot):
        return ""
    until = pot.sheltered_until
    if until is None and any(plant.cultivar.genus == "Lilium" for plant in plants):
        return ""  # lilies have a task of their own that brings them out
    if until is not None and until <= day:
        return ""
    site = load_sites()[pot.site].label
    still = f" until {day_words(until)}" if until is not None else ""
    return f" It stands in the {site}{still}: bring it out on mild days, and back before frost."


def _start(plant: Plant) -> Band:
    assert plant.forecast.start is not None
    return plant.forecast.start


def _end(plant: Plant) -> Band:
    assert plant.forecast.end is not None
    return plant.forecast.end
