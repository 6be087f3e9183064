"""Where each pot may stand in each week: what weight, room, sun, frost and the gardener's hand say.

Place 0 is each pot's own spot: where it stands when nobody carries it about, under cover for one
that winters there. It has room for all; the places of the yard follow in order.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.model.cultivar import Cultivar
from bloomline.model.stage import DisplayPlace, FixedStand
from bloomline.model.yard import SHELTERED_SITES, Layer, Pot, Yard
from bloomline.plan.forecast.report import LayerForecast
from bloomline.plan.pot.lifting import CarriedBy, carried_by
from bloomline.plan.pot.weight import PotWeight
from bloomline.plan.season.nights import (
    Nights,
    cold_spell,
    hard_frosts,
    nights,
    root_limit_c,
)
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.stage.shows import Shows
from bloomline.plan.stage.weeks import Weeks
from bloomline.plan.words.benches import pot_words
from bloomline.reference.tasks import load_task_rules
from bloomline.words import day_words, tr

Bools = NDArray[np.bool_]
OWN = 0
AT_REST = 0.3
"""A pot whose chance of a flower in a week is less than this is at rest; judgement."""
_LEAF_DAYS = timedelta(days=28)  # leaves before the flower where no nose is forecast; judgement


@dataclass(frozen=True, slots=True, eq=False)
class Limits:
    """What may stand where.

    allowed : (n_pots, n_places + 1, n_weeks). by : how each pot is carried. wants_cover : weeks
    in which roots of a pot at rest may freeze, and a shelter would take it, (n_pots, n_weeks).
    width_cm : of each pot at its widest, of a bench all of them in a row. copies : how many pots
    each is, which stand together or not at all. conflicts : what can't be as it is wished, a
    sentence each. by_hand : where a stand is fixed by hand, (n_pots, n_weeks).
    """

    allowed: Bools
    by: tuple[CarriedBy, ...]
    wants_cover: Bools
    width_cm: NDArray[np.float64]
    copies: NDArray[np.float64]
    room: NDArray[np.float64]
    room_cm: NDArray[np.float64]
    by_hand: Bools
    conflicts: tuple[str, ...]


def limits_of(outlook: Outlook, shows: Shows) -> Limits:
    """Work out what may stand where."""
    yard, weeks = outlook.yard, shows.weeks
    places = yard.display_places
    n = len(yard.pots)
    allowed = np.ones((n, 1 + len(places), weeks.count), dtype=bool)
    cover = np.zeros((n, weeks.count), dtype=bool)
    indoors = cover.copy()
    conflicts: list[str] = []
    by = tuple(carried_by(weight) for weight in shows.weights)
    copies = np.array([float(pot.copies) for pot in yard.pots])
    width = np.array([_width_cm(pot) for pot in yard.pots])
    night = nights(outlook)
    for at, pot in enumerate(yard.pots):
        for number, place in enumerate(places, start=1):
            if why_never(pot, shows.weights[at], place) is not None:
                allowed[at, number] = False
            allowed[at, number] &= ~_wants_light(pot, place, outlook, shows, at)
        must, may = _frost(pot, outlook, shows, at, night)
        indoors[at] = must
        sheltered = [place.kind == "shelter" for place in places]
        for number, is_shelter in enumerate(sheltered, start=1):
            if not is_shelter:
                allowed[at, number] &= ~must
        open_to = [k for k, yes in enumerate(sheltered, start=1) if yes and allowed[at, k].any()]
        if open_to and by[at] != "nobody":
            cover[at] = may
            outside = [k for k, yes in enumerate(sheltered, start=1) if not yes]
            for number in outside:
                allowed[at, number] &= ~may
    room = np.array([np.inf, *(float(place.capacity) for place in places)])
    room_cm = np.array([np.inf, *(place.width_cm or np.inf for place in places)])
    _stay_put(yard, allowed, by, cover)
    hand = _by_hand(yard, weeks, allowed, shows.weights, copies, width, room, room_cm, conflicts)
    _tell_frost(yard, weeks, allowed, hand & indoors, conflicts)
    _make_room(yard, allowed, copies, width, room, room_cm, conflicts)
    return Limits(allowed, by, cover, width, copies, room, room_cm, hand, tuple(conflicts))


def _width_cm(pot: Pot) -> float:
    """How much room a pot takes in a row: its longest side, walls and all, of every copy."""
    return pot.copies * (max(pot.top_width_cm, pot.top_length_cm or 0.0) + 2.0 * pot.wall_cm)


def _stay_put(yard: Yard, allowed: Bools, by: tuple[CarriedBy, ...], cover: Bools) -> None:
    """What nobody carries stands where it is shown, or at its own spot, all year round."""
    names = [place.name for place in yard.display_places]
    for at, pot in enumerate(yard.pots):
        if by[at] == "nobody":
            stands = OWN if pot.display_place is None else 1 + names.index(pot.display_place)
            allowed[at] = False
            allowed[at, stands] = True
            cover[at] = False


def _by_hand(
    yard: Yard,
    weeks: Weeks,
    allowed: Bools,
    weights: tuple[PotWeight, ...],
    copies: NDArray[np.float64],
    width: NDArray[np.float64],
    room: NDArray[np.float64],
    room_cm: NDArray[np.float64],
    conflicts: list[str],
) -> Bools:
    """Lay the stands that are fixed by hand into `allowed`, but for those that can't be.

    A hand may set a pot out early or into the shade; it may not lift what can't be lifted, nor
    put a pot where there isn't room.
    """
    hand = np.zeros((len(yard.pots), weeks.count), dtype=bool)
    at_of = {pot.id: at for at, pot in enumerate(yard.pots)}
    names = [place.name for place in yard.display_places]
    for stand in sorted(yard.fixed_stands, key=lambda each: each.first):
        mine = _weeks_of(stand, weeks)
        if not mine.any():
            continue
        at = at_of[stand.pot_id]
        pot = yard.pots[at]
        number = OWN if stand.place is None else 1 + names.index(stand.place)
        place = yard.display_places[number - 1] if number else None
        why = why_never(pot, weights[at], place)
        if (
            why is None
            and place
            and _taken(at, number, mine, allowed, copies, width, room, room_cm)
        ):
            why = tr("there is no room left at {place} in these weeks.", place=place.name)
        if why is not None:
            conflicts.append(f"{pot_words(pot)}: {why}")
            continue
        allowed[at][:, mine] = False
        allowed[at, number, mine] = True
        hand[at] |= mine
    return hand


def _tell_frost(
    yard: Yard, weeks: Weeks, allowed: Bools, outside: Bools, conflicts: list[str]
) -> None:
    """Say where a hand sets a pot out that is better under cover."""
    kinds = [None, *(place.kind for place in yard.display_places)]
    for at, pot in enumerate(yard.pots):
        for week in np.flatnonzero(outside[at]):
            if kinds[int(allowed[at, :, week].argmax())] in ("display", "rest"):
                conflicts.append(
                    tr(
                        "{pot}: by your hand it stands outside from {day} on, while frost may "
                        "harm it: bring it in, or cover it, on cold nights.",
                        pot=pot_words(pot),
                        day=day_words(weeks.first(int(week))),
                    )
                )
                break


def why_never(pot: Pot, weight: PotWeight, place: DisplayPlace | None) -> str | None:
    """Why a pot can never be carried to a place, whoever stands there; None where it can.

    place : None for its own spot. What a hand asks for is held against this as well.
    """
    by = carried_by(weight)
    if by == "nobody" and pot.display_place != (place.name if place else None):
        return tr("it is too heavy to be carried, so it stays where it is.")
    if place is None or by == "nobody":
        return None
    if by == "trolley" and place.no_trolley:
        return tr(
            "it is too heavy to be carried by hand, and no trolley gets to {place}.",
            place=place.name,
        )
    if pot.copies > place.capacity:
        return tr(
            "its {copies} pots stand together, and there is no room for all at {place}.",
            copies=pot.copies,
            place=place.name,
        )
    if place.width_cm is not None and _width_cm(pot) > place.width_cm:
        return tr("it is wider than the room at {place}.", place=place.name)
    return None


def _taken(
    at: int,
    number: int,
    mine: Bools,
    allowed: Bools,
    copies: NDArray[np.float64],
    width: NDArray[np.float64],
    room: NDArray[np.float64],
    room_cm: NDArray[np.float64],
) -> bool:
    """Whether what has to stand at a place leaves no room for a pot in some weeks."""
    alone = (allowed.sum(axis=1) == 1) & allowed[:, number]
    alone[at] = False
    count = (alone[:, mine] * copies[:, None]).sum(axis=0)
    wide = (alone[:, mine] * width[:, None]).sum(axis=0)
    return bool(
        (count + copies[at] > room[number]).any() or (wide + width[at] > room_cm[number]).any()
    )


def _weeks_of(stand: FixedStand, weeks: Weeks) -> Bools:
    """The weeks of a stand: a pot carried in the middle of a week stands there all of it."""
    mine = np.zeros(weeks.count, dtype=bool)
    low = (stand.first - weeks.monday).days // 7
    high = weeks.count - 1 if stand.last is None else (stand.last - weeks.monday).days // 7
    mine[max(low, 0) : max(high + 1, 0)] = True
    return mine


def _make_room(
    yard: Yard,
    allowed: Bools,
    copies: NDArray[np.float64],
    width: NDArray[np.float64],
    room: NDArray[np.float64],
    room_cm: NDArray[np.float64],
    conflicts: list[str],
) -> None:
    """Where what stands for good needs more room than a place has, it has that much."""
    fixed = (allowed.sum(axis=1) == 1)[:, None, :] & allowed
    for number, place in enumerate(yard.display_places, start=1):
        count = int((fixed[:, number] * copies[:, None]).sum(axis=0).max(initial=0))
        wide = float((fixed[:, number] * width[:, None]).sum(axis=0).max(initial=0.0))
        if count > room[number] or wide > room_cm[number]:
            conflicts.append(
                tr(
                    "{place}: what is too heavy to be carried needs more room than there is.",
                    place=place.name,
                )
            )
            room[number], room_cm[number] = max(room[number], count), max(room_cm[number], wide)


def _wants_light(pot: Pot, place: DisplayPlace, outlook: Outlook, shows: Shows, at: int) -> Bools:
    """Weeks in which a place is too dark for what grows in a pot, (n_weeks,).

    In flower a pot may stand in the shade, and resting bulbs anywhere; leaves feed the bulb and
    want light. Common practice, no source.
    """
    weeks = shows.weeks
    dark = np.zeros(weeks.count, dtype=bool)
    if place.sun not in ("shade", "dark"):
        return dark
    layers = {layer.id: layer for layer in pot.layers}
    in_flower = shows.colour[at] >= AT_REST
    for forecast in shows.pots[at].layers:
        span = _leaf_days(forecast)
        kind = outlook.cultivar_of(layers[forecast.layer_id].cultivar_id)
        if span is None or (place.sun == "shade" and kind.light != "sun"):
            continue
        grows = _overlap(weeks, *span)
        dark |= grows if place.sun == "dark" else grows & ~in_flower
    return dark


def _leaf_days(forecast: LayerForecast) -> tuple[date, date] | None:
    """From the first shoots to the last leaves of a layer that flowers."""
    if forecast.start is None or forecast.end is None:
        return None
    shoots = forecast.nose.p50 if forecast.nose else forecast.start.p50 - _LEAF_DAYS
    return max(shoots, forecast.planted), (forecast.leaves_over or forecast.end).p50


def _overlap(weeks: Weeks, first: date, last: date) -> Bools:
    found = np.zeros(weeks.count, dtype=bool)
    low, high = (first - weeks.monday).days // 7, (last - weeks.monday).days // 7
    found[max(low, 0) : max(high + 1, 0)] = True
    return found


def _frost(pot: Pot, outlook: Outlook, shows: Shows, at: int, night: Nights) -> tuple[Bools, Bools]:
    """Weeks in which a pot has to be under cover, and those in which it had better be.

    The first by the day until which it is sheltered, and by the frost that tender plants are
    carried in before; the second while roots of a pot at rest may freeze.
    """
    weeks = shows.weeks
    must = np.zeros(weeks.count, dtype=bool)
    may = must.copy()
    layers = {layer.id: layer for layer in pot.layers if layer.state != "lifted"}
    mine: list[tuple[Layer, Cultivar, LayerForecast]] = [
        (layers[each.layer_id], outlook.cultivar_of(each.cultivar_id), each)
        for each in shows.pots[at].layers
        if each.layer_id in layers
    ]
    if pot.site in SHELTERED_SITES:
        lilies = [each.start for _, kind, each in mine if kind.genus == "Lilium"]
        out = night.out_day(pot, lilies)
        if out is not None:
            must |= np.array([weeks.carried(week) < out for week in range(weeks.count)])
    rules = load_task_rules()
    for _, kind, forecast in mine:
        care = rules.aftercare(kind.genus, kind.group)
        frosts = hard_frosts(night, pot, kind, forecast, care)
        if frosts is not None and frosts.first_air is not None:
            must |= _overlap(weeks, frosts.first_air, weeks.end)
    rooted = [
        (layer, kind, each)
        for layer, kind, each in mine
        if each.established or kind.season_planted != "spring"
    ]
    if rooted and pot.site not in SHELTERED_SITES:
        limit_c, _ = root_limit_c([kind for _, kind, _ in rooted])
        here = min(date.min if each.established else layer.planted for layer, _, each in rooted)
        spell = cold_spell(
            night.frosts(pot, root_limit_c=limit_c), planted=max(here, night.first_day)
        )
        if spell is not None:
            may = _overlap(weeks, spell.first, spell.last) & (shows.colour[at] < AT_REST)
    return must, may
