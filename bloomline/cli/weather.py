"""`bloomline weather`: a season's own weather in a yard file, and what it has changed."""

from __future__ import annotations

import argparse
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bloomline.cli.options import (
    add_catalogue,
    add_command,
    add_format,
    tell_left_out,
)
from bloomline.cli.output import put, put_csv, put_json, say, shorten, table

if TYPE_CHECKING:
    from bloomline.files.weather_import import ImportQuestion
    from bloomline.model.yard import Yard

_EPILOG = """\
examples:
  bloomline weather yard.bloomline --add garden.csv      keep the days of a table with the yard
  bloomline weather yard.bloomline --add log.csv --date-order dmy --unit f
  bloomline weather yard.bloomline --add log.csv --columns "date,low,high"
  bloomline weather yard.bloomline                       how the season's dates have moved

Columns, units and the order of dates are found out where the table tells; if not, you are asked.
"""
_COLUMNS = (
    "pot_id", "pot", "layer_id", "cultivar", "first_expected", "now_expected", "moved_days",
    "cold_weeks", "cold_weeks_needed", "heat_share",
)  # fmt: skip
_OPTION = {
    "columns": "--columns DAY,MIN,MAX",
    "date_order": "--date-order dmy or --date-order mdy",
    "unit": "--unit c, f, k or tenths",
    "season_year": "--season-year YEAR",
}


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "weather",
        usage="FILE [options]",
        short="a season's own weather: keep it with a yard, and see what it changed",
        about="Keep daily minima and maxima from a table (CSV and the like, daily or hourly, or "
        "EPW) with a yard, where they count as facts in every forecast. Without options: how the "
        "expected dates have moved since, cold and heat so far, and the departure from normal.",
        epilog=_EPILOG,
    )
    parser.add_argument("file", type=Path, metavar="FILE", help="a yard file (.bloomline)")
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--add", type=Path, metavar="TABLE", help="keep the days of this table")
    what.add_argument("--clear", action="store_true", help="forget the weather that is kept")
    parser.add_argument(
        "--replace", action="store_true", help="with --add: forget the days kept before"
    )
    parser.add_argument(
        "--columns", metavar="A,B,C", help="names or numbers of day,minimum,maximum or day,reading"
    )
    parser.add_argument("--date-order", choices=("ymd", "dmy", "mdy"), help="how days are written")
    parser.add_argument("--unit", choices=("c", "f", "k", "tenths"), help="tenths: of a °C")
    parser.add_argument(
        "--season-year", type=int, metavar="YEAR", help="season on which to lay a typical year"
    )
    parser.add_argument(
        "--label", metavar="WORDS", help="what to call these days (the file's name)"
    )
    add_catalogue(parser)
    add_format(parser, "table", "json", "csv")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Import weather into a yard file, or show what the weather has changed."""
    from bloomline.errors import UsageError
    from bloomline.files.yardfile import load_yard, save_yard
    from bloomline.model.weather_edits import clear_weather

    given = (args.columns, args.date_order, args.unit, args.season_year, args.label)
    if args.add is None and (args.replace or any(each is not None for each in given)):
        raise UsageError("these options say how to read a table; name one with --add TABLE")
    loaded = load_yard(args.file)
    if args.clear:
        save_yard(args.file, clear_weather(loaded.yard), seen=loaded.digest)
        say("the yard keeps no weather now")
        return 0
    if args.add is not None:
        taken = _with_import(args, loaded.yard)
        if taken is None:
            return 2
        yard, n_bad = taken
        save_yard(args.file, yard, seen=loaded.digest)
        return 1 if n_bad else 0
    return _show(args, loaded.yard)


def _with_import(args: argparse.Namespace, yard: Yard) -> tuple[Yard, int] | None:
    """The yard with the days of the table, and how many lines were bad; None when something has
    to be said first.
    """
    from bloomline.files.weather_import import (
        UNIT_WORDS,
        ImportChoices,
        ImportQuestion,
    )
    from bloomline.model.weather_edits import add_weather, set_weather
    from bloomline.plan.climate.garden import garden_of
    from bloomline.plan.climate.own_weather import bridged, import_for, kept_weather

    columns = tuple(args.columns.split(",")) if args.columns else None
    read = import_for(
        args.add,
        choices=ImportChoices(columns, args.date_order, args.unit, args.season_year),
        garden=garden_of(yard.place),
        today=date.today(),
    )
    if isinstance(read, ImportQuestion):
        _ask(args.add, read)
        return None
    weather = kept_weather(read, label=args.label)
    say(
        f"columns {', '.join(name or '?' for name in read.columns)}; days {read.date_order}; "
        f"{UNIT_WORDS[read.unit]}{'; hours put together to days' if read.is_hourly else ''}"
    )
    for note in read.notes:
        say(note)
    tell_left_out(read.daily.bad, of=str(args.add))
    new = set_weather(yard, weather) if args.replace else add_weather(yard, weather)
    assert new.weather is not None
    say(f"the yard keeps {bridged(new.weather).words()}")
    return new, len(read.daily.bad)


def _ask(path: Path, question: ImportQuestion) -> None:
    say(f"{path}: {question.words}")
    if question.about == "columns":
        say(f"columns are: {', '.join(name or '?' for name in question.options)}")
    for line in question.sample:
        say(f"  {line}")
    say(f"answer with {_OPTION[question.about]}")


def _show(args: argparse.Namespace, yard: Yard) -> int:
    from bloomline.cli.yard import outlook_on
    from bloomline.plan.climate.own_weather import bridged, is_of_here
    from bloomline.plan.season.drift import departure, drift, so_far

    if yard.weather is None:
        say("the yard keeps no weather yet; add some with --add TABLE")
        return 1
    if not is_of_here(yard):
        say("the weather that the yard keeps is of another place and doesn't count in forecasts")
    kept = bridged(yard.weather)
    outlook = outlook_on(args, yard).with_(recorded=kept.recorded)
    moved = drift(outlook)
    had = {each.layer_id: each for each in so_far(outlook)}
    strayed = departure(outlook)
    assert strayed is not None
    rows: list[dict[str, Any]] = [
        {
            "pot_id": layer.pot_id,
            "pot": layer.pot_name,
            "layer_id": layer.layer_id,
            "cultivar": layer.name,
            "first_expected": layer.expected[0].p50 if layer.expected[0] else None,
            "now_expected": layer.expected[-1].p50 if layer.expected[-1] else None,
            "moved_days": layer.moved_days,
            "cold_weeks": had[layer.layer_id].cold_weeks,
            "cold_weeks_needed": had[layer.layer_id].cold_weeks_needed,
            "heat_share": had[layer.layer_id].heat_share,
        }
        for layer in moved.layers
    ]
    means = {f"{n}_days": round(strayed.over(n), 1) for n in (1, 7, 30)}
    if args.format == "csv":
        put_csv(_COLUMNS, rows)
    elif args.format == "json":
        put_json(
            {
                "yard": yard.name,
                "weather": {"label": yard.weather.label, "note": yard.weather.note},
                "first_day": kept.first_day.isoformat(),
                "last_day": kept.last_day.isoformat(),
                "recorded_days": kept.n_recorded,
                "bridged_days": kept.n_bridged,
                "missing_days": kept.n_missing,
                "departure_c": means,
                "cutoffs": [each.isoformat() for each in moved.cutoffs],
                "layers": [
                    {
                        **{
                            k: v.isoformat() if hasattr(v, "isoformat") else v for k, v in r.items()
                        },
                        "expected": [b.p50.isoformat() if b else None for b in layer.expected],
                    }
                    for r, layer in zip(rows, moved.layers, strict=True)
                ],
            }
        )
    else:
        put(f"{yard.name}, season {yard.season_year}: {yard.weather.label}")
        put(kept.words())
        put(
            f"Against normal: {means['1_days']:+.1f} °C on the last day, {means['7_days']:+.1f} "
            f"over a week, {means['30_days']:+.1f} over a month."
        )
        put()
        if not moved.cutoffs:
            put("None of these days falls in the season shown, so no date has moved.")
            return 0
        for line in table(
            ("pot", "cultivar", "first said", "now", "days", "cold weeks", "of", "heat"),
            [
                (
                    shorten(row["pot"], 15), shorten(row["cultivar"], 27),
                    row["first_expected"] or "no flower", row["now_expected"] or "no flower",
                    _signed(row["moved_days"]),
                    f"{row['cold_weeks']:.1f}", row["cold_weeks_needed"],
                    "" if row["heat_share"] is None else f"{100 * row['heat_share']:.0f} %",
                )
                for row in rows
            ],
            right=(4, 5, 6, 7),
        ):  # fmt: skip
            put(line)
    return 0


def _signed(days: int | None) -> str:
    return "" if days is None else f"{days:+d}" if days else "0"
