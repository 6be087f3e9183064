"""Planting cards on paper: what stands on them, and that nothing lies over or beyond."""

from __future__ import annotations

import re
from datetime import date
from itertools import combinations, pairwise
from pathlib import Path

import numpy as np
import pytest
from card_yards import (
    HEATHROW,
    LONG_NAME,
    UNBROKEN_NAME,
    cards,
    laid_out,
    outlook_on,
    pot_of,
    pots,
    words_of,
)
from pypdf import PdfReader
from PySide6.QtGui import QImage

from bloomline.draw.paper.card import CARD_PAPER_MM, CardPage, card_pages
from bloomline.draw.paper.card_cut import spread
from bloomline.draw.paper.card_export import write_cards
from bloomline.draw.paper.card_items import CutItem, FrameItem, LineItem, PlanItem, Rect, TextItem
from bloomline.draw.paper.label_export import page_image
from bloomline.files.yardfile import load_yard
from bloomline.model.yard import Yard
from bloomline.plan.paper.card import cards_for

PAPERS = ("a5", "a4", "letter")


def _of(pages: tuple[CardPage, ...], pot_id: str) -> tuple[CardPage, ...]:
    return tuple(page for page in pages if pot_of(page) == pot_id)


def _apart(one: Rect, other: Rect, *, slack: float = 1.0) -> bool:
    return (
        one[2] <= other[0] + slack
        or other[2] <= one[0] + slack
        or one[3] <= other[1] + slack
        or other[3] <= one[1] + slack
    )


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_nothing_lies_over_anything_or_beyond_the_margins(paper, units) -> None:
    width, height = (side * 10 for side in CARD_PAPER_MM[paper])
    margin = 80.0  # 8 mm: what common printers reach (common practice, no source)
    for page in laid_out(paper, units):
        for item in page.items:
            left, top, right, bottom = item.rect
            assert left >= margin and right <= width - margin, item
            assert top >= margin - 10 and bottom <= height - margin, item
        solid = [each for each in page.items if isinstance(each, TextItem | PlanItem | CutItem)]
        for one, other in combinations(solid, 2):
            assert _apart(one.rect, other.rect), (pot_of(page), page.page, one, other)
        for frame in (each for each in page.items if isinstance(each, FrameItem)):
            left, top, right, bottom = frame.rect
            for text in (each for each in page.items if isinstance(each, TextItem)):
                inside = (
                    left <= text.rect[0]
                    and text.rect[2] <= right
                    and top <= text.rect[1]
                    and text.rect[3] <= bottom
                )
                assert inside or _apart(frame.rect, text.rect), text.text


@pytest.mark.parametrize("paper", PAPERS)
def test_no_word_of_a_card_is_lost_and_cautions_come_first(paper) -> None:
    pages = laid_out(paper)
    for card in cards():
        words = words_of(pages, card.pot.id)
        assert "…" not in words
        if card.missing:
            continue
        order = ["First of all", "Have ready", card.days[0].head]
        places = [words.index(each) for each in order]
        assert places[0] < places[1] and places[0] < places[2]
        for told in card.sentences:
            assert told.text.replace(" ", "") in words.replace(" ", "")
        for layer in card.layers:
            assert layer.mark in words
            assert layer.expected.replace(" ", "") in words.replace(" ", "")


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("pot_id", "name"), [("four", LONG_NAME), ("trough", UNBROKEN_NAME)])
def test_long_names_are_whole_on_every_page(paper, pot_id, name) -> None:
    for page in _of(laid_out(paper), pot_id):
        assert name.replace(" ", "") in words_of((page,), pot_id).replace(" ", "")


def test_reasons_once_and_larger_plans_on_larger_paper() -> None:
    small, large = laid_out("a5"), laid_out("a4")
    for pages in (small, large):
        assert "It keeps the compost in" not in words_of(pages, "four")
        assert words_of(pages, "").count("It keeps the compost in") == 1
        assert [pot_of(page) for page in pages if page is pages[-1]] == [""]

    def plan_mm(pages: tuple[CardPage, ...], pot_id: str) -> float:
        plans = [item for page in _of(pages, pot_id) for item in page.items]
        return min(
            (item.rect[2] - item.rect[0]) / 10 for item in plans if isinstance(item, PlanItem)
        )

    for pot_id in ("one", "four", "twelve", "trough"):
        assert plan_mm(large, pot_id) > 1.15 * plan_mm(small, pot_id)
    # A plan with many layers is as large as one with few, and one can count bulbs on it.
    assert plan_mm(small, "twelve") > 18.0


def test_every_layer_has_its_plan_beside_its_words_on_one_page() -> None:
    for page in laid_out("a5"):
        plans = {item.layer.letter: item for item in page.items if isinstance(item, PlanItem)}
        heads = {
            item.text.rstrip(": "): item
            for item in page.items
            if isinstance(item, TextItem) and item.text.endswith(": ") and len(item.text) == 3
        }
        assert plans.keys() == heads.keys()
        for letter, plan in plans.items():
            head = heads[letter].rect
            if pot_of(page) == "long":  # below its words, over the whole width
                assert head[3] < plan.rect[1] < head[3] + 350
                assert plan.rect[2] - plan.rect[0] > 1000
            else:
                assert plan.rect[1] - 20 <= head[1] <= plan.rect[3]


def test_few_pages_and_none_with_a_line_or_two() -> None:
    for paper in PAPERS:
        pages = laid_out(paper)
        assert len(_of(pages, "one")) == 1 and len(_of(pages, "empty")) == 1
        assert len(_of(pages, "twelve")) == 3
        high = CARD_PAPER_MM[paper][1] * 10
        for page in pages:
            if page.pages > 1:
                assert max(item.rect[3] for item in page.items) > 0.3 * high
                assert f"{page.page} of {page.pages}" in words_of((page,), pot_of(page))
                # A heading stays with what it heads.
                bold = [each for each in page.items if isinstance(each, TextItem)]
                last = max(bold, key=lambda each: each.baseline)
                assert last.text not in (
                    "Afterwards",
                    "First of all",
                    "To plant on 7 November 2026",
                )


def test_latin_is_italic_and_epithets_are_upright() -> None:
    pages = _of(laid_out("a5"), "twelve")
    texts = [item for page in pages for item in page.items if isinstance(item, TextItem)]
    assert any(each.italic and each.text.strip() == "Tulipa" for each in texts)
    epithet = next(each for each in texts if "'Queen of Night'" in each.text)
    assert not epithet.italic and epithet.bold


def test_a_mark_at_the_height_of_each_level_also_of_the_surface() -> None:
    (page,) = _of(laid_out("a5"), "one")
    cut = next(item for item in page.items if isinstance(item, CutItem))
    level = {
        round((item.y0 - cut.y) / cut.scale, 3)
        for item in page.items
        if isinstance(item, LineItem) and item.y0 == item.y1 and cut.x < item.x0 < cut.rect[2]
    }
    assert page.card is not None
    (layer,) = page.card.layers
    assert level == {round(layer.base_cm, 3), 2.5}
    words = words_of((page,), "one")
    assert "top 2.5 cm" in " ".join(words.split())


def test_the_ruler_counts_inches_for_those_who_read_them() -> None:
    (page,) = _of(laid_out("a5", "imperial"), "one")
    cut = next(item for item in page.items if isinstance(item, CutItem))
    figures = [
        item
        for item in page.items
        if isinstance(item, TextItem) and item.text.isdecimal() and item.x < cut.rect[0]
    ]
    figures = [each for each in figures if cut.y - 40 < each.baseline < cut.rect[3] + 40]
    zero = next(each for each in figures if each.text == "0")
    for each in figures:
        # 1 in is 2.54 cm exactly: NIST SP 811, appendix B.8 (from memory).
        assert (each.baseline - zero.baseline) / cut.scale == pytest.approx(2.54 * int(each.text))
    assert len(figures) >= 3


def test_an_empty_pot_says_in_one_line_what_is_missing() -> None:
    (page,) = _of(laid_out("a5"), "empty")
    words = words_of((page,), "empty")
    assert "No bulbs are planned here: choose some, then print again." in words
    assert "Fill" not in words and "First of all" not in words and "Have ready" not in words
    said = [
        item.baseline
        for item in page.items
        if isinstance(item, TextItem) and page.card and item.text in page.card.missing
    ]
    assert len(set(said)) == 1


def test_southern_seasons_keep_their_years() -> None:
    words = words_of(laid_out("a5", southern=True), "four")
    assert "To plant on 10 May 2026" in words
    opened = re.findall(r"Opens about \d+ (\w+) (\d+)", words)
    # South of the equator spring bulbs flower from July to November (common practice, no source).
    months = {"July", "August", "September", "October", "November"}
    assert len(opened) == 4
    assert all(month in months and year == "2026" for month, year in opened)


def test_marks_that_crowd_are_moved_apart_and_no_further() -> None:
    assert spread([10, 50, 90], step=20, highest=0) == (10, 50, 90)
    assert spread([40, 50], step=20, highest=0) == (35, 55)  # by hand: 5 up, 5 down
    assert spread([0, 1, 2], step=20, highest=0) == (0, 20, 40)
    tight = spread([100 + k for k in range(13)], step=38, highest=10)
    assert all(b - a >= 38 - 1e-9 for a, b in pairwise(tight))
    assert tight[0] == 10  # they would want to go higher, and can't


def _ink(image: QImage) -> np.ndarray:  # type: ignore[type-arg]
    grey = image.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(bytes(grey.constBits()), np.uint8)
    return rows.reshape(grey.height(), grey.bytesPerLine())[:, : grey.width()] < 128


def test_what_is_painted_keeps_the_margins_too() -> None:
    for page in laid_out("a5"):
        image = page_image(page, dpi=100)
        width, height = CARD_PAPER_MM["a5"]
        assert (image.width(), image.height()) == (
            round(width / 25.4 * 100),
            round(height / 25.4 * 100),
        )
        ink = _ink(image)
        edge = round(7 / 25.4 * 100)
        assert ink.any()
        assert not ink[:edge].any() and not ink[-edge:].any()
        assert not ink[:, :edge].any() and not ink[:, -edge:].any()


@pytest.mark.filterwarnings("ignore::BytesWarning")  # the reader compares bytes with numbers
def test_a_batch_is_one_pdf_whose_text_can_be_read(tmp_path: Path) -> None:
    pages = laid_out("a5")
    (path,) = write_cards(pages, tmp_path / "cards.pdf", title="Yard: planting cards")
    assert path.read_bytes().startswith(b"%PDF")
    reader = PdfReader(path)
    assert reader.metadata is not None
    assert reader.metadata.title == "Yard: planting cards"
    pages_read = reader.pages
    assert len(pages_read) == len(pages)
    text = " ".join(" ".join(page.extract_text() for page in pages_read).split())
    for words in (
        "First of all",
        "9.5 cm below the rim: 36 bulbs",
        "lift with two people",  # "ft" must not be lost in a ligature
        "Afterwards",
    ):
        assert words in text


# Sizes of type. A point is 1/72 inch, an inch 25.4 mm; a page is laid out in tenths of one.


def _plain(item: TextItem) -> str:
    return item.text.replace("\u00a0", " ")


def _points(item: TextItem) -> float:
    return item.px / 254.0 * 72.0


def _texts(pages: tuple[CardPage, ...]) -> list[TextItem]:
    return [item for page in pages for item in page.items if isinstance(item, TextItem)]


@pytest.mark.parametrize("units", ["metric", "imperial"])
@pytest.mark.parametrize(("paper", "least"), [("a5", 16.0), ("a4", 20.0), ("letter", 20.0)])
def test_marks_and_counts_are_read_at_an_arms_length(paper, least, units) -> None:
    # DIN 1450 (Leserlichkeit), from memory: letters of x-height 1.9 mm and more at 75 cm; this
    # face's x-height is close to half of its size.
    pages = laid_out(paper, units)
    for card in cards(units):
        said = _texts(_of(pages, card.pot.id))
        for layer in card.layers:
            words = set(layer.mark.replace("\u00a0", " ").split())
            large = [each for each in said if each.bold and _points(each) >= least]
            found = " ".join(each.text for each in large).replace("\u00a0", " ")
            assert words <= set(found.split()), (card.title, layer.mark)
            assert all(each.tone == "ink" for each in large)
    assert 0.48 * least / 72.0 * 25.4 >= 1.9


@pytest.mark.parametrize("paper", PAPERS)
def test_days_of_planting_are_black_and_bold(paper) -> None:
    pages = laid_out(paper)
    for card in cards():
        for day in card.days:
            heads = [each for each in _texts(_of(pages, card.pot.id)) if _plain(each) == day.head]
            assert len(heads) == 1 and heads[0].bold and heads[0].tone == "ink"
            assert _points(heads[0]) >= 11.5


@pytest.mark.parametrize(("paper", "least"), [("a5", 9.8), ("a4", 12.4), ("letter", 12.4)])
def test_a_set_has_one_size_of_type(paper, least) -> None:
    pages = laid_out(paper)
    sizes: dict[str, set[int]] = {}
    for page in pages:
        if page.card is None or not page.card.days:
            continue
        for item in page.items:
            if isinstance(item, TextItem) and item.text.startswith(("Water until", "Fill to this")):
                sizes.setdefault("text", set()).add(item.px)
            if isinstance(item, TextItem) and " below the rim: " in item.text:
                sizes.setdefault("mark", set()).add(item.px)
            if isinstance(item, TextItem) and item.text.startswith("Opens about"):
                sizes.setdefault("small", set()).add(item.px)
    assert {len(each) for each in sizes.values()} == {1} and len(sizes) == 3
    assert min(sizes["text"]) / 254.0 * 72.0 >= least
    last = {
        item.px
        for page in pages
        if page.card is None
        for item in page.items[2:]
        if isinstance(item, TextItem)
    }
    assert min(sizes["text"]) in last  # the last sheet's words are as large


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("demo", ["hollyhock-lane", "quince-steps"])
def test_usual_pots_have_a_page_each_and_one_last_sheet(checkout, demo, paper) -> None:
    yard = load_yard(checkout / "demo" / f"{demo}.bloomline").yard
    here = outlook_on(yard)
    pages = card_pages(cards_for(here), paper=paper, cultivar_of=here.cultivar_of)
    planted = [pot.id for pot in yard.pots if pot.layers or pot.companions]
    assert [pot_of(page) for page in pages if page.card is not None] == planted
    last = [page for page in pages if page.card is None]
    assert last and pages[-1] is last[-1]
    for page in pages:
        width, height = (side * 10 for side in CARD_PAPER_MM[paper])
        for item in page.items:
            left, top, right, bottom = item.rect
            assert left >= 80 and right <= width - 80 and top >= 70 and bottom <= height - 80


def test_a_later_day_begins_a_page_rather_than_being_broken() -> None:
    """A pot of six layers, three of them planted on another day, on small paper."""
    base = next(pot for pot in pots() if pot.id == "twelve")
    planted = (
        *base.layers[:4],
        *(each.model_copy(update={"planted": date(2027, 3, 20)}) for each in base.layers[4:7]),
    )
    yard = Yard(
        name="y",
        place=HEATHROW,
        season_year=2027,
        pots=(base.model_copy(update={"layers": planted}),),
    )
    here = outlook_on(yard)
    made = cards_for(here)
    pages = card_pages(made, paper="a5", cultivar_of=here.cultivar_of)
    later = made[0].days[1]
    where = [
        {page.page for page in pages if page.card and text in words_of((page,), "twelve")}
        for text in (later.head, *(each.mark for each in made[0].layers[4:]))
    ]
    assert len(set.union(*where)) == 1
