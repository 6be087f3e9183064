"""`bloomline succession`: what follows what in each pot, and plantings that collide."""

from __future__ import annotations

import argparse
from datetime import date
from itertools import islice
from typing import TYPE_CHECKING, Any

from bloomline.cli.options import add_command, add_format
from bloomline.cli.output import band_object, put, put_json, say, shorten, table, wrapped
from bloomline.cli.yard import add_yard, outlook_for
from bloomline.words import marked, short_day_words, tr

if TYPE_CHECKING:
    from bloomline.plan.carry.collision import Choice, Conflict
    from bloomline.plan.forecast.report import PotForecast, SeasonReport
    from bloomline.plan.pot.fitting import CultivarOf

_EPILOG = marked("""\
examples:
  bloomline succession yard.bloomline
  bloomline succession yard.bloomline --choose 1:later

Conflicts are numbered; --choose takes one of the ways out and writes it into the file.
Exit codes: 0 every planting finds its pot free, 1 some don't, 2 bad use, 3 bad input.
""")


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "succession",
        usage="FILE [options]",
        short=tr("what follows what in each pot through the year, and where plantings collide"),
        about=tr(
            "Show what stands in each pot through the year: layers, later "
            "plantings, and companions on top. A planting that is due while the "
            "pot is still in flower or leaf is told, with the ways out of it."
        ),
        epilog=tr(_EPILOG),
    )
    add_yard(parser)
    parser.add_argument(
        "--choose",
        metavar="N:WAY",
        help=tr("take a way out of conflict N (lift, second-pot or later) and write it"),
    )
    add_format(parser, "table", "json")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Show successions or settle a conflict; 1 when some are left."""
    from bloomline.errors import UsageError
    from bloomline.files.yardfile import digest_on_disk, save_yard
    from bloomline.plan.carry.succession import successions
    from bloomline.plan.season.yard import season_report

    if args.choose is not None and args.place is not None:
        raise UsageError(tr("--choose changes the yard as it stands; leave --place out"))
    seen = digest_on_disk(args.file)
    outlook = outlook_for(args)
    conflicts = successions(outlook)
    if args.choose is not None:
        way = _chosen(conflicts, args.choose)
        changed = way.apply(outlook.yard)
        save_yard(args.file, changed, seen=seen)
        say(f"{args.file}: {way.title}")
        outlook = outlook.with_(yard=changed)
        conflicts = successions(outlook)
    report = season_report(outlook)
    if args.format == "json":
        put_json(_object(report, conflicts))
    else:
        put("\n".join(_lines(report, conflicts, outlook.cultivar_of)))
    return 1 if conflicts else 0


def _chosen(conflicts: tuple[Conflict, ...], text: str) -> Choice:
    """The way out that `N:WAY` names. Raises UsageError."""
    from bloomline.errors import UsageError

    number, _, key = text.partition(":")
    if not number.isdecimal() or not 1 <= int(number) <= len(conflicts):
        many = (
            tr("1 to {count}", count=len(conflicts))
            if conflicts
            else tr("none, there is no conflict")
        )
        raise UsageError(
            tr("--choose “{text}”: the conflicts are {many_words}", text=text, many_words=many)
        )
    conflict = conflicts[int(number) - 1]
    for way in conflict.choices:
        if way.key == key:
            if not way.available:
                raise UsageError(
                    tr(
                        "--choose “{text}” can't be taken: {why_not}",
                        text=text,
                        why_not=way.why_not,
                    )
                )
            return way
    keys = ", ".join(way.key for way in conflict.choices)
    raise UsageError(tr("--choose “{text}”: the ways out are {keys}", text=text, keys=keys))


def _lines(
    report: SeasonReport, conflicts: tuple[Conflict, ...], cultivar_of: CultivarOf
) -> list[str]:
    lines = [
        tr(
            "{yard_name}, season {season_year}; {place_label}",
            yard_name=report.yard_name,
            season_year=report.season_year,
            place_label=report.place_label,
        )
    ]
    rows: list[tuple[object, ...]] = []
    sizes: list[tuple[str, int]] = []
    for pot in report.pots:
        mine = _rows(pot, cultivar_of)
        sizes.append((pot.name, len(mine)))
        rows += mine
    body = iter(table((tr("planted"), tr("what"), tr("in flower"), tr("free")), rows))
    lines += ["", next(body), next(body)]
    for name, size in sizes:
        lines += ["", *wrapped(name)]
        lines += islice(body, size) if size else [tr("  empty")]
    for number, conflict in enumerate(conflicts, start=1):
        lines += ["", *wrapped(f"{number}. {conflict.pot_name}: {conflict.words}")]
        for way in conflict.choices:
            words = (
                way.words if way.available else tr("not possible: {why_not}", why_not=way.why_not)
            )
            lines += wrapped(f"{way.key}: {way.title}. {words}", indent="   ")
    if not conflicts:
        lines += ["", tr("Every planting finds its pot free.")]
    return lines


def _rows(pot: PotForecast, cultivar_of: CultivarOf) -> list[tuple[object, ...]]:
    """What stands in a pot, in the order of planting."""
    from bloomline.plan.carry.collision import free_band

    found: list[tuple[date, tuple[object, ...]]] = []
    for layer in pot.layers:
        flowers = tr("no flower")
        if layer.start is not None and layer.end is not None:
            flowers = tr(
                "{start} to {end}",
                start=short_day_words(layer.start.p50),
                end=short_day_words(layer.end.p50),
            )
        over = free_band(layer, cultivar_of(layer.cultivar_id))
        free = short_day_words(over.p50, year=True) if over is not None else ""
        found.append((layer.planted, (layer.planted, shorten(layer.name, 44), flowers, free)))
    for each in pot.companions:
        season = tr("not this season")
        if each.first is not None and each.last is not None:
            year = "" if each.first.year == each.last.year else f" {each.last.year}"
            season = tr(
                "{first} to {last}{year}",
                first=short_day_words(each.first),
                last=short_day_words(each.last),
                year=year,
            )
            if each.goes_on:
                season = tr("{first} on", first=short_day_words(each.first, year=True))
        what = tr(
            "{count} × {name}, on top, by date", count=each.count, name=shorten(each.name, 28)
        )
        found.append((each.planted, (each.planted, what, season, "")))
    return [row for _, row in sorted(found, key=lambda pair: pair[0])]


def _object(report: SeasonReport, conflicts: tuple[Conflict, ...]) -> dict[str, Any]:
    return {
        "yard": report.yard_name,
        "season_year": report.season_year,
        "pots": (
            {
                "id": pot.pot_id,
                "name": pot.name,
                "layers": [
                    {
                        "layer_id": layer.layer_id,
                        "cultivar": layer.name,
                        "planted": layer.planted.isoformat(),
                        "start": band_object(layer.start),
                        "end": band_object(layer.end),
                        "leaves_over": band_object(layer.leaves_over),
                    }
                    for layer in pot.layers
                ],
                "companions": companion_objects(pot),
            }
            for pot in report.pots
        ),
        "conflicts": [
            {
                "number": number,
                "pot_id": each.pot_id,
                "kind": each.kind,
                "new_ids": list(each.new_ids),
                "blocking_ids": list(each.blocking_ids),
                "due": each.due.isoformat(),
                "free": band_object(each.free),
                "words": each.words,
                "choices": [
                    {
                        "way": way.key,
                        "title": way.title,
                        "words": way.words,
                        "available": way.available,
                        "why_not": way.why_not or None,
                    }
                    for way in each.choices
                ],
            }
            for number, each in enumerate(conflicts, start=1)
        ],
    }


def companion_objects(pot: PotForecast) -> list[dict[str, Any]]:
    """The companions of a pot for JSON."""
    return [
        {
            "planting_id": each.planting_id,
            "companion_id": each.companion_id,
            "name": each.name,
            "count": each.count,
            "planted": each.planted.isoformat(),
            "first": each.first.isoformat() if each.first else None,
            "last": each.last.isoformat() if each.last else None,
            "season_by": "date",
            "killed_share": round(each.killed_share, 3),
        }
        for each in pot.companions
    ]
