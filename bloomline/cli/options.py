"""Options that several commands share, and what they mean."""

from __future__ import annotations

import argparse
import re
import textwrap
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bloomline.plan.garden import Garden
    from bloomline.plan.weather import RecordedWeather
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
SITES = ("open", "warm-wall", "cold-frame", "cold-greenhouse", "shed")

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


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
        raise argparse.ArgumentTypeError(f"{text!r} is not a date like 2025-11-01") from None


def number(text: str) -> float:
    """A finite number, for argparse."""
    try:
        value = float(text)
    except ValueError:
        value = float("nan")
    if not abs(value) < float("inf"):
        raise argparse.ArgumentTypeError(f"{text!r} is not a number")
    return value


def count(text: str) -> int:
    """A whole number above zero, for argparse."""
    try:
        value = int(text)
    except ValueError:
        value = 0
    if value < 1:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number above 0")
    return value


def add_format(parser: argparse.ArgumentParser, *formats: str) -> None:
    """`--format`, the first of the formats being the default."""
    parser.add_argument(
        "--format", choices=formats, default=formats[0], help=f"how to answer ({formats[0]})"
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
        help="your own daily temperatures, a table with date,tmin_c,tmax_c; days it lacks come "
        "from the weather years",
    )


def add_catalogue(parser: argparse.ArgumentParser) -> None:
    """`--catalogue`: cultivars of one's own."""
    parser.add_argument(
        "--catalogue",
        type=Path,
        metavar="FILE",
        help="your own cultivars, a table with the columns of the catalogue; they come before ours",
    )


def today_of(args: argparse.Namespace) -> date:
    """The day the answer is for."""
    given: date | None = args.today
    return given or date.today()


def catalogue_of(args: argparse.Namespace) -> Catalogue:
    """The catalogue, with the gardener's own merged over it."""
    from bloomline.reference.catalogue import load_catalogue

    return load_catalogue(args.catalogue)


def weather_of(args: argparse.Namespace) -> RecordedWeather | None:
    """The gardener's own weather, if there is any."""
    if args.weather is None:
        return None
    from bloomline.files.weather_csv import read_weather
    from bloomline.plan.weather import RecordedWeather

    read = read_weather(args.weather)
    return RecordedWeather(
        days=read.days, tmin_c=read.tmin_c, tmax_c=read.tmax_c, label=args.weather.name
    )


def place_garden(
    place: str | None,
    *,
    latitude_deg: float | None,
    longitude_deg: float | None,
    elevation_m: float | None,
) -> Garden:
    """The garden meant by a place, a position, or both.

    With both, the place says which station stands for the garden and the position where the
    garden lies. A place that no station has, or one that is far from the position, gives way
    to the position. Raises UnknownNameError, UsageError.
    """
    from bloomline.errors import UnknownNameError, UsageError
    from bloomline.plan.garden import garden_at, garden_named, garden_of

    if latitude_deg is None or longitude_deg is None:
        if latitude_deg is not None or longitude_deg is not None:
            raise UsageError("latitude and longitude go together; one is missing")
        if place is None:
            raise UsageError("no place given; name one, or give latitude and longitude")
        return garden_named(place, elevation_m=elevation_m)
    by_position = garden_at(latitude_deg, longitude_deg=longitude_deg, elevation_m=elevation_m)
    if place is None:
        return by_position
    try:
        named = garden_named(place)
    except UnknownNameError:
        return by_position
    from bloomline.model.yard import PlaceChoice

    chosen = garden_of(
        PlaceChoice(
            station_id=named.station_id,
            name=named.label,
            latitude_deg=latitude_deg,
            longitude_deg=longitude_deg,
            elevation_m=elevation_m,
        )
    )
    return by_position if chosen.station_is_far else chosen


def tell_place(place: str) -> None:
    """Say which place was taken where others could have been meant."""
    from bloomline.cli.output import say
    from bloomline.reference.folding import fold
    from bloomline.reference.places import load_places

    places = load_places()
    chosen = places.find(place)
    if "," in place or place.strip() == chosen.station_id:
        return
    wanted = f"{fold(place)} "
    others = [
        other
        for other in places.search(place, limit=40)
        if (other.country, other.region) != (chosen.country, chosen.region)
        and f"{fold(other.name)} ".startswith(wanted)
    ]
    exact = fold(place) in (fold(chosen.name), fold(chosen.submitted_name))
    if exact and not others:
        return
    words = f"{place!r} is taken as {chosen.label} ({chosen.station_id})"
    if others:
        listed = "; ".join(f"{other.label} ({other.station_id})" for other in others[:3])
        words += f"; others are {listed}"
    say(words)


def tell_choice(place: str | None, garden: Garden, *, has_position: bool) -> None:
    """Say where a place name led: to a place of several, or nowhere beside a position."""
    from bloomline.cli.output import say
    from bloomline.errors import UnknownNameError
    from bloomline.plan.garden import garden_named

    if place is None:
        return
    if not has_position:
        tell_place(place)
        return
    try:
        named = garden_named(place)
    except UnknownNameError:
        say(
            f"no single place called {place!r}; the station {garden.station_name} near the "
            "position is taken"
        )
        return
    if named.station_id != garden.station_id:
        say(
            f"{named.label} is far from the position given for {place!r}; the station "
            f"{garden.station_name} near the position is taken"
        )
