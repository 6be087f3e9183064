"""Own kinds as a table with the columns of the catalogue, and the file of those kept for all yards.

What stands in the one can be read as the other, and as `--catalogue`. A mixture's row has its id,
its name and its parts alone: all else follows from these.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from pathlib import Path

from bloomline.errors import BloomlineError, DataError
from bloomline.files.atomic import replace_file
from bloomline.files.plain_text import write_csv
from bloomline.files.prices_csv import plain_text
from bloomline.model.cultivar import Cultivar
from bloomline.model.kind_edits import put_kind
from bloomline.model.mixing import plain
from bloomline.model.yard import MAX_OWN_CULTIVARS, OwnCultivar, Yard
from bloomline.reference.catalogue import kind_columns, kinds_from, load_catalogue
from bloomline.reference.mixture_rows import PARTS, parts_cell
from bloomline.reference.tables import ROW_NUMBER, Row, read_rows

_LIST_FIELDS = ("synonyms",)
_NONE = "none"


def shared_path() -> Path:
    """Where the gardener's kinds for all yards are kept."""
    import platformdirs

    return platformdirs.user_data_path("bloomline", appauthor=False) / "own-kinds.csv"


def write_kinds(path: Path, kinds: Iterable[Cultivar], *, private: bool = False) -> None:
    """Write kinds as a table; own kinds that only a mixture among them holds get rows as well.

    Raises FileProblemError.
    """
    known = list(kinds)
    mixed = [kind for kind in known if kind.parts]
    rows = {kind.id: _row(kind) for kind in known if not kind.parts}
    for part in (part for kind in mixed for part in kind.parts):
        if part.kind.id not in rows and part.kind.id not in load_catalogue():
            rows[part.kind.id] = _row(part.kind)
    columns = [*kind_columns(), PARTS] if mixed else kind_columns()
    mixtures = [{"id": kind.id, "name": kind.name, PARTS: parts_cell(kind)} for kind in mixed]
    out = io.StringIO(newline="")
    write_csv(out, columns, [*rows.values(), *mixtures])
    replace_file(path, out.getvalue().encode("utf-8"), private=private)


def read_kinds(path: Path) -> tuple[OwnCultivar, ...]:
    """Read a table of kinds, checked; rows of the catalogue's ids need only what they change.

    Raises FileProblemError, and DataError that names row, column, value and what is allowed.
    """
    rows: list[Row] = [
        {name: value if name == ROW_NUMBER else plain_text(value) for name, value in row.items()}
        for row in read_rows(path)
    ]
    if len(rows) > MAX_OWN_CULTIVARS:
        raise DataError(str(path), [f"more than {MAX_OWN_CULTIVARS:,} rows"])
    return tuple(
        OwnCultivar.model_validate(dict(kind)) for kind in kinds_from(rows, shown=str(path))
    )


def take_kinds(yard: Yard, kinds: Iterable[OwnCultivar]) -> Yard:
    """The yard with kinds taken in; one of an id that it has takes its place."""
    for kind in kinds:
        yard = put_kind(yard, kind)
    return yard


def load_shared(path: Path | None = None) -> tuple[tuple[OwnCultivar, ...], str]:
    """The kinds kept for all yards, and what is wrong with their file; "" when all is well.

    A bad file is told and not fatal: the yards stand without it, and it is left as it is.
    """
    where = path or shared_path()
    if not where.exists():
        return (), ""
    try:
        return read_kinds(where), ""
    except BloomlineError as error:
        return (), str(error)


def keep_shared(kinds: Iterable[Cultivar], *, path: Path | None = None) -> None:
    """Keep kinds for all yards, in the place of those of their ids.

    Raises FileProblemError or DataError for a file that is there and can't be read, which is
    left as it is.
    """
    where = path or shared_path()
    there = read_kinds(where) if where.exists() else ()
    merged = {kind.id: kind for kind in (*there, *kinds)}
    where.parent.mkdir(parents=True, exist_ok=True)
    write_kinds(where, merged.values())


def forget_shared(kind_id: str, *, path: Path | None = None) -> bool:
    """Keep a kind for all yards no longer; False where it wasn't. Yards that use it have it."""
    where = path or shared_path()
    there = read_kinds(where) if where.exists() else ()
    left = [kind for kind in there if kind.id != kind_id]
    if len(left) == len(there):
        return False
    write_kinds(where, left)
    return True


def _row(kind: Cultivar) -> dict[str, str]:
    row: dict[str, str] = {}
    for column in kind_columns():
        value = getattr(plain(kind), column.removesuffix("_md"))
        if column in _LIST_FIELDS:
            row[column] = "; ".join(value)
        elif value is None:
            row[column] = _NONE
        elif isinstance(value, float):
            row[column] = repr(value).removesuffix(".0")
        else:
            row[column] = str(value)
    return row
