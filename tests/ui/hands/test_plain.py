"""Typed names where the window shows them: nothing turns round or hides."""

from __future__ import annotations

import unicodedata
from pathlib import Path

from bloomline.ui.hands.plain import shown, unbroken


def test_no_control_and_no_mark_of_direction_is_left() -> None:
    # Bidi_Control of the Unicode Character Database is, by Annex 9, what has one of these classes
    # or is one of the three marks; the standard library carries the database.
    turning = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}
    marks = {"\u200e", "\u200f", "\u061c"}
    odd = [
        each
        for each in map(chr, range(0x110000))
        if unicodedata.category(each) == "Cc"
        or unicodedata.bidirectional(each) in turning
        or each in marks
    ]
    assert len(odd) == 65 + 12
    left = shown("".join(odd))
    assert set(left) == {"\N{REPLACEMENT CHARACTER}", " "}
    assert shown("Täufer’s 水仙 נרקיס") == "Täufer’s 水仙 נרקיס"


def test_title_and_status_line_show_odd_names_safely(qtbot, tmp_path: Path, document) -> None:
    from bloomline.ui.files.questions import Question

    asked = Question(None, "question", "Open a\u202egnp.exe?", "one\ntwo\u2066")
    qtbot.addWidget(asked)
    assert "\u202e" not in asked.text() and asked.informativeText() == "one\ntwo\ufffd"


def test_a_number_keeps_its_unit_on_the_same_line():
    words = unbroken("107 m: 4 weeks, −6.8 °C, in 8 in ten")
    assert words == "107\N{NO-BREAK SPACE}m: 4 weeks, −6.8\N{NO-BREAK SPACE}°C, in 8 in ten"
