"""What would fill a gap, in the orders it can be read in and in the words of a row."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from math import inf, isinf
from typing import Literal

from bloomline.model.money import sign_of, written
from bloomline.plan.fill.gap import Filler, GapAnswer
from bloomline.plan.fill.words import HARM
from bloomline.plan.season.words import figure
from bloomline.plan.words.benches import times_words
from bloomline.plan.words.units import Units
from bloomline.words import day_words, plural, short_day_words, tr

GapOrder = Literal["worth", "days", "cost", "opens", "pot", "name"]
GAP_ORDERS: tuple[GapOrder, ...] = ("worth", "days", "cost", "opens", "pot", "name")
"""Days for the money, days, money, first flower, pot, name."""

_KEYS: dict[GapOrder, Callable[[Filler], object]] = {
    "days": lambda each: -each.days_gained,
    "cost": lambda each: inf if each.cost is None else float(each.cost),
    "opens": lambda each: each.opens or date.max,
    "pot": lambda each: each.pot_name.casefold(),
    "name": lambda each: each.name.casefold(),
}


def in_order(fillers: Sequence[Filler], order: GapOrder) -> tuple[Filler, ...]:
    """What would fill a gap in another order; those alike stay by days for the money."""
    if order == "worth":
        return tuple(fillers)
    return tuple(sorted(fillers, key=_KEYS[order]))  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True)
class FillerWords:
    """A row of the list: how many in which pot how deep, what it brings for what, and when.

    row : the place in short, whose end may be cut. signs : scent and harm; "" without any.
    """

    place: str
    row: str
    worth: str
    flowers: str
    signs: str


def filler_words(each: Filler, *, units: Units, currency: str) -> FillerWords:
    """The words of a row."""
    flowers = tr("no flower")
    if each.opens is not None and each.over is not None:
        flowers = tr(
            "{first} – {last}",
            first=short_day_words(each.opens),
            last=short_day_words(each.over),
        )
    return FillerWords(
        place=tr(
            "{count} in {pot}, {deep} over the tips",
            count=each.layer.count,
            pot=times_words(each.pot_name, each.copies),
            deep=units.length(each.layer.cover_cm, decimals=0),
        ),
        row=tr(
            "{count} planted {day}, {deep} deep, in {pot}",
            count=each.layer.count,
            day=short_day_words(each.layer.planted),
            deep=units.length(each.layer.cover_cm, decimals=0),
            pot=times_words(each.pot_name, each.copies),
        ),
        worth=" · ".join((_days(each), _cost(each, currency), *_rate(each, currency))),
        flowers=flowers,
        signs=" · ".join(signs_of(each)),
    )


def signs_of(each: Filler) -> tuple[str, ...]:
    """Scent and harm, in a word each."""
    scent = ((tr("strong scent") if each.scent > 1 else tr("light scent")),) if each.scent else ()
    return (*scent, *((tr(HARM[each.harm]),) if each.harm else ()))


def filler_told(each: Filler, *, units: Units, currency: str) -> str:
    """All of a row in sentences: for a tooltip, and for a screen reader."""
    words = filler_words(each, units=units, currency=currency)
    return "\n".join(
        (
            each.name,
            words.place,
            tr("Planted {day}", day=day_words(each.layer.planted)),
            words.worth,
            *((words.signs,) if words.signs else ()),
            each.why,
        )
    )


def gap_state(found: GapAnswer, *, stopped: bool = False) -> str:
    """How bare a gap is, and how much would fill it."""
    told = tr(
        "{bare} of {days} days bare in the mean.",
        bare=figure(found.bare, 1),
        days=found.days,
    )
    ways = plural("{n} way to fill some of it.", "{n} ways to fill some of it.", len(found.fillers))
    if not stopped:
        return f"{told} {ways}" if found.fillers else told
    early = tr("Stopped early: not every pot was looked at.")
    return f"{told} {ways} {early}" if found.fillers else f"{told} {early}"


def caution_words(fillers: Sequence[Filler]) -> str:
    """What to mind where some of it does harm; "" else."""
    if not any(each.harm for each in fillers):
        return ""
    return tr(
        "Poisonous or irritant bulbs: wear gloves, wash hands, keep them from children and animals."
    )


def _days(each: Filler) -> str:
    days = figure(each.days_gained, 1)
    return plural("{days} day of colour", "{days} days of colour", each.days_gained, days=days)


def _cost(each: Filler, currency: str) -> str:
    if each.cost is None:
        return tr("price not known")
    return written(each.cost, currency=currency)


def _rate(each: Filler, currency: str) -> tuple[str, ...]:
    rate = each.days_per_money
    if rate is None:
        return ()
    if isinf(rate):
        return (tr("for nothing"),)
    return (tr("{rate} a {money}", rate=figure(rate, 2), money=sign_of(currency)),)
