"""`bloomline forecast`: when one cultivar flowers at one place, or a whole table of such rows."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from bloomline.cli.forecast_output import Failure, put_answers
from bloomline.cli.options import (
    MATERIALS,
    SITES,
    add_catalogue,
    add_command,
    add_format,
    add_today,
    add_weather,
    catalogue_of,
    day,
    number,
    today_of,
    weather_of,
)
from bloomline.cli.output import say
from bloomline.cli.progress import Progress
from bloomline.cli.where import garden_meant
from bloomline.words import marked, tr

if TYPE_CHECKING:
    from bloomline.errors import BloomlineError
    from bloomline.files.requests_csv import BadRow, RequestRow
    from bloomline.model.cultivar import Cultivar
    from bloomline.plan.climate.garden import Garden
    from bloomline.plan.climate.surroundings import Standing
    from bloomline.plan.climate.weather import RecordedWeather
    from bloomline.plan.forecast.forecaster import Forecaster
    from bloomline.plan.forecast.one_planting import Forecast, Request
    from bloomline.reference.catalogue import Catalogue

_EPILOG = marked("""\
examples:
  bloomline forecast --place Rothamsted --cultivar "Red Emperor" --planted 2025-11-01
  bloomline forecast --latitude 47.4 --longitude 8.5 --elevation 600 --cultivar "Thalia"
  bloomline forecast --requests questions.csv --format json

A table of requests has the columns id, place, latitude_deg, longitude_deg, elevation_m, cultivar,
planted, where, prechill_weeks, in any order; only cultivar must be there, and an empty cell is the
default. Each row needs a place, or a latitude and longitude.
""")

_SINGLE_ONLY = (
    "place",
    "latitude",
    "longitude",
    "elevation",
    "cultivar",
    "planted",
    "where",
    "prechill_weeks",
)


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "forecast",
        usage="[options]",
        short=tr("when a cultivar flowers at a place"),
        about=tr(
            "Say when a cultivar flowers at a place, with the spread over many weather "
            "years, whether it gets its cold, and what to mind."
        ),
        epilog=tr(_EPILOG),
    )
    where = parser.add_argument_group("where")
    where.add_argument("--place", metavar="NAME|ID", help=tr("a place by name, or a station's id"))
    where.add_argument("--latitude", type=number, metavar="DEG", help=tr("degrees north"))
    where.add_argument("--longitude", type=number, metavar="DEG", help=tr("degrees east"))
    where.add_argument("--elevation", type=number, metavar="M", help=tr("height of the garden"))
    what = parser.add_argument_group("what")
    what.add_argument("--cultivar", metavar="NAME|ID", help=tr("a name, another name, or an id"))
    what.add_argument(
        "--planted", type=day, metavar="YYYY-MM-DD", help=tr("planting day (the usual one)")
    )
    what.add_argument(
        "--prechill-weeks",
        type=number,
        metavar="N",
        help=tr("weeks in the cold before planting (0)"),
    )
    what.add_argument(
        "--established", action="store_true", help=tr("bulbs in their second year or later")
    )
    what.add_argument(
        "--cover-cm", type=number, metavar="CM", help=tr("depth of the bulb's tip (as usual)")
    )
    pot = parser.add_argument_group("pot")
    pot.add_argument(
        "--where", choices=("pot", "ground"), help=tr("in a pot or in the ground (pot)")
    )
    pot.add_argument(
        "--pot-width-cm", type=number, default=30.0, metavar="CM", help=tr("mean inside width (30)")
    )
    pot.add_argument("--wall-cm", type=number, default=1.5, metavar="CM", help=tr("wall (1.5)"))
    pot.add_argument(
        "--material", choices=MATERIALS, default="fired-clay-once", help="(fired-clay-once)"
    )
    pot.add_argument(
        "--site", choices=SITES, default="open", help=tr("where the pot stands (open)")
    )
    pot.add_argument(
        "--sheltered-until",
        type=day,
        metavar="YYYY-MM-DD",
        help=tr("the day a pot leaves its shed, garage, frame or greenhouse for the open"),
    )
    parser.add_argument(
        "--requests", type=Path, metavar="FILE", help=tr("answer every row of a table instead")
    )
    add_weather(parser)
    add_catalogue(parser)
    add_format(parser, "table", "json", "csv")
    add_today(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Answer, and return 1 when some rows could not be answered."""
    from bloomline.plan.forecast.forecaster import Forecaster

    forecaster = Forecaster()
    recorded = weather_of(args)
    catalogue = catalogue_of(args)
    answers: Sequence[Forecast | Failure]
    if args.requests is None:
        answers = [_single(args, catalogue, forecaster, recorded)]
    else:
        answers = _many(args, catalogue, forecaster, recorded)
    put_answers(answers, form=args.format, bulk=args.requests is not None)
    return 1 if any(isinstance(each, Failure) for each in answers) else 0


def _single(
    args: argparse.Namespace,
    catalogue: Catalogue,
    forecaster: Forecaster,
    recorded: RecordedWeather | None,
) -> Forecast:
    from bloomline.errors import UsageError
    from bloomline.plan.forecast.one_planting import Request, forecast

    if args.cultivar is None:
        raise UsageError(
            tr("no cultivar given; name one with --cultivar, or a table with --requests")
        )
    if args.place is None and args.latitude is None and args.longitude is None:
        raise UsageError(tr("no place given; use --place, or --latitude and --longitude"))
    garden = garden_meant(
        args.place,
        latitude_deg=args.latitude,
        longitude_deg=args.longitude,
        elevation_m=args.elevation,
    )
    request = Request(
        id="1",
        garden=garden,
        cultivar=catalogue.find(args.cultivar),
        planted=args.planted,
        standing=_standing(args, args.where or "pot"),
        prechill_weeks=args.prechill_weeks or 0.0,
        established=args.established,
        cover_cm=args.cover_cm,
    )
    return forecast(request, forecaster=forecaster, today=today_of(args), recorded=recorded)


def _standing(args: argparse.Namespace, where: str) -> Standing:
    from bloomline.errors import UsageError
    from bloomline.plan.climate.surroundings import Standing

    if not 4.0 <= args.pot_width_cm <= 500.0:
        raise UsageError(
            tr(
                "a pot {pot_width_cm:g} cm wide; 4 to 500 cm are possible",
                pot_width_cm=args.pot_width_cm,
            )
        )
    if not 0.0 < args.wall_cm <= 30.0:
        raise UsageError(
            tr("a wall of {wall_cm:g} cm; up to 30 cm are possible", wall_cm=args.wall_cm)
        )
    if args.sheltered_until is not None and args.site in ("open", "warm-wall"):
        raise UsageError(
            tr("--sheltered-until needs --site shed, garage, cold-frame or cold-greenhouse")
        )
    return Standing(
        where="ground" if where == "ground" else "pot",
        radius_cm=args.pot_width_cm / 2.0,
        wall_cm=args.wall_cm,
        material=args.material,
        site=args.site,
        sheltered_until=args.sheltered_until,
    )


def _many(
    args: argparse.Namespace,
    catalogue: Catalogue,
    forecaster: Forecaster,
    recorded: RecordedWeather | None,
) -> list[Forecast | Failure]:
    from bloomline.errors import BloomlineError, UsageError
    from bloomline.files.requests_csv import BadRow, read_requests
    from bloomline.plan.forecast.one_planting import forecast_each

    given = [name for name in _SINGLE_ONLY if getattr(args, name) is not None]
    if given:
        option = given[0].replace("_", "-")
        raise UsageError(
            tr("--{option} is for a single forecast; with --requests it is a column", option=option)
        )
    table = read_requests(args.requests)
    for warning in table.warnings:
        say(f"{args.requests}: {warning}")
    maker = _RequestMaker(args, catalogue)
    requests: list[Request | Failure] = []
    for row in table.rows:
        problem = row.problem if isinstance(row, BadRow) else None
        if not isinstance(row, BadRow):
            try:
                requests.append(maker.request(row))
                continue
            except BloomlineError as error:
                problem = str(error)
        requests.append(_failed(args.requests, row, problem or ""))
    good = [i for i, each in enumerate(requests) if not isinstance(each, Failure)]
    answers: list[Forecast | Failure] = [
        each if isinstance(each, Failure) else Failure(each.id, "") for each in requests
    ]
    progress = Progress(len(good))
    for index, answer in forecast_each(
        [each for each in requests if not isinstance(each, Failure)],
        forecaster=forecaster,
        today=today_of(args),
        recorded=recorded,
    ):
        at = good[index]
        if isinstance(answer, UsageError):
            answers[at] = _failed(args.requests, table.rows[at], str(answer))
        else:
            answers[at] = answer
        progress.step()
    failures = sum(isinstance(each, Failure) for each in answers)
    if failures:
        say(
            tr(
                "{failures} of {count} rows could not be answered",
                failures=failures,
                count=len(answers),
            )
        )
    return answers


def _failed(path: Path, row: RequestRow | BadRow, problem: str) -> Failure:
    say(tr("{path}: row {line}: {problem}", path=path, line=row.line, problem=problem))
    return Failure(row.id, problem)


class _RequestMaker:
    """Makes requests of rows; a place or cultivar that comes again is not looked up again."""

    def __init__(self, args: argparse.Namespace, catalogue: Catalogue) -> None:
        self._catalogue = catalogue
        self._standings = {where: _standing(args, where) for where in ("pot", "ground")}
        self._established: bool = args.established
        self._cover_cm: float | None = args.cover_cm
        self._gardens: dict[tuple[object, ...], Garden | BloomlineError] = {}
        self._cultivars: dict[str, Cultivar | BloomlineError] = {}

    def request(self, row: RequestRow) -> Request:
        """The request of a row. Raises BloomlineError."""
        from bloomline.plan.forecast.one_planting import Request

        return Request(
            id=row.id,
            garden=self._garden(row),
            cultivar=self._cultivar(row.cultivar),
            planted=row.planted,
            standing=self._standings[row.where],
            prechill_weeks=row.prechill_weeks,
            established=self._established,
            cover_cm=self._cover_cm,
        )

    def _garden(self, row: RequestRow) -> Garden:
        from bloomline.errors import BloomlineError

        key = (row.place, row.latitude_deg, row.longitude_deg, row.elevation_m)
        if key not in self._gardens:
            try:
                garden = garden_meant(
                    row.place,
                    latitude_deg=row.latitude_deg,
                    longitude_deg=row.longitude_deg,
                    elevation_m=row.elevation_m,
                )
                self._gardens[key] = garden
            except BloomlineError as error:
                self._gardens[key] = error
        found = self._gardens[key]
        if isinstance(found, BloomlineError):
            raise found
        return found

    def _cultivar(self, name: str) -> Cultivar:
        from bloomline.errors import BloomlineError

        if name not in self._cultivars:
            try:
                self._cultivars[name] = self._catalogue.find(name)
            except BloomlineError as error:
                self._cultivars[name] = error
        found = self._cultivars[name]
        if isinstance(found, BloomlineError):
            raise found
        return found
