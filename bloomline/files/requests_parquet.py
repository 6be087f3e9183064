"""Forecast questions as Parquet, read part by part; needs the extra `scale`."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path

from bloomline.errors import FileProblemError
from bloomline.files.delimited import DelimitedTable
from bloomline.files.requests_csv import BadRow, RequestRow, column_of, requests_of
from bloomline.words import tr


def read_parquet_requests(
    path: Path, *, n_rows: int
) -> Iterator[tuple[tuple[RequestRow | BadRow, ...], tuple[str, ...]]]:
    """Rows of a Parquet file, so many at a time, and what was odd about them.

    Columns as in a table of text, of any type that text can be made of; a row's `line` is its
    number from 1. Raises FileProblemError, DataError.
    """
    import pyarrow
    import pyarrow.parquet

    shown, line = str(path), 1
    try:
        with pyarrow.parquet.ParquetFile(path) as file:
            columns = tuple(column_of(name) for name in file.schema_arrow.names)
            for batch in file.iter_batches(batch_size=n_rows):
                cells = [[_text(value) for value in column.to_pylist()] for column in batch.columns]
                rows = tuple((line + at, row) for at, row in enumerate(zip(*cells, strict=True)))
                line += len(rows)
                if rows:
                    found = requests_of(DelimitedTable(shown, ",", columns, rows))
                    yield found.rows, found.warnings
    except (pyarrow.ArrowException, OSError) as error:
        problem = tr("can't be read as Parquet ({error})", error=str(error).splitlines()[0])
        raise FileProblemError(shown, problem) from None


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime):
        value = value.date()
    return value.isoformat() if isinstance(value, date) else str(value).strip()
