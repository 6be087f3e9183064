"""Rules of the craft as data: depth, frost, planting time, poison, compost; each with a source."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields
from functools import lru_cache
from typing import Any, Generic, Protocol, TypeVar

from bloomline.data import data_root
from bloomline.errors import DataError, UnknownNameError
from bloomline.model.cultivar import MonthDay
from bloomline.reference.tables import ROW_NUMBER, Row, read_rows


@dataclass(frozen=True, slots=True)
class Figure:
    """A rule with its figure, from `low` to `high` in `unit`; no figure where both are None."""

    topic: str
    key: str
    low: float | None
    high: float | None
    unit: str
    rule: str
    source: str
    basis: str

    @property
    def middle(self) -> float:
        """Middle of the range. Raises DataError for a rule without a figure."""
        if self.low is None or self.high is None:
            raise DataError("shared/rules/figures.csv", [f"{self.key}: a rule without a figure"])
        return (self.low + self.high) / 2


@dataclass(frozen=True, slots=True)
class LethalLimit:
    """Coldest a bulb stands [°C]: whole in winter, and its roots for a day in frozen compost."""

    genus: str
    group: str
    bulb_c: float
    roots_c: float
    tested: str
    bulb_source: str
    bulb_basis: str
    roots_source: str
    roots_basis: str


@dataclass(frozen=True, slots=True)
class PlantingWindow:
    """When a kind is planted near London; `best_from` to `best_to` for preference.

    note_is_london : whether the note names months, which hold near London only.
    """

    genus: str
    group: str
    from_md: MonthDay
    to_md: MonthDay
    best_from_md: MonthDay
    best_to_md: MonthDay
    note: str
    note_is_london: bool
    source: str
    basis: str


@dataclass(frozen=True, slots=True)
class Toxicity:
    """Harm to pets: 0 none known, 1 upset or irritation, 2 can be severe or fatal."""

    genus: str
    group: str
    level: int
    what: str
    gloves: bool
    source: str
    basis: str


@dataclass(frozen=True, slots=True)
class Compost:
    """What a litre of a mix weighs, drained after watering and dry, and the water it can give."""

    id: str
    label: str
    drained_low_kg_per_l: float
    drained_high_kg_per_l: float
    dry_low_kg_per_l: float
    dry_high_kg_per_l: float
    available_water_low: float
    available_water_high: float
    note: str
    source: str
    basis: str

    @property
    def drained_kg_per_l(self) -> float:
        """Middle of the drained weight. [kg/L]"""
        return (self.drained_low_kg_per_l + self.drained_high_kg_per_l) / 2

    @property
    def dry_kg_per_l(self) -> float:
        """Middle of the dry weight. [kg/L]"""
        return (self.dry_low_kg_per_l + self.dry_high_kg_per_l) / 2


@dataclass(frozen=True, slots=True)
class PotMaterial:
    """What a pot is made of: how it passes heat, what it weighs, how it stands frost."""

    id: str
    label: str
    conductivity_w_per_m_k: float
    density_kg_per_l: float
    usual_wall_cm: float
    frost_proof: str
    note: str
    source: str
    basis: str


@dataclass(frozen=True, slots=True)
class LiftingBox:
    """Guideline weights for hands at one height, close to the body and at arm's length. [kg]"""

    hands_at: str
    men_close_kg: float
    men_reach_kg: float
    women_close_kg: float
    women_reach_kg: float
    source: str
    basis: str


@dataclass(frozen=True, slots=True)
class Caution:
    """A warning to show, for the genera named or for all when none is."""

    id: str
    genera: tuple[str, ...]
    message: str
    source: str
    basis: str


@dataclass(frozen=True, slots=True)
class ChillWeeks:
    """Weeks of cold that one source states for a kind.

    place : "store" for forcing, "refrigerator" before planting where winters are short, "garden"
    for the least with which it flowers outdoors, as this program counts cold.
    """

    genus: str
    group: str
    place: str
    weeks_low: float
    weeks_high: float
    note: str
    source: str
    basis: str


@dataclass(frozen=True, slots=True)
class PotCount:
    """Bulbs of a kind that one source puts into a pot of one width."""

    pot_width_cm: float
    kind: str
    low: int
    high: int
    note: str
    source: str
    basis: str


@dataclass(frozen=True, slots=True)
class PackingRatio:
    """Smallest radius of a circle that holds n circles of radius 1."""

    n: int
    ratio: float
    status: str
    source: str
    basis: str


class _OfKind(Protocol):
    @property
    def genus(self) -> str: ...

    @property
    def group(self) -> str: ...


K = TypeVar("K", bound=_OfKind)


class _ByKind(Generic[K]):
    """Rows by genus and group: the group's row, else the genus's, else that of any bulb."""

    def __init__(self, rows: list[K]) -> None:
        self.rows = tuple(rows)
        self._found: dict[tuple[str, str], K] = {}
        for row in rows:
            self._found.setdefault((row.genus, row.group), row)

    def find(self, genus: str, group: str) -> K | None:
        for key in ((genus, group), (genus, ""), ("", "")):
            if key in self._found:
                return self._found[key]
        return None


class Rules:
    """All rules; every row carries `source` and `basis`."""

    def __init__(self, tables: dict[str, list[Row]]) -> None:
        self.figures = tuple(_typed(Figure, tables["figures"]))
        self._figures = {figure.key: figure for figure in self.figures}
        self._lethal = _ByKind(_typed(LethalLimit, tables["lethal_temperatures"]))
        self._windows = _ByKind(_typed(PlantingWindow, tables["planting_windows"]))
        self._toxicity = _ByKind(_typed(Toxicity, tables["toxicity"]))
        self.composts = {c.id: c for c in _typed(Compost, tables["composts"])}
        self.materials = {m.id: m for m in _typed(PotMaterial, tables["pot_materials"])}
        self.lifting = tuple(_typed(LiftingBox, tables["lifting"]))
        self.chill_weeks = tuple(_typed(ChillWeeks, tables["chill_weeks"]))
        self.pot_counts = tuple(_typed(PotCount, tables["bulbs_per_pot"]))
        self.packing = {p.n: p for p in _typed(PackingRatio, tables["circle_packing"])}
        self._cautions = tuple(
            Caution(
                id=row["id"],
                genera=tuple(g for g in row["genus"].split(";") if g),
                message=row["message"],
                source=row["source"],
                basis=row["basis"],
            )
            for row in tables["cautions"]
        )
        self._zones = {r["zone"]: float(r["lowest_air_c"]) for r in tables["hardiness_zones"]}

    def figure(self, key: str) -> Figure:
        """Return the rule of that key. Raises UnknownNameError."""
        return _known(self._figures, key, "rule")

    def about(self, topic: str) -> tuple[Figure, ...]:
        """Return all rules on a topic: depth, layers, spacing, order, frost, water, care …"""
        return tuple(figure for figure in self.figures if figure.topic == topic)

    def lethal_c(self, genus: str, group: str = "") -> LethalLimit:
        """Return the coldest that bulb and roots of a kind stand; a cautious one if unknown."""
        limit = self._lethal.find(genus, group)
        if limit is None:
            raise DataError("shared/rules/lethal_temperatures.csv", ["no row for any bulb"])
        return limit

    def planting_window(self, genus: str, group: str = "") -> PlantingWindow:
        """Return when a kind is planted; that of hardy bulbs if unknown."""
        window = self._windows.find(genus, group)
        if window is None:
            raise DataError("shared/rules/planting_windows.csv", ["no row for any bulb"])
        return window

    def toxicity(self, genus: str, group: str = "") -> Toxicity | None:
        """Return the harm a kind does; None where nothing is known, which is no all-clear."""
        return self._toxicity.find(genus, group)

    def toxicities(self) -> tuple[Toxicity, ...]:
        """Return all rows on harm."""
        return self._toxicity.rows

    def lethal_limits(self) -> tuple[LethalLimit, ...]:
        """Return all rows on the coldest a bulb stands."""
        return self._lethal.rows

    def planting_windows(self) -> tuple[PlantingWindow, ...]:
        """Return all planting windows."""
        return self._windows.rows

    def compost(self, name: str) -> Compost:
        """Return a compost by id. Raises UnknownNameError."""
        return _known(self.composts, name, "compost")

    def material(self, name: str) -> PotMaterial:
        """Return a pot material by id. Raises UnknownNameError."""
        return _known(self.materials, name, "pot material")

    def cautions(self, genus: str | None = None) -> tuple[Caution, ...]:
        """Return the warnings for a genus (without those for all), or all of them."""
        if genus is None:
            return self._cautions
        return tuple(caution for caution in self._cautions if genus in caution.genera)

    def caution(self, caution_id: str) -> Caution:
        """Return a warning by id. Raises UnknownNameError."""
        return _known({caution.id: caution for caution in self._cautions}, caution_id, "caution")

    def zone_lowest_c(self, zone: str) -> float | None:
        """Return the coldest winter air of a USDA hardiness zone [°C]; None for no zone."""
        return self._zones.get(zone)

    def hardiness_zone(self, mean_annual_minimum_c: float) -> str:
        """Return the zone of a mean annual minimum [°C]: the warmest whose bound it reaches.

        What is colder than all bounds belongs to the coldest zone.
        """
        coldest = min(self._zones, key=self._zones.__getitem__)
        reached = [z for z, lowest in self._zones.items() if lowest <= mean_annual_minimum_c]
        return max(reached, key=self._zones.__getitem__, default=coldest)


_TABLES = (
    "bulbs_per_pot",
    "cautions",
    "chill_weeks",
    "circle_packing",
    "composts",
    "figures",
    "hardiness_zones",
    "lethal_temperatures",
    "lifting",
    "planting_windows",
    "pot_materials",
    "toxicity",
)


@lru_cache(maxsize=1)
def load_rules() -> Rules:
    """Return the rules of shared/rules; read once a process. Raises DataError."""
    folder = data_root("shared").joinpath("rules")
    return Rules({name: read_rows(folder.joinpath(f"{name}.csv")) for name in _TABLES})


T = TypeVar("T")


def _known(table: dict[str, T], name: str, what: str) -> T:
    found = table.get(name)
    if found is None:
        raise UnknownNameError(what, name, near=sorted(table))
    return found


def _number_or_none(text: str) -> float | None:
    return float(text) if text else None


_READERS: dict[str, Callable[[str], Any]] = {
    "str": str,
    "float": float,
    "int": int,
    "bool": lambda text: bool(int(text)),
    "float | None": _number_or_none,
    "MonthDay": MonthDay.parse,
}


def _typed(kind: type[T], rows: list[Row]) -> list[T]:
    return list(_each(kind, rows))


def _each(kind: type[T], rows: list[Row]) -> Iterator[T]:
    columns = [(f.name, _READERS[str(f.type)]) for f in fields(kind)]  # type: ignore[arg-type]
    for row in rows:
        try:
            yield kind(**{name: read(row[name]) for name, read in columns})
        except (KeyError, ValueError) as error:
            problem = f"row {row[ROW_NUMBER]}: {error}"
            raise DataError(f"shared/rules ({kind.__name__})", [problem]) from error
