"""`bloomline season`: the flowering of a whole yard, its bare and its crowded stretches."""

from __future__ import annotations

import argparse
from itertools import islice
from typing import TYPE_CHECKING, Any

from bloomline.cli.options import add_command, add_format, add_today
from bloomline.cli.output import (
    advice_lines,
    advice_object,
    band_object,
    put,
    put_csv,
    put_json,
    shorten,
    table,
    wrapped,
)
from bloomline.cli.succession import companion_objects
from bloomline.cli.yard import add_yard, outlook_for
from bloomline.plan.words.benches import times_words
from bloomline.words import marked, plural, short_day_words, tr

if TYPE_CHECKING:
    from bloomline.plan.forecast.report import (
        LayerForecast,
        PotForecast,
        SeasonReport,
        Spread,
        Stretch,
    )

_EPILOG = marked("""\
examples:
  bloomline season yard.bloomline
  bloomline season yard.bloomline --place Aberdeen
  bloomline season yard.bloomline --weather garden.csv --format json
""")
_POINTS = ("p10", "p50", "p90")
_RANK = (marked("No flower"), marked("Warning"), marked("Caution"), marked("Note"))
_CSV_COLUMNS = (
    "pot_id",
    "pot",
    "layer_id",
    "cultivar_id",
    "cultivar",
    "count",
    "planted",
    *(f"{band}_{point}" for band in ("start", "full", "end") for point in _POINTS),
    "reason",
    "cold_weeks",
    "cold_weeks_needed",
    "too_little_cold_share",
    "killed_share",
    "advice",
    "copies",
)


def add_parser(subparsers: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add the command."""
    parser = add_command(
        subparsers,
        "season",
        usage="FILE [options]",
        short=tr("when a yard of pots flowers, and which weeks stay bare"),
        about=tr(
            "Show the season of a yard: when each layer flowers, bare and crowded "
            "stretches; weeks of colour and of scent, bare and crowded days, counted year by year."
        ),
        epilog=tr(_EPILOG),
    )
    add_yard(parser)
    add_today(parser)
    add_format(parser, "table", "json", "csv")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    """Show the season of a yard."""
    from bloomline.plan.fill.targets import target_object, targets
    from bloomline.plan.season.yard import season_report

    outlook = outlook_for(args)
    report = season_report(outlook)
    if args.format == "json":
        put_json({**season_object(report), "wishes": [target_object(e) for e in targets(outlook)]})
    elif args.format == "csv":
        put_csv(_CSV_COLUMNS, (_csv_row(pot, layer) for pot in report.pots for layer in pot.layers))
    else:
        put("\n".join(season_lines(report)))
        for each in targets(outlook):
            for line in wrapped(tr("Wished for: {words}.", words=each.words())):
                put(line)
    return 0


def season_object(report: SeasonReport) -> dict[str, Any]:
    """A season for JSON; pots and layers are made as they are written."""
    return {
        "yard": report.yard_name,
        "place": report.place_label,
        "station_id": report.station_id,
        "climate_source": report.climate_source,
        "season_year": report.season_year,
        "weather": report.weather_label,
        "weeks_of_colour": _spread_object(report.weeks_of_colour),
        "weeks_of_scent": _spread_object(report.weeks_of_scent),
        "bare_days": _spread_object(report.bare_days),
        "crowded_days": _spread_object(report.crowded_days),
        "usual_season": _stretch_object(report.usual_season) if report.usual_season else None,
        "bare_threshold": report.bare_threshold,
        "bare": [_stretch_object(each) for each in report.bare],
        "crowd_limit": report.crowd_limit,
        "crowded": [_stretch_object(each) for each in report.crowded],
        "pots": (
            {
                "id": pot.pot_id,
                "name": pot.name,
                "copies": pot.copies,
                "summary": pot.summary,
                "weeks_of_colour": _spread_object(pot.weeks_of_colour),
                "weeks_of_scent": _spread_object(pot.weeks_of_scent),
                "clashes": [_stretch_object(each) for each in pot.clashes],
                "companions": companion_objects(pot),
            }
            for pot in report.pots
        ),
        "layers": (_layer_object(pot, layer) for pot in report.pots for layer in pot.layers),
        "advice": [advice_object(each) for each in report.advice],
    }


def _layer_object(pot: PotForecast, layer: LayerForecast) -> dict[str, Any]:
    return {
        "pot": {"id": pot.pot_id, "name": pot.name, "copies": pot.copies},
        "layer_id": layer.layer_id,
        "cultivar": {"id": layer.cultivar_id, "name": layer.name},
        "parts": [
            {
                "name": part.name,
                "share": round(part.share, 4),
                "start": band_object(part.start),
                "end": band_object(part.end),
            }
            for part in layer.parts
        ],
        "count": layer.count,
        "planted": layer.planted.isoformat(),
        "established": layer.established,
        "start": band_object(layer.start),
        "full": band_object(layer.full),
        "end": band_object(layer.end),
        "nose": band_object(layer.nose),
        "leaves_over": band_object(layer.leaves_over),
        "reason": layer.reason,
        "cold_weeks": layer.cold_weeks,
        "cold_weeks_needed": layer.cold_weeks_needed,
        "too_little_cold_share": round(layer.too_little_cold_share, 3),
        "killed_share": round(layer.killed_share, 3),
        "advice": [advice_object(each) for each in layer.advice],
    }


def _csv_row(pot: PotForecast, layer: LayerForecast) -> dict[str, Any]:
    row: dict[str, Any] = {
        "pot_id": pot.pot_id,
        "pot": pot.name,
        "layer_id": layer.layer_id,
        "cultivar_id": layer.cultivar_id,
        "cultivar": layer.name,
        "count": layer.count,
        "planted": layer.planted,
        "reason": layer.reason,
        "cold_weeks": layer.cold_weeks,
        "cold_weeks_needed": layer.cold_weeks_needed,
        "too_little_cold_share": round(layer.too_little_cold_share, 3),
        "killed_share": round(layer.killed_share, 3),
        "advice": " | ".join(f"{each.severity}: {each.message}" for each in layer.advice),
        "copies": pot.copies,
    }
    for name in ("start", "full", "end"):
        band = getattr(layer, name)
        for point in _POINTS:
            row[f"{name}_{point}"] = getattr(band, point) if band else None
    return row


def _spread_object(spread: Spread) -> dict[str, float]:
    return {
        name: round(float(getattr(spread, name)), 1)
        for name in ("expected", "p10", "p90", "coldest", "warmest")
    }


def _stretch_object(stretch: Stretch) -> dict[str, Any]:
    found: dict[str, Any] = {
        "first": stretch.first.isoformat(),
        "last": stretch.last.isoformat(),
        "days": stretch.days,
    }
    if stretch.layer_ids:
        found["layer_ids"] = list(stretch.layer_ids)
    return found


def season_lines(report: SeasonReport) -> list[str]:
    """A season as text for a page 100 columns wide."""
    names = {layer.layer_id: layer.name for layer in report.layers}
    lines = [
        tr(
            "{yard_name}, season {season_year}",
            yard_name=report.yard_name,
            season_year=report.season_year,
        ),
        f"{report.place_label}; {report.weather_label}",
    ]
    if not report.layers:
        return [*lines, "", tr("No bulbs are planted in this yard yet.")]
    body = iter(_table(report))
    lines += ["", next(body), next(body)]
    for pot in report.pots:
        lines += ["", *wrapped(f"{times_words(pot.name, pot.copies)} ({pot.summary})")]
        lines += islice(body, len(pot.layers)) if pot.layers else [tr("  no bulbs")]
        for each in pot.companions:
            season = tr("not in season")
            if each.first is not None and each.last is not None:
                season = (
                    f"{each.first} {('on' if each.goes_on else tr('to {last}', last=each.last))}"
                )
            words = tr(
                "on top, by date: {count} × {name}, {season}",
                count=each.count,
                name=each.name,
                season=season,
            )
            lines += wrapped(words, indent="  ")
        for clash in pot.clashes:
            pair = tr(" and ").join(names.get(each, each) for each in clash.layer_ids)
            lines += wrapped(
                tr("flower together {days}: {pair}", days=_days(clash), pair=pair), indent="  "
            )
    lines += ["", *_stretch_lines(report, names), "", *_figures(report)]
    told = _told(report)
    if told:
        lines += ["", *told]
    return lines


def _table(report: SeasonReport) -> list[str]:
    """One table for all pots, so that its columns stand under one another."""
    rows: list[tuple[object, ...]] = []
    for layer in report.layers:
        name = shorten(layer.name, 40)
        if layer.start is None or layer.end is None:
            rows.append((layer.count, name, tr("no flower"), "", "", ""))
            continue
        rows.append(
            (
                layer.count,
                name,
                layer.start.p50,
                f"{short_day_words(layer.start.p10)}–{short_day_words(layer.start.p90)}",
                layer.end.p50,
                tr("yes") if layer.scent else "",
            )
        )
    columns = (
        tr("bulbs"),
        tr("cultivar"),
        tr("opens"),
        tr("8 years of 10"),
        tr("over"),
        tr("scent"),
    )
    return table(columns, rows, right=(0,))


def _stretch_lines(report: SeasonReport, names: dict[str, str]) -> list[str]:
    lines: list[str] = []
    if report.bare:
        lines.append(
            tr(
                "Bare, less than {bare_threshold:.0f} % chance of colour:",
                bare_threshold=100 * report.bare_threshold,
            )
        )
        lines += [f"  {_days(each)}" for each in report.bare]
    elif any(layer.start for layer in report.layers):
        share = f"{100 * report.bare_threshold:.0f} %"
        words = tr(
            "No bare stretch: colour is at least {share} likely all through the usual season.",
            share=share,
        )
        if round(report.bare_days.expected):
            words += tr(" The bare days counted below fall differently each year.")
        lines += wrapped(words)
    if report.crowded:
        lines.append(
            tr(
                "Crowded, more than {crowd_limit} layers in flower at once:",
                crowd_limit=report.crowd_limit,
            )
        )
        for each in report.crowded:
            who = ", ".join(dict.fromkeys(names.get(i, i) for i in each.layer_ids))
            lines += wrapped(f"{_days(each)}: {who}", indent="  ")
    return lines


def _days(stretch: Stretch) -> str:
    day = plural("day", "days", stretch.days)
    return tr(
        "{first} to {last}, {days} {day}",
        first=stretch.first,
        last=stretch.last,
        days=stretch.days,
        day=day,
    )


def _figures(report: SeasonReport) -> list[str]:
    from bloomline.plan.season.words import figure

    rows: list[tuple[object, ...]] = []
    for name, each, places in (
        (tr("weeks of colour"), report.weeks_of_colour, 1),
        (tr("weeks of scent"), report.weeks_of_scent, 1),
        (tr("bare days"), report.bare_days, 0),
        (tr("crowded days"), report.crowded_days, 0),
    ):
        values = [
            figure(value, places)
            for value in (each.expected, each.p10, each.p90, each.coldest, each.warmest)
        ]
        if report.weather_year is None:
            mean, p10, p90, coldest, warmest = values
            rows.append((name, mean, f"{p10}–{p90}", coldest, warmest))
        else:
            rows.append((name, values[0]))
    if report.weather_year is not None:
        return table(("", tr("in this year alone")), rows, right=(1,))
    columns = (
        tr("counted year by year"),
        tr("mean"),
        tr("8 years of 10"),
        tr("coldest winter"),
        tr("warmest winter"),
    )
    return table(columns, rows, right=(1, 2, 3, 4))


def _told(report: SeasonReport) -> list[str]:
    """What to mind: reasons and advice, equal words once for all layers they are about."""
    found: dict[tuple[str, str], list[str]] = {}
    poison: dict[str, list[str]] = {}
    for on_top in report.companions:
        for each in on_top.advice:
            kind = str(each.severity).capitalize()
            if each.topic == "poison":
                poison.setdefault(kind, []).append(on_top.name)
            else:
                found.setdefault((kind, each.message), []).append(on_top.name)
    for layer in report.layers:
        if layer.reason is not None:
            found.setdefault(("No flower", f"{layer.reason}."), []).append(layer.name)
        for each in layer.advice:
            kind = str(each.severity).capitalize()
            if each.topic == "poison":
                poison.setdefault(kind, []).append(layer.name)
            else:
                found.setdefault((kind, each.message), []).append(layer.name)
    lines: list[str] = advice_lines(report.advice)
    for (kind, message), names in sorted(found.items(), key=lambda each: _RANK.index(each[0][0])):
        lines += wrapped(f"{tr(kind)}, {_listed(names)}: {message}")
    if poison:
        groups = sorted(poison.items(), key=lambda each: _RANK.index(each[0]))
        words = "; ".join(f"{tr(kind).lower()}: {_listed(names)}" for kind, names in groups)
        lines += wrapped(
            tr(
                "Poisonous or irritant, {words}. Wear gloves, and keep bulbs from "
                "children and animals; 'bloomline check' says what each can do.",
                words=words,
            )
        )
    return lines


def _listed(names: list[str]) -> str:
    return ", ".join(dict.fromkeys(names))
