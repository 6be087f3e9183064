"""Codes on printed labels, read back from the picture by another library.

The reader is zxing-cpp, which shares no code with segno that made the codes. Both follow
ISO/IEC 18004; figures of the standard are quoted from memory.
"""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import numpy as np
import pytest
import zxingcpp
from PySide6.QtGui import QImage, QPainter
from PySide6.QtSvg import QSvgRenderer

from bloomline.draw.paper.label_code import LEAST_MODULE_MM, code_of, fitting_code
from bloomline.draw.paper.label_export import page_image, write_pages
from bloomline.draw.paper.label_pages import label_pages
from bloomline.plan.paper.labels import Label
from bloomline.reference.label_sheets import load_label_sheets

SHEETS = {sheet.id: sheet for sheet in load_label_sheets()}


@pytest.fixture(autouse=True)
def _one_application(qapp: object) -> None:
    """Have pytest-qt make the application, before a picture makes a lesser one of its own."""


def made(name: str = "Tulipa 'Prinses Irene'", pot: str = "Long trough") -> Label:
    return Label(
        layer_id="l1",
        pot_id="p1",
        name=name,
        kind="tulip",
        colour="orange",
        colour_hex="#EE8F46",
        second_colour_hex=None,
        depth="15 cm of compost over the tips",
        window="Flowers 16 Apr – 4 May 2027",
        pot_name=pot,
        count=22,
        planted=date(2026, 11, 7),
    )


def read(image: QImage) -> list[str]:
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    dots = np.frombuffer(grey.constBits(), np.uint8)
    dots = dots.reshape(grey.height(), grey.bytesPerLine())[:, : grey.width()].copy()
    return [each.text for each in zxingcpp.read_barcodes(dots)]


@pytest.mark.parametrize("dpi", [150, 300])
@pytest.mark.parametrize("sheet_id", sorted(SHEETS))
def test_every_code_of_a_full_sheet_is_read_back(sheet_id: str, dpi: int) -> None:
    sheet = SHEETS[sheet_id]
    labels = [made(f"Tulipa 'Number {n}'") for n in range(sheet.count)]
    (page,) = label_pages(labels, sheet)
    texts = read(page_image(page, dpi=dpi))
    assert sorted(texts) == sorted(each.code.text for each in page.layouts)
    for label, text in zip(labels, sorted(texts, key=_number), strict=True):
        # A small label's code has what matters most, a large one's has everything.
        lines = label.code_lines()
        assert text.split("\n")[:3] == list(lines[:3])
        assert sheet.width_mm < 90 or text == "\n".join(lines)


def _number(text: str) -> int:
    return int(re.findall(r"\d+", text)[0])


@pytest.mark.parametrize("dpi", [150, 300])
@pytest.mark.parametrize(
    ("name", "pot"),
    [
        ("Tulipa 'Żółta Łódź'", "Bütte am Gärtnerhäuschen"),
        ("Hyacinthus 'Été d’Or'", "Pot n° 3, à l’œillet"),
        ("チューリップ 'さくら'", "赤い鉢"),
        ("Тюльпан 'Белая ночь'", "Кадка"),
        ("Narcissus '🌼'", "α & <β>"),
    ],
)
def test_names_of_other_alphabets(name: str, pot: str, dpi: int) -> None:
    (page,) = label_pages([made(name, pot)], SHEETS["a4-2x7"])
    (text,) = read(page_image(page, dpi=dpi))
    assert text.split("\n")[:2] == [name, f"Pot: {pot}"]


def test_an_svg_reads_back_at_its_true_size(tmp_path: Path) -> None:
    sheet = SHEETS["a4-3x7"]
    labels = [made(f"Tulipa 'Number {n}'") for n in range(sheet.count)]
    pages = label_pages(labels, sheet)
    (path,) = write_pages(pages, tmp_path / "labels.svg", title="Labels")
    renderer = QSvgRenderer(str(path))
    assert (renderer.viewBoxF().width(), renderer.viewBoxF().height()) == (2100.0, 2970.0)
    head = path.read_text("utf-8")[:600]
    assert 'width="210mm"' in head and 'height="297mm"' in head
    image = QImage(1240, 1754, QImage.Format.Format_RGB32)  # A4 at 150 dots an inch
    image.fill(0xFFFFFFFF)
    painter = QPainter(image)
    renderer.render(painter)
    painter.end()
    assert sorted(read(image)) == sorted(each.code.text for each in pages[0].layouts)


def test_a_pdf_has_pages_of_the_paper(tmp_path: Path) -> None:
    # ISO 32000: a page's MediaBox is in points of 1/72 inch; A4 is 595.3 by 841.9 of them.
    sheet = SHEETS["a4-2x4"]
    pages = label_pages([made()] * 9, sheet)
    (path,) = write_pages(pages, tmp_path / "labels.pdf", title="Labels")
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", path.read_bytes())
    assert len(boxes) == 2
    for across, down in boxes:
        assert float(across) == pytest.approx(210 / 25.4 * 72, abs=0.6)
        assert float(down) == pytest.approx(297 / 25.4 * 72, abs=0.6)


@pytest.mark.parametrize("letter", ["W", "Ж", "鉢"])
@pytest.mark.parametrize("sheet_id", ["a4-2x4", "letter-3x10"])
def test_longest_names_keep_a_code_that_reads(sheet_id: str, letter: str) -> None:
    label = made(letter * 120, letter * 120)
    (page,) = label_pages([label], SHEETS[sheet_id])
    (text,) = read(page_image(page, dpi=150))
    first = text.split("\n")[0]
    assert first == label.name or (first.endswith("…") and label.name.startswith(first[:-1]))
    assert len(first) > 25


def test_size_and_level_follow_the_standard() -> None:
    # ISO/IEC 18004: a side has 17 + 4 × version modules; level M mends about 15 %, Q 25, H 30.
    # Version 8 at level M holds 152 bytes, version 9 180 (table 7).
    at_8, at_9 = code_of("a" * 152), code_of("a" * 153)
    assert (at_8.version, at_9.version) == (8, 9)
    for code in (at_8, at_9, code_of("short")):
        assert len(code.rows) == 17 + 4 * code.version
        assert code.level in "MQH"
        assert code.modules == len(code.rows) + 8


def test_a_code_stays_large_enough_by_leaving_lines_out() -> None:
    lines = made().code_lines()
    small, large = fitting_code(lines, side_mm=15.0), fitting_code(lines, side_mm=60.0)
    assert large.text == "\n".join(lines)
    assert large.text.startswith(small.text) and small.text != large.text
    assert 15.0 / small.modules >= LEAST_MODULE_MM


def test_a_long_name_of_a_pot_does_not_push_the_rest_out() -> None:
    """The lines that follow it are kept as far as they fit, and the code reads."""
    label = made(pot="Ω" * 75)
    code = fitting_code(label.code_lines(), side_mm=20.0)
    assert code.text.splitlines()[0] == "Tulipa 'Prinses Irene'"
    assert "Planted: 2026-11-07" in code.text
    assert "Depth: 15 cm" in code.text
    assert "Ω" not in code.text
    assert 20.0 / code.modules >= LEAST_MODULE_MM
