from __future__ import annotations

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.plan.pot.packs import Offer, best_packs


def offer(size, price):
    return Offer(size, None if price is None else Decimal(price))


def test_cheapest_then_least_to_spare():
    assert best_packs(23, [offer(10, "4.00")]) == (3,)
    # 25 for 7.50 beats 3 × 10 for 12.00; 10 + 25 covers 30 for less than 2 × 25.
    assert best_packs(23, [offer(10, "4.00"), offer(25, "7.50")]) == (0, 1)
    assert best_packs(30, [offer(10, "4.00"), offer(25, "7.50")]) == (1, 1)
    # Equal cost: the smaller surplus.
    assert best_packs(10, [offer(10, "4.00"), offer(12, "4.00")]) == (1, 0)
    # No prices: the smallest surplus.
    assert best_packs(10, [offer(6, None), offer(8, "1.00")]) in ((2, 0),)
    assert best_packs(0, [offer(6, None), offer(8, None)]) == (0, 0)


def test_nothing_to_choose_from_is_refused():
    with pytest.raises(ValueError, match="at least one"):
        best_packs(3, [])
    with pytest.raises(ValueError, match="at least one"):
        best_packs(3, [offer(0, "1")])


@given(
    st.integers(1, 30),
    st.lists(st.tuples(st.integers(1, 12), st.integers(0, 900)), min_size=1, max_size=3),
)
def test_no_combination_is_cheaper(need, packs):
    offers = [offer(size, Decimal(pence) / 100) for size, pence in packs]
    counts = best_packs(need, offers)

    def value(numbers):
        cost = sum(n * each.price for n, each in zip(numbers, offers, strict=True))
        pieces = sum(n * each.size for n, each in zip(numbers, offers, strict=True))
        return (cost, pieces) if pieces >= need else None

    every = (range(-(-need // each.size) + 1) for each in offers)
    best = min(found for numbers in product(*every) if (found := value(numbers)))
    assert value(counts) == best


def test_a_great_need_is_covered_at_about_the_lowest_price():
    offers = [offer(10, "4.00"), offer(100, "30.00")]
    counts = best_packs(123_456, offers)
    assert counts[0] * 10 + counts[1] * 100 >= 123_456
    assert counts[0] * 4 + counts[1] * 30 <= 1235 * 30
