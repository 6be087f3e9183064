"""The demo yard with invented records made round its forecasts: what they teach is known."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, timedelta
from functools import partial
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from bloomline.files.yardfile import load_yard
from bloomline.model.record_edits import add_records
from bloomline.model.yard import Record, Seen, Yard
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.records.facts import facts_of
from bloomline.plan.season.outlook import find_cultivar
from bloomline.reference.catalogue import load_catalogue
from bloomline.ui.document import Document
from bloomline.ui.records.page import RecordsPage
from bloomline.ui.season_service import SeasonService

DEMO = Path(__file__).parents[3] / "demo" / "hollyhock-lane.bloomline"
TODAY = date(2027, 6, 20)
LATE_DAYS = 5
SEASONS = (2024, 2025, 2026)

Expected = Callable[[str, Seen, int], date]
Settle = Callable[[RecordsPage], None]


def day_in(season: int) -> date:
    return date(season, 4, 1)


@pytest.fixture(scope="session")
def bare_yard() -> Yard:
    """The demo yard without records."""
    return load_yard(DEMO).yard.model_copy(update={"records": ()})


@pytest.fixture(scope="session")
def expected(bare_yard: Yard, forecaster: Forecaster) -> Expected:
    """The forecast of a stage of a layer for a season."""
    cultivar_of = partial(find_cultivar, bare_yard, catalogue=load_catalogue())

    def ask(layer_id: str, seen: Seen, season: int) -> date:
        record = Record(id="asked", day=day_in(season), layer_id=layer_id, seen=seen)
        (fact,) = facts_of(
            bare_yard,
            records=[record],
            cultivar_of=cultivar_of,
            forecaster=forecaster,
            garden=garden_of(bare_yard.place),
        )
        assert fact.expected is not None
        return fact.expected

    return ask


@pytest.fixture(scope="session")
def spring_layers(bare_yard: Yard) -> list[str]:
    """Layers that flower in spring, of different cultivars."""
    catalogue = load_catalogue()
    found: dict[str, str] = {}
    for _, layer in bare_yard.layers():
        cultivar = find_cultivar(bare_yard, layer.cultivar_id, catalogue=catalogue)
        if cultivar.flowers_in == "spring":
            found.setdefault(cultivar.id, layer.id)
    return list(found.values())


@pytest.fixture(scope="session")
def rich_yard(bare_yard: Yard, expected: Expected, spring_layers: list[str]) -> Yard:
    """Three seasons of records, all five days late."""
    records = [
        Record(
            id=f"line-{layer_id}-{season}-{seen}",
            day=expected(layer_id, seen, season) + timedelta(days=LATE_DAYS),
            layer_id=layer_id,
            seen=seen,
        )
        for layer_id in spring_layers[:5]
        for season in SEASONS
        for seen in ("first-flower", "over")
    ]
    return add_records(bare_yard, records)


@pytest.fixture
def document(qapp: object, rich_yard: Yard, forecaster: Forecaster) -> Document:
    """The yard with its records."""
    return Document(
        rich_yard, catalogue=load_catalogue(), forecaster=forecaster, clock=lambda: TODAY
    )


@pytest.fixture
def page(
    document: Document,
    service: SeasonService,
    settle: Settle,
    qtbot: QtBot,
) -> Iterator[RecordsPage]:
    made = RecordsPage(document, service)
    qtbot.addWidget(made)
    made.resize(1280, 740)
    made.show()
    settle(made)
    yield made
    made.stop()
    made.stop()


@pytest.fixture
def settle(qtbot: QtBot) -> Settle:
    """Waits until a page shows the yard as it is now."""

    def wait(page: RecordsPage) -> None:
        def is_settled() -> bool:
            yard = page._document.yard
            return (
                not page.is_busy
                and page.listed is not None
                and page.listed.yard is yard
                and page.lesson is not None
                and page.lesson.yard is yard
            )

        qtbot.waitUntil(is_settled, timeout=15_000)

    return wait
