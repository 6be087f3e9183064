"""A pot filled by hand arithmetic, and densities of mixes against published ranges."""

from __future__ import annotations

from datetime import date

import pytest

from bloomline.model.yard import Layer, PlaceChoice, Pot, Yard
from bloomline.plan.pot.compost import bag_lines, pot_compost
from bloomline.plan.pot.fitting import fit_pot
from bloomline.plan.pot.weight import pot_weight
from bloomline.reference.catalogue import load_catalogue
from bloomline.reference.rules import load_rules
from bloomline.reference.supplies import load_supplies


def _layer(number: int, cultivar_id: str, count: int, cover_cm: float) -> Layer:
    return Layer(
        id=f"layer-{number}",
        cultivar_id=cultivar_id,
        count=count,
        cover_cm=cover_cm,
        planted=date(2026, 10, 20),
    )


POT = Pot(
    id="pot-1",
    name="By hand",
    top_width_cm=30,
    bottom_width_cm=30,
    inside_height_cm=40,
    wall_cm=1.5,
    material="fired-clay-once",
    rim_gap_cm=2.5,
    layers=(
        _layer(1, "tulipa-queen-of-night", 20, 15.6),  # base 20 cm down
        _layer(2, "narcissus-geranium", 25, 10.0),
        _layer(3, "crocus-tommasinianus-ruby-giant", 30, 5.0),
    ),
)
YARD = Yard(
    name="By hand",
    place=PlaceChoice(name="Ottermere", latitude_deg=52.4, longitude_deg=-1.3),
    season_year=2027,
    pots=(POT,),
)


def test_75_bulbs_fit():
    # 20 late tulips, 25 narcissus and 30 crocus in a pot 30 cm wide and 40 cm deep, the deepest
    # 20 cm down and the crocus 5 cm: common practice, no source.
    fit = fit_pot(POT, cultivar_of=load_catalogue().get)
    assert sum(layer.count for layer in fit.layers) == 75
    assert all(layer.density is not None for layer in fit.layers)


def test_litres_by_hand():
    # Room: π · 15² · 37.5 = 26 507.2 cm³ (rim gap 2.5 cm, no crocks).
    # Bulbs, spheroids of volume π/6 · d³ · (height per width):
    #   tulip     d = 12/π   = 3.8197 cm, 1.15 -> 33.558 cm³, 20 of them   671.15
    #   narcissus d = 13/π   = 4.1380 cm, 1.15 -> 42.666 cm³, 25 of them 1 066.64
    #   crocus    d = 5.5/π  = 1.7507 cm, 0.80 ->  2.248 cm³, 30 of them    67.43
    # Compost: 26.5072 - 1.8052 = 24.702 L; with 15 % for settling 28.407 L.
    compost = pot_compost(POT, yard=YARD, cultivar_of=load_catalogue().get)
    assert compost.volumes.bulbs_l == pytest.approx(1.8052, abs=1e-3)
    assert compost.volumes.compost_l == pytest.approx(24.702, abs=1e-3)
    assert compost.loose_l == pytest.approx(28.407, abs=1e-3)
    # Three parts to one: 21.305 L of multipurpose and 7.102 L of grit.
    assert dict(compost.parts_l) == pytest.approx({"multipurpose": 21.305, "grit": 7.102}, abs=1e-3)
    # One bag of 50 L (8.50) beats two of 20 L (9.00). 20 kg of grit at 1.6 kg/L fill 12.5 L for
    # 6.50; three bags of 5 kg would be 10.50.
    multipurpose, grit = bag_lines([compost], yard=YARD)
    assert multipurpose.bags == (("bag of multipurpose, 50 L", 1),)
    assert multipurpose.left_l == pytest.approx(50 - 21.305, abs=1e-3)
    assert grit.bags == (("bag of grit, 20 kg", 1),)
    assert grit.left_l == pytest.approx(12.5 - 7.102, abs=1e-3)
    assert [str(line.cost) for line in (multipurpose, grit)] == ["8.50", "6.50"]


def test_kilograms_by_hand():
    # Pot: π/4 · (33² · 41.5 - 30² · 40) = 7 220.6 cm³ of clay at 1.8 kg/L = 12.997 kg, give or
    #   take 15 %: 11.047 to 14.947; wet walls hold 8 to 12 % more: 11.931 to 16.740.
    # Mix, dry (3 · 0.15 + 1.5)/4 = 0.4875 to (3 · 0.25 + 1.6)/4 = 0.5875 kg/L; drained
    #   (3 · 0.8 + 1.5)/4 = 0.975 to (3 · 0.95 + 1.6)/4 = 1.1125 kg/L; of 24.702 L:
    #   dry 12.042 to 14.512, drained 24.084 to 27.481 kg.
    # Bulbs: 20 · 26 + 25 · 40 + 30 · 3 = 1 610 g.
    weight = pot_weight(POT, yard=YARD, cultivar_of=load_catalogue().get)
    assert weight.dry_kg.low == pytest.approx(11.047 + 12.042 + 1.610, abs=2e-3)
    assert weight.dry_kg.high == pytest.approx(14.947 + 14.512 + 1.610, abs=2e-3)
    assert weight.wet_kg.low == pytest.approx(11.931 + 24.084 + 1.610, abs=2e-3)
    assert weight.wet_kg.high == pytest.approx(16.740 + 27.481 + 1.610, abs=2e-3)


def test_densities_of_mixes_lie_in_published_ranges():
    # Dry bulk density of soilless container mixes 0.19 to 0.70 kg/L. Source: Southern Nursery
    # Association, Best Management Practices: Guide for Producing Nursery Crops, from memory.
    rules, supplies = load_rules(), load_supplies()
    for recipe in supplies.recipes.values():
        low, high = recipe.dry_kg_per_l(rules)
        if "loam-based" not in recipe.shares:
            assert low <= 0.70 and high >= 0.19, recipe.id  # light mixes reach below it
        else:  # mineral soils 1.0 to 1.6 kg/L, loosened by peat or bark: soil handbooks, memory
            assert 0.70 < (low + high) / 2 < 1.6, recipe.id


def test_drained_compost_holds_the_water_that_was_measured():
    # 65 to 75 % water by volume at container capacity (retail compost physical specification,
    # named in composts.csv): drained less dry weight is that water, 1 kg a litre.
    mix = load_rules().compost("multipurpose")
    water = mix.drained_kg_per_l - mix.dry_kg_per_l
    assert 0.65 <= water <= 0.75


def test_mix_by_parts_agrees_with_the_mix_weighed_as_one():
    # composts.csv has a row of its own for multipurpose and grit, 3 : 1.
    rules = load_rules()
    recipe, whole = load_supplies().recipe("multipurpose-grit"), rules.compost("multipurpose-grit")
    assert sum(recipe.dry_kg_per_l(rules)) / 2 == pytest.approx(whole.dry_kg_per_l, rel=0.05)
    drained = sum(recipe.drained_kg_per_l(rules)) / 2
    assert drained == pytest.approx(whole.drained_kg_per_l, rel=0.05)
