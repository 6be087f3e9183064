"""A whole table of forecast questions: read, asked garden by garden, written in its order."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from bloomline.cli.forecast_output import Failure, writer_of
from bloomline.cli.options import catalogue_of, standing_of_options, today_of, weather_of
from bloomline.cli.output import say
from bloomline.cli.progress import Progress
from bloomline.cli.where import garden_meant
from bloomline.words import tr

if TYPE_CHECKING:
    from bloomline.errors import BloomlineError
    from bloomline.files.requests_csv import BadRow, RequestRow
    from bloomline.model.cultivar import Cultivar
    from bloomline.plan.climate.garden import Garden
    from bloomline.plan.forecast.one_planting import Request
    from bloomline.reference.catalogue import Catalogue

_Found = TypeVar("_Found")
_Place = tuple[str | None, float | None, float | None, float | None]
_Name = TypeVar("_Name", _Place, str)


def answer_table(args: argparse.Namespace) -> int:
    """Answer every row of a table, and return 1 when some could not be answered."""
    from bloomline.files.requests_csv import read_requests
    from bloomline.plan.forecast.forecaster import Forecaster
    from bloomline.plan.forecast.one_planting import answered

    table = read_requests(args.requests)
    for warning in table.warnings:
        say(f"{args.requests}: {warning}")
    recorded, maker = weather_of(args), RequestMaker(args, catalogue_of(args))
    asked = maker.asked(args.requests, table.rows)
    count = len(table.rows)
    del table
    progress = Progress(len(asked.requests))
    with writer_of(args.format) as writer:
        for at, failure in asked.failures:
            writer.fail(at, failure)
        for some in answered(
            asked.requests,
            forecaster=Forecaster(),
            today=today_of(args),
            recorded=recorded,
            growth=False,
        ):
            writer.put([asked.numbers[each] for each in some.numbers], some)
            progress.step(len(some))
    return code_of(len(asked.failures), count)


def code_of(failures: int, count: int) -> int:
    """The exit code of a table, after saying how many of its rows have no answer."""
    if failures:
        say(
            tr(
                "{failures} of {count} rows could not be answered",
                failures=failures,
                count=count,
            )
        )
    return 1 if failures else 0


def _failed(path: Path, row: RequestRow | BadRow, problem: str) -> Failure:
    """A row without an answer, after saying why."""
    say(tr("{path}: row {line}: {problem}", path=path, line=row.line, problem=problem))
    return Failure(row.id, problem)


@dataclass(frozen=True, slots=True)
class Asked:
    """Requests with the numbers of their rows, and the rows that are none."""

    numbers: list[int]
    requests: list[Request]
    failures: list[tuple[int, Failure]]


class RequestMaker:
    """Makes requests of rows; a place or cultivar that comes again is not looked up again."""

    def __init__(self, args: argparse.Namespace, catalogue: Catalogue) -> None:
        from bloomline.plan.forecast.one_planting import Request

        self._make = Request
        self._catalogue = catalogue
        self._standings = {where: standing_of_options(args, where) for where in ("pot", "ground")}
        self._established: bool = args.established
        self._country: str | None = args.country
        self._cover_cm: float | None = args.cover_cm
        self._gardens: dict[_Place, Garden] = {}
        self._cultivars: dict[str, Cultivar] = {}
        self._unknown: dict[_Place | str, BloomlineError] = {}

    def asked(self, path: Path, rows: Sequence[RequestRow | BadRow]) -> Asked:
        """What rows of a file ask; why others can't be answered is told."""
        from bloomline.errors import BloomlineError
        from bloomline.files.requests_csv import BadRow

        asked = Asked([], [], [])
        for at, row in enumerate(rows):
            try:
                if isinstance(row, BadRow):
                    asked.failures.append((at, _failed(path, row, row.problem)))
                else:
                    asked.requests.append(self._request(row))
                    asked.numbers.append(at)
            except BloomlineError as error:
                asked.failures.append((at, _failed(path, row, str(error))))
        return asked

    def _request(self, row: RequestRow) -> Request:
        """The request of a row. Raises BloomlineError."""
        place = (row.place, row.latitude_deg, row.longitude_deg, row.elevation_m)
        name = row.cultivar
        return self._make(
            row.id,
            self._gardens.get(place) or self._found(place, self._gardens, self._garden),
            self._cultivars.get(name) or self._found(name, self._cultivars, self._catalogue.find),
            row.planted,
            self._standings[row.where],
            row.prechill_weeks,
            self._established,
            self._cover_cm,
        )

    def _garden(self, place: _Place) -> Garden:
        name, latitude_deg, longitude_deg, elevation_m = place
        return garden_meant(
            name,
            country=None if name is None else self._country,
            latitude_deg=latitude_deg,
            longitude_deg=longitude_deg,
            elevation_m=elevation_m,
        )

    def _found(
        self, name: _Name, known: dict[_Name, _Found], find: Callable[[_Name], _Found]
    ) -> _Found:
        """What is found by a name, or why it isn't: the same for the next row that asks."""
        from bloomline.errors import BloomlineError

        if name in self._unknown:
            raise self._unknown[name].with_traceback(None)  # else it grows with every row
        try:
            found = known[name] = find(name)
        except BloomlineError as error:
            self._unknown[name] = error
            raise
        return found
