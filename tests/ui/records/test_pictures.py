"""Where things lie in the pictures of records, and the words beside them."""

from __future__ import annotations

from datetime import date, timedelta
from types import SimpleNamespace

from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QScrollArea

from bloomline.draw.base.petals import DARK, LIGHT
from bloomline.draw.season.signs import stage_outline
from bloomline.model.yard import Record
from bloomline.plan.records.stages import SEEN_ORDER
from bloomline.plan.season.lesson import RecordRow
from bloomline.ui.records.fact_plot import FactPlot, band_of
from bloomline.ui.records.history import HistoryView, first_days
from bloomline.ui.records.history_plot import Sighting, days_across, lines_of
from bloomline.ui.records.marks import stage_colour, stage_icon
from bloomline.ui.records.words import COMMON_YEAR, apart_words, readable, season_day, signed_days
from bloomline.ui.theme import dress


def fact(day: date, *, off: float, low: int = -10, high: int = 12) -> SimpleNamespace:
    middle = day - timedelta(days=round(off))
    return SimpleNamespace(
        record=Record(id="record-1", day=day, layer_id="layer-1", seen="full"),
        season_year=day.year,
        expected=middle,
        p10=middle + timedelta(days=low),
        p90=middle + timedelta(days=high),
        residual_days=off,
        problem="",
    )


def test_the_picture_holds_every_error_and_the_band(qtbot) -> None:
    plot = FactPlot()
    qtbot.addWidget(plot)
    plot.resize(700, 360)
    facts = [fact(date(2026, 2, 3), off=-17.0), fact(date(2025, 5, 20), off=6.0)]
    plot.show_facts(facts)
    with qtbot.waitExposed(plot):
        plot.show()
    assert band_of(facts) == (-10.0, 12.0)
    low, high = plot.places
    assert low[1] is facts[0] and high[1] is facts[1]
    assert low[0].x() < high[0].x() and low[0].y() > high[0].y()  # later is higher
    (first, last), (least, most) = plot.viewRange()
    assert least < -17.0 and most > 12.0 and least == -most
    days = [season_day(each.record.day, each.season_year) for each in facts]
    begin = date(COMMON_YEAR, 1, 1).toordinal()
    assert first < begin + min(days) and begin + max(days) + 1 < last
    plot.show_facts([])
    assert plot.places == []


def test_autumn_lies_before_its_season() -> None:
    assert season_day(date(2026, 12, 31), 2027) == -1
    assert season_day(date(2027, 1, 1), 2027) == 0


def test_a_date_lies_in_the_same_place_in_leap_years() -> None:
    assert season_day(date(2028, 4, 10), 2028) == season_day(date(2027, 4, 10), 2027) == 99
    assert season_day(date(2028, 2, 29), 2028) == season_day(date(2028, 2, 28), 2028)
    assert season_day(date(2024, 11, 1), 2025) == season_day(date(2026, 11, 1), 2027) == -61


def record(name: str, day: date, seen: str = "first-flower") -> Record:
    return Record(id=name, day=day, layer_id="layer-1", seen=seen)


def sightings() -> list[Sighting]:
    return [
        Sighting(record("a", date(2025, 4, 10)), 2025, None),
        Sighting(record("b", date(2026, 4, 2)), 2026, None),
        Sighting(record("c", date(2026, 4, 4)), 2026, None),
        Sighting(record("d", date(2026, 4, 20), "over"), 2026, None),
        Sighting(record("e", date(2025, 3, 1), "nose"), 2025, None),
    ]


def test_seasons_stand_below_each_other_with_their_stages_in_order() -> None:
    lines = lines_of(sightings())
    assert [line.season_year for line in lines] == [2026, 2025]
    assert [each.record.id for each in lines[0].sightings] == ["b", "c", "d"]
    assert [each.record.id for each in lines[1].sightings] == ["e", "a"]
    assert first_days(lines) == {2026: 92.0, 2025: 99.0}
    first, last = days_across(lines)
    assert first < season_day(date(2025, 3, 1), 2025)
    assert last > season_day(date(2026, 4, 20), 2026)
    assert days_across([]) is None


def test_the_history_says_which_year_was_early(qtbot) -> None:
    view = HistoryView()
    qtbot.addWidget(view)
    view.resize(800, 500)
    rows = tuple(
        RecordRow(each.record, "A pot", "narcissus-x", "Narcissus 'X'", each.season_year)
        for each in sightings()
    )
    view.show_rows(rows)
    view.show()
    assert "earliest 2026 (3 Apr)" in view.words.text()
    assert "latest 2025 (10 Apr)" in view.words.text()
    table = view.table
    shown = [[table.line(r).cells[c] for c in range(6)] for r in range(table.row_count())]
    assert shown == [
        ["2026", "", "2 Apr, 4 Apr", "", "20 Apr", "4 days earlier"],
        ["2025", "1 Mar", "10 Apr", "", "", "4 days later"],
    ]
    qtbot.waitExposed(view)
    view.plot.repaint()
    places = {each.record.id: place for place, each in view.plot.places}
    assert places["b"].y() < places["a"].y()  # 2026 stands above 2025
    assert places["b"].x() < places["a"].x() < places["d"].x()
    with qtbot.waitSignal(view.record_chosen, timeout=1000) as told:
        QTest.mouseClick(view.plot.viewport(), Qt.MouseButton.LeftButton, pos=places["d"].toPoint())
    assert told.args == ["d"]


def test_the_wheel_scrolls_many_seasons(qtbot) -> None:
    view = HistoryView()
    qtbot.addWidget(view)
    view.resize(800, 420)
    rows = tuple(
        RecordRow(
            record(f"r{year}", date(year, 4, 1)), "A pot", "narcissus-x", "Narcissus 'X'", year
        )
        for year in range(2000, 2026)
    )
    view.show_rows(rows)
    with qtbot.waitExposed(view):
        view.show()
    area = view.findChild(QScrollArea, "history_scroll")
    at = view.plot.viewport().mapTo(view, QPoint(300, 100))
    window = view.plot.viewRange()
    QTest.wheelEvent(view.windowHandle(), QPointF(at), QPoint(0, -240))
    QApplication.processEvents()
    assert area.verticalScrollBar().value() > 0
    assert view.plot.viewRange() == window


def test_stages_differ_in_shape_as_in_colour(qapp) -> None:
    at = QPointF(10, 10)
    outlines = {seen: stage_outline(seen, at, 5.0).toFillPolygon().toList() for seen in SEEN_ORDER}
    assert len({tuple((p.x(), p.y()) for p in each) for each in outlines.values()}) == 4
    # The chart's sign of full flower is a lozenge, so no other stage may be one.
    corners = {seen: len(each) - 1 for seen, each in outlines.items()}
    assert [seen for seen, n in corners.items() if n == 4] == ["full"]
    try:
        for theme in (LIGHT, DARK):
            dress(qapp, theme)
            assert len({stage_colour(seen) for seen in SEEN_ORDER}) == 4
            assert not stage_icon("full").pixmap(32, 32).isNull()
    finally:
        dress(qapp, LIGHT)


def test_no_days_have_no_sign() -> None:
    assert signed_days(-0.2) == "0"
    assert signed_days(0.04, 1) == "0.0"
    assert signed_days(-3.0)[0] == "−" and signed_days(3.0)[0] == "+"


def test_words() -> None:
    assert [signed_days(days) for days in (3.4, -4.0, 0.2, -0.3)] == ["+3", "−4", "0", "0"]
    assert signed_days(-0.04, 1) == "0.0" and signed_days(-1.25, 1) in ("−1.2", "−1.3")
    assert [apart_words(days) for days in (0.4, 1.0, -1.0, 12.0, -3.0)] == [
        "on the very day", "1 day later", "1 day earlier", "12 days later", "3 days earlier",
    ]  # fmt: skip
    assert readable("over lies after full, seen on 2026-04-03") == (
        "Over lies after full, seen on 3 Apr 2026."
    )
    assert readable("is the day right?") == "Is the day right?"
    assert readable("") == ""
