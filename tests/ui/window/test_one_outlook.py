"""Unticking the records or choosing a weather year: no two pages say different things."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

import pytest
from pytestqt.qtbot import QtBot

from bloomline.plan.season.yard import season_report
from bloomline.ui.buy.page import BuyPage
from bloomline.ui.document import Document
from bloomline.ui.labels.jobs import PrintWish, pages_of
from bloomline.ui.records.page import RecordsPage
from bloomline.ui.season_service import SeasonService
from bloomline.ui.work.page import WorkPage

TODAY = date(2027, 2, 1)
Starts = dict[str, date]


@pytest.fixture
def clock() -> Callable[[], date]:
    return lambda: TODAY


@pytest.fixture
def pages(
    document: Document, service: SeasonService, qtbot: QtBot
) -> Iterator[tuple[WorkPage, BuyPage, RecordsPage]]:
    """Pages that are open at the same time."""
    made = (
        WorkPage(document, service),
        BuyPage(document, service),
        RecordsPage(document, service),
    )
    for page in made:
        qtbot.addWidget(page)
        page.show()
    yield made
    for page in made:
        page.stop()


def on_timeline(service: SeasonService) -> Starts:
    """The day by which a layer is in flower in nine years of ten."""
    assert service.report is not None
    return {each.layer_id: each.start.p90 for each in service.report.layers if each.start}


def on_work_page(work: WorkPage) -> Starts:
    """The last day on which the first flower of a layer is looked for."""
    assert work._worked is not None
    return {
        layer_id: span.last
        for task in work._worked.plan.tasks
        for span in task.spans
        if span.key.startswith("first-flower:")
        for layer_id in span.layer_ids
    }


def settled(work: WorkPage, document: Document, qtbot: QtBot) -> None:
    def is_settled() -> bool:
        idle = not any(each.is_busy for each in work._besides)
        return idle and work._answered is document.outlook.usual and work._worked is not None

    qtbot.waitUntil(is_settled, timeout=20_000)


def test_unticking_the_records_changes_every_page_alike(
    pages: tuple[WorkPage, BuyPage, RecordsPage],
    document: Document,
    service: SeasonService,
    qtbot: QtBot,
) -> None:
    work, _, records = pages
    settled(work, document, qtbot)
    taught = on_timeline(service)
    for use in (False, True):
        with qtbot.waitSignal(service.report_ready, timeout=20_000):
            records.learned.use.click()
        assert document.use_records is use
        settled(work, document, qtbot)
        shown, at_work = on_timeline(service), on_work_page(work)
        assert len(at_work) > 10
        assert at_work == {layer_id: shown[layer_id] for layer_id in at_work}
        assert (shown == taught) is use


def test_a_weather_year_changes_the_timeline_alone(
    pages: tuple[WorkPage, BuyPage, RecordsPage],
    document: Document,
    service: SeasonService,
    qtbot: QtBot,
) -> None:
    work, buy, _ = pages
    settled(work, document, qtbot)
    qtbot.waitUntil(lambda: buy._listed is not None, timeout=20_000)
    usual, at_work, listed = on_timeline(service), on_work_page(work), buy._listed
    wish = PrintWish("a4-2x7")
    labels = pages_of(document.outlook.usual, wish)
    with qtbot.waitSignal(service.report_ready, timeout=20_000):
        document.look_at_weather_year(0)
    assert on_timeline(service) != usual
    assert pages_of(document.outlook.usual, wish) is labels
    settled(work, document, qtbot)
    assert on_work_page(work) == at_work and buy._listed is listed
    assert season_report(document.outlook.usual).weather_year is None


def test_another_day_is_another_outlook(document: Document, qtbot: QtBot) -> None:
    before = document.outlook
    assert before.today == TODAY and document.outlook is before
    document._clock = lambda: date(2027, 2, 2)
    with qtbot.waitSignal(document.outlook_changed, timeout=1000):
        after = document.outlook
    assert after.today == date(2027, 2, 2) and after.yard is before.yard
