"""Published sightings of flowers and usual seasons: what forecasts are held against."""

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
    shared/observations/README.md. `aside` is "fit" where constants may be chosen on the
    sighting, "held_out" where they are only judged on it.
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
    aside: str

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
            aside=row["aside"],
        )
        for row in rows
    )


@dataclass(frozen=True, slots=True)
class UsualSeason:
    """When a kind usually opens its first flower at a place.

    `basis` is "published" (then `source` says by whom) or "memory". The window may run over the
    new year. `aside` as for an Observation.
    """

    id: str
    kind: str
    place: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    planted_on: MonthDay
    established: bool
    opens_from: MonthDay
    opens_to: MonthDay
    basis: str
    aside: str
    source: str


def load_usual_seasons() -> tuple[UsualSeason, ...]:
    """Return all usual seasons, in the order of the table. Raises DataError."""
    rows = read_rows(data_root("shared").joinpath("observations", "usual_seasons.csv"))
    return tuple(
        UsualSeason(
            id=row["id"],
            kind=row["kind"],
            place=row["place"],
            latitude_deg=float(row["latitude_deg"]),
            longitude_deg=float(row["longitude_deg"]),
            elevation_m=float(row["elevation_m"]),
            planted_on=MonthDay.parse(row["planted_md"]),
            established=row["established"] == "yes",
            opens_from=MonthDay.parse(row["from_md"]),
            opens_to=MonthDay.parse(row["to_md"]),
            basis=row["basis"],
            aside=row["aside"],
            source=row["source"],
        )
        for row in rows
    )
