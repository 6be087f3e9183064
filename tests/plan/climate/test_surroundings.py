"""From a pot and its site to a root zone, and the table of sites."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import date
from typing import get_args

import numpy as np
import pytest
from asking import FIRST_DAY, GROUND, POT

from bloomline.engine.heat import GrowthLaw
from bloomline.engine.rootzone import GROUND_CONTACT, CompostPhysics, pot_time_constant_h
from bloomline.errors import DataError
from bloomline.model.yard import Material, Pot, Site
from bloomline.plan.climate.surroundings import Standing, standing_of, surroundings_of
from bloomline.reference import sites as sites_module
from bloomline.reference.rules import load_rules
from bloomline.reference.sites import load_sites

LAW = GrowthLaw()


def around(standing, first_day=FIRST_DAY):
    return surroundings_of(standing, first_day=first_day, law=LAW)


@pytest.mark.parametrize("material", get_args(Material))
@pytest.mark.parametrize("radius", [4.0, 15.0, 60.0])
def test_a_pot_has_the_time_constant_of_its_size_wall_and_material(material, radius):
    zone = around(Standing(radius_cm=radius, wall_cm=2.0, material=material)).zone
    exact = pot_time_constant_h(
        radius,
        wall_cm=2.0,
        wall_conductivity_w_mk=load_rules().material(material).conductivity_w_per_m_k,
    )
    # Pots of nearly one size share their sums: within half a step of a fifth.
    assert zone.time_constant_h == pytest.approx(exact, rel=0.1)
    assert zone.plateau_c == CompostPhysics().plateau_c
    assert (zone.below_zero, zone.air_share) == (1.0 - GROUND_CONTACT, LAW.air_share)


def test_pots_of_nearly_one_size_share_a_zone_and_others_do_not():
    assert around(POT) == around(replace(POT, radius_cm=15.1))
    assert around(POT) != around(replace(POT, radius_cm=25.0))


def test_ground_forgets_pot_and_site():
    assert around(GROUND) == around(Standing(where="ground", radius_cm=5.0, site="shed"))
    assert around(GROUND).zone.time_constant_h == LAW.ground_lag_days * 24.0
    assert around(GROUND).site.is_open


@pytest.mark.parametrize("site", get_args(Site))
def test_a_site_is_the_tables_row_and_the_gardeners_correction(site):
    row = load_sites()[site]
    effect = around(Standing(site=site, site_offset_c=1.5)).site
    assert effect.tmin_offset_c == row.tmin_offset_c + 1.5
    assert effect.tmax_offset_c == row.tmax_offset_c + 1.5
    assert (effect.swing_factor, effect.until_day) == (row.swing_factor, None)
    assert (effect.lag_days, effect.house_share) == (row.lag_days, row.house_share)


def test_the_day_a_pot_goes_out_is_counted_on_the_axis():
    standing = Standing(site="shed", sheltered_until=date(2027, 4, 1))
    assert around(standing).site.until_day == 304
    assert around(standing, np.datetime64("2027-06-01")).site.until_day == -61


def test_a_yards_pot_is_taken_by_its_mean_inside_width():
    pot = Pot(
        id="pot-1",
        name="Trough",
        shape="trough",
        top_width_cm=30,
        bottom_width_cm=20,
        top_length_cm=90,
        bottom_length_cm=80,
        inside_height_cm=30,
        wall_cm=2.5,
        material="stone",
        site="cold-frame",
        sheltered_until=date(2027, 3, 1),
    )
    standing = standing_of(pot, site_offset_c=-1.0)
    assert standing == Standing(
        radius_cm=12.5,
        wall_cm=2.5,
        material="stone",
        site="cold-frame",
        site_offset_c=-1.0,
        sheltered_until=date(2027, 3, 1),
    )
    shown = standing.shown()
    assert "pot 25 cm" in shown and load_sites()["cold-frame"].label in shown
    assert GROUND.shown() == "open ground"


def test_every_site_a_pot_may_have_stands_in_the_table_with_its_source():
    sites = load_sites()
    assert set(sites) == set(get_args(Site))
    for row in sites.values():
        assert row.label and row.note and row.source and row.basis
        assert 0.0 < row.swing_factor <= 1.0
        assert row.tmin_offset_c >= 0.0 and row.tmax_offset_c >= 0.0
    assert (sites["open"].tmin_offset_c, sites["open"].tmax_offset_c) == (0.0, 0.0)


def test_a_row_that_is_no_number_is_named(monkeypatch, tmp_path, checkout):
    text = (checkout / "shared" / "rules" / "sites.csv").read_text("utf-8")
    rows = list(csv.reader(io.StringIO(text)))
    rows[2][rows[0].index("tmin_offset_c")] = "mild"
    (tmp_path / "rules").mkdir()
    with (tmp_path / "rules" / "sites.csv").open("w", encoding="utf-8", newline="") as handle:
        csv.writer(handle).writerows(rows)
    monkeypatch.setattr(sites_module, "data_root", lambda name: tmp_path)
    load_sites.cache_clear()
    try:
        with pytest.raises(DataError, match=r"row 3.*mild"):
            load_sites()
    finally:
        load_sites.cache_clear()
