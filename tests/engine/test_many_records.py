"""Records that come in or go one by one: the quick steps are the plain ones, and as few."""

from __future__ import annotations

import numpy as np
import pytest

from bloomline.engine import learning
from bloomline.engine.learning import oddness


def case(seed: int):
    """Residuals of a garden, up to half of them wrong, and their covariance. [days, days²]"""
    draw = np.random.default_rng(seed)
    n = int(draw.integers(2, 60))
    season, kind = draw.integers(0, 4, n), draw.integers(0, 9, n)
    whole = 16.0 * np.eye(n)
    whole += 9.0 * (season[:, None] == season) + 4.0 * (kind[:, None] == kind)
    residual = np.linalg.cholesky(whole) @ draw.normal(size=n)
    wrong = draw.choice(n, int(draw.integers(0, n // 2 + 1)), replace=False)
    residual[wrong] += draw.choice([-1.0, 1.0], len(wrong)) * draw.uniform(20.0, 70.0, len(wrong))
    return residual, whole, draw.random(n) < 0.5


def plainly_left_out(residual, whole, first):
    """As it is defined: what is expected of the rest is worked out anew for each that comes in."""
    out = ~first
    while out.any():
        inside = np.flatnonzero(~out)
        gain = np.linalg.solve(whole[np.ix_(inside, inside)], whole[inside])
        variance = np.diag(whole) - np.einsum("kg,kg->g", whole[inside], gain)
        apart = residual - residual[inside] @ gain
        odd = np.full(len(residual), np.inf)
        odd[out] = oddness(apart[out], sd_days=np.sqrt(variance[out]))
        best = int(np.argmin(odd))
        if odd[best] >= 1.0:
            break
        out[best] = False
    return out


def plainly_held(out, residual, whole):
    """As it is defined: all that are in, worked out anew whenever one goes."""
    out = out.copy()
    while (kept := np.flatnonzero(~out)).size:
        inverse = np.linalg.inv(whole[np.ix_(kept, kept)])
        variance = 1.0 / np.diag(inverse)
        odd = oddness((inverse @ residual[kept]) * variance, sd_days=np.sqrt(variance))
        worst = int(np.argmax(odd))
        if odd[worst] < 1.0:
            break
        out[kept[worst]] = True
    return out


@pytest.mark.parametrize("seed", range(25))
def test_steps_do_what_working_out_anew_does(seed):
    residual, whole, first = case(seed)
    out = learning._left_out(residual, whole, first=first)
    assert (out == plainly_left_out(residual, whole, first)).all()
    everything_in = np.zeros(len(residual), dtype=bool)
    held = everything_in.copy()
    learning._hold_against_each_other(held, residual, whole)
    assert (held == plainly_held(everything_in, residual, whole)).all()


def test_a_matrix_is_inverted_once_however_many_go(monkeypatch):
    calls = []
    real = np.linalg.inv
    monkeypatch.setattr(np.linalg, "inv", lambda matrix: calls.append(1) or real(matrix))
    n = 80
    residual = np.where(np.arange(n) % 4 == 0, 60.0, 0.0)
    out = np.zeros(n, dtype=bool)
    learning._hold_against_each_other(out, residual, 16.0 * np.eye(n))
    assert out.sum() == n // 4
    assert len(calls) == 1
