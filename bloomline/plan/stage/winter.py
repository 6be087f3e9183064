"""Which pots had better winter in one of the yard's shelters, and writing that into them.

A pot's season is worked out for where the pot itself says that it stands. So the rota carries
none under cover that doesn't say so: what frost would do to it is told, with the shelter that has
room for it and keeps it alive, and one edit writes that into the pots. From then on season, work
and rota all have them there.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from bloomline.model.stage import ShelterSite
from bloomline.model.stage_edits import under_cover, winter_pots
from bloomline.model.yard import SHELTERED_SITES, Pot, Yard
from bloomline.plan.pot.lifting import carried_by
from bloomline.plan.season.nights import Nights, cold_spell, nights, root_limit_c
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.yard import season_report
from bloomline.plan.stage.limits import AT_REST, Limits, why_never
from bloomline.plan.stage.shows import Shows
from bloomline.plan.words.benches import times_words

_SAME = 1e-3  # shares of winters that differ by less are the same
_EARLIER = timedelta(days=14)  # at most, than one winter of ten has it; judgement
_MOST = 0.5  # of winters in which it is killed there: such a pot is carried for nothing
_FEWER, _FAR_FEWER = 0.04, 0.25  # for which a pot is carried to and fro; judgement
_MORE = 0.1  # winters with frozen roots for which it comes out before it flowers; judgement


@dataclass(frozen=True, slots=True)
class WinterOffer:
    """A pot that frost may harm where it stands, and the shelter in which it fares better.

    first, until : the Saturdays on which it is carried in and out again. killed, killed_there :
    share of the weather years in which frost kills the layer that fares worst, where the pot
    stands and in the shelter. roots, roots_there : of those with a night too cold for its roots.
    flowers_there : whether it begins to flower in the shelter, where bringing it out would kill.
    """

    pot_id: str
    pot_name: str
    copies: int
    place: str
    cover: ShelterSite
    first: date
    until: date
    killed: float
    killed_there: float
    roots: float
    roots_there: float
    flowers_there: bool

    @property
    def called(self) -> str:
        """What the pot is called, a bench with its number."""
        return times_words(self.pot_name, self.copies)


@dataclass(frozen=True, slots=True)
class _Cold:
    """A pot whose roots may freeze in some weeks, the last one not counted."""

    at: int
    first: int
    until: int
    roots: float


@dataclass(frozen=True, slots=True)
class _Inside:
    """The same pot under some cover: until which week, and what frost does to it there."""

    until: int
    flowers: int
    killed: float
    roots: float


def winter_yard(yard: Yard, offers: Iterable[WinterOffer]) -> Yard:
    """The yard whose pots say that they winter where they are offered to; one edit."""
    return winter_pots(
        yard,
        {
            each.pot_id: under_cover(yard.pot(each.pot_id), each.cover, each.first, each.until)
            for each in offers
        },
    )


def winter_offers(outlook: Outlook, shows: Shows, limits: Limits) -> tuple[WinterOffer, ...]:
    """What had better winter in a shelter of the yard, those in most danger first.

    As many as there is room for, beside the pots that winter there already.
    Raises UnknownNameError for a cultivar.
    """
    yard, weeks = outlook.yard, shows.weeks
    shelters = [
        (number, place, place.cover)
        for number, place in enumerate(yard.display_places, start=1)
        if place.cover is not None
    ]
    cold = list(_cold_pots(outlook, shows, limits)) if shelters else []
    if not cold:
        return ()
    killed = _killed(outlook)
    there = {
        cover: _inside(outlook, shows, cold, cover)
        for cover in dict.fromkeys(cover for _, _, cover in shelters)
    }
    # Who winters there already takes its room.
    stand = limits.allowed & (limits.under_cover | limits.by_hand)[:, None]
    used = (stand * limits.copies[:, None, None]).sum(axis=0)
    wide = (stand * limits.width_cm[:, None, None]).sum(axis=0)
    offers = []
    for one in sorted(cold, key=lambda c: (-killed[yard.pots[c.at].id], -c.roots, c.at)):
        pot, width = yard.pots[one.at], limits.width_cm[one.at]
        fits = []
        for number, place, cover in shelters:
            inside = there[cover][one.at]
            span = slice(one.first, inside.until)
            if (
                _is_worth_it(one, killed[pot.id], inside)
                and why_never(pot, shows.weights[one.at], place) is None
                and (used[number, span] + pot.copies <= limits.room[number]).all()
                and (wide[number, span] + width <= limits.room_cm[number]).all()
            ):
                fits.append((inside.killed, inside.roots, number, place, cover))
        if not fits:
            continue
        _, _, number, place, cover = min(fits, key=lambda each: each[:3])
        inside = there[cover][one.at]
        span = slice(one.first, inside.until)
        used[number, span] += pot.copies
        wide[number, span] += limits.width_cm[one.at]
        offers.append(
            WinterOffer(
                pot_id=pot.id,
                pot_name=pot.name,
                copies=pot.copies,
                place=place.name,
                cover=cover,
                first=weeks.carried(one.first),
                until=weeks.carried(inside.until),
                killed=killed[pot.id],
                killed_there=inside.killed,
                roots=one.roots,
                roots_there=inside.roots,
                flowers_there=inside.flowers < inside.until,
            )
        )
    return tuple(offers)


def _is_worth_it(one: _Cold, killed: float, there: _Inside) -> bool:
    """Whether it lives there in most years, and fewer die or far fewer roots freeze."""
    if there.killed > _MOST or there.killed > killed + _SAME:
        return False
    return there.killed <= killed - _FEWER or there.roots <= one.roots - _FAR_FEWER


def _cold_pots(outlook: Outlook, shows: Shows, limits: Limits) -> Iterator[_Cold]:
    """Pots in the open that can be carried and whose roots may freeze while they rest."""
    weeks, night = shows.weeks, nights(outlook)
    for at, pot in enumerate(outlook.yard.pots):
        if pot.site in SHELTERED_SITES or carried_by(shows.weights[at]) == "nobody":
            continue
        found = _frozen(pot, outlook, shows, at, night)
        if found is None:
            continue
        first, last, share = found
        low = max((first - weeks.monday).days // 7, 0)
        # Carried out on a Saturday, it has the nights of that week's end before it.
        high = min((last - weeks.monday).days // 7 + 1, weeks.count - 1)
        if weeks.carried(high) <= last:
            high = min(high + 1, weeks.count - 1)
        # Once it flowers it is shown: what opens in the cold is hardy enough for that.
        open_ = np.flatnonzero(shows.colour[at, low:high] >= AT_REST)
        high = low + int(open_[0]) if len(open_) else high
        if low < high and not limits.by_hand[at, low:high].any():
            yield _Cold(at, low, high, share)


def _frozen(
    pot: Pot, outlook: Outlook, shows: Shows, at: int, night: Nights
) -> tuple[date, date, float] | None:
    """From when to when the roots of a pot may freeze, and in which share of the winters."""
    layers = {layer.id: layer for layer in pot.layers if layer.state != "lifted"}
    rooted = [
        (layers[each.layer_id], kind, each.established)
        for each in shows.pots[at].layers
        if each.layer_id in layers
        and (
            (kind := outlook.cultivar_of(each.cultivar_id)).season_planted != "spring"
            or each.established
        )
    ]
    if not rooted:
        return None
    limit_c, _ = root_limit_c([kind for _, kind, _ in rooted])
    frosts = night.frosts(pot, root_limit_c=limit_c)
    here = min(date.min if old else layer.planted for layer, _, old in rooted)
    spell = cold_spell(frosts, planted=max(here, night.first_day))
    if spell is None:
        return None
    first = spell.first
    if frosts.root_range is not None:
        # The earliest of such nights is no reason to carry it in before the leaves are off.
        first = max(frosts.root_range[0], first - _EARLIER)
    return first, spell.last, frosts.root_share


def _inside(
    outlook: Outlook, shows: Shows, cold: Sequence[_Cold], cover: ShelterSite
) -> dict[int, _Inside]:
    """What frost does to pots under some cover, by their numbers.

    They come out before they flower, which may be earlier in there than outside, unless that
    would kill more of them or freeze more roots.
    """
    whole = _under(outlook, shows, {one: one.until for one in cold}, cover)
    sooner = {one: max(min(one.until, whole[one.at].flowers), one.first + 1) for one in cold}
    if all(until == one.until for one, until in sooner.items()):
        return whole
    early = _under(outlook, shows, sooner, cover)
    return {
        at: early[at]
        if early[at].killed <= inside.killed + _SAME and early[at].roots <= inside.roots + _MORE
        else inside
        for at, inside in whole.items()
    }


def _under(
    outlook: Outlook, shows: Shows, until: Mapping[_Cold, int], cover: ShelterSite
) -> dict[int, _Inside]:
    """What frost does to pots under some cover until given weeks, and when they first flower."""
    weeks, pots = shows.weeks, outlook.yard.pots
    moved = {
        pots[one.at].id: under_cover(
            pots[one.at], cover, weeks.carried(one.first), weeks.carried(week)
        )
        for one, week in until.items()
    }
    inside = outlook.what_if(yard=winter_pots(outlook.yard, moved))
    report, night, killed = season_report(inside), nights(inside), _killed(inside)
    found = {}
    for one, week in until.items():
        pot = inside.yard.pots[one.at]
        frozen = _frozen(pot, inside, shows, one.at, night)
        roots = 0.0 if frozen is None else frozen[2]
        starts = [each.start.p10 for each in report.pots[one.at].layers if each.start]
        flowers = (min(starts, default=weeks.end) - weeks.monday).days // 7
        found[one.at] = _Inside(week, flowers, killed[pot.id], roots)
    return found


def _killed(outlook: Outlook) -> dict[str, float]:
    """Share of the weather years in which frost kills the worst layer of each pot, by its id."""
    return {
        pot.pot_id: max((layer.killed_share for layer in pot.layers), default=0.0)
        for pot in season_report(outlook).pots
    }
