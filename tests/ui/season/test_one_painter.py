"""Chart and timeline show the same rows and the same strip, pixel for pixel."""

from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QColor, QImage, QPainter

from bloomline.draw.base.ink import Ink
from bloomline.draw.base.petals import LIGHT
from bloomline.draw.base.qt import painting_font
from bloomline.draw.season.bars import BarPainter
from bloomline.draw.season.days import DayScale
from bloomline.draw.season.rows import Place, looks_of, paint_rows
from bloomline.draw.season.strip import MOST_SINGLE, StripPainter, plan_strip
from bloomline.plan.forecast.report import SeasonReport
from bloomline.ui.document import Document
from bloomline.ui.season.panel import SeasonPanel
from bloomline.ui.season_service import SeasonService

FIRST, LAST = date(2027, 4, 10), date(2027, 6, 10)


def on_paper(width: int, height: int) -> tuple[QImage, QPainter]:
    """A picture of the theme's ground, and a painter for it, as a chart is painted on."""
    image = QImage(width, height, QImage.Format.Format_RGB32)
    image.fill(QColor(LIGHT.ground))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    return image, painter


def apart(one: QImage, other: QImage) -> int:
    """How many pixels differ by more than what a shift of the painter rounds away."""
    assert one.size() == other.size()
    found = 0
    for x in range(one.width()):
        for y in range(one.height()):
            pair = one.pixelColor(x, y).getRgb(), other.pixelColor(x, y).getRgb()
            found += sum(abs(a - b) for a, b in zip(*pair, strict=True)) > 24
    return found


def show_days(panel: SeasonPanel) -> DayScale:
    """Zoom to two months without the day line and today in them; their scale, from x = 0."""
    panel.view.show_window((float(FIRST.toordinal()), float(LAST.toordinal())))
    panel._document.look_at(date(2027, 8, 1))
    panel.view.show_window((float(FIRST.toordinal()), float(LAST.toordinal())))
    return DayScale(*panel.view.day_range, 0.0, panel.view.plot_rect().width())


def seen(panel: SeasonPanel, rect: QRectF) -> QImage:
    """A part of the timeline as it stands on screen."""
    picture = panel.view.viewport().grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    return picture.copy(rect.toRect())


def test_a_row_of_the_timeline_is_the_charts(panel: SeasonPanel) -> None:
    scale = show_days(panel)
    shown, view = panel.view.shown, panel.view
    report, style = shown.report, shown.look.style
    assert report is not None
    plant = next(
        layer
        for layer in report.layers
        if layer.start and layer.end and layer.start.p10 > FIRST and layer.end.p90 < LAST
    )
    index = shown.rows.of(plant.layer_id)
    assert index is not None
    panel._document.select(layer_id=plant.layer_id)  # scrolls it into view
    panel._document.select(pot_id=report.pots[-1].pot_id)
    panel.view.scroll_bar.setValue(round(shown.rows.span(index)[0]) - 60)
    height = round(style.bar) + 2
    left, top = view.plot_rect().left(), round(view.row_y(index)) - height // 2
    image, painter = on_paper(round(scale.width), height)
    middle = view.row_y(index) - top
    paint_rows(
        Ink(painter, painting_font()),
        style,
        report,
        looks_of([plant], LIGHT),
        [Place(plant, middle)],
        scale=scale,
        seen=QRectF(image.rect()),
        painter=BarPainter(),
    )
    painter.end()
    begin, end = round(scale.x_of(plant.start.p10)) + 1, round(scale.end_of(plant.end.p90)) - 1
    bar = QRect(begin, 1, end - begin, height - 2)
    timeline = seen(panel, QRectF(left, top, scale.width, height))
    assert len({image.pixel(x, height // 2) for x in range(begin, end)}) > 10  # it is painted
    assert apart(timeline.copy(bar), image.copy(bar)) < 10  # of 7,000; half a pixel off, 1,600


@pytest.mark.parametrize("copies", [1, 4])
def test_the_strip_of_the_timeline_is_the_charts(
    document: Document,
    service: SeasonService,
    panel: SeasonPanel,
    qtbot,
    copies: int,
) -> None:
    def many(yard):
        pots = []
        for at in range(copies):
            for pot in yard.pots:
                layers = tuple(
                    one.model_copy(update={"id": f"{one.id}-{at}"}) for one in pot.layers
                )
                update = {"id": f"{pot.id}-{at}", "layers": layers}
                pots.append(pot.model_copy(update=update))
        return yard.model_copy(update={"pots": tuple(pots), "records": ()})

    with qtbot.waitSignal(service.report_ready, timeout=20_000):
        document.edit("Many", many)
    scale = show_days(panel)
    shown, view = panel.view.shown, panel.view
    report = shown.report
    assert isinstance(report, SeasonReport)
    assert (len(report.layers) > MOST_SINGLE) is (copies > 1)
    top, base = view.strip.field()
    image, painter = on_paper(round(scale.width), round(base))
    looks = looks_of(report.layers, LIGHT)
    strip = plan_strip(
        report, report.one_by_one, looks, first=report.first_day, last=report.last_day
    )
    StripPainter().paint(
        Ink(painter, painting_font()),
        strip,
        scale=scale,
        top=top,
        base=base,
        theme=LIGHT,
        crowd_limit=report.crowd_limit if report.crowded else None,
    )
    painter.end()
    # Under the crest, where neither lines of months nor brackets are.
    begin, end = scale.x_of(date(2027, 4, 20)), scale.x_of(date(2027, 5, 12))
    part = QRect(round(begin), round(base) - 12, round(end - begin), 10)
    place = QRectF(view.plot_rect().left(), shown.look.axis_height, scale.width, round(base))
    timeline = seen(panel, place)
    colours = {image.pixel(x, part.center().y()) for x in range(part.left(), part.right())}
    assert len(colours) > 3
    assert apart(timeline.copy(part), image.copy(part)) == 0
