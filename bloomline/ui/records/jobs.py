"""Tables of records, read and written beside the window."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from bloomline.files.records_csv import RecordTable, read_records, write_records
from bloomline.plan.records.naming import kind_finder
from bloomline.plan.season.outlook import Outlook


@dataclass(frozen=True, slots=True)
class ReadTable:
    """A table that was read."""

    path: Path
    table: RecordTable


@dataclass(frozen=True, slots=True)
class WrittenTable:
    """A table that was written."""

    path: Path
    n_records: int


def reading(path: Path, outlook: Outlook) -> ReadTable:
    """Read records from a table. Raises what `read_records` raises."""
    yard = outlook.yard
    kind_of = kind_finder(yard, cultivar_of=outlook.cultivar_of)
    table = read_records(path, yard, name_of=_name_of(outlook), kind_of=kind_of)
    return ReadTable(path, table)


def writing(path: Path, outlook: Outlook) -> WrittenTable:
    """Write all records to a table. Raises FileProblemError."""
    write_records(path, outlook.yard, name_of=_name_of(outlook))
    return WrittenTable(path, len(outlook.yard.records))


def _name_of(outlook: Outlook) -> Callable[[str], str]:
    return lambda cultivar_id: outlook.cultivar_of(cultivar_id).name
