"""Several kinds sold as one: what a mixture is as a whole follows from its parts."""

from __future__ import annotations

import math
from collections.abc import Sequence

from pydantic import ValidationError

from bloomline.errors import EditRefusedError
from bloomline.model.cultivar import Cultivar, MixPart, PotLife
from bloomline.model.problems import describe
from bloomline.model.yard import OwnCultivar

_LIVES: tuple[PotLife, ...] = ("replace", "2-3 years", "long-lived")


def mixture_of(mixture_id: str, name: str, parts: Sequence[MixPart]) -> OwnCultivar:
    """A mixture that can be planted like one kind.

    Room and depth are those of the widest, tallest and deepest part, weights the mean of all;
    what can hurt or fail is that of the part that minds most. Its dates span its parts' at the
    reference garden (flowers are forecast part by part). A mixture of one kind is that kind.
    Raises EditRefusedError for no parts, parts that are mixtures themselves, and a whole that
    can't be, such as kinds whose flowers lie more than half a year apart.
    """
    if not parts:
        raise EditRefusedError("a mixture needs at least one kind")
    if any(part.kind.parts for part in parts):
        raise EditRefusedError("a mixture can't be a part of a mixture")
    kinds = [part.kind for part in parts]
    main = max(parts, key=lambda part: part.share).kind
    widest = max(kinds, key=lambda kind: kind.bulb_circumference_cm)
    tallest_cm = max(kind.bulb_height_cm for kind in kinds)
    whole = sum(part.share for part in parts)
    # Days are told from the main part's start, so that a span may run over the new year.
    middle = main.ref_start.day_of_year
    opens = min(kinds, key=lambda kind: _apart(kind.ref_start.day_of_year, middle))
    last = max(
        kinds, key=lambda kind: _apart(kind.ref_start.day_of_year, middle) + kind.display_days
    )
    harmful = max(kinds, key=lambda kind: kind.toxic_pets)
    coldest = max(kinds, key=lambda kind: kind.chill_weeks_best or -1.0)
    least = max(kinds, key=lambda kind: kind.chill_weeks_min or -1.0)
    groups = {kind.group for kind in kinds}
    fields: dict[str, object] = {
        name: getattr(main, name) for name in Cultivar.model_fields if name != "parts"
    }
    fields |= {
        "id": mixture_id,
        "name": name,
        "synonyms": (),
        "group": main.group if len(groups) == 1 else "",
        "division": main.division if len({kind.division for kind in kinds}) == 1 else None,
        "height_cm": max(kind.height_cm for kind in kinds),
        "spread_cm": max(kind.spread_cm for kind in kinds),
        "bulb_circumference_cm": widest.bulb_circumference_cm,
        "bulb_height_per_width": tallest_cm / widest.bulb_diameter_cm,
        "cover_cm": max(kind.cover_cm for kind in kinds),
        "spacing_cm": max(kind.spacing_cm for kind in kinds),
        "scent": max(kind.scent for kind in kinds),
        "ref_start": opens.ref_start,
        "ref_end": last.ref_end,
        "ref_sd_days": _rms([(part.kind.ref_sd_days, part.share) for part in parts]),
        "established_sd_days": _rms(
            [(part.kind.established_sd_days, part.share) for part in parts]
        ),
        "established_shift_days": opens.established_shift_days,
        "chill_weeks_best": coldest.chill_weeks_best,
        "chill_weeks_min": least.chill_weeks_min if coldest.needs_cold else None,
        "hardiness_usda_min": max(kind.hardiness_usda_min for kind in kinds),
        "lowest_air_c": max(kind.lowest_air_c for kind in kinds),
        "toxic_pets": harmful.toxic_pets,
        "toxic_note": harmful.toxic_note,
        "perennial_in_pot": min((kind.perennial_in_pot for kind in kinds), key=_LIVES.index),
        "grams_per_bulb": sum(p.kind.grams_per_bulb * p.share for p in parts) / whole,
        "parts": tuple(parts),
    }
    if len(kinds) > 1:
        fields |= {
            "colour": "mixed",
            "date_note": "; ".join(f"{kind.name}: {kind.date_basis}" for kind in kinds)[:500],
            "typical_price_gbp": None,
        }
    try:
        return OwnCultivar.model_validate(fields)
    except ValidationError as error:
        raise EditRefusedError("; ".join(describe(error)[:3])) from None


def remade(mixture: OwnCultivar, kind: Cultivar) -> OwnCultivar:
    """A mixture after one of its kinds has changed; itself where it holds no such kind."""
    if all(part.kind.id != kind.id for part in mixture.parts):
        return mixture
    parts = [
        MixPart(kind=plain(kind), share=part.share) if part.kind.id == kind.id else part
        for part in mixture.parts
    ]
    new = mixture_of(mixture.id, mixture.name, parts)
    return new.model_copy(update={"typical_pack": mixture.typical_pack})


def plain(kind: Cultivar) -> Cultivar:
    """A kind without what only a yard's own ones carry, as a part of a mixture holds it."""
    if type(kind) is Cultivar:
        return kind
    return Cultivar.model_validate({name: getattr(kind, name) for name in Cultivar.model_fields})


def _apart(day: int, middle: int) -> int:
    """Days after the middle, or before it where that is nearer."""
    return (day - middle + 182) % 365 - 182


def _rms(weighted: Sequence[tuple[float, float]]) -> float:
    whole = sum(weight for _, weight in weighted)
    return math.sqrt(sum(value**2 * weight for value, weight in weighted) / whole)
