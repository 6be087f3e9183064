"""Many forecasts as JSON, CSV and tables, column by column."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Self

from bloomline.cli.output import advice_object, put, put_csv, shorten, table, wrapped
from bloomline.files.known import Known
from bloomline.files.plain_text import csv_text, escaped
from bloomline.words import short_day_words, tr

if TYPE_CHECKING:
    from datetime import date

    from bloomline.model.advice import Advice
    from bloomline.plan.climate.garden import Garden
    from bloomline.plan.forecast.one_planting import Answers
    from bloomline.plan.forecast.solved import Stage

_BANDS: tuple[Stage, ...] = ("start", "full", "end")
_BAND_COLUMNS = {band: (f"{band}_p10", f"{band}_p50", f"{band}_p90") for band in _BANDS}
_PLACE_COLUMNS = ("station_id", "station_name", "distance_km", "elevation_m")
COLUMNS = (
    "id",
    *_PLACE_COLUMNS,
    "cultivar_id",
    "cultivar",
    "planted",
    "where",
    *(column for columns in _BAND_COLUMNS.values() for column in columns),
    "reason",
    "cold_weeks",
    "cold_weeks_needed",
    "too_little_cold_share",
    "killed_share",
    "advice",
    "error",
)
"""What a table of answers holds, as CSV and as Parquet."""
_KEYS = (
    *("id", "place", "station", "cultivar", "planted", "where", "start", "full", "end"),
    *("reason", "cold_weeks", "cold_weeks_needed", "cold_met_on"),
    *("too_little_cold_share", "killed_share", "advice"),
)
"""What an answer holds as JSON."""
_AT_ONCE = 256  # answers that are written at once


@dataclass(frozen=True, slots=True)
class Failure:
    """A row that could not be answered."""

    id: str
    problem: str


def columns_of(answers: Answers) -> dict[str, list[Any]]:
    """What a table holds of answers, by column; a value for each."""
    return _values(answers) | {
        "advice": _each_once(_advice_text, answers.advice),
        "error": [None] * len(answers),
    }


def failure_row(failure: Failure) -> dict[str, Any]:
    """The same columns of a row that has no answer."""
    return dict.fromkeys(COLUMNS) | {"id": failure.id, "error": failure.problem}


def _values(answers: Answers) -> dict[str, list[Any]]:
    """What answers say by the columns that a table and JSON share."""
    garden, said = answers.garden, answers.outcomes
    place = (
        garden.station_id,
        garden.station_name,
        round(garden.distance_km, 1),
        garden.elevation_m,
    )
    values: dict[str, list[Any]] = {
        "id": [request.id for request in answers.requests],
        **{name: [value] * len(answers) for name, value in zip(_PLACE_COLUMNS, place, strict=True)},
        "cultivar_id": [request.cultivar.id for request in answers.requests],
        "cultivar": [request.cultivar.name for request in answers.requests],
        "planted": list(answers.planted),
        "where": [request.standing.where for request in answers.requests],
    }
    for band, columns in _BAND_COLUMNS.items():
        for name, dates in zip(columns, said.dates(band), strict=True):
            values[name] = answers.column(dates)
    rounded = Known(lambda share: round(share, 3))
    return values | {
        "reason": [said.reason(row) for row in answers.rows],
        "cold_weeks": answers.column(said.cold_weeks),
        "cold_weeks_needed": [said.cold_weeks_needed(row) for row in answers.rows],
        "too_little_cold_share": rounded.each(answers.column(said.too_little_cold_share)),
        "killed_share": rounded.each(answers.column(said.killed_share)),
    }


def _advice_text(advice: Iterable[Advice]) -> str:
    return " | ".join(f"{each.severity}: {each.message}" for each in advice)


def _each_once(make: Callable[[Any], str], values: Sequence[Any]) -> list[str]:
    """Texts of values that are often one object, made once of each."""
    different = {id(each): each for each in values}
    known = {name: make(each) for name, each in different.items()}
    return [known[id(each)] for each in values]


class Writer(AbstractContextManager["Writer"]):
    """Writes answers in the order of their numbers, whatever the order they come in.

    What has to wait does so as pieces of text, most of which many answers share: so memory
    hardly grows with what is written.
    """

    def __enter__(self) -> Self:
        self._next = 0
        self._waiting: dict[int, tuple[str, ...]] = {}
        self._begin()
        return self

    def __exit__(self, kind: object, error: object, trace: object) -> None:
        if kind is None:
            self._end()

    def put(self, numbers: Iterable[int], answers: Answers) -> None:
        """Answers and their numbers, from 0 on; each comes once."""
        self._waiting.update(zip(numbers, self._pieces(answers), strict=True))
        self._go_on()

    def fail(self, number: int, failure: Failure) -> None:
        """A number that has no answer."""
        self._waiting[number] = self._failed(failure)
        self._go_on()

    def _go_on(self) -> None:
        """Write all that waits for nothing more."""
        lines: list[str] = []
        while (pieces := self._waiting.pop(self._next, None)) is not None:
            lines.append(self._line(pieces))
            self._next += 1
            if len(lines) == _AT_ONCE:
                sys.stdout.write("".join(lines))
                lines.clear()
        sys.stdout.write("".join(lines))

    def _begin(self) -> None:
        """What comes first."""

    def _end(self) -> None:
        """What comes last."""

    def _pieces(self, answers: Answers) -> Iterable[tuple[str, ...]]:
        """The pieces of each answer's text."""
        raise NotImplementedError

    def _failed(self, failure: Failure) -> tuple[str, ...]:
        """The pieces of the text on a row that has no answer."""
        raise NotImplementedError

    def _line(self, pieces: tuple[str, ...]) -> str:
        """The text that its pieces make."""
        raise NotImplementedError


class _Json(Writer):
    """One list of objects."""

    def _begin(self) -> None:
        from bloomline.files.json_text import json_text

        def text(value: Any) -> str:
            return escaped(json_text(value, indent="    "))

        self._text = text
        self._texts = Known(text)
        self._days = Known(lambda day: text(day and day.isoformat()))
        self._cultivars = Known(lambda names: text({"id": names[0], "name": names[1]}))
        self._bands = Known(lambda days: text(_band_object(*days)))
        self._advice = Known(lambda advice: text([advice_object(each) for each in advice]))

        def form_of(keys: Sequence[str]) -> str:
            return "\n  " + json_text(dict.fromkeys(keys, "%s"), indent="  ").replace('"%s"', "%s")

        self._answer, self._failure = form_of(_KEYS), form_of(("id", "error"))

    def _pieces(self, answers: Answers) -> Iterable[tuple[str, ...]]:
        values, said, texts = _values(answers), answers.outcomes, self._texts
        bands = [
            self._bands.each(zip(*(values[name] for name in columns), strict=True))
            for columns in _BAND_COLUMNS.values()
        ]
        return zip(
            map(self._text, values["id"]),
            *([text] * len(answers) for text in map(self._text, _place_objects(answers.garden))),
            self._cultivars.each(zip(values["cultivar_id"], values["cultivar"], strict=True)),
            self._days.each(values["planted"]),
            texts.each(values["where"]),
            *bands,
            *(texts.each(values[name]) for name in ("reason", "cold_weeks", "cold_weeks_needed")),
            self._days.each(answers.column(said.cold_met_on)),
            *(texts.each(values[name]) for name in ("too_little_cold_share", "killed_share")),
            _each_once(self._advice.__getitem__, answers.advice),
            strict=True,
        )

    def _failed(self, failure: Failure) -> tuple[str, ...]:
        return self._text(failure.id), self._text(failure.problem)

    def _line(self, pieces: tuple[str, ...]) -> str:
        form = self._answer if len(pieces) == len(_KEYS) else self._failure
        return ("," if self._next else "[") + form % pieces

    def _end(self) -> None:
        sys.stdout.write("\n]\n")


class _Csv(Writer):
    """A line an answer, under the names of the columns."""

    def _begin(self) -> None:
        self._texts = Known(csv_text)
        put_csv(COLUMNS, [])

    def _pieces(self, answers: Answers) -> Iterable[tuple[str, ...]]:
        columns = columns_of(answers)
        # Ids come once, and all is of one place.
        once = {name: [csv_text(columns[name][0])] * len(answers) for name in _PLACE_COLUMNS}
        once["id"] = list(map(csv_text, columns["id"]))
        return zip(
            *(once.get(name) or self._texts.each(columns[name]) for name in COLUMNS), strict=True
        )

    def _failed(self, failure: Failure) -> tuple[str, ...]:
        row = failure_row(failure)
        return tuple(csv_text(row[name]) for name in COLUMNS)

    def _line(self, pieces: tuple[str, ...]) -> str:
        return ",".join(pieces) + "\r\n"


class _Table(Writer):
    """Columns as wide as what stands in them, so all has to be there before any is written."""

    def _begin(self) -> None:
        self._days = Known(lambda day: "" if day is None else day.isoformat())
        self._short_days = Known(lambda day: "" if day is None else short_day_words(day))
        self._spans = Known(lambda days: f"{days[0]}–{days[1]}" if days[0] else "")

    def _pieces(self, answers: Answers) -> Iterable[tuple[str, ...]]:
        values = _values(answers)
        first, last = (self._short_days.each(values[f"start_{share}"]) for share in ("p10", "p90"))
        no_flower, notes = tr("no flower"), []
        for name, reason in zip(values["id"], values["reason"], strict=True):
            notes.append(f"{name}: {reason}." if reason else "")
        return zip(
            [shorten(each, 16) for each in values["id"]],
            [shorten(each, 26) for each in values["cultivar"]],
            [shorten(each, 14) for each in values["station_name"]],
            self._days.each(values["planted"]),
            [each or no_flower for each in self._days.each(values["start_p50"])],
            self._spans.each(zip(first, last, strict=True)),
            self._days.each(values["end_p50"]),
            notes,
            strict=True,
        )

    def _failed(self, failure: Failure) -> tuple[str, ...]:
        note = f"{failure.id}: {failure.problem.rstrip('?.')}."
        return (shorten(failure.id, 16), "", "", "", tr("no answer"), "", "", note)

    def _go_on(self) -> None:
        """Write nothing yet."""

    def _end(self) -> None:
        columns = (
            *(tr("id"), tr("cultivar"), tr("station"), tr("planted")),
            *(tr("opens"), tr("8 years of 10"), tr("over")),
        )
        rows, notes = [], []
        for number in sorted(self._waiting):
            pieces = self._waiting.pop(number)
            rows.append(pieces[:-1])
            notes += wrapped(pieces[-1]) if pieces[-1] else []
        lines = table(columns, rows)
        for line in [*lines, *([""] if notes else []), *notes]:
            put(line)


def writer_of(form: str) -> Writer:
    """What writes answers as JSON, CSV or a table."""
    return {"json": _Json, "csv": _Csv, "table": _Table}[form]()


def _place_objects(garden: Garden) -> tuple[dict[str, Any], dict[str, Any]]:
    """A garden and its station, for JSON."""
    return {
        "name": garden.label,
        "latitude_deg": garden.latitude_deg,
        "longitude_deg": garden.longitude_deg,
        "elevation_m": garden.elevation_m,
    }, {
        "id": garden.station_id,
        "name": garden.station_name,
        "distance_km": round(garden.distance_km, 1),
    }


def _band_object(p10: date | None, p50: date | None, p90: date | None) -> dict[str, str] | None:
    """A band for JSON, or null."""
    if p10 is None or p50 is None or p90 is None:
        return None
    return {"p10": p10.isoformat(), "p50": p50.isoformat(), "p90": p90.isoformat()}
