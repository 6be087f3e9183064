"""`bloomline compare`: two scenarios of a yard side by side."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bloomline.cli.options import (
    SITES,
    add_catalogue,
    add_command,
    add_format,
    number,
)
from bloomline.cli.output import put, put_csv, put_json, shorten, table, wrapped
from bloomline.words import marked, tr

if TYPE_CHECKING:
    from bloomline.model.yard import Yard
    from bloomline.plan.forecast.report import Band
    from bloomline.plan.season.scenarios import Comparison, LayerChange, Scenario, WeatherYear

_EPILOG = marked("""\
examples:
  bloomline compare yard.bloomline --warmer 2
  bloomline compare yard.bloomline --weather-year coldest --against-weather-year warmest
  bloomline compare yard.bloomline --later-weeks 2 --format csv

Without --against-… options the other side is the yard as it is.
""")
_COLUMNS = (
    "pot_id",
    "pot",
    "layer_id",
    "cultivar_id",
    "cultivar",
    "start_a",
    "start_b",
    "start_days",
    "end_a",
    "end_b",
    "end_days",
    "reason_a",
    "reason_b",
)


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "compare",
        usage="FILE [options]",
        short=tr("what if: a yard in other weather, a warmer climate, another place or plan"),
        about=tr(
            "Set two scenarios of a yard side by side: when each layer opens and "
            "is over, bare days and weeks of colour. Weather that the yard keeps "
            "counts, but not at another place."
        ),
        epilog=tr(_EPILOG),
    )
    parser.add_argument("file", type=Path, metavar="FILE", help=tr("a yard file (.bloomline)"))
    for prefix, whose in (("", ""), ("against-", tr(" on the other side"))):
        parser.add_argument(
            f"--{prefix}warmer",
            type=number,
            default=0.0,
            metavar="C",
            help=tr("°C added to all temperatures{whose}", whose=whose),
        )
        parser.add_argument(
            f"--{prefix}place", metavar="NAME|ID", help=tr("another place{whose}", whose=whose)
        )
        parser.add_argument(
            f"--{prefix}country",
            metavar="NAME|CODE",
            help=tr("the country of that place, where several have one of that name"),
        )
        parser.add_argument(
            f"--{prefix}later-weeks",
            type=int,
            default=0,
            metavar="N",
            help=tr(
                "weeks by which bulbs are planted later{whose}; negative for earlier", whose=whose
            ),
        )
        parser.add_argument(
            f"--{prefix}weather-year",
            metavar="WHICH",
            help=tr("coldest, warmest, or a rank from the coldest (1, 2, …){whose}", whose=whose),
        )
        parser.add_argument(
            f"--{prefix}site", choices=SITES, help=tr("where all pots stand{whose}", whose=whose)
        )
    add_catalogue(parser)
    add_format(parser, "table", "json", "csv")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Show two scenarios side by side."""
    from bloomline.cli.yard import outlook_on
    from bloomline.errors import UsageError
    from bloomline.files.yardfile import load_yard
    from bloomline.plan.season.scenarios import compare

    yard = load_yard(args.file).yard
    a, b = _scenario(args, "against_", yard), _scenario(args, "", yard)
    if a == b:
        raise UsageError(tr("both sides are the same; say what if: --warmer 2, --later-weeks 2, …"))
    answer = compare(outlook_on(args, yard), a, b)
    if args.format == "json":
        put_json(comparison_object(answer))
    elif args.format == "csv":
        put_csv(_COLUMNS, [_row(each) for each in answer.layers])
    else:
        for line in comparison_lines(answer):
            put(line)
    return 0


def _scenario(args: argparse.Namespace, prefix: str, yard: Yard) -> Scenario:
    from bloomline.cli.where import garden_meant
    from bloomline.errors import UsageError
    from bloomline.plan.season.scenarios import Scenario

    def given(name: str) -> Any:
        return getattr(args, f"{prefix}{name}")

    place, country = given("place"), given("country")
    if country is not None and place is None:
        raise UsageError(tr("--country goes with --place"))
    return Scenario(
        warmer_c=given("warmer"),
        later_weeks=given("later_weeks"),
        weather_year=_year(given("weather_year")),
        place=None if place is None else garden_meant(place, country=country, home=yard.place),
        site=given("site"),
    )


def _year(text: str | None) -> WeatherYear | None:
    from bloomline.errors import UsageError

    if text is None:
        return None
    if text == "coldest":
        return "coldest"
    if text == "warmest":
        return "warmest"
    if not text.isdecimal() or int(text) < 1:
        raise UsageError(
            tr("weather year “{text}” is neither coldest, warmest nor a rank from 1 on", text=text)
        )
    return int(text) - 1


def comparison_object(answer: Comparison) -> dict[str, Any]:
    """A comparison for JSON."""

    def side(words: str, report: Any) -> dict[str, Any]:
        return {
            "scenario": words,
            "place": report.place_label,
            "weather": report.weather_label,
            "weeks_of_colour": round(report.weeks_of_colour.expected, 1),
            "bare_days": round(report.bare_days.expected, 1),
        }

    return {
        "yard": answer.a.yard_name,
        "season_year": answer.a.season_year,
        "a": side(answer.a_words, answer.a),
        "b": side(answer.b_words, answer.b),
        "difference": {
            "weeks_of_colour": answer.more_weeks_of_colour(decimals=1),
            "bare_days": answer.more_bare_days(decimals=1),
            "median_start_days": answer.median_start_days,
        },
        "layers": [
            {
                name: value.isoformat() if isinstance(value, date) else value
                for name, value in _row(each).items()
            }
            for each in answer.layers
        ],
    }


def _row(each: LayerChange) -> dict[str, Any]:
    return {
        "pot_id": each.a.pot_id,
        "pot": each.pot_name,
        "layer_id": each.a.layer_id,
        "cultivar_id": each.a.cultivar_id,
        "cultivar": each.a.name,
        "start_a": _middle(each.a.start),
        "start_b": _middle(each.b.start),
        "start_days": each.start_days,
        "end_a": _middle(each.a.end),
        "end_b": _middle(each.b.end),
        "end_days": each.end_days,
        "reason_a": each.a.reason,
        "reason_b": each.b.reason,
    }


def _middle(band: Band | None) -> date | None:
    return band.p50 if band else None


def comparison_lines(answer: Comparison) -> list[str]:
    """A comparison as text for a page 100 columns wide."""
    from bloomline.plan.season.words import figure

    lines = [
        tr(
            "{yard_name}, season {season_year}",
            yard_name=answer.a.yard_name,
            season_year=answer.a.season_year,
        ),
        *wrapped(
            tr(
                "A: {a_words} ({place_label}; {weather_label})",
                a_words=answer.a_words,
                place_label=answer.a.place_label,
                weather_label=answer.a.weather_label,
            )
        ),
        *wrapped(
            tr(
                "B: {b_words} ({place_label}; {weather_label})",
                b_words=answer.b_words,
                place_label=answer.b.place_label,
                weather_label=answer.b.weather_label,
            )
        ),
        "",
    ]
    if not answer.layers:
        return [*lines, tr("No bulbs are planted in this yard yet.")]
    lines += table(
        (
            tr("pot"),
            tr("cultivar"),
            tr("opens, A"),
            tr("opens, B"),
            tr("days"),
            tr("over, A"),
            tr("over, B"),
            tr("days"),
        ),
        [
            (
                shorten(each.pot_name, 14),
                shorten(each.a.name, 24),
                _middle(each.a.start) or tr("no flower"),
                _middle(each.b.start) or tr("no flower"),
                _signed(each.start_days),
                _middle(each.a.end),
                _middle(each.b.end),
                _signed(each.end_days),
            )
            for each in answer.layers
        ],
        right=(4, 7),
    )
    lines += [
        "",
        *table(
            ("", tr("A"), tr("B"), tr("difference")),
            [
                (
                    tr("weeks of colour"),
                    figure(answer.a.weeks_of_colour.expected, 1),
                    figure(answer.b.weeks_of_colour.expected, 1),
                    f"{answer.more_weeks_of_colour(decimals=1):+.1f}",
                ),
                (
                    tr("bare days"),
                    figure(answer.a.bare_days.expected),
                    figure(answer.b.bare_days.expected),
                    f"{answer.more_bare_days(decimals=0):+.0f}",
                ),
            ],
            right=(1, 2, 3),
        ),
    ]
    blind: dict[tuple[str, str], list[str]] = {}
    for each in answer.layers:
        for side, layer in (("A", each.a), ("B", each.b)):
            if layer.reason is not None:
                blind.setdefault((side, layer.reason), []).append(layer.name)
    for (side, reason), names in blind.items():
        lines += [
            "",
            *wrapped(
                tr(
                    "No flower in {side}: {names}.",
                    side=side,
                    names=", ".join(dict.fromkeys(names)),
                )
            ),
        ]
        lines += wrapped(f"{reason[0].upper()}{reason[1:]}.", indent="  ", hang="")
    return lines


def _signed(days: int | None) -> str:
    return "" if days is None else f"{days:+d}" if days else "0"
