"""Opens the yard that a command is about, and works out its season."""

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
    weather_of,
)
from bloomline.cli.where import garden_meant

if TYPE_CHECKING:
    from bloomline.model.yard import Yard
    from bloomline.plan.climate.garden import Garden
    from bloomline.plan.climate.weather import RecordedWeather
    from bloomline.plan.forecast.report import SeasonReport
    from bloomline.reference.catalogue import Catalogue


def add_yard(parser: argparse.ArgumentParser) -> None:
    """The yard file, and what it may be looked at with."""
    parser.add_argument("file", type=Path, metavar="FILE", help="a yard file (.bloomline)")
    parser.add_argument(
        "--place", metavar="NAME|ID", help="look at the yard at another place than its own"
    )
    parser.add_argument("--elevation", type=number, metavar="M", help="height of that place")
    parser.add_argument(
        "--without-records",
        action="store_true",
        help="leave out what the yard's own records taught, to see what they change",
    )
    add_weather(parser)
    add_catalogue(parser)


def report_for(args: argparse.Namespace) -> tuple[Yard, SeasonReport]:
    """The yard of a command line and its season.

    Raises FileProblemError and DataError for the file, UnknownNameError for a place.
    """
    from bloomline.errors import UsageError
    from bloomline.files.yardfile import load_yard
    from bloomline.plan.forecast.forecaster import Forecaster
    from bloomline.plan.season.yard import season_report

    if args.elevation is not None and args.place is None:
        raise UsageError("--elevation goes with --place; the yard file has its own elevation_m")
    yard = load_yard(args.file).yard
    catalogue = catalogue_of(args)
    refuse_unknown(yard, catalogue, name=str(args.file))
    garden = None
    if args.place is not None:
        garden = garden_meant(args.place, elevation_m=args.elevation)
    report = season_report(
        yard,
        catalogue=catalogue,
        forecaster=Forecaster(),
        recorded=recorded_for(args, yard),
        garden=garden,
        learned=not args.without_records,
        today=getattr(args, "today", None),
    )
    return yard, report


def garden_of_place(args: argparse.Namespace) -> Garden | None:
    """The garden that `--place` means, without a word about it; None for the yard's own."""
    from bloomline.plan.climate.garden import garden_named

    if args.place is None:
        return None
    return garden_named(args.place, elevation_m=args.elevation)


def recorded_for(args: argparse.Namespace, yard: Yard) -> RecordedWeather | None:
    """The recorded days that count as facts: those of `--weather`, else those the yard keeps.

    The yard's own were recorded at its own place and say nothing of another one.
    """
    from bloomline.plan.climate.own_weather import recorded_of

    given = weather_of(args)
    return given if given is not None or args.place is not None else recorded_of(yard)


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
            yield f"place.station_id: {error}"
    for p, pot in enumerate(yard.pots):
        for k, planting in enumerate(pot.companions):
            try:
                companion_of(planting.companion_id)
            except UnknownNameError as error:
                yield f"pots[{p}].companions[{k}].companion_id: {error}"
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
            yield f"pots[{p}].layers[{k}].cultivar_id: {told[wanted]}"
