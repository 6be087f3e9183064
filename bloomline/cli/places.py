"""`bloomline places`: which towns and stations are known, by name, country or position."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from bloomline.cli.options import add_command, add_format, count
from bloomline.cli.output import put, put_csv, put_json, say, shorten, table
from bloomline.words import marked, tr

if TYPE_CHECKING:
    from bloomline.model.place import Station, Town

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
        about=tr(
            "List towns and weather stations by name, or stations by country or nearest first. "
            "A town has the climate of the stations around it."
        ),
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
            tr("“{text}” is not a position like 52.1,5.2", text=text)
        ) from None
    if not (-90.0 <= latitude <= 90.0 and -180.0 <= longitude <= 180.0):
        raise argparse.ArgumentTypeError(
            tr("“{text}” is not on the map; latitude comes first", text=text)
        )
    return latitude, longitude


def run(args: argparse.Namespace) -> int:
    """List places; 1 when there is none."""
    found = _found(args)
    rows = found[: args.limit]
    columns = ["id", "name", "region", "country", "latitude_deg", "longitude_deg", "elevation_m"]
    columns += ["kind", "population"]
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
            tr("no place is called “{text}”", text=args.text) if args.text else tr("no place found")
        )
        return 1
    if len(found) > len(rows):
        say(
            tr(
                "{count} of {count2} places; --limit shows more",
                count=len(rows),
                count2=len(found),
            )
        )
    return 0


def _found(args: argparse.Namespace) -> list[dict[str, Any]]:
    """Rows of stations, and of towns where a name is asked for; best or nearest first."""
    from bloomline.reference.places import load_places

    places = load_places()
    every = len(places)
    ids = None
    if args.country is not None:
        ids = {station.station_id for station in _in_country(args.country)}
    if args.near is not None:
        near = places.nearest(
            *args.near, limit=every if args.text or ids is not None else args.limit
        )
        named = {station.station_id for station in places.search(args.text, limit=every)}
        return [
            _row(station, distance_km)
            for station, distance_km in near
            if (not args.text or station.station_id in named)
            and (ids is None or station.station_id in ids)
        ]
    if args.text:
        return _named(args)
    stations = list(places) if args.country is None else _in_country(args.country)
    return [_row(station, 0.0) for station in stations]


def _in_country(country: str) -> list[Station]:
    """The stations of a country. Raises UnknownNameError where it is none."""
    from bloomline.errors import UnknownNameError
    from bloomline.reference.places import load_places
    from bloomline.reference.towns import load_towns

    try:
        return load_places().in_country(country)
    except UnknownNameError:
        code = load_towns().country_code(country)  # a code, or a land without a station
    towns = load_towns()
    return [each for each in load_places() if each.country == towns.country_name(code)]


def _named(args: argparse.Namespace) -> list[dict[str, Any]]:
    from bloomline.plan.climate.finding import country_here, find_places
    from bloomline.reference.places import load_places
    from bloomline.reference.towns import load_towns

    code = country_here(None)
    if args.country is not None:
        code = load_towns().country_code(args.country)
    answer = find_places(args.text, country_code=code, only=args.country is not None, limit=1000)
    rows = []
    for found in answer.found if not answer.is_near else ():
        if found.station_id is not None:
            rows.append(_row(load_places().get(found.station_id), 0.0))
        elif found.town is not None:
            rows.append(_row(found.town, 0.0))
    return rows


def _row(place: Station | Town, distance_km: float) -> dict[str, Any]:
    from bloomline.model.place import Station

    return {
        "id": place.station_id if isinstance(place, Station) else "",
        "name": place.name,
        "region": place.region,
        "country": place.country,
        "latitude_deg": place.latitude_deg,
        "longitude_deg": place.longitude_deg,
        "elevation_m": place.elevation_m,
        "kind": "station" if isinstance(place, Station) else "town",
        "population": None if isinstance(place, Station) else place.population,
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
            "" if row["elevation_m"] is None else f"{row['elevation_m']:.0f}",
            row["id"] or tr("town"),
        ]
        cells.append([f"{row['distance_km']:.0f}", *line] if near else line)
    shift = 1 if near else 0
    return table(columns, cells, right=(*range(shift), 2 + shift, 3 + shift, 4 + shift))
