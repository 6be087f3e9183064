"""Forecasts as JSON, CSV and tables."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Self

from bloomline.cli.output import (
    advice_lines,
    advice_object,
    band_object,
    put,
    put_csv,
    shorten,
    table,
    wrapped,
)
from bloomline.files.plain_text import csv_line, escaped
from bloomline.words import short_day_words, tr

if TYPE_CHECKING:
    from bloomline.plan.forecast.one_planting import Forecast
    from bloomline.plan.forecast.report import Band

_BAND_COLUMNS = tuple(
    (band, (f"{band}_p10", f"{band}_p50", f"{band}_p90")) for band in ("start", "full", "end")
)
COLUMNS = (
    "id",
    "station_id",
    "station_name",
    "distance_km",
    "elevation_m",
    "cultivar_id",
    "cultivar",
    "planted",
    "where",
    *(column for _, columns in _BAND_COLUMNS for column in columns),
    "reason",
    "cold_weeks",
    "cold_weeks_needed",
    "too_little_cold_share",
    "killed_share",
    "advice",
    "error",
)
"""What a table of answers holds, as CSV and as Parquet."""


@dataclass(frozen=True, slots=True)
class Failure:
    """A row that could not be answered."""

    id: str
    problem: str


def put_answers(answers: Sequence[Forecast], *, form: str) -> None:
    """Write the answers to questions asked by options; as a table, one under the other."""
    if form == "table":
        for number, answer in enumerate(answers):
            if number:
                put("")
            for line in _single_lines(answer):
                put(line)
        return
    with writer_of(form) as writer:
        for number, answer in enumerate(answers):
            writer.put(number, answer)


class Writer(AbstractContextManager["Writer"]):
    """Writes answers in the order of their numbers, whatever the order they come in."""

    def __enter__(self) -> Self:
        from bloomline.cli.in_order import InOrder

        self._in_order = InOrder(sys.stdout.write)
        self._begin()
        return self

    def __exit__(self, kind: object, error: object, trace: object) -> None:
        self._in_order.close()
        if kind is None:
            self._end()

    def put(self, number: int, answer: Forecast | Failure) -> None:
        """The answer of a number, from 0 on; each comes once."""
        self._in_order.put(number, self._text(number, answer))

    def _begin(self) -> None:
        """What comes first."""

    def _end(self) -> None:
        """What comes last."""

    def _text(self, number: int, answer: Forecast | Failure) -> str:
        raise NotImplementedError


class _Json(Writer):
    """One list of objects."""

    def _text(self, number: int, answer: Forecast | Failure) -> str:
        from bloomline.files.json_text import json_text

        begin = "," if number else "["
        return f"{begin}\n  {escaped(json_text(answer_object(answer), indent='  '))}"

    def _end(self) -> None:
        sys.stdout.write("\n]\n")


class _Csv(Writer):
    """A line an answer, under the names of the columns."""

    def _begin(self) -> None:
        put_csv(COLUMNS, [])

    def _text(self, number: int, answer: Forecast | Failure) -> str:
        return csv_line(COLUMNS, row_of(answer))


class _Table(Writer):
    """Columns as wide as what stands in them, so all has to be there before any is written."""

    def __enter__(self) -> Self:
        self._answers: dict[int, Forecast | Failure] = {}
        return self

    def __exit__(self, kind: object, error: object, trace: object) -> None:
        if kind is None:
            for line in _many_lines([self._answers[number] for number in sorted(self._answers)]):
                put(line)

    def put(self, number: int, answer: Forecast | Failure) -> None:
        self._answers[number] = answer


def writer_of(form: str) -> Writer:
    """What writes answers as JSON, CSV or a table."""
    return {"json": _Json, "csv": _Csv, "table": _Table}[form]()


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


def row_of(answer: Forecast | Failure) -> dict[str, Any]:
    """An answer, or why there is none, by column."""
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
    for name, columns in _BAND_COLUMNS:
        band: Band | None = getattr(answer, name)
        if band is not None:
            row[columns[0]], row[columns[1]], row[columns[2]] = band.p10, band.p50, band.p90
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
