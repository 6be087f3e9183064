"""Time constant of a pot against the conduction of heat in a long cylinder."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.linalg import eigh_tridiagonal
from scipy.optimize import brentq
from scipy.special import j0, j1

from bloomline.engine.rootzone import (
    GROUND_CONTACT,
    CompostPhysics,
    cylinder_eigenvalue,
    depth_days,
    pot_time_constant_h,
)


@pytest.mark.parametrize(
    ("biot", "eigenvalue"),
    [
        # Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, coefficients of the one-term
        # approximation for transient conduction, infinite cylinder (four decimals).
        (0.1, 0.4417),
        (0.5, 0.9408),
        (1.0, 1.2558),
        (2.0, 1.5995),
        (3.0, 1.7887),
        (5.0, 1.9898),
        (10.0, 2.1795),
    ],
)
def test_table_of_one_term_coefficients(biot, eigenvalue):
    assert cylinder_eigenvalue(biot) == pytest.approx(eigenvalue, abs=0.6e-4)


@pytest.mark.parametrize("biot", [0.01, 0.3, 1.0, 3.0, 7.5, 40.0, 400.0])
def test_root_of_the_bessel_equation(biot):
    # SciPy's Bessel functions; the first root lies below the first zero of J0, 2.404826 (DLMF).
    root = brentq(lambda zeta: zeta * j1(zeta) - biot * j0(zeta), 1e-9, 2.404826, xtol=1e-13)
    assert cylinder_eigenvalue(biot) == pytest.approx(root, abs=1e-9)


def test_a_pot_of_thirty_centimetres_takes_about_ten_hours():
    # R 0.15 m, h 10 W/m2K, k 0.5 W/mK: Biot number 3; R2/(alpha 1.7887^2), alpha 2e-7 m2/s.
    expected_h = 0.15**2 / (2.0e-7 * 1.7887**2) / 3600.0
    assert expected_h == pytest.approx(9.77, abs=0.01)
    assert pot_time_constant_h(15.0) == pytest.approx(expected_h, rel=1e-3)


@pytest.mark.parametrize(
    ("radius_cm", "wall_cm", "wall_conductivity"), [(8.0, 0.0, 1.0), (20.0, 2.0, 0.9)]
)
def test_slowest_decay_of_a_cylinder_cut_into_rings(radius_cm, wall_cm, wall_conductivity):
    # Independent of Bessel functions: heat balance of 400 rings (finite volumes), the wall and
    # the film of air in series outside (the wall stores no heat), slowest of its decay rates.
    physics = CompostPhysics()
    rings = 400
    width = radius_cm / 100.0 / rings
    inner = np.arange(rings) * width
    capacity = physics.volumetric_heat_j_m3k * np.pi * ((inner + width) ** 2 - inner**2)
    between = physics.conductivity_w_mk * 2.0 * np.pi * inner[1:] / width
    outside = 1.0 / physics.surface_w_m2k + wall_cm / 100.0 / wall_conductivity
    surface = (
        2.0 * np.pi * (radius_cm / 100.0) / (outside + 0.5 * width / physics.conductivity_w_mk)
    )
    loss = np.zeros(rings)
    loss[:-1] += between
    loss[1:] += between
    loss[-1] += surface
    # Scaled by the root of the capacities, which makes the balance symmetric.
    rate = eigh_tridiagonal(
        loss / capacity,
        -between / np.sqrt(capacity[:-1] * capacity[1:]),
        eigvals_only=True,
        select="i",
        select_range=(0, 0),
    )[0]
    found = pot_time_constant_h(
        radius_cm, wall_cm=wall_cm, wall_conductivity_w_mk=wall_conductivity
    )
    assert found == pytest.approx(1.0 / rate / 3600.0, rel=1e-3)


@pytest.mark.parametrize("radius_cm", [8.0, 10.0, 15.0, 20.0, 30.0, 40.0])
def test_the_ground_gives_a_tenth_of_a_frozen_pots_heat(radius_cm):
    # Incropera & DeWitt, shape factors: an isothermal disk of radius a on a half-space, S = 4a
    # (2D); ground of 1.0 W/mK (from memory). The pot is as deep as wide, its middle half way up.
    radius_m = radius_cm / 100.0
    physics = CompostPhysics()
    base_m2 = np.pi * radius_m**2
    to_ground = 1.0 / (
        radius_m / (physics.conductivity_w_mk * base_m2) + 1.0 / (4.0 * 1.0 * radius_m)
    )
    hours = pot_time_constant_h(radius_cm, wall_cm=1.5)
    to_air = physics.volumetric_heat_j_m3k * base_m2 * 2.0 * radius_m / (hours * 3600.0)
    share = to_ground / (to_ground + to_air)
    assert share == pytest.approx(GROUND_CONTACT, abs=0.055)


def test_depth_in_the_ground_lags_as_a_wave_of_a_year():
    # Finite differences, no wave: a column of soil whose surface swings once a year; the day on
    # which it passes its mean in spring is later by the lag. Diffusivity 5e-7 m2/s.
    alpha, step_m = 5.0e-7, 0.05
    step_s = 0.4 * step_m**2 / alpha
    depth = np.arange(0.0, 12.0, step_m)
    temp = np.zeros_like(depth)
    omega = 2.0 * np.pi / (365.25 * 86400.0)
    at, crossed = 0.0, {}
    n = round(3 * 365.25 * 86400.0 / step_s)
    for _ in range(n):
        before = temp[[2, 4]].copy()
        temp[1:-1] += alpha * step_s / step_m**2 * (temp[2:] - 2.0 * temp[1:-1] + temp[:-2])
        at += step_s
        temp[0] = np.sin(omega * at)
        temp[-1] = temp[-2]
        for k, (old, new) in enumerate(zip(before, temp[[2, 4]], strict=True)):
            if old < 0.0 <= new:
                crossed[k] = at - step_s * new / (new - old)
    seen_days = (crossed[1] - crossed[0]) / 86400.0  # 20 cm against 10 cm
    lag = depth_days(10.0, in_ground=True) - depth_days(10.0, in_ground=False)
    assert lag == pytest.approx(seen_days, abs=0.15)
    assert lag == pytest.approx(2.6, abs=0.05)
