"""What a gardener wishes of every season: colour or scent on some days of the year."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from bloomline.model.cultivar import MonthDayField
from bloomline.model.parts import Part, Slug, Whole

MAX_WISHES = 50
MAX_WISH_POTS = 5_000

Wished = Literal["colour", "scent"]


class SeasonWish(Part):
    """At least so many pots in colour, or with scent, from one day of the year to another.

    The days may run over the new year. pot_ids : the pots that count, such as those by the door;
    all of the yard without any.
    """

    id: Slug
    what: Wished = "colour"
    first: MonthDayField
    last: MonthDayField
    pots_at_least: Annotated[Whole, Field(ge=1, le=1000)] = 1
    pot_ids: Annotated[tuple[Slug, ...], Field(max_length=MAX_WISH_POTS)] = ()
