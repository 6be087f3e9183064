from __future__ import annotations

import pytest
from asking import outlook
from hypothesis import given
from hypothesis import strategies as st
from shopping_yards import layer, pot, yard

from bloomline.model.store_edits import set_stock
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.shop.buying import shopping_list
from bloomline.plan.shop.cupboard import Stock, cupboard_of, left_words

KIND = "tulipa-shirley"


@given(
    st.lists(st.tuples(st.integers(1, 80), st.sampled_from(["planned", "planted"])), max_size=4),
    st.integers(1, 90),
)
def test_what_is_left_agrees_with_the_shopping_list(drawn, count):
    here = yard(
        *(pot(i, layer(i, KIND, n, state=state)) for i, (n, state) in enumerate(drawn, start=1))
    )
    here = set_stock(here, KIND, count)
    stock = cupboard_of(here, garden=garden_of(here.place))[KIND]
    planned = sum(n for n, state in drawn if state == "planned")
    assert (stock.count, stock.planned) == (count, planned)
    assert stock.left - stock.to_buy == count - planned
    lines = [line for line in shopping_list(outlook(here)).bulbs if line.cultivar_id == KIND]
    assert bool(lines) == bool(planned)
    for line in lines:
        assert (line.in_cupboard, line.to_buy) == (stock.count, stock.to_buy)


@pytest.mark.parametrize(
    ("stock", "words"),
    [
        (Stock(20, 12), "8 bulbs of this kind are left in the cupboard"),
        (Stock(13, 12), "1 bulb of this kind is left in the cupboard"),
        (Stock(12, 12), "That takes the last of this kind out of the cupboard"),
        (Stock(5, 12), "None is left in the cupboard, and 7 bulbs are still to be bought"),
    ],
)
def test_what_is_left_in_words(stock, words):
    assert left_words(stock) == words
