"""Tasks of companions on top of pots: plant them out, water them in with care, take them out."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from bloomline.model.companion import CompanionPlanting
from bloomline.model.cultivar import Companion
from bloomline.model.yard import Pot
from bloomline.plan.forecast.report import CompanionForecast
from bloomline.plan.tops.companions import companion_of, planting_span
from bloomline.plan.words.benches import pot_words
from bloomline.plan.words.shares import of_ten
from bloomline.plan.work.draft import Draft
from bloomline.plan.work.parts import Tops
from bloomline.plan.work.scene import Scene
from bloomline.plan.work.task import Window
from bloomline.words import day_words, span_words, tr

_SEVERE = 2  # level of harm that can be severe or fatal
_RISKY_SHARE = 0.05  # of years whose frost takes a plant; below it nothing is said


def tasks_of_companions(scene: Scene) -> Iterator[Draft]:
    """Every task of companions that the season holds."""
    tops = {planting.id: Tops(pot, planting) for pot, planting in scene.yard.companions()}
    for pot, of_pot in zip(scene.yard.pots, scene.report.pots, strict=True):
        for forecast in of_pot.companions if pot.companions else ():
            top = tops[forecast.planting_id]
            yield from _plant(scene, top, forecast)
            yield from _take_out(scene, top, forecast)


def _plant(scene: Scene, top: Tops, forecast: CompanionForecast) -> Iterator[Draft]:
    pot, planting = top.pot, top.planting
    if not scene.first_day <= planting.planted <= scene.report.last_day:
        return
    companion = companion_of(planting.companion_id)
    southern = scene.garden.is_southern
    first, last = planting_span(companion, planting.planted, southern=southern)
    why = tr(
        "Usually set out between {first} and {last} here.",
        first=day_words(first),
        last=day_words(last),
    )
    if forecast.first is not None and forecast.last is not None:
        what = tr("In leaf") if forecast.is_leaf else tr("In flower")
        why += tr(
            " {what} {first}, by the calendar.",
            what=what,
            first=span_words(forecast.first, forecast.last),
        )
    if forecast.killed_share > _RISKY_SHARE:
        why += tr(
            " Frost takes it in {killed_share}: keep fleece at hand.",
            killed_share=of_ten(forecast.killed_share, "year"),
        )
    why += _harm_words(companion)
    yield scene.draft_on_top(
        "companion",
        top,
        Window.of(first, planting.planted, last),
        words={
            "count": planting.count * pot.copies,
            "what": forecast.name,
            "where": pot_words(pot),
            "why": why,
        },
    )


def _take_out(scene: Scene, top: Tops, forecast: CompanionForecast) -> Iterator[Draft]:
    day, why = _leaves(top.pot, top.planting, forecast)
    if day is None or not scene.first_day <= day <= scene.report.last_day:
        return
    yield scene.draft_on_top(
        "companion-out",
        top,
        scene.from_day("companion-out", day),
        words={"what": forecast.name, "where": pot_words(top.pot), "why": why},
    )


def _leaves(
    pot: Pot, planting: CompanionPlanting, forecast: CompanionForecast
) -> tuple[date | None, str]:
    """The day on which companions come out, and why."""
    below = "" if not pot.layers else tr(" Mind the bulbs under it: lift it with a hand fork.")
    if planting.taken_out is not None:
        return planting.taken_out, tr(
            "Planned for {taken_out}.{below}", taken_out=day_words(planting.taken_out), below=below
        )
    if forecast.last is None:
        return None, ""
    over = day_words(forecast.last)
    return forecast.last + timedelta(days=1), tr(
        "Its season is over by {over}.{below}", over=over, below=below
    )


def _harm_words(companion: Companion) -> str:
    if companion.toxic_pets < _SEVERE:
        return ""
    return tr(" Poisonous to pets: {toxic_note}.", toxic_note=tr(companion.toxic_note))
