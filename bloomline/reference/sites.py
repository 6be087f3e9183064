"""What a site does to the air, as stated assumptions with their source."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from functools import lru_cache

from bloomline.data import data_root
from bloomline.errors import DataError


@dataclass(frozen=True, slots=True)
class SiteRule:
    """How the air at a site differs from the weather station's. [°C]

    swing_factor : part of the daily swing left. vented_above_c : air is let in above this.
    ground_share : part of the warmth that comes from the ground under the floor.
    lag_days : how far it is behind the outside's daily mean. house_share : part of the way from
    the outside up to a heated house.
    """

    id: str
    label: str
    tmin_offset_c: float
    tmax_offset_c: float
    swing_factor: float
    vented_above_c: float
    ground_share: float
    lag_days: float
    house_share: float
    note: str
    source: str
    basis: str


@lru_cache(maxsize=1)
def load_sites() -> dict[str, SiteRule]:
    """Return the sites by id. Raises DataError for a row that isn't numbers where it must be."""
    text = data_root("shared").joinpath("rules", "sites.csv").read_text("utf-8")
    sites: dict[str, SiteRule] = {}
    numbers = (
        "tmin_offset_c",
        "tmax_offset_c",
        "swing_factor",
        "vented_above_c",
        "ground_share",
        "lag_days",
        "house_share",
    )
    for line, row in enumerate(csv.DictReader(io.StringIO(text)), start=2):
        try:
            values = {name: float(row[name]) for name in numbers}
        except ValueError as error:
            raise DataError("shared/rules/sites.csv", [f"row {line}: {error}"]) from error
        sites[row["id"]] = SiteRule(
            id=row["id"],
            label=row["label"],
            note=row["note"],
            source=row["source"],
            basis=row["basis"],
            **values,
        )
    return sites
