"""Money as exact decimals: how many digits a currency has, rounding, writing."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

# Currencies without the usual two digits. Source: ISO 4217, minor units, from memory.
_WHOLE = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"
_THREE = "BHD IQD JOD KWD LYD OMR TND"
# How people write them in English. Source: Unicode CLDR, English currency symbols, from memory.
_SIGNS = {
    "GBP": "£",
    "EUR": "€",
    "USD": "$",
    "AUD": "A$",
    "CAD": "CA$",
    "NZD": "NZ$",
    "JPY": "¥",
    "INR": "₹",
}


def digits_of(currency: str) -> int:
    """How many decimals amounts of a currency have."""
    if currency in _WHOLE:
        return 0
    return 3 if currency in _THREE else 2


def exact(amount: float) -> Decimal:
    """The decimal that a number was written as: 4.95 is 4.95, not the nearest double."""
    return Decimal(repr(amount))


def rounded(amount: Decimal, *, currency: str) -> Decimal:
    """An amount to the smallest unit of its currency, halves up."""
    return amount.quantize(Decimal(1).scaleb(-digits_of(currency)), rounding=ROUND_HALF_UP)


def sign_of(currency: str) -> str:
    """The sign of a currency, else its three letters."""
    return _SIGNS.get(currency, currency)


def written(amount: Decimal, *, currency: str) -> str:
    """An amount as people write it: £12.50, −£3.00; without a known sign 12.50 DKK."""
    exactly = rounded(amount, currency=currency)
    minus = "−" if exactly < 0 else ""
    sign = _SIGNS.get(currency)
    if sign is None:
        return f"{minus}{abs(exactly):,} {currency}"
    return f"{minus}{sign}{abs(exactly):,}"


def without_sign(text: str, *, currency: str) -> str:
    """What was typed without the sign or the letters of the currency, before or behind."""
    bare = text.strip()
    for sign in (currency, sign_of(currency), "$" if sign_of(currency).endswith("$") else currency):
        bare = bare.removeprefix(sign).removesuffix(sign).strip()
    return bare


def plain(amount: Decimal, *, currency: str) -> str:
    """An amount for a table that is read again: no separators, nothing rounded away."""
    least = digits_of(currency)
    decimals = max(least, -int(amount.normalize().as_tuple().exponent))
    return f"{amount:.{decimals}f}"
