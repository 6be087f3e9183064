"""From a pot and where it stands to the engine's root zone and site."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from functools import lru_cache
from typing import TYPE_CHECKING, Literal

import numpy as np

from bloomline.engine.heat import GrowthLaw
from bloomline.engine.rootzone import (
    GROUND_CONTACT,
    CompostPhysics,
    RootZone,
    open_ground,
    pot_time_constant_h,
)
from bloomline.engine.sites import SiteEffect
from bloomline.engine.sums import Surroundings
from bloomline.model.cultivar import Cultivar
from bloomline.reference.rules import load_rules
from bloomline.reference.sites import load_sites
from bloomline.words import tr

if TYPE_CHECKING:
    from bloomline.model.yard import Material, Pot, Site

Where = Literal["pot", "ground"]

# Time constants half a step apart move a date by less than a tenth of a day (measured), so
# pots of nearly one size share their sums.
_TIME_CONSTANT_STEP = 1.2

_COVER_STEP_CM = 2.5  # less than a day


@dataclass(frozen=True, slots=True)
class Standing:
    """Where bulbs grow, in the gardener's terms.

    radius_cm : half of the pot's mean inside width (of its shorter side).
    site_offset_c : the gardener's own correction for that site. [°C]
    sheltered_from, sheltered_until : the days a sheltered pot comes in from the open, and goes
    out there again.
    """

    where: Where = "pot"
    radius_cm: float = 15.0
    wall_cm: float = 1.5
    material: Material = "fired-clay-once"
    site: Site = "open"
    site_offset_c: float = 0.0
    sheltered_from: date | None = None
    sheltered_until: date | None = None

    def shown(self) -> str:
        """In words, for a table or a tooltip."""
        if self.where == "ground":
            return tr("open ground")
        material = tr(load_rules().material(self.material).label)
        return tr(
            "{material} pot {radius_cm:.0f} cm, {label}",
            material=material,
            radius_cm=2 * self.radius_cm,
            label=tr(load_sites()[self.site].label),
        )


def standing_of(pot: Pot, *, site_offset_c: float = 0.0) -> Standing:
    """Where the layers of a pot grow."""
    widths = [pot.top_width_cm, pot.bottom_width_cm]
    return Standing(
        where="pot",
        radius_cm=sum(widths) / 4.0,
        wall_cm=pot.wall_cm,
        material=pot.material,
        site=pot.site,
        site_offset_c=site_offset_c,
        sheltered_from=pot.sheltered_from,
        sheltered_until=pot.sheltered_until,
    )


def extra_cover_cm(cover_cm: float, cultivar: Cultivar) -> float:
    """How much deeper a bulb lies than its kind usually does, in steps. [cm]

    The catalogue's dates belong to its own depth; in steps, so that layers of nearly one depth
    are worked out once.
    """
    return _COVER_STEP_CM * round((cover_cm - cultivar.cover_cm) / _COVER_STEP_CM)


def _stepped(time_constant_h: float) -> float:
    step = math.log(_TIME_CONSTANT_STEP)
    return math.exp(round(math.log(time_constant_h) / step) * step)


def site_effect(
    site: Site,
    *,
    offset_c: float = 0.0,
    from_day: int | None = None,
    until_day: int | None = None,
) -> SiteEffect:
    """What the table says of a site, with the gardener's own correction. [°C]"""
    rule = load_sites()[site]
    return SiteEffect(
        tmin_offset_c=rule.tmin_offset_c + offset_c,
        tmax_offset_c=rule.tmax_offset_c + offset_c,
        swing_factor=rule.swing_factor,
        from_day=from_day,
        until_day=until_day,
        vented_above_c=rule.vented_above_c,
        ground_share=rule.ground_share,
        lag_days=rule.lag_days,
        house_share=rule.house_share,
    )


@lru_cache(maxsize=4096)
def surroundings_of(
    standing: Standing, *, first_day: np.datetime64, law: GrowthLaw
) -> Surroundings:
    """The engine's view of where bulbs grow, on an axis that begins on `first_day`."""
    if standing.where == "ground":
        return Surroundings(
            zone=open_ground(lag_days=law.ground_lag_days, air_share=law.air_share),
            site=SiteEffect(),
        )
    material = load_rules().material(standing.material)
    physics = CompostPhysics()
    time_constant_h = pot_time_constant_h(
        standing.radius_cm,
        wall_cm=standing.wall_cm,
        wall_conductivity_w_mk=material.conductivity_w_per_m_k,
        physics=physics,
    )
    zone = RootZone(
        time_constant_h=_stepped(time_constant_h),
        plateau_c=physics.plateau_c,
        below_zero=1.0 - GROUND_CONTACT,
        air_share=law.air_share,
    )
    began, until = (
        None if day is None else int((np.datetime64(day, "D") - first_day).astype(np.int64))
        for day in (standing.sheltered_from, standing.sheltered_until)
    )
    effect = site_effect(
        standing.site, offset_c=standing.site_offset_c, from_day=began, until_day=until
    )
    return Surroundings(zone=zone, site=effect)
