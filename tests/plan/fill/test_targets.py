from __future__ import annotations

from datetime import date

import pytest
from filling_yards import ask, pot, yard

from bloomline.errors import EditRefusedError, UnknownNameError
from bloomline.model import edits
from bloomline.model.wish import SeasonWish
from bloomline.model.wish_edits import add_wish, next_wish_id, remove_wish
from bloomline.model.yard import Layer
from bloomline.plan.fill.target_words import lane_words
from bloomline.plan.fill.targets import cheapest_change, targets
from bloomline.plan.season.stretch import stretch_colour

PLANTED = date(2026, 10, 20)


def layer(number, cultivar_id="ipheion-alberto-castillo", cover_cm=5.0):
    return Layer(
        id=f"layer-{number}", cultivar_id=cultivar_id, count=12, cover_cm=cover_cm, planted=PLANTED
    )


def wish(first, last, **fields):
    return SeasonWish(id="wish-1", first=first, last=last, **fields)


def asked(of, **fields):
    return targets(ask(add_wish(of, wish(**fields))))[0]


def test_days_that_hold_are_those_of_the_season():
    one = yard(pot(1, layer(1)))
    found = asked(one, first="04-10", last="05-10")
    expected = stretch_colour(ask(one), date(2027, 4, 10), date(2027, 5, 10)).colour.expected
    assert found.days == pytest.approx(expected, abs=0.3)  # of 64 draws of each date
    assert found.all_days == 31


def test_a_sure_week_is_kept_and_a_bare_one_missed():
    one = yard(pot(1, layer(1)))
    assert asked(one, first="04-02", last="04-05").is_kept
    bare = asked(one, first="07-01", last="07-10")
    assert not bare.is_kept
    assert bare.chance == 0.0
    assert "missed" in bare.words()
    kept = asked(one, first="04-02", last="04-05")
    assert lane_words(kept) == "1 pot in colour: kept"
    assert lane_words(bare) == "1 pot in colour: missed"


def test_pots_and_scent_count_as_wished():
    two = yard(pot(1, layer(1)), pot(2))
    days = {"first": "04-02", "last": "04-05"}
    assert not asked(two, **days, pots_at_least=2).is_kept
    assert asked(two, **days, what="scent").is_kept
    assert not asked(two, **days, pot_ids=("pot-2",)).is_kept
    plain = yard(pot(1, layer(1, "tulipa-west-point")))
    assert asked(plain, first="05-01", last="05-03", what="scent").chance == 0.0


def test_a_winter_wish_runs_over_the_new_year():
    found = asked(yard(pot(1, layer(1))), first="12-20", last="01-10")
    assert (found.first, found.last) == (date(2026, 12, 20), date(2027, 1, 10))


def test_the_cheapest_change_keeps_the_wish():
    empty = add_wish(yard(pot(1), pot(2)), wish("04-02", "04-05"))
    here = ask(empty)
    found = cheapest_change(here, empty.wishes[0])
    assert found is not None
    after = found.apply(empty)
    assert targets(ask(after))[0].is_kept
    assert targets(ask(after))[0].chance == pytest.approx(found.target.chance)
    assert len(found.layers) == 1


def test_a_wish_that_nothing_keeps_has_no_remedy():
    here = add_wish(yard(pot(1)), wish("07-01", "08-30"))
    assert cheapest_change(ask(here), here.wishes[0]) is None


def test_wishes_are_edited():
    before = yard(pot(1), pot(2))
    assert next_wish_id(before) == "wish-1"
    one = add_wish(before, wish("04-01", "04-30", pot_ids=("pot-1",)))
    assert next_wish_id(one) == "wish-2"
    with pytest.raises(EditRefusedError, match="wish-1"):
        add_wish(one, wish("05-01", "05-30"))
    with pytest.raises(EditRefusedError, match="pot-9"):
        add_wish(before, wish("04-01", "04-30", pot_ids=("pot-9",)))
    with pytest.raises(UnknownNameError):
        remove_wish(one, "wish-7")
    assert remove_wish(one, "wish-1") == before
    assert edits.remove_pot(one, "pot-1").wishes == ()
    both = add_wish(before, wish("04-01", "04-30", pot_ids=("pot-1", "pot-2")))
    assert edits.remove_pot(both, "pot-1").wishes[0].pot_ids == ("pot-2",)
