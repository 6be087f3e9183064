"""The export: what is shown is what is written, and the same as the command line writes."""

from __future__ import annotations

import re
import threading
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QLineEdit, QPushButton
from pytestqt.qtbot import QtBot

from bloomline.draw.season.chart import ChartOptions, plan_season
from bloomline.draw.season.chart_export import render_image, write_plan
from bloomline.errors import FileProblemError
from bloomline.plan.season.yard import season_report
from bloomline.ui.document import Document
from bloomline.ui.export.dialog import ExportDialog
from bloomline.ui.export.jobs import ChartWish, report_of_pots, writing, yard_of_pots
from bloomline.ui.export.printing import print_plan, printer_for
from bloomline.ui.files.memory import Memory
from bloomline.ui.season_service import SeasonService

Open = Callable[[], ExportDialog]


@pytest.fixture
def open_dialog(
    document: Document, service: SeasonService, tmp_path: Path, qtbot: QtBot
) -> Iterator[Open]:
    shown: list[ExportDialog] = []

    def open_one() -> ExportDialog:
        assert service.report is not None
        dialog = ExportDialog(
            document,
            settings=Memory(tmp_path / "settings.json"),
            today=date(2027, 4, 12),
        )
        qtbot.addWidget(dialog)
        dialog.show()
        qtbot.waitUntil(lambda: dialog.preview.image is not None, timeout=10_000)
        shown.append(dialog)
        return dialog

    yield open_one
    for dialog in shown:
        dialog.stop()
        dialog.stop()


@pytest.fixture
def dialog(open_dialog: Open) -> ExportDialog:
    return open_dialog()


def _save(dialog: ExportDialog, target: Path, qtbot: QtBot) -> None:
    dialog.saved = None
    dialog.save_to(target)
    qtbot.waitUntil(lambda: dialog.saved is not None, timeout=20_000)


def _settle(dialog: ExportDialog, qtbot: QtBot) -> None:
    """Wait until the preview shows what is chosen."""

    def is_new() -> bool:
        return dialog._last is not None and dialog._last.wish == dialog.choices.wish()

    qtbot.waitUntil(is_new, timeout=10_000)


def test_the_picture_is_the_one_the_command_line_writes(
    dialog: ExportDialog, service: SeasonService, tmp_path: Path, qtbot: QtBot
) -> None:
    dialog.choices.width_px.setValue(1200)
    dialog.choices.dpi.setValue(144)
    dialog.choices.today_line.setChecked(True)
    _settle(dialog, qtbot)
    assert dialog._last is not None
    _save(dialog, tmp_path / "mine.png", qtbot)
    assert service.report is not None
    plan = plan_season(service.report, ChartOptions(width=1200, today=date(2027, 4, 12)))
    write_plan(plan, tmp_path / "theirs.png", dpi=144)
    mine, theirs = QImage(str(tmp_path / "mine.png")), QImage(str(tmp_path / "theirs.png"))
    assert (mine.width(), mine.height()) == dialog._last.pixels
    assert mine.width() == 1800
    assert mine == theirs
    colours = {mine.pixel(x, y) for x in range(0, mine.width(), 7) for y in range(0, 900, 7)}
    assert len(colours) > 20
    # 144 dpi as dots a metre
    assert mine.dotsPerMeterX() == round(144 / 0.0254)
    assert f"{mine.width()} × {mine.height()} pixels" in dialog.size_label.text()


def test_the_preview_is_the_picture_in_small(dialog: ExportDialog, qtbot: QtBot) -> None:
    image = dialog.preview.image
    assert image is not None and dialog._last is not None
    room = dialog.preview.room()
    assert image.width() <= room[0] + 1 and image.height() <= room[1] + 1
    assert image.width() / image.height() == pytest.approx(
        dialog._last.width / dialog._last.height, rel=0.01
    )
    dialog.choices.theme.setCurrentIndex(1)
    _settle(dialog, qtbot)
    dark = dialog.preview.image
    assert dark is not None and dark.pixelColor(3, 3).lightness() < 60
    assert image.pixelColor(3, 3).lightness() > 200


@pytest.mark.parametrize(("row", "start"), [(1, b"<?xml"), (2, b"%PDF-")])
def test_other_formats(
    dialog: ExportDialog, tmp_path: Path, qtbot: QtBot, row: int, start: bytes
) -> None:
    dialog.choices.format.setCurrentIndex(row)
    assert not dialog.choices.dpi.isEnabled()
    assert dialog.choices.a4.isVisible() is (row == 2)
    _settle(dialog, qtbot)
    _save(dialog, tmp_path / "chart", qtbot)
    suffix = ("png", "svg", "pdf")[row]
    data = (tmp_path / f"chart.{suffix}").read_bytes()
    assert data.startswith(start) and len(data) > 10_000
    if suffix == "svg":
        assert ElementTree.fromstring(data).tag.endswith("svg")


def test_chosen_pots_get_a_season_of_their_own(
    dialog: ExportDialog, document: Document, qtbot: QtBot
) -> None:
    dialog.findChild(QPushButton, "export_none").click()
    qtbot.waitUntil(lambda: dialog.preview.image is None, timeout=5000)
    assert not dialog.save_button.isEnabled()
    pots = dialog.choices.pots
    for row in (0, 2):
        pots.item(row).setCheckState(Qt.CheckState.Checked)
    _settle(dialog, qtbot)
    assert dialog.save_button.isEnabled()
    wish = dialog.choices.wish()
    assert wish.pot_ids == (document.yard.pots[0].id, document.yard.pots[2].id)
    mine = report_of_pots(document.outlook, wish.pot_ids)
    alone = season_report(document.outlook.what_if(yard=yard_of_pots(document.yard, wish.pot_ids)))
    # What the whole yard's records taught holds for some of its pots.
    whole = {layer.layer_id: layer.start for layer in season_report(document.outlook).layers}
    assert all(layer.start == whole[layer.layer_id] for layer in mine.layers)
    assert [pot.pot_id for pot in mine.pots] == list(wish.pot_ids)
    assert mine.bare == alone.bare
    assert mine.bare != report_of_pots(document.outlook, None).bare
    assert mine.weeks_of_colour == alone.weeks_of_colour


def test_the_picture_lands_on_the_clipboard(dialog: ExportDialog, qtbot: QtBot) -> None:
    QGuiApplication.clipboard().clear()
    dialog.choices.width_px.setValue(1000)
    dialog.copy_button.click()
    qtbot.waitUntil(lambda: "clipboard" in dialog.told.text(), timeout=10_000)
    image = QGuiApplication.clipboard().image()
    assert image.width() == 1000
    wish = dialog.choices.wish()
    plan = plan_season(report_of_pots(dialog._outlook, None), wish.options())
    assert image.convertToFormat(QImage.Format.Format_RGB32) == render_image(plan)


def test_choices_are_remembered(open_dialog: Open, tmp_path: Path, qtbot: QtBot) -> None:
    first = open_dialog()
    first.choices.dpi.setValue(300)
    first.choices.width_px.setValue(1000)
    first.choices.theme.setCurrentIndex(1)
    first.choices.planted.setChecked(True)
    _save(first, tmp_path / "a.png", qtbot)
    again = open_dialog().choices.wish()
    assert (again.dpi, again.width, again.theme) == (300.0, 1000.0, "dark")
    assert again.show_planted
    assert not again.today


def test_saving_through_the_file_dialog(dialog: ExportDialog, tmp_path: Path, qtbot: QtBot) -> None:
    def answer() -> None:
        shown = QApplication.activeModalWidget()
        assert isinstance(shown, QFileDialog)
        name = shown.findChild(QLineEdit, "fileNameEdit")
        assert name is not None
        name.setText(str(tmp_path / "typed"))
        shown.accept()

    QTimer.singleShot(200, answer)
    QTest.mouseClick(dialog.save_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: dialog.saved is not None, timeout=20_000)
    assert dialog.saved == tmp_path / "typed.png"
    assert not QImage(str(dialog.saved)).isNull()


def test_a_folder_that_cannot_be_written_is_told(
    dialog: ExportDialog, tmp_path: Path, qtbot: QtBot
) -> None:
    words: list[str] = []

    def answer() -> None:
        shown: Any = QApplication.activeModalWidget()
        if shown is None or shown is dialog:
            QTimer.singleShot(20, answer)
            return
        words.append(shown.informativeText())
        shown.reject()

    QTimer.singleShot(20, answer)
    dialog.save_to(tmp_path / "no such folder" / "a.png")
    qtbot.waitUntil(lambda: bool(words), timeout=10_000)
    assert "a.png" in words[0] and "No such file" in words[0]
    assert ".part" not in words[0]


def test_a_stopped_export_leaves_the_old_file(
    document: Document, service: SeasonService, tmp_path: Path
) -> None:
    target = tmp_path / "old.png"
    target.write_bytes(b"old")
    stopped = threading.Event()
    outlook = document.outlook
    stopped.set()
    assert writing(ChartWish(width=800), outlook, target, stopped)() is None
    assert target.read_bytes() == b"old"
    assert [each.name for each in tmp_path.iterdir()] == ["old.png"]
    stopped.clear()
    assert writing(ChartWish(width=800), outlook, target, stopped)() == target
    assert target.read_bytes().startswith(b"\x89PNG")
    assert [each.name for each in tmp_path.iterdir()] == ["old.png"]


def test_stop_while_writing(dialog: ExportDialog, tmp_path: Path, qtbot: QtBot) -> None:
    dialog.choices.width_px.setValue(6000)
    dialog.choices.dpi.setValue(300)
    dialog.save_to(tmp_path / "large.png")
    assert dialog.progress.isVisible()
    assert not dialog.save_button.isEnabled()
    dialog.cancel_button.click()
    assert not dialog.progress.isVisible()
    assert "Stopped" in dialog.told.text()
    dialog.stop()  # waits for the work to end
    assert not (tmp_path / "large.png").exists()
    assert [each.name for each in tmp_path.glob("*.png")] == []


def test_a_page_is_printed_that_the_chart_fills(
    service: SeasonService, tmp_path: Path, qapp: QApplication
) -> None:
    assert service.report is not None
    plan = plan_season(service.report, ChartOptions(width=1600))
    printer = printer_for(plan)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "page.pdf"))
    print_plan(plan, printer)
    data = (tmp_path / "page.pdf").read_bytes()
    assert data.startswith(b"%PDF-") and len(data) > 10_000
    # A4 landscape (ISO 216: 297 × 210 mm) in points of 1/72 inch, as PDF counts.
    box = re.search(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", data)
    assert box is not None
    assert float(box[1]) == pytest.approx(297 / 25.4 * 72, abs=1)
    assert float(box[2]) == pytest.approx(210 / 25.4 * 72, abs=1)


@pytest.mark.qt_log_ignore("QPainter::begin")
def test_a_printer_that_does_not_start_is_told(
    service: SeasonService, tmp_path: Path, qapp: QApplication
) -> None:
    assert service.report is not None
    plan = plan_season(service.report, ChartOptions(width=1600))
    printer = printer_for(plan)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "no such folder" / "page.pdf"))
    with pytest.raises(FileProblemError, match="another printer"):
        print_plan(plan, printer)
