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
    n_years = _n_years(outlook)
    assert wishes.first is not None and wishes.last is not None
    shape = ((wishes.last - wishes.first).days + 1, n_years)
    colour, scent = np.ones(shape), np.ones(shape)
    for cultivar_id, dark in standing_kinds(outlook, wishes, pot_ids).items():
        colour *= dark
        if outlook.cultivar_of(cultivar_id).scent > 0:
            scent *= dark
    return colour, scent


def standing_kinds(
    outlook: Outlook, wishes: Wishes, pot_ids: Sequence[str] | None
) -> dict[str, Floats]:
    """Chance that a kind which stands in pots is not in flower, (n_days, n_years), by its id.

    Layers of one kind err together: what flowers longest of them counts. pot_ids : None for all.
    """
    tables = _standing(outlook, wishes)
    by_kind: dict[str, Floats] = {}
    for name in list(tables) if pot_ids is None else pot_ids:
        for cultivar_id, dark in tables.get(name, {}).items():
            known = by_kind.get(cultivar_id)
            by_kind[cultivar_id] = dark if known is None else np.minimum(known, dark)
    return by_kind


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
