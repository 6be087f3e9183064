"""A table of forecast questions over many processes: partitions on Dask, Parquet out.

Here rows are read and places found; workers work forecasts out and hand Parquet back, so that they
need no files of ours. A partition's file bears what it was made of, and one that stands whole for
the same rows and options is not made again.
"""

from __future__ import annotations

import argparse
import hashlib
import importlib.util
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bloomline import __version__
from bloomline.cli.forecast_output import COLUMNS, columns_of, failure_row
from bloomline.cli.forecast_table import Asked, RequestMaker, code_of
from bloomline.cli.options import catalogue_of, today_of, weather_of
from bloomline.cli.output import say
from bloomline.words import tr, use_language, wanted_language

if TYPE_CHECKING:
    from datetime import date

    from bloomline.files.requests_csv import BadRow, RequestRow
    from bloomline.plan.climate.weather import RecordedWeather
    from bloomline.plan.forecast.forecaster import Forecaster

PARQUET = (".parquet", ".pq")
_NEEDED = ("distributed", "pyarrow")
_MADE_OF = b"bloomline_made_of"
_FAILED = b"bloomline_failed"
_WAITING = 2  # partitions a worker that lie ready for it
_NUMBERS = (
    "distance_km",
    "elevation_m",
    "cold_weeks",
    "cold_weeks_needed",
    "too_little_cold_share",
    "killed_share",
)


@dataclass(frozen=True, slots=True)
class Part:
    """Rows that are answered together, the file of their answers, and what that is made of."""

    number: int
    source: Path
    rows: tuple[RequestRow | BadRow, ...]
    target: Path
    made_of: str


def answer_parts(args: argparse.Namespace) -> int:
    """Answer the partitions of a table, or of a folder of tables, into a folder.

    Returns 1 when some rows could not be answered. Raises BloomlineError.
    """
    from bloomline.errors import FileProblemError

    need_extra()
    try:
        args.out.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise FileProblemError(str(args.out), str(error.strerror or error)) from None
    count = failures = skipped = made = 0

    def wanted() -> Iterator[Part]:
        """The partitions without a whole file; the others are counted."""
        nonlocal count, failures, skipped
        for part in parts_of(args):
            count += len(part.rows)
            known = failures_in(part)
            if known is None:
                yield part
            else:
                skipped += 1
                failures += known

    for part, n_failed in _worked(args, wanted()):
        failures += n_failed
        made += 1
        say(
            tr(
                "{file}: {count:,} rows",
                file=part.target.name,
                count=len(part.rows),
            )
        )
    if skipped:
        say(
            tr(
                "{skipped} of {parts} partitions were there already",
                skipped=skipped,
                parts=skipped + made,
            )
        )
    return code_of(failures, count)


def need_extra() -> None:
    """Raise UsageError where the packages for many processes are not installed."""
    from bloomline.errors import UsageError

    missing = [name for name in _NEEDED if importlib.util.find_spec(name) is None]
    if missing:
        raise UsageError(
            tr(
                "--out needs {missing}: install the extra with pip install 'bloomline[scale]'",
                missing=", ".join(missing),
            )
        )


# Partitions


def parts_of(args: argparse.Namespace) -> Iterator[Part]:
    """The partitions in the order of their files and rows."""
    made_for = _options_digest(args)
    number = 0
    for source in _sources(args.requests):
        for rows in _read(source, args.partition_rows):
            digest = hashlib.sha256(made_for + repr(rows).encode("utf-8", "surrogatepass"))
            target = args.out / f"part-{number:05d}.parquet"
            yield Part(number, source, rows, target, digest.hexdigest())
            number += 1


def _sources(path: Path) -> list[Path]:
    from bloomline.errors import FileProblemError

    if not path.is_dir():
        return [path]
    suffixes = (*PARQUET, ".csv", ".tsv", ".txt")
    found = sorted(each for each in path.iterdir() if each.suffix.lower() in suffixes)
    if not found:
        raise FileProblemError(str(path), tr("holds no table: CSV and Parquet are read"))
    return found


def _read(source: Path, n_rows: int) -> Iterator[tuple[RequestRow | BadRow, ...]]:
    from bloomline.files.requests_csv import read_requests
    from bloomline.files.requests_parquet import read_parquet_requests

    if source.suffix.lower() in PARQUET:
        for rows, warnings in read_parquet_requests(source, n_rows=n_rows):
            for warning in warnings:
                say(f"{source}: {warning}")
            yield rows
        return
    table = read_requests(source)
    for warning in table.warnings:
        say(f"{source}: {warning}")
    for at in range(0, len(table.rows), n_rows):
        yield table.rows[at : at + n_rows]


def _options_digest(args: argparse.Namespace) -> bytes:
    """Of all beside the rows that answers hang on."""
    told = {
        name: value
        for name, value in vars(args).items()
        if name not in ("out", "requests", "scheduler", "workers", "run", "debug", "format")
    }
    told |= {"today": today_of(args), "version": __version__, "language": wanted_language()}
    digest = hashlib.sha256(repr(sorted(told.items(), key=lambda each: each[0])).encode())
    for path in (args.catalogue, args.weather):
        if path is not None and path.is_file():
            digest.update(path.read_bytes())
    return digest.digest()


def failures_in(part: Part) -> int | None:
    """How many rows of a partition that stands whole have no answer; None where it must be made."""
    import pyarrow
    import pyarrow.parquet

    try:
        told = pyarrow.parquet.read_schema(part.target).metadata or {}
        if told.get(_MADE_OF) != part.made_of.encode():
            return None
        return int(told[_FAILED])
    except (OSError, pyarrow.ArrowException, KeyError, ValueError):
        return None


# Work


def _worked(args: argparse.Namespace, parts: Iterator[Part]) -> Iterator[tuple[Part, int]]:
    """Have partitions worked out and written; each with the number of rows without an answer."""
    first = next(parts, None)
    if first is None:
        return
    from distributed import as_completed

    from bloomline.errors import BloomlineError, UsageError
    from bloomline.files.atomic import replace_file

    recorded, today = weather_of(args), today_of(args)
    maker = RequestMaker(args, catalogue_of(args))
    with _client(args) as client:
        waiting: dict[str, tuple[Part, int]] = {}

        def submit(part: Part) -> Any:
            asked = maker.asked(part.source, part.rows)
            future = client.submit(
                answer_part,
                asked,
                today=today,
                recorded=recorded,
                language=wanted_language(),
                made_of=part.made_of,
                pure=False,
            )
            waiting[future.key] = (part, len(asked.failures))
            return future

        most = _WAITING * max(1, len(client.scheduler_info()["workers"]))
        queue = as_completed([submit(first)])
        for part in parts:
            queue.add(submit(part))
            if len(waiting) >= most:
                break
        for future in queue:
            part, n_bad = waiting.pop(future.key)
            try:
                data = future.result()
            except BloomlineError:
                raise
            except Exception as error:
                raise UsageError(
                    tr(
                        "{file} could not be worked out: {problem}; those that are there stay, and "
                        "the same command goes on from them",
                        file=part.target.name,
                        problem=str(error) or type(error).__name__,
                    )
                ) from error
            replace_file(part.target, data)
            following = next(parts, None)
            if following is not None:
                queue.add(submit(following))
            yield part, n_bad


@contextmanager
def _client(args: argparse.Namespace) -> Iterator[Any]:
    """Dask's client at the scheduler given, else with processes of this machine."""
    from distributed import Client, LocalCluster

    from bloomline.errors import UsageError

    if args.scheduler is None:
        from dask.system import CPU_COUNT

        workers = args.workers or CPU_COUNT
        with (
            LocalCluster(
                n_workers=workers,
                threads_per_worker=1,
                processes=True,
                dashboard_address=":0",  # any port that is free
                silence_logs=logging.ERROR,
            ) as cluster,
            Client(cluster) as client,
        ):
            yield client
        return
    try:
        client = Client(args.scheduler, timeout="10s")
    except (OSError, TimeoutError, ValueError) as error:
        raise UsageError(
            tr(
                "no scheduler answers at {address}: {error}",
                address=args.scheduler,
                error=str(error),
            )
        ) from None
    with client:
        yield client


def answer_part(
    asked: Asked,
    *,
    today: date,
    recorded: RecordedWeather | None,
    language: str,
    made_of: str,
) -> bytes:
    """In a worker: a partition's answers as Parquet."""
    from bloomline.plan.forecast.one_planting import answered

    use_language(language)
    numbers = [at for at, _ in asked.failures]
    failures = [failure_row(failure) for _, failure in asked.failures]
    columns = {name: [row[name] for row in failures] for name in COLUMNS}
    for some in answered(
        asked.requests, forecaster=_forecaster(), today=today, recorded=recorded, growth=False
    ):
        numbers += [asked.numbers[each] for each in some.numbers]
        for name, values in columns_of(some).items():
            columns[name] += values
    told = {_MADE_OF: made_of.encode(), _FAILED: str(len(failures)).encode()}
    order = sorted(range(len(numbers)), key=numbers.__getitem__)
    return _parquet({name: [each[at] for at in order] for name, each in columns.items()}, told)


@lru_cache(maxsize=1)
def _forecaster() -> Forecaster:
    """One a worker, since what a kind needs is the same in every partition."""
    from bloomline.plan.forecast.forecaster import Forecaster

    return Forecaster()


def _parquet(columns: dict[str, list[Any]], told: dict[bytes, bytes]) -> bytes:
    import pyarrow
    import pyarrow.parquet

    def kind(name: str) -> Any:
        if name in _NUMBERS:
            return pyarrow.float64()
        is_day = name == "planted" or name.endswith(("_p10", "_p50", "_p90"))
        return pyarrow.date32() if is_day else pyarrow.string()

    schema = pyarrow.schema([(name, kind(name)) for name in COLUMNS], metadata=told)
    sink = pyarrow.BufferOutputStream()
    table = pyarrow.Table.from_pydict(columns, schema=schema)
    pyarrow.parquet.write_table(table, sink, compression="zstd")
    return bytes(sink.getvalue())
