"""Tasks up to planting: order, buy, chill, plant, water in, keep animals off."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from datetime import date, timedelta

from bloomline.model.cultivar import MonthDay, Season
from bloomline.model.yard import Pot
from bloomline.plan.forecast.cold import weeks_beside_least
from bloomline.plan.forecast.planting_day import (
    means_at_planting_c,
    order_by,
    planting_rule,
    usual_planting_span,
)
from bloomline.plan.pot.lifting import wants_wheels
from bloomline.plan.pot.safety import wants_mesh
from bloomline.plan.words.benches import each_words
from bloomline.plan.work.draft import Draft
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.scene import Scene, days_from
from bloomline.plan.work.task import Window
from bloomline.reference.rules import PlantingWindow
from bloomline.words import day_words, listed, part_of_month, tr

_IN_HAND_DAYS = 28  # between the last day to order and the refrigerator; judgement
_NEAR_DAYS = 14
"""Planting days this near are one; judgement, no source."""
_YEAR_ENDS_DAY, _SPRING_BEGINS_DAY = 214, 245
"""Of the axis, 1 January and 1 February in the north."""
_WORTH_A_MESH_DAYS = 14  # to the first noses; judgement
_LEAST_SHORT = 1.0  # weeks of cold that are lacking before anything is done about them
_SEASONS: tuple[Season, ...] = ("autumn", "spring", "summer")


def tasks_before(scene: Scene) -> Iterator[Draft]:
    """Every task of bulbs that are planted in this season."""
    new = [plant for plant in scene.plants if not plant.forecast.established]
    missing = _missing(scene, new)
    for season, group in _by_season(scene, new):
        yield from _shopping(scene, group, season, missing=missing)
    for lot in scene.lots:
        new = [plant for plant in lot.plants if not plant.forecast.established]
        for plant in new:
            yield from _prechill(scene, plant)
            yield _plant(scene, plant)
        for season, group in _by_season(scene, new):
            yield from _mesh(scene, group, season)


def _by_season(scene: Scene, plants: Iterable[Plant]) -> Iterator[tuple[Season, list[Plant]]]:
    """Plants by the season in which they are planted, in its order; without empty ones."""
    found: dict[Season, list[Plant]] = {}
    for plant in plants:
        found.setdefault(planted_in(scene, plant), []).append(plant)
    for season in _SEASONS:
        if season in found:
            yield season, found[season]


def planted_in(scene: Scene, plant: Plant) -> Season:
    """The season in which a layer is planted: its kind's, or the other one of a kind with two.

    Lilies go in in spring as a rule, and as well in autumn.
    """
    return scene.once(
        ("season", plant.cultivar.id, plant.layer.planted), lambda: _planted_in(scene, plant)
    )


def _planted_in(scene: Scene, plant: Plant) -> Season:
    usual = plant.cultivar.season_planted
    if usual == "summer" or not _in_window(scene, plant):
        return usual
    day = (plant.layer.planted - scene.first_day).days
    if usual == "spring" and day < _YEAR_ENDS_DAY:
        return "autumn"
    return "spring" if usual == "autumn" and day > _SPRING_BEGINS_DAY else usual


def _in_window(scene: Scene, plant: Plant) -> bool:
    first, last = usual_planting_span(plant.cultivar, usual=plant.usual)
    return first <= plant.layer.planted <= last


def _done(plants: list[Plant]) -> date | None:
    """The day on which all of some layers were planted, if they all are."""
    if all(plant.layer.state != "planned" for plant in plants):
        return max(plant.layer.planted for plant in plants)
    return None


def _bulbs(plant: Plant) -> int:
    """Bulbs of a layer, those of every copy of its pot together."""
    return plant.layer.count * plant.pot.copies


def _missing(scene: Scene, plants: list[Plant]) -> dict[str, int]:
    """Bulbs that each planned layer still lacks: what lies in the cupboard goes in first."""
    stock = {item.cultivar_id: item.count for item in scene.yard.cupboard}
    planned = [plant for plant in plants if plant.layer.state == "planned"]
    found = {plant.layer.id: _bulbs(plant) for plant in planned}
    waiting = [plant for plant in planned if plant.cultivar.id in stock]
    for plant in sorted(waiting, key=lambda each: each.layer.planted):
        taken = min(stock[plant.cultivar.id], found[plant.layer.id])
        stock[plant.cultivar.id] -= taken
        found[plant.layer.id] -= taken
    return found


def _shopping(
    scene: Scene, plants: list[Plant], season: Season, *, missing: dict[str, int]
) -> Iterator[Draft]:
    planned = [plant for plant in plants if plant.layer.state == "planned"]
    wanted = [plant for plant in planned if missing[plant.layer.id] > 0]
    if planned and not wanted:
        return  # all of it lies in the cupboard
    if not planned:
        wanted = plants
    kinds = len({plant.cultivar.id for plant in wanted})
    words = {
        "what": listed((plant.cultivar.name for plant in wanted), most=3)
        if kinds <= 3
        else tr("{kinds} kinds", kinds=kinds),
        "season": season,
        "count": sum(missing.get(plant.layer.id, _bulbs(plant)) for plant in wanted),
    }
    days = {(plant.layer.planted, plant.usual) for plant in wanted}
    order = min(order_by(planned=planted, usual=usual) for planted, usual in days)
    use = min(plant.layer.planted for plant in wanted)
    alike = {id(plant.forecast): plant for plant in wanted}  # with all it rests on
    chilled = [start for plant in alike.values() if (start := chill_start(plant)) is not None]
    why = ""
    if chilled:
        use = min(use, *chilled)
        if use - timedelta(days=_IN_HAND_DAYS) < order:
            order = use - timedelta(days=_IN_HAND_DAYS)
            why = tr(
                "Some lie in the refrigerator first, from {chilled} on.",
                chilled=day_words(min(chilled)),
            )
    for kind, day, more in (("order", order, why), ("buy", use, "")):
        yield scene.draft(
            kind,
            plants,
            scene.from_day(kind, day),
            on=[season],
            words=words,
            more=more,
            cautions=scene.cat_words(wanted),
            done=_done(plants),
            lapses=max(plant.layer.planted for plant in wanted),
            times=kinds,
        )


def weeks_of_chilling(plant: Plant, *, least_short: float) -> tuple[int, str]:
    """Weeks a layer should lie in the refrigerator before planting, and why; 0 for none."""
    layer, plan = plant.layer, plant.forecast.cold_plan
    weeks = _weeks_of_chilling(plant, least_short)
    if layer.prechill_weeks > 0:
        return weeks, tr(
            "Planned with {prechill_weeks:g} weeks of cold before planting.",
            prechill_weeks=layer.prechill_weeks,
        )
    least = plant.cultivar.chill_weeks_min
    if not weeks or plan is None or least is None:
        return 0, ""
    why = tr(
        "Winter here gives {weeks_beside_least} of cold.",
        weeks_beside_least=weeks_beside_least(plant.forecast.cold_weeks, least),
    )
    if abs((plan.plant_on - layer.planted).days) > _NEAR_DAYS:
        why += tr(
            " Chilled bulbs are best planted in {part_of_month} here.",
            part_of_month=part_of_month(plan.plant_on),
        )
    return weeks, why


def _weeks_of_chilling(plant: Plant, least_short: float) -> int:
    if plant.layer.prechill_weeks > 0:
        return math.ceil(plant.layer.prechill_weeks)
    plan, least = plant.forecast.cold_plan, plant.cultivar.chill_weeks_min
    # Where planting earlier would do, the forecast says so, and no refrigerator is needed.
    if plan is None or least is None or plan.earlier is not None or not plan.prechill_weeks:
        return 0
    return plan.prechill_weeks if least - plant.forecast.cold_weeks >= least_short else 0


def chill_start(plant: Plant) -> date | None:
    """The day on which a layer should go into the refrigerator, if it should."""
    weeks = _weeks_of_chilling(plant, _LEAST_SHORT)
    return _chill_from(plant, weeks) if weeks else None


def _chill_from(plant: Plant, weeks: int) -> date:
    """Weeks before planting: the planned day, or the day that the forecast advises instead."""
    plan = plant.forecast.cold_plan
    if plant.layer.prechill_weeks > 0 or plan is None:
        return plant.layer.planted - timedelta(weeks=weeks)
    return plan.chill_from


def _prechill(scene: Scene, plant: Plant) -> Iterator[Draft]:
    weeks, why = weeks_of_chilling(plant, least_short=scene.tasks.rule("prechill").limit)
    if weeks == 0:
        return
    start = _chill_from(plant, weeks)
    words = {"count": _bulbs(plant), "what": plant.cultivar.name, "weeks": weeks, "why": why}
    yield scene.draft(
        "prechill",
        [plant],
        scene.from_day("prechill", start),
        on=[plant],
        words=words,
        done=_done([plant]),
        lapses=max(plant.layer.planted, start + timedelta(weeks=weeks)),
        times=1,
    )


def planting_window(scene: Scene, plant: Plant) -> Window:
    """When a layer may be planted here: the kind's window near London, moved to this place.

    It moves by as much as the usual planting day does; the day the gardener chose is best.
    """
    first, last = usual_planting_span(plant.cultivar, usual=plant.usual)
    return Window.of(first, plant.layer.planted, last)


def _last_day_over(scene: Scene, plant: Plant, over: list[Plant]) -> date | None:
    """The last day for unplanted bulbs over a layer, that it has to lie in the pot by as well."""
    if plant.layer.state != "planned":
        return None
    waiting = [other for other in over if other.layer.state == "planned"]
    return min((planting_window(scene, other).latest for other in waiting), default=None)


_NEAR_LONDON_DAYS = 14
_SAME_WARMTH_C = 1.5


def _note(rule: PlantingWindow, plant: Plant) -> str:
    """The rule's note, where its months hold: they are those near London."""
    near = abs(days_from(plant.cultivar.ref_planted, MonthDay(plant.usual.month, plant.usual.day)))
    if not rule.genus or (rule.note_is_london and near > _NEAR_LONDON_DAYS):
        return ""
    return tr(rule.note) if rule.note else ""


def _over(scene: Scene, plant: Plant) -> list[Plant]:
    """This year's bulbs that lie over a layer."""
    _, mine = scene.pots[plant.pot.id]
    cover_cm, season = plant.layer.cover_cm, plant.cultivar.season_planted
    return [
        other
        for other in mine
        if other.layer.cover_cm < cover_cm
        and not other.forecast.established
        and other.cultivar.season_planted == season
    ]


def last_frost_on_shoots(scene: Scene, plant: Plant) -> date | None:
    """The day by which the last frost is past in nine years of ten, for tender shoots only."""
    tender = plant.care.rest in ("tender", "shelter")
    if not tender or plant.cultivar.season_planted != "spring" or scene.is_sheltered(plant.pot):
        return None
    return scene.frosts(plant.pot, root_limit_c=0.0).last_air


def _usual_words(scene: Scene, plant: Plant) -> str:
    """The usual planting day, and how warm it is then, here and near London."""
    here, london = means_at_planting_c(
        plant.cultivar, garden=scene.garden, first_day=scene.first_day, usual=plant.usual
    )
    told = tr(
        "The usual day here is {usual}: days average {here:.0f} °C",
        usual=day_words(plant.usual),
        here=here,
    )
    if abs(here - london) < _SAME_WARMTH_C:
        return tr("{told} then, as at planting time near London.", told=told)
    # The season sets a limit to how far the day is moved.
    then = (
        tr("even then")
        if plant.cultivar.season_planted == "autumn" and here > london
        else tr("then")
    )
    return tr(
        "{told} {then}, and {london:.0f} °C at planting time near London.",
        told=told,
        then=then,
        london=london,
    )


def _plant(scene: Scene, plant: Plant) -> Draft:
    cultivar, planned, pot = plant.cultivar, plant.layer.planted, plant.pot
    # Many are planted alike, and in pots that stand alike.
    window, about, after = scene.once(
        ("plant", cultivar.id, planned, plant.layer.cover_cm), lambda: _about_planting(scene, plant)
    )
    why = about + scene.once(
        ("compost at planting", scene.place(pot), planned),
        lambda: tr(
            " Compost in this pot is about {compost:.0f} °C then.",
            compost=scene.compost_c(pot, planned),
        ),
    )
    why += after
    over = _over(scene, plant)
    if any(planned > other.layer.planted for other in over):
        why += tr(" Bulbs over it are planted before it: choose one day for the whole pot.")
    last = _last_day_over(scene, plant, over)
    if last is not None and last < window.latest:
        window = Window(window.earliest, window.best, max(last, window.best))
        why += tr(
            " Bulbs over it go in by {last}, and what lies lower goes in first.",
            last=day_words(last),
        )
    frost = last_frost_on_shoots(scene, plant)
    if frost is not None and frost >= planned:
        late = day_words(frost)
        why += tr(
            " Its shoots stand no frost, which comes until {late} in one year of ten.", late=late
        )
    cautions = scene.handling_words([cultivar])
    if wet_feet_freeze(scene, pot):
        cautions.append(
            tr(
                "Set the pot on a wheeled base before it is filled: it is moved later, and "
                "standing wet it bursts in frost."
            )
            if wants_wheels(pot, scene.weight(pot))
            else tr("Set the pot on feet before it is filled: standing wet, it bursts in frost.")
        )
    return scene.draft(
        "plant",
        [plant],
        window,
        on=[plant],
        thing=each_words(f"{plant.layer.count} × {cultivar.name}", pot.copies),
        more=why,
        cautions=cautions,
        heavy=scene.heavy_words(pot),
        done=_done([plant]),
    )


def _about_planting(scene: Scene, plant: Plant) -> tuple[Window, str, str]:
    """Window of a planting, and what is said of depth and day before and after the compost."""
    cultivar, planned = plant.cultivar, plant.layer.planted
    first, last = usual_planting_span(cultivar, usual=plant.usual)
    rule = planting_rule(cultivar)
    why = tr("{cover_cm:g} cm of compost over the tips.", cover_cm=plant.layer.cover_cm)
    if cultivar.season_planted == "summer":
        why += tr(
            " The usual day is {usual}: planted at rest, it flowers weeks later.",
            usual=day_words(plant.usual),
        )
    elif planted_in(scene, plant) != cultivar.season_planted:
        why += tr(
            " It may be planted from {first} to {last} here.",
            first=day_words(first),
            last=day_words(last),
        )
    else:
        why += f" {_usual_words(scene, plant)}"
    after = ""
    if planned < first:
        after += tr(
            " Planned {days} days before the first of the usual days.", days=(first - planned).days
        )
    if planned > last:
        after += tr(
            " Planned {days} days after the last of the usual days.", days=(planned - last).days
        )
    if note := _note(rule, plant):
        after += f" {note[0].upper()}{note[1:]}."
    return planting_window(scene, plant), why, after


def wet_feet_freeze(scene: Scene, pot: Pot) -> bool:
    """Whether a pot stands in the open where frost comes in one year of ten or more."""
    return not scene.is_sheltered(pot) and scene.frosts(pot, root_limit_c=0.0).first_air is not None


def _mesh(scene: Scene, plants: list[Plant], season: Season) -> Iterator[Draft]:
    tempting = [plant for plant in plants if plant.care.mesh]
    if not tempting or not wants_mesh(tempting[0].pot, [plant.care for plant in tempting]):
        return
    pot = tempting[0].pot
    planted = max(plant.layer.planted for plant in plants)
    noses = [plant.forecast.nose for plant in plants if plant.forecast.nose is not None]
    noses = [nose for nose in noses if nose.p50 > planted + timedelta(days=_WORTH_A_MESH_DAYS)]
    if not noses and any(plant.forecast.nose is not None for plant in plants):
        return
    first = min(noses, key=lambda nose: nose.p50, default=None)
    yield scene.draft(
        "mesh",
        tempting,
        scene.from_day("mesh", planted),
        on=[pot, season],
        lapses=first.p50 if first is not None else None,
    )
    if first is not None:
        yield scene.draft(
            "mesh-off", tempting, scene.from_band("mesh-off", first), on=[pot, season]
        )
