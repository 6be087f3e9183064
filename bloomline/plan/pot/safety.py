"""How a pot stays safe: frost on bulbs and on the pot, wind, sun, feet; lifting it beside that."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from bloomline.model.advice import Advice, Severity
from bloomline.model.yard import INDOOR_SITES, Pot, Yard
from bloomline.plan.climate.surroundings import site_effect
from bloomline.plan.forecast.advice import FROST_TOLD, POT_FREEZES
from bloomline.plan.forecast.report import LayerForecast
from bloomline.plan.pot.compost import crocks_advice
from bloomline.plan.pot.fitting import CultivarOf
from bloomline.plan.pot.lifting import floor_advice as floor_advice
from bloomline.plan.pot.lifting import lifting_advice as lifting_advice
from bloomline.plan.pot.weight import PotWeight, pot_weight
from bloomline.plan.words.shares import of_ten
from bloomline.reference.rules import load_rules
from bloomline.reference.tasks import AfterCare
from bloomline.words import tr

_RANK = {Severity.WARNING: 0, Severity.CAUTION: 1, Severity.NOTE: 2}


def _in_kg(mass_kg: float) -> str:
    return tr("{mass_kg:.0f} kg", mass_kg=mass_kg)


def _in_c(temp_c: float) -> str:
    return tr("{temp_c:.0f} °C", temp_c=temp_c)


def safety_advice(
    pot: Pot,
    *,
    yard: Yard,
    cultivar_of: CultivarOf,
    forecasts: Sequence[LayerForecast] = (),
    lows_c: NDArray[np.float64] | None = None,
    mass: Callable[[float], str] = _in_kg,
) -> tuple[Advice, ...]:
    """How to lift, stand and winter a pot; the gravest first.

    forecasts : of this pot's layers, for the winters that kill bulbs.
    lows_c : coldest air of every weather year (`season.solve.winter_lows_c`), for frost on
    the pot itself.
    mass : how a weight is written.
    """
    weight = pot_weight(pot, yard=yard, cultivar_of=cultivar_of)
    found = [
        *lifting_advice(weight, mass=mass),
        *stability_advice(pot, weight),
        *bulb_frost_advice(forecasts, cultivar_of=cultivar_of),
        *sun_advice(pot),
        *feet_advice(pot),
        *crocks_advice(pot),
    ]
    if lows_c is not None:
        found += pot_frost_advice(pot, lows_c=lows_c + yard.site_offsets.get(pot.site, 0.0))
    return tuple(sorted(found, key=lambda advice: _RANK[advice.severity]))


def wants_mesh(pot: Pot, cares: Iterable[AfterCare]) -> bool:
    """Whether squirrels or mice dig for freshly planted bulbs of such kinds where a pot stands."""
    return pot.site not in ("cold-greenhouse", *INDOOR_SITES) and any(each.mesh for each in cares)


def stability_advice(pot: Pot, weight: PotWeight) -> tuple[Advice, ...]:
    """Pots that wind or a knock can tip."""
    rules = load_rules()
    gale = rules.figure("gale_m_per_s")
    tall = rules.figure("tall_pot_ratio")
    ratio = weight.height_cm / weight.foot_cm
    outdoors = pot.site in ("open", "warm-wall")
    wind = weight.tipping_wind_m_per_s
    if outdoors and wind < (gale.high or 0.0):
        return (
            Advice(
                severity=Severity.CAUTION if wind < (gale.low or 0.0) else Severity.NOTE,
                topic="stability",
                message=(
                    tr(
                        "Wind of about {wind:.0f} m/s ({wind2:.0f} km/h) can tip "
                        "it when it is dry and the plants are tall: stand it "
                        "against a wall or among other pots, or use a heavier mix.",
                        wind=wind,
                        wind2=3.6 * wind,
                    )
                ),
                reason=(
                    tr(
                        "{height_cm:.0f} cm high on a foot of {foot_cm:.0f} cm, it "
                        "falls beyond a lean of {tipping_angle_deg:.0f}°. A gale "
                        "(Beaufort 8) blows at {low:g} to {high:g} m/s. An "
                        "estimate: gusts, corners and uneven ground make it worse.",
                        height_cm=weight.height_cm,
                        foot_cm=weight.foot_cm,
                        tipping_angle_deg=weight.tipping_angle_deg,
                        low=gale.low,
                        high=gale.high,
                    )
                ),
                source=tr(
                    "{source}; drag: {source2}",
                    source=gale.source,
                    source2=rules.figure("drag_round").source,
                ),
            ),
        )
    if ratio > tall.middle:
        return (
            Advice(
                severity=Severity.NOTE,
                topic="stability",
                message=(
                    tr(
                        "Tall and narrow, {ratio:.1f} times as high as its foot is "
                        "wide: a knock tips it. Keep it out of the way of children "
                        "and doors.",
                        ratio=ratio,
                    )
                ),
                reason=tr(
                    "It falls beyond a lean of {tipping_angle_deg:.0f}°.",
                    tipping_angle_deg=weight.tipping_angle_deg,
                ),
                source=tall.source,
            ),
        )
    return ()


def bulb_frost_advice(
    forecasts: Sequence[LayerForecast],
    *,
    cultivar_of: CultivarOf,
    degrees: Callable[[float], str] = _in_c,
) -> tuple[Advice, ...]:
    """From what cold of the compost which bulbs of a pot die, in how many winters of ten."""
    rules = load_rules()
    found = []
    for layer in forecasts:
        if layer.killed_share < FROST_TOLD:
            continue
        cultivar = cultivar_of(layer.cultivar_id)
        limit = rules.lethal_c(cultivar.genus, cultivar.group)
        found.append(
            Advice(
                severity=Severity.WARNING if layer.killed_share >= 0.3 else Severity.CAUTION,
                topic="frost",
                message=(
                    tr(
                        "{layer_name}: compost below {bulb} kills the bulbs, here "
                        "in {winters_of_ten}.",
                        layer_name=layer.name,
                        bulb=degrees(limit.bulb_c),
                        winters_of_ten=winters_of_ten(layer.killed_share),
                    )
                ),
                reason=tr(POT_FREEZES),
                source=limit.bulb_source,
            )
        )
    return tuple(found)


def winters_of_ten(share: float) -> str:
    """A share of winters in words."""
    return of_ten(share, "winter", never=tr("no winter of ten"))


def pot_frost_advice(
    pot: Pot, *, lows_c: NDArray[np.float64], degrees: Callable[[float], str] = _in_c
) -> tuple[Advice, ...]:
    """Which pots frost splits, and in how many winters it gets that cold here.

    lows_c : coldest air in the open of every weather year. [°C]
    """
    rules = load_rules()
    material = rules.material(pot.material)
    here = site_effect(pot.site).lowest_c(lows_c)
    clay = rules.figure("clay_splits_below_air_c")
    proof = rules.figure("terracotta_proof_c")
    share = float(np.mean(here < clay.middle))
    found: list[Advice] = []
    if share > 0.0 and pot.top_width_cm < pot.bottom_width_cm:
        narrow = rules.figure("narrow_top")
        found.append(
            Advice(
                severity=Severity.CAUTION,
                topic="frost",
                message=tr(
                    "Narrower at the top than below: wet compost that freezes can burst it."
                ),
                reason=tr(narrow.rule),
                source=narrow.source,
            )
        )
    if share == 0.0 or material.frost_proof == "yes":
        return tuple(found)
    how_often = tr(
        "the air falls below {middle} in {winters_of_ten}",
        middle=degrees(clay.middle),
        winters_of_ten=winters_of_ten(share),
    )
    if material.frost_proof == "no":
        severity = Severity.WARNING if share >= 0.3 else Severity.CAUTION
        message = tr(
            "{material_label}: flakes or splits in hard frost, and "
            "{how_often}. Raise it on feet, keep it from standing wet, and "
            "move it under cover in such spells.",
            material_label=material.label.capitalize(),
            how_often=how_often,
        )
    elif material.frost_proof == "if drained and raised":
        beyond = float(np.mean(here < proof.middle))
        severity = Severity.CAUTION if beyond > 0.0 else Severity.NOTE
        message = tr(
            "{material_label}: stands frost only drained and raised on feet; "
            "{how_often}, below {middle} in {winters_of_ten}.",
            material_label=material.label.capitalize(),
            how_often=how_often,
            middle=degrees(proof.middle),
            winters_of_ten=winters_of_ten(beyond),
        )
    else:
        severity = Severity.NOTE
        message = tr(
            "{material_label}: mostly stands frost; {how_often}.",
            material_label=material.label.capitalize(),
            how_often=how_often,
        )
    found.append(
        Advice(
            severity=severity,
            topic="frost",
            message=message,
            reason=tr("Water swells as it freezes. {note}.", note=material.note),
            source=f"{material.source}; {clay.source}",
        )
    )
    return tuple(found)


def sun_advice(pot: Pot) -> tuple[Advice, ...]:
    """Walls that let the sun's heat straight through."""
    material = load_rules().material(pot.material)
    if pot.material not in ("metal", "plastic") or pot.site not in ("open", "warm-wall"):
        return ()
    hot = pot.material == "metal" and pot.site == "warm-wall"
    return (
        Advice(
            severity=Severity.CAUTION if hot else Severity.NOTE,
            topic="sun",
            message=(
                tr(
                    "Thin {material_label}, above all a dark one, heats up in full "
                    "sun: shade the pot itself, or line it, and water before hot "
                    "days.",
                    material_label=tr(material.label),
                )
            ),
            reason=tr(
                "{note}. Warm compost shortens flowering and cooks roots.", note=material.note
            ),
            source=tr(
                "{source}; the effect of colour is common practice, no source",
                source=material.source,
            ),
        ),
    )


def feet_advice(pot: Pot) -> tuple[Advice, ...]:
    """Feet under the pot."""
    if pot.site in INDOOR_SITES:
        return ()
    rule = load_rules().figure("drainage")
    return (
        Advice(
            severity=Severity.NOTE,
            topic="drainage",
            message=tr(
                "Stand it on three or four feet, so that the hole can't be shut by the ground."
            ),
            reason=tr(rule.rule),
            source=rule.source,
        ),
    )
