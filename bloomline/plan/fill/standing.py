"""What stands in pots already: how surely it leaves the wished days without colour and scent."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bloomline.plan.fill.candidates import darkness
from bloomline.plan.fill.wishes import Wishes
from bloomline.plan.season.colour import in_flower
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.season.solve import solve_yard

Floats = NDArray[np.float64]


def standing_dark(
    outlook: Outlook, wishes: Wishes, pot_ids: Sequence[str] | None
) -> tuple[Floats, Floats]:
    """Chance of no colour and of no scent from what stands in pots, (n_days, n_years) each.

    pot_ids : None for all pots.
    """
    tables = _standing(outlook, wishes)
    names = list(tables) if pot_ids is None else list(pot_ids)
    n_years = _n_years(outlook)
    assert wishes.first is not None and wishes.last is not None
    shape = ((wishes.last - wishes.first).days + 1, n_years)
    colour, scent = np.ones(shape), np.ones(shape)
    by_kind: dict[str, Floats] = {}
    for name in names:
        for cultivar_id, dark in tables.get(name, {}).items():
            # Layers of one kind err together: what flowers longest of them counts.
            known = by_kind.get(cultivar_id)
            by_kind[cultivar_id] = dark if known is None else np.minimum(known, dark)
    for cultivar_id, dark in by_kind.items():
        colour *= dark
        if outlook.cultivar_of(cultivar_id).scent > 0:
            scent *= dark
    return colour, scent


@kept
def _standing(outlook: Outlook, wishes: Wishes) -> dict[str, dict[str, Floats]]:
    """Darkness by pot and kind of all layers of the yard."""
    worked = solve_yard(outlook.usual)
    flowers = in_flower(worked.solved)
    dark = darkness(flowers.bits[:-1], begin=flowers.begin, solved=worked.solved, wishes=wishes)
    found: dict[str, dict[str, Floats]] = {}
    for place in worked.places:
        if place.row < 0:
            continue
        mine = found.setdefault(place.pot.id, {})
        known = mine.get(place.cultivar.id)
        mine[place.cultivar.id] = (
            dark[place.row] if known is None else np.minimum(known, dark[place.row])
        )
    return found


def _n_years(outlook: Outlook) -> int:
    return int(solve_yard(outlook.usual).solved.weather.tmin_c.shape[0])
