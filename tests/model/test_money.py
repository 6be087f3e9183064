from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.model.money import digits_of, exact, plain, rounded, written


def test_amounts_are_what_was_written():
    assert exact(4.95) == Decimal("4.95")
    assert 3 * exact(0.1) == exact(0.3)  # as doubles they differ
    assert exact(1e6) == Decimal(1_000_000)


@given(st.integers(0, 10**10))
def test_no_amount_of_four_decimals_is_lost(units):
    amount = Decimal(units).scaleb(-4)
    assert exact(float(amount)) == amount


@pytest.mark.parametrize(
    ("currency", "digits", "text"),
    # Source: ISO 4217 minor units, from memory.
    [("GBP", 2, "£1,234.57"), ("JPY", 0, "¥1,235"), ("KWD", 3, "1,234.568 KWD")],
)
def test_digits_of_currencies(currency, digits, text):
    assert digits_of(currency) == digits
    assert written(Decimal("1234.5678"), currency=currency) == text


def test_halves_go_up_and_tables_lose_nothing():
    assert rounded(Decimal("0.125"), currency="EUR") == Decimal("0.13")
    assert plain(Decimal("5"), currency="EUR") == "5.00"
    assert plain(Decimal("0.1255"), currency="EUR") == "0.1255"
    assert plain(Decimal("1E+3"), currency="JPY") == "1000"
