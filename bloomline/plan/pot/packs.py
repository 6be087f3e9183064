"""Which packs cover a need: the cheapest, and of equally cheap ones the one with least to spare."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from threading import Lock

from bloomline.words import tr

_MOST_STEPS = 2_000

_Best = tuple[Decimal, int, int, int]
_lock = Lock()


@dataclass(frozen=True, slots=True)
class Offer:
    """A pack of so many pieces; `price` is None where none is known."""

    size: int
    price: Decimal | None


def best_packs(need: int, offers: Sequence[Offer]) -> tuple[int, ...]:
    """How many of each offer to take so that at least `need` pieces come together.

    Cheapest first, then fewest spare pieces, then fewest packs. Without prices (or with some
    unknown) the fewest spare pieces count alone. Exact up to a few thousand pieces; far above
    that the pack with the lowest price a piece covers the bulk.

    Raises: ValueError without offers or with a pack of nothing.
    """
    if not offers or any(offer.size < 1 for offer in offers):
        raise ValueError(tr("Packs of at least one piece are wanted."))
    if need <= 0:
        return (0,) * len(offers)
    priced = all(offer.price is not None for offer in offers)
    prices = [offer.price if priced and offer.price is not None else Decimal(0) for offer in offers]
    if len(offers) == 1:
        return (-(-need // offers[0].size),)
    counts = [0] * len(offers)
    if need > _MOST_STEPS:
        bulk = min(range(len(offers)), key=lambda i: (prices[i] / offers[i].size, -offers[i].size))
        counts[bulk] = (need - _MOST_STEPS) // offers[bulk].size
        need -= counts[bulk] * offers[bulk].size
    best = _table(need, offers, prices)
    while need > 0:
        i = best[need][3]
        counts[i] += 1
        need = max(need - offers[i].size, 0)
    return tuple(counts)


def cost_of_pieces(need: int, offers: Sequence[Offer]) -> Decimal:
    """What it costs to cover so many pieces, as `best_packs` would; every offer has a price.

    Raises: ValueError without offers, with a pack of nothing, or without a price.
    """
    if not offers or any(offer.size < 1 for offer in offers):
        raise ValueError(tr("Packs of at least one piece are wanted."))
    prices = [offer.price for offer in offers if offer.price is not None]
    if len(prices) < len(offers):
        raise ValueError(tr("Packs with a price are wanted."))
    if len(offers) == 1:
        return -(-max(need, 0) // offers[0].size) * prices[0]
    if need <= _MOST_STEPS:
        return _table(need, offers, prices)[max(need, 0)][0]
    counts = best_packs(need, offers)
    return sum((k * price for k, price in zip(counts, prices, strict=True)), Decimal(0))


def _table(need: int, offers: Sequence[Offer], prices: Sequence[Decimal]) -> list[_Best]:
    """Cost, pieces and packs of the best way to cover n, and the pack it ends with, for every n.

    It goes up to the need at least, and is shared: read it only.
    """
    # As text, since amounts that are equal may be written with other decimals.
    best = _begun(tuple((o.size, str(price)) for o, price in zip(offers, prices, strict=True)))
    with _lock:
        for n in range(len(best), need + 1):
            options = []
            for i, offer in enumerate(offers):
                cost, pieces, packs, _ = best[max(n - offer.size, 0)]
                options.append((cost + prices[i], pieces + offer.size, packs + 1, i))
            best.append(min(options))
    return best


@lru_cache(maxsize=256)
def _begun(_offers: tuple[tuple[int, str], ...]) -> list[_Best]:
    """The table of some offers as far as anybody has needed it; it only grows."""
    return [(Decimal(0), 0, 0, -1)]
