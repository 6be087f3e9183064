"""What a gardener wishes of a filling, and what a day and a kind count towards it.

The measure is stated here and nowhere else. A day counts by its chance of colour, as the season
counts it; of a yard once for any pot in colour and once more by the share of its pots that are,
so that one pot doesn't make a yard (a bench of equal pots is one row and counts as one pot there,
but is paid for with all of them). A layer counts only with a quarter of the bulbs that fit well
at its depth, three at least (`shop.choices.least_count`), so that one bloom makes no day. What
scent, layers, variety, likings and the cupboard count beside a day of colour is a taste, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

from bloomline.errors import UsageError
from bloomline.model.colours import Family
from bloomline.model.money import exact
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.shop.buying import shopping_list
from bloomline.plan.words.days import as_date
from bloomline.words import tr

ColourRule = Literal["any", "near", "contrast", "single", "white"]
COLOUR_RULES: tuple[ColourRule, ...] = ("any", "near", "contrast", "single", "white")

Go = Callable[[float], bool]
"""Told how far a search is, 0 to 1; false ends it, with the best so far."""

SCENT_WORTH = 0.1
"""What a day with scent counts beside a day in colour, where scent is wished for; so little that
it decides between kinds that are in colour alike, since a scented kind is asked for anyway."""
LIKED_DAYS = 3.0
"""Days that a kind is worth for being liked."""
CUPBOARD_DAYS = 5.0
"""Days that a kind is worth for lying in the cupboard, where that is to be emptied first."""
LAYER_DAYS = 1.5
"""Days that a layer is worth beside its colour: pots of layers please more than bare compost."""
KNOWN_DAYS = 0.5
"""Days that a kind is worth for being of a well-known type, which is easy to find."""
AGAIN_DAYS = 3.0
"""Days of a pot that a kind counts less in each further pot: a yard of one kind is dull."""
_AGAIN_POTS = 4  # so many pots; of more it counts the less, where a kind may come again
SURE_YEARS = 0.8
"""Share of the years in which a day must be in colour, where an answer is to be robust."""
LONGEST_DAYS = 366
_FIRST_DAY, _LAST_DAY = 245, 364  # of the axis: 1 February to 31 May in the north


@dataclass(frozen=True, slots=True)
class Wishes:
    """What is wished for.

    first, last : the days that count; None for February to May (August to November in the
    southern half). scent : every pot that is filled has a scented kind, or those of `scent_pots`.
    colours : which colours go together in a pot; `colour` names the one of "single" and "white".
    height_most_cm : of the plants. harmless : nothing that harms pets or children if eaten.
    budget : money for what is to be bought in addition; None for what the yard's budget leaves,
    if it has one. bulbs_only : compost is not counted in it. kinds_most : different kinds in all.
    liked, not_liked : ids of cultivars, or types such as "tulip". robust : a day counts only
    where it is in colour in eight years of ten.
    """

    first: date | None = None
    last: date | None = None
    scent: bool = False
    scent_pots: tuple[str, ...] = ()
    colours: ColourRule = "any"
    colour: Family | None = None
    height_most_cm: float | None = None
    harmless: bool = False
    cupboard_first: bool = False
    easy: bool = False
    budget: Decimal | None = None
    bulbs_only: bool = False
    kinds_most: int | None = None
    liked: tuple[str, ...] = ()
    not_liked: tuple[str, ...] = ()
    robust: bool = False

    @property
    def least_share(self) -> float | None:
        """Share of the years in which a day counts; None where its chance of colour counts."""
        return SURE_YEARS if self.robust else None

    def names(self, listed: tuple[str, ...], *, cultivar_id: str, common_type: str) -> bool:
        """Whether a list of likings names a kind."""
        return cultivar_id in listed or common_type.casefold() in {
            each.casefold() for each in listed
        }


def again_days(n_pots: int) -> float:
    """Days that a kind counts less in each further pot, where so many are filled. [days]"""
    return AGAIN_DAYS * min(1.0, _AGAIN_POTS / max(n_pots, 1))


class Watched:
    """A `go` that remembers whether the search was ended."""

    def __init__(self, go: Go | None) -> None:
        self._go = go
        self.ended = False

    def __call__(self, share: float) -> bool:
        """Pass it on; once ended it stays so."""
        if not self.ended and self._go is not None and not self._go(share):
            self.ended = True
        return not self.ended


def settled(outlook: Outlook, wishes: Wishes, *, yards_budget: bool = True) -> Wishes:
    """The wishes with what the yard settles: days of its season, money its budget leaves.

    yards_budget : False where the yard's own budget does not count.
    Raises UsageError for days that are none of the season or no stretch.
    """
    start = as_date(yard_axis_start(outlook.yard.season_year, garden=outlook.garden))
    first = wishes.first or start + timedelta(days=_FIRST_DAY)
    last = wishes.last or start + timedelta(days=_LAST_DAY)
    if last < first:
        raise UsageError(tr("{last} lies before {first}", last=last, first=first))
    if (last - first).days >= LONGEST_DAYS:
        raise UsageError(tr("{first} to {last} is more than a year", first=first, last=last))
    end = start + timedelta(days=_season_days(outlook))
    if first < start or last > end:
        raise UsageError(
            tr(
                "{first} to {last} is not within the season shown, {start} to {end}",
                first=first,
                last=last,
                start=start,
                end=end,
            )
        )
    budget = wishes.budget
    if yards_budget and budget is None and outlook.yard.money.budget is not None:
        left = exact(outlook.yard.money.budget) - shopping_list(outlook.usual).total
        budget = max(left, Decimal(0))
    return replace(wishes, first=first, last=last, budget=budget)


def _season_days(outlook: Outlook) -> int:
    """Days from the first of the axis to the last on which a flower belongs to the season."""
    start = as_date(yard_axis_start(outlook.yard.season_year, garden=outlook.garden))
    year = outlook.yard.season_year
    last = date(year + 1, 6, 30) if outlook.garden.is_southern else date(year, 12, 31)
    return (last - start).days
