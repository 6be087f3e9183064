"""Photos by what the file holds, within limits, and never from another computer."""

from __future__ import annotations

import ast
import time
from pathlib import Path

import pytest
from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QImage

from bloomline.ui.records import photo
from bloomline.ui.records.photo import found_path, is_on_network, preview_of

UI = Path(__file__).parents[3] / "bloomline" / "ui"
SIZE = QSize(96, 72)


def _nested_svg(levels: int = 12) -> bytes:
    groups = ['<g id="g0"><rect width="9" height="9"/></g>']
    for level in range(1, levels):
        uses = f'<use xlink:href="#g{level - 1}"/>' * 10
        groups.append(f'<g id="g{level}">{uses}</g>')
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'width="100" height="100">{"".join(groups)}<use xlink:href="#g{levels - 1}"/></svg>'
    ).encode()


@pytest.mark.parametrize("name", ["use.svg", "use.jpg", "use"])
def test_vector_graphics_are_no_photo_whatever_their_name(tmp_path: Path, name: str) -> None:
    file = tmp_path / name
    file.write_bytes(_nested_svg())
    begin = time.monotonic()
    assert preview_of(str(file), yard_file=None, size=SIZE).why == "no picture"
    assert time.monotonic() - begin < 1.0


@pytest.mark.parametrize("name", ["flower.jpg", "flower.svg", "flower"])
def test_a_picture_is_known_by_its_content(tmp_path: Path, name: str) -> None:
    image = QImage(40, 30, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.red)
    file = tmp_path / name
    assert image.save(str(file), "PNG")
    assert preview_of(str(file), yard_file=None, size=SIZE).image is not None


def test_too_many_bytes_or_pixels_are_refused_before_decoding(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    image = QImage(400, 300, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.red)
    file = tmp_path / "flower.png"
    assert image.save(str(file))
    monkeypatch.setattr(photo, "MOST_PIXELS", 400 * 300 - 1)
    assert preview_of(str(file), yard_file=None, size=SIZE).why == "large"
    monkeypatch.setattr(photo, "MOST_PIXELS", 400 * 300)
    assert preview_of(str(file), yard_file=None, size=SIZE).image is not None
    monkeypatch.setattr(photo, "MOST_BYTES", file.stat().st_size - 1)
    assert preview_of(str(file), yard_file=None, size=SIZE).why == "large"


@pytest.mark.parametrize(
    "kept", [r"\\host\share\a.jpg", "//host/share/a.jpg", r"\\?\UNC\host\a.jpg", r"/\host/a.jpg"]
)
def test_no_other_computer_is_called_up(kept: str, monkeypatch: pytest.MonkeyPatch) -> None:
    def looked(_path: Path) -> bool:
        raise AssertionError("the file was looked for")

    monkeypatch.setattr(Path, "is_file", looked)
    assert is_on_network(kept)
    assert found_path(kept, Path("/yards/own.bloomline")) is None
    assert preview_of(kept, yard_file=None, size=SIZE).why == "network"


def test_dialogs_that_open_a_file_can_neither_delete_nor_rename() -> None:
    asked = 0
    for file in UI.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "attr", "") in (
                "getOpenFileName",
                "getOpenFileNames",
            ):
                asked += 1
                options = [ast.unparse(each.value) for each in node.keywords]
                assert "QFileDialog.Option.ReadOnly" in options, f"{file.name}:{node.lineno}"
    assert asked >= 4
