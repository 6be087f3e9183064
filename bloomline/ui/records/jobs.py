"""What the records' page and its entry dialog work out beside the window."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import partial
from pathlib import Path

from bloomline.files.records_csv import RecordTable, read_records, write_records
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Record, Yard
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.climate.weather import RecordedWeather
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.report import Band
from bloomline.plan.records.facts import Fact, facts_of, season_seen
from bloomline.plan.records.learning import Learned, learn, learn_from
from bloomline.plan.season.solve import find_cultivar
from bloomline.plan.season.yard import season_report
from bloomline.reference.catalogue import Catalogue

MOST_FACTS = 5_000
"""So many of the newest records are held against forecasts in the table."""
_MOST_NEAR = 400
"""So many records of one layer, the nearest in time, are held against a new one."""


@dataclass(frozen=True, slots=True)
class RecordRow:
    """A record with the names it goes by."""

    record: Record
    pot_name: str
    cultivar_id: str
    cultivar_name: str
    season_year: int


@dataclass(frozen=True, slots=True)
class ListedRecords:
    """The records of a yard as rows, the newest first."""

    yard: Yard
    rows: tuple[RecordRow, ...]


@dataclass(frozen=True, slots=True, eq=False)
class FirstFlower:
    """First flower of a layer in the season shown, without the records and with them."""

    layer_id: str
    name: str
    pot_name: str
    without: Band | None
    with_records: Band | None

    @property
    def shift_days(self) -> int | None:
        """By how many days the records move it."""
        if self.without is None or self.with_records is None:
            return None
        return (self.with_records.p50 - self.without.p50).days


@dataclass(frozen=True, slots=True, eq=False)
class Lesson:
    """What the records of a yard teach. facts : by record id."""

    yard: Yard
    learned: Learned
    facts: dict[str, Fact]
    questions: dict[str, str]
    firsts: tuple[FirstFlower, ...]


@dataclass(frozen=True, slots=True, eq=False)
class EntryVerdict:
    """What is to be said of one entry before it is kept.

    question : why it can hardly be right; "" when it may be. same : records of the same stage
    of the same layer in that season.
    """

    record: Record
    fact: Fact
    question: str
    same: tuple[Record, ...]


def rows_of(yard: Yard, *, catalogue: Catalogue) -> ListedRecords:
    """All records as rows, the newest first."""
    garden = garden_of(yard.place)
    about: dict[str, tuple[str, Layer, Cultivar]] = {
        layer.id: (pot.name, layer, find_cultivar(yard, layer.cultivar_id, catalogue=catalogue))
        for pot, layer in yard.layers()
    }
    rows = []
    for record in reversed(yard.records):
        pot_name, layer, cultivar = about[record.layer_id]
        season = season_seen(record.day, layer, cultivar, garden=garden)
        rows.append(RecordRow(record, pot_name, cultivar.id, cultivar.name, season))
    return ListedRecords(yard, tuple(rows))


def lesson_of(
    yard: Yard,
    *,
    catalogue: Catalogue,
    forecaster: Forecaster,
    recorded: RecordedWeather | None,
    today: date,
) -> Lesson:
    """What the yard learned, every record beside its forecast, and the season with and without."""
    cultivar_of = partial(find_cultivar, yard, catalogue=catalogue)
    garden = garden_of(yard.place)
    learned = learn(
        yard,
        cultivar_of=cultivar_of,
        forecaster=forecaster,
        garden=garden,
        recorded=recorded,
        today=today,
    )
    facts = {fact.record.id: fact for fact in learned.facts}
    older = [r for r in yard.records if r.id not in facts][-(MOST_FACTS - len(facts)) :]
    if learned.n_older and older:
        # A forecaster of its own, so that the kept weather of the newer seasons stays.
        facts |= {
            fact.record.id: fact
            for fact in facts_of(
                yard,
                records=older,
                cultivar_of=cultivar_of,
                forecaster=Forecaster(),
                garden=garden,
                recorded=recorded,
                today=today,
            )
        }
    questions = {each.record.id: each.words for each in learned.questions}
    firsts: tuple[FirstFlower, ...] = ()
    if learned.n_records:
        firsts = _firsts(yard, catalogue, forecaster, recorded, today)
    return Lesson(yard, learned, facts, questions, firsts)


def _firsts(
    yard: Yard,
    catalogue: Catalogue,
    forecaster: Forecaster,
    recorded: RecordedWeather | None,
    today: date,
) -> tuple[FirstFlower, ...]:
    reports = [
        season_report(
            yard,
            catalogue=catalogue,
            forecaster=forecaster,
            recorded=recorded,
            learned=learned,
            today=today,
        )
        for learned in (False, True)
    ]
    pots = {pot.id: pot.name for pot in yard.pots}
    return tuple(
        FirstFlower(
            one.layer_id, one.name, pots[yard.layer(one.layer_id)[0].id], one.start, other.start
        )
        for one, other in zip(reports[0].layers, reports[1].layers, strict=True)
    )


def judge(
    yard: Yard,
    record: Record,
    *,
    catalogue: Catalogue,
    forecaster: Forecaster,
    recorded: RecordedWeather | None,
    today: date,
) -> EntryVerdict:
    """Hold an entry against its forecast and the yard's other records, as if it stood among them.

    A record of the same id in the yard is the one being changed, and is left out.
    """
    cultivar_of = partial(find_cultivar, yard, catalogue=catalogue)
    garden = garden_of(yard.place)
    asked = record.model_copy(update={"confirmed": None})
    others = tuple(each for each in yard.records if each.id != record.id)
    base = learn(
        yard.model_copy(update={"records": others}),
        cultivar_of=cultivar_of,
        forecaster=forecaster,
        garden=garden,
        recorded=recorded,
        today=today,
    )
    near = [each for each in others if each.layer_id == record.layer_id]
    near = sorted(near, key=lambda each: abs((each.day - record.day).days))[:_MOST_NEAR]
    known = facts_of(
        yard,
        records=[asked, *near],
        cultivar_of=cultivar_of,
        forecaster=forecaster,
        garden=garden,
        recorded=recorded,
        today=today,
    )
    fact = known[0]
    rest = [each for each in base.facts if each.record.layer_id != record.layer_id]
    found = learn_from([*rest, *known], model_sd_days=forecaster.growth_law.model_sd_days)
    question = next((each.words for each in found.questions if each.record.id == record.id), "")
    season = fact.season_year
    same = tuple(
        each.record
        for each in known[1:]
        if each.season_year == season and each.record.seen == record.seen
    )
    return EntryVerdict(record, fact, question, same)


@dataclass(frozen=True, slots=True)
class ReadTable:
    """A table that was read."""

    path: Path
    table: RecordTable


@dataclass(frozen=True, slots=True)
class WrittenTable:
    """A table that was written."""

    path: Path
    n_records: int


def _name_of(yard: Yard, catalogue: Catalogue) -> Callable[[str], str]:
    return lambda name: find_cultivar(yard, name, catalogue=catalogue).name


def reading(path: Path, yard: Yard, *, catalogue: Catalogue) -> ReadTable:
    """Read records from a table. Raises what `read_records` raises."""
    return ReadTable(path, read_records(path, yard, name_of=_name_of(yard, catalogue)))


def writing(path: Path, yard: Yard, *, catalogue: Catalogue) -> WrittenTable:
    """Write all records to a table. Raises FileProblemError."""
    write_records(path, yard, name_of=_name_of(yard, catalogue))
    return WrittenTable(path, len(yard.records))
