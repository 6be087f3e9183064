"""Numbers, shares and lists, as the language chosen writes them."""

from __future__ import annotations

from collections.abc import Iterable

from bloomline.words.language import ENGLISH, catalogue, language, locale_of


def number_words(value: float, decimals: int = 0) -> str:
    """A number of so many decimals, thousands apart: "1,234.5"."""
    text = f"{value:,.{decimals}f}"
    return in_language("0" + text[2:] if text.strip("-0.") == "" and text[0] == "-" else text)


def percent_words(share: float, decimals: int = 0) -> str:
    """A share of one in per cent: "45 %"."""
    from bloomline.words.messages import tr

    return tr("{share} %", share=number_words(share * 100.0, decimals))


def in_language(text: str) -> str:
    """A number written with Python's point and commas, with those of the language."""
    code = language()
    if code == ENGLISH:
        return text
    signs = locale_of(code).number_symbols
    signs = signs.get("latn", signs)
    swap = {".": signs["decimal"], ",": signs["group"]}
    return "".join(swap.get(each, each) for each in text)


def listed(names: Iterable[str], *, most: int | None = None) -> str:
    """Names in a sentence, each once; more than `most` are cut with how many are left."""
    from bloomline.words.messages import plural

    each = list(dict.fromkeys(names))
    if most is not None and len(each) > most:
        left = len(each) - most + 1
        each = [*each[: most - 1], plural("{n} more", "{n} more", left)]
    if len(each) < 2:
        return "".join(each)
    if catalogue() is not None:
        from babel.lists import format_list

        return format_list(each, locale=locale_of(language()))
    return f"{', '.join(each[:-1])} and {each[-1]}"
