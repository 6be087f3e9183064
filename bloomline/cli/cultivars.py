"""`bloomline cultivars`: what one can plant, and when it would flower here."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from bloomline.cli.options import (
    add_catalogue,
    add_command,
    add_format,
    add_today,
    catalogue_of,
    number,
    today_of,
)
from bloomline.cli.output import band_object, put, put_csv, put_json, say, shorten, table
from bloomline.cli.where import add_country, garden_meant
from bloomline.words import marked, short_day_words, short_month_words, tr

if TYPE_CHECKING:
    from collections.abc import Sequence

    from bloomline.model.cultivar import Cultivar
    from bloomline.plan.climate.garden import Garden
    from bloomline.plan.forecast.one_planting import Forecast

_EPILOG = marked("""\
examples:
  bloomline cultivars daffodil --height-max 25
  bloomline cultivars --colour white --scent --month 4
  bloomline cultivars --type tulip --pet-safe
  bloomline cultivars crocus --place Uppsala
  bloomline cultivars "scented tulip under 40 cm"
  bloomline cultivars "white april"
""")
_SCENT = ("", marked("light"), marked("strong"))
_HARM = (marked("none known"), marked("irritant"), marked("severe"))


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "cultivars",
        usage="[TEXT] [options]",
        short=tr("the bulbs one can plant"),
        about=tr(
            "List cultivars by words in any order, of their names and of what they are like: "
            "kind, colour, scented, a month, a height. The month is the one they flower in near "
            "London, unless a place is named."
        ),
        epilog=tr(_EPILOG),
    )
    parser.add_argument(
        "text",
        nargs="?",
        default="",
        metavar="TEXT",
        help=tr("words of the name, or of what it is like"),
    )
    parser.add_argument("--type", metavar="KIND", help=tr("tulip, daffodil, crocus, …"))
    parser.add_argument("--colour", help=tr("a word of the colour"))
    parser.add_argument("--scent", action="store_true", help=tr("only scented ones"))
    parser.add_argument("--height-max", type=number, metavar="CM", help=tr("not taller than"))
    parser.add_argument("--month", type=_month, metavar="1-12", help=tr("in flower in this month"))
    parser.add_argument(
        "--pet-safe", action="store_true", help=tr("only those without known harm to cats and dogs")
    )
    parser.add_argument(
        "--place",
        metavar="NAME|ID",
        help=tr("show when they flower there, planted on the usual day"),
    )
    add_country(parser)
    parser.add_argument("--elevation", type=number, metavar="M", help=tr("height of that place"))
    parser.add_argument(
        "--where",
        choices=("pot", "ground"),
        default="pot",
        help=tr("in a pot or in the ground (pot)"),
    )
    add_catalogue(parser)
    add_format(parser, "table", "json", "csv")
    add_today(parser)
    parser.set_defaults(run=run)


def _month(text: str) -> int:
    if text.isdecimal() and 1 <= int(text) <= 12:
        return int(text)
    raise argparse.ArgumentTypeError(tr("“{text}” is not a month from 1 to 12", text=text))


def run(args: argparse.Namespace) -> int:
    """List cultivars; 1 when there is none."""
    from bloomline.errors import UsageError
    from bloomline.plan.season.kinds_asked import find_kinds
    from bloomline.reference.catalogue import months_near_london

    if args.elevation is not None and args.place is None:
        raise UsageError(tr("--elevation goes with --place"))
    if args.country is not None and args.place is None:
        raise UsageError(tr("--country goes with --place"))
    here = args.place is not None
    kinds = catalogue_of(args)
    passing = kinds.search(
        common_type=args.type,
        colour=args.colour,
        scent_min=1 if args.scent else None,
        height_max_cm=args.height_max,
        month=None if here else args.month,
        pet_safe=True if args.pet_safe else None,
    )
    asked = find_kinds(kinds, args.text, months_of=_unknown_months if here else months_near_london)
    found = [cultivar for cultivar in passing if cultivar.id in asked.ranks]
    answers: dict[str, Forecast] = {}
    if here:
        garden = garden_meant(args.place, country=args.country, elevation_m=args.elevation)
        forecasts = _forecasts(found, garden, args)
        answers = {each.id: answer for each, answer in zip(found, forecasts, strict=True)}
        asked = find_kinds(
            kinds,
            args.text,
            months_of=lambda each: _months(answers[each.id]) if each.id in answers else (),
        )
    pairs: list[tuple[Cultivar, Forecast | None]] = [
        (cultivar, answers.get(cultivar.id))
        for cultivar in found
        if cultivar.id in asked.ranks
        and (not here or args.month is None or args.month in _months(answers[cultivar.id]))
    ]
    pairs.sort(key=lambda pair: asked.ranks[pair[0].id])
    if args.format == "table":
        for line in _lines(pairs, here=here) if pairs else ():
            put(line)
    elif args.format == "json":
        put_json([_object(cultivar, answer, here=here) for cultivar, answer in pairs])
    else:
        rows = [_flat(cultivar, answer) for cultivar, answer in pairs]
        put_csv(_columns(here=here), rows)
    if not pairs:
        near = ", ".join(kinds.get(name).name for name in asked.near)
        say(
            tr("no cultivar is like that; did you mean {near}?", near=near)
            if near
            else tr("no cultivar is like that")
        )
        return 1
    return 0


def _forecasts(
    cultivars: Sequence[Cultivar], garden: Garden, args: argparse.Namespace
) -> list[Forecast]:
    from bloomline.plan.climate.surroundings import Standing
    from bloomline.plan.forecast.forecaster import Forecaster
    from bloomline.plan.forecast.one_planting import Request, forecast_many

    standing = Standing(where=args.where)
    requests = [
        Request(id=each.id, garden=garden, cultivar=each, standing=standing) for each in cultivars
    ]
    return forecast_many(requests, forecaster=Forecaster(), today=today_of(args))


def _months(answer: Forecast) -> frozenset[int]:
    from bloomline.plan.season.shelf import months_of

    return months_of(answer.start, answer.end)


def _unknown_months(_cultivar: Cultivar) -> None:
    """They are not known before the forecast."""


def _plain(cultivar: Cultivar) -> dict[str, Any]:
    return {
        "id": cultivar.id,
        "name": cultivar.name,
        "type": cultivar.common_type,
        "group": cultivar.group,
        "colour": cultivar.colour,
        "height_cm": cultivar.height_cm,
        "scent": cultivar.scent,
        "toxic_pets": cultivar.toxic_pets,
        "season_planted": cultivar.season_planted,
        "ref_start": str(cultivar.ref_start),
        "ref_end": str(cultivar.ref_end),
        "chill_weeks_min": cultivar.chill_weeks_min,
    }


def _object(cultivar: Cultivar, answer: Forecast | None, *, here: bool) -> dict[str, Any]:
    found = {**_plain(cultivar), "synonyms": list(cultivar.synonyms)}
    if here and answer is not None:
        found["planted"] = answer.planted.isoformat()
        found["start"] = band_object(answer.start)
        found["end"] = band_object(answer.end)
        found["reason"] = answer.reason
    return found


def _columns(*, here: bool) -> list[str]:
    columns = [
        *("id", "name", "type", "group", "colour", "height_cm", "scent", "toxic_pets"),
        *("season_planted", "ref_start", "ref_end", "chill_weeks_min", "synonyms"),
    ]
    if here:
        columns += ["planted", "start_p10", "start_p50", "start_p90", "end_p50", "reason"]
    return columns


def _flat(cultivar: Cultivar, answer: Forecast | None) -> dict[str, Any]:
    row = {**_plain(cultivar), "synonyms": "; ".join(cultivar.synonyms)}
    if answer is not None:
        row["planted"] = answer.planted
        row["reason"] = answer.reason
        if answer.start is not None and answer.end is not None:
            row |= {f"start_{point}": getattr(answer.start, point) for point in ("p10", "p50")}
            row["start_p90"] = answer.start.p90
            row["end_p50"] = answer.end.p50
    return row


def _lines(pairs: Sequence[tuple[Cultivar, Forecast | None]], *, here: bool) -> list[str]:
    rows: list[tuple[object, ...]] = []
    for cultivar, answer in pairs:
        window = f"{_day(cultivar.ref_start)} – {_day(cultivar.ref_end)}"
        if here and answer is not None:
            window = _why_none(answer)
            if answer.start is not None and answer.end is not None:
                window = f"{short_day_words(answer.start.p50)} – {short_day_words(answer.end.p50)}"
        rows.append(
            (
                shorten(cultivar.name, 37),
                shorten(tr(cultivar.colour), 18),
                f"{cultivar.height_cm:.0f}",
                window,
                tr(_SCENT[cultivar.scent]),
                tr(_HARM[cultivar.toxic_pets]),
            )
        )
    when = tr("in flower here") if here else tr("near London")
    columns = (tr("cultivar"), tr("colour"), tr("cm"), when, tr("scent"), tr("harm to pets"))
    return table(columns, rows, right=(2,))


def _why_none(answer: Forecast) -> str:
    words = {"frost": tr("too frosty"), "cold": tr("too little cold"), "late": tr("too late")}
    return words[answer.cause or "late"]


def _day(day: object) -> str:
    month, of_month = (int(part) for part in str(day).split("-"))
    return f"{of_month:02d} {short_month_words(month)}"
