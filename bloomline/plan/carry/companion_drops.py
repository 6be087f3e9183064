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
from bloomline.plan.words.day_words import day_words
from bloomline.plan.words.days import as_date
from bloomline.plan.words.units import units_of

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
            return refusal(f"{_name(planting.companion_id)} stands in {pot.name} already")
    companion = companion_of(planting.companion_id if planting else cargo.id)
    if len(pot.companions) >= MAX_COMPANIONS:
        return refusal(f"{pot.name} already has {MAX_COMPANIONS} companion plantings")
    length = units_of(yard).length
    narrow = min(pot.top_width_cm, pot.top_length_cm or pot.top_width_cm)
    if companion.spacing_cm > _WIDEST * narrow:
        return refusal(
            f"{companion.name} needs about {length(companion.spacing_cm)}; {pot.name} is "
            f"{length(narrow)} wide"
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
        return refusal(f"No room is left on top of {pot.name}: companions take all its surface")
    if planting is None:
        new = new.model_copy(update={"count": max(min(new.count, room), 1)})
    words = _words(pot, new, room=room, southern=southern)
    name = companion.name
    if planting is None:
        return Verdict(
            allowed=True,
            words=f"Plant {words}",
            name=f"Plant {name}",
            count=new.count,
            apply=lambda before: add_companion(before, pot_id, new),
        )
    if copy:
        return Verdict(
            allowed=True,
            words=f"Copy {words}",
            name=f"Copy {name}",
            count=new.count,
            apply=lambda before: add_companion(before, pot_id, new),
        )
    return Verdict(
        allowed=True,
        words=f"Move {words}",
        name=f"Move {name}",
        count=new.count,
        apply=lambda before: move_companion(before, new.id, pot_id),
    )


def judge_companion_on_shelf(yard: Yard, cargo: Cargo) -> Verdict:
    """What dropping companions back on the shelf would do: they are taken out of their pot."""
    if cargo.kind == "companion":
        return refusal("It is on the shelf already")
    pot, planting = yard.companion(cargo.id)
    name = _name(planting.companion_id)
    return Verdict(
        True,
        f"Take {name} out of {pot.name}",
        f"Take out {name}",
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
    fits = f"{room} fit" if new.count <= room else f"too many there: {room} fit"
    told = f"{new.count} {companion.name} on top of {pot.name} on {day_words(new.planted)} ({fits})"
    if companion.is_all_year:
        return f"{told}; in leaf all year"
    if season is None:
        return f"{told}; taken out before its season"
    what = "leaf" if companion.is_leaf else "flower"
    return f"{told}; in {what} {day_words(season[0])} to {day_words(season[1])}, by date"
