"""The first yard that is proposed: its layers lie as the laying-out of pots would have them."""

from __future__ import annotations

import asking
import numpy as np
import pytest

from bloomline.model.yard import PlaceChoice, Yard
from bloomline.plan.carry.first_yard import READY_POTS, _colour_and_bare, build_yard, suggest
from bloomline.plan.pot.fitting import fit_pot
from bloomline.plan.pot.layout import worth_telling


def first_yard(name: str, pot_kind: str):
    here = asking.garden(name)
    place = PlaceChoice(
        station_id=here.station_id,
        name=name,
        latitude_deg=here.latitude_deg,
        longitude_deg=here.longitude_deg,
    )
    pots = [next(each for each in READY_POTS if each.id == pot_kind).pot("pot-1", "Pot")]
    empty = Yard(name="First", place=place, season_year=2027, pots=tuple(pots))
    found = suggest(asking.outlook(empty))
    return build_yard(
        name="First",
        place=place,
        pots=found.pots,
        season_year=2027,
        planted=list(zip(found.pot_ids, found.chosen, strict=True)),
        catalogue=asking.catalogue(),
    )


@pytest.mark.parametrize(
    ("place", "pot_kind"),
    [("London", "large"), ("Melbourne", "medium"), ("Melbourne", "square")],
)
def test_a_deep_pot_is_laid_out_without_grave_faults(place: str, pot_kind: str) -> None:
    (pot,) = first_yard(place, pot_kind).pots
    covers = [layer.cover_cm for layer in pot.layers]
    assert covers == sorted(covers, reverse=True)
    findings = worth_telling(fit_pot(pot, cultivar_of=asking.catalogue().get).layout.findings)
    # Small bulbs that flower late are not laid deepest of all, below big early ones.
    assert {each.code for each in findings} <= {"layers_close", "taller_above_shorter"}


def test_trios_are_weighed_by_the_days_of_each_year() -> None:
    rng = np.random.default_rng(3)
    starts = rng.integers(0, 40, (3, 6, 4)).astype(float)
    ends = starts + rng.integers(1, 25, starts.shape)
    none = rng.random(starts.shape) < 0.2
    none[:, 0, 0] = True  # a year without any
    starts[none] = ends[none] = np.nan
    colour, bare = _colour_and_bare(starts, ends)
    for trio in range(6):
        shown, between = [], []
        for year in range(4):
            days = {
                day
                for kind in range(3)
                if not none[kind, trio, year]
                for day in range(int(starts[kind, trio, year]), int(ends[kind, trio, year]))
            }
            shown.append(len(days))
            between.append(max(days) + 1 - min(days) - len(days) if days else 0)
        assert colour[trio] == pytest.approx(np.mean(shown))
        assert bare[trio] == pytest.approx(np.mean(between))
