"""Real daily weather that lends its ups and downs to other places."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bloomline.data import data_root
from bloomline.errors import DataError


@dataclass(frozen=True, slots=True)
class ReferenceWeather:
    """Daily extremes of the reference station, one value a day without a gap. [°C]

    `tmin_c` and `tmax_c`: shape (n_days,), float32, read-only.
    """

    first_day: date
    tmin_c: NDArray[np.float32]
    tmax_c: NDArray[np.float32]

    @property
    def last_day(self) -> date:
        """The last day held."""
        return self.first_day + timedelta(days=len(self.tmin_c) - 1)


@lru_cache(maxsize=1)
def load_reference_weather() -> ReferenceWeather:
    """Return the daily extremes of De Bilt from 2000 on; read once a process.

    Source: KNMI, station 260, CC BY 4.0; see shared/weather/README.md.
    Raises DataError when the table is not what its description says.
    """
    folder = data_root("shared").joinpath("weather")
    about = json.loads(folder.joinpath("de_bilt.json").read_text("utf-8"))
    with folder.joinpath("de_bilt_tenths.npy").open("rb") as handle:
        tenths = np.load(handle, allow_pickle=False)
    if tenths.shape != (2, about["days"]):
        raise DataError(
            "shared/weather", [f"{about['days']} days described, but shape {tenths.shape}"]
        )
    values = tenths.astype(np.float32) / np.float32(10.0)
    values.flags.writeable = False
    return ReferenceWeather(
        first_day=date.fromisoformat(about["first_day"]), tmin_c=values[0], tmax_c=values[1]
    )


def load_frost_days() -> dict[str, tuple[float, ...]]:
    """Return the published mean days a month with a minimum below 0 °C, by station id.

    January to December; for checks of the day-to-day spread, see shared/climate-checks/README.md.
    """
    table = data_root("shared").joinpath("climate-checks", "frost_days.csv").read_text("utf-8")
    return {
        row["station_id"]: tuple(float(row[f"frost_days_{m:02d}"]) for m in range(1, 13))
        for row in csv.DictReader(io.StringIO(table))
    }
