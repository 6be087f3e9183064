"""Search for dense packings; write the modules of the engine that hold them.

Run by hand: `python tests/benchmarks/packing_search.py search FOLDER disc 1.00 2 40 300`
searches 300 s for packings of 2 to 40 points in a circle and keeps the best in FOLDER (`disc
1.41` is an oval 1.41 : 1, `box 1.41` a rectangle); `... write FOLDER` writes the modules. What
is in the repository took about half an hour. The search uses seeded random starts, removal of
overlaps and linear programmes; no published coordinates were used.
"""

from __future__ import annotations

import base64
import sys
import textwrap
import time
import zipfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog, minimize
from scipy.sparse import coo_array

Points = NDArray[np.float64]


@dataclass(frozen=True)
class Frame:
    """What the middles must stay in: `disc` or `box`, reaching `aspect` along x and 1 along y."""

    kind: str = "disc"
    aspect: float = 1.0

    def size(self, points: Points) -> float:
        """Give the factor by which the frame must grow to hold the points."""
        x, y = points[:, 0] / self.aspect, points[:, 1]
        if self.kind == "disc":
            return float(np.hypot(x, y).max())
        return float(max(np.abs(x).max(), np.abs(y).max()))


def ratio_of(points: Points, frame: Frame) -> float:
    """Give 1 + 2 frame size / smallest distance: R/r of a packing in a circle."""
    n = len(points)
    i, j = np.triu_indices(n, 1)
    dmin = np.hypot(*(points[i] - points[j]).T).min()
    return float(1.0 + 2.0 * frame.size(points) / max(dmin, 1e-9))


def remove_overlap(
    points: Points, frame: Frame, *, min_distance: float, iterations: int = 300
) -> Points:
    """Move points in the frame apart until they are `min_distance` away from each other."""
    n = len(points)
    i, j = np.triu_indices(n, 1)
    d2 = min_distance**2
    scale = np.array([1.0 / frame.aspect, 1.0])

    def energy(flat: NDArray[np.float64]) -> tuple[float, NDArray[np.float64]]:
        p = flat.reshape(n, 2)
        delta = p[i] - p[j]
        over = np.maximum(0.0, d2 - np.einsum("ij,ij->i", delta, delta))
        u = p * scale
        if frame.kind == "disc":
            out = np.maximum(0.0, np.einsum("ij,ij->i", u, u) - 1.0)
            grad = 4.0 * out[:, None] * u * scale
        else:
            out = np.maximum(0.0, np.abs(u) - 1.0)
            grad = 2.0 * out * np.sign(u) * scale
        push = -4.0 * over[:, None] * delta
        for axis in (0, 1):
            grad[:, axis] += np.bincount(i, push[:, axis], n) - np.bincount(j, push[:, axis], n)
        return float((over**2).sum() + (out**2).sum()), grad.ravel()

    found = minimize(
        energy, points.ravel(), jac=True, method="L-BFGS-B", options={"maxiter": iterations}
    )
    return np.asarray(found.x, dtype=np.float64).reshape(n, 2)


def polish(
    points: Points, frame: Frame, *, rounds: int = 40, give_up_above: float | None = None
) -> Points:
    """Maximise the smallest distance in the frame by linear programmes with a step limit."""
    p = points / frame.size(points)
    scale = np.array([1.0 / frame.aspect, 1.0])
    edge = np.tile([frame.aspect, 1.0], len(p))
    n = len(p)
    i, j = np.triu_indices(n, 1)
    step = 0.3 / np.sqrt(n)
    best = p
    best_ratio = ratio_of(p, frame)
    for k in range(rounds):
        delta = p[i] - p[j]
        dist = np.hypot(*delta.T)
        near = dist < dist.min() + 2.9 * step + 0.02
        a, b, d = i[near], j[near], delta[near]
        m = len(a)
        rows = np.repeat(np.arange(m), 5)
        cols = np.stack([2 * a, 2 * a + 1, 2 * b, 2 * b + 1, np.full(m, 2 * n)], 1).ravel()
        vals = np.concatenate([-2 * d, 2 * d, np.ones((m, 1))], 1).ravel()
        u = p * scale
        wall = np.flatnonzero(np.hypot(*u.T) > 1.0 - 1.5 * step - 1e-3)
        if frame.kind == "box":
            wall = wall[:0]
        w = len(wall)
        rows = np.concatenate([rows, np.repeat(m + np.arange(w), 2)])
        cols = np.concatenate([cols, np.stack([2 * wall, 2 * wall + 1], 1).ravel()])
        vals = np.concatenate([vals, (2 * u[wall] * scale).ravel()])
        rhs = np.concatenate([dist[near] ** 2, 1.0 - (u[wall] ** 2).sum(1)])
        cost = np.zeros(2 * n + 1)
        cost[-1] = -1.0
        low, high = np.full(2 * n, -step), np.full(2 * n, step)
        if frame.kind == "box":
            low, high = np.maximum(low, -edge - p.ravel()), np.minimum(high, edge - p.ravel())
        bounds = [*zip(np.minimum(low, 0.0), np.maximum(high, 0.0), strict=True), (0.0, None)]
        lp = linprog(
            cost,
            A_ub=coo_array((vals, (rows, cols)), shape=(m + w, 2 * n + 1)).tocsr(),
            b_ub=rhs,
            bounds=bounds,
            method="highs-ds",
        )
        if lp.x is None:
            step *= 0.3
            continue
        q = p + lp.x[:-1].reshape(n, 2)
        q = q / frame.size(q)
        now = ratio_of(q, frame)
        if now < best_ratio - 1e-12:
            gain = best_ratio - now
            p, best, best_ratio = q, q, now
            if gain < 1e-9:
                break
            if gain < 1e-3 * best_ratio:
                step *= 0.6
        else:
            step *= 0.3
        if k == 6 and give_up_above is not None and best_ratio > give_up_above:
            break
        if step < 1e-9:
            break
    return best


def hexagonal(n: int, *, offset: tuple[float, float]) -> Points:
    """Give the n points of a triangular lattice nearest to `offset`, moved to the middle."""
    k = int(np.sqrt(n)) + 4
    u, v = np.meshgrid(np.arange(-k, k + 1), np.arange(-k, k + 1))
    lattice = np.stack([(u + 0.5 * v).ravel(), (np.sqrt(0.75) * v).ravel()], 1) - offset
    order = np.argsort(np.hypot(*lattice.T), kind="stable")
    return np.asarray(lattice[order[:n]])


def start(n: int, rng: np.random.Generator, known: Points | None) -> Points:
    """Give one start, a new one each time."""
    return np.asarray(_any_start(n, rng, known), dtype=np.float64)


def _any_start(n: int, rng: np.random.Generator, known: Points | None) -> Any:
    """Give one start in the unit disc: scattered, lattice, rings, or the best one disturbed."""
    kind = rng.integers(0, 5 if known is not None else 3)
    if kind == 0:
        return np.sqrt(rng.random((n, 1))) * np.array(
            [[np.cos(t), np.sin(t)] for t in rng.random(n) * 2 * np.pi]
        )
    if kind == 1:
        p = hexagonal(n, offset=(rng.random() * 0.5, rng.random() * 0.45))
        p = p / np.hypot(*p.T).max()
        return p + rng.normal(size=p.shape) * 0.25 / np.sqrt(n)
    if kind == 2:
        out: list[Points] = []
        left, radius = n, 1.0
        pitch = 1.0 / (np.sqrt(n / 0.82) - 1.0) * 2.0
        while left > 0:
            fit = 1 if radius < pitch / 2 else int(np.pi / np.arcsin(min(1.0, pitch / 2 / radius)))
            take = min(left, max(1, fit - int(rng.integers(0, 2))))
            t = 2 * np.pi * (np.arange(take) / take + rng.random())
            out.append(max(radius, 0.0) * np.stack([np.cos(t), np.sin(t)], 1))
            left -= take
            radius = max(radius - pitch * 0.9, 0.02 * rng.random())
        return np.concatenate(out) + rng.normal(size=(n, 2)) * 0.02
    assert known is not None
    p = known.copy()
    if kind == 3:  # take a few bulbs out and put them in elsewhere
        for which in rng.choice(n, size=max(1, int(rng.integers(1, 3 + n // 20))), replace=False):
            angle, radius = rng.random() * 2 * np.pi, np.sqrt(rng.random())
            p[which] = radius * np.cos(angle), radius * np.sin(angle)
        return p
    return p + rng.normal(size=p.shape) * rng.choice([0.15, 0.3, 0.5]) / np.sqrt(n)


def search(store: Path, frame: Frame, *, seconds: float, sizes: list[int], sweeps: int) -> None:
    """Improve the stored packings of every size for about `seconds` in all."""
    best: dict[int, Points] = {}
    if store.exists():
        with np.load(store) as old:
            best = {int(k): old[k] for k in old.files}
    weight = np.array([float(n) ** 1.3 for n in sizes])
    rng = np.random.default_rng(20261125)
    stretch = np.array([frame.aspect, 1.0])
    fill = 0.83 if frame.kind == "disc" else 0.65
    for sweep in range(sweeps):
        for n, share in zip(sizes, seconds / sweeps * weight / weight.sum(), strict=True):
            end = time.monotonic() + share
            first = True
            while first or time.monotonic() < end:
                first = False
                known = best.get(n)
                target = (
                    np.sqrt(n / fill / frame.aspect)
                    if known is None
                    else ratio_of(known, frame) - 1.0
                )
                gap = 2.0 / target * (1.0 + 0.02 * rng.random())
                old_unit = None if known is None else known / stretch
                p = remove_overlap(start(n, rng, old_unit) * stretch, frame, min_distance=gap)
                limit = None if known is None else ratio_of(known, frame) * 1.004
                p = polish(p, frame, give_up_above=limit)
                if known is None or ratio_of(p, frame) < ratio_of(known, frame) - 1e-9:
                    best[n] = p
        with zipfile.ZipFile(store, "w") as out:
            for n, points in best.items():
                with out.open(f"{n}.npy", "w") as member:
                    np.save(member, points)
        print("sweep", sweep, {n: round(ratio_of(best[n], frame), 5) for n in sizes}, flush=True)


FINE_UP_TO = 40
CIRCLE_UP_TO = 100
WORTH_KEEPING = 1.003
ENGINE = Path(__file__).resolve().parents[2] / "bloomline" / "engine"
CIRCLE_HEAD = '''\
"""Dense packings of equal discs in a circle, by tests/benchmarks/packing_search.py.

Middles in the unit circle as big-endian whole numbers that stand for -1 to 1, in base 85: x
then y, one packing after the other; 3 bytes a number in `CIRCLES_FINE`, else 2.
"""

from __future__ import annotations

'''
SHAPE_HEAD = '''\
"""Dense packings in ovals or boxes, by tests/benchmarks/packing_search.py.

Each entry: reach along x over reach along y, numbers of points, and the middles as
big-endian whole numbers of 2 bytes that stand for -1 to 1 (x over its reach), in base 85. Only
packings that beat straight rows and triangular lattices are kept.
"""

from __future__ import annotations

'''


def pack(points: Points, *, byte_width: int) -> bytes:
    """Give coordinates from -1 to 1 as whole numbers."""
    whole = np.rint((points.ravel() + 1.0) / 2.0 * (256**byte_width - 1)).astype(np.int64)
    whole = np.clip(whole, 0, 256**byte_width - 1)
    return b"".join(int(v).to_bytes(byte_width, "big") for v in whole)


def literal(blob: bytes, *, indent: int) -> str:
    """Give bytes as base 85 in string literals of up to 88 characters."""
    text, width = base64.b85encode(blob).decode(), 88 - indent  # no quotes or backslashes in it
    lines = [text[k : k + width] for k in range(0, len(text), width)]
    return "\n".join(f'{" " * indent}"{line}"' for line in lines)


def collect(folder: Path) -> dict[tuple[str, float], dict[int, Points]]:
    """Give the best packing of every frame and size in the folder."""
    best: dict[tuple[str, float], dict[int, Points]] = {}
    for store in sorted(folder.glob("*_*.npz")):
        kind, aspect = store.stem.split("_")[:2]
        frame = Frame(kind, float(aspect))
        mine = best.setdefault((kind, float(aspect)), {})
        with np.load(store) as data:
            for name in data.files:
                n, points = int(name), data[name]
                if n not in mine or ratio_of(points, frame) < ratio_of(mine[n], frame):
                    mine[n] = points
    return best


def beats_regular(points: Points, frame: Frame) -> bool:
    """Say whether rows or lattices put fewer points even into a frame 0.3 % larger."""
    from bloomline.engine.packing_lattice import best_lattice, best_rows
    from bloomline.engine.packing_region import _DIRECTIONS, Region

    half = (ratio_of(points, frame) - 1.0) / 2.0 * WORTH_KEEPING
    if frame.kind == "box":
        return len(best_rows(2 * half * frame.aspect, 2 * half)) < len(points)
    turn = np.linspace(0.0, 2 * np.pi, _DIRECTIONS + 1)
    reach = half / np.hypot(np.cos(turn) / frame.aspect, np.sin(turn))
    region = Region("ellipse", half * frame.aspect, half, reach)
    return len(best_lattice(region)) < len(points)


def write(folder: Path) -> None:
    """Write the four modules from the stores in the folder."""
    from bloomline.engine.packing_lattice import circle_lattices

    best = collect(folder)
    circles = best[("disc", 1.0)]
    last = min(CIRCLE_UP_TO, max(circles))
    lattice = circle_lattices()[0]
    large = [
        n
        for n in sorted(circles)
        if n > CIRCLE_UP_TO and (ratio_of(circles[n], Frame()) - 1.0) / 2.0 < lattice[n - 1]
    ]
    parts = {
        "CIRCLES_FINE": (range(2, FINE_UP_TO + 1), 3),
        "CIRCLES": (range(FINE_UP_TO + 1, last + 1), 2),
        "CIRCLES_LARGE": (large, 2),
    }
    modules = {"packing_table.py": [CIRCLE_HEAD], "packing_large.py": [CIRCLE_HEAD]}
    for name, (numbers, byte_width) in parts.items():
        blob = b"".join(pack(circles[n], byte_width=byte_width) for n in numbers)
        shown = (
            f"tuple(range({numbers.start}, {numbers.stop}))"
            if isinstance(numbers, range)
            else f"({', '.join(map(str, numbers))},)"
        )
        modules["packing_large.py" if "LARGE" in name else "packing_table.py"] += [
            f"{name}_SIZES: tuple[int, ...] = {shown}\n{name} = (\n",
            literal(blob, indent=4),
            "\n)\n",
        ]
    for name, lines in modules.items():
        (ENGINE / name).write_text("".join(lines), encoding="utf-8")
    write_shapes({key: found for key, found in best.items() if key[0] == "box"}, name="BOXES")
    write_shapes(
        {key: found for key, found in best.items() if key[0] == "disc" and key[1] != 1.0},
        name="OVALS",
    )


def write_shapes(best: dict[tuple[str, float], dict[int, Points]], *, name: str) -> None:
    """Write one module of packings by aspect."""
    text = [SHAPE_HEAD]
    text.append(f"# fmt: off\n{name}: tuple[tuple[float, tuple[int, ...], str], ...] = (\n")
    for (kind, aspect), found in sorted(best.items()):
        frame = Frame(kind, aspect)
        kept = [n for n in sorted(found) if beats_regular(found[n], frame)]
        blob = b"".join(
            pack(found[n] / frame.size(found[n]) / (aspect, 1.0), byte_width=2) for n in kept
        )
        sizes = textwrap.wrap(", ".join(map(str, kept)) + ",", 80)
        text.append(f"    (\n        {aspect},\n        (\n")
        text += [f"            {line}\n" for line in sizes]
        text += ["        ),\n        (\n", literal(blob, indent=12), "\n        ),\n    ),\n"]
    text.append(")\n# fmt: on\n")
    (ENGINE / f"packing_{name.lower()}.py").write_text("".join(text), encoding="utf-8")


def main(words: list[str]) -> None:
    """Do what the words of the command line say."""
    folder = Path(words[1])
    if words[0] == "write":
        write(folder)
        return
    kind, aspect = words[2], float(words[3])
    first, last, seconds = int(words[4]), int(words[5]), float(words[6])
    search(
        folder / f"{kind}_{aspect:.2f}_{first}.npz",
        Frame(kind, aspect),
        seconds=seconds,
        sizes=list(range(first, last + 1)),
        sweeps=3,
    )


if __name__ == "__main__":
    main(sys.argv[1:])
