"""Published sightings of flowers: what forecasts are held against."""

from __future__ import annotations

from dataclasses import dataclass

from bloomline.data import data_root
from bloomline.model.cultivar import MonthDay
from bloomline.reference.tables import read_rows


@dataclass(frozen=True, slots=True)
class Observation:
    """A dated sighting. `cultivar` is a name the catalogue finds, or empty for unnamed plants.

    `year` is a year, a span of years (then the date is their mean) or a word such as
    "typical"; `stage`, `where`, `prechilled`, `established` and `quality` are explained in
    shared/observations/README.md.
    """

    id: str
    taxon: str
    cultivar: str
    kind: str
    common_type: str
    stage: str
    place: str
    country: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    year: str
    seen_on: MonthDay
    planted_on: MonthDay | None
    where: str
    prechilled: str
    established: str
    quality: str
    source: str
    note: str

    @property
    def single_year(self) -> int | None:
        """The year of a sighting in one year, else None."""
        return int(self.year) if self.year.isdigit() else None


def load_observations() -> tuple[Observation, ...]:
    """Return all published sightings, in the order of the table. Raises DataError."""
    rows = read_rows(data_root("shared").joinpath("observations", "flowering_dates.csv"))
    return tuple(
        Observation(
            id=row["id"],
            taxon=row["taxon"],
            cultivar=row["cultivar"],
            kind=row["kind"],
            common_type=row["common_type"],
            stage=row["stage"],
            place=row["place"],
            country=row["country"],
            latitude_deg=float(row["latitude_deg"]),
            longitude_deg=float(row["longitude_deg"]),
            elevation_m=float(row["elevation_m"]),
            year=row["year"],
            seen_on=MonthDay.parse(row["date_md"]),
            planted_on=MonthDay.parse(row["planted_md"]) if row["planted_md"] else None,
            where=row["where"],
            prechilled=row["prechilled"],
            established=row["established"],
            quality=row["quality"],
            source=row["source"],
            note=row["note"],
        )
        for row in rows
    )
