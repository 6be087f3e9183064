"""What a gardener has and pays: bulbs in the cupboard, own prices, compost and bag choices."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, Field, StringConstraints
from pydantic_core import PydanticCustomError

from bloomline.model.parts import Number, Part, Slug, Whole

MAX_IN_CUPBOARD = 5_000
MAX_PRICES = 20_000
MAX_PACK_SIZES = 20
MAX_BAG_PRICES = 200
MAX_POT_PRICES = 5_000

_MOST_DECIMALS = 4


def _few_decimals(value: float) -> float:
    """Refuse an amount of money finer than any currency, so that it is kept exactly."""
    if round(value, _MOST_DECIMALS) != value:
        raise PydanticCustomError("too_fine", "an amount of money has at most four decimals")
    return value


Amount = Annotated[Number, Field(ge=0, le=1_000_000), AfterValidator(_few_decimals)]
"""An amount of money in the yard's currency."""

Litres = Annotated[Number, Field(gt=0, le=100_000)]

Remark = Annotated[
    str,
    StringConstraints(
        strict=True,
        strip_whitespace=True,
        max_length=200,
        pattern=r"^[^\x00-\x1f\x7f\u2028\u2029]*$",
    ),
]
"""A short remark of one line, without outer blanks."""


class InStock(Part):
    """Bulbs of a cultivar that lie in the cupboard already."""

    cultivar_id: Slug
    count: Annotated[Whole, Field(ge=1, le=1_000_000)]
    note: Remark = ""


class Price(Part):
    """What a pack of a cultivar costs in the yard's currency. A cultivar may have several packs."""

    cultivar_id: Slug
    pack: Annotated[Whole, Field(ge=1, le=10_000)]
    price: Amount
    note: Remark = ""


class Supplies(Part):
    """Which compost is mixed, in which bags it is bought, and what a bag costs.

    `recipe` is for pots that name none of their own. `bag_l` is the one size of compost bag
    that can be had [L]. `bag_prices` are by the id of a bag or of a material. `at_hand_l` is what
    lies there already, by material [L]. `pot_prices` are by the id of a pot that is to be bought,
    `plant_prices` by the id of a companion, for one plant.
    """

    recipe: Slug | None = None
    bag_l: Annotated[Number, Field(ge=1, le=3000)] | None = None
    bag_prices: Annotated[dict[Slug, Amount], Field(max_length=MAX_BAG_PRICES)] = Field(
        default_factory=dict
    )
    at_hand_l: Annotated[dict[Slug, Litres], Field(max_length=MAX_BAG_PRICES)] = Field(
        default_factory=dict
    )
    pot_prices: Annotated[dict[Slug, Amount], Field(max_length=MAX_POT_PRICES)] = Field(
        default_factory=dict
    )
    plant_prices: Annotated[dict[Slug, Amount], Field(max_length=MAX_BAG_PRICES)] = Field(
        default_factory=dict
    )
