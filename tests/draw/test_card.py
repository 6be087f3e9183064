"""Planting cards on paper."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PySide6.QtGui import QImage

from bloomline.draw.card import CARD_PAPER_MM, CardPage, card_pages
from bloomline.draw.label_export import page_image, write_pages
from bloomline.files.yardfile import load_yard
from bloomline.plan.card import cards_for
from bloomline.plan.forecaster import Forecaster
from bloomline.plan.yard_season import season_report
from bloomline.reference.catalogue import load_catalogue

DEMO = Path(__file__).parents[2] / "demo" / "hollyhock-lane.bloomline"


@pytest.fixture(scope="module")
def pages() -> tuple[CardPage, ...]:
    yard = load_yard(DEMO).yard
    catalogue = load_catalogue()
    report = season_report(yard, catalogue=catalogue, forecaster=Forecaster())
    cards = cards_for(yard, report, cultivar_of=catalogue.get)
    return card_pages(cards, paper="a5", cultivar_of=catalogue.get)


def _ink(image: QImage) -> np.ndarray:  # type: ignore[type-arg]
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(bytes(grey.constBits()), np.uint8)
    return rows.reshape(grey.height(), grey.bytesPerLine())[:, : grey.width()] < 128


def test_every_pot_has_a_card_and_all_its_text(pages: tuple[CardPage, ...]) -> None:
    firsts = [page for page in pages if page.page == 1]
    assert len(firsts) == len(load_yard(DEMO).yard.pots)
    for first in firsts:
        words = " ".join(
            line.text for page in pages if page.card is first.card for line in page.lines
        )
        for layer in first.card.layers:
            assert f"{layer.letter}: fill to" in words


def test_paper_has_its_size_and_nothing_leaves_the_margins(pages: tuple[CardPage, ...]) -> None:
    for page in pages:
        image = page_image(page, dpi=100)
        width, height = CARD_PAPER_MM["a5"]
        assert (image.width(), image.height()) == (
            round(width / 25.4 * 100),
            round(height / 25.4 * 100),
        )
        ink = _ink(image)
        edge = round(6 / 25.4 * 100)  # 6 mm at least stay white
        assert ink.any()
        assert not ink[:edge].any() and not ink[-edge:].any()
        assert not ink[:, :edge].any() and not ink[:, -edge:].any()


def test_a_batch_is_one_pdf(pages: tuple[CardPage, ...], tmp_path: Path) -> None:
    (path,) = write_pages(pages, tmp_path / "cards.pdf")
    data = path.read_bytes()
    assert data.startswith(b"%PDF")
    assert data.count(b"/Type /Page\n") + data.count(b"/Type /Page ") == len(pages)


def test_pictures_are_numbered(pages: tuple[CardPage, ...], tmp_path: Path) -> None:
    written = write_pages(pages[:2], tmp_path / "card.svg")
    assert [path.name for path in written] == ["card-1.svg", "card-2.svg"]
