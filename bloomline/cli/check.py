"""`bloomline check`: reads a yard as a critical neighbour would."""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping
from functools import lru_cache
from itertools import starmap
from typing import TYPE_CHECKING, Any, NamedTuple

from bloomline.cli.options import add_command, add_format
from bloomline.cli.output import put, put_csv, put_json, wrapped
from bloomline.cli.yard import add_yard, outlook_for
from bloomline.words import marked, plural, tr

if TYPE_CHECKING:
    from datetime import date

    from bloomline.model.advice import Advice
    from bloomline.model.mending import FieldChange
    from bloomline.model.yard import Yard
    from bloomline.plan.forecast.report import SeasonReport
    from bloomline.plan.pot.finding import PotFinding
    from bloomline.plan.season.outlook import Outlook

_EPILOG = marked("""\
example:
  bloomline check yard.bloomline

Exit codes: 0 nothing to mend, 1 something found, 3 the file can't be read as a yard.
""")
_RANK = ("warning", "caution", "note")
_COLUMNS = ("severity", "topic", "code", "pot", "layer_id", "cultivar", "message", "mending")


class _Finding(NamedTuple):
    severity: str
    topic: str
    message: str
    pot: str = ""
    layer_id: str = ""
    cultivar: str = ""
    code: str = ""
    finding: PotFinding | None = None

    @property
    def mending(self) -> str:
        """The one change that mends it, in words."""
        found = self.finding.said.mending if self.finding is not None else None
        return "" if found is None else found.words


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "check",
        usage="FILE [options]",
        short=tr("look for what is wrong or risky in a yard"),
        about=tr(
            "Check a yard file, and list layers that won't flower, frost, want of "
            "cold, bulbs that don't fit, lie wrong or can't be planted in that "
            "order, with the one change that mends it, bare and crowded stretches "
            "and other advice."
        ),
        epilog=tr(_EPILOG),
    )
    add_yard(parser)
    add_format(parser, "table", "json", "csv")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """List findings; 1 when there is one that asks for a change."""
    from bloomline.plan.season.yard import season_report

    outlook = outlook_for(args)
    report = season_report(outlook)
    names = {layer.layer_id: layer.name for layer in report.layers}
    found = [
        *_findings(outlook.yard, report, names),
        *_wishes(outlook),
        *_in_pots(outlook, report, names),
        *_succession(outlook),
    ]
    findings = sorted(found, key=lambda each: _RANK.index(each.severity))
    if args.format == "json":
        put_json({**_row(each), **_figures(each)} for each in findings)
    elif args.format == "csv":
        put_csv(_COLUMNS, map(_row, findings))
    else:
        for line in _lines(report, findings):
            put(line)
    return 1 if any(each.severity != "note" for each in findings) else 0


def _row(each: _Finding) -> dict[str, Any]:
    return {
        "severity": each.severity,
        "topic": each.topic,
        "code": each.code,
        "pot": each.pot,
        "layer_id": each.layer_id,
        "cultivar": each.cultivar,
        "message": each.message,
        "mending": each.mending,
    }


def _findings(yard: Yard, report: SeasonReport, names: Mapping[str, str]) -> list[_Finding]:
    from bloomline.plan.season.words import bare_words

    found = [_Finding(str(a.severity), a.topic, a.message) for a in report.advice]
    together = lru_cache(maxsize=None)(_together)  # many pots of a nursery are alike
    for pot in report.pots:
        for layer in pot.layers:
            where = (pot.name, layer.layer_id, layer.name)
            if layer.reason is not None:
                severity = "note" if layer.after_season else "warning"
                found.append(_Finding(severity, "flower", f"{layer.reason}.", *where))
            found += [
                _Finding(_severity(a, yard), a.topic, a.message, *where) for a in layer.advice
            ]
        for clash in pot.clashes:
            pair = tr(" and ").join(names.get(each, each) for each in clash.layer_ids)
            words = together(pair, clash.first, clash.last, clash.days)
            found.append(_Finding("caution", "clash", words, pot=pot.name))
    bare = bare_words(report)
    if bare:
        found.append(_Finding("note", "bare", tr("Counted year by year, {bare}.", bare=bare)))
    found += [
        _Finding(
            "caution",
            "bare",
            tr(
                "Bare from {first} to {last}, {days}: the chance of any colour is "
                "below {bare_threshold:.0f} %.",
                first=each.first,
                last=each.last,
                days=_days(each.days),
                bare_threshold=100 * report.bare_threshold,
            ),
        )
        for each in report.bare
    ]
    for each in report.crowded:
        who = ", ".join(dict.fromkeys(names.get(i, i) for i in each.layer_ids))
        found.append(
            _Finding(
                "caution",
                "crowded",
                tr(
                    "Crowded from {first} to {last}, {days}: more than "
                    "{crowd_limit} layers in flower ({who}).",
                    first=each.first,
                    last=each.last,
                    days=_days(each.days),
                    crowd_limit=report.crowd_limit,
                    who=who,
                ),
            )
        )
    return found


def _together(pair: str, first: date, last: date, days: int) -> str:
    return tr(
        "{pair} flower together from {first} to {last}, {days}; "
        "they are meant to follow one another.",
        pair=pair,
        first=first,
        last=last,
        days=_days(days),
    )


def _wishes(outlook: Outlook) -> Iterator[_Finding]:
    """What is wished of every season, kept or missed."""
    if not outlook.yard.wishes:
        return  # and the planner, which would tell, need not be loaded
    from bloomline.plan.fill.targets import targets

    for each in targets(outlook):
        severity = "note" if each.is_kept else "caution"
        yield _Finding(severity, "wish", f"{each.words()}.")


def _in_pots(
    outlook: Outlook, report: SeasonReport, names: Mapping[str, str]
) -> Iterator[_Finding]:
    """What does not fit in a pot, lies wrong, or can't be planted in that order."""
    from bloomline.plan.pot.findings import findings_of
    from bloomline.plan.season.advice import flowering_days

    days = flowering_days(report)
    pots = outlook.yard.pots
    found = findings_of(pots, cultivar_of=outlook.cultivar_of, flowering_days=days)
    for pot, findings in zip(pots, found, strict=True):
        for each in findings:
            said, layer_id = each.said, each.layer_ids[0] if each.layer_ids else ""
            yield _Finding(
                str(said.severity),
                said.topic,
                said.message,
                pot.name,
                layer_id,
                names.get(layer_id, ""),
                each.code,
                each,
            )


def _figures(each: _Finding) -> dict[str, Any]:
    """Figures of a finding in a pot, and the values that mend it."""
    found = each.finding
    if found is None:
        return {"values": {}, "layer_ids": [each.layer_id] if each.layer_id else [], "changes": []}
    mending = found.mending
    changes = () if mending is None else (*mending.pot, *mending.layers)
    return {
        "values": dict(found.values),
        "layer_ids": list(found.layer_ids),
        "changes": [_change_object(change) for change in changes],
    }


def _change_object(change: FieldChange) -> dict[str, Any]:
    value = change.value
    return {
        "id": change.id,
        "field": change.field,
        "value": value if isinstance(value, int | float) else value.isoformat(),
    }


def _days(days: int) -> str:
    return f"{days} {plural('day', 'days', days)}"


def _succession(outlook: Outlook) -> Iterator[_Finding]:
    """Plantings that collide, and what is to be said of companions on top."""
    from bloomline.plan.carry.succession import successions
    from bloomline.plan.season.yard import season_report
    from bloomline.plan.tops.stand import fullest_share

    yard, report = outlook.yard, season_report(outlook)
    for conflict in successions(outlook):
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
                tr(
                    "Companions on top would take {share:.0f} % of the surface at "
                    "their usual spacing; plant fewer.",
                    share=100 * share,
                ),
                pot=pot.name,
            )


def _severity(advice: Advice, yard: Yard) -> str:
    """Poison is something to know, not to mend, where the yard has no pets."""
    if advice.topic == "poison" and not yard.settings.pets:
        return "note"
    return str(advice.severity)


def _lines(report: SeasonReport, findings: list[_Finding]) -> list[str]:
    layers = report.layer_count
    lines = [
        tr(
            "{yard_name}, season {season_year}: {pots}, {layers}",
            yard_name=report.yard_name,
            season_year=report.season_year,
            pots=plural("{n} pot", "{n} pots", report.pot_count),
            layers=plural("{n} layer", "{n} layers", layers),
        )
    ]
    merged: dict[tuple[str, str, str], dict[tuple[str, str], None]] = {}
    for each in findings:
        abouts = merged.setdefault((each.severity, each.message, each.mending), {})
        abouts[each.cultivar, each.pot] = None
    about = lru_cache(maxsize=None)(_about)  # most layers are told of more than once
    told: set[str] = set()
    for (severity, message, mending), abouts in merged.items():
        who = "; ".join(dict.fromkeys(filter(None, starmap(about, abouts))))
        lines += wrapped(f"{tr(severity.capitalize())}{', ' + who if who else ''}: {message}")
        if mending in told:
            lines.append(tr("  The same change mends it."))
        elif mending:
            told.add(mending)
            lines += wrapped(tr("What mends it: {mending}.", mending=mending), indent="  ")
    if all(each.severity == "note" for each in findings):
        lines.append(tr("Nothing that must be mended.") if told else tr("Nothing to mend."))
    return lines


def _about(cultivar: str, pot: str) -> str:
    return tr("{cultivar} in {pot}", cultivar=cultivar, pot=pot) if cultivar else pot
