"""Paragraphs break where the standard library's wrapper breaks them."""

from __future__ import annotations

import random
import textwrap

import pytest

from bloomline.files import plain_text
from bloomline.files.plain_text import WIDTH, plain, wrapped

WORDS = (
    *("Tulipa 'Apeldoorn' in Pot 12;", "Narcissus", "a", "of", "Tête-à-tête", "well-known"),
    *("x-ray", "2-3", "co-op-ed", "-", "—", "foo—bar", "(self-made)", "-x", "x-", "Z" * 30),
)
ODD = ("Z" * 130, "ab-" * 50, "long-" * 30 + "x", "--", "a--b", " ", "one\ntwo", "no\u00a0break")


def paragraphs(count: int, words: tuple[str, ...]) -> list[str]:
    draw = random.Random(5)
    return [" ".join(draw.choices(words, k=draw.randrange(1, 90))) for _ in range(count)]


@pytest.mark.parametrize("words", [WORDS, (*WORDS * 9, *ODD)])
@pytest.mark.parametrize(("indent", "hang"), [("", "  "), ("  ", ""), ("    ", "  ")])
def test_lines_are_the_standard_librarys(words, indent, hang):
    for text in paragraphs(400, words):
        shown = plain(text)
        expected = textwrap.wrap(
            shown, WIDTH, initial_indent=indent, subsequent_indent=indent + hang
        )
        assert wrapped(text, indent=indent, hang=hang) == (expected or [indent]), text


def test_a_long_list_of_pots_is_not_taken_apart(monkeypatch):
    text = "; ".join(f"Tulipa 'Apeldoorn' in Pot {n}" for n in range(500))
    expected = textwrap.wrap(text, WIDTH, subsequent_indent="  ")
    monkeypatch.setattr(plain_text.textwrap, "wrap", None)
    assert wrapped(text) == expected
