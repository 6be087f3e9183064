from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import combinations

import numpy as np
import pytest
from asking import catalogue
from filling_yards import FIRST, LAST, ask, faults, money, pot, yard
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.engine.covering import all_sets
from bloomline.engine.stacking import covers_of
from bloomline.model.colours import Family, family_of
from bloomline.model.cultivar import Cultivar, MixPart
from bloomline.model.mixing import mixture_of
from bloomline.model.planting_edits import plant_layers
from bloomline.model.store import InStock, Price
from bloomline.model.yard import Layer, OwnCultivar
from bloomline.plan.fill.answer_words import proof_words
from bloomline.plan.fill.choices import choices_in, days_to_plant
from bloomline.plan.fill.money import Purse
from bloomline.plan.fill.pot import suggest_pot
from bloomline.plan.fill.wishes import KNOWN_DAYS, LAYER_DAYS, Wishes, settled
from bloomline.plan.pot.fitting import fit_pot
from bloomline.plan.season.colour import HANDOVER_DAYS
from bloomline.plan.season.stretch import stretch_colour
from bloomline.plan.season.yard import season_report
from bloomline.plan.shop.buying import shopping_list

WISHES = Wishes(first=FIRST, last=LAST)
EMPTY = yard(pot())


def test_a_pot_for_15_pounds_of_bulbs_is_in_colour_for_eight_of_ten_weeks_with_scent():
    # The known case: a pot 30 × 40 cm, late February to early May, at Bath, typical prices.
    wishes = replace(WISHES, scent=True, budget=money(15), bulbs_only=True)
    found = suggest_pot(ask(EMPTY), "pot-1", wishes)
    best = found.answers[0]
    assert best.days >= 8 * 7
    assert any(each.scent for each in best.layers)
    assert best.bulbs_cost <= 15
    assert best.bound_gap_percent < 2.0
    assert faults(best.yard) == []
    assert len(found.answers) == 3


def test_70_bulbs_for_15_pounds_are_in_colour_for_five_weeks_at_most():
    """Every set of kinds that 70 bulbs for the money can be of; typical prices, from memory.

    So the weeks of the known case and a full pot are not to be had for the same money.
    """
    most_bulbs, money_ = 70, 15.0
    here = ask(EMPTY)
    wishes = settled(here, replace(WISHES, budget=money(15), bulbs_only=True))
    purse = Purse(here)
    (day,) = days_to_plant(here, wishes, EMPTY.pots[0])
    found = choices_in(here, wishes, EMPTY.pots[0], purse, planted=day, most=1)
    packs = []  # of each kind: money, and the bulbs that lie well for it
    for kind, amount in zip(found.found.kinds, found.amounts, strict=True):
        costs = [float(each) for each in purse.costs(kind, amount.room)]
        most = {cost: n for n, cost in enumerate(costs) if n >= amount.least}
        packs.append(sorted(most.items()))
    rate = max(n / cost for each in packs for cost, n in each)
    least, least_bulbs = (np.array([each[0][at] for each in packs]) for at in (0, 1))
    bulbs, free = found.bulbs(), list(found.intervals)

    def may_reach(sets):
        left = money_ - least[sets].sum(axis=1)
        reach = least_bulbs[sets].sum(axis=1) + left * rate
        lies = ~np.isnan(covers_of(sets, bulbs=bulbs, intervals=free)[:, 0])
        return lies & (left >= -1e-9) & (reach >= most_bulbs)

    first = np.maximum(found.found.opens[:, None], found.found.opens[None, :])
    last = np.minimum(found.found.over[:, None], found.found.over[None, :])
    together = last - first <= HANDOVER_DAYS
    np.fill_diagonal(together, False)
    sets = all_sets(found.cover, together=together, fits=may_reach, most=4, least_of_best=0.0)

    def most_for_the_money(members):
        ways = {0.0: 0}
        for k in members:
            ways = {
                spent + cost: max(n + more, ways.get(spent + cost, 0))
                for spent, n in ways.items()
                for cost, more in packs[k]
                if spent + cost <= money_ + 1e-9
            }
        return max(ways.values(), default=0)

    days = [
        float(sets.days[at])
        for at in np.argsort(-sets.days)
        if most_for_the_money([int(k) for k in sets.kinds[at] if k >= 0]) >= most_bulbs
    ]
    assert len(sets) > 300
    assert 5.0 * 7 <= days[0] <= 5.4 * 7


def test_of_ways_as_good_the_fullest_is_taken_and_a_taste_tells_what_it_costs():
    wishes = replace(WISHES, scent=True, budget=money(15), bulbs_only=True)
    first, *others = suggest_pot(ask(EMPTY), "pot-1", wishes).answers
    (told,) = (each for each in first.why if each.startswith("That taste costs"))
    assert 0.0 < float(told.split()[3]) <= 3 * (LAYER_DAYS + KNOWN_DAYS)
    assert "better" in proof_words(first)
    assert [proof_words(each) for each in others] == ["", ""]


def test_what_is_promised_is_what_the_season_and_the_list_say():
    here = ask(EMPTY)
    start = date(2026, 9, 1)
    wishes = Wishes(first=start, last=date(2027, 8, 31), budget=money(60))
    for answer in suggest_pot(here, "pot-1", wishes).answers:
        planted = answer.apply(EMPTY)
        after = ask(planted)
        report = season_report(after)
        weeks = report.weeks_of_colour.expected
        assert answer.days == pytest.approx(7 * weeks, abs=0.05)
        assert answer.weeks_of_colour == pytest.approx(weeks)
        assert answer.days_gained == pytest.approx(7 * weeks, abs=0.05)
        assert answer.bare_days == pytest.approx(report.bare_days.expected)
        assert answer.cost == shopping_list(after).total - shopping_list(here).total
        assert answer.cost <= 60
        shown = {each.layer.cultivar_id: each for each in answer.layers}
        for layer in report.layers:
            assert shown[layer.cultivar_id].opens == layer.start


def test_no_set_of_a_small_catalogue_is_in_colour_longer():
    # Every set of these kinds, laid out and forecast one by one.
    names = [
        "crocus-vernus-pickwick",
        "narcissus-tete-a-tete",
        "narcissus-geranium",
        "tulipa-west-point",
        "muscari-armeniacum",
    ]
    known = {each.id for each in catalogue()}
    names = [name for name in names if name in known]
    others = tuple(each.id for each in catalogue() if each.id not in names)
    wishes = replace(WISHES, not_liked=others)
    here = ask(EMPTY)
    best = suggest_pot(here, "pot-1", wishes).answers[0]
    asked = settled(here, wishes)
    (day,) = days_to_plant(here, asked, EMPTY.pots[0])
    choices = choices_in(here, asked, EMPTY.pots[0], Purse(here), planted=day)
    kinds = choices.found.kinds
    allowed = {
        tuple(k for k in row if k >= 0): days
        for row, days in zip(choices.sets.kinds.tolist(), choices.sets.days, strict=True)
    }
    most = 0.0
    for size in range(1, 4):
        for some in combinations(range(len(kinds)), size):
            layers = [
                Layer(
                    id=f"l{k}",
                    cultivar_id=kinds[k].id,
                    count=5,
                    cover_cm=kinds[k].cover_cm,
                    planted=day,
                )
                for k in some
            ]
            planted = plant_layers(EMPTY, [("pot-1", each) for each in layers])
            days = stretch_colour(ask(planted), FIRST, LAST).colour.expected
            if some in allowed:
                assert allowed[some] == pytest.approx(days, abs=1e-3)
                most = max(most, days + float(choices.taste[list(some)].sum()))
    assert best.score >= 0.97 * most
    assert best.bound == pytest.approx(most, abs=1e-3)


@settings(max_examples=12)
@given(
    st.floats(8.0, 80.0),
    st.booleans(),
    st.sampled_from(["any", "near", "contrast", "white"]),
    st.booleans(),
    st.sampled_from([None, 1, 2]),
)
def test_money_room_and_wishes_are_never_broken(budget, bulbs_only, colours, harmless, most):
    here = ask(EMPTY)
    wishes = replace(
        WISHES,
        budget=money(round(budget, 2)),
        bulbs_only=bulbs_only,
        colours=colours,
        harmless=harmless,
        kinds_most=most,
        height_most_cm=45.0,
    )
    found = suggest_pot(here, "pot-1", wishes)
    assert found.answers or found.nothing
    for answer in found.answers:
        after = shopping_list(ask(answer.apply(EMPTY)))
        before = shopping_list(here)
        spent = after.bulbs_total if bulbs_only else after.total
        had = before.bulbs_total if bulbs_only else before.total
        assert spent - had <= wishes.budget
        fit = fit_pot(answer.yard.pots[0], cultivar_of=here.cultivar_of)
        assert all(each.count <= each.room.usual for each in fit.layers)
        assert faults(answer.yard) == []
        assert most is None or len(answer.kinds) <= most
        assert all(each.height_cm <= 45.0 for each in answer.layers)
        assert not harmless or all(each.harm == 0 for each in answer.layers)
        assert all(each.layer.planted >= here.today for each in answer.layers)
        if colours == "white":
            families = {family_of(each.colour_hex) for each in answer.layers} - {Family.WHITE}
            assert len(families) <= 1


def test_layers_that_lie_there_stay():
    lying = Layer(
        id="layer-1",
        cultivar_id="tulipa-west-point",
        count=12,
        cover_cm=18.0,
        planted=date(2026, 10, 20),
    )
    before = yard(pot(1, lying))
    answer = suggest_pot(ask(before), "pot-1", WISHES).answers[0]
    after = answer.apply(before)
    assert lying in after.pots[0].layers
    assert len(after.pots[0].layers) > 1
    assert answer.days_gained > 5
    assert faults(after) == []


def test_nothing_is_laid_under_bulbs_in_the_ground():
    rooted = Layer(
        id="layer-1",
        cultivar_id="tulipa-west-point",
        count=12,
        cover_cm=18.0,
        planted=date(2026, 8, 20),
        state="planted",
    )
    before = yard(pot(1, rooted))
    for answer in suggest_pot(ask(before), "pot-1", WISHES).answers:
        assert all(each.layer.cover_cm < 18.0 for each in answer.layers)


def test_the_cupboard_is_used_first():
    stock = yard(pot(), cupboard=(InStock(cultivar_id="tulipa-west-point", count=40),))
    wishes = replace(WISHES, cupboard_first=True, budget=money(12), bulbs_only=True)
    answer = suggest_pot(ask(stock), "pot-1", wishes).answers[0]
    assert "tulipa-west-point" in {each.layer.cultivar_id for each in answer.layers}


def test_a_mixture_and_a_kind_of_ones_own_are_chosen_like_any_other():
    early, late = (catalogue().get(n) for n in ("tulipa-red-riding-hood", "tulipa-negrita"))
    mixed = mixture_of(
        "own-mixed", "Mixed tulips", [MixPart(kind=each, share=1.0) for each in (early, late)]
    )
    crocus = catalogue().get("crocus-vernus-pickwick")
    fields = {name: getattr(crocus, name) for name in Cultivar.model_fields if name != "parts"}
    own = OwnCultivar(**{**fields, "id": "own-crocus", "name": "Crocus of one's own"})
    mine = yard(pot(), own_cultivars=(mixed, own))
    others = tuple(each.id for each in catalogue() if each.id != late.id)
    wishes = replace(WISHES, not_liked=(*others, late.id))
    best = suggest_pot(ask(mine), "pot-1", wishes).answers[0]
    assert {each.layer.cultivar_id for each in best.layers} == {"own-mixed", "own-crocus"}
    after = ask(best.apply(mine))
    assert best.days == pytest.approx(stretch_colour(after, FIRST, LAST).colour.expected)
    # Two kinds one after the other are in colour longer than the later one of them alone.
    alone = replace(WISHES, not_liked=others)
    only = suggest_pot(ask(yard(pot())), "pot-1", alone).answers[0]
    both = replace(wishes, not_liked=(*wishes.not_liked, "own-crocus"))
    assert suggest_pot(ask(mine), "pot-1", both).answers[0].days > only.days + 3


def test_the_fuller_answer_has_clearly_more_bulbs_and_nearly_all_days():
    wishes = replace(WISHES, scent=True, budget=money(15), bulbs_only=True)
    first, fuller = suggest_pot(ask(EMPTY), "pot-1", wishes).answers[:2]
    assert fuller.title == "Fullest for the money"
    assert fuller.bulbs >= 1.2 * first.bulbs
    assert fuller.score >= 0.9 * first.score


def test_ones_own_price_counts():
    dear = suggest_pot(ask(EMPTY), "pot-1", replace(WISHES, budget=money(15), bulbs_only=True))
    first = dear.answers[0].layers[0].layer.cultivar_id
    mine = yard(pot(), prices=(Price(cultivar_id=first, pack=5, price=40.0),))
    found = suggest_pot(ask(mine), "pot-1", replace(WISHES, budget=money(15), bulbs_only=True))
    assert all(first not in {x.layer.cultivar_id for x in each.layers} for each in found.answers)


@pytest.mark.parametrize(
    ("wishes", "words"),
    [
        (replace(WISHES, height_most_cm=3.0), "Allow taller plants"),
        (replace(WISHES, budget=money(1)), "The money does not go far enough"),
        (
            replace(WISHES, not_liked=("tulip",), harmless=True, height_most_cm=4.0),
            "children and pets",
        ),
    ],
)
def test_wishes_that_can_not_be_kept_say_which_to_give_up(wishes, words):
    found = suggest_pot(ask(EMPTY), "pot-1", wishes)
    assert found.answers == ()
    assert words in found.nothing


def test_a_season_whose_planting_time_is_past_says_so():
    found = suggest_pot(ask(EMPTY, today=date(2027, 3, 1)), "pot-1", WISHES)
    assert found.answers == ()
    assert "2028" in found.nothing


def test_it_says_why():
    why = suggest_pot(ask(EMPTY), "pot-1", WISHES).answers[0].why
    text = " ".join(why)
    for part in ("of the 70 days", "The next best", "21 weather years"):
        assert part in text


def test_a_search_that_is_ended_early_gives_the_best_so_far_without_a_proof():
    found = suggest_pot(ask(EMPTY), "pot-1", WISHES, go=lambda share: share < 0.4)
    assert found.stopped
    gap = found.answers[0].bound_gap_percent
    assert gap is None or gap > 0.0


def test_a_robust_answer_is_sure_of_its_days():
    here = ask(EMPTY)
    sure = suggest_pot(here, "pot-1", replace(WISHES, robust=True, budget=money(20)))
    assert sure.answers
    first = sure.answers[0]
    tastes = LAYER_DAYS * len(first.layers)
    assert (first.score - tastes) % KNOWN_DAYS == pytest.approx(0.0, abs=1e-6)
    assert first.score - tastes <= 70.0
    # It tells what it counts as its layers lie: days that are sure, of all that may be in colour.
    after = stretch_colour(ask(first.yard), FIRST, LAST, pot_ids=["pot-1"])
    by_day = after.by_day["pot-1", False]
    assert by_day.sum() == pytest.approx(after.pots["pot-1"].expected)
    assert first.counted.pots == sum(share >= 0.8 for share in by_day.round(6)) > 0
    assert first.counted.pots < by_day.sum()
    assert any("eight years of ten" in each for each in first.why)
    assert any(each.startswith("It counts") for each in first.why)


def test_an_answer_that_makes_no_day_sure_says_so():
    here = ask(EMPTY)
    poor = suggest_pot(here, "pot-1", replace(WISHES, robust=True, budget=money(15)))
    for answer in poor.answers:
        says = any("makes no day sure" in each for each in answer.warnings)
        assert says is (answer.counted.colour == 0.0)
    assert any(answer.counted.colour == 0.0 for answer in poor.answers)
