from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader
from PySide6.QtGui import QImage, QImageReader, QPainter
from PySide6.QtSvg import QSvgRenderer
from sample_report import sample_report

from bloomline.draw.base import export
from bloomline.draw.base.qt import painting_font
from bloomline.errors import FileProblemError, UnknownNameError, UsageError
from bloomline.plan.forecast.report import SeasonReport


def write_chart(
    report: SeasonReport, path: Path, *, dpi: float = 96, a4: bool = False, **wish: object
) -> Path:
    """Lay a chart out as wished, and write it."""
    from bloomline.draw.season.chart import ChartOptions, plan_season
    from bloomline.draw.season.chart_export import write_plan

    plan = plan_season(report, ChartOptions(**wish))  # type: ignore[arg-type]
    return write_plan(plan, path, dpi=dpi, a4=a4)


def inked_share(image: QImage) -> float:
    ground = image.pixel(1, 1)
    sample = [
        image.pixel(x, y) for x in range(0, image.width(), 9) for y in range(0, image.height(), 9)
    ]
    return sum(pixel != ground for pixel in sample) / len(sample)


@pytest.mark.parametrize("dpi", [96, 150, 300])
def test_png_has_the_size_and_resolution_asked_for(tmp_path: Path, dpi: int) -> None:
    path = write_chart(sample_report(), tmp_path / "s.png", width=800, height=1250, dpi=dpi)
    image = QImage(str(path))
    assert (image.width(), image.height()) == (round(800 * dpi / 96), round(1250 * dpi / 96))
    assert image.dotsPerMeterX() == image.dotsPerMeterY() == round(dpi / 0.0254)
    assert 0.05 < inked_share(image) < 0.9
    assert os.listdir(tmp_path) == ["s.png"]


def test_height_follows_the_content(tmp_path: Path) -> None:
    path = write_chart(sample_report(), tmp_path / "s.PNG", width=1600)
    size = QImageReader(str(path)).size()
    assert size.width() == 1600
    assert 900 < size.height() < 1300


def test_dark_and_light_differ(tmp_path: Path) -> None:
    light = QImage(str(write_chart(sample_report(), tmp_path / "l.png", width=800)))
    dark = QImage(str(write_chart(sample_report(), tmp_path / "d.png", width=800, theme="dark")))
    assert light.size() == dark.size()
    assert light.pixelColor(1, 1).lightness() > 200 > 60 > dark.pixelColor(1, 1).lightness()


def test_same_report_gives_the_same_bytes(tmp_path: Path) -> None:
    one = write_chart(sample_report(), tmp_path / "one.png", width=700).read_bytes()
    two = write_chart(sample_report(), tmp_path / "two.png", width=700).read_bytes()
    assert one == two


def test_svg_opens_and_needs_no_font(tmp_path: Path) -> None:
    path = write_chart(sample_report(), tmp_path / "s.svg", width=1200)
    text = path.read_text(encoding="utf-8")
    assert "<text" not in text
    assert "Larch Cottage yard, season 2027" in text
    renderer = QSvgRenderer(str(path))
    assert renderer.isValid()
    box = renderer.viewBoxF()
    assert box.width() == 1200
    image = QImage(600, round(600 * box.height() / box.width()), QImage.Format.Format_RGB32)
    image.fill(0xFF00FF)
    painter = QPainter(image)
    renderer.render(painter)
    painter.end()
    assert 0.05 < inked_share(image) < 0.9


@pytest.mark.parametrize("a4", [False, True])
def test_pdf_is_one_page_with_its_font(tmp_path: Path, a4: bool) -> None:
    path = write_chart(sample_report(), tmp_path / "s.pdf", width=1200, a4=a4)
    data = path.read_bytes()
    assert data.startswith(b"%PDF-")
    assert data.rstrip().endswith(b"%%EOF")
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", data)) == 1
    assert b"SourceSans3" in data
    box = re.search(rb"/MediaBox\s*\[\s*([\d.]+)\s+([\d.]+)\s+([\d.]+)\s+([\d.]+)", data)
    assert box is not None
    width, height = float(box[3]), float(box[4])
    if a4:
        # ISO 216: 297 × 210 mm = 841.9 × 595.3 points.
        assert (width, height) == (pytest.approx(842, abs=1), pytest.approx(595, abs=1))
    else:
        assert width == pytest.approx(1200 * 72 / 96, abs=1)


@pytest.mark.parametrize("name", ["season", "season.bmp", "season.png.txt"])
def test_unknown_suffix_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(UsageError, match=r"\.png, \.svg or \.pdf"):
        write_chart(sample_report(), tmp_path / name)
    assert not os.listdir(tmp_path)


@pytest.mark.parametrize(
    "wish",
    [
        {"width": 0},
        {"width": -5},
        {"width": float("nan")},
        {"width": 10**9},
        {"height": float("inf")},
        {"height": 50},
        {"dpi": 0},
        {"dpi": 100_000},
        {"dpi": 1200, "width": 4000},
        {"theme": "sepia"},
    ],
    ids=str,
)
def test_absurd_wishes_are_refused(tmp_path: Path, wish: dict[str, object]) -> None:
    with pytest.raises(UsageError):
        write_chart(sample_report(), tmp_path / "s.png", **wish)  # type: ignore[arg-type]
    assert not os.listdir(tmp_path)


def test_unknown_pot_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UnknownNameError, match="nowhere"):
        write_chart(sample_report(), tmp_path / "s.png", pot_ids=("nowhere",))


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf"])
def test_missing_folder_is_said(tmp_path: Path, suffix: str) -> None:
    with pytest.raises(FileProblemError, match="another folder"):
        write_chart(sample_report(), tmp_path / "missing" / f"s{suffix}")


def test_folder_as_target_is_said(tmp_path: Path) -> None:
    (tmp_path / "s.png").mkdir()
    with pytest.raises(FileProblemError, match="is a folder"):
        write_chart(sample_report(), tmp_path / "s.png")
    assert os.listdir(tmp_path) == ["s.png"]


@pytest.mark.parametrize("suffix", [".png", ".svg", ".pdf"])
def test_failure_keeps_the_old_picture_and_leaves_no_part(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, suffix: str
) -> None:
    target = tmp_path / f"s{suffix}"
    target.write_bytes(b"old")

    def disk_full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(export.os, "fsync", disk_full)
    with pytest.raises(FileProblemError, match="No space left"):
        write_chart(sample_report(), target, width=800)
    assert target.read_bytes() == b"old"
    assert os.listdir(tmp_path) == [target.name]


def test_picture_gets_ordinary_permissions(tmp_path: Path) -> None:
    plain = tmp_path / "plain"
    plain.touch()
    path = write_chart(sample_report(), tmp_path / "s.png", width=700)
    assert path.stat().st_mode == plain.stat().st_mode


def test_no_application_and_no_display_are_needed(tmp_path: Path) -> None:
    script = (
        "import sys; sys.path.insert(0, sys.argv[1])\n"
        "import bloomline.draw.base.export as export\n"
        "assert not any(name.startswith('PySide6') for name in sys.modules)\n"
        "from sample_report import sample_report\n"
        "from bloomline.draw.season.chart import ChartOptions, plan_season\n"
        "from bloomline.draw.season.chart_export import write_plan\n"
        "write_plan(plan_season(sample_report(), ChartOptions(width=800)), sys.argv[2])\n"
        "from PySide6.QtGui import QGuiApplication\n"
        "assert QGuiApplication.platformName() == 'offscreen'\n"
        "import os; assert 'QT_QPA_PLATFORM' not in os.environ\n"
    )
    hidden = {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"}
    environment = {name: value for name, value in os.environ.items() if name not in hidden}
    root = Path(export.__file__).parents[3]
    environment["PYTHONPATH"] = str(root)
    subprocess.run(
        [sys.executable, "-c", script, str(Path(__file__).parents[1]), str(tmp_path / "s.png")],
        check=True,
        env=environment,
        cwd=tmp_path,
        timeout=60,
    )
    assert QImage(str(tmp_path / "s.png")).width() == 800


def test_letters_have_shapes_of_their_own() -> None:
    # On a machine without fonts every letter would be the same empty box.
    from PySide6.QtGui import QFont, QPainterPath

    font = QFont(painting_font())
    font.setPixelSize(40)

    def shape(letter: str) -> int:
        path = QPainterPath()
        path.addText(0, 0, font, letter)
        return path.elementCount()

    assert painting_font().startswith("Source Sans 3")
    assert len({shape(letter) for letter in "Ai×–8é"}) >= 4


@pytest.mark.filterwarnings("ignore::BytesWarning")  # the reader compares bytes with numbers
@pytest.mark.parametrize(
    ("title", "name"), [("", None), (None, None), ("Front yard", "Front yard")]
)
def test_a_pdf_is_called_by_its_chart_or_else_by_its_yard(
    tmp_path: Path, title: str | None, name: str | None
) -> None:
    report = sample_report()
    metadata = PdfReader(write_chart(report, tmp_path / "s.pdf", width=1200, title=title)).metadata
    assert metadata is not None
    assert metadata.title == f"{name or report.yard_name}, season {report.season_year}"
