from __future__ import annotations

import pytest

from bloomline.errors import UnknownNameError
from bloomline.reference.rules import load_rules
from bloomline.reference.supplies import DEFAULT_RECIPE, USUAL_DRESSING, load_supplies


def test_every_mix_and_bag_has_a_source_and_sound_figures():
    supplies, rules = load_supplies(), load_rules()
    assert DEFAULT_RECIPE in supplies.recipes
    for recipe in supplies.recipes.values():
        assert recipe.source
        assert recipe.basis in {"published", "common practice", "memory"}
        assert sum(recipe.shares.values()) == pytest.approx(1)
        dry, drained = recipe.dry_kg_per_l(rules), recipe.drained_kg_per_l(rules)
        assert 0 < dry[0] <= dry[1] < drained[1]
        assert drained[0] <= drained[1]
    for bag in supplies.bags.values():
        assert bag.source
        assert bag.volume_l > 0
        assert bag.basis == "memory"


def test_every_material_of_a_mix_can_be_bought():
    supplies = load_supplies()
    for recipe in supplies.recipes.values():
        for material in recipe.shares:
            assert supplies.bags_of(material), material
    sizes = [bag.volume_l for bag in supplies.bags_of("grit")]
    assert sizes == sorted(sizes)
    # 20 kg at the heaviest, 1.6 kg/L, surely fill 12.5 L.
    assert supplies.bags["grit-20"].volume_l == pytest.approx(12.5)


@pytest.mark.parametrize(
    ("words", "material"),
    [
        ("grit", "grit"),
        ("Pea gravel", "grit"),
        ("fine bark, 1 cm", "fine-bark"),
        ("sharp sand", "sharp-sand"),
        ("moss", "fine-bark"),
        ("", USUAL_DRESSING),
        ("oyster shell", USUAL_DRESSING),
    ],
)
def test_a_top_dressing_in_a_gardeners_words(words, material):
    assert load_supplies().material_named(words) == material


def test_an_unknown_mix_is_told():
    with pytest.raises(UnknownNameError, match="did you mean"):
        load_supplies().recipe("multipurpose-grits")
