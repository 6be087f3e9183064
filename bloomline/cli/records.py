"""`bloomline records`: what was seen, against the forecast, and what the yard learns from it."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bloomline.cli.options import (
    add_catalogue,
    add_command,
    add_format,
    add_today,
    add_weather,
    day,
    today_of,
)
from bloomline.cli.output import put, put_csv, put_json, say, shorten, table, wrapped
from bloomline.words import marked, plural, tr

if TYPE_CHECKING:
    from bloomline.model.cultivar import Cultivar
    from bloomline.model.yard import Yard
    from bloomline.plan.records.facts import Fact, FactRow
    from bloomline.plan.records.learning import Learned

_EPILOG = marked("""\
examples:
  bloomline records yard.bloomline
  bloomline records yard.bloomline --add layer-3 --seen first-flower --day 2027-03-02
  bloomline records yard.bloomline --import seen.csv

Exit codes: 0 done, 1 some entries are questioned or can't be read, 2 bad use, 3 bad input.
""")
_SEEN = ("nose", "first-flower", "full", "over")
_CSV_COLUMNS = (
    "record_id",
    "day",
    "season_year",
    "layer_id",
    "pot",
    "cultivar",
    "seen",
    "expected",
    "p10",
    "p90",
    "residual_days",
    "question",
    "teaches",
    "note",
    "photo",
)


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "records",
        usage="FILE [options]",
        short=tr("what was seen, against the forecast, and what the yard learns from it"),
        about=tr(
            "Show the records of a yard against the forecasts for their seasons, "
            "and the yard's own offset that follows from them. An entry that can "
            "hardly be right is questioned, and left out until it is confirmed; "
            "one that no weather year here brings teaches nothing even then."
        ),
        epilog=tr(_EPILOG),
    )
    parser.add_argument("file", type=Path, metavar="FILE", help=tr("a yard file (.bloomline)"))
    parser.add_argument(
        "--add", metavar="LAYER", help=tr("note what was seen of a layer, by its id")
    )
    parser.add_argument("--seen", choices=_SEEN, help=tr("what was seen (with --add)"))
    parser.add_argument("--day", type=day, help=tr("when it was seen (with --add; today)"))
    parser.add_argument("--note", default="", help=tr("a note (with --add)"))
    parser.add_argument("--photo", metavar="FILE", help=tr("where a photo lies (with --add)"))
    parser.add_argument(
        "--confirm",
        metavar="RECORD",
        action="append",
        default=[],
        help=tr("say that a questioned entry is right, by its id"),
    )
    parser.add_argument(
        "--import",
        dest="table",
        type=Path,
        metavar="FILE.csv",
        help=tr("take records from a table with day,layer_id,seen"),
    )
    parser.add_argument(
        "--export", type=Path, metavar="FILE.csv", help=tr("write all records as a table, and stop")
    )
    add_weather(parser)
    add_catalogue(parser)
    add_today(parser)
    add_format(parser, "table", "json", "csv")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Show, add, import or export records; 1 when some are questioned or can't be read."""
    from bloomline.cli.yard import outlook_on
    from bloomline.files.locking import locked
    from bloomline.files.records_csv import write_records
    from bloomline.files.yardfile import load_yard, save_yard
    from bloomline.plan.season.solve import learned_of

    _refuse_odd_use(args)
    # Two that add at once wait for each other; who only looks waits for nobody.
    adds = args.add is not None or args.table is not None or bool(args.confirm)
    with locked(args.file) if adds else nullcontext():
        loaded = load_yard(args.file)
        outlook = outlook_on(args, loaded.yard)
        cultivar_of = outlook.cultivar_of
        yard, n_bad = _changed(loaded.yard, args, cultivar_of)
        if yard is not loaded.yard:
            save_yard(args.file, yard, seen=loaded.digest)
    if args.export is not None:
        write_records(args.export, yard, name_of=lambda name: cultivar_of(name).name)
        count = len(yard.records)
        say(
            plural(
                "{n} record written to {export}",
                "{n} records written to {export}",
                count,
                export=args.export,
            )
        )
        return 1 if n_bad else 0
    learned = learned_of(outlook.with_(yard=yard))
    if args.format == "json":
        put_json(records_object(yard, learned))
    elif args.format == "csv":
        put_csv(_CSV_COLUMNS, [_record_object(fact, _asked(learned)) for fact in learned.facts])
    else:
        for line in records_lines(yard, learned):
            put(line)
    return 1 if n_bad or learned.questions else 0


def _refuse_odd_use(args: argparse.Namespace) -> None:
    from bloomline.errors import UsageError

    if args.add is not None and args.seen is None:
        raise UsageError(tr("--add needs --seen, one of {seen}", seen=", ".join(_SEEN)))
    if args.add is None and (args.seen or args.day or args.note or args.photo):
        raise UsageError(tr("--seen, --day, --note and --photo go with --add LAYER"))


def _changed(
    yard: Yard, args: argparse.Namespace, cultivar_of: Callable[[str], Cultivar]
) -> tuple[Yard, int]:
    """The yard with what was added, taken in and confirmed, and how many rows were none."""
    from pydantic import ValidationError

    from bloomline.errors import UsageError
    from bloomline.files.records_csv import read_records
    from bloomline.model.edits import add_record, next_id
    from bloomline.model.problems import describe
    from bloomline.model.record_edits import add_records, confirm_records
    from bloomline.model.yard import Record
    from bloomline.plan.records.naming import kind_finder

    n_bad = 0
    if args.add is not None:
        yard.layer(args.add)
        try:
            record = Record(
                id=next_id(yard, "record"),
                day=args.day or today_of(args),
                layer_id=args.add,
                seen=args.seen,
                note=args.note,
                photo=args.photo,
            )
        except ValidationError as error:
            raise UsageError("; ".join(describe(error)[:3])) from None
        yard = add_record(yard, record)
    if args.table is not None:
        read = read_records(
            args.table,
            yard,
            name_of=lambda name: cultivar_of(name).name,
            kind_of=kind_finder(yard, cultivar_of=cultivar_of),
        )
        for words in read.warnings:
            say(f"{args.table}: {words}")
        for row in read.bad:
            say(
                tr(
                    "{table}: line {line}: {problem}",
                    table=args.table,
                    line=row.line,
                    problem=row.problem,
                )
            )
        yard = add_records(yard, [record for _, record in read.records])
        taken, bad = len(read.records), len(read.bad)
        words = tr(
            "{records} taken in, {rows}",
            records=plural("{n} record", "{n} records", taken),
            rows=plural("{n} row", "{n} rows", bad),
        )
        say(tr("{words} can't be read", words=words))
        n_bad = len(read.bad)
    return confirm_records(yard, args.confirm), n_bad


def _asked(learned: Learned) -> dict[str, str]:
    return {each.record.id: each.words for each in learned.questions}


def _record_object(fact: Fact, asked: dict[str, str]) -> dict[str, Any]:
    def text(value: Any) -> str | None:
        return None if value is None else value.isoformat()

    return {
        "record_id": fact.record.id,
        "day": fact.record.day.isoformat(),
        "season_year": fact.season_year,
        "layer_id": fact.record.layer_id,
        "pot": fact.pot.name,
        "cultivar": fact.cultivar.name,
        "seen": fact.record.seen,
        "expected": text(fact.expected),
        "p10": text(fact.p10),
        "p90": text(fact.p90),
        "residual_days": None if fact.expected is None else round(fact.residual_days, 1),
        "question": asked.get(fact.record.id),
        "teaches": fact.is_usable and fact.record.id not in asked,
        "note": fact.record.note,
        "photo": fact.record.photo,
    }


def records_object(yard: Yard, learned: Learned) -> dict[str, Any]:
    """Records and what they teach, for JSON."""
    from bloomline.plan.records.stages import PRIOR_SD_DAYS

    asked = _asked(learned)
    return {
        "yard": yard.name,
        "forecasts_hold_offset": False,
        "offset": {
            "without_records_days": 0.0,
            "without_records_sd_days": PRIOR_SD_DAYS,
            "days": round(learned.offset_days, 2),
            "sd_days": round(learned.sd_days, 2),
            "records": learned.n_records,
            "by_site": {
                site: {"days": round(days, 2), "sd_days": round(sd, 2)}
                for site, (days, sd) in learned.by_site.items()
            },
        },
        "older_left_out": learned.n_older,
        "elsewhere_left_out": learned.n_elsewhere,
        "records": [_record_object(fact, asked) for fact in learned.facts],
        "by_year": [_row_object(row) for row in _rows(learned, by_year=True)],
        "by_kind": [_row_object(row) for row in _rows(learned, by_year=False)],
    }


def _rows(learned: Learned, *, by_year: bool) -> list[FactRow]:
    from bloomline.plan.records.facts import against_facts

    if by_year:
        return against_facts(learned.counted, by=lambda fact: str(fact.season_year))
    return against_facts(learned.counted, by=lambda fact: fact.cultivar.common_type)


def _row_object(row: FactRow) -> dict[str, Any]:
    return {
        "name": row.name,
        "records": row.n,
        "bias_days": round(row.bias_days, 1),
        "error_days": round(row.error_days, 1),
        "inside_share": round(row.inside_share, 3),
    }


def records_lines(yard: Yard, learned: Learned) -> list[str]:
    """Records and what they teach, as text for a page 100 columns wide."""
    lines = [
        plural(
            "{yard_name}: {n} record",
            "{yard_name}: {n} records",
            len(yard.records),
            yard_name=yard.name,
        )
    ]
    if not yard.records:
        return [*lines, "", tr("Nothing was noted yet; add what you see with --add LAYER --seen …")]
    asked = _asked(learned)
    untaught = {fact.record.id: fact.problem for fact in learned.untaught}
    rows = [
        (
            fact.record.id,
            fact.record.day,
            shorten(fact.cultivar.name, 30),
            fact.record.seen,
            fact.expected or tr("no flower"),
            "" if fact.expected is None else f"{fact.residual_days:+.0f}",
            "?" if fact.record.id in asked else "–" if fact.record.id in untaught else "",
        )
        for fact in learned.facts
    ]
    columns = (
        tr("record"),
        tr("seen on"),
        tr("cultivar"),
        tr("what"),
        tr("forecast"),
        tr("days"),
        "",
    )
    lines += ["", *table(columns, rows, right=(5,))]
    lines.append(tr("Forecasts here and days off them are without the yard's own offset."))
    if learned.n_older:
        lines.append(
            plural(
                "{n} older record is kept and no longer counted.",
                "{n} older records are kept and no longer counted.",
                learned.n_older,
            )
        )
    if learned.n_elsewhere:
        lines.append(
            plural(
                "{n} record of another place is kept and not counted.",
                "{n} records of another place are kept and not counted.",
                learned.n_elsewhere,
            )
        )
    if asked:
        lines += [
            "",
            tr("Questioned, and left out until confirmed (--confirm RECORD) or corrected:"),
        ]
        for name, words in asked.items():
            lines += wrapped(f"{name}: {words}", indent="  ")
    if untaught:
        lines += [
            "",
            tr("Confirmed and kept, and nothing is learned from them, for they can't be here:"),
        ]
        for name, words in untaught.items():
            lines += wrapped(f"{name}: {words}", indent="  ")
    return lines + _lesson(learned)


def _lesson(learned: Learned) -> list[str]:
    from bloomline.plan.records.stages import PRIOR_SD_DAYS

    rows = [
        (tr("without records"), "+0.0", f"{PRIOR_SD_DAYS:.1f}", 0),
        (
            tr("with records"),
            f"{learned.offset_days:+.1f}",
            f"{learned.sd_days:.1f}",
            learned.n_records,
        ),
        *(
            (tr("  at site {site}", site=site), f"{days:+.1f}", f"{sd:.1f}", "")
            for site, (days, sd) in sorted(learned.by_site.items())
        ),
    ]
    columns = (tr("yard's own offset"), tr("days"), tr("give or take"), tr("records"))
    lines = ["", *table(columns, rows, right=(1, 2, 3))]
    if learned.n_records:
        figures = [
            (
                row.name,
                row.n,
                f"{row.bias_days:+.1f}",
                f"{row.error_days:.1f}",
                f"{100 * row.inside_share:.0f} %",
            )
            for by_year in (True, False)
            for row in _rows(learned, by_year=by_year)
        ]
        heads = (
            tr("forecast against fact"),
            tr("records"),
            tr("bias"),
            tr("error"),
            tr("inside 8 years of 10"),
        )
        lines += ["", *table(heads, figures, right=(1, 2, 3, 4))]
        lines += [tr("Days; bias is seen less forecast, without the offset. Noses are left out.")]
    return lines
