"""Lays labels and the list of pots out on pages, and paints a page. Tenths of a millimetre."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QLineF, QRectF
from PySide6.QtGui import QColor, QPainter, QPen

from bloomline.draw.base.ink import Ink, Ruler
from bloomline.draw.base.names import fit_name
from bloomline.draw.base.petals import LIGHT
from bloomline.draw.base.qt import painting_font
from bloomline.draw.paper.card import CardPage, paint_card
from bloomline.draw.paper.label_layout import LabelLayout, lay_out_labels
from bloomline.draw.paper.labels import INK, LINE, MUTED, paint_label, paint_swatch
from bloomline.draw.pot.layout import cut_pot
from bloomline.draw.pot.picture import paint_pot
from bloomline.errors import UsageError
from bloomline.plan.paper.labels import Label, PotContents
from bloomline.plan.pot.fitting import CultivarOf
from bloomline.plan.words.benches import fitted_times
from bloomline.reference.label_sheets import PAPER_MM, LabelSheet, Paper
from bloomline.words import tr

_MARGIN = 150.0
_HEAD = 170.0
_POT_HEAD = 62.0
_ROW = 84.0
_TOP_ROW = 48.0
_POT_LEAST = 330.0
_PICTURE = 330.0
_TICK = 20.0


@dataclass(frozen=True, slots=True)
class LabelPage:
    """One sheet: labels with their places on it, counted from 0, and how each is laid out."""

    sheet: LabelSheet
    places: tuple[tuple[int, Label], ...]
    layouts: tuple[LabelLayout, ...]
    cut_marks: bool = False

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the paper. [mm]"""
        return self.sheet.paper_mm


@dataclass(frozen=True, slots=True)
class PotsPage:
    """One page of what is in which pot."""

    paper: Paper
    title: str
    pots: tuple[PotContents, ...]
    cultivar_of: CultivarOf
    page: int
    pages: int

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the paper. [mm]"""
        return PAPER_MM[self.paper]


Page = LabelPage | PotsPage | CardPage


def label_pages(
    labels: Sequence[Label], sheet: LabelSheet, *, skip: int = 0, cut_marks: bool = False
) -> tuple[LabelPage, ...]:
    """Lay labels out, `skip` places of the first sheet left free. Raises UsageError."""
    if not 0 <= skip < sheet.count:
        raise UsageError(
            tr(
                "a sheet of {count} labels can have 0 to {count2} used ones, not {skip}",
                count=sheet.count,
                count2=sheet.count - 1,
                skip=skip,
            )
        )
    pages: list[LabelPage] = []
    rest = list(labels)
    layouts = lay_out_labels(rest, sheet, ruler=Ruler(painting_font()))
    while rest:
        room = sheet.count - skip
        places = tuple(enumerate(rest[:room], start=skip))
        pages.append(LabelPage(sheet, places, layouts[:room], cut_marks))
        rest, layouts, skip = rest[room:], layouts[room:], 0
    return tuple(pages)


def pots_pages(
    contents: Sequence[PotContents], *, title: str, paper: Paper, cultivar_of: CultivarOf
) -> tuple[PotsPage, ...]:
    """Lay out what is in which pot, no pot broken over two pages."""
    room = PAPER_MM[paper][1] * 10 - 2 * _MARGIN - _HEAD
    groups: list[list[PotContents]] = []
    left = 0.0
    for each in contents:
        height = _pot_height(each)
        if not groups or height > left:
            groups.append([])
            left = room
        groups[-1].append(each)
        left -= height
    return tuple(
        PotsPage(paper, title, tuple(group), cultivar_of, number, len(groups))
        for number, group in enumerate(groups, start=1)
    )


def _pot_height(each: PotContents) -> float:
    rows = max(1, len(each.labels)) * _ROW + len(each.tops) * _TOP_ROW
    return max(_POT_HEAD + rows, _POT_LEAST) + 40.0


def paint_page(painter: QPainter, page: Page, *, family: str, as_outlines: bool = False) -> None:
    """Paint a page; the painter's unit is a tenth of a millimetre."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, True)
    ink = Ink(painter, family, as_outlines=as_outlines)
    width, height = page.size_mm
    painter.fillRect(QRectF(0, 0, width * 10, height * 10), QColor("#FFFFFF"))
    if isinstance(page, LabelPage):
        _paint_sheet(ink, page)
    elif isinstance(page, CardPage):
        paint_card(ink, page)
    else:
        _paint_pots(ink, page)


def _paint_sheet(ink: Ink, page: LabelPage) -> None:
    sheet = page.sheet
    for (place, label), layout in zip(page.places, page.layouts, strict=True):
        x, y = sheet.corner_mm(place)
        area = QRectF(x * 10, y * 10, sheet.width_mm * 10, sheet.height_mm * 10)
        paint_label(ink, label, layout, area, stick=sheet.shape == "stick")
        if page.cut_marks:
            _paint_cut_marks(ink, area)


def _paint_cut_marks(ink: Ink, area: QRectF) -> None:
    ink.painter.setPen(QPen(QColor(LINE), 1.5))
    for x in (area.left(), area.right()):
        for y in (area.top(), area.bottom()):
            ink.painter.drawLine(QLineF(x - _TICK, y, x + _TICK, y))
            ink.painter.drawLine(QLineF(x, y - _TICK, x, y + _TICK))


def _paint_pots(ink: Ink, page: PotsPage) -> None:
    width = page.size_mm[0] * 10
    right = width - _MARGIN
    title = ink.fitted(
        tr("{title}: what is in which pot", title=page.title), 58, width - 2 * _MARGIN, bold=True
    )
    ink.text(_MARGIN, _MARGIN + 50, title, 58, INK, bold=True)
    about = tr("Layers from the top down. Days of flowering are forecasts.")
    ink.text(_MARGIN, _MARGIN + 105, about, 32, MUTED)
    if page.pages > 1:
        ink.text(
            right,
            _MARGIN + 105,
            tr("{page} of {pages}", page=page.page, pages=page.pages),
            32,
            MUTED,
            align="right",
        )
    y = _MARGIN + _HEAD
    for each in page.pots:
        _paint_pot(ink, page, each, y, right)
        y += _pot_height(each)


def _paint_pot(ink: Ink, page: PotsPage, each: PotContents, top: float, right: float) -> None:
    painter = ink.painter
    painter.setPen(QPen(QColor(LINE), 1.5))
    painter.drawLine(QLineF(_MARGIN, top, right, top))
    cut = cut_pot(each.pot, cultivar_of=page.cultivar_of)
    box_w, box_h = _PICTURE - 50.0, _POT_LEAST - 50.0
    scale = min(box_w / (2 * cut.outer_half_cm), box_h / cut.foot_cm)
    painter.save()
    painter.translate(_MARGIN + box_w / 2, top + 25)
    paint_pot(painter, cut, pot=each.pot, scale=scale, theme=LIGHT)
    painter.restore()
    left = _MARGIN + _PICTURE
    name = fitted_times(
        each.pot.name,
        each.pot.copies,
        room=(right - left) * 0.55,
        fit=lambda text, room: ink.fitted(text, 40, room, bold=True),
        width=lambda text: ink.width(text, 40, bold=True),
    )
    wide = ink.text(left, top + 46, name, 40, INK, bold=True)
    summary = ink.fitted(each.summary, 28, right - left - wide - 24)
    ink.text(left + wide + 24, top + 46, summary, 28, MUTED)
    y = top + _POT_HEAD
    for words in each.tops:
        ink.text(left, y + 34, ink.fitted(words, 30, right - left), 30, INK)
        y += _TOP_ROW
    if not each.labels:
        ink.text(left, y + 42, tr("no bulbs") if each.tops else tr("empty"), 32, MUTED)
    for label in each.labels:
        _paint_row(ink, label, left, y, right)
        y += _ROW


def _paint_row(ink: Ink, label: Label, left: float, y: float, right: float) -> None:
    indent = left + 96.0
    paint_swatch(ink, label, left, y + 12, 34)
    side = label.depth
    room = right - indent - ink.width(side, 30) - 24
    name = fit_name(label.name, room=room, measure=lambda text: ink.width(text, 34))
    ink.name(indent, y + 38, name, 34, INK)
    ink.text(right, y + 38, side, 30, INK, align="right")
    words = f"{label.kind}, {label.colour}. {label.planting}. {label.window}."
    ink.text(indent, y + 72, ink.fitted(words, 28, right - indent), 28, MUTED)
