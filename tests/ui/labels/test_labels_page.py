from __future__ import annotations

import time
from pathlib import Path

import numpy as np
import pytest
import zxingcpp
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest

from bloomline.errors import StoppedError
from bloomline.model import edits
from bloomline.ui.labels.jobs import PagePreview, PrintWish, pages_of, print_pages, writing
from bloomline.ui.labels.page import LabelsPage


@pytest.fixture
def page(document, service, qtbot):
    made = LabelsPage(document, service)
    qtbot.addWidget(made)
    made.resize(1200, 700)
    made.show()
    qtbot.waitUntil(lambda: made.preview.image is not None, timeout=10_000)
    yield made
    made.stop()
    made.stop()


def codes(image: QImage) -> list[str]:
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    dots = np.frombuffer(grey.constBits(), np.uint8)
    dots = dots.reshape(grey.height(), grey.bytesPerLine())[:, : grey.width()].copy()
    return [each.text for each in zxingcpp.read_barcodes(dots)]


def test_pages_are_turned_with_the_keyboard(page, qtbot) -> None:
    assert page.page_label.text() == "Page 1 of 2"
    assert page.on.isEnabled() and not page.back.isEnabled()
    page.on.setFocus()
    QTest.keyClick(page.on, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: page.page_label.text() == "Page 2 of 2")
    assert page.back.isEnabled() and not page.on.isEnabled()


def test_fewer_pots_and_used_labels_change_what_is_printed(page, document, qtbot) -> None:
    choices = page.choices
    item = choices.pots.item(0)
    choices.pots.setCurrentItem(item)
    QTest.keyClick(choices.pots, Qt.Key.Key_Space)
    assert item.checkState() == Qt.CheckState.Unchecked
    wish = choices.wish()
    assert wish.pot_ids == tuple(pot.id for pot in document.yard.pots[1:])
    choices.skip.setValue(5)
    choices.what.setCurrentIndex(1)
    assert choices.wish().what == "overview" and choices.wish().skip == 0
    assert not choices.skip.isEnabled()
    choices.what.setCurrentIndex(0)
    assert choices.wish().skip == 5
    choices.sheet.setCurrentIndex(choices.sheet.findData("a4-2x4"))
    assert choices.skip.maximum() == 7
    page.findChild(object, "label_no_pots").click()
    qtbot.waitUntil(lambda: page.preview.image is None)
    assert not any(action.isEnabled() for action in page.actions())


def test_saved_and_copied_labels_carry_codes_that_read(page, tmp_path: Path, qtbot) -> None:
    target = tmp_path / "out.png"
    page.choices.sheet.setCurrentIndex(page.choices.sheet.findData("a4-3x7"))
    page.save_to(target)
    qtbot.waitUntil(lambda: "out.png" in page.status.text(), timeout=10_000)
    assert len(codes(QImage(str(target)))) == 19
    qtbot.waitUntil(lambda: page.page_label.text() == "Page 1 of 1")
    page.copy()
    qtbot.waitUntil(lambda: "clipboard" in page.status.text(), timeout=10_000)
    assert len(codes(QGuiApplication.clipboard().image())) == 19


def test_a_folder_that_is_not_there_is_told(page, tmp_path: Path, qtbot) -> None:
    page.save_to(tmp_path / "none" / "x.pdf")
    qtbot.waitUntil(lambda: "another folder" in page.status.text())


def test_printing_keeps_the_true_size(document, service, tmp_path: Path) -> None:
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFileName(str(tmp_path / "out.pdf"))
    outlook = document.outlook.usual
    print_pages(pages_of(outlook, PrintWish("a4-2x7", cut_marks=True)), printer)
    assert (tmp_path / "out.pdf").read_bytes().startswith(b"%PDF")


def test_the_finder_selects_the_layer_in_the_yard(page, document, qtbot) -> None:
    finder = page.finder
    assert finder.results.count() == 0
    finder.colour.setCurrentIndex(1)
    finder.scent.setCurrentIndex(1)
    finder.has_day.setChecked(True)
    finder.day.setDate(finder.day.date().addDays(6))  # 21 April
    qtbot.waitUntil(
        lambda: finder.results.count() > 0 and "Geranium" in finder.results.item(0).text()
    )
    finder.results.setFocus()
    finder.results.setCurrentRow(0)
    QTest.keyClick(finder.results, Qt.Key.Key_Return)
    _, layer = document.yard.layer(document.layer_id)
    assert "geranium" in layer.cultivar_id


def test_the_page_follows_the_yard(page, document, qtbot) -> None:
    pot = document.yard.pots[0]
    document.edit("Delete pot", lambda yard: edits.remove_pot(yard, pot.id))
    names = [page.choices.pots.item(row).text() for row in range(page.choices.pots.count())]
    assert names == [each.name for each in document.yard.pots]
    assert page.finder.pot.findData(pot.id) == -1


def test_an_empty_yard_says_what_to_do(empty_document, empty_service, qtbot) -> None:
    page = LabelsPage(empty_document, empty_service)
    qtbot.addWidget(page)
    page.show()
    qtbot.waitUntil(lambda: "No bulbs" in page.preview._words)
    assert not page.save_button.isEnabled()
    page.stop()


def test_every_control_has_a_name_for_screen_readers(page) -> None:
    for widget in (page.choices.pots, page.finder.results, page.finder.day, page.back, page.on):
        assert widget.accessibleName()


@pytest.mark.parametrize(
    ("what", "size_mm"),
    [("small-cards", (148, 210)), ("cards", (210, 297)), ("letter-cards", (215.9, 279.4))],
)
def test_planting_cards_are_shown_and_saved(page, tmp_path: Path, qtbot, what, size_mm) -> None:
    choices = page.choices
    choices.what.setCurrentIndex(choices.what.findData(what))
    assert choices.wish().what == what and not choices.skip.isEnabled()
    assert not choices.sheet.isEnabled()  # a sheet of labels says nothing about cards
    pages = pages_of(page._outlook(), choices.wish())
    assert {each.size_mm for each in pages} == {size_mm}
    target = tmp_path / "cards.pdf"
    page.save_to(target)
    qtbot.waitUntil(target.exists, timeout=10_000)
    assert target.read_bytes().startswith(b"%PDF")


def test_no_page_of_labels_stands_under_the_word_cards(page, qtbot) -> None:
    choices = page.choices
    labels = PagePreview(page.preview.image, place=0, count=1)

    def late() -> PagePreview:
        time.sleep(0.2)
        return labels

    page._previewing.ask(late)
    page.print_button.setFocus()
    choices.what.setCurrentIndex(choices.what.findData("cards"))
    page._timer.stop()
    page._ask_preview()
    assert page.preview.image is None and "being drawn" in page.preview._words
    assert page.print_button.hasFocus() and not page.page_label.text()
    qtbot.waitUntil(lambda: page.preview.image is not None, timeout=20_000)
    drawn = page.preview.image
    assert drawn is not labels.image
    # Fewer pots are another page of the same: the old one stays until the new one is there.
    page._ask_preview()
    assert page.preview.image is drawn and page.save_button.isEnabled()


def test_pictures_of_cards_are_named_by_their_pots(page, document, tmp_path: Path, qtbot) -> None:
    choices = page.choices
    choices.what.setCurrentIndex(choices.what.findData("small-cards"))
    choices._tick_none()
    for row in (0, 1):
        choices.pots.item(row).setCheckState(Qt.CheckState.Checked)
    page.save_to(tmp_path / "cards.svg")
    qtbot.waitUntil(lambda: page.status.text().startswith("Saved"), timeout=10_000)
    written = {path.name for path in tmp_path.iterdir()}
    assert {"cards-half-barrel-by-the-gate.svg", "cards-tall-terracotta-by-the-door.svg"} <= written


def test_cards_follow_the_units_of_the_yard(page, document, qtbot) -> None:
    wish = PrintWish(sheet_id=page.choices.wish().sheet_id, what="small-cards")
    document.edit("Units", lambda yard: edits.change_settings(yard, units="imperial"))
    qtbot.waitUntil(lambda: page._outlook().yard.settings.units == "imperial", timeout=10_000)
    pages = pages_of(page._outlook(), wish)
    assert all(" in deep" in each.card.measures for each in pages if each.card)


def test_writing_shows_progress_and_can_be_stopped(page, document, service, tmp_path, qtbot):
    target = tmp_path / "out.pdf"
    page.save_to(target)
    assert page.working_row.isVisible()
    qtbot.waitUntil(lambda: "out.pdf" in page.status.text(), timeout=10_000)
    assert not page.working_row.isVisible()
    before = target.read_bytes()
    # Stopped after its first page: the file that was there is left whole, nothing beside it.
    progress = page.working_row.begin()
    shares: list[int] = []

    def stop_soon(percent: int) -> None:
        shares.append(percent)
        if percent > 0:
            progress.stop.set()

    progress.moved.connect(stop_soon)
    wish = PrintWish("a4-2x4")
    outlook = document.outlook.usual
    with pytest.raises(StoppedError):
        writing(outlook, wish, target, progress=progress)()
    assert shares[0] == 0 and len(shares) > 1
    assert target.read_bytes() == before
    assert [each.name for each in tmp_path.iterdir()] == ["out.pdf"]
    page.working_row.cancel.click()
    page._done(StoppedError("stopped"))
    assert "Stopped" in page.status.text()
    assert not page.working_row.isVisible()


def test_turning_pages_does_not_make_them_anew_but_a_change_does(page, document, qtbot) -> None:
    wish = PrintWish(sheet_id=page.choices.wish().sheet_id, what="small-cards")
    first = pages_of(page._outlook(), wish)
    assert pages_of(page._outlook(), wish) is first
    name = document.yard.pots[0].id
    document.edit("Rename", lambda yard: edits.change_pot(yard, name, name="Another name"))
    again = pages_of(page._outlook(), wish)
    assert again is not first and again[0].card.title == "Another name"
