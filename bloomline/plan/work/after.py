"""Tasks after the flower: feed, stop watering, lift or leave, clear, store, refill."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from bloomline.model.yard import Pot
from bloomline.plan.forecast.report import Band
from bloomline.plan.pot.layer_life import CROWDED_SEASONS
from bloomline.plan.words.listing import listed
from bloomline.plan.work.lift import task_of_lifting
from bloomline.plan.work.scene import Plant, Scene, days_from, plant_name
from bloomline.plan.work.task import Draft, Window

_LEAST_FEEDING_DAYS = 7  # fewer days of green leaf are not worth a feed; judgement
_HARDENS_DAYS = 42  # before frost, so that no soft growth is fed into winter; judgement
# When leaves that come months after the flower are green, between its end and theirs; judgement.
_LEAVES_FROM, _LEAVES_TO = 0.6, 0.85


def tasks_after(scene: Scene) -> Iterator[Draft]:
    """Every task that follows flowers."""
    for pot, plants in scene.pots.values():
        yield from _feeds(scene, pot, plants)
        free: list[Band] = []
        for plant in plants:
            forecast = plant.forecast
            lifted_on = plant.layer.lifted_on
            if lifted_on is not None and lifted_on <= scene.report.last_day:
                yield from task_of_lifting(scene, plant)
                continue
            if forecast.start is None or forecast.end is None:
                continue
            if scene.fates[plant.layer.id] == "replaced":
                free.append(_when_free(scene, plants, plant))
                yield from _clear(scene, plant, free[-1])
                continue
            over = forecast.leaves_over or forecast.end
            if scene.fates[plant.layer.id] == "lifted":
                over = _when_liftable(plants, plant, over)
            free.append(over)
            yield from _rest(scene, plant, over)
        yield from _stop_watering(scene, pot, plants)
        if free and all(scene.fates[plant.layer.id] != "stays" for plant in plants):
            yield from _refill(scene, pot, plants, free)


def _when_free(scene: Scene, plants: list[Plant], plant: Plant) -> Band:
    """When a layer can be dug out without harm to the flowers and living leaves over it."""
    forecast = plant.forecast
    assert forecast.end is not None
    over = forecast.leaves_over or forecast.end
    free = forecast.end
    for other in plants:
        start, last = other.forecast.start, other.forecast.end
        if start is None or last is None or start.p50 > over.p50:
            continue
        if scene.fates[other.layer.id] != "replaced" and other.forecast.leaves_over is not None:
            last = other.forecast.leaves_over
        if last.p50 > free.p50:
            free = last
    return free


def _when_liftable(plants: list[Plant], plant: Plant, over: Band) -> Band:
    """When a layer can be lifted: its own leaves are down, and no other grows through it."""
    free = over
    for other in plants:
        shows = other.forecast.nose or other.forecast.start
        last = other.forecast.end
        if other is plant or shows is None or last is None or shows.p50 > over.p50:
            continue
        if last.p50 > free.p50:
            free = last
    return free


def _clear(scene: Scene, plant: Plant, end: Band) -> Iterator[Draft]:
    wait = "" if end == plant.forecast.end else "Wait until the other layers are over."
    yield scene.draft(
        "clear",
        [plant],
        scene.from_band("clear", end),
        on=[plant.layer.id],
        words={"what": plant_name(plant), "wait": wait},
        more=scene.handling_words([plant.cultivar]),
    )


def _rest(scene: Scene, plant: Plant, over: Band) -> Iterator[Draft]:
    """What becomes of bulbs that live on: lifted and stored, or left in their pot."""
    words: dict[str, object] = {"what": plant_name(plant)}
    on = [plant.layer.id]
    name = plant.cultivar.common_type
    a_name = f"{'An' if name[0].lower() in 'aeio' else 'A'} {name}"
    if plant.care.rest in ("tender", "shelter"):
        stay = scene.stay(plant)
        limit = scene.rules.lethal_c(plant.cultivar.genus, plant.cultivar.group).bulb_c
        if stay is None:
            words["why"] = (
                f"Its bulb stands {limit:g} °C: it may winter in its pot, nearly dry."
                if limit < scene.tasks.rule("store").limit
                else f"{a_name} is tender, but no hard frost is to be feared here: it may rest in "
                "its pot, nearly dry."
            )
            yield scene.draft("keep", [plant], scene.from_band("keep", over), on=on, words=words)
            return
        words |= {"limit": f"{limit:g}", "frost": stay.frost}
        words["more"] = (
            "It may still be in flower: frost ends that." if stay.still_in_flower else ""
        )
        more = scene.handling_words([plant.cultivar]) + scene.heavy_words(plant.pot)
        yield scene.draft(stay.kind, [plant], stay.window, on=on, words=words, more=more)
        return
    if scene.fates[plant.layer.id] == "lifted":
        words["why"] = (
            f"After {plant.seasons} seasons the pot is crowded and its compost spent."
            if plant.cultivar.perennial_in_pot == "2-3 years" and plant.seasons >= CROWDED_SEASONS
            else "The layer under it is dug out, so it comes out too, to be planted again."
        )
        if plant.care.rest == "moist":
            words["why"] = (
                f"{words['why']} It must not dry out: replant soon, or keep in damp sand."
            )
        more = scene.handling_words([plant.cultivar])
        window = scene.from_band("lift", over)
        yield scene.draft("lift", [plant], window, on=on, words=words, more=more)
        return
    rests = {
        "dry": f"{a_name} rests dry and warm: keep the rain off its pot.",
        "moist": f"{a_name} must not dry out: set the pot in shade and keep it just moist.",
        "keep": f"{a_name} rests in its pot, nearly dry, out of the full sun.",
    }
    words["why"] = rests[plant.care.rest]
    yield scene.draft("keep", [plant], scene.from_band("keep", over), on=on, words=words)


def feeding_days(
    plants: list[Plant], plant: Plant, *, green_share: float, frost: date | None = None
) -> tuple[date, date] | None:
    """First and last day on which a pot is fed for one of its layers.

    From the day after its last flower until its leaves begin to yellow. Liquid feed reaches
    every layer of the pot, so it stops when others come up, or waits for their flowers.
    frost : the first frost that a tender layer is carried in from; soft growth must harden first.
    """
    forecast = plant.forecast
    if forecast.start is None or forecast.end is None or forecast.leaves_over is None:
        return None
    if plant.cultivar.perennial_in_pot == "replace":
        return None  # nothing to feed for
    end, over = forecast.end.p50, forecast.leaves_over.p50
    last = end + timedelta(days=round(green_share * (over - end).days))
    first = end + timedelta(days=1)
    if plant.care.leaves == "later":
        first = end + timedelta(days=round(_LEAVES_FROM * (over - end).days))
        last = end + timedelta(days=round(_LEAVES_TO * (over - end).days))
    if frost is not None:
        last = min(last, frost - timedelta(days=_HARDENS_DAYS))
    waiting = True
    while waiting:
        waiting = False
        for other in plants:
            start, ends = other.forecast.start, other.forecast.end
            shows = other.forecast.nose or start
            if start is None or ends is None or shows is None:
                continue
            if shows.p50 > last or ends.p50 < first:
                continue
            # Its noses are up and its flowers are not over while this one is green.
            if (shows.p50 - first).days > _LEAST_FEEDING_DAYS:
                last = shows.p50 - timedelta(days=1)
            else:
                first, waiting = ends.p50 + timedelta(days=1), True
    if (last - first).days < _LEAST_FEEDING_DAYS:
        return None
    return first, last


def _feeds(scene: Scene, pot: Pot, plants: list[Plant]) -> Iterator[Draft]:
    share = scene.tasks.rule("feed").limit
    groups: dict[date, list[tuple[Plant, date]]] = {}
    for plant in plants:
        stay = scene.stay(plant)
        frost = stay.frost if stay is not None else None
        if days := feeding_days(plants, plant, green_share=share, frost=frost):
            groups.setdefault(days[0], []).append((plant, days[1]))
    for first, fed in groups.items():
        last = max(until for _, until in fed)
        layers = [plant for plant, _ in fed]
        names = listed((plant.cultivar.name for plant in layers), most=4)
        # Named by the layer that is green longest, so that others may come and go.
        longest = max(fed, key=lambda each: each[1])[0]
        yield scene.draft(
            "feed",
            layers,
            Window(first, first, last),
            on=[pot.id, longest.layer.id],
            words={"what": f"{pot.name} for {names}", "until": last},
        )


def _stop_watering(scene: Scene, pot: Pot, plants: list[Plant]) -> Iterator[Draft]:
    overs = [p.forecast.leaves_over for p in plants if p.forecast.leaves_over is not None]
    if not overs or any(plant.care.rest not in ("dry", "keep") for plant in plants):
        return
    if any(scene.fates[plant.layer.id] == "replaced" for plant in plants):
        return  # the pot is emptied
    last = max(overs, key=lambda band: band.p50)
    kinds = listed((plant.cultivar.common_type for plant in plants), most=4)
    nearly = any(plant.care.rest == "keep" for plant in plants)
    words = {"what": pot.name, "kinds": kinds, "how": "nearly dry" if nearly else "dry"}
    window = scene.from_band("stop-watering", last)
    yield scene.draft("stop-watering", plants, window, on=[pot.id], words=words)


def _refill(scene: Scene, pot: Pot, plants: list[Plant], out: list[Band]) -> Iterator[Draft]:
    """Fill a pot again once it is free, where that is before the summer is over."""
    free = max(out, key=lambda band: band.p50)
    season = plants[0].usual
    summer_ends = scene.first_day + timedelta(days=365 + 31)
    planted_later = any(
        plant.layer.planted > free.p10 or plant.cultivar.season_planted != "autumn"
        for plant in plants
    )
    if planted_later or free.p50 > summer_ends or free.p50 <= season:
        return
    window = scene.from_band("refill", free)
    still = _still_plantable(scene, window.best)
    kinds = (
        f"By then there is still time to plant {listed(still, most=4)}."
        if still
        else "By then it is late for dry bulbs: take plants grown in small pots."
    )
    yield scene.draft(
        "refill", plants, window, on=[pot.id], words={"what": pot.name, "kinds": kinds}
    )


_SUMMER_KINDS = {
    "Begonia": "begonias",
    "Dahlia": "dahlias",
    "Eucomis": "pineapple lilies",
    "Gladiolus": "gladioli",
    "Lilium": "lilies",
}


def _still_plantable(scene: Scene, day: date) -> list[str]:
    """Summer kinds whose planting time here includes a day."""
    found = []
    # Half a year's turn brings the windows near London to the southern half of the earth.
    turned = day if not scene.garden.is_southern else day + timedelta(days=182)
    for genus, name in _SUMMER_KINDS.items():
        window = scene.rules.planting_window(genus)
        today = (turned - date(turned.year, 1, 1)).days + 1
        begin = window.best_from_md.day_of_year
        end = begin + days_from(window.best_from_md, window.to_md)
        if begin <= today <= end:
            found.append(name)
    return found
