"""What a packet costs, kept where all prices are."""

from __future__ import annotations

from pydantic import ValidationError

from bloomline.errors import UsageError
from bloomline.model.kind_edits import own_kind, put_kind
from bloomline.model.problems import describe
from bloomline.model.revising import revise
from bloomline.model.store import Price
from bloomline.model.store_edits import set_price
from bloomline.model.yard import Yard


def with_pack(yard: Yard, kind_id: str, *, pack: int | None, price: float | None) -> Yard:
    """The yard with the pack in which an own kind is sold, and what it costs.

    A price without a pack is that of the usual pack of its class. Raises UsageError.
    """
    kind = own_kind(yard, kind_id)
    try:
        if pack is not None and pack != kind.typical_pack:
            kind = revise(kind, {"typical_pack": pack})
            yard = put_kind(yard, kind)
        if price is None:
            return yard
        told = Price(cultivar_id=kind_id, pack=kind.typical_pack, price=price)
    except ValidationError as error:
        raise UsageError("; ".join(describe(error)[:3])) from None
    return set_price(yard, told)


def pack_price(yard: Yard, kind_id: str, pack: int) -> float | None:
    """What a pack of a kind costs by the yard's own prices; None where it isn't told."""
    return next(
        (each.price for each in yard.prices if (each.cultivar_id, each.pack) == (kind_id, pack)),
        None,
    )
