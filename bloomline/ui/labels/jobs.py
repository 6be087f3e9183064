"""Work on labels that is done beside the window: previews, files, the finder."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtGui import QImage, QPainter
from PySide6.QtPrintSupport import QPrinter

from bloomline.draw.base.export import MM_PER_INCH
from bloomline.draw.base.qt import painting_font
from bloomline.draw.paper.card import CardPage, card_pages
from bloomline.draw.paper.card_export import write_cards
from bloomline.draw.paper.card_sheets import CardPaper
from bloomline.draw.paper.label_export import page_image, pages_title, write_pages
from bloomline.draw.paper.label_pages import Page, label_pages, paint_page, pots_pages
from bloomline.errors import FileProblemError, StoppedError
from bloomline.plan.paper.card import cards_for
from bloomline.plan.paper.finder import Candidate, find_unknown
from bloomline.plan.paper.labels import labels_for, pot_contents
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.words.units import Units
from bloomline.reference.label_sheets import label_sheet
from bloomline.ui.labels.finder_box import Seen
from bloomline.ui.progress import Progress
from bloomline.ui.units import units_of

CLIPBOARD_DPI = 200.0
CARD_PAPERS: dict[str, CardPaper] = {"small-cards": "a5", "cards": "a4", "letter-cards": "letter"}


@dataclass(frozen=True, slots=True)
class PrintWish:
    """What is to be printed: labels, overview, or one of `CARD_PAPERS`."""

    sheet_id: str
    what: str = "labels"
    pot_ids: tuple[str, ...] | None = None
    skip: int = 0
    cut_marks: bool = False
    every_pot: bool = False


@dataclass(frozen=True, slots=True)
class PagePreview:
    """A page as a picture; None where nothing is to be printed."""

    image: QImage | None
    place: int
    count: int


@dataclass(frozen=True, slots=True)
class Copied:
    """A page as a picture for the clipboard."""

    image: QImage


@dataclass(frozen=True, slots=True)
class WrittenPages:
    """The files that were written."""

    paths: tuple[Path, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """What a flower could be."""

    candidates: tuple[Candidate, ...]


@kept
def pages_of(outlook: Outlook, wish: PrintWish) -> tuple[Page, ...]:
    """The pages of a wish; turning to the next one does not make them anew.

    Raises BloomlineError.
    """
    sheet = label_sheet(wish.sheet_id)
    yard, cultivar_of = outlook.yard, outlook.cultivar_of
    if wish.what in CARD_PAPERS:
        # The words of cards are English, so their figures are written so too.
        units = Units(imperial=units_of(yard).imperial)
        cards = cards_for(outlook, pot_ids=wish.pot_ids, units=units)
        return card_pages(cards, paper=CARD_PAPERS[wish.what], cultivar_of=cultivar_of)
    if wish.what == "overview":
        contents = pot_contents(outlook, pot_ids=wish.pot_ids)
        return pots_pages(contents, title=yard.name, paper=sheet.paper, cultivar_of=cultivar_of)
    labels = labels_for(outlook, pot_ids=wish.pot_ids, every_pot=wish.every_pot)
    return label_pages(labels, sheet, skip=wish.skip, cut_marks=wish.cut_marks)


def previewing(
    outlook: Outlook, wish: PrintWish, place: int, *, room: tuple[int, int], ratio: float
) -> Callable[[], object]:
    """A job that paints a page to fit a room of device-independent pixels."""

    def work() -> PagePreview:
        pages = pages_of(outlook, wish)
        if not pages:
            return PagePreview(None, 0, 0)
        at = min(max(place, 0), len(pages) - 1)
        width, height = pages[at].size_mm
        fit = min(room[0] / width, room[1] / height)  # pixels to a millimetre
        image = page_image(pages[at], dpi=fit * ratio * MM_PER_INCH)
        image.setDevicePixelRatio(ratio)
        return PagePreview(image, at, len(pages))

    return work


def copying(outlook: Outlook, wish: PrintWish, place: int) -> Callable[[], object]:
    """A job that paints a page for the clipboard."""

    def work() -> Copied:
        pages = pages_of(outlook, wish)
        return Copied(page_image(pages[min(place, len(pages) - 1)], dpi=CLIPBOARD_DPI))

    return work


def writing(
    outlook: Outlook, wish: PrintWish, target: Path, *, progress: Progress
) -> Callable[[], object]:
    """A job that writes the files."""

    def told(share: float) -> None:
        if not progress.go(share):
            raise StoppedError("stopped")

    def work() -> WrittenPages:
        pages = pages_of(outlook, wish)
        told(0.0)
        cards = [page for page in pages if isinstance(page, CardPage)]
        title = pages_title(pages, yard_name=outlook.yard.name)
        if cards and target.suffix.lower() != ".pdf":
            return WrittenPages(write_cards(cards, target, title=title))
        return WrittenPages(write_pages(pages, target, title=title, told=told))

    return work


def finding(outlook: Outlook, seen: Seen) -> Callable[[], object]:
    """A job that ranks what a flower could be."""

    def work() -> Found:
        return Found(
            find_unknown(
                outlook,
                colour=seen.colour,
                scent=seen.scent,
                opened=seen.opened,
                height_cm=seen.height_cm,
                pots=None if seen.pot_id is None else (seen.pot_id,),
            )
        )

    return work


def print_pages(pages: tuple[Page, ...], printer: QPrinter) -> None:
    """Print pages at their true size. Raises FileProblemError."""
    family = painting_font()
    painter = QPainter()
    if not painter.begin(printer):
        raise FileProblemError(
            printer.printerName() or printer.outputFileName() or "printer",
            "the page could not be started; choose another printer or save a PDF",
        )
    try:
        for number, page in enumerate(pages):
            if number:
                printer.newPage()
            painter.save()
            factor = printer.resolution() / MM_PER_INCH / 10.0
            painter.scale(factor, factor)
            paint_page(painter, page, family=family)
            painter.restore()
    finally:
        painter.end()
