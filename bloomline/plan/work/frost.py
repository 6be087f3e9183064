"""Tasks against frost: pots on feet, shelter while roots would freeze, out and back again."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from bloomline.model.yard import Pot
from bloomline.plan.pot.lifting import out_of_frost_words
from bloomline.plan.season.nights import cold_spell
from bloomline.plan.words.shares import of_ten
from bloomline.plan.work.before import last_frost_on_shoots, wet_feet_freeze
from bloomline.plan.work.draft import Draft
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.scene import Scene
from bloomline.plan.work.stage import comes_out, goes_in, is_covered, offer_for
from bloomline.plan.work.task import Window
from bloomline.reference.sites import load_sites
from bloomline.words import day_words, tr

# The weather years are made of monthly values and hold few of the latest frosts: at stations
# like Minneapolis one spring of ten has frost two weeks after theirs (from memory).
_LATE_FROST_DAYS = 14


def tasks_of_frost(scene: Scene) -> Iterator[Draft]:
    """Every task that frost makes, pot by pot."""
    for lot in scene.lots:
        yield from _feet(scene, lot.pot, lot.plants)
        yield from _roots(scene, lot.pot, lot.plants)
        yield from _fleece(scene, lot.plants)
        yield from _out_and_back(scene, lot.pot, lot.plants)


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
        on=[pot],
        more=tr(
            "The first night of frost comes by {frost} in one year of ten.", frost=day_words(frost)
        ),
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
    spell = cold_spell(frosts, planted=min(plant.here_from for plant in rooted))
    sheltered = scene.is_sheltered(pot)  # its nights are those of its cover
    if spell is None or (not sheltered and is_covered(scene, pot.id, spell.first)):
        return
    first, last = spell.first, spell.last
    when = tr("from {} on in one year of ten")
    past = tr("In nine years of ten the last night that is too cold for the roots is past by {}.")
    if spell.is_rare:
        winters = of_ten(frosts.root_share, "winter")
        when = tr("in {winters}, between {{}} and {last}", winters=winters, last=day_words(last))
        past = tr("In none of these weather years came such a night after {}.")
    offer = offer_for(scene, pot.id)
    if offer is not None:
        place = tr(
            "There is room for it at {place}: put down in the pot that it winters there.",
            place=offer.place,
        )
    elif sheltered:
        place = tr("Even under cover: wrap it, or find it a warmer place for these days.")
    else:
        place = out_of_frost_words(scene.weight(pot))
    yield scene.draft(
        "frost",
        rooted,
        scene.from_day("frost", first),
        on=[pot],
        more=(
            tr(
                "The compost may fall below {limit_c:g} °C, all that roots of "
                "{cultivar_name} stand, {format}. {place}",
                limit_c=limit_c,
                cultivar_name=tender.cultivar.name,
                format=when.format(day_words(first)),
                place=place,
            )
        ),
        cautions=[scene.heavy_words(pot)],
        lapses=last,
    )
    yield scene.draft(
        "frost-over",
        rooted,
        scene.from_day("frost-over", last),
        on=[pot],
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
            on=[plant],
            thing=plant.cultivar.name,
            more=(
                tr(
                    "The last night of frost comes as late as {timedelta} in one "
                    "year of ten of these weather years, and late ones come two "
                    "weeks after that.",
                    timedelta=day_words(last - timedelta(days=_LATE_FROST_DAYS)),
                )
            ),
            lapses=last,
        )


def _out_and_back(scene: Scene, pot: Pot, plants: list[Plant]) -> Iterator[Draft]:
    """Into a shed, garage, frame or greenhouse, out for the season; lilies back in after it."""
    if not scene.is_sheltered(pot):
        return
    site = tr(load_sites()[pot.site].label)
    came = pot.sheltered_from
    if (
        came is not None
        and scene.first_day <= came <= scene.report.last_day
        and not goes_in(scene, pot.id, came)
    ):
        yield scene.draft(
            "in",
            plants,
            scene.from_day("in", came),
            on=[pot],
            words={"site": site},
            more=tr("Planned for {day}.", day=day_words(came)),
            cautions=[scene.heavy_words(pot)],
        )
    lilies = [plant for plant in plants if plant.cultivar.genus == "Lilium"]
    day = scene.nights.out_day(pot, [plant.forecast.start for plant in lilies])
    if day is None:
        return
    if pot.sheltered_until is not None:
        why = tr("Planned for {day}.", day=day_words(day))
        if not scene.first_day <= day <= scene.report.last_day:
            return
    elif day == scene.frosts_outside(pot).last_air:
        past = day_words(day)
        why = tr("In nine years of ten the last frost in the open is past by {past}.", past=past)
    else:
        why = tr("Lilies want light and air before they flower.")
    if pot.sheltered_until is None:
        why += tr(
            " No day is set in the pot, so its season is worked out as if it stayed: set this one."
        )
    window = scene.from_day("out", day)
    if not comes_out(scene, pot.id, window.earliest, window.latest):
        yield scene.draft(
            "out",
            plants,
            window,
            on=[pot],
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
        on=[pot],
        words={"site": site},
        more=tr(
            "The first night of hard frost comes by {frost} in one year of ten.",
            frost=day_words(frost),
        ),
        cautions=[scene.heavy_words(pot)],
    )


def _first_frost_after(scene: Scene, pot: Pot, day: date) -> date | None:
    """Day by which frost comes in one year of ten, counted from a summer's day on."""
    return scene.frosts_outside(pot, after=day).first_air
