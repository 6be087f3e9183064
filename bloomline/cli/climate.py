"""`bloomline climate`: what the year at a place is like for bulbs."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from bloomline.cli.options import add_command, add_format, add_today, number, today_of
from bloomline.cli.output import advice_object, band_object, put, put_csv, put_json, table, wrapped
from bloomline.cli.where import add_country, garden_meant
from bloomline.words import marked, short_month_words, tr

if TYPE_CHECKING:
    from bloomline.plan.climate.garden import Garden
    from bloomline.plan.forecast.climate_report import ClimateReport, FrostDates

_EPILOG = marked("""\
examples:
  bloomline climate "De Bilt"
  bloomline climate Zermatt --elevation 1700 --format json
  bloomline climate --latitude 47.4 --longitude 8.5 --elevation 600
""")


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "climate",
        usage="[PLACE|STATION_ID] [options]",
        short=tr("what the year at a place is like for bulbs"),
        about=tr(
            "Show the months of a place: mean highs and lows, the coldest night, days of frost, "
            "the weeks of cold that bulbs in a pot gather, first and last frost, hardiness zone."
        ),
        epilog=tr(_EPILOG),
    )
    parser.add_argument(
        "place", nargs="?", metavar="PLACE|STATION_ID", help=tr("a place, or a station's id")
    )
    add_country(parser)
    parser.add_argument("--latitude", type=number, metavar="DEG", help=tr("degrees north"))
    parser.add_argument("--longitude", type=number, metavar="DEG", help=tr("degrees east"))
    parser.add_argument("--elevation", type=number, metavar="M", help=tr("height of the garden"))
    add_format(parser, "table", "json", "csv")
    add_today(parser)
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Show the climate of a place."""
    from bloomline.plan.forecast.climate_report import climate_report
    from bloomline.plan.forecast.forecaster import Forecaster

    garden = garden_meant(
        args.place,
        country=args.country,
        latitude_deg=args.latitude,
        longitude_deg=args.longitude,
        elevation_m=args.elevation,
    )
    report = climate_report(garden, forecaster=Forecaster(), today=today_of(args))
    if args.format == "json":
        put_json(_object(report))
    elif args.format == "csv":
        columns = ("month", "tmax_c", "tmin_c", "lowest_c", "frost_days", "cold_weeks")
        put_csv(columns, _months(report))
    else:
        for line in _lines(report):
            put(line)
    return 0


def _station(garden: Garden) -> dict[str, Any]:
    from bloomline.reference.places import load_places

    station = load_places().get(garden.station_id)
    return {
        "id": station.station_id,
        "name": station.name,
        "country": station.country,
        "latitude_deg": station.latitude_deg,
        "longitude_deg": station.longitude_deg,
        "elevation_m": station.elevation_m,
    }


def _months(report: ClimateReport) -> list[dict[str, Any]]:
    return [
        {
            "month": month.month,
            "tmax_c": month.tmax_c,
            "tmin_c": month.tmin_c,
            "lowest_c": month.lowest_c,
            "frost_days": month.frost_days,
            "cold_weeks": month.cold_weeks,
        }
        for month in report.months
    ]


def _object(report: ClimateReport) -> dict[str, Any]:
    return {
        "station": _station(report.garden),
        "stations": [
            {
                "id": each.station_id,
                "name": each.name,
                "distance_km": round(each.distance_km, 1),
                "elevation_m": each.elevation_m,
                "weight": round(each.weight, 3),
            }
            for each in report.garden.stations
        ],
        "elevation_m": report.garden.elevation_m,
        "height_is_guessed": report.garden.height_is_guessed,
        "height_margin_m": None if report.garden.guess is None else report.garden.guess.margin_m,
        "advice": [advice_object(each) for each in report.advice],
        "weather_years": report.n_years,
        "mean_annual_minimum_c": report.mean_annual_minimum_c,
        "hardiness_zone": report.hardiness_zone,
        "cold_weeks_in": report.standing.shown(),
        "months": _months(report),
        "first_frost": band_object(report.first_frost.band),
        "first_frost_reason": report.first_frost.reason,
        "last_frost": band_object(report.last_frost.band),
        "last_frost_reason": report.last_frost.reason,
        "share_of_years_with_frost": round(report.first_frost.share_of_years, 3),
        "winter_chill": {
            "from": report.chill_from.isoformat(),
            "to": report.chill_to.isoformat(),
            "chill_hours": report.chill_hours,
            "chill_portions": report.chill_portions,
        },
    }


def _lines(report: ClimateReport) -> list[str]:
    rows: list[tuple[object, ...]] = [
        (
            short_month_words(each.month),
            f"{each.tmax_c:.1f}",
            f"{each.tmin_c:.1f}",
            f"{each.lowest_c:.1f}",
            f"{each.frost_days:.1f}",
            f"{each.cold_weeks:.1f}",
            "▒" * round(each.cold_weeks * 4),
        )
        for each in report.months
    ]
    lowest = min(each.lowest_c for each in report.months)
    rows.append(
        (
            "year",
            "",
            "",
            f"{lowest:.1f}",
            f"{report.frost_days:.0f}",
            f"{report.cold_weeks:.0f}",
            "",
        )
    )
    columns = (
        "",
        tr("high °C"),
        tr("low °C"),
        tr("lowest °C"),
        tr("frost days"),
        tr("cold weeks"),
        "",
    )
    return [
        *_heading(report),
        "",
        *table(columns, rows, right=(1, 2, 3, 4, 5)),
        "",
        _frost_line(tr("First frost"), report.first_frost),
        _frost_line(tr("Last frost"), report.last_frost),
        tr(
            "Coldest night of a winter: {mean_annual_minimum_c:.1f} °C on average, "
            "hardiness zone {hardiness_zone}; the lowest of {n_years} years: "
            "{lowest:.1f} °C",
            mean_annual_minimum_c=report.mean_annual_minimum_c,
            hardiness_zone=report.hardiness_zone,
            n_years=report.n_years,
            lowest=lowest,
        ),
        tr(
            "Winter chill, {chill_from} to {chill_to}: {chill_hours:.0f} chill "
            "hours (0–7.2 °C), {chill_portions:.0f} portions",
            chill_from=report.chill_from,
            chill_to=report.chill_to,
            chill_hours=report.chill_hours,
            chill_portions=report.chill_portions,
        ),
        "",
        *wrapped(
            tr(
                "Cold weeks: weeks near 0–9 °C that bulbs gather ({standing}). "
                "Most tulips and daffodils want 12 or more before they flower well.",
                standing=report.standing.shown(),
            ),
            hang="",
        ),
    ]


def _heading(report: ClimateReport) -> list[str]:
    """Place, height, and the stations its climate is made of."""
    garden = report.garden
    alone = len(garden.stations) <= 1
    height = ""
    if alone and abs(garden.rise_m) >= 1:
        height = tr(", for a garden at {elevation_m:.0f} m", elevation_m=garden.elevation_m)
    lines = [f"{garden.label}{height}"]
    if alone:
        lines.append(
            tr(
                "station {station_id}, normals 1991–2020, {n_years} weather years",
                station_id=garden.station_id,
                n_years=report.n_years,
            )
        )
    else:
        lines.append(
            tr(
                "normals 1991–2020 of {n} stations, lowered to the garden's height; {n_years} "
                "weather years",
                n=len(garden.stations),
                n_years=report.n_years,
            )
        )
        rows = [
            (
                each.name,
                f"{100 * each.weight:.0f} %",
                f"{each.distance_km:.0f} km",
                f"{each.elevation_m:.0f} m",
                each.station_id,
            )
            for each in garden.stations
        ]
        columns = (tr("station"), tr("weight"), tr("distance"), tr("height"), tr("id"))
        lines += ["", *table(columns, rows, right=(1, 2, 3))]
    if report.advice:
        lines.append("")
    for each in report.advice:
        lines += wrapped(each.message)
    return lines


def _frost_line(name: str, frost: FrostDates) -> str:
    if frost.band is None:
        return f"{name + ':':13}{frost.reason}"
    band = frost.band
    words = tr(
        "{name:13}{band}, in 8 years of 10 between {early} and {late}",
        name=name + ":",
        band=band.p50,
        early=band.p10,
        late=band.p90,
    )
    if frost.share_of_years < 0.995:
        words += tr(
            " (years with frost: {share_of_years:.0f} %)", share_of_years=100 * frost.share_of_years
        )
    return words
