"""Sheets of labels."""

from __future__ import annotations

import pytest

from bloomline.errors import DataError, UnknownNameError
from bloomline.reference.label_sheets import (
    DEFAULT_SHEET,
    label_sheet,
    load_label_sheets,
    read_label_sheets,
)
from bloomline.reference.tables import ROW_NUMBER


def test_labels_stand_within_the_paper_and_in_its_middle() -> None:
    # Symmetric margins: what is left on the right equals what is left on the left.
    for sheet in load_label_sheets():
        x, y = sheet.corner_mm(sheet.count - 1)
        across, down = sheet.paper_mm
        assert across - x - sheet.width_mm == pytest.approx(sheet.left_mm, abs=0.06), sheet.id
        assert down - y - sheet.height_mm == pytest.approx(sheet.top_mm, abs=0.06), sheet.id


def test_places_are_counted_row_by_row() -> None:
    sheet = label_sheet("a4-3x7")
    assert sheet.count == 21
    assert sheet.corner_mm(0) == (7.25, 15.15)
    assert sheet.corner_mm(1) == (7.25 + 63.5 + 2.5, 15.15)
    assert sheet.corner_mm(3) == (7.25, pytest.approx(15.15 + 38.1))


def test_an_unknown_sheet_names_what_there_is() -> None:
    assert label_sheet(DEFAULT_SHEET).paper == "A4"
    with pytest.raises(UnknownNameError, match="a4-3x7"):
        label_sheet("b5")


def test_labels_that_leave_the_paper_are_refused() -> None:
    good = {
        "id": "x", "label": "x", "paper": "A4", "columns": "2", "rows": "2", "width_mm": "100",
        "height_mm": "50", "left_mm": "5", "top_mm": "5", "gap_x_mm": "0", "gap_y_mm": "0",
        "shape": "label", "source": "made", "basis": "memory", ROW_NUMBER: "2",
    }  # fmt: skip
    assert read_label_sheets([good])[0].count == 4
    for change in ({"columns": "3"}, {"rows": "9"}, {"paper": "B5"}, {"gap_x_mm": "-1"}):
        with pytest.raises(DataError, match="row 2"):
            read_label_sheets([{**good, **change}])
    with pytest.raises(DataError, match="x stands twice"):
        read_label_sheets([good, good])
