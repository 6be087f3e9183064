"""Opens the yard that a command is about, and looks at it as its options say."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from bloomline.cli.options import (
    add_catalogue,
    add_weather,
    catalogue_of,
    number,
    today_of,
    weather_of,
)
from bloomline.cli.where import add_country, garden_meant
from bloomline.words import tr

if TYPE_CHECKING:
    from bloomline.model.yard import Yard
    from bloomline.plan.climate.garden import Garden
    from bloomline.plan.season.outlook import Outlook
    from bloomline.reference.catalogue import Catalogue


def add_yard(parser: argparse.ArgumentParser) -> None:
    """The yard file, and what it may be looked at with."""
    parser.add_argument("file", type=Path, metavar="FILE", help=tr("a yard file (.bloomline)"))
    parser.add_argument(
        "--place", metavar="NAME|ID", help=tr("look at the yard at another place than its own")
    )
    add_country(parser)
    parser.add_argument("--elevation", type=number, metavar="M", help=tr("height of that place"))
    parser.add_argument(
        "--without-records",
        action="store_true",
        help=tr("leave out what the yard's own records taught, to see what they change"),
    )
    add_weather(parser)
    add_catalogue(parser)


def outlook_for(args: argparse.Namespace) -> Outlook:
    """The outlook of a command line on its yard, from the options that the command has.

    Raises FileProblemError and DataError for the file, UnknownNameError for a place.
    """
    from bloomline.errors import UsageError
    from bloomline.files.yardfile import load_yard

    named, elevation_m = getattr(args, "place", None), getattr(args, "elevation", None)
    if elevation_m is not None and named is None:
        raise UsageError(tr("--elevation goes with --place; the yard file has its own elevation_m"))
    yard = load_yard(args.file).yard
    country = getattr(args, "country", None)
    if country is not None and named is None:
        raise UsageError(tr("--country goes with --place"))
    garden = None
    if named is not None:
        garden = garden_meant(named, country=country, home=yard.place, elevation_m=elevation_m)
    return outlook_on(args, yard, garden=garden)


def outlook_on(args: argparse.Namespace, yard: Yard, *, garden: Garden | None = None) -> Outlook:
    """The outlook of a command line on a yard that is at hand, at its own place or a garden.

    Recorded days are those of `--weather`, else those the yard keeps. Raises DataError for what
    no table holds.
    """
    from bloomline.plan.forecast.forecaster import Forecaster
    from bloomline.plan.season.outlook import Outlook

    catalogue = catalogue_of(args)
    refuse_unknown(yard, catalogue, name=str(args.file))
    return Outlook.of(
        yard,
        catalogue=catalogue,
        forecaster=Forecaster(),
        today=today_of(args),
        garden=garden,
        recorded=weather_of(args),
        use_records=not getattr(args, "without_records", False),
    )


def refuse_unknown(yard: Yard, catalogue: Catalogue, *, name: str) -> None:
    """Name every layer whose cultivar, and the place whose station, no table holds."""
    from bloomline.errors import DataError

    problems = list(_unknown(yard, catalogue))
    if problems:
        raise DataError(name, problems)


def _unknown(yard: Yard, catalogue: Catalogue) -> Iterator[str]:
    from bloomline.errors import UnknownNameError
    from bloomline.plan.tops.companions import companion_of
    from bloomline.reference.places import load_places

    place = yard.place
    if place.station_id is not None and place.own_normals is None:
        try:
            load_places().get(place.station_id)
        except UnknownNameError as error:
            yield tr("place.station_id: {error}", error=error)
    for p, pot in enumerate(yard.pots):
        for k, planting in enumerate(pot.companions):
            try:
                companion_of(planting.companion_id)
            except UnknownNameError as error:
                yield tr("pots[{p}].companions[{k}].companion_id: {error}", p=p, k=k, error=error)
    own = {cultivar.id for cultivar in yard.own_cultivars}
    told: dict[str, str] = {}
    for p, pot in enumerate(yard.pots):
        for k, layer in enumerate(pot.layers):
            wanted = layer.cultivar_id
            if wanted in own or wanted in catalogue:
                continue
            if wanted not in told:
                try:
                    catalogue.get(wanted)
                except UnknownNameError as error:
                    told[wanted] = str(error)
            yield tr("pots[{p}].layers[{k}].cultivar_id: {told}", p=p, k=k, told=told[wanted])
