"""`bloomline forecast`: when one cultivar flowers at one place, or a whole table of such rows."""

from __future__ import annotations

import argparse
from pathlib import Path

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
    standing_of_options,
    today_of,
    weather_of,
)
from bloomline.cli.where import add_country, garden_meant
from bloomline.words import marked, tr

_EPILOG = marked("""\
examples:
  bloomline forecast --place Rothamsted --cultivar "Red Emperor" --planted 2025-11-01
  bloomline forecast --latitude 47.4 --longitude 8.5 --elevation 600 --cultivar "Thalia"
  bloomline forecast --requests questions.csv --format json
  bloomline forecast --requests grid.parquet --out answers/

A table of requests has the columns id, place, latitude_deg, longitude_deg, elevation_m, cultivar,
planted, where, prechill_weeks, in any order; only cultivar must be there, and an empty cell is the
default. Each row needs a place, or a latitude and longitude.
""")

_PARTITION_ROWS = 20_000
_PARTS_ONLY = ("scheduler", "workers", "partition_rows")
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
    add_country(where)
    where.add_argument("--latitude", type=number, metavar="DEG", help=tr("degrees north"))
    where.add_argument("--longitude", type=number, metavar="DEG", help=tr("degrees east"))
    where.add_argument("--elevation", type=number, metavar="M", help=tr("height of the garden"))
    what = parser.add_argument_group("what")
    what.add_argument(
        "--cultivar",
        metavar="NAME|ID",
        action="append",
        help=tr("a name, another name, or an id; again for each further one"),
    )
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
    many = parser.add_argument_group("many processes")
    many.add_argument(
        "--out",
        type=Path,
        metavar="DIR",
        help=tr(
            "answer the table (or a folder of tables, CSV or Parquet) part by part into Parquet "
            "files here; parts that are there already are left"
        ),
    )
    many.add_argument(
        "--scheduler",
        metavar="ADDRESS",
        help=tr("the Dask scheduler whose workers do it (processes of this machine)"),
    )
    many.add_argument(
        "--workers",
        type=_count,
        metavar="N",
        help=tr("processes of this machine (one a processor)"),
    )
    many.add_argument(
        "--partition-rows", type=_count, metavar="N", help=tr("rows of a part (20000)")
    )
    add_weather(parser)
    add_catalogue(parser)
    add_format(parser, "table", "json", "csv")
    add_today(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Answer, and return 1 when some rows could not be answered."""
    from bloomline.errors import UsageError

    if args.out is None:
        given = [name for name in _PARTS_ONLY if getattr(args, name) is not None]
        if given:
            raise UsageError(tr("--{option} goes with --out", option=given[0].replace("_", "-")))
    elif args.requests is None:
        raise UsageError(tr("--out goes with --requests"))
    if args.requests is None:
        _answer_options(args)
        return 0
    given = [name for name in _SINGLE_ONLY if getattr(args, name) is not None]
    if given:
        option = given[0].replace("_", "-")
        raise UsageError(
            tr("--{option} is for a single forecast; with --requests it is a column", option=option)
        )
    if args.out is not None:
        from bloomline.cli.forecast_parts import answer_parts

        args.partition_rows = args.partition_rows or _PARTITION_ROWS
        return answer_parts(args)
    if args.requests.is_dir() or args.requests.suffix.lower() in (".parquet", ".pq"):
        raise UsageError(
            tr("{path} is answered part by part; add --out DIR", path=str(args.requests))
        )
    from bloomline.cli.forecast_table import answer_table

    return answer_table(args)


def _count(text: str) -> int:
    """A whole number from 1 on. Raises ArgumentTypeError."""
    if not text.isdecimal() or int(text) < 1:
        raise argparse.ArgumentTypeError(tr("“{text}” is no whole number from 1 on", text=text))
    return int(text)


def _answer_options(args: argparse.Namespace) -> None:
    """Answer for the cultivars named, in their order."""
    from bloomline.errors import UsageError
    from bloomline.plan.forecast.forecaster import Forecaster
    from bloomline.plan.forecast.one_planting import Request, answered, forecast_many

    recorded, catalogue = weather_of(args), catalogue_of(args)
    if args.cultivar is None:
        raise UsageError(
            tr("no cultivar given; name one with --cultivar, or a table with --requests")
        )
    if args.place is None and args.latitude is None and args.longitude is None:
        raise UsageError(tr("no place given; use --place, or --latitude and --longitude"))
    garden = garden_meant(
        args.place,
        country=args.country,
        latitude_deg=args.latitude,
        longitude_deg=args.longitude,
        elevation_m=args.elevation,
    )
    requests = [
        Request(
            id=str(number),
            garden=garden,
            cultivar=catalogue.find(name),
            planted=args.planted,
            standing=standing_of_options(args, args.where or "pot"),
            prechill_weeks=args.prechill_weeks or 0.0,
            established=args.established,
            cover_cm=args.cover_cm,
        )
        for number, name in enumerate(args.cultivar, start=1)
    ]
    forecaster, today = Forecaster(), today_of(args)
    if args.format == "table":
        from bloomline.cli.forecast_lines import put_forecasts

        put_forecasts(
            forecast_many(requests, forecaster=forecaster, today=today, recorded=recorded)
        )
        return
    from bloomline.cli.forecast_output import writer_of

    with writer_of(args.format) as writer:
        for some in answered(
            requests, forecaster=forecaster, today=today, recorded=recorded, growth=False
        ):
            writer.put(some.numbers, some)
