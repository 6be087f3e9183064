from __future__ import annotations

from datetime import date

import pytest
from asking import outlook

from bloomline.files.yardfile import load_yard
from bloomline.model import edits
from bloomline.model.advice import Severity
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, PlaceChoice, Pot, Yard
from bloomline.plan.pot.advice import Writing
from bloomline.plan.pot.weight import pot_weight
from bloomline.plan.season.advice import advice_for
from bloomline.plan.season.yard import season_report
from bloomline.reference.catalogue import load_catalogue


def cultivar_of(cultivar_id: str) -> Cultivar:
    return load_catalogue().get(cultivar_id)


def layer(number: int, cultivar_id: str, *, count: int = 5, cover_cm: float = 12.0) -> Layer:
    return Layer(
        id=f"layer-{number}",
        cultivar_id=cultivar_id,
        count=count,
        cover_cm=cover_cm,
        planted=date(2026, 10, 31),
    )


def yard_of(*layers: Layer, pets: bool = False, height_cm: float = 34.0) -> Yard:
    pot = Pot(
        id="pot-1",
        name="Test pot",
        top_width_cm=30,
        bottom_width_cm=22,
        inside_height_cm=height_cm,
        layers=tuple(sorted(layers, key=lambda each: -each.cover_cm)),
    )
    yard = Yard(
        name="Test",
        place=PlaceChoice(
            station_id="00003772", name="Heathrow", latitude_deg=51.479, longitude_deg=-0.451
        ),
        season_year=2027,
        pots=(pot,),
    )
    return edits.change_settings(yard, pets=pets)


def messages(yard: Yard, **where) -> str:
    return "\n".join(a.message for a in advice_for(outlook(yard), **where))


@pytest.fixture(scope="module")
def demo(checkout):
    yard = load_yard(checkout / "demo" / "hollyhock-lane.bloomline").yard
    return yard, season_report(outlook(yard))


def test_all_advice_has_words_and_the_gravest_comes_first(demo) -> None:
    yard, _report = demo
    rank = {Severity.WARNING: 0, Severity.CAUTION: 1, Severity.NOTE: 2}
    wheres = [{}]
    wheres += [{"pot_id": pot.id} for pot in yard.pots]
    wheres += [{"layer_id": each.id} for _, each in yard.layers()]
    for where in wheres:
        found = advice_for(outlook(yard), **where)
        assert [rank[a.severity] for a in found] == sorted(rank[a.severity] for a in found)
        assert all(a.message and a.source for a in found), where
        assert len({a.message for a in found}) == len(found)


def test_bare_and_crowded_stretches_are_told_for_the_yard(demo) -> None:
    yard, report = demo
    told = messages(yard)
    bare = report.bare[0]
    assert f"Bare for {bare.days} days, from {bare.first} to {bare.last}" in told
    assert f"more than {report.crowd_limit} layers" in told


def test_layers_in_one_another_are_a_warning_on_both() -> None:
    yard = yard_of(
        layer(1, "tulipa-apricot-beauty", cover_cm=12),
        layer(2, "narcissus-hawera", cover_cm=11),
    )
    for where in ({"layer_id": "layer-1"}, {"layer_id": "layer-2"}, {"pot_id": "pot-1"}):
        found = advice_for(outlook(yard), with_season=False, **where)
        assert any(
            a.severity is Severity.WARNING and "lie in one another" in a.message for a in found
        )


def test_a_bulb_under_five_centimetres_is_too_shallow() -> None:
    # At least 5 cm above the tip: container planting leaflet, rule least_cover_cm of the
    # shared rules.
    found = advice_for(
        outlook(yard_of(layer(1, "tulipa-apricot-beauty", cover_cm=2))),
        with_season=False,
        layer_id="layer-1",
    )
    shallow = next(a for a in found if "too shallow" in a.message)
    assert "2 cm" in shallow.message and "5 cm" in shallow.message
    assert shallow.topic == "depth" and shallow.source


def test_too_many_bulbs_are_a_warning_with_what_fits() -> None:
    told = messages(yard_of(layer(1, "tulipa-apricot-beauty", count=400)), layer_id="layer-1")
    assert "400 bulbs" in told and "don't fit" in told and "at most" in told


def test_the_crocks_are_no_place_for_bulbs() -> None:
    told = messages(yard_of(layer(1, "tulipa-apricot-beauty", cover_cm=30)), pot_id="pot-1")
    assert "would lie in the crocks" in told


def test_a_later_kind_above_an_earlier_one_is_told(demo) -> None:
    yard, _ = demo
    pot = next(pot for pot in yard.pots if pot.id == "pot-4")
    told = messages(yard, pot_id=pot.id)
    assert "Narcissus 'Hawera' flowers later but lies above Tulipa 'Prinses Irene'" in told


def test_pets_make_poison_graver_and_only_then_the_yard_speaks_of_it() -> None:
    lily = next(c for c in load_catalogue() if c.genus == "Lilium")
    calm, careful = yard_of(layer(1, lily.id)), yard_of(layer(1, lily.id), pets=True)
    assert "harm" not in messages(calm) and "pets" not in messages(calm)
    yard_wide = advice_for(outlook(careful), with_season=False)
    assert yard_wide[0].severity is Severity.WARNING
    # Veterinary sources name lilies as deadly to cats (shared/rules/toxicity.csv).
    assert "severe or fatal to pets: lily" in yard_wide[0].message
    of_layer = messages(careful, layer_id="layer-1")
    assert "Lilies can kill cats" in of_layer


def test_gloves_are_asked_for_with_tulips() -> None:
    # tulipalin allergy of the fingers: shared/rules/cautions.csv names the source
    assert "nitrile" in messages(yard_of(layer(1, "tulipa-apricot-beauty")), layer_id="layer-1")


def test_three_layers_in_a_shallow_pot_are_too_many() -> None:
    yard = yard_of(
        layer(1, "tulipa-apricot-beauty", cover_cm=12),
        layer(2, "narcissus-hawera", cover_cm=8),
        layer(3, "crocus-tommasinianus-ruby-giant", cover_cm=4),
        height_cm=24.0,
    )
    assert "3 layers in a pot 24 cm high; 2 are the most" in messages(yard, pot_id="pot-1")


def test_the_weight_told_is_that_of_the_whole_pot() -> None:
    # A straight-sided square pot of 30 × 30 cm with 40 cm of compost holds 36 litres, by
    # hand; at 0.80 to 0.95 kg a litre (shared/rules/composts.csv) that alone is 29 to 34 kg.
    pot = Pot(
        id="pot-1",
        name="Box",
        shape="square",
        top_width_cm=30,
        bottom_width_cm=30,
        inside_height_cm=42.5,
        rim_gap_cm=2.5,
    )
    yard = yard_of().model_copy(update={"pots": (pot,)})
    weight = pot_weight(pot, yard=yard, cultivar_of=cultivar_of).wet_kg
    told = messages(yard, pot_id="pot-1")
    assert weight.low > 29 and weight.high > 34
    assert f"{weight.low:.0f} kg to {weight.high:.0f} kg" in told and "trolley" in told


def test_figures_are_written_as_asked() -> None:
    writing = Writing(length=lambda cm: f"{cm / 2.54:.1f} in")
    found = advice_for(
        outlook(yard_of(layer(1, "tulipa-apricot-beauty", cover_cm=2))),
        with_season=False,
        layer_id="layer-1",
        writing=writing,
    )
    assert any("0.8 in" in a.message and "2.0 in" in a.message for a in found)


def test_many_failing_layers_are_one_piece_of_advice_for_the_yard() -> None:
    # No month at Nairobi is cold enough for tulips (WMO normals: means of 16 to 20 °C).
    tulips = [c.id for c in load_catalogue() if c.genus == "Tulipa"][:8]
    yard = edits.set_place(
        yard_of(*(layer(i, kind, cover_cm=5.0 + i) for i, kind in enumerate(tulips, 1))),
        PlaceChoice(name="Nairobi", latitude_deg=-1.3, longitude_deg=36.8, elevation_m=1700.0),
    )
    cold = [a for a in advice_for(outlook(yard)) if a.topic == "cold"]
    assert len(cold) == 1
    assert "Too little cold for 8 layers" in cold[0].message and "and 2 more" in cold[0].message
    one = advice_for(outlook(yard), layer_id="layer-1")
    assert sum(a.topic == "cold" for a in one) == 1
