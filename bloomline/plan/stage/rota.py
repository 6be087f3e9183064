"""The stage of a yard: which pot stands where in each week, and which are to be carried when.

The rota is the one of the most expected colour and scent where it is looked at, less what
carrying costs (`engine.rota`). What counts how much is judgement, and stands here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.rota import Rota, RotaProblem, best_rota
from bloomline.model.stage import DisplayPlace
from bloomline.model.yard import Yard
from bloomline.plan.forecast.report import CompanionForecast, LayerForecast
from bloomline.plan.pot.lifting import CarriedBy, Handling, handling_of
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.stage.limits import AT_REST, OWN, Limits, limits_of
from bloomline.plan.stage.shows import Shows, shows_of
from bloomline.plan.stage.weeks import looked_at
from bloomline.plan.stage.winter import WinterOffer, winter_offers
from bloomline.plan.words.benches import pot_words, times_words
from bloomline.words import listed, tr

Floats = NDArray[np.float64]

# All in weeks of full colour at a place of view 1; judgement, no source.
_SCENT = 0.5  # what a week of scent on the path is worth
_TOPS = 0.5  # and of plants that flower on top, where no bulbs do: they do so for months
_BUDS = 0.1  # and a week of buds before it
_DULL = 0.25  # what a pot out of flower takes from a place that is looked at
_USUAL = 1.2  # times as much at the place where the gardener usually shows it
_REST_BEFORE_OWN = 0.002  # pots that are shown rest at a resting place, if all else is the same
_ELSEWHERE = 1.5  # what a week takes in which a pot has no room at the cover that the yard has
_CARRY: dict[Handling, float] = {
    "one": 0.1,
    "one-close": 0.15,
    "two": 0.3,
    "two-or-trolley": 0.4,
    "fill-in-place": 0.6,
    "stays": 99.0,
}
_STEPS = 1.5  # times as much where no trolley gets to


@dataclass(frozen=True, slots=True)
class Flower:
    """A layer, or plants on top, in flower while its pot stands at a place; cut to that stay."""

    layer_id: str
    name: str
    colour: str
    colour_hex: str
    second_colour_hex: str | None
    scent: int
    first: date
    last: date


@dataclass(frozen=True, slots=True)
class Stay:
    """A pot at a place from one Monday to a Sunday, with what flowers there then.

    place : None for its own spot. weeks_of_colour : expected. by_hand : fixed by the gardener, in
    part or whole. copies : equal pots that stand there together.
    """

    pot_id: str
    pot_name: str
    place: str | None
    first: date
    last: date
    flowers: tuple[Flower, ...]
    weeks_of_colour: float
    by_hand: bool
    copies: int = 1

    @property
    def called(self) -> str:
        """What its pot is called, a bench with its number."""
        return times_words(self.pot_name, self.copies)


@dataclass(frozen=True, slots=True)
class Lane:
    """A place with the pots that stand there one after the other, in order of their days.

    colour : chance of any bulb in flower there, by week. weeks_of_colour, weeks_of_scent :
    expected weeks of that, and of scent for whoever walks past. weeks_with_tops : expected weeks
    in which anything flowers there, plants on top of the pots and all.
    """

    place: DisplayPlace
    stays: tuple[Stay, ...]
    colour: tuple[float, ...]
    weeks_of_colour: float
    weeks_of_scent: float
    weeks_with_tops: float

    def on(self, day: date) -> tuple[Stay, ...]:
        """Who stands there on a day."""
        return tuple(stay for stay in self.stays if stay.first <= day <= stay.last)


@dataclass(frozen=True, slots=True)
class StageMove:
    """A pot that is carried from one place to another; None is its own spot.

    day : the Saturday before the week from which it stands there. until : the last Sunday.
    turn : how often it has come to this place in the season by now, from 1.
    """

    pot_id: str
    pot_name: str
    source: str | None
    target: str | None
    day: date
    until: date
    turn: int
    by: CarriedBy
    handling: Handling
    by_hand: bool
    stay: Stay

    @property
    def copies(self) -> int:
        """Equal pots that are carried."""
        return self.stay.copies


@dataclass(frozen=True, slots=True)
class StagePlan:
    """A year on the stage.

    weeks : the Mondays. lanes : of the yard's places, in its order. own : stays at own spots.
    moves : in order of their days. conflicts : what can't be as it is wished, a sentence each.
    offers : pots that had better winter in one of the shelters, and don't say so yet.
    gap_share : how much more another rota could be worth at most, as a share of this one; 0 where
    none is.
    """

    yard_name: str
    season_year: int
    today: date
    weeks: tuple[date, ...]
    lanes: tuple[Lane, ...]
    own: tuple[Stay, ...]
    moves: tuple[StageMove, ...]
    conflicts: tuple[str, ...]
    gap_share: float
    offers: tuple[WinterOffer, ...] = ()

    @property
    def is_proven(self) -> bool:
        """Whether no other rota shows more."""
        return self.gap_share <= 1e-6

    def lane(self, place: str) -> Lane | None:
        """The lane of a place by its name."""
        return next((lane for lane in self.lanes if lane.place.name == place), None)

    def standing(self, day: date) -> tuple[tuple[DisplayPlace | None, tuple[Stay, ...]], ...]:
        """Who stands where on a day: every place in order, and own spots (None) last."""
        own = tuple(stay for stay in self.own if stay.first <= day <= stay.last)
        return (*((lane.place, lane.on(day)) for lane in self.lanes), (None, own))

    def place_of(self, pot_id: str, day: date) -> str | None:
        """Where a pot stands on a day; None at its own spot, and outside of the weeks."""
        for lane in self.lanes:
            if any(stay.pot_id == pot_id for stay in lane.on(day)):
                return lane.place.name
        return None

    @property
    def last_day(self) -> date:
        """The last Sunday of the rota."""
        return self.weeks[-1] + timedelta(days=6)

    def stays(self) -> Iterator[Stay]:
        """Every stay, lane by lane, those at own spots last."""
        for lane in self.lanes:
            yield from lane.stays
        yield from self.own

    def stay_of(self, pot_id: str, day: date) -> Stay | None:
        """The stay of a pot on a day; None outside of the weeks, and for a pot that isn't here."""
        return next(
            (s for s in self.stays() if s.pot_id == pot_id and s.first <= day <= s.last), None
        )

    def covers(self, day: date) -> bool:
        """Whether a day lies in the weeks of the rota."""
        return bool(self.weeks) and self.weeks[0] <= day <= self.last_day


@kept
def stage_plan(outlook: Outlook) -> StagePlan | None:
    """The rota of a yard over all weather years; None of a yard without places.

    Raises UnknownNameError for a cultivar.
    """
    usual = outlook.usual
    if not usual.yard.display_places or not usual.yard.pots:
        return None
    shows = shows_of(usual)
    limits = limits_of(usual, shows)
    problem = problem_of(usual, shows, limits)
    found = best_rota(problem)
    return _told(usual, shows, limits, found)


def problem_of(outlook: Outlook, shows: Shows, limits: Limits) -> RotaProblem:
    """What each pot is worth at each place in each week, and what carrying it costs."""
    yard, weeks = outlook.yard, shows.weeks
    places = yard.display_places
    worth = np.zeros(limits.allowed.shape)
    colour = shows.colour
    coming = np.concatenate([colour[:, 1:], colour[:, -1:]], axis=1)
    # A week before it flowers a pot is in bud; only what is neither in bud nor flower is dull.
    buds = np.clip(coming - colour, 0.0, None)
    dull = np.clip(1.0 - 2.0 * np.maximum(colour, coming), 0.0, None) * (1.0 - shows.tops)
    bright = 1.0 - (1.0 - colour) * (1.0 - _TOPS * shows.tops)
    for number, place in enumerate(places, start=1):
        if place.kind != "display":
            continue
        seen = looked_at(place, weeks)
        shown = bright + _BUDS * buds - _DULL * dull
        worth[:, number] = shown * seen
        if place.by_path:
            scent = [shows.smelt_by_year(at, place).mean(axis=0) for at in range(len(yard.pots))]
            worth[:, number] += _SCENT * np.array(scent) * seen
        usual = np.array([pot.display_place == place.name for pot in yard.pots])
        gains = usual[:, None] & (worth[:, number] > 0.0)
        worth[:, number] *= np.where(gains, _USUAL, 1.0)
    shines = worth[:, 1:].max(axis=(1, 2), initial=0.0) > 0.0
    for number, place in enumerate(places, start=1):
        if place.kind == "rest":
            worth[shines, number] = _REST_BEFORE_OWN
        elif place.kind == "shelter":
            worth[:, number] = _REST_BEFORE_OWN
    worth[:, OWN] -= _ELSEWHERE * limits.under_cover
    carry = np.array([_CARRY[handling_of(weight)] for weight in shows.weights])
    steep = np.array([1.0, *(_STEPS if place.no_trolley else 1.0 for place in places)])
    # A bench of equal pots is worth what each of them is, and each of them is carried.
    half = 0.5 * carry[:, None] * steep * limits.copies[:, None]
    return RotaProblem(
        worth=worth * limits.copies[:, None, None],
        allowed=limits.allowed,
        room=limits.room,
        width=limits.width_cm,
        room_width=limits.room_cm,
        come=half,
        leave=half,
        size=limits.copies if (limits.copies > 1.0).any() else None,
    )


def _told(outlook: Outlook, shows: Shows, limits: Limits, found: Rota) -> StagePlan:
    """The rota as it is shown."""
    yard, weeks = outlook.yard, shows.weeks
    names: list[str | None] = [None, *(place.name for place in yard.display_places)]
    stays: list[Stay] = []
    moves: list[StageMove] = []
    for at, pot in enumerate(yard.pots):
        walk = found.place[at]
        turns: dict[int, int] = {}
        begins = [0, *(np.flatnonzero(np.diff(walk)) + 1).tolist()]
        ends = [*(begin - 1 for begin in begins[1:]), weeks.count - 1]
        source: str | None = None
        for begin, end in zip(begins, ends, strict=True):
            here = int(walk[begin])
            stay = _stay(shows, limits, at, begin, end, place=names[here], copies=pot.copies)
            stays.append(stay)
            if begin > 0:
                turns[here] = turns.get(here, 0) + 1
                moves.append(
                    StageMove(
                        pot_id=pot.id,
                        pot_name=pot.name,
                        source=source,
                        target=names[here],
                        day=weeks.carried(begin),
                        until=stay.last,
                        turn=turns[here],
                        by=limits.by[at],
                        handling=handling_of(shows.weights[at]),
                        by_hand=stay.by_hand,
                        stay=stay,
                    )
                )
            source = names[here]
    order = {name: number for number, name in enumerate(names)}
    # What is carried away makes room first.
    kinds = {place.name: place.kind for place in yard.display_places}
    moves.sort(key=lambda m: (m.day, kinds.get(m.target or "") == "display", order[m.target]))
    lanes = tuple(
        _lane(place, number, shows, found.place, stays)
        for number, place in enumerate(yard.display_places, start=1)
    )
    return StagePlan(
        yard_name=yard.name,
        season_year=yard.season_year,
        today=outlook.today,
        weeks=tuple(weeks.first(week) for week in range(weeks.count)),
        lanes=lanes,
        own=tuple(stay for stay in stays if stay.place is None),
        moves=tuple(moves),
        conflicts=(*limits.conflicts, *_without_room(yard, limits, found)),
        gap_share=0.0 if found.is_proven else found.gap / max(abs(found.worth), 1e-9),
        offers=winter_offers(outlook, shows, limits),
    )


def _without_room(yard: Yard, limits: Limits, found: Rota) -> Iterator[str]:
    """Pots that say that they are under cover, for which the yard's shelter has no room left."""
    for at in np.flatnonzero((limits.under_cover & (found.place == OWN)).any(axis=1)):
        pot = yard.pots[at]
        places = [each.name for each in yard.display_places if each.cover == pot.site]
        yield tr(
            "{pot}: it is to winter under cover, and there is no room left for it at {places}.",
            pot=pot_words(pot),
            places=listed(places),
        )


def _stay(
    shows: Shows,
    limits: Limits,
    at: int,
    begin: int,
    end: int,
    *,
    place: str | None,
    copies: int,
) -> Stay:
    weeks, pot = shows.weeks, shows.pots[at]
    first, last = weeks.first(begin), weeks.last(end)
    blooms: list[tuple[LayerForecast | CompanionForecast, str, str | None, date, date]] = [
        (layer, layer.layer_id, layer.second_colour_hex, layer.start.p50, layer.end.p50)
        for layer in pot.layers
        if layer.start and layer.end and layer.chance.max(initial=0.0) >= AT_REST
    ]
    blooms += [
        (top, top.planting_id, None, top.first, top.last)
        for top in pot.companions
        if top.first and top.last and not top.is_leaf
    ]
    flowers = [
        Flower(
            layer_id=each_id,
            name=each.name,
            colour=each.colour,
            colour_hex=each.colour_hex,
            second_colour_hex=second_hex,
            scent=each.scent,
            first=max(opens, first),
            last=min(closes, last),
        )
        for each, each_id, second_hex, opens, closes in blooms
        if opens <= last and closes >= first
    ]
    return Stay(
        pot_id=pot.pot_id,
        pot_name=pot.name,
        place=place,
        first=first,
        last=last,
        flowers=tuple(sorted(flowers, key=lambda each: (each.first, each.name))),
        weeks_of_colour=float(shows.by_year[at, :, begin : end + 1].mean(axis=0).sum()),
        by_hand=bool(limits.by_hand[at, begin : end + 1].any()),
        copies=copies,
    )


def _lane(
    place: DisplayPlace,
    number: int,
    shows: Shows,
    walk: NDArray[np.int64],
    stays: list[Stay],
) -> Lane:
    here = walk == number
    unlit = np.prod(1.0 - shows.by_year * here[:, None, :], axis=0)
    unsmelt, bare = np.ones_like(unlit), np.ones_like(unlit)
    for at in np.flatnonzero(here.any(axis=1)):
        unsmelt *= 1.0 - shows.smelt_by_year(int(at), place) * here[at]
        bare *= 1.0 - shows.lit_by_year(int(at)) * here[at]
    colour = 1.0 - unlit.mean(axis=0)
    mine = sorted(
        (stay for stay in stays if stay.place == place.name),
        key=lambda stay: (stay.first, stay.last, stay.pot_name),
    )
    return Lane(
        place=place,
        stays=tuple(mine),
        colour=tuple(colour.tolist()),
        weeks_of_colour=float(colour.sum()),
        weeks_of_scent=float((1.0 - unsmelt.mean(axis=0)).sum()),
        weeks_with_tops=float((1.0 - bare.mean(axis=0)).sum()),
    )
