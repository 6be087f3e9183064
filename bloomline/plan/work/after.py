"""Tasks after the flower: feed, rest, store, renew the compost."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from bloomline.model.yard import Pot
from bloomline.plan.work.alike import Lot
from bloomline.plan.work.draft import Call, Draft
from bloomline.plan.work.emptying import leaves_in_season
from bloomline.plan.work.lift import task_of_lifting
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.rounds import call, rounds
from bloomline.plan.work.scene import Scene
from bloomline.words import day_words, tr

_LEAST_FEEDING_DAYS = 6  # a round a week calls at least once then
_HARDENS_DAYS = 42  # before frost, so that no soft growth is fed into winter; judgement
# When leaves that come months after the flower are green, between its end and theirs; judgement.
_LEAVES_FROM, _LEAVES_TO = 0.6, 0.85
_KNEE_HIGH_DAYS = 21  # from a lily's nose to the first feed; judgement
_RENEWING_DAY = 365 + 75
"""Of the axis, 15 August after the season in the north: before roots start anew."""


def tasks_after(scene: Scene, *, emptied: dict[str, date]) -> Iterator[Draft]:
    """Every task that follows flowers, but for emptying. emptied : the day of each lot that is."""
    calls: list[Call] = []
    for lot in scene.lots:
        pot, plants = lot.pot, lot.plants
        calls += _feeding(scene, lot, emptied=emptied.get(pot.id))
        for plant in plants:
            if leaves_in_season(scene, plant):
                yield from task_of_lifting(scene, plant)
        kept = [plant for plant in plants if not leaves_in_season(scene, plant)]
        if pot.id not in emptied:
            yield from _rest(scene, pot, kept)
        for plant in kept:
            if plant.forecast.end is not None:
                yield from _store(scene, plant)
        if pot.id not in emptied:
            yield from _renew(scene, pot, kept)
    for draft, _ in rounds(scene, "feed", calls):
        yield draft


def _store(scene: Scene, plant: Plant) -> Iterator[Draft]:
    """Tender bulbs are stored, or carried in, before the frost that would take them."""
    stay = scene.stay(plant)
    if stay is None:
        return
    limit = scene.rules.lethal_c(plant.cultivar.genus, plant.cultivar.group).bulb_c
    words = tr(
        "The bulb stands no more than {limit:g} °C. The first frost comes by "
        "{frost} in one year of ten.",
        limit=limit,
        frost=day_words(stay.frost),
    )
    if stay.still_in_flower:
        words += tr(" It may still be in flower: frost ends that.")
    yield scene.draft(
        stay.kind,
        [plant],
        stay.window,
        on=[plant],
        thing=plant.cultivar.name,
        more=words,
        cautions=[*scene.handling_words([plant.cultivar]), scene.heavy_words(plant.pot)],
    )


def _rest(scene: Scene, pot: Pot, plants: list[Plant]) -> Iterator[Draft]:
    """The pot's rest, once the last of its leaves are down."""
    overs = [p.forecast.leaves_over for p in plants if p.forecast.leaves_over is not None]
    if not overs or any(scene.stay(plant) is not None for plant in plants):
        return
    last = max(overs, key=lambda band: band.p50)
    moist = [plant for plant in plants if plant.care.rest == "moist"]
    if not moist:
        yield scene.draft(
            "stop-watering",
            plants,
            scene.from_band("stop-watering", last),
            on=[pot],
            more=" ".join(dict.fromkeys(_rests(scene, plant) for plant in plants)),
        )
    elif all(plant.cultivar.genus != "Lilium" for plant in plants):
        leader = min(moist, key=lambda plant: plant.layer.id)
        yield scene.draft("keep", plants, scene.from_band("keep", last), on=[leader])


def _rests(scene: Scene, plant: Plant) -> str:
    name = plant.cultivar.common_type
    a_name = tr("An {name}", name=name) if name[0].lower() in "aeio" else tr("A {name}", name=name)
    if plant.care.rest in ("tender", "shelter"):
        limit = scene.rules.lethal_c(plant.cultivar.genus, plant.cultivar.group).bulb_c
        if limit < scene.tasks.rule("store").limit:
            return tr(
                "Its bulb stands {limit:g} °C: it may winter in its pot, nearly dry.", limit=limit
            )
        return tr(
            "{a_name} is tender, but no hard frost is to be feared here: it "
            "may rest in its pot, nearly dry.",
            a_name=a_name,
        )
    if plant.care.rest == "dry":
        return tr("{a_name} rests dry and warm: keep the rain off its pot.", a_name=a_name)
    return tr("{a_name} rests in its pot, nearly dry, out of the full sun.", a_name=a_name)


def _renew(scene: Scene, pot: Pot, plants: list[Plant]) -> Iterator[Draft]:
    """New compost for what stays in its pot, in its rest; lilies are seen to in autumn."""
    staying = [p for p in plants if scene.fates[p.layer.id] == "stays" and p.over is not None]
    if not staying or len(staying) < len(plants):
        return
    overs = [plant.over for plant in staying if plant.over is not None]
    last = max(overs, key=lambda band: band.p50)
    if any(plant.cultivar.genus == "Lilium" for plant in staying):
        yield scene.draft(
            "repot",
            staying,
            scene.from_day("repot", last.p50),
            on=[pot],
            cautions=[*scene.cat_words(staying), scene.heavy_words(pot)],
        )
        return
    if any(plant.cultivar.flowers_in == "autumn" for plant in staying):
        day = last.p50
    else:
        usual = scene.first_day + timedelta(days=_RENEWING_DAY)
        day = max(last.p50, usual - timedelta(days=scene.tasks.rule("renew").best_days))
    yield scene.draft("renew", staying, scene.from_day("renew", day), on=[pot])


def feeding_days(
    plant: Plant, *, green_share: float, frost: date | None = None
) -> tuple[date, date] | None:
    """First and last day on which a layer is fed.

    From the day after its last flower until its leaves begin to yellow, whatever else flowers in
    the pot; lilies while they grow. frost : the first frost that a tender layer is carried in
    from; soft growth must harden first.
    """
    forecast = plant.forecast
    if forecast.start is None or forecast.end is None or forecast.leaves_over is None:
        return None
    ends, yellow = forecast.end.p50, forecast.leaves_over.p50
    green = (yellow - ends).days
    first, last = ends + timedelta(days=1), ends + timedelta(days=int(green * green_share))
    if plant.care.leaves == "later":
        first = ends + timedelta(days=int(green * _LEAVES_FROM))
        last = ends + timedelta(days=int(green * _LEAVES_TO))
    if plant.cultivar.genus == "Lilium" and forecast.nose is not None:
        first = max(forecast.nose.p50, plant.here_from) + timedelta(days=_KNEE_HIGH_DAYS)
    if frost is not None:
        last = min(last, frost - timedelta(days=_HARDENS_DAYS))
    return None if (last - first).days < _LEAST_FEEDING_DAYS else (first, last)


def _feeding(scene: Scene, lot: Lot, *, emptied: date | None) -> Iterator[Call]:
    """When pots alike are fed: for any of their layers that live on."""
    share = scene.tasks.rule("feed").limit
    runs: list[tuple[date, date, list[Plant]]] = []
    wanted = []
    for plant in lot.plants:
        if scene.fates[plant.layer.id] == "replaced":
            continue
        stay = scene.stay(plant)
        days = feeding_days(plant, green_share=share, frost=stay.frost if stay else None)
        if days is not None:
            out = [emptied, plant.layer.lifted_on]
            last = min(days[1], *(day - timedelta(days=1) for day in out if day), days[1])
            if (last - days[0]).days >= _LEAST_FEEDING_DAYS:
                wanted.append((days[0], last, plant))
    for first, last, plant in sorted(wanted, key=lambda each: each[:2]):
        if runs and first <= runs[-1][1] + timedelta(days=1):
            begin, until, fed = runs.pop()
            runs.append((begin, max(until, last), [*fed, plant]))
        else:
            runs.append((first, last, [plant]))
    for first, last, fed in runs:
        # Named by the layer that is green longest, as when each pot had a task of its own.
        longest = max(fed, key=lambda each: each.over.p50 if each.over else last)
        yield call("feed", lot, fed, first, last, on=[lot.pot, longest])
