from __future__ import annotations

from datetime import date

import pytest
from filling_yards import SIZES, ask, faults, money, pot, yard
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.model.yard import InStock, Layer
from bloomline.plan.fill.answer_words import gained_words, proof_words
from bloomline.plan.fill.pot import suggest_pot
from bloomline.plan.fill.wishes import KNOWN_DAYS, LAYER_DAYS, Wishes, again_days
from bloomline.plan.fill.yard import fill_yard
from bloomline.plan.pot.fitting import fit_pot
from bloomline.plan.season.stretch import stretch_colour
from bloomline.plan.season.yard import season_report
from bloomline.plan.shop.buying import shopping_list

FIRST, LAST = date(2027, 2, 15), date(2027, 5, 15)
FOUR = yard(*(pot(n, size=SIZES[n % 3]) for n in range(1, 5)))


@pytest.fixture(scope="module")
def found():
    wishes = Wishes(first=FIRST, last=LAST, budget=money(60), bulbs_only=True)
    return fill_yard(ask(FOUR), wishes, seconds=6.0)


def test_three_answers_that_keep_the_money_and_differ(found):
    assert [each.title for each in found.answers] == [
        "Most colour",
        "For less money",
        "Other kinds",
    ]
    first, cheap, other = found.answers
    assert first.bulbs_cost <= 60
    assert cheap.bulbs_cost <= money(0.6) * first.bulbs_cost
    assert not set(first.kinds) & set(other.kinds)


def test_days_are_those_that_the_season_says(found):
    for answer in found.answers:
        after = ask(answer.apply(FOUR))
        colour = stretch_colour(after, FIRST, LAST, pot_ids=[each.id for each in FOUR.pots])
        assert answer.days == pytest.approx(colour.colour.expected)
        pots = [each.expected for each in colour.pots.values()]
        assert answer.pot_days == pytest.approx(sum(pots) / len(pots))
        assert answer.weeks_of_colour == pytest.approx(
            season_report(after).weeks_of_colour.expected
        )
        assert faults(answer.yard) == []


def test_it_says_why_and_why_not_the_next_best(found):
    first = found.answers[0]
    assert any("The next best" in each and "instead" in each for each in first.why)
    assert any("a taste" in each for each in first.why)
    assert not any("The next best" in each for each in found.answers[1].why)


def test_a_few_pots_are_many_kinds_in_layers(found):
    first = found.answers[0]
    uses = [each.layer.cultivar_id for each in first.layers]
    assert max(uses.count(name) for name in uses) <= 2
    assert len(first.layers) >= 2 * len(FOUR.pots)


def test_the_bound_is_told_and_lies_above(found):
    for answer in found.answers:
        assert answer.bound is not None
        assert answer.bound >= answer.score - 1e-6
        assert 0.0 <= answer.bound_gap_percent < 100.0


def test_each_answer_is_held_against_plans_like_it(found):
    first, cheap, other = found.answers
    assert cheap.score - 1e-6 <= cheap.bound <= first.bound
    assert "so little money" in proof_words(cheap)
    assert "ithout the kinds of the first" in proof_words(other)
    assert "kinds of the first" not in proof_words(first)


def test_compost_is_reckoned_in_whole_bags_and_the_best_is_nearly_proven():
    # Bags cost as much as the bulbs here: a plan by the litre would not be paid for.
    two = yard(pot(1, size=(40, 32, 36)), pot(2, size=(32, 24, 30)))
    wishes = Wishes(first=FIRST, last=LAST, scent=True, budget=money(25))
    found = fill_yard(ask(two), wishes, seconds=20.0, most_answers=1)
    first = found.answers[0]
    assert first.cost <= 25
    assert first.bags_cost > 0
    assert first.bound_gap_percent < 0.5
    (empty,) = {each.id for each in two.pots} - {each.pot_id for each in first.layers}
    assert f"{two.pot(empty).name} stays as it is." in first.why


@settings(max_examples=4)
@given(st.floats(20.0, 90.0), st.booleans(), st.sampled_from([None, 3]), st.booleans())
def test_money_room_and_kinds_are_never_broken(budget, bulbs_only, most, harmless):
    two = yard(pot(1), pot(2, size=SIZES[2]))
    here = ask(two)
    wishes = Wishes(
        first=FIRST,
        last=LAST,
        budget=money(round(budget, 2)),
        bulbs_only=bulbs_only,
        kinds_most=most,
        harmless=harmless,
    )
    for answer in fill_yard(here, wishes, seconds=1.5, most_answers=2).answers:
        after = shopping_list(ask(answer.apply(two)))
        assert (after.bulbs_total if bulbs_only else after.total) <= wishes.budget
        assert most is None or len(answer.kinds) <= most
        for each in answer.yard.pots:
            fit = fit_pot(each, cultivar_of=here.cultivar_of)
            assert all(layer.count <= layer.room.usual for layer in fit.layers)


def test_a_search_that_is_ended_keeps_the_best_so_far():
    wishes = Wishes(first=FIRST, last=LAST)
    found = fill_yard(ask(FOUR), wishes, seconds=5.0, go=lambda share: share < 0.25)
    assert found.stopped
    assert len(found.answers) == 1
    assert found.answers[0].days_gained > 0


def test_only_the_pots_that_may_be_filled_are():
    wishes = Wishes(first=FIRST, last=LAST)
    found = fill_yard(ask(FOUR), wishes, pot_ids=["pot-2"], seconds=2.0, most_answers=1)
    assert {each.pot_id for each in found.answers[0].layers} == {"pot-2"}


def test_without_pots_it_says_what_to_do():
    assert "Add one first" in fill_yard(ask(yard()), Wishes()).nothing


def measured(answer, before, pot_ids):
    """What an answer gains by the measure as it is stated, reckoned from the season of its yard."""
    first, last = date(2027, 2, 1), date(2027, 5, 31)

    def days(of):
        found = stretch_colour(ask(of), first, last, pot_ids=pot_ids)
        pots = sum(each.expected for each in found.pots.values())
        return found.colour.expected + pots / len(pot_ids)

    again = len(answer.layers) - len(answer.kinds)
    known = sum(each.common_type in ("tulip", "narcissus", "crocus") for each in answer.layers)
    taste = LAYER_DAYS * len(answer.layers) + KNOWN_DAYS * known
    taste -= again_days(len(pot_ids)) * again
    return days(answer.yard) - days(before) + taste / len(pot_ids)


def nearly_full(*, stock):
    """Three pots without room and one with some above a lily, for bulbs that are there already."""

    def lying(name, cultivar_id, cover_cm, *, day=date(2026, 11, 6), count=20):
        return Layer(id=name, cultivar_id=cultivar_id, count=count, cover_cm=cover_cm, planted=day)

    october = date(2026, 10, 9)
    return yard(
        pot(
            1,
            lying("a1", "tulipa-queen-of-night", 22.0),
            lying("a2", "narcissus-geranium", 14.0, day=october),
            lying("a3", "crocus-chrysanthus-cream-beauty", 6.0, day=october),
            size=(50, 40, 45),
        ),
        pot(
            2,
            lying("b1", "tulipa-spring-green", 18.0),
            lying("b2", "narcissus-tete-a-tete", 10.0, day=october),
            size=(40, 40, 40),
        ),
        pot(3, lying("c1", "tulipa-west-point", 15.0), size=(40, 40, 30)),
        pot(
            4,
            lying("d1", "lilium-tiny-bee", 12.0, day=date(2026, 10, 20), count=3),
            size=(30, 22, 28),
        ),
        cupboard=tuple(InStock(cultivar_id=name, count=26) for name in stock),
    )


def test_the_first_counts_most_by_its_own_measure_with_pots_that_are_full():
    full = nearly_full(stock=("narcissus-geranium", "narcissus-tete-a-tete"))
    names = [each.id for each in full.pots]
    found = fill_yard(ask(full), Wishes(budget=money(0)), seconds=3.0)
    assert len(found.answers) == 2
    worth = [measured(each, full, names) for each in found.answers]
    assert max(worth) == worth[0]
    for each, counts in zip(found.answers, worth, strict=True):
        assert each.counted.total == pytest.approx(counts, abs=1e-6)
        assert any(words.startswith(f"It counts {counts:.1f} days:") for words in each.why)
        assert f"{each.days_gained:.1f} days of colour gained in the yard" in gained_words(each)
        assert f"{each.pot_days_gained:.1f} in the mean of the pots" in gained_words(each)


def test_a_kind_that_stands_elsewhere_brings_only_what_it_flowers_longer():
    full = nearly_full(stock=("narcissus-tete-a-tete",))
    (answer,) = fill_yard(ask(full), Wishes(budget=money(0)), seconds=3.0).answers
    assert answer.kinds == ("Narcissus 'Tête-à-Tête'",)
    before = stretch_colour(ask(full), date(2027, 2, 1), date(2027, 5, 31)).colour.expected
    # Weighed at its usual depth it is a day or so off, not the flower of a kind of its own.
    assert answer.score - before == pytest.approx(answer.counted.total, abs=1.5)


@settings(max_examples=3, deadline=None)
@given(st.dates(date(2026, 9, 1), date(2026, 11, 20)), st.sampled_from([None, 0, 30]))
def test_no_answer_counts_more_than_the_first(today, budget):
    full = nearly_full(stock=("narcissus-geranium", "narcissus-tete-a-tete"))
    here = ask(full, today=today)
    wishes = Wishes(budget=None if budget is None else money(budget))
    answers = fill_yard(here, wishes, seconds=2.0).answers
    assert all(not each.is_worth_more(answers[0]) for each in answers)
    for one in ("pot-3", "pot-4"):
        answers = suggest_pot(here, one, wishes).answers
        assert all(not each.is_worth_more(answers[0]) for each in answers)
