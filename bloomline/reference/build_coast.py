"""Rebuild shared/places/sea_share.npz from a published mask of land and sea.

Run: python -m bloomline.reference.build_coast GLOBE_MASK.npz shared/places
GLOBE_MASK.npz is globe_combined_mask_compressed.npz of the package `global-land-mask`: True on
the sea, rows from north to south, columns from 180° west. Not needed to run the program.
"""

from __future__ import annotations

import argparse
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bloomline.errors import DataError
from bloomline.reference.coast import CELL_DEG, PARTS

_AROUND_KM = 15.0
_KM_PER_DEGREE = 111.2
_MASK_SHAPE = (21600, 43200)


def build_coast(mask_file: Path, out: Path) -> tuple[int, int]:
    """Write sea_share.npz into `out`; return its shape. Raises DataError for another mask."""
    with np.load(mask_file, allow_pickle=False) as read:
        mask = read["mask"]
    if mask.shape != _MASK_SHAPE:
        raise DataError(str(mask_file), [f"a mask of {_MASK_SHAPE} is needed, got {mask.shape}"])
    rows, columns = round(180 / CELL_DEG), round(360 / CELL_DEG)
    cells = mask.reshape(rows, _MASK_SHAPE[0] // rows, columns, _MASK_SHAPE[1] // columns)
    share = _around(cells.mean(axis=(1, 3)))
    np.savez_compressed(out / "sea_share.npz", parts=np.rint(share * PARTS).astype(np.uint8))
    return len(share), share.shape[1]


def _around(share: NDArray[np.float64]) -> NDArray[np.float64]:
    """The mean of each cell and those within some 15 km of it."""
    reach = round(_AROUND_KM / _KM_PER_DEGREE / CELL_DEG)
    padded = np.pad(share, ((reach, reach), (0, 0)), mode="edge")
    rows = len(share)
    upright = np.mean([padded[i : i + rows] for i in range(2 * reach + 1)], axis=0)
    latitude = np.radians(90.0 - (np.arange(rows) + 0.5) * CELL_DEG)
    # Degrees of longitude are shorter towards the poles.
    wide = np.rint(reach / np.maximum(np.cos(latitude), 0.1)).astype(int)
    result: NDArray[np.float64] = np.empty_like(upright)
    for n in np.unique(wide):
        at = wide == n
        result[at] = np.mean([np.roll(upright[at], i, axis=1) for i in range(-n, n + 1)], axis=0)
    return result


def main() -> None:
    """Command line of the rebuild."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("mask", type=Path, help="file with the mask")
    parser.add_argument("out", type=Path, help="folder to write into")
    args = parser.parse_args()
    print(build_coast(args.mask, args.out))


if __name__ == "__main__":
    main()
