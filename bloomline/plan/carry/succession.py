"""What follows what in a pot through the year, and where two plantings collide."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from bloomline.model.companion import CompanionPlanting
from bloomline.model.yard import Layer, Pot
from bloomline.plan.carry.collision import (
    SINGLE_SEASON,
    Blocker,
    Conflict,
    ConflictKind,
    Newcomer,
    free_band,
)
from bloomline.plan.carry.ways_out import WaysOut
from bloomline.plan.forecast.report import Band, LayerForecast
from bloomline.plan.pot.residence import TOGETHER_DAYS
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.season.yard import season_report
from bloomline.words import day_words, listed, plural, tr

CLEAR_CM = 1.0
"""So much compost is left over bulbs that stay; judgement, no source."""

_KINDS: tuple[ConflictKind, ...] = ("flower", "leaf", "resting")


@kept
def successions(
    outlook: Outlook, *, pot_id: str | None = None, with_dates: bool = True
) -> tuple[Conflict, ...]:
    """Every planting of the season that is due while its pot isn't free, by day.

    pot_id : the only pot that is asked about. with_dates : whether a later start tells the date
    of flower that comes of it, which takes a forecast each.
    Raises UnknownNameError for a pot, cultivar or companion.
    """
    finder = _ConflictFinder(outlook, with_dates=with_dates)
    yard = outlook.yard
    pots = yard.pots if pot_id is None else (yard.pot(pot_id),)
    found = [conflict for pot in pots for conflict in finder.conflicts(pot)]
    return tuple(sorted(found, key=lambda each: (each.due, each.pot_id)))


class _ConflictFinder:
    """A yard and its report, asked pot by pot."""

    def __init__(self, outlook: Outlook, *, with_dates: bool) -> None:
        self.report = season_report(outlook)
        self.cultivar_of = outlook.cultivar_of
        self._ways = WaysOut(outlook, with_dates=with_dates)
        self._pots = {pot.pot_id: pot for pot in self.report.pots}
        self._forecasts: dict[str, dict[str, LayerForecast]] = {}
        self._last_day = self.report.last_day

    def conflicts(self, pot: Pot) -> Iterator[Conflict]:
        """The conflicts of one pot, a planting day each."""
        newcomers: list[Newcomer] = [*pot.layers, *pot.companions]
        first = min([layer.planted for layer in pot.layers], default=date.max)
        last = max([new.planted for new in newcomers], default=first)
        if (last - first).days <= TOGETHER_DAYS:
            return  # all planted together, as most pots are
        inside = [
            new for new in newcomers if self.report.first_day <= new.planted <= self._last_day
        ]
        for due in sorted({new.planted for new in inside}):
            group = [new for new in inside if new.planted == due]
            told: dict[str, Blocker] = {}
            blocked = []
            for new in group:
                found = [
                    blocker
                    for layer in pot.layers
                    if (blocker := self._blocker(pot, layer, new)) is not None
                ]
                if found:
                    blocked.append(new)
                    for each in found:
                        known = told.get(each.layer.id)
                        if known is None or each.must_go:
                            told[each.layer.id] = each
            if blocked:
                yield self._conflict(pot, due, blocked, list(told.values()))

    def _forecast(self, pot: Pot, layer: Layer) -> LayerForecast | None:
        known = self._forecasts.get(pot.id)
        if known is None:
            known = {each.layer_id: each for each in self._pots[pot.id].layers}
            self._forecasts[pot.id] = known
        return known.get(layer.id)

    def _blocker(self, pot: Pot, layer: Layer, new: Newcomer) -> Blocker | None:
        due = new.planted
        if layer.state == "lifted" or (due - layer.planted).days <= TOGETHER_DAYS:
            return None
        forecast = self._forecast(pot, layer)
        if forecast is None:
            return None
        if layer.lifted_on is not None and layer.lifted_on <= due:
            return None
        cultivar = self.cultivar_of(layer.cultivar_id)
        once = cultivar.perennial_in_pot == SINGLE_SEASON
        free = free_band(forecast, cultivar)

        is_dug_up = self._digs_to(new) > layer.cover_cm - CLEAR_CM

        def told(kind: ConflictKind, until: Band | None) -> Blocker:
            return Blocker(layer, cultivar, forecast, kind, until, is_dug_up and not once)

        if forecast.start is not None and forecast.end is not None and free is not None:
            shows = forecast.nose or forecast.start
            if forecast.start.p50 <= due <= forecast.end.p50:
                return told("flower", free)
            if shows.p50 <= due < free.p50:
                return told("leaf", free)
            if once and due >= free.p50:
                return None
        return told("resting", None) if is_dug_up else None

    def _on_day(self, pot: Pot, blocked: list[Newcomer], day: date) -> list[Blocker]:
        """What stands in the way of newcomers that are planted on another day instead."""
        moved = [new.model_copy(update={"planted": day}) for new in blocked]
        ids = {new.id for new in blocked}
        found: dict[str, Blocker] = {}
        for layer in pot.layers:
            if layer.id in ids:
                continue
            for new in moved:
                blocker = self._blocker(pot, layer, new)
                if blocker is not None and (layer.id not in found or blocker.must_go):
                    found[layer.id] = blocker
        return list(found.values())

    def _digs_to(self, new: Newcomer) -> float:
        """Depth to which a planting turns the compost over. [cm]

        Companions find room over bulbs that don't show.
        """
        if isinstance(new, CompanionPlanting):
            return 0.0
        return new.cover_cm + self.cultivar_of(new.cultivar_id).bulb_height_cm

    def _conflict(
        self,
        pot: Pot,
        due: date,
        blocked: list[Newcomer],
        blockers: list[Blocker],
    ) -> Conflict:
        kinds = [k for k in _KINDS if any(each.kind == k for each in blockers)]
        bands = [each.free for each in blockers if each.free is not None]
        free = max(bands, key=lambda band: band.p50) if bands else None
        new = listed([self._ways.name(each) for each in blocked])
        verb = plural("is", "are", len(blocked))
        told = [_told(k, [each for each in blockers if each.kind == k]) for k in kinds]
        words = tr(
            "{new} {verb} due on {due}, while {told}",
            new=new,
            verb=verb,
            due=day_words(due),
            told=tr(" and ").join(told),
        )
        choices = (
            self._ways.lift(due, blockers),
            self._ways.second_pot(pot, blocked),
            self._ways.later(
                pot, due, blocked, free, in_the_way=lambda day: self._on_day(pot, blocked, day)
            ),
        )
        return Conflict(
            pot_id=pot.id,
            pot_name=pot.name,
            kind=kinds[0],
            new_ids=tuple(each.id for each in blocked),
            blocking_ids=tuple(each.layer.id for each in blockers),
            due=due,
            free=free,
            words=f"{words}.",
            choices=choices,
        )


def _told(kind: ConflictKind, blockers: list[Blocker]) -> str:
    """What stands in the way, and until when."""
    names = list(dict.fromkeys(each.cultivar.name for each in blockers))
    many = len(names) > 1
    if kind == "resting":
        return (
            tr("{names} lie in the compost where it is dug", names=listed(names))
            if many
            else tr("{names} lies in the compost where it is dug", names=listed(names))
        )
    words = (
        tr("{names} are still in {kind}", names=listed(names), kind=kind)
        if many
        else tr("{names} is still in {kind}", names=listed(names), kind=kind)
    )
    bands = [each.free for each in blockers if each.free is not None]
    if not bands:
        return words
    free = max(bands, key=lambda band: band.p50)
    return tr(
        "{words} until about {free} ({early} to {late})",
        words=words,
        free=day_words(free.p50),
        early=day_words(free.p10),
        late=day_words(free.p90),
    )
