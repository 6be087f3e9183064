"""What happens when companions are dropped on a pot: how many, when, and why not."""

from __future__ import annotations

from datetime import date

from bloomline.errors import BloomlineError
from bloomline.model import edits
from bloomline.model.companion import MAX_COMPANIONS, CompanionPlanting
from bloomline.model.companion_edits import add_companion, move_companion, remove_companion
from bloomline.model.yard import Pot, Yard
from bloomline.plan.carry.verdicts import Cargo, Verdict, refusal
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.tops.companions import companion_of, season_on, surface_share
from bloomline.plan.tops.stand import (
    company,
    days_in_pot,
    share_of_one,
    usual_companion_day,
    usual_count,
)
from bloomline.plan.words.days import as_date
from bloomline.plan.words.units import units_of
from bloomline.words import day_words, tr

_WIDEST = 1.5
"""A plant whose spacing is so many pot widths finds no room; judgement, no source."""
_MOST = 1000


def judge_companion(yard: Yard, cargo: Cargo, *, pot_id: str, copy: bool) -> Verdict:
    """What dropping companions on a pot would do. Raises UnknownNameError."""
    pot = yard.pot(pot_id)
    southern = yard.place.latitude_deg < 0
    source, planting = None, None
    if cargo.kind == "planting":
        source, planting = yard.companion(cargo.id)
        if source.id == pot.id and not copy:
            return refusal(
                tr(
                    "{name} stands in {pot_name} already",
                    name=_name(planting.companion_id),
                    pot_name=pot.name,
                )
            )
    companion = companion_of(planting.companion_id if planting else cargo.id)
    if len(pot.companions) >= MAX_COMPANIONS:
        return refusal(
            tr(
                "{pot_name} already has {max_companions} companion plantings",
                pot_name=pot.name,
                max_companions=MAX_COMPANIONS,
            )
        )
    length = units_of(yard).length
    narrow = min(pot.top_width_cm, pot.top_length_cm or pot.top_width_cm)
    if companion.spacing_cm > _WIDEST * narrow:
        return refusal(
            tr(
                "{companion_name} needs about {spacing}; {pot_name} is {narrow} wide",
                companion_name=companion.name,
                spacing=length(companion.spacing_cm),
                pot_name=pot.name,
                narrow=length(narrow),
            )
        )
    new = CompanionPlanting(
        id=edits.next_id(yard, "companion"),
        companion_id=companion.id,
        count=min(usual_count(pot, companion.id), _MOST),
        planted=planting.planted if planting else _day_for(yard, pot, companion.id),
    )
    if planting is not None:
        new = planting if not copy else planting.model_copy(update={"id": new.id})
    here = company(pot, *days_in_pot(new, southern=southern), southern=southern)
    left = 1.0 - surface_share(pot, here)
    one = share_of_one(pot, companion.id)
    room = max(int(left / one + 1e-6), 0)
    if left <= 1e-6:
        return refusal(
            tr(
                "No room is left on top of {pot_name}: companions take all its surface",
                pot_name=pot.name,
            )
        )
    if planting is None:
        new = new.model_copy(update={"count": max(min(new.count, room), 1)})
    words = _words(pot, new, room=room, southern=southern)
    name = companion.name
    if planting is None:
        return Verdict(
            allowed=True,
            words=tr("Plant {words}", words=words),
            name=tr("Plant {name}", name=name),
            count=new.count,
            apply=lambda before: add_companion(before, pot_id, new),
        )
    if copy:
        return Verdict(
            allowed=True,
            words=tr("Copy {words}", words=words),
            name=tr("Copy {name}", name=name),
            count=new.count,
            apply=lambda before: add_companion(before, pot_id, new),
        )
    return Verdict(
        allowed=True,
        words=tr("Move {words}", words=words),
        name=tr("Move {name}", name=name),
        count=new.count,
        apply=lambda before: move_companion(before, new.id, pot_id),
    )


def judge_companion_on_shelf(yard: Yard, cargo: Cargo) -> Verdict:
    """What dropping companions back on the shelf would do: they are taken out of their pot."""
    if cargo.kind == "companion":
        return refusal(tr("It is on the shelf already"))
    pot, planting = yard.companion(cargo.id)
    name = _name(planting.companion_id)
    return Verdict(
        True,
        tr("Take {name} out of {pot_name}", name=name, pot_name=pot.name),
        tr("Take out {name}", name=name),
        apply=lambda before: remove_companion(before, planting.id),
    )


def _day_for(yard: Yard, pot: Pot, companion_id: str) -> date:
    garden = garden_of(yard.place)
    return usual_companion_day(
        companion_of(companion_id),
        pot,
        season_begins=as_date(yard_axis_start(yard.season_year, garden=garden)),
        southern=garden.is_southern,
    )


def _name(companion_id: str) -> str:
    try:
        return companion_of(companion_id).name
    except BloomlineError:
        return companion_id


def _words(pot: Pot, new: CompanionPlanting, *, room: int, southern: bool) -> str:
    companion = companion_of(new.companion_id)
    season = season_on(companion, new.planted, taken_out=new.taken_out, southern=southern)
    fits = (
        tr("{room} fit", room=room)
        if new.count <= room
        else tr("too many there: {room} fit", room=room)
    )
    told = tr(
        "{count} {companion_name} on top of {pot_name} on {planted} ({fits})",
        count=new.count,
        companion_name=companion.name,
        pot_name=pot.name,
        planted=day_words(new.planted),
        fits=fits,
    )
    if companion.is_all_year:
        return tr("{told}; in leaf all year", told=told)
    if season is None:
        return tr("{told}; taken out before its season", told=told)
    what = tr("leaf") if companion.is_leaf else tr("flower")
    return tr(
        "{told}; in {what} {season} to {season2}, by date",
        told=told,
        what=what,
        season=day_words(season[0]),
        season2=day_words(season[1]),
    )
