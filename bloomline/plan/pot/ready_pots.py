"""Pots as they are commonly sold, by form, size and material, with measures that hang together.

A size is the outside width at the rim; wall and inside follow from the material. Proportions and
sizes are common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from bloomline.engine.potshape import PotShape
from bloomline.model.yard import LONG_SHAPES, Material, Pot, Shape
from bloomline.reference.rules import load_rules

_CROCKS_CM = 2.0
_THINNEST_BASE_CM = 0.3


@dataclass(frozen=True, slots=True)
class PotForm:
    """A form: its sizes and proportions, and what it is made of.

    widths_cm : outside, at the rim. height, bottom, length : shares of the outside width.
    """

    id: str
    shape: Shape
    widths_cm: tuple[float, ...]
    height: float
    bottom: float
    materials: tuple[Material, ...]
    length: float = 0.0

    @property
    def usual_width_cm(self) -> float:
        """The size that is offered first."""
        return self.widths_cm[len(self.widths_cm) // 2]


_CLAYS: tuple[Material, ...] = ("fired-clay-twice", "fired-clay-once", "glazed")

POT_FORMS = (
    PotForm(
        "pot", "round", (24, 28, 32, 36, 40, 45, 50, 60), 0.9, 0.72, (*_CLAYS, "plastic", "resin")
    ),
    PotForm(
        "deep", "round", (24, 30, 36, 42), 1.33, 0.7, (*_CLAYS, "resin", "fibreglass", "metal")
    ),
    PotForm("bowl", "round", (26, 30, 36, 42, 50), 0.5, 0.7, (*_CLAYS, "plastic", "stone")),
    PotForm("square", "square", (28, 35, 42, 50), 1.0, 0.86, ("resin", "wood", "fibreglass")),
    PotForm(
        "trough", "trough", (20, 24, 28, 34), 1.0, 0.88, ("wood", "fibreglass", "stone"), length=3.0
    ),
    PotForm("barrel", "round", (45, 58, 68), 0.65, 0.85, ("wood",)),
)


def ready_pot(form: PotForm, width_cm: float, material: Material, *, pot_id: str, name: str) -> Pot:
    """A pot of a form and outside width, with a handful of crocks."""
    wall = load_rules().materials[material].usual_wall_cm
    taper = width_cm * (1.0 - form.bottom)
    long = width_cm * form.length if form.shape in LONG_SHAPES else None
    inside = PotShape.from_outer(
        shape=form.shape,
        top_width_cm=width_cm,
        bottom_width_cm=width_cm - taper,
        height_cm=width_cm * form.height,
        wall_cm=wall,
        base_cm=max(wall, _THINNEST_BASE_CM),
        top_length_cm=long,
        bottom_length_cm=None if long is None else long - taper,
    )
    return Pot(
        id=pot_id,
        name=name,
        shape=form.shape,
        top_width_cm=round(inside.top_width_cm, 1),
        bottom_width_cm=round(inside.bottom_width_cm, 1),
        top_length_cm=_rounded(inside.top_length_cm),
        bottom_length_cm=_rounded(inside.bottom_length_cm),
        inside_height_cm=round(inside.inside_height_cm, 1),
        wall_cm=wall,
        material=material,
        crocks_cm=_CROCKS_CM,
    )


def _rounded(length_cm: float | None) -> float | None:
    return None if length_cm is None else round(length_cm, 1)
