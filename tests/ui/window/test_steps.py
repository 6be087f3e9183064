"""What a step of the region slider costs is counted, not timed: engine calls and paints."""

from __future__ import annotations

from collections import Counter

import pytest
from PySide6.QtCore import QEvent, QObject
from PySide6.QtTest import QTest

from bloomline.model import edits
from bloomline.plan.forecast import forecaster as forecaster_module
from bloomline.plan.season import forecasts
from bloomline.plan.season.outlook import known
from bloomline.plan.season.yard import season_report

ENGINE = ("weather_for", "prepare", "flowering_days")


class Paints(QObject):
    """Counts the paints of some widgets."""

    def __init__(self, **widgets) -> None:
        super().__init__()
        self.calls = Counter()
        self._names = {widget: name for name, widget in widgets.items()}
        for widget in widgets.values():
            widget.installEventFilter(self)

    def eventFilter(self, watched, event) -> bool:
        if event.type() == QEvent.Type.Paint:
            self.calls[self._names[watched]] += 1
        return False


@pytest.fixture
def calls(monkeypatch):
    """Calls of the engine and reports made, by name, in whichever thread."""
    found = Counter()

    def watch(module, name):
        real = getattr(module, name)

        def call(*args, **kwargs):
            found[name] += 1
            return real(*args, **kwargs)

        monkeypatch.setattr(module, name, call)

    for name in ENGINE:
        watch(forecaster_module, name)
    watch(forecasts, "_layer_forecast")
    watch(forecasts, "pot_summary")
    return found


def rest(window, qtbot) -> None:
    """Wait until nothing is worked out any more, nor will be soon."""

    def is_over() -> bool:
        busy = window.service.is_busy or window.shelf.season.is_busy
        return not (busy or window.conditions.ahead.is_busy)

    qtbot.waitUntil(is_over, timeout=20_000)
    QTest.qWait(20)


def step(window, by: int = 1) -> None:
    slider = window.conditions.region.slider
    slider.setSliderPosition(slider.value() + by)


def test_a_step_to_a_prepared_place_works_nothing_out(window, qtbot, calls) -> None:
    slider = window.conditions.region.slider
    slider.setSliderPosition((slider.minimum() + slider.maximum()) // 2)
    rest(window, qtbot)
    paints = Paints(season=window.season.view.viewport(), yard=window.yard.canvas)
    for by in (1, -1):
        place = window.document.place_looked_at
        calls.clear()
        paints.calls.clear()
        step(window, by)
        assert window.document.place_looked_at != place
        # It is shown already, before any event is handled.
        assert window.service.report is season_report(window.document.seen_outlook)
        assert not calls.keys() & {*ENGINE, "_layer_forecast"}
        qtbot.waitUntil(lambda: {"season", "yard"} <= paints.calls.keys())
        QTest.qWait(30)
        assert max(paints.calls.values()) <= 2, paints.calls
        rest(window, qtbot)


def test_a_step_to_another_place_asks_the_engine_once(window, qtbot, calls) -> None:
    slider = window.conditions.region.slider
    slider.setSliderPosition(slider.minimum() + 5)
    rest(window, qtbot)
    n_layers = sum(1 for _ in window.document.yard.layers())
    calls.clear()
    with qtbot.waitSignal(window.service.report_ready):
        slider.setSliderPosition(slider.maximum() - 5)
    assert calls["weather_for"] == calls["prepare"] == 1
    assert calls["flowering_days"] <= 2
    assert calls["_layer_forecast"] <= n_layers
    assert calls["pot_summary"] <= len(window.document.yard.pots)


def test_few_places_are_prepared_and_kept_and_none_outlives_an_edit(window, qtbot) -> None:
    document, region = window.document, window.conditions.region
    region.slider.setSliderPosition(region.slider.minimum() + 10)
    rest(window, qtbot)
    near = region.next_places()
    assert all(known(season_report, document.outlook_at(each)) is not None for each in near)
    seen = [document.outlook_at(place) for place in near]
    for _ in range(12):
        step(window)
        document.outlook_at(region.next_places()[0])
    assert len(document._elsewhere) <= document.places_kept
    layer = document.yard.pots[0].layers[0]
    document.edit("Count", lambda a_yard: edits.change_layer(a_yard, layer.id, count=3))
    assert document.outlook_at(near[0]) not in seen
    assert known(season_report, document.outlook_at(near[0])) is None


def test_an_edit_prepares_no_places_that_nobody_looks_at(window, qtbot, calls) -> None:
    rest(window, qtbot)
    layer = window.document.yard.pots[0].layers[0]
    calls.clear()
    window.document.edit("Count", lambda a_yard: edits.change_layer(a_yard, layer.id, count=3))
    QTest.qWait(300)
    rest(window, qtbot)
    assert calls["weather_for"] == 0
