"""The axis of months under the plots."""

from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtCore import QLocale

from bloomline.ui.plots import DayPlot, MonthAxis


@pytest.fixture
def axis(qtbot):
    """The axis of a plot on screen that shows 2 December to 1 April."""
    before = QLocale()
    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom))
    plot = DayPlot({"bottom": MonthAxis("bottom")})
    qtbot.addWidget(plot)
    plot.resize(600, 200)
    with qtbot.waitExposed(plot):
        plot.show()  # painted before there are days
    plot.setXRange(date(2026, 12, 2).toordinal(), date(2027, 4, 1).toordinal() + 0.5, padding=0)
    yield plot.getAxis("bottom")
    QLocale.setDefault(before)


def names(axis: MonthAxis, *, size: float) -> list[str]:
    first, last = axis.range
    ((spacing, values),) = axis.tickValues(first, last, size)
    return axis.tickStrings(values, 1.0, spacing)


def test_lines_stand_at_the_first_of_months(axis):
    starts = [date.fromordinal(number) for number in axis.starts()]
    assert starts == [date(2027, month, 1) for month in (1, 2, 3, 4)]


def test_months_are_named_where_there_is_room(axis):
    # Half of 1 April has no room for a name.
    assert names(axis, size=500.0) == ["Dec", "Jan", "Feb", "Mar"]
    assert names(axis, size=90.0) == ["D", "J", "F", "M"]


def test_an_axis_without_days_has_no_months(qtbot):
    plot = DayPlot({"bottom": MonthAxis("bottom")})
    qtbot.addWidget(plot)
    assert plot.getAxis("bottom").starts() == []
