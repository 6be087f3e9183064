"""Turn rows of the plant tables into checked cultivars, with the place of every mistake."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, TypeVar

from pydantic import BaseModel, TypeAdapter, ValidationError

from bloomline.data import data_root
from bloomline.errors import DataError
from bloomline.model.cultivar import Companion, Cultivar
from bloomline.reference.tables import ROW_NUMBER, Row, read_rows
from bloomline.words import quoted

_DAY_COLUMNS = (
    "ref_start",
    "ref_end",
    "ref_planted",
    "season_start",
    "season_end",
    "planted_from",
    "planted_to",
)
_FIELD_OF = {f"{name}_md": name for name in _DAY_COLUMNS}
_COLUMN_OF = {field: column for column, field in _FIELD_OF.items()}
_EMPTY = "none"

KIND_COLUMNS = (
    *("established_shift_days", "established_sd_days", "bulb_height_per_width"),
    *("flowering_law", "least_days", "leaf_days", "price_basis"),
)
"""What a row may state beside the catalogue's columns; blank, it is that of its class."""

# What a row of a gardener's own may leave out: nobody has weighed such a date or figure.
_OWN_DEFAULTS = {"ref_sd_days": "10", "date_basis": "memory", "chill_basis": "memory"}

Model = TypeVar("Model", bound=BaseModel)


@dataclass(frozen=True, slots=True)
class Kind:
    """What all cultivars of a genus, or of a group in it, have in common."""

    genus: str
    group: str
    common_names: tuple[str, ...]
    established_shift_days: float
    established_sd_days: float
    bulb_height_per_width: float
    ref_planted_md: str
    flowering_law: str
    least_days: float
    leaf_days: str
    basis: str


class Kinds:
    """Kinds by genus and group."""

    def __init__(self, kinds: Iterable[Kind]) -> None:
        self._kinds = {(kind.genus, kind.group): kind for kind in kinds}

    def find(self, genus: str, group: str) -> Kind:
        """Return the kind of a group, else that of its genus, else that of any bulb."""
        return self._kinds.get((genus, group)) or self.for_genus(genus)

    def for_genus(self, genus: str) -> Kind:
        """Return the kind of a genus, else that of any bulb."""
        return self._kinds.get((genus, "")) or self._kinds[("", "")]

    def __iter__(self) -> Any:
        return iter(self._kinds.values())


@lru_cache(maxsize=1)
def load_kinds() -> Kinds:
    """Return what each kind has in common. Raises DataError."""
    rows = read_rows(data_root("shared").joinpath("catalogue", "kinds.csv"))
    return Kinds(
        Kind(
            genus=row["genus"],
            group=row["group"],
            common_names=tuple(n.strip() for n in row["common_names"].split(";") if n.strip()),
            established_shift_days=float(row["established_shift_days"]),
            established_sd_days=float(row["established_sd_days"]),
            bulb_height_per_width=float(row["bulb_height_per_width"]),
            ref_planted_md=row["ref_planted_md"],
            flowering_law=row["flowering_law"],
            least_days=float(row["least_days"]),
            leaf_days=row["leaf_days"],
            basis=row["basis"],
        )
        for row in rows
    )


def merged_rows(base: Sequence[Row], own: Sequence[Row], *, shown: str) -> list[Row]:
    """Return the own rows, those with a known id filled up from the shipped row.

    Raises DataError for a column that isn't one, a missing id or an id given twice.
    """
    columns = [name for name in base[0] if name != ROW_NUMBER]
    problems = _unknown_columns(own[0] if own else {}, columns)
    known = {row["id"]: row for row in base}
    seen: dict[str, str] = {}
    merged: list[Row] = []
    for row in own:
        row_id, number = row.get("id", ""), row[ROW_NUMBER]
        if not row_id:
            problems.append(f"row {number}: id: empty; every row needs one")
        elif row_id in seen:
            problems.append(
                f"row {number}: id: {quoted(row_id)} stands already in row {seen[row_id]}"
            )
        else:
            seen[row_id] = number
            changes = {k: v for k, v in row.items() if v != ""}
            start = known.get(row_id, _OWN_DEFAULTS)
            merged.append({**start, **changes})
    if problems:
        raise DataError(shown, problems)
    return merged


def cultivars_from_rows(rows: Sequence[Row], *, shown: str) -> tuple[Cultivar, ...]:
    """Return checked cultivars; blanks are filled from their kind. Raises DataError."""
    filled = [_cultivar_fields(row) for row in rows]
    return _validated(_cultivars(), filled, rows, shown=shown)


def companions_from_rows(rows: Sequence[Row], *, shown: str) -> tuple[Companion, ...]:
    """Return checked companion plants. Raises DataError."""
    return _validated(_companions(), [_fields(row) for row in rows], rows, shown=shown)


@lru_cache(maxsize=1)
def _cultivars() -> TypeAdapter[tuple[Cultivar, ...]]:
    return TypeAdapter(tuple[Cultivar, ...])


@lru_cache(maxsize=1)
def _companions() -> TypeAdapter[tuple[Companion, ...]]:
    return TypeAdapter(tuple[Companion, ...])


def _fields(row: Row) -> dict[str, Any]:
    return {
        _FIELD_OF.get(column, column): value
        for column, value in row.items()
        if value not in ("", _EMPTY) and column != ROW_NUMBER
    }


def _cultivar_fields(row: Row) -> dict[str, Any]:
    fields = _fields(row)
    if "synonyms" in fields:
        parts = (part.strip() for part in fields["synonyms"].split(";"))
        fields["synonyms"] = tuple(part for part in parts if part)
    genus = fields.get("genus", "")
    kind = load_kinds().find(genus, fields.get("group", ""))
    fields.setdefault("ref_planted", kind.ref_planted_md)
    fields.setdefault("established_shift_days", kind.established_shift_days)
    fields.setdefault("established_sd_days", kind.established_sd_days)
    fields.setdefault("bulb_height_per_width", kind.bulb_height_per_width)
    fields.setdefault("flowering_law", kind.flowering_law)
    fields.setdefault("least_days", kind.least_days)
    if kind.leaf_days and row.get("leaf_days") != _EMPTY:
        fields.setdefault("leaf_days", kind.leaf_days)
    if not {"toxic_pets", "toxic_note", "lowest_air_c"} <= fields.keys():
        _fill_from_rules(fields)
    return fields


def _fill_from_rules(fields: dict[str, Any]) -> None:
    """Fill what follows from the genus or the hardiness zone. Late import: seldom needed."""
    from bloomline.reference.rules import load_rules

    rules = load_rules()
    harm = rules.toxicity(fields.get("genus", ""), fields.get("group", ""))
    if harm is not None:
        fields.setdefault("toxic_pets", harm.level)
        fields.setdefault("toxic_note", harm.what)
    lowest = rules.zone_lowest_c(str(fields.get("hardiness_usda_min", "")))
    if lowest is not None:
        fields.setdefault("lowest_air_c", lowest)


def _validated(
    adapter: TypeAdapter[tuple[Model, ...]],
    fields: Sequence[dict[str, Any]],
    rows: Sequence[Row],
    *,
    shown: str,
) -> tuple[Model, ...]:
    try:
        checked = adapter.validate_python(fields)
    except ValidationError as error:
        raise DataError(shown, [_problem(e, rows) for e in error.errors()]) from error
    seen: dict[str, str] = {}
    doubles = []
    for row in rows:
        own_id = row["id"]
        if own_id in seen:
            doubles.append(
                f"row {row[ROW_NUMBER]}: id: {quoted(own_id)} stands in row {seen[own_id]}"
            )
        seen[own_id] = row[ROW_NUMBER]
    if doubles:
        raise DataError(shown, doubles)
    return checked


def _problem(error: Any, rows: Sequence[Row]) -> str:
    row_at, *where = error["loc"]
    row = rows[row_at]
    name = f"row {row[ROW_NUMBER]} ({row.get('id', '?')})"
    if not where:
        return f"{name}: {error['msg']}"
    column = _COLUMN_OF.get(str(where[0]), str(where[0]))
    if error["type"] == "missing":
        return f"{name}: {column}: empty; a value is needed"
    if error["type"] == "extra_forbidden":
        return f"{name}: {column}: no such column"
    value = str(error["input"])
    hint = " (write a point for the decimal sign)" if _decimal_comma(value) else ""
    return f"{name}: {column}: {quoted(value[:60])}: {error['msg']}{hint}"


def _decimal_comma(value: str) -> bool:
    return value.replace(",", "", 1).isdigit() and "," in value


def _unknown_columns(first: Row, columns: Sequence[str]) -> list[str]:
    problems = []
    allowed = [*columns, *KIND_COLUMNS]
    for name in first:
        if name != ROW_NUMBER and name not in allowed:
            near = difflib.get_close_matches(name, allowed, n=1)
            hint = f"; did you mean {quoted(near[0])}?" if near else ""
            problems.append(f"column {quoted(name)}: no such column{hint}")
    if first and "id" not in first:
        problems.append("column “id” is missing; it says which cultivar a row is about")
    return problems
