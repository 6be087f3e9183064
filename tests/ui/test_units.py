from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtCore import QLocale, Qt
from PySide6.QtTest import QTest

from bloomline.model import edits
from bloomline.plan.words.units import units_of as plan_units_of
from bloomline.ui.units import LengthSpinBox, Units, follow_system, units_of
from bloomline.words import day_words
from bloomline.words.region import use_habits

METRIC, IMPERIAL = Units(), Units(imperial=True)


@pytest.mark.parametrize(
    ("units", "length_cm", "words"),
    [
        (METRIC, 30.0, "30 cm"),
        (METRIC, 12.4, "12 cm"),
        # 1 inch is 2.54 cm exactly (international yard and pound agreement, 1959)
        (IMPERIAL, 2.54, "1 in"),
        (IMPERIAL, 30.0, "11.8 in"),
    ],
)
def test_lengths(qapp, units, length_cm, words) -> None:
    assert units.length(length_cm) == words


def test_temperatures_and_weights(qapp) -> None:
    # Fixed points of both scales; −40 is the same on both. 1 lb is 0.45359237 kg exactly.
    assert IMPERIAL.temperature(0.0) == "32 °F"
    assert IMPERIAL.temperature(100.0) == "212 °F"
    assert IMPERIAL.temperature(-40.0) == "-40 °F"
    assert METRIC.temperature(9.0) == "9 °C"
    assert IMPERIAL.mass(0.45359237) == "1 lb"
    assert METRIC.mass(12.25) == "12.2 kg" or METRIC.mass(12.25) == "12.3 kg"


def test_whole_numbers_keep_their_noughts(qapp) -> None:
    assert METRIC.length(100.0) == "100 cm"
    assert METRIC.length(100.0, decimals=1) == "100 cm"


def test_a_decimal_comma_where_the_language_has_one(qapp, pseudo_language) -> None:
    assert Units().length(12.5, decimals=1) == "12,5 cm"


def test_the_yards_setting_goes_before_the_systems(document, monkeypatch) -> None:
    assert not units_of(document.yard).imperial
    assert units_of(edits.change_settings(document.yard, units="imperial")).imperial
    plain = edits.change_settings(document.yard, units=None)
    for locale, is_imperial, month_first in (
        # By the CLDR's measurement systems; Britain's own one has cm and °C.
        ("en_US", True, True),
        ("de_DE", False, False),
        ("en_GB", False, False),
    ):
        monkeypatch.setattr("bloomline.ui.units.system_locale", lambda name=locale: QLocale(name))
        follow_system()
        assert units_of(plain).imperial is is_imperial
        # The rules of planning, whose words the window shows, answer in the same units.
        assert plan_units_of(plain).imperial is is_imperial
        assert day_words(date(2027, 4, 22)) == ("April 22" if month_first else "22 April")
    metric = edits.change_settings(document.yard, units="metric")
    use_habits(imperial=True, month_first=False)
    assert not units_of(metric).imperial


@pytest.mark.parametrize(
    ("typed", "length_cm"),
    [("12", 12.0), ("12.5 cm", 12.5), ("10 in", 25.4), ('10"', 25.4), ("45mm", 4.5), ("1,5", 1.5)],
)
def test_any_unit_may_be_typed(qtbot, typed, length_cm) -> None:
    box = LengthSpinBox()
    qtbot.addWidget(box)
    told: list[float] = []
    box.length_changed.connect(told.append)
    box.lineEdit().setText(typed)
    QTest.keyClick(box, Qt.Key.Key_Return)
    assert told == [pytest.approx(length_cm)]


def test_in_inches_a_plain_number_is_inches(qtbot) -> None:
    box = LengthSpinBox()
    qtbot.addWidget(box)
    box.set_length_cm(30.0)
    box.set_units(IMPERIAL)
    assert box.text() == "11.81 in"
    assert box.length_cm == 30.0  # showing it in inches does not round it
    told: list[float] = []
    box.length_changed.connect(told.append)
    box.lineEdit().setText("12")
    QTest.keyClick(box, Qt.Key.Key_Return)
    assert told == [pytest.approx(30.48)]


def test_showing_a_length_is_no_change(qtbot) -> None:
    box = LengthSpinBox()
    qtbot.addWidget(box)
    told: list[float] = []
    box.length_changed.connect(told.append)
    box.set_length_cm(20.0)
    box.set_units(IMPERIAL)
    assert told == []
    box.stepUp()
    assert len(told) == 1
