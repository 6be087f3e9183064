"""Forecasts as JSON, CSV and tables."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

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
from bloomline.words import short_day_words, tr

if TYPE_CHECKING:
    from bloomline.plan.forecast.one_planting import Forecast
    from bloomline.plan.forecast.report import Band

_BANDS = ("start", "full", "end")
_POINTS = ("p10", "p50", "p90")
_CSV_COLUMNS = (
    "id",
    "station_id",
    "station_name",
    "distance_km",
    "elevation_m",
    "cultivar_id",
    "cultivar",
    "planted",
    "where",
    *(f"{band}_{point}" for band in _BANDS for point in _POINTS),
    "reason",
    "cold_weeks",
    "cold_weeks_needed",
    "too_little_cold_share",
    "killed_share",
    "advice",
    "error",
)


@dataclass(frozen=True, slots=True)
class Failure:
    """A row that could not be answered."""

    id: str
    problem: str


def put_answers(answers: Sequence[Forecast | Failure], *, form: str, bulk: bool) -> None:
    """Write answers in the wanted form."""
    if form == "json":
        put_json([answer_object(each) for each in answers])
    elif form == "csv":
        put_csv(_CSV_COLUMNS, [_csv_row(each) for each in answers])
    elif bulk:
        for line in _many_lines(answers):
            put(line)
    else:
        for each in answers:
            if not isinstance(each, Failure):
                for line in _single_lines(each):
                    put(line)


def answer_object(answer: Forecast | Failure) -> dict[str, Any]:
    """An answer, or why there is none, for JSON."""
    if isinstance(answer, Failure):
        return {"id": answer.id, "error": answer.problem}
    garden = answer.garden
    return {
        "id": answer.id,
        "place": {
            "name": garden.label,
            "latitude_deg": garden.latitude_deg,
            "longitude_deg": garden.longitude_deg,
            "elevation_m": garden.elevation_m,
        },
        "station": {
            "id": garden.station_id,
            "name": garden.station_name,
            "distance_km": round(garden.distance_km, 1),
        },
        "cultivar": {"id": answer.cultivar.id, "name": answer.cultivar.name},
        "planted": answer.planted.isoformat(),
        "where": answer.standing.where,
        "start": band_object(answer.start),
        "full": band_object(answer.full),
        "end": band_object(answer.end),
        "reason": answer.reason,
        "cold_weeks": answer.cold_weeks,
        "cold_weeks_needed": answer.cold_weeks_needed,
        "cold_met_on": answer.cold_met_on.isoformat() if answer.cold_met_on else None,
        "too_little_cold_share": round(answer.too_little_cold_share, 3),
        "killed_share": round(answer.killed_share, 3),
        "advice": [advice_object(each) for each in answer.advice],
    }


def _csv_row(answer: Forecast | Failure) -> dict[str, Any]:
    if isinstance(answer, Failure):
        return {"id": answer.id, "error": answer.problem}
    garden = answer.garden
    row: dict[str, Any] = {
        "id": answer.id,
        "station_id": garden.station_id,
        "station_name": garden.station_name,
        "distance_km": round(garden.distance_km, 1),
        "elevation_m": garden.elevation_m,
        "cultivar_id": answer.cultivar.id,
        "cultivar": answer.cultivar.name,
        "planted": answer.planted,
        "where": answer.standing.where,
        "reason": answer.reason,
        "cold_weeks": answer.cold_weeks,
        "cold_weeks_needed": answer.cold_weeks_needed,
        "too_little_cold_share": round(answer.too_little_cold_share, 3),
        "killed_share": round(answer.killed_share, 3),
        "advice": " | ".join(f"{each.severity}: {each.message}" for each in answer.advice),
    }
    for name in _BANDS:
        band: Band | None = getattr(answer, name)
        for point in _POINTS:
            row[f"{name}_{point}"] = getattr(band, point) if band else None
    return row


def _single_lines(answer: Forecast) -> list[str]:
    garden = answer.garden
    place = garden.label
    if garden.distance_km >= 1.0:
        place += tr(" ({distance_km:.0f} km away)", distance_km=garden.distance_km)
    if abs(garden.rise_m) >= 1.0:
        place += tr(", for a garden at {elevation_m:.0f} m", elevation_m=garden.elevation_m)
    lines = [
        f"{answer.cultivar.name}, {answer.cultivar.common_type}",
        *wrapped(
            tr(
                "planted {planted} in {standing}",
                planted=answer.planted,
                standing=answer.standing.shown(),
            ),
            indent="  ",
        ),
        *wrapped(tr("climate of {place}", place=place), indent="  "),
        "",
    ]
    if answer.start is None:
        lines += wrapped(f"{_sentence(answer)}.")
    else:
        shown = [
            (tr("First flower"), answer.start),
            (tr("Full flower"), answer.full),
            (tr("Over"), answer.end),
        ]
        rows = [(name, band.p50, band.p10, band.p90) for name, band in shown if band is not None]
        lines += table(
            ("", tr("expected"), tr("1 year in 10 before"), tr("1 year in 10 after")), rows
        )
    lines += ["", *_cold_lines(answer)]
    if answer.advice:
        lines += ["", *advice_lines(answer.advice)]
    return lines


def _cold_lines(answer: Forecast) -> list[str]:
    from bloomline.plan.forecast.cold import weeks_words

    if answer.cold_weeks_needed is None:
        return [tr("Needs no cold to flower.")]
    words = tr(
        "Cold: {weeks_words} weeks by flowering time, at least {cold_weeks_needed:g} needed",
        weeks_words=weeks_words(answer.cold_weeks),
        cold_weeks_needed=answer.cold_weeks_needed,
    )
    if answer.cold_met_on is not None and answer.start is not None:
        words += tr(", met in full by {cold_met_on}", cold_met_on=answer.cold_met_on)
    return wrapped(f"{words}.")


def _sentence(answer: Forecast) -> str:
    reason = answer.reason or tr("no flower this season")
    return reason[0].upper() + reason[1:]


def _many_lines(answers: Sequence[Forecast | Failure]) -> list[str]:
    rows: list[tuple[object, ...]] = []
    notes: list[str] = []
    for each in answers:
        name = shorten(each.id, 16)
        if isinstance(each, Failure):
            rows.append((name, "", "", "", tr("no answer"), "", ""))
            notes += wrapped(f"{each.id}: {each.problem.rstrip('?.')}.")
            continue
        opens: object = tr("no flower")
        if each.start is not None:
            opens = each.start.p50
        else:
            notes += wrapped(f"{each.id}: {each.reason}.")
        rows.append(
            (
                name,
                shorten(each.cultivar.name, 26),
                shorten(each.garden.station_name, 14),
                each.planted,
                opens,
                f"{short_day_words(each.start.p10)}–{short_day_words(each.start.p90)}"
                if each.start
                else "",
                each.end.p50 if each.end else "",
            )
        )
    columns = (
        tr("id"),
        tr("cultivar"),
        tr("station"),
        tr("planted"),
        tr("opens"),
        tr("8 years of 10"),
        tr("over"),
    )
    return [*table(columns, rows), *([""] if notes else []), *notes]
