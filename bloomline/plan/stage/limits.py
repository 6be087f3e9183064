"""Where each pot may stand in each week: what weight, room, sun, frost and the gardener's hand say.

Place 0 is each pot's own spot: where it stands when nobody carries it about, under cover for one
that winters there. It has room for all; the places of the yard follow in order.

What the pot itself says of where it stands is what its season is worked out for, so the rota
has it under cover when the pot says so, and at no other time but by hand; what it had better say
is `plan.stage.winter`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.model.cultivar import Cultivar
from bloomline.model.stage import DisplayPlace, FixedStand
from bloomline.model.yard import SHELTERED_SITES, Pot, Yard
from bloomline.plan.forecast.report import LayerForecast
from bloomline.plan.pot.lifting import CarriedBy, carried_by
from bloomline.plan.pot.weight import PotWeight
from bloomline.plan.season.nights import Nights, hard_frosts, nights
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.stage.shows import Shows
from bloomline.plan.stage.weeks import WEEK, Weeks
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

    allowed : (n_pots, n_places + 1, n_weeks). by : how each pot is carried. under_cover : weeks
    in which a pot says that it is under such cover as a place of the yard has, (n_pots, n_weeks).
    width_cm : of each pot at its widest, of a bench all of them in a row. copies : how many pots
    each is, which stand together or not at all. conflicts : what can't be as it is wished, a
    sentence each. by_hand : where a stand is fixed by hand, (n_pots, n_weeks).
    """

    allowed: Bools
    by: tuple[CarriedBy, ...]
    under_cover: Bools
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
    covers = [place.cover for place in places]
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
        stays, must, tender = _in_weeks(pot, outlook, shows, at, night)
        indoors[at] = must | tender
        for number, here in enumerate(covers, start=1):
            if here is None:
                allowed[at, number] &= ~indoors[at]
                continue
            if here == pot.site and allowed[at, number].any():
                cover[at] = must
            allowed[at, number] &= tender | stays if here == pot.site else tender
    room = np.array([np.inf, *(float(place.capacity) for place in places)])
    room_cm = np.array([np.inf, *(place.width_cm or np.inf for place in places)])
    _stay_put(yard, allowed, by, cover)
    own = allowed.copy()
    hand = _by_hand(yard, weeks, allowed, shows.weights, copies, width, room, room_cm, conflicts)
    _tell_frost(yard, weeks, allowed, hand & indoors, conflicts)
    _tell_cover(yard, shows, allowed & hand[:, None] & ~own, conflicts)
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


def _tell_cover(yard: Yard, shows: Shows, other: Bools, conflicts: list[str]) -> None:
    """Say where a hand sets a pot under cover that doesn't say itself that it stands there.

    other : places by hand that a pot would not have by what it says, as `Limits.allowed`.
    """
    weeks = shows.weeks
    for at, pot in enumerate(yard.pots):
        shown = np.flatnonzero(shows.colour[at] >= AT_REST)
        over = int(shown[-1]) if len(shown) else weeks.count
        for number, place in enumerate(yard.display_places, start=1):
            mine = np.flatnonzero(other[at, number])
            # What happens to bulbs once their flowers are over is no matter of this season.
            if place.cover is not None and len(mine) and mine[0] <= over:
                conflicts.append(
                    tr(
                        "{pot}: by your hand it stands at {place} from {day} on, but its season is "
                        "worked out for where it says itself that it stands: set that in the pot.",
                        pot=pot_words(pot),
                        place=place.name,
                        day=day_words(weeks.first(int(mine[0]))),
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


def _in_weeks(
    pot: Pot, outlook: Outlook, shows: Shows, at: int, night: Nights
) -> tuple[Bools, Bools, Bools]:
    """Weeks in which a pot may stand under its own cover, has to, and is brought in from frost.

    The first two by what it says itself, the last by the frost that tender plants are carried in
    before once they have flowered.
    """
    weeks = shows.weeks
    stays, must, tender = np.zeros((3, weeks.count), dtype=bool)
    layers = {layer.id for layer in pot.layers if layer.state != "lifted"}
    mine: list[tuple[Cultivar, LayerForecast]] = [
        (outlook.cultivar_of(each.cultivar_id), each)
        for each in shows.pots[at].layers
        if each.layer_id in layers
    ]
    if pot.site in SHELTERED_SITES:
        out = night.out_day(pot, [each.start for kind, each in mine if kind.genus == "Lilium"])
        carried = [weeks.carried(week) for week in range(weeks.count)]
        came = pot.sheltered_from
        inside = np.array([came is None or came < day + WEEK for day in carried])
        stays = inside if out is None else inside & np.array([day < out for day in carried])
        if out is not None or came is not None:
            must = stays
    rules = load_task_rules()
    for kind, forecast in mine:
        care = rules.aftercare(kind.genus, kind.group)
        frosts = hard_frosts(night, pot, kind, forecast, care)
        if frosts is not None and frosts.first_air is not None:
            tender = tender | _overlap(weeks, frosts.first_air, weeks.end)
    return stays, must, tender
