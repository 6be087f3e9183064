"""An answer's layers and money in words, for the cards of the window."""

from __future__ import annotations

from collections.abc import Sequence

from bloomline.model.money import written
from bloomline.plan.fill.answer import Answer, NewLayer
from bloomline.plan.season.words import figure, rounded
from bloomline.plan.words.benches import times_words
from bloomline.plan.words.units import Units
from bloomline.words import day_words, listed, plural, short_day_words, tr

_FAR = 50.0
"""From here on a bound says nothing that helps. [%]"""


def cost_words(answer: Answer, *, currency: str) -> str:
    """What it costs, and what is not in it for want of a price."""
    cost = written(answer.cost, currency=currency)
    if answer.unpriced:
        return tr("{cost} without {names}", cost=cost, names=listed(answer.unpriced))
    return cost


def gained_words(answer: Answer) -> str:
    """Days of colour gained: of the yard, and of the pots where those are others."""
    days, in_pots = figure(answer.days_gained, 1), figure(answer.pot_days_gained, 1)
    if not answer.tells_pots_apart():
        return tr("{days} days of colour gained", days=days)
    if answer.n_pots == 1:
        return tr(
            "{days} days of colour gained in the yard, {in_pots} in the pot",
            days=days,
            in_pots=in_pots,
        )
    return tr(
        "{days} days of colour gained in the yard, {in_pots} in the mean of the pots",
        days=days,
        in_pots=in_pots,
    )


def proof_words(answer: Answer) -> str:
    """How far it may be from the best, in a sentence; "" of one that is not meant to be."""
    if answer.against == "best":
        return ""
    gap = answer.bound_gap_percent
    if gap is None:
        return tr("The search was ended early: better answers may be left.")
    # The gap is a share of the bound; what another plan may bring more is one of this plan.
    more = figure(gap / (1 - gap / 100), 1) if gap < _FAR else ""
    if answer.against == "for less":
        if gap < 0.05:
            return tr("Proven: for so little money none does better by this measure.")
        if more:
            return tr("For so little money none can be better by more than {gap} %.", gap=more)
    if answer.against == "of others":
        if gap < 0.05:
            return tr("Proven: without the kinds of the first none does better by this measure.")
        if more:
            return tr(
                "Without the kinds of the first none can be better by more than {gap} %.", gap=more
            )
    if gap < 0.05:
        return tr(
            "Proven: of all kinds that do well here and go together, none does better by "
            "this measure."
        )
    if not more:
        return tr("How much better another plan could be is not known.")
    return tr("No plan can be better by more than {gap} %.", gap=more)


def differ_words(answers: Sequence[Answer], *, many_pots: bool) -> str:
    """How many answers there are, and in what they differ."""
    count = len(answers)
    if many_pots:
        words = plural("{n} plan for these pots", "{n} plans for these pots", count)
    else:
        words = plural("{n} way to fill it", "{n} ways to fill it", count)
    measures = (
        (
            tr("days of colour"),
            lambda each: (rounded(each.days_gained, 1), rounded(each.pot_days_gained, 1)),
        ),
        (tr("money"), lambda each: each.cost),
        (tr("kinds"), lambda each: frozenset(each.kinds)),
        (tr("bulbs"), lambda each: each.bulbs),
        (tr("days with scent"), lambda each: rounded(each.scent_days, 1)),
    )
    parts = [name for name, of in measures if len({of(each) for each in answers}) > 1]
    if not parts:
        return f"{words}."
    return tr("{words}; they differ in {parts}.", words=words, parts=listed(parts))


def layer_words(new: NewLayer, *, units: Units, with_pot: bool) -> str:
    """A layer in a line: how many, how deep, when planted and when in flower."""
    layer = new.layer
    words = tr(
        "{count} × {name}, {deep} over the tips, planted {day}",
        count=layer.count,
        name=new.name,
        deep=units.length(layer.cover_cm, decimals=0),
        day=day_words(layer.planted),
    )
    if new.opens is not None and new.over is not None:
        words = tr(
            "{words}; {first} – {last}",
            words=words,
            first=short_day_words(new.opens.p50),
            last=short_day_words(new.over.p50),
        )
    return (
        tr("{words}; in {pot}", words=words, pot=times_words(new.pot_name, new.copies))
        if with_pot
        else words
    )
