"""Texts that come in any order are written in theirs, as soon as they can be."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bloomline.cli.in_order import InOrder


@given(st.permutations([f"{n} – ä\r\n\ud800" for n in range(9)]).flatmap(st.just))
def test_every_order_gives_the_same(texts):
    written = []
    waiting = InOrder(written.append)
    ordered = sorted(texts)
    for text in texts:
        waiting.put(ordered.index(text), text)
    waiting.close()
    assert written == ordered


def test_nothing_waits_without_need():
    written = []
    waiting = InOrder(written.append)
    waiting.put(0, "a")
    assert written == ["a"]
    waiting.put(2, "c")
    assert written == ["a"]
    waiting.put(1, "b")
    assert written == ["a", "b", "c"]
    waiting.close()
