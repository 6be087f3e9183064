"""What is told of a drop before it is done: depth, room, season, harm, price and frost.

Everything is read from the yard as it would be after the drop, from the same rules that check,
details and shopping list ask afterwards, so that no figure changes when the hand lets go.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from bloomline.errors import BloomlineError
from bloomline.model.advice import Severity
from bloomline.model.companion import CompanionPlanting
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.carry.succession import successions
from bloomline.plan.carry.telling_words import (
    depth_words,
    harm_of,
    harm_of_companion,
    opens_words,
    together_words,
    top_season_words,
)
from bloomline.plan.carry.verdicts import Cargo, Verdict
from bloomline.plan.forecast.report import CompanionForecast, LayerForecast, SeasonReport
from bloomline.plan.pot.advice import PLAIN, Writing
from bloomline.plan.pot.finding import PotFinding
from bloomline.plan.pot.findings import pot_findings
from bloomline.plan.pot.fitting import fit_pot, how_many
from bloomline.plan.season.advice import crowd_words, flowering_days
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.yard import season_report
from bloomline.plan.shop.buying import shopping_list
from bloomline.plan.shop.part_price import money_words, price_between, price_words
from bloomline.plan.tops.companions import surface_share
from bloomline.plan.tops.stand import company, days_in_pot, share_of_one
from bloomline.words import tr

Topic = Literal["depth", "fit", "season", "harm", "price", "frost"]
TOPICS: tuple[Topic, ...] = ("depth", "fit", "season", "harm", "price", "frost")
"""In the order in which they are told."""

_ROOM_CODES = ("too_many", "tight", "no_room")
_RANK = {Severity.WARNING: 0, Severity.CAUTION: 1, Severity.NOTE: 2}


@dataclass(frozen=True, slots=True)
class Told:
    """One thing told of a drop. severity : None where all is well; words "" while not known."""

    topic: Topic
    words: str
    severity: Severity | None = None


@dataclass(frozen=True, slots=True)
class Drop:
    """A drop that is allowed, before it is done: the outlook before and after, and what moved."""

    before: Outlook
    after: Outlook
    pot_id: str
    part_id: str

    @property
    def pot(self) -> Pot:
        """The pot as it would be."""
        return self.after.yard.pot(self.pot_id)

    @property
    def part(self) -> Layer | CompanionPlanting:
        """What was dropped, as it would lie or stand."""
        parts: list[Layer | CompanionPlanting] = [*self.pot.layers, *self.pot.companions]
        return next(each for each in parts if each.id == self.part_id)


def drop_of(outlook: Outlook, cargo: Cargo, *, verdict: Verdict, pot_id: str) -> Drop | None:
    """A drop of bulbs or companions on a pot, to be told of; None for any other."""
    if verdict.apply is None or cargo.kind == "pot":
        return None
    try:
        after = verdict.apply(outlook.yard)
    except BloomlineError:
        return None
    fresh = _parts(after, pot_id) - _parts(outlook.yard, pot_id)
    part_id = next(iter(fresh), cargo.id)
    return Drop(outlook, outlook.what_if(yard=after), pot_id, part_id)


def _parts(yard: Yard, pot_id: str) -> set[str]:
    pot = yard.pot(pot_id)
    return {layer.id for layer in pot.layers} | {each.id for each in pot.companions}


def tell(drop: Drop, *, whole: bool = True, writing: Writing = PLAIN) -> tuple[Told, ...]:
    """What is to be known of a drop, in the order of `TOPICS`.

    whole : whether to ask for the season and the shopping list after it, which can take longer than
    a hand waits in a large yard; without them their topics have no words yet.
    Raises UnknownNameError for a cultivar or companion.
    """
    report = season_report(drop.after) if whole else None
    part = drop.part
    told = (
        _layer(drop, part, report, writing)
        if isinstance(part, Layer)
        else _companions(drop, part, report, writing)
    )
    return tuple(told)


def _layer(
    drop: Drop, layer: Layer, report: SeasonReport | None, writing: Writing
) -> Iterator[Told]:
    pot, cultivar = drop.pot, drop.after.cultivar_of(layer.cultivar_id)
    found = [
        each
        for each in pot_findings(
            pot,
            cultivar_of=drop.after.cultivar_of,
            flowering_days=flowering_days(report),
            writing=writing,
            with_mending=False,
        )
        if layer.id in each.layer_ids
    ]
    yield _with_findings(
        "depth",
        depth_words(layer, cultivar, writing=writing),
        [each for each in found if each.code not in _ROOM_CODES],
    )
    fit = next(
        each
        for each in fit_pot(pot, cultivar_of=drop.after.cultivar_of).layers
        if each.layer_id == layer.id
    )
    words = tr(
        "{usual} fit well here, {most} at most",
        usual=how_many(fit.room.usual),
        most=how_many(fit.room.tight),
    )
    yield _with_findings("fit", words, [each for each in found if each.code in _ROOM_CODES])
    forecast = None
    if report is not None:
        forecast = next(each for each in report.layers if each.layer_id == layer.id)
    yield _season(drop, forecast, report, writing)
    words, severity = harm_of(cultivar, pets=drop.after.yard.settings.pets)
    yield Told("harm", words, severity)
    yield _price(drop) if report is not None else Told("price", "")
    yield _frost(forecast, tr("fewer than one winter of twenty kills these bulbs here"))


def _with_findings(topic: Topic, words: str, found: list[PotFinding]) -> Told:
    """The figures, and the gravest that is amiss with them."""
    if not found:
        return Told(topic, words)
    worst = min(found, key=lambda each: _RANK[each.severity])
    return Told(
        topic, tr("{words}. {finding}", words=words, finding=worst.advice.message), worst.severity
    )


def _season(
    drop: Drop, forecast: LayerForecast | None, report: SeasonReport | None, writing: Writing
) -> Told:
    if forecast is None or report is None:
        return Told("season", "")
    words = [opens_words(forecast, writing=writing)]
    severity = None
    if forecast.start is None and not forecast.after_season:
        severity = Severity.WARNING
    meets = together_words(forecast, report, pot=drop.pot, writing=writing)
    if meets:
        words.append(meets)
        if drop.pot.successive:
            severity = severity or Severity.NOTE
    for crowd in report.crowded:
        if forecast.layer_id in crowd.layer_ids:
            words.append(crowd_words(crowd, report, writing=writing))
            severity = severity or Severity.NOTE
    return _with_conflicts(drop, words, severity)


def _with_conflicts(drop: Drop, words: list[str], severity: Severity | None) -> Told:
    """What is in the way on the day of planting comes first: it can't be planted then."""
    conflicts = [
        each.words
        for each in successions(drop.after, pot_id=drop.pot_id, with_dates=False)
        if drop.part_id in (*each.new_ids, *each.blocking_ids)
    ]
    if conflicts:
        severity = severity if severity is Severity.WARNING else Severity.CAUTION
    return Told("season", " ".join([*conflicts, *words]), severity)


def _companions(
    drop: Drop, planting: CompanionPlanting, report: SeasonReport | None, writing: Writing
) -> Iterator[Told]:
    pot, southern = drop.pot, drop.after.yard.place.latitude_deg < 0
    yield Told("depth", tr("on the surface, between the shoots of the bulbs"))
    here = company(pot, *days_in_pot(planting, southern=southern), southern=southern)
    left = 1.0 - surface_share(pot, [each for each in here if each.id != planting.id])
    room = max(int(left / share_of_one(pot, planting.companion_id) + 1e-6), 0)
    fits = tr("{count} of {room} that fit", count=planting.count, room=room)
    yield Told("fit", fits, Severity.CAUTION if planting.count > room else None)
    forecast = None
    if report is not None:
        forecast = next(each for each in report.companions if each.planting_id == planting.id)
    if forecast is None:
        yield Told("season", "")
    else:
        yield _with_conflicts(drop, [top_season_words(forecast, writing=writing)], None)
    words, severity = harm_of_companion(planting.companion_id, pets=drop.after.yard.settings.pets)
    yield Told("harm", words, severity)
    yield _price(drop) if report is not None else Told("price", "")
    yield _frost(forecast, tr("frost takes it in fewer than one year of twenty"))


def _price(drop: Drop) -> Told:
    price = price_between(shopping_list(drop.before), shopping_list(drop.after))
    words = tr("{price}. {money}", price=price_words(price), money=money_words(price.shopping))
    grave = price.shopping.over > 0
    unknown = Severity.NOTE if price.unpriced else None
    return Told("price", words, Severity.CAUTION if grave else unknown)


def _frost(forecast: LayerForecast | CompanionForecast | None, fine: str) -> Told:
    if forecast is None:
        return Told("frost", "")
    for advice in forecast.advice:
        if advice.topic == "frost":
            return Told("frost", advice.message, advice.severity)
    return Told("frost", fine)
