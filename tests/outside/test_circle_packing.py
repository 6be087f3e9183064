"""Packings against the best ones known.

Circles in a circle, smallest R/r: N 1-20 from the open encyclopaedia HandWiki, "Circle packing
in a circle" (1-13 and 19 proved), the same figures as the sample model packcrcl of an
optimisation handbook; 21-40 and the four above 40 are literature values from memory. Circles
in a square, largest smallest distance in a unit square: H. T. Croft, K. J. Falconer, R. K. Guy,
"Unsolved Problems in Geometry" (1991), section D1, figures from memory.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from bloomline.engine.packing import capacity, positions, smallest_distance_cm
from bloomline.engine.packing_lattice import best_rows
from bloomline.engine.potshape import Section

# fmt: off
CIRCLE_RATIOS = (
    1.0000000, 2.0000000, 2.1547005, 2.4142136, 2.7013016, 3.0000000, 3.0000000, 3.3047649,
    3.6131259, 3.8130256, 3.9238044, 4.0296019, 4.2360680, 4.3284286, 4.5213570, 4.6154256,
    4.7920337, 4.8637033, 4.8637033, 5.1223207, 5.2523175, 5.4397190, 5.5452043, 5.6516610,
    5.7528244, 5.8281765, 5.9063978, 6.0149381, 6.1385979, 6.1977411, 6.2915026, 6.4294630,
    6.4867031, 6.6109571, 6.6971711, 6.7467538, 6.7587705, 6.9618870, 7.0578842, 7.1238465,
)
SQUARE_DISTANCES = {
    2: 1.4142, 3: 1.0353, 4: 1.0000, 5: 0.7071, 6: 0.6009, 7: 0.5359, 8: 0.5176, 9: 0.5000,
    10: 0.4213, 11: 0.3980, 12: 0.3887, 13: 0.3660, 14: 0.3489, 15: 0.3411, 16: 0.3333,
    17: 0.3060, 18: 0.3005, 19: 0.2895, 20: 0.2866,
}
# fmt: on
LARGER_RATIOS = {50: 7.9475, 61: 8.6613, 91: 10.5668, 100: 11.0821}


def circle(ratio: float) -> Section:
    """Give a circle `ratio` times as wide as a bulb of 2 cm."""
    return Section("circle", 2.0 * ratio, 2.0 * ratio)


def fit(section: Section) -> int:
    """Count the bulbs of 2 cm that fit touching, up to the wall."""
    return capacity(section, bulb_diameter_cm=2.0, gap_cm=0.0, wall_clear_cm=0.0)


@pytest.mark.parametrize("n", range(1, 41))
def test_reaches_the_best_known_circle_packings(n: int) -> None:
    """Within 0.1 % of the best known ratio, ten times closer than asked for."""
    assert fit(circle(CIRCLE_RATIOS[n - 1] * 1.001)) >= n


@pytest.mark.parametrize("n", [*range(2, 14), 19])
def test_claims_no_more_than_is_proved_possible(n: int) -> None:
    """In a circle a hair smaller than the proved one, n circles cannot fit."""
    assert fit(circle(CIRCLE_RATIOS[n - 1] * (1.0 - 1e-6))) < n


@pytest.mark.parametrize(("n", "ratio"), LARGER_RATIOS.items())
def test_stays_close_to_best_known_above_forty(n: int, ratio: float) -> None:
    """Within 1 % of the best known ratio."""
    assert fit(circle(ratio * 1.01)) >= n


def plain_hexagonal(radius: float, *, middle: tuple[float, float] = (0.0, 0.0)) -> int:
    """Count points of the plain triangular lattice (steps of 2) in a circle round `middle`."""
    k = np.arange(-40, 41)
    u, v = np.meshgrid(k, k)
    away = np.hypot(2.0 * u + v - middle[0], math.sqrt(3.0) * v - middle[1])
    return int((away <= radius + 1e-9).sum())


def test_beats_the_plain_hexagonal_lattice_above_forty() -> None:
    """Round a bulb or round a gap: never worse, and better for most sizes."""
    ratios = np.arange(7.3, 21.0, 0.1)
    ours = np.array([fit(circle(float(r))) for r in ratios])
    on_bulb = np.array([plain_hexagonal(float(r) - 1.0) for r in ratios])
    on_gap = np.array(
        [plain_hexagonal(float(r) - 1.0, middle=(1.0, 1.0 / math.sqrt(3.0))) for r in ratios]
    )
    plain = np.maximum(on_bulb, on_gap)
    assert (ours >= plain).all()
    assert (ours > plain).mean() > 0.6
    up_to_100 = ratios < 11.0
    assert ours[up_to_100].sum() > 1.05 * on_bulb[up_to_100].sum()


@pytest.mark.parametrize(("n", "distance"), SQUARE_DISTANCES.items())
def test_reaches_the_best_known_square_packings(n: int, distance: float) -> None:
    """Within 0.2 % of the side of the square that the best known packing needs."""
    side = 2.0 + 2.0 / distance * 1.002
    assert fit(Section("rectangle", side, side)) >= n


@pytest.mark.parametrize(
    ("kind", "width", "length"),
    [("rectangle", 20, 60), ("rectangle", 32, 30), ("ellipse", 25, 40), ("ellipse", 15, 30)],
)
def test_ovals_and_troughs_beat_many_lattices_with_a_greedy_finish(
    kind: str, width: float, length: float
) -> None:
    """450 random lattices, each pushed in from the wall and filled up: ours is as good."""
    rng = np.random.default_rng(3)
    for pitch in (2.9, 4.4, 6.8):
        inset = 0.45 * pitch
        section = Section(kind, width, length)  # type: ignore[arg-type]
        ours = positions(
            section, bulb_diameter_cm=2 * inset, gap_cm=pitch - 2 * inset, wall_clear_cm=0.0
        )
        assert smallest_distance_cm(ours) >= pitch - 1e-9
        best = max(_one_lattice(kind, width, length, inset, pitch, rng) for _ in range(150))
        assert len(ours) >= best


def _one_lattice(
    kind: str, width: float, length: float, inset: float, pitch: float, rng: np.random.Generator
) -> int:
    k = np.arange(-40, 41)
    u, v = np.meshgrid(k, k)
    turn, shift = rng.random() * math.pi / 3.0, rng.random(2) * pitch
    x0 = pitch * (u + 0.5 * v).ravel() + shift[0]
    y0 = pitch * math.sqrt(0.75) * v.ravel() + shift[1]
    x = x0 * math.cos(turn) - y0 * math.sin(turn)
    y = x0 * math.sin(turn) + y0 * math.cos(turn)
    half_x, half_y = width / 2.0 - inset, length / 2.0 - inset
    if kind == "rectangle":
        # bulbs up to a fifth of the spacing outside are pushed in, and stay if they may
        slack = 0.2 * pitch
        near = (np.abs(x) <= half_x + slack) & (np.abs(y) <= half_y + slack)
        x, y = np.clip(x[near], -half_x, half_x), np.clip(y[near], -half_y, half_y)
    else:
        # a touch too strict at the tips, where the discs are blunter than the oval
        inside = (x / half_x) ** 2 + (y / half_y) ** 2 <= 1.0
        near_x, near_y = x[inside], y[inside]
        turn_round = np.linspace(0, 2 * np.pi, 60)
        rim = np.stack([inset * np.cos(turn_round), inset * np.sin(turn_round)])
        discs_x, discs_y = near_x[:, None] + rim[0], near_y[:, None] + rim[1]
        whole = ((2 * discs_x / width) ** 2 + (2 * discs_y / length) ** 2 <= 1.0).all(axis=1)
        x, y = near_x[whole], near_y[whole]
    order = np.argsort(-np.hypot(x, y), kind="stable")
    kept: list[tuple[float, float]] = []
    for a, b in zip(x[order], y[order], strict=True):
        if all((a - c) ** 2 + (b - d) ** 2 >= (pitch - 1e-9) ** 2 for c, d in kept):
            kept.append((a, b))
    return len(kept)


def test_rows_count_by_hand() -> None:
    """A box of 4 x 1.8 spacings: rows of 5, 4 and 5 points, 0.866 apart, make 14."""
    assert len(best_rows(4.0, 1.8)) == 14
