"""Whether a season keeps what is wished of it, how surely, and the cheapest change that does.

In a weather year a wish is kept when it holds on nine of ten of its days. What is not known of
each kind's date is drawn, the same draws for every question: each kind takes every quadrature
node equally often, kinds independently. A wish is kept by a season that keeps it in eight of ten
of all years and draws. Both shares are judgement, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.in_flower import N_NODES, InFlower
from bloomline.model.planting_edits import plant_layers
from bloomline.model.wish import SeasonWish
from bloomline.model.yard import Layer, Yard
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.fill.wishes import Go, Wishes
from bloomline.plan.season.colour import in_flower
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.season.solve import SolvedYard, solve_yard
from bloomline.plan.season.words import figure
from bloomline.plan.words.days import as_date
from bloomline.plan.words.shares import of_ten
from bloomline.words import plural, tr

if TYPE_CHECKING:
    from bloomline.plan.fill.gap import Filler

Bools = NDArray[np.bool_]

DAYS_SHARE = 0.9
"""Share of its days on which a wish must hold for a year to keep it."""
YEARS_SHARE = 0.8
"""Share of years from which on a season keeps a wish."""
_DRAWS = 8 * N_NODES
_SEED = 20_270_301
_MOST_CHANGES = 4
_FIRST_DAY = 120
_LOOKED_AT = 40


@dataclass(frozen=True, slots=True)
class Target:
    """A wish and what the season makes of it.

    first, last : its days in the season shown. chance : share of the weather years that keep it.
    days : of them it holds on so many in the mean, of `all_days`.
    """

    wish: SeasonWish
    first: date
    last: date
    chance: float
    days: float
    all_days: int

    @property
    def is_kept(self) -> bool:
        """Whether the season keeps it."""
        return self.chance >= YEARS_SHARE

    def words(self) -> str:
        """The wish, whether it is kept, and how surely."""
        wish = wish_words(self.wish, self.first, self.last)
        return tr("{wish}: {verdict}", wish=wish, verdict=self.verdict())

    def verdict(self) -> str:
        """Whether it is kept, in how many years, and on how many of its days."""
        figures = {
            "years": of_ten(self.chance, "year", never=tr("no year of ten")),
            "days": figure(self.days, 1),
            "all_days": self.all_days,
        }
        if self.is_kept:
            return tr(
                "kept, in {years}; it holds on {days} of {all_days} days in the mean", **figures
            )
        return tr(
            "missed, kept in {years}; it holds on {days} of {all_days} days in the mean",
            **figures,
        )


@dataclass(frozen=True, slots=True)
class Remedy:
    """The cheapest change found that keeps a wish: layers to plant, their cost, and the chance."""

    layers: tuple[tuple[str, Layer], ...]
    names: tuple[str, ...]
    cost: Decimal
    target: Target

    def apply(self, yard: Yard) -> Yard:
        """The yard with it: one edit. Raises EditRefusedError."""
        return plant_layers(yard, self.layers)


def wish_words(wish: SeasonWish, first: date, last: date) -> str:
    """A wish as a sentence's beginning."""
    if wish.what == "scent":
        return plural(
            "at least {n} pot with scent from {first} to {last}",
            "at least {n} pots with scent from {first} to {last}",
            wish.pots_at_least,
            first=first,
            last=last,
        )
    return plural(
        "at least {n} pot in colour from {first} to {last}",
        "at least {n} pots in colour from {first} to {last}",
        wish.pots_at_least,
        first=first,
        last=last,
    )


@kept
def targets(outlook: Outlook) -> tuple[Target, ...]:
    """Every wish of a yard for the season shown, over all weather years."""
    outlook = outlook.usual
    worked = solve_yard(outlook)
    flowers = in_flower(worked.solved)
    return tuple(_target(outlook, wish, worked, flowers) for wish in outlook.yard.wishes)


def days_of_wish(outlook: Outlook, wish: SeasonWish) -> tuple[date, date]:
    """First and last day of a wish in the season shown."""
    start = as_date(yard_axis_start(outlook.yard.season_year, garden=outlook.garden))
    # October in the north: what comes before belongs to the year whose spring is shown.
    earliest = start + timedelta(days=_FIRST_DAY)
    first = wish.first.in_year(earliest.year)
    if first < earliest:
        first = wish.first.in_year(earliest.year + 1)
    last = wish.last.in_year(first.year)
    return first, last if last >= first else wish.last.in_year(first.year + 1)


def _target(outlook: Outlook, wish: SeasonWish, worked: SolvedYard, flowers: InFlower) -> Target:
    first, last = days_of_wish(outlook, wish)
    holds = _holds(outlook, wish, worked, flowers, first, last)
    share = holds.mean(axis=0)
    return Target(
        wish=wish,
        first=first,
        last=last,
        chance=float((share >= DAYS_SHARE - 1e-9).mean()),
        days=float(share.mean() * len(holds)),
        all_days=len(holds),
    )


def _holds(
    outlook: Outlook,
    wish: SeasonWish,
    worked: SolvedYard,
    flowers: InFlower,
    first: date,
    last: date,
) -> Bools:
    """On which days a wish holds, shape (n_days, n_years, n_draws)."""
    at = first.toordinal() - worked.solved.first_ordinal - flowers.begin
    n_days = (last - first).days + 1
    count = np.zeros((n_days, flowers.n_years, _DRAWS), dtype=np.int32)
    low, high = max(at, 0), min(at + n_days, flowers.bits.shape[1])
    if low >= high:
        return np.asarray(count >= wish.pots_at_least)
    rows: dict[str, set[int]] = {}
    copies = {pot.id: pot.copies for pot in outlook.yard.pots}
    for place in worked.places:
        counts = not wish.pot_ids or place.pot.id in wish.pot_ids
        smells = wish.what == "colour" or place.cultivar.scent > 0
        if counts and smells and place.row >= 0:
            rows.setdefault(place.pot.id, set()).add(place.row)
    ids = {row: worked.solved.plantings[row].cultivar.id for mine in rows.values() for row in mine}
    nodes = {name: _nodes_of(name) for name in set(ids.values())}
    for pot_id, mine in rows.items():
        lit = np.zeros((high - low, flowers.n_years, _DRAWS), dtype=bool)
        for row in mine:
            bits = flowers.bits[row, low:high]
            lit |= ((bits[:, :, None] >> nodes[ids[row]]) & 1).astype(bool)
        # Pots of a bench are in flower together, and each is a pot; more than any wish never count.
        count[low - at : high - at] += lit * np.int32(min(copies[pot_id], wish.pots_at_least))
    return np.asarray(count >= wish.pots_at_least)


def _nodes_of(cultivar_id: str) -> NDArray[np.uint8]:
    """The node of a kind's date in each draw, every node equally often, shape (n_draws,)."""
    seed = [_SEED, *cultivar_id.encode()]
    drawn = np.random.default_rng(seed).permutation(_DRAWS) % N_NODES
    return np.asarray(drawn, dtype=np.uint8)


def cheapest_change(
    outlook: Outlook, wish: SeasonWish, *, wishes: Wishes | None = None, go: Go | None = None
) -> Remedy | None:
    """The cheapest layers found that make the season keep a wish; None where none do.

    Of single layers surely the cheapest of those that fill its days; where it takes several,
    that is added each time which lifts the chance most for its money. wishes : further ones of
    the kinds, their own days don't count.
    """
    from bloomline.plan.fill.gap import fill_gap  # the planner: not for judging what is there

    outlook = outlook.usual
    first, last = days_of_wish(outlook, wish)
    asked = replace(wishes or Wishes(), scent=False)
    pots = list(wish.pot_ids) or None
    yard, layers, names, cost = outlook.yard, [], [], Decimal(0)
    now = _judged(outlook, wish)
    for step in range(_MOST_CHANGES):
        if now.is_kept or (go is not None and not go(step / _MOST_CHANGES)):
            break
        here = outlook.what_if(yard=yard)
        found = [
            each
            for each in fill_gap(here, first, last, wishes=asked, pot_ids=pots, least=0.0).fillers
            if each.cost is not None and (wish.what == "colour" or each.scent > 0)
        ]
        tried = [
            (each, _judged(here.what_if(yard=each.apply(yard)), wish)) for each in _best(found)
        ]
        enough = [pair for pair in tried if pair[1].is_kept]
        if enough:
            chosen, now = min(enough, key=lambda pair: (pair[0].cost, -pair[1].chance))
        else:
            better = [pair for pair in tried if pair[1].days > now.days + 1e-9]
            if not better:
                return None
            was = now.days
            chosen, now = max(
                better, key=lambda pair: (pair[1].days - was) / (float(pair[0].cost or 0) + 1.0)
            )
        layers.append((chosen.pot_id, chosen.layer))
        names.append(chosen.name)
        cost += chosen.cost or Decimal(0)
        yard = chosen.apply(yard)
    return Remedy(tuple(layers), tuple(names), cost, now) if now.is_kept and layers else None


def _best(found: Sequence[Filler]) -> list[Filler]:
    """Those that bring most days, and those that bring most for their money."""
    most = sorted(found, key=lambda each: (-each.days_gained, each.cost))[: _LOOKED_AT // 2]
    dear = [each for each in found if each not in most]
    return [*most, *dear[: _LOOKED_AT // 2]]


def _judged(outlook: Outlook, wish: SeasonWish) -> Target:
    worked = solve_yard(outlook)
    return _target(outlook, wish, worked, in_flower(worked.solved))


def target_object(target: Target) -> dict[str, Any]:
    """A wish and whether it is kept, for JSON."""
    wish = target.wish
    return {
        "id": wish.id,
        "what": wish.what,
        "pots_at_least": wish.pots_at_least,
        "pot_ids": list(wish.pot_ids),
        "first": target.first.isoformat(),
        "last": target.last.isoformat(),
        "kept": target.is_kept,
        "chance": round(target.chance, 3),
        "days": round(target.days, 1),
        "all_days": target.all_days,
    }
