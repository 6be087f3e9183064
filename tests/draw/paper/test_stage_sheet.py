"""The sheet for the shed door: nothing runs out of the page, over another, or is small."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import combinations

import pytest

from bloomline.draw.paper.card_items import TextItem
from bloomline.draw.paper.card_sheets import SHEETS
from bloomline.draw.paper.stage_sheet import stage_pages
from bloomline.model.stage import DisplayPlace
from bloomline.plan.stage.rota import Lane, StageMove, StagePlan, Stay

MONDAY = date(2027, 3, 1)
LEAST_PX = 9 / 72 * 254  # nine points in tenths of a millimetre


def plan_of(count: int, *, name: str = "Blue glazed bowl", place: str = "Front step") -> StagePlan:
    stays, moves = [], []
    for number in range(count):
        first = MONDAY + timedelta(weeks=number // 2)
        last = first + timedelta(days=20)
        stay = Stay(f"pot-{number}", f"{name} {number}", place, first, last, (), 1.0, False)
        stays.append(stay)
        moves.append(
            StageMove(
                stay.pot_id,
                stay.pot_name,
                None,
                place,
                first - timedelta(days=2),
                last,
                1,
                "trolley",
                "fill-in-place",
                False,
                stay,
            )
        )
    lane = Lane(DisplayPlace(name=place), tuple(stays), (0.5,), 1.0, 0.0, 1.0)
    weeks = tuple(MONDAY + timedelta(weeks=k) for k in range(40))
    return StagePlan("A yard", 2027, MONDAY, weeks, (lane,), (), tuple(moves), (), 0.0)


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize(
    "plan",
    [
        plan_of(0),
        plan_of(3),
        plan_of(60),
        plan_of(8, name="The very tall terracotta pot with swags that stood by grandmother's gate",
                place="By the steps down to the lower terrace, where the bench used to be"),
        plan_of(4, name="W" * 115, place="M" * 120),
    ],
    ids=["none", "few", "many", "long", "unbroken"],
)  # fmt: skip
def test_all_of_it_lies_on_the_page_and_apart(paper, plan) -> None:
    sheet = SHEETS[paper]
    pages = stage_pages(plan, paper=paper, cultivar_of=lambda _: pytest.fail("no plant is asked"))
    told = ""
    for page in pages:
        texts = [item for item in page.items if isinstance(item, TextItem)]
        for item in page.items:
            left, top, right, bottom = item.rect
            assert left >= sheet.margin - 1 and right <= sheet.width - sheet.margin + 1
            assert top >= sheet.margin - 1 and bottom <= sheet.height - sheet.margin + 1
        assert min(item.px for item in texts) >= LEAST_PX
        for one, other in combinations(texts, 2):
            a, b = one.rect, other.rect
            apart = a[2] <= b[0] + 1 or b[2] <= a[0] + 1 or a[3] <= b[1] + 4 or b[3] <= a[1] + 4
            assert apart, (one.text, other.text)
        told += " ".join(item.text for item in texts) + " "
    for move in plan.moves:
        assert "".join(move.pot_name.split()) in "".join(told.split())
    assert len(pages) == 1 or plan.moves
