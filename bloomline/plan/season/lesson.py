"""What the records of a yard teach, and what is to be said of one before it is kept."""

from __future__ import annotations

from dataclasses import dataclass

from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Record, Yard
from bloomline.plan.forecast.report import Band
from bloomline.plan.records.facts import STAGE_OF, Fact, facts_of, season_seen
from bloomline.plan.records.learning import Learned, learn_from
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.season.solve import learned_of
from bloomline.plan.season.yard import season_report

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

    forecast : of what was seen, in its season; None where none flowers. question : why it can
    hardly be right; "" when it may be. same : records of the same stage of the same layer in
    that season.
    """

    record: Record
    season_year: int
    forecast: Band | None
    question: str
    same: tuple[Record, ...]


@kept
def record_rows(outlook: Outlook) -> ListedRecords:
    """All records as rows, the newest first."""
    yard, garden = outlook.yard, outlook.garden
    about: dict[str, tuple[str, Layer, Cultivar]] = {
        layer.id: (pot.name, layer, outlook.cultivar_of(layer.cultivar_id))
        for pot, layer in yard.layers()
    }
    rows = []
    for record in reversed(yard.records):
        pot_name, layer, cultivar = about[record.layer_id]
        season = season_seen(record.day, layer, cultivar, garden=garden)
        rows.append(RecordRow(record, pot_name, cultivar.id, cultivar.name, season))
    return ListedRecords(yard, tuple(rows))


@kept
def lesson(outlook: Outlook) -> Lesson:
    """What the yard learned, every record beside its forecast, and the season with and without."""
    taught = outlook.usual.with_(use_records=True)
    yard = taught.yard
    learned = learned_of(taught)
    facts = {fact.record.id: fact for fact in learned.facts}
    older = [r for r in yard.records if r.id not in facts][-(MOST_FACTS - len(facts)) :]
    if learned.n_older and older:
        # So that the kept weather of the newer seasons stays.
        facts |= {fact.record.id: fact for fact in _held(taught, older, aside=True)}
    questions = {each.record.id: each.words for each in learned.questions}
    firsts = _firsts(taught) if learned.n_records else ()
    return Lesson(yard, learned, facts, questions, firsts)


def _held(outlook: Outlook, records: list[Record], *, aside: bool = False) -> list[Fact]:
    """Records beside their forecasts, without what was learned."""
    forecaster = outlook.forecaster.aside() if aside else outlook.forecaster.side
    return facts_of(
        outlook.yard,
        records=records,
        cultivar_of=outlook.cultivar_of,
        forecaster=forecaster,
        garden=outlook.garden,
        recorded=outlook.recorded,
        today=outlook.today,
    )


def _firsts(taught: Outlook) -> tuple[FirstFlower, ...]:
    one, other = (season_report(taught.with_(use_records=use)) for use in (False, True))
    pots = {pot.id: pot.name for pot in taught.yard.pots}
    return tuple(
        FirstFlower(a.layer_id, a.name, pots[a.pot_id], a.start, b.start)
        for a, b in zip(one.layers, other.layers, strict=True)
    )


def judge(outlook: Outlook, record: Record) -> EntryVerdict:
    """Hold an entry against its forecast and the yard's other records, as if it stood among them.

    A record of the same id in the yard is the one being changed, and is left out.
    """
    usual = outlook.usual
    asked = record.model_copy(update={"confirmed": None})
    others = tuple(each for each in usual.yard.records if each.id != record.id)
    without = usual.yard.model_copy(update={"records": others})
    base = learned_of(usual.with_(yard=without, use_records=True))
    near = [each for each in others if each.layer_id == record.layer_id]
    near = sorted(near, key=lambda each: abs((each.day - record.day).days))[:_MOST_NEAR]
    known = _held(usual, [asked, *near])
    fact = known[0]
    rest = [each for each in base.facts if each.record.layer_id != record.layer_id]
    law = usual.forecaster.growth_law
    found = learn_from([*rest, *known], model_sd_days=law.model_sd_days)
    question = next((each.words for each in found.questions if each.record.id == record.id), "")
    season = fact.season_year
    same = tuple(
        each.record
        for each in known[1:]
        if each.season_year == season and each.record.seen == record.seen
    )
    return EntryVerdict(record, season, _shown(usual, fact), question, same)


def _shown(outlook: Outlook, fact: Fact) -> Band | None:
    """The forecast of what was seen, None where none flowers.

    In the season shown it is that of all other pages. In other seasons it is without what was
    learned, since they are what it was learned from.
    """
    record = fact.record
    if fact.season_year == outlook.yard.season_year:
        layers = season_report(outlook).layers
        layer = next(each for each in layers if each.layer_id == record.layer_id)
        band: Band | None = getattr(layer, STAGE_OF[record.seen])
        return band
    if fact.expected is None or fact.p10 is None or fact.p90 is None:
        return None
    return Band(fact.p10, fact.expected, fact.p90)
