"""The places by the house where pots are shown or rest, and who stands where by hand."""

from __future__ import annotations

import hashlib
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from bloomline.model.cultivar import MonthDayField
from bloomline.model.parts import Day, Flag, Line, Name, Number, Part, Slug, Whole

MAX_DISPLAY_PLACES = 200
MAX_FIXED_STANDS = 5_000
MAX_WANTED = 24

StageKind = Literal["display", "rest", "shelter"]
"""Shown to whoever looks; out of sight in the open; under cover in winter."""
ShelterSite = Literal["cold-frame", "cold-greenhouse", "shed", "garage"]
"""What winter cover is, as a pot's site says it."""
Sun = Literal["sun", "half-shade", "shade", "dark"]
Feast = Literal["easter"]


class WantedWeeks(Part):
    """Days of every year on which a place is to look its best, and how much more they count.

    From `first` to `last` (over New Year where last comes before first), or round a feast that
    moves: Easter is the week before its Sunday and the week after. A `weight` of 2 counts
    flowers of these days twice; 0: nobody looks.
    """

    first: MonthDayField | None = None
    last: MonthDayField | None = None
    feast: Feast | None = None
    weight: Annotated[Number, Field(ge=0, le=20)] = 2.0

    @model_validator(mode="after")
    def _one_way_of_saying(self) -> Self:
        days = (self.first, self.last)
        if (self.feast is None) == (days == (None, None)) or (
            None in days and days != (None, None)
        ):
            raise PydanticCustomError(
                "wanted_weeks", "either first and last, or feast, is wanted of wanted weeks"
            )
        return self


class DisplayPlace(Part):
    """A place by the house where pots stand; `capacity` counts pots.

    `width_cm` is the room for pots side by side, None where only their number counts.
    `view_weight` is how much flowers here count against those of a place of 1, and `seen_from`
    says where from. `no_trolley`: steps, or no way for a trolley. `by_path`: one walks past.
    `nose_height_cm` is that of whoever walks or sits there, `raised_cm` how high pots stand above
    the ground under those feet. `site` is what a winter shelter is like; one that doesn't say is a
    detached shed.
    """

    name: Name
    exposure: Annotated[Line, Field(max_length=120)] = ""
    capacity: Annotated[Whole, Field(ge=1, le=1000)] = 1
    kind: StageKind = "display"
    width_cm: Annotated[Number, Field(ge=5, le=100_000)] | None = None
    sun: Sun | None = None
    seen_from: Annotated[Line, Field(max_length=120)] = ""
    view_weight: Annotated[Number, Field(ge=0, le=20)] = 1.0
    wanted: Annotated[tuple[WantedWeeks, ...], Field(max_length=MAX_WANTED)] = ()
    no_trolley: Flag = False
    by_path: Flag = False
    nose_height_cm: Annotated[Number, Field(ge=20, le=250)] | None = None
    raised_cm: Annotated[Number, Field(ge=0, le=300)] = 0.0
    site: ShelterSite | None = None

    @property
    def cover(self) -> ShelterSite | None:
        """What pots stand under here in winter; None of a place in the open."""
        return (self.site or "shed") if self.kind == "shelter" else None


class FixedStand(Part):
    """A pot that stands at a place by hand, from one day to another; both count.

    Without `last` to the end of the season. `place` is None for the pot's own spot.
    """

    pot_id: Slug
    place: Name | None = None
    first: Day
    last: Day | None = None

    @model_validator(mode="after")
    def _ends_after_it_began(self) -> Self:
        if self.last is not None and self.last < self.first:
            raise PydanticCustomError("last_before_first", "last must not lie before first")
        return self


def place_key(name: str | None) -> str:
    """What a place is called in the key of a task; a pot's own spot has a key too."""
    return "own-spot" if name is None else hashlib.sha256(name.encode()).hexdigest()[:10]
