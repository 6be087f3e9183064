from __future__ import annotations

import math
from typing import get_args

import pytest

from bloomline.errors import DataError, UnknownNameError
from bloomline.model.yard import Material
from bloomline.reference.catalogue import load_catalogue
from bloomline.reference.rules import Rules, load_rules

BASES = {"published", "common practice", "memory", "reckoned"}


@pytest.fixture(scope="module")
def rules() -> Rules:
    return load_rules()


def test_every_row_names_its_source(rules: Rules):
    rows = (
        *rules.figures,
        *rules.toxicities(),
        *rules.planting_windows(),
        *rules.composts.values(),
        *rules.materials.values(),
        *rules.lifting,
        *rules.chill_weeks,
        *rules.pot_counts,
        *rules.packing.values(),
        *rules.cautions(),
    )
    for row in rows:
        assert row.source, row
        assert row.basis in BASES, row
        assert row.basis != "common practice" or "no source" in row.source
    for limit in rules.lethal_limits():
        assert limit.bulb_source
        assert limit.roots_source
        assert limit.bulb_basis in BASES
        # Nobody measured roots in pots: that must not be hidden.
        assert limit.roots_basis == "memory"


def test_lethal_temperatures_are_the_measured_ones(rules: Rules):
    # Journal of the Japanese Society for Horticultural Science 29(3): 233-238 (1960).
    assert rules.lethal_c("Tulipa", "Triumph").bulb_c == -10
    assert rules.lethal_c("Hyacinthus").bulb_c == -7
    assert rules.lethal_c("Muscari").bulb_c == -15
    assert rules.lethal_c("Narcissus", "Poeticus").bulb_c == -10
    assert rules.lethal_c("Narcissus", "Trumpet").bulb_c == -7
    assert rules.lethal_c("Gladiolus").bulb_c == -3
    assert rules.lethal_c("Unknownia").bulb_basis == "memory"


def test_roots_die_before_the_bulb(rules: Rules):
    for limit in rules.lethal_limits():
        assert limit.bulb_c <= limit.roots_c < 0, limit


def test_every_cultivar_has_its_rules(rules: Rules):
    for c in load_catalogue():
        assert rules.toxicity(c.genus, c.group) is not None, c.id
        assert rules.lethal_c(c.genus, c.group).genus == c.genus, c.id
        window = rules.planting_window(c.genus, c.group)
        start = window.from_md.day_of_year
        late = (c.ref_planted.day_of_year - start) % 365
        length = (window.to_md.day_of_year - start) % 365
        spring_or_autumn = c.genus in {"Gladiolus", "Ranunculus"}
        assert late <= length or spring_or_autumn, c.id


def test_toxicity_leans_to_caution(rules: Rules):
    lily = rules.toxicity("Lilium")
    assert lily is not None
    assert lily.level == 2
    assert "cat" in lily.what
    crown = rules.toxicity("Fritillaria", "Imperialis")
    snakeshead = rules.toxicity("Fritillaria", "Meleagris")
    assert crown is not None
    assert snakeshead is not None
    assert crown.level > snakeshead.level
    assert rules.toxicity("Unknownia") is None
    tulip = rules.toxicity("Tulipa")
    assert tulip is not None
    assert tulip.gloves


def test_cautions(rules: Rules):
    assert rules.cautions("Lilium")[0].id == "lily-cats"
    assert rules.caution("call-a-vet").genera == ()
    assert {c.id for c in rules.cautions("Tulipa")} == {"gloves"}


def test_figures(rules: Rules):
    assert rules.figure("rim_gap_cm").middle == 2.5
    assert rules.figure("layered_gap_cm").high == 5
    assert {f.topic for f in rules.about("depth")} == {"depth"}
    assert len(rules.about("depth")) >= 8
    with pytest.raises(DataError, match="without a figure"):
        _ = rules.figure("drainage").middle
    with pytest.raises(UnknownNameError, match="rim_gap_cm"):
        rules.figure("rim_gap")
    for figure in rules.figures:
        assert (figure.low is None) == (figure.high is None)
        assert figure.low is None or figure.high is None or figure.low <= figure.high
        assert figure.rule


def test_compost(rules: Rules):
    for compost in rules.composts.values():
        assert compost.dry_kg_per_l <= compost.drained_kg_per_l
        assert 0 < compost.available_water_low <= compost.available_water_high < 0.5
        # Water held weighs at least the water a plant can draw (1 kg a litre).
        if compost.id not in {"grit", "sharp-sand"}:
            gain = compost.drained_kg_per_l - compost.dry_kg_per_l
            assert gain >= (compost.available_water_low + compost.available_water_high) / 2 - 0.05
    with pytest.raises(UnknownNameError, match="multipurpose"):
        rules.compost("peat")


def test_there_is_a_material_for_every_pot_of_the_yard(rules: Rules):
    assert set(rules.materials) == set(get_args(Material))
    metal, wood = rules.material("metal"), rules.material("wood")
    assert metal.conductivity_w_per_m_k > 100 * wood.conductivity_w_per_m_k


def test_packing_ratios_are_the_exact_ones_where_there_is_a_formula(rules: Rules):
    # Closed forms: n circles in a ring 1 + 1/sin(pi/n) for 2 to 6, with one in the middle for 7;
    # 19 circles 1 + sqrt(2) + sqrt(6). Source: Kravitz, Packing cylinders into cylindrical
    # containers, Mathematics Magazine 40: 65-71 (1967).
    assert sorted(rules.packing) == list(range(1, 41))
    for n in range(2, 7):
        assert rules.packing[n].ratio == pytest.approx(1 + 1 / math.sin(math.pi / n), abs=1e-6)
    assert rules.packing[7].ratio == pytest.approx(3, abs=1e-6)
    assert rules.packing[19].ratio == pytest.approx(1 + math.sqrt(2) + math.sqrt(6), abs=1e-6)
    ratios = [rules.packing[n].ratio for n in range(1, 41)]
    assert ratios == sorted(ratios)
    for n, packing in rules.packing.items():
        # n unit circles never cover more than the hexagonal share of the plane, 0.9069.
        assert n / packing.ratio**2 <= 1.0 if n == 1 else n / packing.ratio**2 < 0.9069


def test_lifting_is_marked_as_remembered(rules: Rules):
    assert len(rules.lifting) == 5
    for box in rules.lifting:
        assert box.men_reach_kg < box.men_close_kg
        assert box.women_reach_kg < box.women_close_kg <= box.men_close_kg
        assert box.basis == "memory"


def test_chill_weeks_hold_the_catalogue(rules: Rules):
    for c in load_catalogue():
        if c.chill_basis != "published" or c.chill_weeks_best is None:
            continue
        stated = [
            w
            for w in rules.chill_weeks
            if w.place == "store" and w.genus == c.genus and w.group in ("", c.group)
        ]
        assert stated, c.id
        assert min(w.weeks_low for w in stated) - 4 <= c.chill_weeks_min  # "as few as" notes
        assert c.chill_weeks_best <= max(w.weeks_high for w in stated), c.id


def test_a_broken_row_is_named(rules: Rules):
    from bloomline.reference import rules as module

    with pytest.raises(DataError, match="row 7"):
        list(module._each(module.PackingRatio, [{"#": "7", "n": "x"}]))


def test_garden_least_is_below_the_store_and_stands_in_the_catalogue(rules: Rules):
    """A garden asks for less than forcing does, and the catalogue keeps to the table."""
    garden = {(w.genus, w.group): w for w in rules.chill_weeks if w.place == "garden"}
    assert len(garden) == 22
    for (genus, group), row in garden.items():
        store = [
            w.weeks_low
            for w in rules.chill_weeks
            if w.place == "store" and w.genus == genus and w.group in ("", group)
        ]
        assert row.weeks_low == row.weeks_high < min(store), (genus, group)
    for c in load_catalogue():
        if c.genus == "Narcissus" and c.chill_weeks_min is not None:
            assert c.chill_weeks_min <= garden[c.genus, c.group].weeks_high, c.id
            assert c.chill_basis == "class-typical" and "least in a garden" in c.chill_note, c.id


def test_daffodils_that_flower_unchilled_in_florida_need_least(rules: Rules):
    """Thirty daffodils at Apopka, Florida: 'Erlicheer' among the four best by the third year.

    Proceedings of the Florida State Horticultural Society, Evaluation of thirty daffodils for use
    in central Florida (planted 1998). Poeticus kinds fare poorly there: daffodil societies.
    """
    find = load_catalogue().get
    assert find("narcissus-erlicheer").chill_weeks_min is None
    assert find("narcissus-carlton").chill_weeks_min == 2
    order = ["narcissus-geranium", "narcissus-carlton", "narcissus-dutch-master",
             "narcissus-tahiti", "narcissus-actaea", "tulipa-shirley"]  # fmt: skip
    weeks = [find(name).chill_weeks_min or 0 for name in order]
    assert weeks == sorted(weeks) and len(set(weeks)) == len(order)
