"""Sheets of labels by size, as shared/rules lists them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, cast, get_args

from bloomline.data import data_root
from bloomline.errors import DataError, UnknownNameError
from bloomline.reference.tables import ROW_NUMBER, Row, read_rows

Paper = Literal["A4", "Letter"]
Shape = Literal["label", "stick"]

PAPER_MM: dict[Paper, tuple[float, float]] = {
    "A4": (210.0, 297.0),  # ISO 216
    "Letter": (215.9, 279.4),  # ANSI/ASME Y14.1, size A
}
DEFAULT_SHEET = "a4-2x7"
_OVER_MM = 0.01  # rounding of sizes given to a tenth of a millimetre


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """A sheet of equal labels: how many, how large and where. [mm]"""

    id: str
    label: str
    paper: Paper
    columns: int
    rows: int
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    gap_x_mm: float
    gap_y_mm: float
    shape: Shape
    source: str
    basis: str

    @property
    def count(self) -> int:
        """Labels on a whole sheet."""
        return self.columns * self.rows

    @property
    def paper_mm(self) -> tuple[float, float]:
        """Width and height of the paper. [mm]"""
        return PAPER_MM[self.paper]

    def corner_mm(self, place: int) -> tuple[float, float]:
        """Upper left corner of a label, counted row by row from 0. [mm]"""
        row, column = divmod(place, self.columns)
        return (
            self.left_mm + column * (self.width_mm + self.gap_x_mm),
            self.top_mm + row * (self.height_mm + self.gap_y_mm),
        )


@lru_cache(maxsize=1)
def load_label_sheets() -> tuple[LabelSheet, ...]:
    """Return the sheets of shared/rules; read once a process. Raises DataError."""
    path = data_root("shared").joinpath("rules").joinpath("label_sheets.csv")
    return read_label_sheets(read_rows(path))


def label_sheet(name: str) -> LabelSheet:
    """Return a sheet by its id. Raises UnknownNameError."""
    sheets = load_label_sheets()
    for sheet in sheets:
        if sheet.id == name.strip().casefold():
            return sheet
    raise UnknownNameError("sheet of labels", name, near=[sheet.id for sheet in sheets])


def read_label_sheets(rows: list[Row]) -> tuple[LabelSheet, ...]:
    """Make sheets of table rows. Raises DataError that names every bad row."""
    sheets: list[LabelSheet] = []
    problems: list[str] = []
    for row in rows:
        try:
            sheets.append(_sheet(row))
        except (KeyError, ValueError) as error:
            problems.append(f"row {row[ROW_NUMBER]}: {error}")
    ids = [sheet.id for sheet in sheets]
    problems += [f"{name} stands twice" for name in sorted(set(ids)) if ids.count(name) > 1]
    if problems:
        raise DataError("shared/rules/label_sheets.csv", problems)
    return tuple(sheets)


def _sheet(row: Row) -> LabelSheet:
    if row["paper"] not in PAPER_MM or row["shape"] not in get_args(Shape):
        raise ValueError("the paper or the shape is not one of the known words")
    sheet = LabelSheet(
        id=row["id"],
        label=row["label"],
        paper=row["paper"],
        columns=int(row["columns"]),
        rows=int(row["rows"]),
        width_mm=float(row["width_mm"]),
        height_mm=float(row["height_mm"]),
        left_mm=float(row["left_mm"]),
        top_mm=float(row["top_mm"]),
        gap_x_mm=float(row["gap_x_mm"]),
        gap_y_mm=float(row["gap_y_mm"]),
        shape=cast(Shape, row["shape"]),
        source=row["source"],
        basis=row["basis"],
    )
    if sheet.columns < 1 or sheet.rows < 1 or min(sheet.width_mm, sheet.height_mm) < 15:
        raise ValueError("a sheet has at least one label of at least 15 mm each way")
    if min(sheet.left_mm, sheet.top_mm, sheet.gap_x_mm, sheet.gap_y_mm) < 0:
        raise ValueError("margins and gaps must not be below 0")
    x, y = sheet.corner_mm(sheet.count - 1)
    across, down = sheet.paper_mm
    if x + sheet.width_mm > across + _OVER_MM or y + sheet.height_mm > down + _OVER_MM:
        raise ValueError(f"the labels do not fit on {sheet.paper}")
    return sheet
