"""What a step of a slider or of the day costs is counted, not timed: engine calls and paints."""

from __future__ import annotations

from collections import Counter
from datetime import timedelta

import pytest
from PySide6.QtCore import QEvent, QObject
from PySide6.QtTest import QTest

from bloomline.model import edits
from bloomline.plan.forecast import forecaster as forecaster_module
from bloomline.plan.forecast.growth import growth_on
from bloomline.plan.season import forecasts
from bloomline.plan.season.outlook import known
from bloomline.plan.season.yard import season_report
from bloomline.ui.page_frame import PageFrame
from bloomline.ui.season.axis import Corner, DayAxis, RowNames
from bloomline.ui.season.geometry import RowTable
from bloomline.ui.season.legend_items import items_of
from bloomline.ui.season.parts import RowsPart, StripPart
from bloomline.ui.shelf.delegate import ShelfDelegate

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


@pytest.fixture
def painted(monkeypatch):
    """How often the parts of timeline and shelf are painted anew, by the name of their class."""
    found = Counter()

    def watch(kind, name):
        real = getattr(kind, name)

        def call(self, *args, **kwargs):
            found[type(self).__name__] += 1
            return real(self, *args, **kwargs)

        monkeypatch.setattr(kind, name, call)

    for part in (DayAxis, RowNames, Corner, StripPart, RowsPart):
        watch(part, "_draw")
    watch(ShelfDelegate, "_paint_entry")
    return found


def test_the_day_line_moves_over_pictures_that_are_kept(window, qtbot, painted) -> None:
    rest(window, qtbot)
    window.document.look_at(window.document.day)
    QTest.qWait(50)
    shelf = window.shelf.view.viewport()
    paints = Paints(season=window.season.view.viewport(), yard=window.yard.canvas, shelf=shelf)
    painted.clear()
    for _ in range(5):
        paints.calls.clear()
        window.document.look_at(window.document.day + timedelta(days=1))
        qtbot.waitUntil(lambda: {"season", "yard", "shelf"} <= paints.calls.keys())
        assert max(paints.calls.values()) == 1, paints.calls
    assert painted == {}


def test_a_step_paints_no_field_axis_or_name_anew(window, qtbot, painted) -> None:
    slider = window.conditions.region.slider
    slider.setSliderPosition((slider.minimum() + slider.maximum()) // 2)
    window.document.select(pot_id=window.document.yard.pots[0].id)
    rest(window, qtbot)
    QTest.qWait(300)  # until prices have come
    fields = [field.editor for field in window.details.page.form.fields.values()]
    watched = {f"field {at}": editor for at, editor in enumerate(fields)}
    paints = Paints(season=window.season.view.viewport(), **watched)
    painted.clear()
    step(window)
    qtbot.waitUntil(lambda: paints.calls["season"] > 0)
    QTest.qWait(30)
    assert set(paints.calls) == {"season"}, paints.calls
    assert painted["RowsPart"] == painted["StripPart"] == 1
    assert {"DayAxis", "RowNames", "ShelfDelegate"}.isdisjoint(painted), painted


def test_what_is_hidden_follows_when_it_is_seen(window, qtbot, monkeypatch) -> None:
    table, legend, season = window.season.table, window.legend, window.season
    slider = window.conditions.region.slider
    slider.setSliderPosition((slider.minimum() + slider.maximum()) // 2)
    rest(window, qtbot)
    told = Counter()
    monkeypatch.setattr(
        "bloomline.ui.season.legend.items_of",
        lambda *args, **kwargs: told.update(["legend"]) or items_of(*args, **kwargs),
    )
    table.modelReset.connect(lambda: told.update(["table"]))
    table.dataChanged.connect(lambda *_: told.update(["table"]))
    step(window)
    rest(window, qtbot)
    assert told == {} and table.is_waiting
    season._actions["season_as_table"].trigger()
    assert told == {"table": 1} and not table.is_waiting
    assert table.rowCount() == len(window.service.report.layers)
    legend.show()
    assert told["legend"] == 1


def test_a_page_out_of_sight_works_nothing_out(window, qtbot, monkeypatch) -> None:
    for name in ("work", "buy"):
        window.pages.go_to(name)
    window.pages.show_page(0)
    rest(window, qtbot)
    asked = []
    monkeypatch.setattr(PageFrame, "refresh", lambda self: asked.append(self.objectName()))
    slider = window.conditions.start.slider
    slider.setSliderPosition(slider.value() + 1)
    rest(window, qtbot)
    assert asked == []


def grown(window, n_pots) -> None:
    """The yard's pots again and again, each under ids of its own."""

    def many(yard):
        pots = []
        for at in range(n_pots):
            pot = yard.pots[at % len(yard.pots)]
            layers = tuple(one.model_copy(update={"id": f"{one.id}-{at}"}) for one in pot.layers)
            pots.append(pot.model_copy(update={"id": f"{pot.id}-{at}", "layers": layers}))
        return yard.model_copy(update={"pots": tuple(pots), "records": ()})

    window.document.edit("Many", many)


def test_of_many_pots_only_those_in_sight_are_asked_how_they_stand(
    window, qtbot, monkeypatch
) -> None:
    grown(window, 40)
    rest(window, qtbot)
    asked = Counter()

    def growth(layer, day):
        asked[layer.layer_id] += 1
        return growth_on(layer, day)

    monkeypatch.setattr("bloomline.ui.yard.growths.growth_on", growth)
    window.document.look_at(window.document.day + timedelta(days=1))
    QTest.qWait(50)
    n_layers = sum(1 for _ in window.document.yard.layers())
    assert 0 < len(asked) < n_layers / 2 and max(asked.values()) == 1


@pytest.mark.parametrize("control", ["region", "start", "year"])
def test_of_many_pots_a_step_makes_layers_and_rows_of_those_in_sight(
    window, qtbot, calls, monkeypatch, control
) -> None:
    grown(window, 200)
    slider = window.conditions.region.slider
    slider.setSliderPosition((slider.minimum() + slider.maximum()) // 2)
    rest(window, qtbot)
    QTest.qWait(300)  # until what is late has come
    rows = Counter()
    real = RowTable._row

    def row(table, index):
        rows["made"] += 1
        return real(table, index)

    monkeypatch.setattr(RowTable, "_row", row)
    calls.clear()
    before = window.service.report
    if control == "region":
        step(window)
    elif control == "start":
        dates = window.conditions.start.slider
        dates.setSliderPosition(dates.value() + 1)
    else:
        window.document.look_at_weather_year(3)
    qtbot.waitUntil(lambda: window.service.report is not before)
    QTest.qWait(30)
    report = window.service.report
    n_layers = report.layer_count
    assert n_layers > 350
    assert len(report.alike) <= 25  # of the demo's 19 layers, some with another number of bulbs
    assert sum(each.n_layers for each in report.alike) == n_layers
    assert "layers" not in report.__dict__
    # Those of the pots in sight and of one pot for each that differs.
    assert calls["_layer_forecast"] < n_layers / 4, calls
    assert 0 < rows["made"] < 60


def test_a_scrolled_row_paints_rows_and_names_alone(window, qtbot, painted) -> None:
    grown(window, 200)
    rest(window, qtbot)
    QTest.qWait(300)
    view = window.season.view
    paints = Paints(season=view.viewport(), yard=window.yard.canvas)
    for _ in range(5):
        paints.calls.clear()
        painted.clear()
        view.scroll_bar.setValue(view.scroll_bar.value() + 40)
        qtbot.waitUntil(lambda: paints.calls["season"] > 0)
        QTest.qWait(20)
        assert paints.calls == {"season": 1}
        assert painted == {"RowsPart": 1, "RowNames": 1}
        assert view.rows.painted_rows < 60
