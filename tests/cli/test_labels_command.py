from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
import zxingcpp
from pypdf import PdfReader
from PySide6.QtGui import QImage

from bloomline.cli.main import main


@pytest.fixture
def demo(checkout: Path) -> str:
    return str(checkout / "demo" / "hollyhock-lane.bloomline")


def codes(path: Path) -> list[str]:
    image = QImage(str(path)).convertToFormat(QImage.Format.Format_Grayscale8)
    dots = np.frombuffer(image.constBits(), np.uint8)
    dots = dots.reshape(image.height(), image.bytesPerLine())[:, : image.width()].copy()
    return [each.text for each in zxingcpp.read_barcodes(dots)]


def test_a_png_a_page_and_codes_that_read(demo, tmp_path, capsys) -> None:
    out = tmp_path / "labels.png"
    assert main(["labels", demo, "--out", str(out), "--dpi", "150"]) == 0
    paths = [Path(line) for line in capsys.readouterr().out.splitlines()]
    assert [path.name for path in paths] == ["labels-1.png", "labels-2.png"]
    yard = json.loads(Path(demo).read_text("utf-8"))
    assert sum(len(codes(path)) for path in paths) == sum(len(p["layers"]) for p in yard["pots"])
    assert sorted(path.name for path in tmp_path.iterdir()) == ["labels-1.png", "labels-2.png"]


def test_one_pot_on_a_part_used_sheet(demo, tmp_path) -> None:
    out = tmp_path / "one.png"
    args = ["labels", demo, "--out", str(out), "--pot", "zinc tub", "--dpi", "150"]
    assert main([*args, "--skip", "6", "--cut-marks"]) == 0
    texts = codes(out)
    assert len(texts) == 2 and all("Pot: Zinc tub" in text for text in texts)
    # Six used labels are three whole rows: the page is white above the first cut mark.
    image = QImage(str(out))
    top = int((15.15 + 3 * 38.1 - 3) / 25.4 * 150)
    assert all(image.pixelColor(x, y).lightness() == 255 for y in (50, top) for x in range(1000))


@pytest.mark.parametrize("more", [[], ["--overview"], ["--sheet", "letter-stick"]])
@pytest.mark.parametrize("suffix", ["pdf", "svg"])
def test_other_formats(demo, tmp_path, suffix, more) -> None:
    out = tmp_path / f"labels.{suffix}"
    assert main(["labels", demo, "--out", str(out), *more]) == 0
    for path in tmp_path.iterdir():
        head = path.read_bytes()[:400]
        assert head.startswith(b"%PDF") if suffix == "pdf" else b"<svg" in head


@pytest.mark.filterwarnings("ignore::BytesWarning")  # the reader compares bytes with numbers
@pytest.mark.parametrize(
    ("more", "what"),
    [
        (["labels"], "labels"),
        (["labels", "--overview"], "what is in which pot"),
        (["card", "--pot", "Stone sink"], "planting cards"),
    ],
)
def test_a_pdf_says_whose_it_is_and_what(demo, tmp_path, more, what) -> None:
    out = tmp_path / "out.pdf"
    assert main([more[0], demo, *more[1:], "--out", str(out)]) == 0
    # ISO 32000, 14.3.3: Title in the document information dictionary.
    metadata = PdfReader(out).metadata
    assert metadata is not None
    yard = json.loads(Path(demo).read_text("utf-8"))
    assert metadata.title == f"{yard['name']}: {what}"


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (["--out", "x.doc"], "a .pdf, .png or .svg file"),
        (["--out", "x.pdf", "--sheet", "b5"], "a4-3x7"),
        (["--out", "x.pdf", "--skip", "14"], "0 to 13"),
        (["--out", "x.pdf", "--pot", "nowhere"], "nowhere"),
        (["--out", "x.pdf", "--overview", "--skip", "2"], "not for --overview"),
        (["--out", "no/such/folder/x.pdf"], "another folder"),
    ],
)
def test_what_is_refused(demo, tmp_path, monkeypatch, capsys, more, words) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["labels", demo, *more]) in (2, 3)
    assert words in capsys.readouterr().err
    assert not list(tmp_path.iterdir())


def test_find_ranks_what_it_could_be(demo, capsys) -> None:
    seen = ["--colour", "white", "--scented", "--opened", "2027-04-21"]
    assert main(["find", demo, *seen, "--format", "json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found[0]["cultivar"] == "Narcissus 'Geranium'"
    assert sum(each["share"] for each in found) == pytest.approx(1.0, abs=0.01)
    assert main(["find", demo, *seen, "--pot", "Zinc tub"]) == 0
    out = capsys.readouterr().out
    assert "Geranium" not in out and "Negrita" in out


def test_find_wants_something_seen(demo, capsys) -> None:
    assert main(["find", demo]) == 2
    assert "what was seen" in capsys.readouterr().err
