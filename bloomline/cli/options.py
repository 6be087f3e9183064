"""Options that several commands share, and what they mean."""

from __future__ import annotations

import argparse
import re
import textwrap
from collections.abc import Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from bloomline.cli.output import say
from bloomline.words import plural, tr

if TYPE_CHECKING:
    from bloomline.plan.climate.surroundings import Standing
    from bloomline.plan.climate.weather import RecordedWeather
    from bloomline.reference.catalogue import Catalogue

# As the yard model has them; written out here so that --help needs no model.
MATERIALS = (
    "fired-clay-once",
    "fired-clay-twice",
    "glazed",
    "wood",
    "plastic",
    "resin",
    "metal",
    "stone",
    "fibreglass",
)
SITES = ("open", "warm-wall", "cold-frame", "cold-greenhouse", "shed", "garage")

_MOST_LINES = 20
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_WEEK = re.compile(r"(\d{4})-W(\d{2})")


def _formatter(prog: str) -> argparse.HelpFormatter:
    return argparse.RawDescriptionHelpFormatter(prog, max_help_position=28, width=98)


def add_command(
    subparsers: argparse._SubParsersAction[argparse.ArgumentParser],
    name: str,
    *,
    usage: str,
    short: str,
    about: str,
    epilog: str,
) -> argparse.ArgumentParser:
    """Add the parser of a command: one line of use, a paragraph of what it does, examples."""
    return subparsers.add_parser(
        name,
        usage=f"bloomline {name} {usage}".rstrip(),
        help=short,
        description=textwrap.fill(about, 98),
        epilog=epilog,
        formatter_class=_formatter,
        allow_abbrev=False,
    )


def day(text: str) -> date:
    """A day written YYYY-MM-DD, for argparse."""
    try:
        return date.fromisoformat(text if _DAY.fullmatch(text) else "")
    except ValueError:
        raise argparse.ArgumentTypeError(
            tr("“{text}” is not a date like 2025-11-01", text=text)
        ) from None


def week(text: str) -> tuple[date, date]:
    """The Monday and Sunday of a week written YYYY-Wnn, for argparse."""
    found = _WEEK.fullmatch(text)
    try:
        if found is None:
            raise ValueError
        monday = date.fromisocalendar(int(found[1]), int(found[2]), 1)
        return monday, monday + timedelta(days=6)
    except (ValueError, OverflowError):
        raise argparse.ArgumentTypeError(
            tr("“{text}” is not a week like 2027-W10", text=text)
        ) from None


def number(text: str) -> float:
    """A finite number, for argparse."""
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not abs(value) < float("inf"):
        raise argparse.ArgumentTypeError(tr("“{text}” is not a number", text=text))
    return value


def count(text: str) -> int:
    """A whole number above zero, for argparse."""
    try:
        value = int(text)
    except ValueError:
        value = 0
    if value < 1:
        raise argparse.ArgumentTypeError(tr("“{text}” is not a whole number above 0", text=text))
    return value


def add_format(parser: argparse.ArgumentParser, *formats: str) -> None:
    """`--format`, the first of the formats being the default."""
    parser.add_argument(
        "--format",
        choices=formats,
        default=formats[0],
        help=tr("how to answer ({formats})", formats=formats[0]),
    )


def add_today(parser: argparse.ArgumentParser) -> None:
    """A hidden `--today`, so that answers can be repeated on another day."""
    parser.add_argument("--today", type=day, default=None, help=argparse.SUPPRESS)


def add_weather(parser: argparse.ArgumentParser) -> None:
    """`--weather`: the gardener's own daily temperatures."""
    parser.add_argument(
        "--weather",
        type=Path,
        metavar="FILE",
        help=tr(
            "your own daily temperatures, a table with date,tmin_c,tmax_c; days it lacks come "
            "from the weather years"
        ),
    )


def add_catalogue(parser: argparse.ArgumentParser) -> None:
    """`--catalogue`: cultivars of one's own."""
    parser.add_argument(
        "--catalogue",
        type=Path,
        metavar="FILE",
        help=tr(
            "your own cultivars, a table with the columns of the catalogue; they come before ours"
        ),
    )


def today_of(args: argparse.Namespace) -> date:
    """The day the answer is for."""
    given: date | None = getattr(args, "today", None)
    return given or date.today()


def catalogue_of(args: argparse.Namespace) -> Catalogue:
    """The catalogue, with the gardener's own merged over it."""
    from bloomline.reference.catalogue import load_catalogue

    return load_catalogue(args.catalogue)


def tell_left_out(bad: Sequence[str], *, of: str) -> None:
    """Say which lines of a table were left out, and why."""
    for each in bad[:_MOST_LINES]:
        say(f"{of}: {each}")
    if bad:
        lines = plural("{n} line", "{n} lines", len(bad))
        say(tr("{of}: {lines} left out", of=of, lines=lines))


def weather_of(args: argparse.Namespace) -> RecordedWeather | None:
    """The gardener's own weather, if there is any."""
    if getattr(args, "weather", None) is None:
        return None
    from bloomline.files.weather_csv import read_weather
    from bloomline.plan.climate.weather import RecordedWeather

    read = read_weather(args.weather)
    tell_left_out(read.bad, of=str(args.weather))
    return RecordedWeather(
        days=read.days, tmin_c=read.tmin_c, tmax_c=read.tmax_c, label=args.weather.name
    )


def standing_of_options(args: argparse.Namespace, where: str) -> Standing:
    """Where bulbs grow as the options say it. Raises UsageError."""
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
