"""`bloomline places`: which places are known, by name, country or position."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from bloomline.cli.options import add_command, add_format, count
from bloomline.cli.output import put, put_csv, put_json, say, shorten, table
from bloomline.words import marked, tr

if TYPE_CHECKING:
    from bloomline.model.place import Station

_EPILOG = marked("""\
examples:
  bloomline places aberdeen
  bloomline places --country Netherlands
  bloomline places --near 47.37,8.54 --limit 5
""")


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "places",
        usage="[TEXT] [options]",
        short=tr("the places whose climate is known"),
        about=tr("List weather stations by a part of their name, by country, or nearest first."),
        epilog=tr(_EPILOG),
    )
    parser.add_argument(
        "text", nargs="?", default="", metavar="TEXT", help=tr("a part of the name")
    )
    parser.add_argument("--country", help=tr("only this country"))
    parser.add_argument("--near", type=_position, metavar="LAT,LON", help=tr("nearest first"))
    parser.add_argument(
        "--limit", type=count, default=20, metavar="N", help=tr("at most so many (20)")
    )
    add_format(parser, "table", "json", "csv")
    parser.set_defaults(run=run)


def _position(text: str) -> tuple[float, float]:
    parts = text.split(",")
    try:
        latitude, longitude = (float(part) for part in parts)
    except ValueError:
        raise argparse.ArgumentTypeError(
            tr("{text!r} is not a position like 52.1,5.2", text=text)
        ) from None
    if not (-90.0 <= latitude <= 90.0 and -180.0 <= longitude <= 180.0):
        raise argparse.ArgumentTypeError(
            tr("{text!r} is not on the map; latitude comes first", text=text)
        )
    return latitude, longitude


def run(args: argparse.Namespace) -> int:
    """List places; 1 when there is none."""
    found = _found(args)
    shown = found[: args.limit]
    rows = [_row(station, distance_km) for station, distance_km in shown]
    columns = ["id", "name", "region", "country", "latitude_deg", "longitude_deg", "elevation_m"]
    if args.near is not None:
        columns.append("distance_km")
    if args.format == "json":
        put_json([{name: row[name] for name in columns} for row in rows])
    elif args.format == "csv":
        put_csv(columns, rows)
    elif rows:
        for line in _lines(rows, near=args.near is not None):
            put(line)
    if not found:
        say(
            tr("no place is called {text!r}", text=args.text) if args.text else tr("no place found")
        )
        return 1
    if len(found) > len(shown):
        say(
            tr(
                "{count} of {count2} places; --limit shows more",
                count=len(shown),
                count2=len(found),
            )
        )
    return 0


def _found(args: argparse.Namespace) -> list[tuple[Station, float]]:
    from bloomline.reference.places import load_places

    places = load_places()
    every = len(places)
    ids = None
    if args.country is not None:
        ids = {station.station_id for station in places.in_country(args.country)}
    if args.near is not None:
        found = places.nearest(*args.near, limit=every if args.text or ids else args.limit)
    elif args.text:
        found = [(station, 0.0) for station in places.search(args.text, limit=every)]
    elif args.country is not None:
        found = [(station, 0.0) for station in places.in_country(args.country)]
    else:
        found = [(station, 0.0) for station in places]
    if args.near is not None and args.text:
        named = {station.station_id for station in places.search(args.text, limit=every)}
        found = [each for each in found if each[0].station_id in named]
    if ids is not None:
        found = [each for each in found if each[0].station_id in ids]
    return found


def _row(station: Station, distance_km: float) -> dict[str, Any]:
    return {
        "id": station.station_id,
        "name": station.name,
        "region": station.region,
        "country": station.country,
        "latitude_deg": station.latitude_deg,
        "longitude_deg": station.longitude_deg,
        "elevation_m": station.elevation_m,
        "distance_km": round(distance_km, 1),
    }


def _lines(rows: list[dict[str, Any]], *, near: bool) -> list[str]:
    columns = [
        tr("place"),
        tr("country"),
        tr("latitude"),
        tr("longitude"),
        tr("height m"),
        tr("id"),
    ]
    if near:
        columns.insert(0, "km")
    cells: list[list[object]] = []
    for row in rows:
        land = ", ".join(part for part in (row["region"], row["country"]) if part)
        line: list[object] = [
            shorten(row["name"], 28),
            shorten(land, 26),
            f"{row['latitude_deg']:.2f}",
            f"{row['longitude_deg']:.2f}",
            f"{row['elevation_m']:.0f}",
            row["id"],
        ]
        cells.append([f"{row['distance_km']:.0f}", *line] if near else line)
    shift = 1 if near else 0
    return table(columns, cells, right=(*range(shift), 2 + shift, 3 + shift, 4 + shift))
