"""Pots that are alike inside share one answer, each by its own names and days."""

from __future__ import annotations

import random
from datetime import date, timedelta

import odd_pots
import pytest
from asking import catalogue
from odd_pots import CROCUS, NARCISSUS, TULIP, deep_pot, layer, yard_of

from bloomline.plan.pot import findings as findings_module
from bloomline.plan.pot.alike import MEASURES, Kinds
from bloomline.plan.pot.compost import composts_of, pot_compost
from bloomline.plan.pot.findings import findings_of, pot_findings
from bloomline.plan.pot.weight import pot_weight, weights_of

OPENS = date(2027, 3, 1).toordinal()


def twin(pot, number):
    """A pot alike inside that stands elsewhere under other names."""
    return pot.model_copy(
        update={
            "id": f"twin-{number}",
            "name": f"Twin {number}",
            "site": "warm-wall",
            "notes": "by the gate",
            "layers": tuple(
                each.model_copy(update={"id": f"{each.id}-{number}", "prechill_weeks": 4.0})
                for each in pot.layers
            ),
        }
    )


def renamed(text, pot):
    return text.replace("Deep pot", pot.name)


POTS = [
    odd_pots.overfull(),
    odd_pots.too_deep(),
    odd_pots.crocus_lowest(),
    odd_pots.impossible_counts("planted"),
    deep_pot(
        layer(1, TULIP, 9, 20, planted=date(2026, 11, 20)),
        layer(2, NARCISSUS, 9, 12),
        layer(3, CROCUS, 9, 12, state="lifted"),
    ),
    deep_pot(layer(1, TULIP, 4, 28), top_width_cm=6, bottom_width_cm=2),
]


@pytest.mark.parametrize("pot", POTS)
def test_a_twin_is_told_the_same_by_its_own_names(pot):
    other = twin(pot, 1)
    days = {each.id: float(OPENS - 20 * at) for at, each in enumerate(pot.layers)}
    days |= {each.id: float(OPENS + 7 - 20 * at) for at, each in enumerate(other.layers)}
    first, second = findings_of([pot, other], cultivar_of=catalogue().get, flowering_days=days)
    assert first
    ids = {each.id: there.id for each, there in zip(pot.layers, other.layers, strict=True)}
    for a, b in zip(first, second, strict=True):
        assert (b.pot_id, b.pot_name) == (other.id, other.name)
        assert b.layer_ids == tuple(ids[each] for each in a.layer_ids)
        assert b.advice.message == renamed(a.advice.message, other)
        if a.code == "later_above_earlier":
            week = timedelta(days=7)
            assert b.values == tuple(
                (name, (date.fromisoformat(day) + week).isoformat()) for name, day in a.values
            )
        else:
            assert b.values == a.values
        if a.mending is None:
            assert b.mending is None
        else:
            assert b.mending.pot_id == other.id
            assert [each.id for each in b.mending.layers] == [
                ids[each.id] for each in a.mending.layers
            ]
    alone = pot_findings(other, cultivar_of=catalogue().get, flowering_days=days)
    assert alone == second


def test_a_bulb_too_wide_names_its_own_pot():
    pots = [POTS[-1], twin(POTS[-1], 1)]
    told = [
        each.advice.message
        for found in findings_of(pots, cultivar_of=catalogue().get)
        for each in found
        if each.code == "no_room"
    ]
    assert len(told) == 2
    assert "Deep pot" in told[0]
    assert "Twin 1" in told[1]


def test_twins_are_looked_into_once_and_others_are_not_taken_for_them(monkeypatch):
    made = []

    class Counted(findings_module.Finder):
        def __init__(self, *args, **kwargs):
            made.append(args)
            super().__init__(*args, **kwargs)

    monkeypatch.setattr(findings_module, "Finder", Counted)
    pot = deep_pot(layer(1, TULIP, 9, 18), layer(2, CROCUS, 9, 7))
    lower = pot.layers[0]
    others = [
        pot.model_copy(update={"top_width_cm": 31.0}),
        pot.model_copy(update={"crocks_cm": 4.0}),
        *(
            pot.model_copy(update={"layers": (lower.model_copy(update=change), pot.layers[1])})
            for change in (
                {"count": 10},
                {"cover_cm": 17.0},
                {"cultivar_id": NARCISSUS},
                {"planted": lower.planted + timedelta(days=1)},
                {"lifted_on": lower.planted + timedelta(days=250)},
                {"state": "planted"},
            )
        ),
    ]
    every = [pot, *(twin(pot, number) for number in range(5)), *others]
    found = list(findings_of(every, cultivar_of=catalogue().get, with_mending=False))
    assert len(made) == 1 + len(others)
    assert len(found) == len(every)


def test_only_the_turns_of_flowers_matter_inside_a_pot(monkeypatch):
    made = []
    real = findings_module.Finder
    monkeypatch.setattr(
        findings_module, "Finder", lambda *args, **more: made.append(1) or real(*args, **more)
    )
    pots = [twin(POTS[2], number) for number in range(6)]
    draw = random.Random(2)
    days = {}
    for pot in pots:
        start = OPENS + draw.randrange(9)
        days |= {each.id: start + 30.0 * at for at, each in enumerate(pot.layers)}
    for pot, found in zip(
        pots,
        findings_of(pots, cultivar_of=catalogue().get, flowering_days=days),
        strict=True,
    ):
        assert found == pot_findings(pot, cultivar_of=catalogue().get, flowering_days=days)
    assert len(made) == 1 + len(pots)  # one for all, and one for each that was asked about alone


@pytest.mark.parametrize("pot", POTS)
def test_compost_and_weight_of_a_twin_bear_its_name(pot):
    pots = [
        pot,
        twin(pot, 1),
        pot.model_copy(update={"wall_cm": 3.0, "material": "wood"}),
        pot.model_copy(update={"top_dressing": "grit", "top_dressing_cm": 1.0, "copies": 9}),
    ]
    here = yard_of(pot)
    asked = {"yard": here, "cultivar_of": catalogue().get}
    assert list(composts_of(pots, **asked)) == [pot_compost(each, **asked) for each in pots]
    assert list(weights_of(pots, **asked)) == [pot_weight(each, **asked) for each in pots]


def test_what_is_not_named_can_not_be_asked_for_by_its_value():
    kinds = Kinds(lambda bare: bare.material, of_pot=MEASURES, of_layer=("cultivar_id", "count"))
    pot = deep_pot(layer(1, TULIP, 9, 18), material="wood")
    assert kinds.of(pot, pot.layers) == "fired-clay-once"  # the usual one, for every pot
