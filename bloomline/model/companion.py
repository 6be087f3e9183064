"""Plants that are not bulbs, set on top of a bulb pot."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from bloomline.model.parts import Day, Part, Slug, Text, Whole

MAX_COMPANIONS = 12


class CompanionPlanting(Part):
    """So many plants of one companion in the top of a pot, until they are taken out.

    `taken_out` is the day on which they leave, None for those that stay until their season
    is over.
    """

    id: Slug
    companion_id: Slug
    count: Annotated[Whole, Field(ge=1, le=1000)]
    planted: Day
    taken_out: Day | None = None
    notes: Text = ""

    @model_validator(mode="after")
    def _leaves_after_it_came(self) -> Self:
        if self.taken_out is not None and self.taken_out <= self.planted:
            raise PydanticCustomError(
                "taken_out_before_planted", "taken_out must lie after the day of planting"
            )
        return self
