"""An answer's layers and money in words, for the cards of the window."""

from __future__ import annotations

from bloomline.model.money import written
from bloomline.plan.fill.answer import Answer, NewLayer
from bloomline.plan.words.benches import times_words
from bloomline.plan.words.units import Units
from bloomline.words import day_words, listed, short_day_words, tr


def cost_words(answer: Answer, *, currency: str) -> str:
    """What it costs, and what is not in it for want of a price."""
    cost = written(answer.cost, currency=currency)
    if answer.unpriced:
        return tr("{cost} without {names}", cost=cost, names=listed(answer.unpriced))
    return cost


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
