"""The dialog for a printer is gone before the printer is, in every place that prints."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtCore import QTimer
from PySide6.QtPrintSupport import QPrintDialog
from PySide6.QtWidgets import QApplication, QDialog, QWidget
from pytestqt.qtbot import QtBot

from bloomline.ui.page_kit import is_printer_chosen, new_printer

UI = Path(__file__).parents[2] / "bloomline" / "ui"


@pytest.mark.qt_log_ignore("This plugin does not support")
def test_the_dialog_does_not_outlive_its_printer(qtbot: QtBot) -> None:
    # It used to stay until the next turn of the event loop, or for good, with a dead printer.
    window = QWidget()
    qtbot.addWidget(window)
    seen: list[str] = []

    def cancel() -> None:
        dialog = QApplication.activeModalWidget()
        assert isinstance(dialog, QDialog)
        seen.append(dialog.objectName())
        dialog.reject()

    QTimer.singleShot(0, cancel)
    assert not is_printer_chosen(new_printer("Tasks"), window)
    assert seen == ["print_dialog"]
    assert window.findChildren(QPrintDialog) == []


def test_nobody_else_makes_such_a_dialog() -> None:
    makers = [file.name for file in UI.rglob("*.py") if "QPrintDialog(" in file.read_text("utf-8")]
    assert makers == ["page_kit.py"]
