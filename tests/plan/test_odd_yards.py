"""Yards of any day, season and place: every use of them holds together, nothing is lost."""

from __future__ import annotations

from datetime import date, timedelta

import asking
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bloomline.files.yardfile import dump_yard, parse_yard
from bloomline.model.companion import CompanionPlanting
from bloomline.model.record_edits import add_records
from bloomline.model.yard import Layer, Pot, Record, Yard
from bloomline.plan.carry.rollover import roll_over
from bloomline.plan.carry.succession import successions
from bloomline.plan.paper.card import cards_for
from bloomline.plan.paper.card_days import CardLayer
from bloomline.plan.paper.labels import pot_contents
from bloomline.plan.season.yard import season_report
from bloomline.plan.shop.buying import shopping_list
from bloomline.plan.work.year import work_plan

FIRST, LAST = date(1900, 1, 1), date(2199, 12, 31)
KINDS = sorted(cultivar.id for cultivar in asking.catalogue())[::9]
ON_TOP = ("winter-pansy", "ivy-small-leaved", "forget-me-not")


@st.composite
def yards(draw: st.DrawFn) -> Yard:
    year = draw(st.sampled_from((1901, 2000, 2027, 2028, 2100, 2198)))
    edges = [
        date(year - 1, 5, 31), date(year - 1, 6, 1), date(year - 1, 11, 30), date(year - 1, 12, 1),
        date(year - 1, 12, 31), date(year, 1, 1), date(year, 2, 28) + timedelta(days=1),
    ]  # fmt: skip
    days = st.one_of(
        st.sampled_from(edges),
        st.dates(max(FIRST, date(year - 2, 1, 1)), min(LAST, date(year + 1, 12, 31))),
        st.dates(FIRST, LAST),
    )

    def later(day: date) -> date | None:
        stays = draw(st.none() | st.integers(1, 500))
        return None if stays is None or (LAST - day).days < stays else day + timedelta(days=stays)

    layers, on_top = [], []
    for at, cover_cm in enumerate(draw(st.lists(st.sampled_from((25.0, 15.0, 8.0, 2.0))))[:4]):
        layers.append(
            Layer(
                id=f"layer-{at}",
                cultivar_id=draw(st.sampled_from(KINDS)),
                count=draw(st.sampled_from((1, 7, 300))),
                cover_cm=cover_cm,
                planted=(day := draw(days)),
                lifted_on=later(day),
                prechill_weeks=draw(st.sampled_from((0.0, 10.0))),
                state=draw(st.sampled_from(("planned", "planted", "flowering", "lifted"))),
            )
        )
    for at in range(draw(st.integers(0, 3))):
        on_top.append(
            CompanionPlanting(
                id=f"companion-{at}",
                companion_id=draw(st.sampled_from(ON_TOP)),
                count=draw(st.sampled_from((1, 9, 1000))),
                planted=(day := draw(days)),
                taken_out=later(day),
            )
        )
    pot = Pot(
        id="pot",
        name="Pot",
        top_width_cm=50,
        bottom_width_cm=40,
        inside_height_cm=45,
        layers=tuple(sorted(layers, key=lambda layer: -layer.cover_cm)),
        companions=tuple(on_top),
        site=draw(st.sampled_from(("open", "warm-wall", "shed"))),
    )
    place = draw(st.sampled_from(("London", "Melbourne", "Minneapolis", "Miami")))
    records = [
        Record(
            id="new",
            day=draw(days),
            layer_id=draw(st.sampled_from(layers)).id,
            seen=draw(st.sampled_from(("nose", "first-flower", "full", "over"))),
            confirmed=draw(st.sampled_from((None, True))),
        )
        for _ in range(draw(st.integers(0, 5)) if layers else 0)
    ]
    return add_records(asking.yard(pot, place=place, season_year=year), records)


def ids(of: Yard) -> list[str]:
    found = [layer.id for _, layer in of.layers()] + [each.id for _, each in of.companions()]
    return found + [record.id for record in of.records]


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(yards(), st.dates(FIRST, LAST))
def test_every_use_of_a_yard_holds_together(of: Yard, today: date) -> None:
    report = season_report(asking.outlook(of, today=today))
    for layer in report.layers:
        if layer.start is None or layer.end is None:
            continue
        assert layer.start.p50 <= layer.end.p50
        out = of.layer(layer.layer_id)[1].lifted_on
        assert out is None or layer.end.p50 <= out
        assert layer.established or layer.start.p50 >= layer.planted
    for on_top in report.companions:
        if on_top.first is not None and on_top.last is not None:
            assert report.first_day <= on_top.first <= on_top.last <= report.last_day
    successions(asking.outlook(of))
    plan = work_plan(asking.outlook(of, today=today))
    assert len({task.key for task in plan.tasks}) == len(plan.tasks)
    (card,) = cards_for(asking.outlook(of), with_empty=True)
    assert len(pot_contents(asking.outlook(of))) == 1
    there = [layer for layer in of.pots[0].layers if layer.state != "lifted"]
    assert len(card.layers) == len(there)  # each layer once, on its own day
    assert all(
        layer.planted == day.planted
        for day in card.days
        for layer in day.steps
        if isinstance(layer, CardLayer)
    )
    shopping_list(asking.outlook(of))


@settings(max_examples=40, deadline=None)
@given(yards())
def test_files_and_new_seasons_lose_nothing(of: Yard) -> None:
    for _ in range(3):
        assert parse_yard(dump_yard(of), name="x") == of
        if of.season_year >= 2198:
            return
        turned = roll_over(asking.outlook(of)).yard
        assert ids(turned) == ids(of)
        assert turned.records == of.records
        of = turned
