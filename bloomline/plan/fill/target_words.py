"""A wish for the season, whether it is kept, and what would keep it, in words and signs."""

from __future__ import annotations

from collections.abc import Sequence

from bloomline.model.money import written
from bloomline.model.wish import SeasonWish
from bloomline.model.yard import Yard
from bloomline.plan.fill.targets import Remedy, Target, wish_words
from bloomline.plan.season.words import figure
from bloomline.plan.words.benches import pot_words
from bloomline.plan.words.shares import of_ten
from bloomline.plan.words.units import Units
from bloomline.words import listed, plural, short_day_words, tr

_MOST_NAMES = 4


def target_sign(target: Target) -> str:
    """A tick or a cross."""
    return "✓" if target.is_kept else "✗"


def short_words(target: Target) -> str:
    """A wish in a word or two, for its lane on the season."""
    if target.wish.what == "scent":
        return plural("{n} pot with scent", "{n} pots with scent", target.wish.pots_at_least)
    return plural("{n} pot in colour", "{n} pots in colour", target.wish.pots_at_least)


def lane_words(target: Target) -> str:
    """A wish in a few words with whether it is kept, for a picture that nobody can ask."""
    words = short_words(target)
    if target.is_kept:
        return tr("{wish}: kept", wish=words)
    return tr("{wish}: missed", wish=words)


def wish_of(target: Target, yard: Yard) -> str:
    """A wish and the pots that count, as a sentence's beginning with a capital."""
    words = wish_words(target.wish, target.first, target.last)
    pots = pots_words(target.wish, yard)
    words = tr("{wish}, of {pots}", wish=words, pots=pots) if pots else words
    return words[:1].upper() + words[1:]


def target_line(target: Target, yard: Yard) -> str:
    """A wish, the pots that count, and whether it is kept, with its sign."""
    return tr(
        "{sign} {wish}: {verdict}",
        sign=target_sign(target),
        wish=wish_of(target, yard),
        verdict=target.verdict(),
    )


def pots_words(wish: SeasonWish, yard: Yard) -> str:
    """The pots that count by name; "" where all do."""
    names = [pot_words(pot) for pot in yard.pots if pot.id in wish.pot_ids]
    if len(names) <= _MOST_NAMES:
        return listed(names) if names else ""
    return plural("{n} chosen pot", "{n} chosen pots", len(names))


def remedy_words(remedy: Remedy | None, target: Target, yard: Yard, units: Units) -> str:
    """What would keep a wish: what is planted where, what it costs, and the chance then."""
    if remedy is None:
        return tr(
            "Nothing found would keep it: no few layers that fit in these pots and do well here "
            "bring enough days. Wish for fewer pots or days, or add a pot."
        )
    return tr(
        "It would be kept by {layers}: {cost} in all, then kept in {years} and on {days} of "
        "{all_days} days in the mean, {more} more.",
        layers=listed(list(_layers(remedy, yard, units))),
        cost=written(remedy.cost, currency=yard.money.currency),
        years=of_ten(remedy.target.chance, "year", never=tr("no year of ten")),
        days=figure(remedy.target.days, 1),
        all_days=remedy.target.all_days,
        more=figure(remedy.target.days - target.days, 1),
    )


def _layers(remedy: Remedy, yard: Yard, units: Units) -> Sequence[str]:
    names = {pot.id: pot_words(pot) for pot in yard.pots}
    return [
        tr(
            "{count} × {name} in {pot} ({deep} over the tips, planted {day})",
            count=layer.count,
            name=name,
            pot=names[pot_id],
            deep=units.length(layer.cover_cm, decimals=0),
            day=short_day_words(layer.planted),
        )
        for (pot_id, layer), name in zip(remedy.layers, remedy.names, strict=True)
    ]
