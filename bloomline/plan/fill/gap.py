"""A gap: what would fill it here, in the free room of which pot, and what that costs a day."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from math import inf

import numpy as np

from bloomline.model.advice import Severity
from bloomline.model.planting_edits import plant_layers
from bloomline.model.yard import MAX_LAYERS, Pot, Yard
from bloomline.plan.fill.choices import PotChoices, choices_in, days_to_plant
from bloomline.plan.fill.laying import Laid, filled_up, laid
from bloomline.plan.fill.money import Purse, plain_pot
from bloomline.plan.fill.pot import smell_as_wished
from bloomline.plan.fill.proposed import Proposed, facts_of
from bloomline.plan.fill.room import staying
from bloomline.plan.fill.why import nothing_words
from bloomline.plan.fill.wishes import Go, Wishes, settled
from bloomline.plan.forecast.outcomes import bands_of
from bloomline.plan.forecast.solved import Solved
from bloomline.plan.pot.findings import pot_findings
from bloomline.plan.season.colour import HANDOVER_DAYS
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.solve import solve_yard
from bloomline.plan.season.stretch import DaysWith
from bloomline.plan.season.words import figure
from bloomline.words import tr

LEAST_DAYS = 0.5
"""Days that a kind must add to be listed."""


@dataclass(frozen=True, slots=True)
class Filler(Proposed):
    """A kind that would fill a gap, in the free room of a pot.

    least, room : the fewest bulbs that make a show there, and the most that lie well.
    days_gained : days of the gap that come into colour in the mean. cost : what the shopping list
    grows by; None where a price is unknown. opens, over : None for a kind that mostly doesn't
    flower. why : in words. copies : equal pots that it goes into each.
    """

    least: int
    room: int
    cost: Decimal | None
    days_gained: float
    opens: date | None
    over: date | None
    why: str = ""
    copies: int = 1

    @property
    def days_per_money(self) -> float | None:
        """Days for each unit of money; infinite for what costs nothing, None without a price."""
        if self.cost is None:
            return None
        return self.days_gained / float(self.cost) if self.cost > 0 else inf

    def apply(self, yard: Yard) -> Yard:
        """The yard with it planted: one edit. Raises EditRefusedError."""
        return plant_layers(yard, [(self.pot_id, self.layer)])


@dataclass(frozen=True, slots=True)
class GapAnswer:
    """What would fill a gap, most days for the money first.

    days : of the gap. bare : of them without colour in the mean as it is. nothing : why nothing
    would fill it.
    """

    first: date
    last: date
    bare: float
    fillers: tuple[Filler, ...]
    nothing: str = ""

    @property
    def days(self) -> int:
        """Days of the gap."""
        return (self.last - self.first).days + 1


def fill_gap(
    outlook: Outlook,
    first: date,
    last: date,
    *,
    wishes: Wishes | None = None,
    pot_ids: Sequence[str] | None = None,
    least: float = LEAST_DAYS,
    go: Go | None = None,
) -> GapAnswer:
    """What would fill the days from `first` to `last`, one kind in one pot each.

    wishes : further ones; their own days don't count. pot_ids : pots that may be filled, all
    unless told. least : days that a kind must add to the yard's. Of empty pots that are alike
    only the first is listed. The yard's own budget doesn't count. Raises UsageError for days
    that are none of the season.
    """
    outlook = outlook.usual
    wishes = replace(wishes or Wishes(), first=first, last=last)
    wishes = settled(outlook, wishes, yards_budget=False)
    purse = Purse(outlook)
    pots = _different(outlook.yard, pot_ids)
    found: list[tuple[PotChoices, Laid]] = []
    seen: list[PotChoices] = []
    for number, pot in enumerate(pots):
        if go is not None and not go(0.8 * number / len(pots)):
            break
        for day in days_to_plant(outlook, wishes, pot):
            choices = choices_in(outlook, wishes, pot, purse, planted=day, most=1)
            seen.append(choices)
            found += [(choices, each) for each in _singles(outlook, choices, purse)]
    if not found:
        bare = DaysWith(solve_yard(outlook), _rows(outlook), first=first, last=last)
        why = nothing_words(outlook, wishes, seen, pots) if pots else tr("There is no pot yet.")
        return GapAnswer(first, last, (last - first).days + 1 - bare.before, (), why)
    bare_days, fillers = _worked_out(outlook, wishes, purse, found, least=least)
    fillers.sort(key=lambda each: (-(each.days_per_money or 0.0), -each.days_gained, each.name))
    why = "" if fillers else nothing_words(outlook, wishes, seen, pots)
    return GapAnswer(first, last, bare_days, tuple(fillers), why)


def _different(yard: Yard, pot_ids: Sequence[str] | None) -> list[Pot]:
    """Pots with room in them; of empty ones that are alike the first."""
    known: set[tuple[object, ...]] = set()
    found = []
    for pot in yard.pots:
        if (pot_ids is not None and pot.id not in pot_ids) or len(pot.layers) >= MAX_LAYERS:
            continue
        if not pot.layers:
            if plain_pot(pot) in known:
                continue
            known.add(plain_pot(pot))
        found.append(pot)
    return found


def _singles(outlook: Outlook, choices: PotChoices, purse: Purse) -> Iterator[Laid]:
    """Every kind alone in a pot, with the bulbs that come for the money of the fewest."""
    wanted = smell_as_wished(choices, choices.sets.kinds)
    for number in np.flatnonzero(wanted[1:]) + 1:
        (layer,) = laid(outlook, choices, choices.members(int(number)))
        costs = purse.costs(layer.kind, layer.room, copies=layer.copies)
        if costs is None:
            yield layer.with_count(layer.room)
            continue
        full, _ = filled_up([layer], purse, money=costs[layer.least])
        yield from full


def _rows(outlook: Outlook) -> list[int]:
    return [place.row for place in solve_yard(outlook).places if place.row >= 0]


def _worked_out(
    outlook: Outlook,
    wishes: Wishes,
    purse: Purse,
    found: list[tuple[PotChoices, Laid]],
    *,
    least: float,
) -> tuple[float, list[Filler]]:
    """Bare days of the gap as it is, and every layer with what the season makes of it."""
    assert wishes.first is not None and wishes.last is not None
    yard = outlook.yard
    # Every layer in a pot of its own, beside the yard: all are forecast in one go.
    trials = [
        choices.pot.model_copy(
            update={
                "id": f"trial-pot-{n}",
                "layers": (each.layer.model_copy(update={"id": f"trial-{n}"}),),
                "companions": (),
            }
        )
        for n, (choices, each) in enumerate(found)
    ]
    tried = outlook.what_if(yard=yard.model_copy(update={"pots": (*yard.pots, *trials)}))
    worked = solve_yard(tried)
    known = len(worked.places) - len(trials)
    rows = [place.row for place in worked.places[:known] if place.row >= 0]
    days = DaysWith(worked, rows, first=wishes.first, last=wishes.last)
    bands = bands_of(worked.solved)
    flowers = worked.solved.flowers()
    spans = {
        place.layer.id: (bands["start"].p50[place.row], bands["end"].p50[place.row])
        for place in worked.places
        if place.row >= 0 and flowers[place.row]
    }
    fillers = []
    for (choices, each), place in zip(found, worked.places[known:], strict=True):
        if place.row < 0 or not flowers[place.row]:
            continue
        gained = days.after(place.row) - days.before
        span = spans[place.layer.id]
        if gained < least or not _follows(outlook, choices, span, spans):
            continue
        fillers.append(_filler(outlook, purse, choices, each, gained, worked.solved, span))
    bare = (wishes.last - wishes.first).days + 1 - days.before
    faults = _Faults(outlook)
    good = [each for each in fillers if _payable(each, wishes) and not faults.new(each)]
    return bare, good


class _Faults:
    """What is amiss in the pots, to tell what a filler would add to it."""

    def __init__(self, outlook: Outlook) -> None:
        self._outlook = outlook
        self._known: dict[str, set[tuple[object, ...]]] = {}

    def new(self, filler: Filler) -> bool:
        """Whether a filler brings a caution or a warning."""
        pot = self._outlook.yard.pot(filler.pot_id)
        if not pot.layers:
            return False
        if pot.id not in self._known:
            self._known[pot.id] = self._of(pot)
        return bool(self._of(filler.apply(self._outlook.yard).pot(pot.id)) - self._known[pot.id])

    def _of(self, pot: Pot) -> set[tuple[object, ...]]:
        found = pot_findings(pot, cultivar_of=self._outlook.cultivar_of, with_mending=False)
        return {each.key for each in found if each.severity is not Severity.NOTE}


def _payable(filler: Filler, wishes: Wishes) -> bool:
    return wishes.budget is None or (filler.cost is not None and filler.cost <= wishes.budget)


def _follows(
    outlook: Outlook,
    choices: PotChoices,
    span: tuple[float, float],
    spans: dict[str, tuple[float, float]],
) -> bool:
    """Whether a layer follows those that stay, where the layers of its pot do."""
    for layer in staying(outlook, choices.pot, on=choices.planted):
        theirs = spans.get(layer.id)
        if theirs is None or not choices.pot.successive:
            continue
        if min(span[1], theirs[1]) - max(span[0], theirs[0]) > HANDOVER_DAYS:
            return False
    return True


def _filler(
    outlook: Outlook,
    purse: Purse,
    choices: PotChoices,
    new: Laid,
    gained: float,
    solved: Solved,
    span: tuple[float, float],
) -> Filler:
    kind, pot = new.kind, choices.pot
    costs = purse.costs(kind, new.room, copies=new.copies)
    cost = None if costs is None else costs[new.layer.count]
    if cost is not None and choices.bags:
        # Compost as the list reckons it, the room that the bulbs take off it.
        planted = plant_layers(outlook.yard, [(pot.id, new.layer)])
        cost = purse.filling(planted, bulbs_only=False)[0]
    opens, over = solved.date_of(span[0]), solved.date_of(span[1])
    return Filler(
        *facts_of(pot, new.layer, kind),
        copies=pot.copies,
        least=new.least,
        room=new.room,
        cost=cost,
        days_gained=gained,
        opens=opens,
        over=over,
        why=tr(
            "{name} flowers from about {opens} to {over} here: {days} days of the gap come into "
            "colour in the mean.",
            name=kind.name,
            opens=opens,
            over=over,
            days=figure(gained, 1),
        ),
    )
