"""Which petal colours go together: four plain rules of our own.

White and cream go with everything. `near`: hues no further apart than a sixth of the circle.
`contrast`: at least a quarter of it apart. `single`: one family. `white`: white with one other
family. Judgement by eye, no source.
"""

from __future__ import annotations

from bloomline.model.colours import Family, family_of, hue_deg
from bloomline.model.cultivar import Cultivar
from bloomline.plan.fill.wishes import ColourRule

_NEAR_DEG = 60.0
_CONTRAST_DEG = 90.0
_WITHOUT_HUE = (Family.WHITE, Family.DARK)


def goes_alone(cultivar: Cultivar, rule: ColourRule, colour: Family | None) -> bool:
    """Whether a kind has a colour that the rule allows at all."""
    family = family_of(cultivar.colour_hex)
    if colour is None or rule in ("any", "near", "contrast"):
        return colour is None or family in (colour, Family.WHITE)
    return family == colour or (rule == "white" and family is Family.WHITE)


def go_together(one: Cultivar, other: Cultivar, rule: ColourRule) -> bool:
    """Whether two kinds may stand in one pot."""
    if rule == "any":
        return True
    a, b = family_of(one.colour_hex), family_of(other.colour_hex)
    if rule == "single":
        return a is b
    if Family.WHITE in (a, b) or (rule == "white" and a is b):
        return True
    if rule == "white":
        return False
    if a in _WITHOUT_HUE or b in _WITHOUT_HUE:
        return True
    apart = abs(hue_deg(one.colour_hex) - hue_deg(other.colour_hex)) % 360.0
    apart = min(apart, 360.0 - apart)
    return apart <= _NEAR_DEG if rule == "near" else apart >= _CONTRAST_DEG
