"""How much of the land around a place is sea: what makes winters mild and springs late."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bloomline.data import data_root
from bloomline.errors import DataError

CELL_DEG = 0.1
PARTS = 50
"""The table counts in fiftieths."""

Floats = NDArray[np.float64]


def sea_share(latitude_deg: ArrayLike, longitude_deg: ArrayLike) -> Floats:
    """Share of sea within some 15 km, 0 to 1, between the four cells around; any shape.

    Source: shared/places/sea_share.npz, made from the GLOBE model of the earth's surface.
    """
    table = _table()
    rows, columns = table.shape
    down = (90.0 - np.asarray(latitude_deg, dtype=np.float64)) / CELL_DEG - 0.5
    right = (np.asarray(longitude_deg, dtype=np.float64) + 180.0) / CELL_DEG - 0.5
    north, west = np.floor(down).astype(np.int64), np.floor(right).astype(np.int64)
    below, beside = down - north, right - west

    def cell(row: NDArray[np.int64], column: NDArray[np.int64]) -> Floats:
        return np.asarray(table[np.clip(row, 0, rows - 1), column % columns] / PARTS)

    share: Floats = (
        cell(north, west) * (1 - below) * (1 - beside)
        + cell(north, west + 1) * (1 - below) * beside
        + cell(north + 1, west) * below * (1 - beside)
        + cell(north + 1, west + 1) * below * beside
    )
    return share


@lru_cache(maxsize=1)
def _table() -> NDArray[np.uint8]:
    path = data_root("shared").joinpath("places", "sea_share.npz")
    with path.open("rb") as handle, np.load(handle, allow_pickle=False) as read:
        parts: NDArray[np.uint8] = read["parts"]
    if parts.shape != (round(180 / CELL_DEG), round(360 / CELL_DEG)) or parts.max() > PARTS:
        raise DataError("shared/places/sea_share.npz", ["not a table of the earth in fiftieths"])
    return parts
