"""Labels as they are laid out: sizes of type, a code no larger than it must be, nothing lost."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import combinations

import pytest

from bloomline.draw.base.ink import Ruler
from bloomline.draw.base.qt import painting_font
from bloomline.draw.paper import label_code
from bloomline.draw.paper.label_code import QUIET_MODULES
from bloomline.draw.paper.label_export import page_image
from bloomline.draw.paper.label_layout import LabelLayout, lay_out_labels
from bloomline.draw.paper.label_pages import label_pages
from bloomline.plan.paper.labels import Label
from bloomline.reference.label_sheets import label_sheet, load_label_sheets

SHEETS = [sheet.id for sheet in load_label_sheets()]
PLAIN = Label(
    layer_id="l1",
    pot_id="p1",
    name="Tulipa 'Queen of Night'",
    kind="tulip",
    colour="black maroon",
    colour_hex="#3A1020",
    second_colour_hex=None,
    depth="20 cm of compost over the tips",
    window="Flowers 28 Apr – 12 May 2027",
    pot_name="Trough under the kitchen window",
    count=34,
    planted=date(2026, 11, 14),
    is_planted=False,
)
LABELS = (
    PLAIN,
    replace(PLAIN, name="Crocus tommasinianus 'Ruby Giant'", kind="crocus"),
    replace(PLAIN, name="Galanthus nivalis", pot_name="Pan"),
)


def laid(sheet_id: str, *labels: Label) -> tuple[LabelLayout, ...]:
    return lay_out_labels(labels, label_sheet(sheet_id), ruler=Ruler(painting_font()))


def points(px: int) -> float:
    return px / 254.0 * 72.0  # a point is 1/72 inch of 25.4 mm


@pytest.mark.parametrize("sheet_id", SHEETS)
def test_words_are_readable_of_one_size_and_whole(qapp, sheet_id) -> None:
    layouts = laid(sheet_id, *LABELS)
    body = {line.px for each in layouts for line in each.lines if line.style in ("ink", "swatch")}
    assert len(body) == 1
    # 8 points is the size of small print in books and of labels (common practice, no source).
    assert points(min(body)) > 7.7
    for label, layout in zip(LABELS, layouts, strict=True):
        said = [line.text for line in layout.lines]
        assert "…" not in "".join(said)
        assert said[0] == label.name
        for words in (label.window, label.depth, label.planting, label.pot_name):
            assert words in said


def test_three_by_ten_on_letter_can_be_read(qapp) -> None:
    layouts = laid("letter-3x10", *LABELS)
    assert points(min(line.px for each in layouts for line in each.lines)) >= 8.0
    assert all(points(each.lines[0].px) >= 8.4 for each in layouts)  # the name


@pytest.mark.parametrize("sheet_id", SHEETS)
def test_the_code_is_as_small_as_a_telephone_reads_and_words_have_the_rest(qapp, sheet_id) -> None:
    # ISO/IEC 18004, 6.3.8 (from memory): a quiet zone of 4 modules on all sides. Modules of 0.33
    # to 0.4 mm are what telephones read from paper at hand (common practice, no source).
    sheet = label_sheet(sheet_id)
    for layout in laid(sheet_id, *LABELS):
        modules = len(layout.code.rows) + 2 * 4
        assert modules == layout.code.modules and QUIET_MODULES == 4
        assert 3.3 <= layout.code_side / modules <= 4.0
        assert layout.code_x + layout.code_side <= sheet.width_mm * 10
        assert layout.code_y >= 0 and layout.code_y + layout.code_side <= sheet.height_mm * 10
        assert layout.code_side <= 0.28 * sheet.width_mm * 10


@pytest.mark.parametrize("sheet_id", SHEETS)
@pytest.mark.parametrize(
    "label",
    [
        *LABELS,
        replace(PLAIN, name="Narcissus 'Mademoiselle du Pre-Sainte-Genevieve Nouvelle'"),
        replace(PLAIN, pot_name="The very old terracotta pan with the chipped rim by the shed"),
        replace(PLAIN, window="No flower in the forecast: it gets 5 of the 14 weeks of cold"),
    ],
    ids=lambda label: f"{len(label.name)}-{len(label.pot_name)}-{len(label.window)}",
)
def test_nothing_lies_over_anything_or_over_the_edge(qapp, sheet_id, label) -> None:
    sheet = label_sheet(sheet_id)
    (layout,) = laid(sheet_id, label)
    rects = [
        (line.x, line.baseline - 0.76 * line.px, line.x + line.width, line.baseline + 0.2 * line.px)
        for line in layout.lines
    ]
    side = layout.code_side
    rects.append((layout.code_x, layout.code_y, layout.code_x + side, layout.code_y + side))
    for left, top, right, bottom in rects:
        assert left >= 0 and top >= 0
        assert right <= sheet.width_mm * 10 and bottom <= sheet.height_mm * 10
    for one, other in combinations(rects, 2):
        assert (
            one[2] <= other[0] + 0.5
            or other[2] <= one[0] + 0.5
            or one[3] <= other[1] + 0.5
            or other[3] <= one[1] + 0.5
        )
    # Broken over lines, but whole.
    words = " ".join(line.text for line in layout.lines)
    assert "…" not in words and label.name in words and label.pot_name in words


def test_one_long_name_does_not_make_the_others_small(qapp) -> None:
    long = replace(PLAIN, pot_name="The very old terracotta pan with the chipped rim by the shed")
    alone, (small, _) = laid("letter-3x10", PLAIN), laid("letter-3x10", long, PLAIN)
    both = laid("letter-3x10", long, PLAIN)
    assert both[1].lines == alone[0].lines
    assert small.lines[-1].px < alone[0].lines[-1].px


def test_codes_are_drawn_when_they_are_painted_and_weighed_by_their_length(qapp, monkeypatch):
    sheet = label_sheet("a4-2x7")
    labels = [replace(LABELS[0], pot_name=f"Pot {number:03d}") for number in range(60)]
    real, asked = label_code._encoded, []

    def counting(text, *, mask=None):
        asked.append(mask)
        return real(text, mask=mask)

    monkeypatch.setattr(label_code, "_encoded", counting)
    label_code._side_of.cache_clear()
    pages = label_pages(labels, sheet)
    assert asked and set(asked) == {0} and len(asked) < 12  # of 60 labels
    asked.clear()
    page_image(pages[0], dpi=40)
    assert asked == [None] * len(pages[0].places)
