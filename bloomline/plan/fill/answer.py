"""What could be done: layers to plant, what they cost and bring, why these, and the edit itself.

An answer's days are those that the season says of the yard with it: it is worked out anew with
every layer at its depth, and never told from a table of the search.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from bloomline.model.advice import Severity
from bloomline.model.planting_edits import plant_layers
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.fill.measure import Counted, counted
from bloomline.plan.fill.money import Purse
from bloomline.plan.fill.proposed import Proposed, facts_of
from bloomline.plan.fill.wishes import Wishes
from bloomline.plan.forecast.report import Band, LayerForecast, SeasonReport
from bloomline.plan.pot.findings import pot_findings
from bloomline.plan.season.advice import flowering_days
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.stretch import StretchColour, stretch_colour
from bloomline.plan.season.words import rounded
from bloomline.plan.season.yard import season_report
from bloomline.words import tr

SAME_DAYS = 0.05
"""Less is not seen in days that are told with one decimal."""

Against = Literal["all", "for less", "of others", "best"]
"""Plans that a bound holds for: all, those for as little money, those of other kinds; or all, of
an answer that is not sought to be the best."""


@dataclass(frozen=True, slots=True)
class NewLayer(Proposed):
    """A layer to plant, and what is expected of it.

    copies : equal pots that it goes into each. opens, over : None where it does not flower.
    """

    opens: Band | None
    over: Band | None
    copies: int = 1


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer.

    title : what is best about it. cost : what the shopping list grows by (bulbs and compost);
    `counted_cost` the part that a budget is held against; `unpriced` names what has no price.
    days : in colour within the wished stretch, expected, of the whole yard afterwards;
    days_gained : more than before; pot_days, pot_days_gained : the same of the pots that are
    filled, their mean. scent_days : with scent. kinds : names. bound : no set of kinds
    has a higher score, of those that `against` tells; score : of this one by the same measure; None
    without a proof. counted : the same as its layers lie, more than without them. n_pots : that
    might be filled. why : why these, why not the next best, and what it rests on. gives_up :
    against the others.
    warnings : what to watch.
    """

    title: str
    layers: tuple[NewLayer, ...]
    yard: Yard
    cost: Decimal
    bulbs_cost: Decimal
    bags_cost: Decimal
    counted_cost: Decimal
    unpriced: tuple[str, ...]
    days: float
    days_gained: float
    pot_days: float
    pot_days_gained: float
    scent_days: float
    scent_days_gained: float
    weeks_of_colour: float
    bare_days: float
    score: float
    bound: float | None
    counted: Counted
    why: tuple[str, ...] = ()
    gives_up: str = ""
    warnings: tuple[str, ...] = ()
    against: Against = "all"
    n_pots: int = 1

    @property
    def kinds(self) -> tuple[str, ...]:
        """Names of its kinds, the earliest first."""
        return tuple(dict.fromkeys(each.name for each in self.layers))

    @property
    def bulbs(self) -> int:
        """Bulbs in all."""
        return sum(each.layer.count * each.copies for each in self.layers)

    @property
    def worth(self) -> float:
        """What it counts as its layers lie. [days]"""
        return self.counted.total

    def tells_pots_apart(self) -> bool:
        """Whether days gained in the pots are others than those of the yard, as they are told."""
        return rounded(self.days_gained, 1) != rounded(self.pot_days_gained, 1)

    def is_worth_more(self, other: Answer) -> bool:
        """Whether it counts clearly more than another by the measure, both as they lie."""
        return self.worth > other.worth + SAME_DAYS

    @property
    def bound_gap_percent(self) -> float | None:
        """How far it may be from the best at most. [%]"""
        if self.bound is None:
            return None
        if self.bound <= 0.0:
            return 0.0
        return max(100.0 * (self.bound - self.score) / self.bound, 0.0)

    @property
    def days_per_money(self) -> float | None:
        """Days gained for each unit of money; None where it costs nothing or nobody knows."""
        if self.unpriced or self.cost <= 0:
            return None
        return self.days_gained / float(self.cost)

    def apply(self, yard: Yard) -> Yard:
        """The yard with these layers planted: one edit. Raises EditRefusedError."""
        return plant_layers(yard, [(each.pot_id, each.layer) for each in self.layers])


@dataclass(frozen=True, slots=True)
class Answers:
    """Answers to a question, the best first.

    wishes : as they were settled. nothing : why there is none, and which wish to give up.
    seen : sets of kinds that were weighed. stopped : the search was ended before its proof.
    """

    answers: tuple[Answer, ...]
    wishes: Wishes
    nothing: str = ""
    seen: int = 0
    stopped: bool = False


@dataclass(frozen=True, slots=True)
class Before:
    """The yard as it is: what answers are held against.

    with_yard : the yard's days count beside those of the pots.
    """

    outlook: Outlook
    wishes: Wishes
    pot_ids: tuple[str, ...]
    colour: StretchColour
    report: SeasonReport
    purse: Purse
    with_yard: bool = True

    @classmethod
    def of(
        cls,
        outlook: Outlook,
        wishes: Wishes,
        pot_ids: Sequence[str],
        purse: Purse,
        *,
        with_yard: bool = True,
    ) -> Before:
        """Reckon it. wishes : settled."""
        return cls(
            outlook,
            wishes,
            tuple(pot_ids),
            _colour(outlook, wishes, pot_ids),
            season_report(outlook),
            purse,
            with_yard,
        )


def _colour(outlook: Outlook, wishes: Wishes, pot_ids: Sequence[str]) -> StretchColour:
    assert wishes.first is not None and wishes.last is not None
    return stretch_colour(outlook, wishes.first, wishes.last, pot_ids=pot_ids)


def answer_of(
    before: Before,
    layers: Sequence[tuple[str, Layer]],
    *,
    title: str,
    score: float,
    bound: float | None,
) -> Answer:
    """What comes of planting some layers, by the season and the shopping list of the yard then."""
    outlook, wishes = before.outlook, before.wishes
    yard = plant_layers(outlook.yard, layers)
    after = outlook.what_if(yard=yard)
    report, colour = season_report(after), _colour(after, wishes, before.pot_ids)
    cost, shopping = before.purse.filling(yard, bulbs_only=False)
    bulbs = shopping.bulbs_total - before.purse.before.bulbs_total
    known = {layer.id for _, layer in outlook.yard.layers()}
    forecasts = {each.layer_id: each for each in report.layers}
    pots = len(before.pot_ids) or 1

    def pot_days(of: StretchColour) -> float:
        return sum(each.expected for each in of.pots.values()) / pots

    new = tuple(
        _new_layer(after, pot, layer, forecasts[layer.id])
        for pot, layer in yard.layers()
        if layer.id not in known
    )
    measured = counted(
        outlook,
        wishes,
        before.purse,
        before=before.colour,
        after=colour,
        kinds=[outlook.cultivar_of(each.layer.cultivar_id) for each in new],
        with_yard=before.with_yard,
    )
    return Answer(
        title=title,
        layers=new,
        yard=yard,
        cost=cost,
        bulbs_cost=bulbs,
        bags_cost=shopping.bags_total - before.purse.before.bags_total,
        counted_cost=bulbs if wishes.bulbs_only else cost,
        unpriced=before.purse.unpriced(shopping),
        days=colour.colour.expected,
        days_gained=colour.colour.expected - before.colour.colour.expected,
        pot_days=pot_days(colour),
        pot_days_gained=pot_days(colour) - pot_days(before.colour),
        scent_days=colour.scent.expected,
        scent_days_gained=colour.scent.expected - before.colour.scent.expected,
        weeks_of_colour=report.weeks_of_colour.expected,
        bare_days=report.bare_days.expected,
        score=score,
        bound=bound,
        warnings=(*_unsure(wishes, measured), *_warnings(before, after, report)),
        n_pots=pots,
        counted=measured,
    )


def _unsure(wishes: Wishes, measured: Counted) -> tuple[str, ...]:
    """Say where days must be sure and none is: such an answer rests on taste alone."""
    if not wishes.robust or measured.colour > 0.0:
        return ()
    return (
        tr(
            "It makes no day sure: none of these kinds is in flower on one day in eight years of "
            "ten. Count all days in colour, or wish for more kinds or money."
        ),
    )


def _new_layer(after: Outlook, pot: Pot, layer: Layer, forecast: LayerForecast) -> NewLayer:
    return NewLayer(
        *facts_of(pot, layer, after.cultivar_of(layer.cultivar_id)),
        copies=pot.copies,
        opens=forecast.start,
        over=forecast.end,
    )


def _warnings(before: Before, after: Outlook, report: SeasonReport) -> tuple[str, ...]:
    """Cautions that the yard has not had before: in its pots, and of its new layers."""
    days = flowering_days(report)
    told: list[str] = []
    for pot in after.yard.pots:
        was = before.outlook.yard.pot(pot.id)
        if was.layers == pot.layers:
            continue
        found = pot_findings(
            pot, cultivar_of=after.cultivar_of, flowering_days=days, with_mending=False
        )
        told += [
            f"{pot.name}: {each.advice.message}"
            for each in found
            if each.severity is not Severity.NOTE
        ]
    known = {layer.id for _, layer in before.outlook.yard.layers()}
    for layer in report.layers:
        if layer.layer_id not in known:
            told += [
                f"{layer.name}: {each.message}"
                for each in layer.advice
                if each.severity is not Severity.NOTE and each.topic != "poison"
            ]
    return tuple(dict.fromkeys(told))
