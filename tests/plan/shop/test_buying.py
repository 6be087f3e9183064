from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import numpy as np
import pytest
from asking import catalogue, outlook
from asking import yard as asked_yard
from hypothesis import given
from hypothesis import strategies as st
from shopping_yards import layer, pot, yard

from bloomline.errors import UnknownNameError
from bloomline.model import edits, store_edits
from bloomline.model.companion import CompanionPlanting
from bloomline.model.companion_edits import add_companion
from bloomline.model.money import rounded
from bloomline.model.store import Price
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.forecast.planting_day import order_by
from bloomline.plan.pot.compost import bags_for
from bloomline.plan.shop.bulb_lines import planting_window
from bloomline.plan.shop.buying import pots_to_fill, shopping_list
from bloomline.plan.shop.words import left_words, settling_words

KINDS = [
    "tulipa-shirley",
    "tulipa-queen-of-night",
    "narcissus-hawera",
    "crocus-tommasinianus-ruby-giant",
]

TULIP_DAY = date(2026, 11, 7)


def shop(here, **options):
    return shopping_list(outlook(here, **options))


def price(pack, amount, cultivar_id="tulipa-shirley"):
    return Price(cultivar_id=cultivar_id, pack=pack, price=amount)


layers = st.lists(
    st.tuples(
        st.sampled_from(KINDS),
        st.integers(1, 80),
        st.sampled_from(["planned", "planned", "planted", "lifted"]),
    ),
    min_size=1,
    max_size=6,
)


@given(layers, st.dictionaries(st.sampled_from(KINDS), st.integers(0, 60)))
def test_cupboard_and_packs_cover_the_plan(drawn, stock):
    here = yard(
        *(
            pot(i, layer(i, kind, count, state=state))
            for i, (kind, count, state) in enumerate(drawn)
        )
    )
    for kind, count in stock.items():
        here = store_edits.set_stock(here, kind, count)
    found = shop(here)
    planned: dict[str, int] = {}
    for kind, count, state in drawn:
        if state == "planned":
            planned[kind] = planned.get(kind, 0) + count
    assert {line.cultivar_id: line.needed for line in found.bulbs} == planned
    for line in found.bulbs:
        bought = sum(size * n for size, n in line.packs)
        assert bought == line.bought
        assert line.to_buy == max(line.needed - line.in_cupboard, 0)
        assert line.bought + line.in_cupboard == line.needed + line.spare
        assert line.spare >= 0
        # One pack less would not do.
        assert not line.packs or line.bought - min(size for size, _ in line.packs) < line.to_buy
    costs = [line.cost for line in (*found.bulbs, *found.bags)]
    assert found.total == sum(costs)
    assert isinstance(found.total, Decimal)


def test_money_is_exact():
    # 3 × 0.10 + 3 × 0.20 is 0.90; with doubles it is 0.9000000000000001.
    here = yard(
        pot(1, layer(1, count=3, state="planned")),
        pot(
            2,
            layer(2, "narcissus-hawera", count=3),
            layer(3, "tulipa-queen-of-night", 9, state="planted"),
        ),
    )
    here = store_edits.set_prices(here, [price(1, 0.1), price(1, 0.2, "narcissus-hawera")])
    found = shop(here)
    assert found.bulbs_total == Decimal("0.9")
    assert 3 * 0.1 + 3 * 0.2 != 0.9
    assert {line.basis for line in found.bulbs} == {"own"}


def test_own_packs_are_combined_the_cheapest_way():
    here = store_edits.set_prices(
        yard(pot(1, layer(1, count=60))), [price(10, 4.0), price(25, 7.5), price(50, 13.0)]
    )
    (line,) = shop(here).bulbs
    assert line.packs == ((50, 1), (10, 1))
    assert line.cost == Decimal(17)


def test_typical_prices_are_marked_and_never_converted():
    (line,) = shop(yard(pot(1, layer(1)))).bulbs
    assert (line.basis, line.cost) == ("typical", Decimal(10))
    assert any("from memory" in each.message for each in shop(yard(pot(1, layer(1)))).advice)
    abroad = shop(yard(pot(1, layer(1)), currency="EUR"))
    assert (abroad.bulbs[0].basis, abroad.bulbs[0].cost) == ("unknown", None)
    assert "Tulipa 'Shirley'" in abroad.unpriced
    assert abroad.total == 0
    (told,) = [each for each in abroad.advice if each.topic == "price"]
    assert "not converted to EUR" in told.message


def test_only_what_is_planned_for_this_season_is_bought():
    here = yard(
        pot(1, layer(1), layer(2, "narcissus-hawera", cover_cm=8, state="planted")),
        pot(2, layer(3, "tulipa-queen-of-night", planted=date(2025, 11, 7))),
        pot(3, layer(4, "crocus-tommasinianus-ruby-giant", planted=date(2027, 10, 7))),
    )
    found = shop(here)
    assert [line.cultivar_id for line in found.bulbs] == ["tulipa-shirley"]
    # Pot 1 holds bulbs already, so it isn't filled anew.
    assert found.bags == ()
    assert pots_to_fill(here, garden=garden_of(here.place)) == ()
    lifted = edits.change_layer(here, "layer-2", state="lifted")
    assert [one.id for one in pots_to_fill(lifted, garden=garden_of(here.place))] == ["pot-1"]


def test_pots_to_buy_are_counted_by_make():
    here = yard(*(pot(i, to_buy=True) for i in range(3)), pot(7, to_buy=True, material="wood"))
    assert [line.count for line in shop(here).pots] == [3, 1]
    assert len(shop(here).unpriced) == 2


def test_when_to_order_and_plant():
    (line,) = shop(yard(pot(1, layer(1)))).bulbs
    # At the reference garden the window is that of the rules, mid-October to mid-December, moved
    # by no more than the days between the two stations.
    assert abs((line.window[0] - date(2026, 10, 15)).days) <= 10
    assert (line.window[1] - line.window[0]).days == 61
    assert line.window[0] <= line.usual_day <= line.window[1]
    assert (min(line.planned_day, line.usual_day) - line.order_by).days == 56
    late = shop(yard(pot(1, layer(1))), today=date(2026, 10, 1)).advice
    assert any(each.topic == "order" for each in late)
    early = shop(yard(pot(1, layer(1))), today=date(2026, 8, 1)).advice
    assert not any(each.topic == "order" for each in early)


def test_the_window_of_every_kind_holds_its_usual_day_or_nearly():
    first_day = np.datetime64("2026-06-01", "D")
    for cultivar in catalogue():
        usual = cultivar.ref_planted.in_year(2026)
        if usual < date(2026, 6, 1):
            usual = cultivar.ref_planted.in_year(2027)
        start, end = planting_window(cultivar, usual_day=usual, first_day=first_day)
        assert start < end, cultivar.id
        assert (start - usual).days <= 20, cultivar.id
        assert (usual - end).days <= 20, cultivar.id


def test_totals_are_the_sums_of_the_lines_as_they_are_shown():
    # Prices of a tenth of a penny: 20.9, 19.9 and 41.0 beside each other would not add up.
    here = yard(
        pot(1, layer(1, count=3), layer(2, "narcissus-hawera", 3, cover_cm=8)),
        pot(2, layer(3, "tulipa-queen-of-night", 3), to_buy=True),
    )
    here = store_edits.set_prices(
        here, [price(1, 3.335), price(1, 0.005, "narcissus-hawera"), price(3, 1.004)]
    )
    here = store_edits.set_bag_price(here, "multipurpose", 7.3335)
    here = store_edits.set_pot_prices(here, ["pot-2"], 9.995)
    found = shop(here)
    lines = [*found.bulbs, *found.bags, *found.plants, *found.pots]
    for line in lines:
        assert line.cost == rounded(line.cost, currency="GBP")
    assert found.total == sum(line.cost for line in lines)
    parts = (found.bulbs_total, found.bags_total, found.plants_total, found.pots_total)
    assert found.total == sum(parts)
    assert found.pots_total == 10
    assert found.unpriced == ()


def test_compost_is_bought_for_what_has_to_be_filled():
    def filled(here):
        return [one.id for one in pots_to_fill(here, garden=garden_of(here.place))]

    tulips = layer(1)
    old = {"cultivar_id": "narcissus-hawera", "cover_cm": 8}
    standing = layer(2, **old, planted=date(2025, 10, 1), state="planted")
    leaving = layer(2, **old, planted=date(2025, 10, 1), state="planted", lifted_on=TULIP_DAY)
    later = layer(2, **old, planted=date(2027, 10, 1))
    assert filled(yard(pot(1, tulips, standing))) == []
    assert filled(yard(pot(1, tulips, leaving))) == ["pot-1"]
    assert filled(yard(pot(1, tulips, later))) == ["pot-1"]
    assert filled(yard(pot(1, standing), pot(2))) == []
    found = shop(yard(pot(1, tulips), pot(2, layer(3, state="planted"))))
    # Litres of the list are those of the pots, all and only those that are filled.
    needed = sum(line.need_l for line in found.bags)
    fills = sum(fill.loose_l + fill.dressing_l for fill in found.fills)
    assert [fill.pot_id for fill in found.fills] == ["pot-1"]
    assert needed == pytest.approx(fills)
    for line in found.bags:
        assert line.left_l == pytest.approx(line.bought_l + line.at_hand_l - line.need_l)


def test_compost_at_hand_comes_off():
    here = yard(pot(1, layer(1), compost_recipe="multipurpose"))
    (whole,) = shop(here).bags
    (part,) = shop(store_edits.set_at_hand(here, "multipurpose", whole.need_l - 15.0)).bags
    assert part.need_l == whole.need_l
    assert part.bags == (("bag of multipurpose, 20 L", 1),)
    (none,) = shop(store_edits.set_at_hand(here, "multipurpose", 500.0)).bags
    assert (none.bags, none.cost, none.basis) == ((), 0, "nothing to buy")


def test_no_bag_is_bought_for_a_handful_or_for_what_settling_covers():
    small = {"top_width_cm": 20, "bottom_width_cm": 15, "inside_height_cm": 20}
    lines = {line.material: line for line in shop(yard(pot(1, layer(1), **small))).bags}
    assert lines["grit"].is_handful
    assert lines["grit"].cost == 0
    # 51.8 L of a mix of one part are one bag of 50 L; a tenth more are not.
    for need_l, bags in ((51.8, 1), (57.0, 2)):
        (line,) = bags_for({"multipurpose": need_l}, yard=yard())
        assert sum(n for _, n in line.bags) == bags


def test_settling_is_told_where_a_figure_below_nothing_is_shown():
    found = shop(yard(pot(1, layer(1))))
    line = found.bags[0]
    for left_l, told in ((-3.0, True), (-0.6, True), (-0.4, False), (0.0, False), (2.0, False)):
        shown = replace(line, left_l=left_l)
        assert bool(settling_words(replace(found, bags=(shown,)))) is told
        assert left_words(shown).startswith("−") is told


def test_the_order_day_has_one_rule():
    found = shop(yard(pot(1, layer(1), layer(2, "crocus-tommasinianus-ruby-giant", cover_cm=5))))
    for line in found.bulbs:
        assert line.order_by == order_by(planned=line.planned_day, usual=line.usual_day)
    day, usual = date(2026, 10, 9), date(2026, 11, 1)
    assert (
        order_by(planned=day, usual=usual)
        == order_by(planned=usual, usual=day)
        == date(2026, 8, 14)
    )


def test_budget_and_what_is_over():
    found = shop(yard(pot(1, layer(1)), budget=12.5))
    assert found.budget == Decimal("12.5")
    assert found.over == found.total - Decimal("12.5") > 0
    assert shop(yard(pot(1, layer(1)))).over == 0


def test_south_of_the_equator_seasons_are_turned():
    melbourne = {
        "station_id": "0-36-9-94866",
        "name": "Melbourne",
        "latitude_deg": -37.8,
        "longitude_deg": 145.0,
    }
    here = yard(pot(1, layer(1, planted=date(2027, 5, 10))), place=melbourne, currency="AUD")
    (line,) = shop(here).bulbs
    assert 3 <= line.window[0].month <= 6
    assert line.order_by < line.usual_day


def test_an_empty_yard_and_unknown_names():
    found = shop(yard())
    assert (found.bulbs, found.bags, found.total, found.advice) == ((), (), 0, ())
    with pytest.raises(UnknownNameError, match="tulipa-shirly"):
        shop(yard(pot(1, layer(1, "tulipa-shirly"))))


def test_companions_for_the_season_are_listed_without_a_price() -> None:
    work = asked_yard([("tulipa-shirley", "2026-11-10")], [("narcissus-hawera", "2026-10-01")])
    for number, (pot_id, day) in enumerate(
        (("pot-0", date(2026, 10, 20)), ("pot-1", date(2026, 10, 12)), ("pot-1", date(2025, 10, 1)))
    ):
        planting = CompanionPlanting(
            id=f"companion-{number}", companion_id="winter-pansy", count=5, planted=day
        )
        work = add_companion(work, pot_id, planting)
    shopping = shopping_list(outlook(work))
    (line,) = shopping.plants
    assert (line.count, line.set_out, line.pot_ids) == (10, date(2026, 10, 12), ("pot-0", "pot-1"))
    assert any("winter pansy" in name for name in shopping.unpriced)


def test_companions_and_bulbs_of_the_season_end_on_the_same_day() -> None:
    for day, counted in ((date(2027, 8, 30), 1), (date(2027, 8, 31), 0)):
        work = asked_yard([("colchicum-autumnale", day.isoformat())])
        planting = CompanionPlanting(
            id="companion-1", companion_id="winter-pansy", count=5, planted=day
        )
        shopping = shopping_list(outlook(add_companion(work, "pot-0", planting)))
        assert len(shopping.plants) == len(shopping.bulbs) == counted
