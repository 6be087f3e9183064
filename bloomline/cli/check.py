"""`bloomline check`: reads a yard as a critical neighbour would."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from bloomline.cli.options import add_command, add_format, catalogue_of
from bloomline.cli.output import put, put_csv, put_json, wrapped
from bloomline.cli.yard import add_yard, garden_of_place, report_for

if TYPE_CHECKING:
    from bloomline.model.advice import Advice
    from bloomline.model.yard import Yard
    from bloomline.plan.forecast.report import SeasonReport, Stretch

_EPILOG = """\
example:
  bloomline check yard.bloomline

Exit codes: 0 nothing to mend, 1 something found, 3 the file can't be read as a yard.
"""
_RANK = ("warning", "caution", "note")
_COLUMNS = ("severity", "topic", "pot", "layer_id", "cultivar", "message")


@dataclass(frozen=True, slots=True)
class _Finding:
    severity: str
    topic: str
    message: str
    pot: str = ""
    layer_id: str = ""
    cultivar: str = ""


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "check",
        usage="FILE [options]",
        short="look for what is wrong or risky in a yard",
        about="Check a yard file, and list layers that won't flower, frost, want of cold, "
        "bare and crowded stretches and other advice.",
        epilog=_EPILOG,
    )
    add_yard(parser)
    add_format(parser, "table", "json", "csv")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """List findings; 1 when there is one that asks for a change."""
    yard, report = report_for(args)
    found = [*_findings(yard, report), *_succession(yard, report, args)]
    findings = sorted(found, key=lambda each: _RANK.index(each.severity))
    rows = [{name: getattr(each, name) for name in _COLUMNS} for each in findings]
    if args.format == "json":
        put_json(rows)
    elif args.format == "csv":
        put_csv(_COLUMNS, rows)
    else:
        for line in _lines(report, findings):
            put(line)
    return 1 if any(each.severity != "note" for each in findings) else 0


def _findings(yard: Yard, report: SeasonReport) -> list[_Finding]:
    from bloomline.plan.season.words import bare_words

    found = [_Finding(str(a.severity), a.topic, a.message) for a in report.advice]
    names = {layer.layer_id: layer.name for layer in report.layers}
    for pot in report.pots:
        for layer in pot.layers:
            where = {"pot": pot.name, "layer_id": layer.layer_id, "cultivar": layer.name}
            if layer.reason is not None:
                found.append(
                    _Finding(
                        "note" if layer.after_season else "warning",
                        "flower",
                        f"{layer.reason}.",
                        **where,
                    )
                )
            found += [
                _Finding(_severity(a, yard), a.topic, a.message, **where) for a in layer.advice
            ]
        for clash in pot.clashes:
            pair = " and ".join(names.get(each, each) for each in clash.layer_ids)
            found.append(
                _Finding(
                    "caution",
                    "clash",
                    f"{pair} flower together from {clash.first} to {clash.last}, "
                    f"{_days(clash)}; they are meant to follow one another.",
                    pot=pot.name,
                )
            )
    bare = bare_words(report)
    if bare:
        found.append(_Finding("note", "bare", f"Counted year by year, {bare}."))
    found += [
        _Finding(
            "caution",
            "bare",
            f"Bare from {each.first} to {each.last}, {_days(each)}: the chance of any colour "
            f"is below {100 * report.bare_threshold:.0f} %.",
        )
        for each in report.bare
    ]
    for each in report.crowded:
        who = ", ".join(dict.fromkeys(names.get(i, i) for i in each.layer_ids))
        found.append(
            _Finding(
                "caution",
                "crowded",
                f"Crowded from {each.first} to {each.last}, {_days(each)}: more than "
                f"{report.crowd_limit} layers in flower ({who}).",
            )
        )
    return found


def _days(stretch: Stretch) -> str:
    return f"{stretch.days} {'day' if stretch.days == 1 else 'days'}"


def _succession(yard: Yard, report: SeasonReport, args: argparse.Namespace) -> Iterator[_Finding]:
    """Plantings that collide, and what is to be said of companions on top."""
    from functools import partial

    from bloomline.plan.carry.succession import successions
    from bloomline.plan.season.solve import find_cultivar
    from bloomline.plan.tops.stand import fullest_share

    garden = garden_of_place(args)
    cultivar_of = partial(find_cultivar, yard, catalogue=catalogue_of(args))
    for conflict in successions(yard, report, cultivar_of=cultivar_of, garden=garden):
        yield _Finding("caution", "succession", conflict.words, pot=conflict.pot_name)
    for shown, pot in zip(report.pots, yard.pots, strict=True):
        for each in shown.companions:
            for advice in each.advice:
                yield _Finding(
                    _severity(advice, yard),
                    advice.topic,
                    advice.message,
                    pot=pot.name,
                    cultivar=each.name,
                )
        share = fullest_share(pot, southern=yard.place.latitude_deg < 0)
        if share > 1.0:
            yield _Finding(
                "caution",
                "crowding",
                f"Companions on top would take {100 * share:.0f} % of the surface at their usual "
                "spacing; plant fewer.",
                pot=pot.name,
            )


def _severity(advice: Advice, yard: Yard) -> str:
    """Poison is something to know, not to mend, where the yard has no pets."""
    if advice.topic == "poison" and not yard.settings.pets:
        return "note"
    return str(advice.severity)


def _lines(report: SeasonReport, findings: list[_Finding]) -> list[str]:
    layers = len(report.layers)
    lines = [
        f"{report.yard_name}, season {report.season_year}: {len(report.pots)} "
        f"pot{'s' * (len(report.pots) != 1)}, {layers} layer{'s' * (layers != 1)}"
    ]
    merged: dict[tuple[str, str], list[str]] = {}
    for each in findings:
        about = f"{each.cultivar} in {each.pot}" if each.cultivar else each.pot
        merged.setdefault((each.severity, each.message), []).append(about)
    for (severity, message), abouts in merged.items():
        who = "; ".join(dict.fromkeys(about for about in abouts if about))
        lines += wrapped(f"{severity.capitalize()}{', ' + who if who else ''}: {message}")
    if all(each.severity == "note" for each in findings):
        lines.append("Nothing to mend.")
    return lines
