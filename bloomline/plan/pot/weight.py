"""What each pot weighs, dry and watered, and what it takes to tip it.

Weights are ranges (compost, walls and crocks differ); wet means watered and drained.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from bloomline.engine.weight import (
    NOTHING,
    WALLS,
    Load,
    Mass,
    Range,
    Sail,
    add_up,
    centroid_cm,
    fill_load,
    outer_shape,
    tipping_angle_deg,
    tipping_wind_m_per_s,
    wall_load,
)
from bloomline.model.yard import Pot, Yard
from bloomline.plan.pot.alike import MEASURES, Kinds
from bloomline.plan.pot.compost import PotCompost, pot_compost
from bloomline.plan.pot.fitting import CultivarOf, shape_of
from bloomline.reference.rules import Figure, load_rules
from bloomline.words import tr

_POROUS = frozenset({"fired-clay-once", "fired-clay-twice"})


@dataclass(frozen=True, slots=True)
class PotWeight:
    """What a pot weighs, how it stands, and what it takes to tip it; one of a bench of equal ones.

    foot_cm : its smallest outer width on the ground. height_cm : outer height.
    tipping_angle_deg : how far it can lean. tipping_wind_m_per_s : for the pot when dry, with
    its plants at full height, standing free.
    """

    pot_id: str
    pot_name: str
    mass: Mass
    compost: PotCompost
    foot_cm: float
    height_cm: float
    footprint_m2: float
    tipping_angle_deg: float
    tipping_wind_m_per_s: float

    @property
    def copies(self) -> int:
        """How many equal pots weigh so much each."""
        return self.compost.copies

    @property
    def dry_kg(self) -> Range:
        """Weight with bone-dry compost. [kg]"""
        return self.mass.dry_kg

    @property
    def wet_kg(self) -> Range:
        """Weight after watering, once it has drained. [kg]"""
        return self.mass.wet_kg

    @property
    def empty_kg(self) -> Range:
        """Weight of the pot alone, with nothing in it. [kg]"""
        return next((load.dry_kg for load in self.mass.loads if load.name == WALLS), NOTHING)

    @property
    def press_kg_per_m2(self) -> float:
        """How hard its foot presses at most, when it is watered. [kg/m²]"""
        return self.wet_kg.high / self.footprint_m2


def _range(figure: Figure) -> Range:
    if figure.low is None or figure.high is None:
        return Range(figure.middle, figure.middle)  # raises, and names the rule
    return Range(figure.low, figure.high)


def pot_weight(pot: Pot, *, yard: Yard, cultivar_of: CultivarOf) -> PotWeight:
    """What a pot weighs with the bulbs in it or planned for it, dry and watered.

    Bulbs that are lifted no longer count, whoever asks. Raises UnknownNameError for a cultivar
    or a mix.
    """
    rules = load_rules()
    inside = tuple(layer for layer in pot.layers if layer.state != "lifted")
    if len(inside) < len(pot.layers):
        pot = pot.model_copy(update={"layers": inside})
    shape = shape_of(pot)
    compost = pot_compost(pot, yard=yard, cultivar_of=cultivar_of)
    base_cm = pot.wall_cm * rules.figure("pot_base_walls").middle
    outer = outer_shape(shape, wall_cm=pot.wall_cm, base_cm=base_cm)
    mass = add_up(
        list(_loads(pot, compost, base_cm=base_cm, cultivar_of=cultivar_of)), base_cm=base_cm
    )
    foot_cm = min(outer.bottom_width_cm, outer.bottom_length_cm or outer.bottom_width_cm)
    plants = max((cultivar_of(layer.cultivar_id).height_cm for layer in pot.layers), default=0.0)
    broad = max(outer.top_width_cm, outer.top_length_cm or 0.0)
    broad_foot = max(outer.bottom_width_cm, outer.bottom_length_cm or 0.0)
    height_cm = outer.inside_height_cm
    drag = "drag_round" if pot.shape in ("round", "oval") else "drag_box"
    sails = [
        Sail(
            area_m2=(broad + broad_foot) / 2.0 * height_cm / 1e4,
            middle_m=height_cm / 200.0,
            drag=rules.figure(drag).middle,
        ),
        Sail(
            area_m2=broad * plants / 1e4,
            middle_m=(height_cm + plants / 2.0) / 100.0,
            drag=rules.figure("foliage_share").middle,
        ),
    ]
    return PotWeight(
        pot_id=pot.id,
        pot_name=pot.name,
        mass=mass,
        compost=compost,
        foot_cm=foot_cm,
        height_cm=height_cm,
        footprint_m2=outer.area_at_height(0.0) / 1e4,
        tipping_angle_deg=tipping_angle_deg(foot_width_cm=foot_cm, centre_cm=mass.centre_dry_cm),
        tipping_wind_m_per_s=tipping_wind_m_per_s(
            mass_kg=mass.dry_kg.middle,
            foot_width_cm=foot_cm,
            sails=sails,
            air_density_kg_per_m3=rules.figure("air_density_kg_per_m3").middle,
        ),
    )


_OF_POT = (
    *(*MEASURES, "top_dressing", "compost_recipe", "copies"),
    *("wall_cm", "material"),
)
_OF_LAYER = ("cultivar_id", "count", "state")


def kinds_of_weight(*, yard: Yard, cultivar_of: CultivarOf) -> Kinds[PotWeight]:
    """What pots of the yard weigh, once for those alike, called nothing."""
    ask = partial(pot_weight, yard=yard, cultivar_of=cultivar_of)
    return Kinds(ask, of_pot=_OF_POT, of_layer=_OF_LAYER)


def weights_of(pots: Iterable[Pot], *, yard: Yard, cultivar_of: CultivarOf) -> Iterator[PotWeight]:
    """What `pot_weight` says of each pot; only those that differ are weighed."""
    kinds = kinds_of_weight(yard=yard, cultivar_of=cultivar_of)
    for pot in pots:
        found = kinds.of(pot, pot.layers)
        compost = replace(found.compost, pot_id=pot.id, pot_name=pot.name)
        yield replace(found, pot_id=pot.id, pot_name=pot.name, compost=compost)


def _loads(
    pot: Pot, compost: PotCompost, *, base_cm: float, cultivar_of: CultivarOf
) -> Iterator[Load]:
    rules = load_rules()
    shape, volumes = shape_of(pot), compost.volumes
    material = rules.material(pot.material)
    soaks = pot.material in _POROUS
    yield wall_load(
        shape,
        wall_cm=pot.wall_cm,
        base_cm=base_cm,
        density_kg_per_l=material.density_kg_per_l,
        allowance=_range(rules.figure("pot_mass_share")),
        water_share=_range(rules.figure("porous_wall_water_share")) if soaks else Range(0.0, 0.0),
    )
    if volumes.crocks_l > 0.0:
        dry = _range(rules.figure("crocks_bulk_kg_per_l"))
        yield fill_load(
            "crocks",
            volume_l=volumes.crocks_l,
            dry_kg_per_l=dry,
            wet_kg_per_l=dry + _range(rules.figure("crocks_water_kg_per_l")),
            centre_cm=centroid_cm(shape, low_cm=0.0, high_cm=pot.crocks_cm),
        )
    dressed = pot.inside_height_cm - pot.rim_gap_cm
    surface = max(dressed - pot.top_dressing_cm, pot.crocks_cm)
    middle = centroid_cm(shape, low_cm=pot.crocks_cm, high_cm=surface)
    yield fill_load(
        "compost",
        volume_l=volumes.compost_l,
        dry_kg_per_l=Range(*compost.recipe.dry_kg_per_l(rules)),
        wet_kg_per_l=Range(*compost.recipe.drained_kg_per_l(rules)),
        centre_cm=middle,
    )
    grams = sum(layer.count * cultivar_of(layer.cultivar_id).grams_per_bulb for layer in pot.layers)
    if grams:
        bulbs = Range(grams / 1000.0, grams / 1000.0)
        yield Load("bulbs", bulbs, bulbs, middle)
    if compost.dressing is not None:
        stuff = rules.compost(compost.dressing)
        yield fill_load(
            tr("top dressing"),
            volume_l=volumes.top_dressing_l,
            dry_kg_per_l=Range(stuff.dry_low_kg_per_l, stuff.dry_high_kg_per_l),
            wet_kg_per_l=Range(stuff.drained_low_kg_per_l, stuff.drained_high_kg_per_l),
            centre_cm=centroid_cm(shape, low_cm=surface, high_cm=dressed),
        )
