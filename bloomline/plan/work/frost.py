"""Tasks against frost: pots on feet, shelter while roots would freeze, out and back again."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from bloomline.model.yard import Pot
from bloomline.plan.words.day_words import day_words
from bloomline.plan.words.listing import listed
from bloomline.plan.words.shares import of_ten
from bloomline.plan.work.before import last_frost_on_shoots
from bloomline.plan.work.scene import Plant, Scene, plant_name
from bloomline.plan.work.task import Draft, Window
from bloomline.reference.sites import load_sites

# The weather years are made of monthly values and hold few of the latest frosts: at stations
# like Minneapolis one spring of ten has frost two weeks after theirs (from memory).
_LATE_FROST_DAYS = 14
_RARE_DAYS = 21  # nights too cold for roots that span less are told with their whole range


def tasks_of_frost(scene: Scene) -> Iterator[Draft]:
    """Every task that frost makes, pot by pot."""
    by_site: dict[str, list[tuple[Pot, list[Plant]]]] = {}
    for pot, plants in scene.pots.values():
        if not scene.is_sheltered(pot):
            by_site.setdefault(pot.site, []).append((pot, plants))
        yield from _roots(scene, pot, plants)
        yield from _fleece(scene, plants)
        yield from _out_and_back(scene, pot, plants)
    for site, pots in by_site.items():
        yield from _feet(scene, site, pots)


def _feet(scene: Scene, site: str, pots: list[tuple[Pot, list[Plant]]]) -> Iterator[Draft]:
    frosts = scene.frosts(pots[0][0], root_limit_c=0.0)
    first, last = frosts.first_air, frosts.last_air
    if first is None or last is None:
        return
    midwinter = first + (last - first) / 2  # pots filled in spring are not for this winter
    standing = [plant for _, plants in pots for plant in plants if _rooted(plant) <= midwinter]
    if not standing:
        return
    names = {plant.pot.id: plant.pot.name for plant in standing}
    window = scene.from_day("feet", first)
    planted = min(_rooted(plant) for plant in standing)
    if planted > window.best:  # a pot that is filled later is set on feet as it is filled
        window = Window.of(planted, planted, max(window.latest, planted))
    yield scene.draft(
        "feet",
        standing,
        window,
        on=[site],
        words={"what": listed(names.values(), most=4), "frost": first},
        more=_heaviest(scene, standing),
    )


def _heaviest(scene: Scene, plants: list[Plant]) -> str:
    """The caution of the heaviest pot among some; said once."""
    pots = {plant.pot.id: plant.pot for plant in plants}
    pot = max(pots.values(), key=scene.compost_kg)
    words = scene.heavy_words(pot)
    return f" The heaviest is {pot.name}.{words}" if words and len(pots) > 1 else words


def _rooted(plant: Plant) -> date:
    return plant.usual if plant.forecast.established else plant.layer.planted


def _roots(scene: Scene, pot: Pot, plants: list[Plant]) -> Iterator[Draft]:
    """Shelter a pot whose roots would freeze in one winter of ten or more."""
    rooted = [
        plant
        for plant in plants
        if plant.forecast.established or plant.cultivar.season_planted != "spring"
    ]
    if not rooted:
        return
    limit_c, tender = scene.root_limit_c(rooted)
    frosts = scene.frosts(pot, root_limit_c=limit_c)
    first, last = frosts.first_root, frosts.last_root
    if first is None or last is None:
        return
    planted = min(_rooted(plant) for plant in rooted)
    if last <= planted:
        return
    when = "from {} on in one year of ten"
    past = "In nine years of ten the last night that is too cold for the roots is past by {}."
    if (last - first).days < _RARE_DAYS and frosts.root_range is not None:
        # Where such nights are rare, a year of ten has its first about when another has its last.
        first, last = frosts.root_range
        winters = of_ten(frosts.root_share, "winter")
        when = f"in {winters}, between {{}} and {day_words(last)}"
        past = "In none of these weather years came such a night after {}."
    first = max(first, planted + timedelta(days=1))
    last = max(first, last)
    words = {
        "what": pot.name,
        "limit": f"{limit_c:g}",
        "tender": tender.cultivar.name,
        "when": when.format(day_words(first)),
        "why": past.format(day_words(last)),
    }
    yield scene.draft(
        "frost",
        rooted,
        scene.from_day("frost", first),
        on=[pot.id],
        words=words,
        more=scene.heavy_words(pot),
        lapses=last,
    )
    window = scene.from_day("frost-over", last)
    yield scene.draft("frost-over", rooted, window, on=[pot.id], words=words)


def _fleece(scene: Scene, plants: list[Plant]) -> Iterator[Draft]:
    """Cover tender shoots that come up before the last frost."""
    for plant in plants:
        last = last_frost_on_shoots(scene, plant)
        if last is None or plant.forecast.established:
            continue
        nose = plant.forecast.nose
        up = plant.forecast.planted + timedelta(days=1)
        last += timedelta(days=_LATE_FROST_DAYS)
        first = max(up, nose.p10) if nose is not None else up
        if first > last:
            continue
        best = min(max(first, nose.p50 if nose is not None else first), last)
        yield scene.draft(
            "fleece",
            [plant],
            Window.of(first, best, last),
            on=[plant.layer.id],
            words={"what": plant_name(plant), "frost": last - timedelta(days=_LATE_FROST_DAYS)},
            lapses=last,
        )


def _out_and_back(scene: Scene, pot: Pot, plants: list[Plant]) -> Iterator[Draft]:
    """Out of a shed, garage, frame or greenhouse for the season; lilies back again after it."""
    if not scene.is_sheltered(pot):
        return
    site = load_sites()[pot.site].label
    lilies = [plant for plant in plants if plant.cultivar.genus == "Lilium"]
    day, why = pot.sheltered_until, ""
    if day is not None:
        why = f"Planned for {day_words(day)}."
        if not scene.first_day <= day <= scene.report.last_day:
            return
    elif lilies:
        day = scene.frosts_outside(pot).last_air
        if day is not None:
            past = day_words(day)
            why = f"In nine years of ten the last frost in the open is past by {past}."
        shown = [plant.forecast.start for plant in lilies if plant.forecast.start is not None]
        if not shown:
            return
        latest = min(start.p10 for start in shown) - timedelta(days=7)
        if day is None or day > latest:
            day, why = latest, "Lilies want light and air before they flower."
    if day is None:
        return
    why += (
        " Harden shoots off for a week: out on mild days, in at night, fleece at hand."
        + scene.heavy_words(pot)
    )
    window = scene.from_day("out", day)
    yield scene.draft(
        "out", plants, window, on=[pot.id], words={"what": pot.name, "site": site, "why": why}
    )
    over = [plant.forecast.leaves_over for plant in lilies if plant.forecast.leaves_over]
    if not over:
        return
    rest = max(band.p50 for band in over)
    frost = _first_frost_after(scene, pot, max(rest - timedelta(days=45), day))
    if frost is None or frost <= window.latest:
        return
    back = scene.from_day("back", frost)
    best = max(back.best, window.latest + timedelta(days=1))
    yield scene.draft(
        "back",
        plants,
        Window.of(max(back.earliest, window.latest + timedelta(days=1)), best, back.latest),
        on=[pot.id],
        words={"what": pot.name, "site": site, "frost": frost},
        more=scene.heavy_words(pot),
    )


def _first_frost_after(scene: Scene, pot: Pot, day: date) -> date | None:
    """Day by which frost comes in one year of ten, counted from a summer's day on."""
    return scene.frosts_outside(pot, after=day).first_air
