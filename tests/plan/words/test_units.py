"""Figures in words.

Factors: NIST Special Publication 811 (2008), appendix B.8, recalled from memory: inch 2.54 E+00
cm and pound (avoirdupois) 4.535 924 E-01 kg, cubic foot 2.831 685 E-02 m3, and
t/degC = (t/degF - 32)/1.8.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.model.yard import PlaceChoice, Settings, Yard
from bloomline.plan.words.units import METRIC, Units, units_of

IMPERIAL = Units(imperial=True)


@pytest.mark.parametrize(
    ("length_cm", "words"),
    [
        (0.0, "0 in"),
        (2.54, "1 in"),
        (3.175, "1¼ in"),
        (1.905, "¾ in"),
        (1.5875, "⅝ in"),  # under 4 cm to an eighth
        (26.9, "10½ in"),  # 10.59 in: nearer to a half than to three quarters
        (30.48, "12 in"),
        (91.44, "36 in"),
    ],
)
def test_inches_as_on_a_tape(length_cm: float, words: str) -> None:
    assert IMPERIAL.tape(length_cm) == words


@pytest.mark.parametrize(
    ("length_cm", "words"),
    [(26.9, "27 cm"), (22.4, "22.5 cm"), (22.2, "22 cm"), (2.46, "2.5 cm"), (1.9, "1.9 cm")],
)
def test_centimetres_as_on_a_tape(length_cm: float, words: str) -> None:
    assert METRIC.tape(length_cm) == words


_PARTS = {"⅛": 1, "¼": 2, "⅜": 3, "½": 4, "⅝": 5, "¾": 6, "⅞": 7}


@given(st.floats(0, 200))
def test_a_tape_is_never_further_off_than_half_its_step(length_cm: float) -> None:
    words = IMPERIAL.tape(length_cm).removesuffix(" in")
    eighths = _PARTS.get(words[-1:], 0)
    whole = words.rstrip("".join(_PARTS)) or "0"
    read_cm = (int(whole) + eighths / 8) * 2.54
    assert abs(read_cm - length_cm) <= 2.54 / (16 if length_cm < 4 else 8) + 1e-9
    metric = float(METRIC.tape(length_cm).removesuffix(" cm"))
    assert abs(metric - length_cm) <= (0.05 if length_cm < 4 else 0.25) + 1e-9


def test_weights_volumes_and_degrees_by_nist() -> None:
    assert IMPERIAL.mass(4.535924, decimals=3) == "10 lb"
    assert IMPERIAL.volume(28.31685) == "1 cu ft (28 L)"
    assert IMPERIAL.volume(283.1685) == "10 cu ft (283 L)"
    assert IMPERIAL.volume(1.4158) == "0.05 cu ft (1.4 L)"
    assert IMPERIAL.temperature(-17.7777778) == "0 °F"
    assert IMPERIAL.temperature(-5.0) == "23 °F"
    assert METRIC.volume(7.34) == "7.3 L" and METRIC.volume(80.2) == "80 L"
    assert METRIC.temperature(-0.2) == "0 °C"


@given(st.floats(0.01, 1e4))
def test_lengths_there_and_back(length_cm: float) -> None:
    assert IMPERIAL.length_cm(IMPERIAL.length_number(length_cm)) == pytest.approx(
        length_cm, abs=6e-4
    )


@pytest.mark.parametrize(
    ("said", "imperial"), [(None, False), ("metric", False), ("imperial", True)]
)
def test_the_yard_says_which(said, imperial) -> None:
    place = PlaceChoice(name="x", latitude_deg=0, longitude_deg=0)
    yard = Yard(name="y", place=place, season_year=2027, settings=Settings(units=said))
    assert units_of(yard).imperial is imperial
