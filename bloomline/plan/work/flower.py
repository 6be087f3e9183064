"""Tasks round the flower: the weekly look, stake, dead-head."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from itertools import chain

from bloomline.plan.forecast.report import Band
from bloomline.plan.work.draft import Call, Draft
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.rounds import call, rounds
from bloomline.plan.work.scene import Scene
from bloomline.plan.work.task import Window
from bloomline.words import marked, tr

# Whoever saw a flower has no more noses to look for.
_SEEN = {
    "nose": frozenset({"nose", "first-flower", "full", "over"}),
    "first-flower": frozenset({"first-flower", "full", "over"}),
}
# Kinds that flower for months are dead-headed all that time; common practice, no source.
_LONG_SHOW_DAYS = 45
_FOR_THE_BULB = marked("Cut at the base of the stalk, so that the strength goes to the bulb:")
_FOR_MORE_FLOWERS = marked("Cut above the next bud, so that new flowers keep coming:")


def tasks_of_flower(scene: Scene, *, emptied: dict[str, date]) -> Iterator[Draft]:
    """Every task of layers that are expected to flower.

    emptied : the day on which each lot is emptied that is, by its first pot.
    """
    yield from _look(scene)
    for lot in scene.lots:
        for plant in lot.plants:
            yield from _stake(scene, plant)
    yield from _dead_head(scene, emptied=emptied)


def _look(scene: Scene) -> Iterator[Draft]:
    """One round a week for all noses and first flowers that are due about then."""
    calls: list[Call] = []
    noses, flowers = tr("noses"), tr("first flower")
    for lot in scene.lots:
        for plant in lot.plants:
            for what, band in (("nose", _nose(plant)), ("first-flower", plant.forecast.start)):
                if band is None or plant.forecast.start is None:
                    continue
                first = max(band.p10, plant.here_from + timedelta(days=1))
                last = max(band.p90, first + timedelta(days=6))
                name = noses if what == "nose" else flowers
                told = f"{plant.cultivar.name}, {name} {scene.span_words(first, last)}"
                calls.append(call(what, lot, [plant], first, last, on=[plant], told=told))
    seen, ticked = _seen(scene)
    for draft, mine in rounds(scene, "look", calls, tells=False):
        # Recorded, or ticked when it was a task alone.
        seen_on: dict[str, date] = {}
        for span, each in zip(draft.spans, mine, strict=True) if seen or ticked else ():
            looked_for = (span.layer_ids[0], each.about.called)
            days = [*seen.get(looked_for, ()), *ticked.get(span.key, ())]
            if days:
                seen_on[span.key] = min(days)
        left = tuple([span for span in draft.spans if span.key not in seen_on])
        words: dict[tuple[date, date], list[str]] = {}
        for each in mine:
            words.setdefault((each.first, each.last), []).append(each.told)
        in_turn = chain.from_iterable([words[days] for days in sorted(words)])
        pots = {span.pot_id for span in left}
        done = None if left else max(seen_on[span.key] for span in draft.spans)
        yield replace(
            draft,
            key=f"look:{draft.key}",
            known_as=tuple([f"look:{key}" for key in draft.known_as]),
            more=f"{'; '.join(in_turn)}.",
            spans=left or draft.spans,
            pot_ids=tuple([each for each in draft.pot_ids if not left or each in pots]),
            done_by_state=done,
        )


def _nose(plant: Plant) -> Band | None:
    """Noses to wait for: bulbs in leaf, or planted at rest to flower at once, have none."""
    nose = plant.forecast.nose
    if nose is None or not (plant.forecast.established or nose.p10 > plant.forecast.planted):
        return None
    return nose


def _seen(scene: Scene) -> tuple[dict[tuple[str, str], list[date]], dict[str, list[date]]]:
    """Days on which what is looked for was recorded of a layer, and those of ticks by task."""
    report = scene.report
    seen: dict[tuple[str, str], list[date]] = {}
    for record in scene.yard.records:
        if report.first_day <= record.day <= report.last_day:
            for what, stages in _SEEN.items():
                if record.seen in stages:
                    seen.setdefault((record.layer_id, what), []).append(record.day)
    ticked: dict[str, list[date]] = {}
    for tick in scene.yard.done:
        ticked.setdefault(tick.task_key, []).append(tick.day)
    return seen, ticked


def _stake(scene: Scene, plant: Plant) -> Iterator[Draft]:
    forecast = plant.forecast
    if forecast.start is None or forecast.height_cm < scene.tasks.rule("stake").limit:
        return
    start = Band(forecast.start.p10, forecast.start.p10, forecast.start.p10)
    window = scene.from_band("stake", start)
    shows = forecast.nose.p50 if forecast.nose else window.best
    first = max(window.earliest, plant.here_from)
    best = max(window.best, first, min(shows, window.latest))
    yield scene.draft(
        "stake",
        [plant],
        Window.of(first, best, max(window.latest, best + timedelta(days=3))),
        on=[plant],
        thing=plant.cultivar.name,
        more=tr("It grows {height_cm:g} cm tall.", height_cm=forecast.height_cm),
    )


def _dead_head(scene: Scene, *, emptied: dict[str, date]) -> Iterator[Draft]:
    calls: list[Call] = []
    rule = scene.tasks.rule("dead-head")
    long_shows: set[Plant] = set()
    for lot in scene.lots:
        for plant in lot.plants:
            start, end = plant.forecast.start, plant.forecast.end
            if start is None or end is None or not plant.care.dead_head:
                continue
            first = max(start.p50, end.p50 + timedelta(days=rule.earliest_days))
            last = end.p50 + timedelta(days=rule.latest_days)
            if (end.p50 - start.p50).days > _LONG_SHOW_DAYS:
                first, last = (plant.forecast.full or start).p50, end.p50 + timedelta(days=1)
                long_shows.add(plant)
            stay = scene.stay(plant)
            out = [
                emptied.get(plant.pot.id),
                stay.window.best if stay else None,
                plant.layer.lifted_on,
            ]
            last = min(last, *(day - timedelta(days=1) for day in out if day is not None), last)
            if first < last:  # what is carried in the day after is not gone round for
                calls.append(call("dead-head", lot, [plant], first, last, on=[plant]))
    for draft, mine in rounds(scene, "dead-head", calls):
        plants = [each.about.plants[0] for each in dict.fromkeys(mine)]
        words = [draft.more]
        for said, group in (
            (tr(_FOR_MORE_FLOWERS), [plant for plant in plants if plant in long_shows]),
            (tr(_FOR_THE_BULB), [plant for plant in plants if plant not in long_shows]),
        ):
            if group:
                names = dict.fromkeys(plant.cultivar.name for plant in group)
                words.append(f"{said} {', '.join(names)}.")
        handling = scene.handling_words([plant.cultivar for plant in plants], bulbs=False)
        yield replace(draft, more=" ".join(words), cautions=tuple(handling))
