"""What is said about cold, frost, poison and planting time, and when nothing is said."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from asking import GROUND, POT, catalogue

from bloomline.plan.forecast.advice import cold_advice, frost_advice, planting_advice, poison_advice
from bloomline.plan.forecast.cold import ColdPlan
from bloomline.plan.forecast.shelter import refuge_words
from bloomline.reference.rules import load_rules

SHIRLEY = catalogue().get("tulipa-shirley")
LEAST = SHIRLEY.chill_weeks_min


def test_enough_cold_needs_no_words():
    assert cold_advice(SHIRLEY, cold_weeks=LEAST, blind_share=0.0) == []
    lily = catalogue().get("lilium-star-gazer")
    assert cold_advice(lily, cold_weeks=0.0, blind_share=0.0) == []
    crocus = catalogue().get("crocus-speciosus")
    assert cold_advice(crocus, cold_weeks=0.0, blind_share=0.0) == []


def test_short_of_cold_is_a_caution_and_too_little_a_warning_with_what_helps():
    (short,) = cold_advice(SHIRLEY, cold_weeks=LEAST - 2, blind_share=0.2)
    assert short.severity == "caution" and "short stems" in short.message
    plan = ColdPlan(prechill_weeks=10, chill_from=date(2026, 10, 12), plant_on=date(2026, 12, 21))
    (little,) = cold_advice(SHIRLEY, cold_weeks=3.0, blind_share=1.0, plan=plan)
    assert little.severity == "warning"
    assert f"3 of at least {LEAST:.0f} weeks" in little.message
    assert (
        "Pre-chill 10 weeks at 5-9 °C (in a refrigerator, away from food and ripening fruit) from "
        "mid October, plant in late December." in little.message
    )
    assert "earlier" not in short.message + little.message
    assert "every year" in little.message
    for item in (short, little):
        assert item.topic == "cold" and item.reason and item.source


@pytest.mark.parametrize(
    ("share", "severity", "words"),
    [
        (0.05, "caution", "year of ten"),
        (0.3, "warning", "3 years of ten"),
        (1.0, "warning", "every"),
    ],
)
def test_frost_is_told_with_its_limit_and_how_often(share, severity, words):
    (item,) = frost_advice(SHIRLEY, killed_share=share, help_words=refuge_words(POT, "shed"))
    limit = load_rules().lethal_c(SHIRLEY.genus, SHIRLEY.group)
    assert item.severity == severity and words in item.message
    assert f"{limit.bulb_c:.0f} °C" in item.message and item.source == limit.bulb_source
    assert ". Winter the pot in a shed" in item.message and item.message.endswith("here.")


def test_each_refuge_has_its_own_words_and_none_is_told_that_does_not_work():
    words = [refuge_words(POT, each) for each in ("shed", "garage", "ground", None)]
    assert len(set(words)) == 4
    assert "too cold" in words[1] and "cellar" in words[1]
    assert "too cold" in words[2] and "in the ground" in words[2]
    assert "hardier" in words[3] and "winter the pot" not in words[3]
    assert "mulch" in refuge_words(GROUND, None)


def test_rare_frost_is_not_told():
    assert frost_advice(SHIRLEY, killed_share=0.049, help_words="") == []


def test_every_poisonous_kind_carries_the_usual_cautions():
    told = 0
    for kind in catalogue():
        items = poison_advice(kind, pets=True)
        assert bool(items) == (kind.toxic_pets > 0), kind.id
        for item in items:
            assert item.severity == ("warning" if kind.toxic_pets >= 2 else "caution")
            assert "vet or poisons line" in item.message and "children" in item.message
            assert kind.toxic_note in item.message
            rule = load_rules().toxicity(kind.genus, kind.group)
            if rule is not None and rule.gloves:
                assert "glove" in item.message.lower(), kind.id
            assert item.source
            (quiet,) = poison_advice(kind, pets=False)
            assert quiet.severity == ("caution" if kind.toxic_pets >= 2 else "note")
            told += 1
    assert told > 200
    assert all(kind.toxic_pets >= 2 for kind in catalogue() if kind.genus == "Lilium")


def test_planting_far_from_the_usual_day_is_told_by_how_many_days():
    usual = date(2026, 11, 1)

    def told(days, established=False):
        return planting_advice(
            planted=usual + timedelta(days=days), usual=usual, established=established
        )

    for quiet in (-75, 0, 45):
        assert told(quiet) == []
    (late,), (early,) = told(46), told(-76)
    assert "46 days after" in late.message and "1 November 2026" in late.message
    assert "76 days before" in early.message
    assert told(200, established=True) == []
    # "No flower: plant earlier" and "later and shorter flowering" can't both be so.
    late = usual + timedelta(days=178)
    assert planting_advice(planted=late, usual=usual, established=False, flowers=False) == []
    chilled = planting_advice(
        planted=usual + timedelta(days=60), usual=usual, established=False, prechilled=True
    )
    assert chilled == []  # they wait for cool soil
