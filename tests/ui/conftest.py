"""An open yard and its season for tests of the window's parts."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtGui import QFont, QPalette
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from bloomline.draw.base.petals import LIGHT
from bloomline.files.yardfile import load_yard
from bloomline.model.yard import PlaceChoice, Yard
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.reference.catalogue import load_catalogue
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import dress

DEMO = Path(__file__).parent.parent.parent / "demo" / "hollyhock-lane.bloomline"


@pytest.fixture(scope="session")
def forecaster() -> Forecaster:
    """One forecaster for all tests: the needs are solved once."""
    return Forecaster()


@pytest.fixture(autouse=True)
def bare_clipboard(qapp: QApplication) -> None:
    """Nothing on the clipboard that another test put there."""
    qapp.clipboard().clear()


@pytest.fixture
def clock() -> Callable[[], date]:
    """What day it is for the window; a test that looks at one day says which."""
    return date.today


@pytest.fixture
def document(qapp: object, forecaster: Forecaster, clock: Callable[[], date]) -> Document:
    """The demo yard."""
    return Document(
        load_yard(DEMO).yard, catalogue=load_catalogue(), forecaster=forecaster, clock=clock
    )


@pytest.fixture
def empty_document(qapp: object, forecaster: Forecaster, clock: Callable[[], date]) -> Document:
    """A yard without pots, at the reference garden."""
    yard = Yard(
        name="Empty yard",
        place=PlaceChoice(
            station_id="00003772",
            name="Heathrow, United Kingdom",
            latitude_deg=51.479,
            longitude_deg=-0.451,
        ),
        season_year=2027,
    )
    return Document(yard, catalogue=load_catalogue(), forecaster=forecaster, clock=clock)


def _ready(document: Document, qtbot: QtBot) -> Iterator[SeasonService]:
    service = SeasonService(document)
    with qtbot.waitSignal(service.report_ready, timeout=20_000):
        service.refresh()
    yield service
    service.stop()


@pytest.fixture
def service(document: Document, qtbot: QtBot) -> Iterator[SeasonService]:
    """The demo yard's season, worked out."""
    yield from _ready(document, qtbot)


@pytest.fixture
def empty_service(empty_document: Document, qtbot: QtBot) -> Iterator[SeasonService]:
    """The empty yard's season, worked out."""
    yield from _ready(empty_document, qtbot)


@pytest.fixture
def dressed(qapp: QApplication) -> Iterator[None]:
    """The program's own font and sheet, as `ui.app` puts them on."""
    font, palette = QFont(qapp.font()), QPalette(qapp.palette())
    dress(qapp, LIGHT)
    yield
    qapp.setStyleSheet("")
    qapp.setPalette(palette)
    qapp.setFont(font)
