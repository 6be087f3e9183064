"""Compost and shelters in winter against what was measured or told elsewhere."""

from __future__ import annotations

import numpy as np
import pytest

from bloomline.engine.climate import WeatherYears
from bloomline.engine.heat import GrowthLaw
from bloomline.engine.rootzone import coldest_c, daily_root_zone_c
from bloomline.engine.sites import site_air
from bloomline.plan.climate.surroundings import Standing, surroundings_of
from bloomline.reference.rules import load_rules

FIRST = np.datetime64("2026-06-01")


def winter(standing, *, low_c, high_c, mild_days=30):
    """Site's air and coldest compost day by day, after a month just above freezing. [°C]"""
    low = np.concatenate([np.full(mild_days, 0.0), np.asarray(low_c, dtype=float)])[None]
    high = np.concatenate([np.full(mild_days, 4.0), np.asarray(high_c, dtype=float)])[None]
    weather = WeatherYears(
        first_day=FIRST,
        tmin_c=low,
        tmax_c=high,
        latitude_deg=50.0,
        known=np.zeros(low.shape[1], dtype=bool),
    )
    place = surroundings_of(standing, first_day=FIRST, law=GrowthLaw())
    site_low, site_high = site_air(weather, effect=place.site)
    mean = 0.5 * (site_low + site_high)
    root = daily_root_zone_c(mean[None], zones=(place.zone,))[0]
    cold = coldest_c(root, swing_c=site_high - site_low, zone=place.zone)
    return mean[0, mild_days:], root[0, mild_days:], cold[0, mild_days:]


def test_moist_compost_holds_zero_through_three_nights_far_below_it():
    # A grower's logger in Denver (bonsai forum, winter): nights to 16 °F (-9 °C) and in the low
    # 20s °F, days near freezing; soil in a one-gallon pot levelled at 32 °F for the three days.
    _, _, cold = winter(
        Standing(radius_cm=8.0, wall_cm=0.2, material="plastic"),
        low_c=[-9.0, -6.0, -6.0],
        high_c=[4.0, 3.0, 4.0],
    )
    np.testing.assert_allclose(cold, 0.0, atol=0.1)


def test_pots_freeze_for_days_near_the_sea_but_their_bulbs_live():
    # Pacific Bulb Society wiki, Container Culture Temperature, and its list of 9 October 2012:
    # north-west England, air down to about -5 °C in two hard winters; above ground below 0 °C for
    # more than a day on end; narcissus, snowdrops, tulips and crocus in pots all survived.
    _, root, cold = winter(
        Standing(radius_cm=10.0, wall_cm=0.3, material="plastic"),
        low_c=[-5.0] * 12,
        high_c=[-1.0] * 12,
    )
    assert np.count_nonzero(cold < 0.0) > 1
    for genus in ("Narcissus", "Galanthus", "Tulipa", "Crocus"):
        assert root.min() > load_rules().lethal_c(genus, "").bulb_c


def test_a_bare_pot_in_a_northern_winter_gets_as_cold_as_was_measured():
    # Scandinavian Journal of Forest Research 1 (1986), 37-47 (abstract): -15 to -16 °C in
    # containers without snow, the ground's contact making them warmer. The air isn't in the
    # abstract; a week with nights of -22 °C and days of -12 °C is assumed for central Sweden.
    _, root, _ = winter(
        Standing(radius_cm=15.0), low_c=[-12.0] * 8 + [-22.0] * 7, high_c=[-5.0] * 8 + [-12.0] * 7
    )
    assert root.min() == pytest.approx(-15.5, abs=1.0)


@pytest.mark.parametrize(
    ("outside_c", "inside_c"),
    [
        # Told with thermometers on forums: an insulated attached garage near Seattle stood at
        # 43 °F with 13 °F outside on the second day; a finished one at 49 °F with 26 °F; one
        # under a house in Texas 14 to 16 °F above the outside near 32 °F.
        (-10.6, 6.1),
        (-3.3, 9.4),
        (0.0, 8.3),
    ],
)
def test_a_garage_against_the_house_is_no_warmer_than_those_that_were_measured(outside_c, inside_c):
    air, _, _ = winter(
        Standing(site="garage"), low_c=[outside_c - 1.0] * 15, high_c=[outside_c + 1.0] * 15
    )
    # Insulated ones are warmer than the standard's; on the safe side, by no more than 5 K.
    assert inside_c - 5.0 < air[-1] < inside_c + 0.5


def test_compost_in_a_garage_stays_near_minus_five_when_it_is_minus_twenty_five_outside():
    # Ask Extension, question 371959 (Ramsey County, Minnesota, 2016): attached garages can work
    # well for tulips in a box. A spell of five nights of -25 °C and days of -15 °C is assumed.
    _, root, _ = winter(
        Standing(site="garage"), low_c=[-8.0] * 20 + [-25.0] * 5, high_c=[0.0] * 20 + [-15.0] * 5
    )
    assert root.min() > -5.0
    _, shed, _ = winter(
        Standing(site="shed"), low_c=[-8.0] * 20 + [-25.0] * 5, high_c=[0.0] * 20 + [-15.0] * 5
    )
    assert shed.min() < -10.0  # a tulip dies there, as it does outside
