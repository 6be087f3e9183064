"""Time constant of a pot against the conduction of heat in a long cylinder."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.linalg import eigh_tridiagonal
from scipy.optimize import brentq
from scipy.special import j0, j1

from bloomline.engine.rootzone import CompostPhysics, cylinder_eigenvalue, pot_time_constant_h


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
