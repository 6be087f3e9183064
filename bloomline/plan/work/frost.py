"""Tasks against frost: pots on feet, shelter while roots would freeze, out and back again."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from bloomline.model.yard import Pot
from bloomline.plan.words.day_words import day_words
from bloomline.plan.words.shares import of_ten
from bloomline.plan.work.before import last_frost_on_shoots, wet_feet_freeze
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.scene import Scene
from bloomline.plan.work.task import Draft, Window
from bloomline.reference.sites import load_sites

# The weather years are made of monthly values and hold few of the latest frosts: at stations
# like Minneapolis one spring of ten has frost two weeks after theirs (from memory).
_LATE_FROST_DAYS = 14
_RARE_DAYS = 21  # nights too cold for roots that span less are told with their whole range


def tasks_of_frost(scene: Scene) -> Iterator[Draft]:
    """Every task that frost makes, pot by pot."""
    for pot, plants in scene.pots.values():
        yield from _feet(scene, pot, plants)
        yield from _roots(scene, pot, plants)
        yield from _fleece(scene, plants)
        yield from _out_and_back(scene, pot, plants)


def _feet(scene: Scene, pot: Pot, plants: list[Plant]) -> Iterator[Draft]:
    """Set a pot on feet that is filled already; one that is planted now gets them with that."""
    standing = [plant for plant in plants if plant.forecast.established]
    frost = scene.frosts(pot, root_limit_c=0.0).first_air
    if not standing or frost is None or not wet_feet_freeze(scene, pot):
        return
    yield scene.draft(
        "feet",
        standing,
        scene.from_day("feet", frost),
        on=[pot.id],
        more=f"The first night of frost comes by {day_words(frost)} in one year of ten.",
        cautions=[scene.heavy_words(pot)],
    )


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
    planted = min(plant.here_from for plant in rooted)
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
    place = (
        "Move the pot against the house, into a shed or garage, or wrap it."
        if scene.can_be_moved(pot)
        else "It is too heavy to carry about: wrap it where it stands."
    )
    yield scene.draft(
        "frost",
        rooted,
        scene.from_day("frost", first),
        on=[pot.id],
        more=(
            f"The compost may fall below {limit_c:g} °C, all that roots of {tender.cultivar.name} "
            f"stand, {when.format(day_words(first))}. {place}"
        ),
        cautions=[scene.heavy_words(pot)],
        lapses=last,
    )
    yield scene.draft(
        "frost-over",
        rooted,
        scene.from_day("frost-over", last),
        on=[pot.id],
        more=past.format(day_words(last)),
    )


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
            thing=plant.cultivar.name,
            more=(
                "The last night of frost comes as late as "
                f"{day_words(last - timedelta(days=_LATE_FROST_DAYS))} in one year of ten of these "
                "weather years, and late ones come two weeks after that."
            ),
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
    window = scene.from_day("out", day)
    yield scene.draft(
        "out",
        plants,
        window,
        on=[pot.id],
        words={"site": site},
        more=why,
        cautions=[scene.heavy_words(pot)],
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
        words={"site": site},
        more=f"The first night of hard frost comes by {day_words(frost)} in one year of ten.",
        cautions=[scene.heavy_words(pot)],
    )


def _first_frost_after(scene: Scene, pot: Pot, day: date) -> date | None:
    """Day by which frost comes in one year of ten, counted from a summer's day on."""
    return scene.frosts_outside(pot, after=day).first_air
