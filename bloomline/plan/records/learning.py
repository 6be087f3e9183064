"""A yard that learns: its own offset from its records, by site when there is enough."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from threading import Lock
from weakref import WeakKeyDictionary

import numpy as np
from numpy.typing import NDArray

from bloomline.engine import learning as engine
from bloomline.model.cultivar import Cultivar
from bloomline.model.spot import is_one_garden
from bloomline.model.yard import Layer, Record, Site, Yard
from bloomline.plan.climate.garden import Garden, garden_of
from bloomline.plan.climate.weather import RecordedWeather
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.keep import Keep
from bloomline.plan.records.facts import Fact, facts_of, rooting_span, season_seen
from bloomline.plan.records.kinds import KindLesson, kind_lessons
from bloomline.plan.records.order import out_of_order
from bloomline.plan.records.stages import PRIOR_SD_DAYS, SEEN_SD_DAYS, odd_words
from bloomline.words import plural, tr

Floats = NDArray[np.float64]

SITE_SD_DAYS = 2.0
"""How far the sites of one garden lie from one another; judgement, no source."""
SITE_ENOUGH = 8
"""So many records of two or more cultivars let a site have its own offset."""
MOST_RECORDS = 600
"""The newest so many count: an older one changes nothing any more, and slows every step."""

_KEPT = 8


@dataclass(frozen=True, slots=True)
class DoubtfulRecord:
    """An entry that is left out until it is confirmed or corrected."""

    record: Record
    words: str


@dataclass(frozen=True, slots=True, eq=False)
class Learned:
    """What the records say about the yard. Offsets in days, later is positive.

    by_site : offset and standard deviation of sites with enough records. by_kind : of the
    yard's own kinds that were seen, what their dates are still off beside that. facts : every
    record that was looked at, usable or not. n_records : how many it stands on. n_older : left out
    because there are newer ones enough. n_elsewhere : seen where the yard was before, and left
    out, since another place has another offset.
    """

    offset_days: float = 0.0
    sd_days: float = PRIOR_SD_DAYS
    n_records: int = 0
    by_site: dict[Site, tuple[float, float]] = field(default_factory=dict)
    by_kind: dict[str, KindLesson] = field(default_factory=dict)
    questions: tuple[DoubtfulRecord, ...] = ()
    facts: tuple[Fact, ...] = ()
    n_older: int = 0
    n_elsewhere: int = 0

    def offset_at(self, site: Site) -> float:
        """The offset of a site [days]."""
        return self.by_site.get(site, (self.offset_days, 0.0))[0]

    def kind_shift_days(self, cultivar: Cultivar, *, established: bool) -> float:
        """What records say of a kind's own dates, beside the yard's offset. [days]"""
        lesson = self.by_kind.get(cultivar.id)
        return 0.0 if lesson is None else lesson.shift_days(cultivar, established=established)

    def narrowed(self, cultivar: Cultivar) -> Cultivar:
        """A kind whose dates are as sure as the records have made them."""
        lesson = self.by_kind.get(cultivar.id)
        return cultivar if lesson is None else lesson.narrowed(cultivar)

    def garden_sd_days(self, unlearned: float) -> float:
        """What is still not known of the whole yard, never more than without records [days]."""
        if self.n_records == 0:
            return unlearned
        return min(unlearned, max([self.sd_days, *(sd for _, sd in self.by_site.values())]))

    @property
    def counted(self) -> tuple[Fact, ...]:
        """The facts that the offset stands on."""
        asked = {each.record.id for each in self.questions}
        return tuple(f for f in self.facts if f.is_usable and f.record.id not in asked)

    @property
    def untaught(self) -> tuple[Fact, ...]:
        """Confirmed entries that are kept and teach nothing, since they can't be for the kind."""
        return tuple(f for f in self.facts if f.problem and f.record.confirmed)

    def words(self) -> str:
        """In short: shifted 3 days earlier by 12 records; "" without records."""
        if self.n_records == 0:
            return ""
        by = plural("{n} record", "{n} records", self.n_records)
        days = abs(round(self.offset_days))
        if days == 0:
            return tr("confirmed by {by}", by=by)
        day = plural("day", "days", days)
        return (
            tr("shifted {days} {day} later by {by}", days=days, day=day, by=by)
            if self.offset_days > 0
            else tr("shifted {days} {day} earlier by {by}", days=days, day=day, by=by)
        )


NOTHING_LEARNED = Learned()


@dataclass(frozen=True, slots=True, eq=False)
class _Choice:
    """The records of a yard that count where it is, oldest first, and how many there are."""

    records: tuple[Record, ...]
    n_here: int
    n_elsewhere: int


def _chosen(yard: Yard) -> _Choice:
    # Thousands of records share a few spots.
    spots = {id(each.seen_at): each.seen_at for each in yard.records if each.seen_at is not None}
    away = {name for name, spot in spots.items() if not is_one_garden(spot, yard.place)}
    here = [record for record in yard.records if id(record.seen_at) not in away]
    newest = sorted(here, key=lambda record: (record.day, record.id))[-MOST_RECORDS:]
    return _Choice(tuple(newest), len(here), len(yard.records) - len(here))


class _Kept:
    """What one forecaster's yards have taught so far, and a forecaster for past seasons.

    Of its own, so that past seasons don't push this one's weather out.
    """

    def __init__(self, forecaster: Forecaster) -> None:
        self.past = forecaster.aside()
        self.learned: Keep[Learned] = Keep(_KEPT)
        self._asked: tuple[object, object, _Choice] = (None, None, _Choice((), 0, 0))

    def choice(self, yard: Yard) -> _Choice:
        """The records that count, chosen once for the same records at the same place."""
        records, place, choice = self._asked
        if records is not yard.records or place is not yard.place:
            choice = _chosen(yard)
            self._asked = (yard.records, yard.place, choice)
        return choice


_kept: WeakKeyDictionary[Forecaster, _Kept] = WeakKeyDictionary()
_lock = Lock()


def _kept_of(forecaster: Forecaster) -> _Kept:
    with _lock:
        if forecaster not in _kept:
            _kept[forecaster] = _Kept(forecaster)
        return _kept[forecaster]


def learn(
    yard: Yard,
    *,
    cultivar_of: Callable[[str], Cultivar],
    forecaster: Forecaster,
    garden: Garden | None = None,
    recorded: RecordedWeather | None = None,
    today: date | None = None,
) -> Learned:
    """What the records of a yard say about it; worked out once for the same records and pots.

    garden : the yard's own, where it is at hand. today : records of later days are questioned;
    the clock's day unless given.
    Raises UnknownNameError for a cultivar that no catalogue holds.
    """
    kept = _kept_of(forecaster)
    choice = kept.choice(yard)
    records = choice.records
    if not records:
        return replace(NOTHING_LEARNED, n_elsewhere=choice.n_elsewhere)
    here = garden or garden_of(yard.place)
    day = today or date.today()
    key = (
        here,
        recorded,
        choice.n_elsewhere,
        sum(record.day > day for record in records),
        records,
        _about(yard, records, cultivar_of=cultivar_of, garden=here),
        yard.own_cultivars,
        tuple(sorted(yard.site_offsets.items())),
    )

    def work_out() -> Learned:
        facts = facts_of(
            yard,
            records=records,
            cultivar_of=cultivar_of,
            forecaster=kept.past,
            garden=here,
            recorded=recorded,
            today=day,
        )
        found = learn_from(
            facts,
            model_sd_days=forecaster.growth_law.model_sd_days,
            n_older=choice.n_here - len(records),
        )
        return replace(found, n_elsewhere=choice.n_elsewhere)

    return kept.learned.get(key, work_out)


def _about(
    yard: Yard,
    records: Sequence[Record],
    *,
    cultivar_of: Callable[[str], Cultivar],
    garden: Garden,
) -> tuple[object, ...]:
    """All that the forecasts behind the records rest on in the pots.

    The planting day of bulbs that came after every season noted of their layer says nothing of
    those seasons, so that sliding it teaches nothing new.
    """
    newest = {record.layer_id: record.day for record in records}  # in order of their days

    def planting(layer: Layer) -> tuple[object, ...]:
        cultivar = cultivar_of(layer.cultivar_id)
        season = season_seen(newest[layer.id], layer, cultivar, garden=garden)
        later = layer.planted >= rooting_span(season, cultivar, garden=garden)[1]
        return (None, None) if later else (layer.planted, layer.prechill_weeks)

    return tuple(
        (
            pot.model_copy(update={"layers": (), "companions": (), "notes": ""}),
            tuple(
                (layer.id, layer.cultivar_id, layer.lifted_on, *planting(layer)) for layer in some
            ),
        )
        for pot in yard.pots
        if (some := [layer for layer in pot.layers if layer.id in newest])
    )


def learn_from(facts: Sequence[Fact], *, model_sd_days: float = 2.0, n_older: int = 0) -> Learned:
    """The offset from facts; their order doesn't matter."""
    ordered = sorted(facts, key=lambda fact: (fact.record.day, fact.record.id))
    usable = [fact for fact in ordered if fact.is_usable]
    asked = {f.record.id: f.problem for f in ordered if f.problem and not f.record.confirmed}
    if not usable:
        return Learned(questions=_questions(ordered, asked), facts=tuple(facts), n_older=n_older)
    residual = np.array([fact.residual_days for fact in usable])
    covariance = covariance_of(usable, model_sd_days=model_sd_days)
    odd = engine.questioned(
        residual,
        design=np.ones((len(usable), 1)),
        covariance=covariance,
        weather=engine.weather_covariance(
            np.stack([fact.weather_days for fact in usable]),
            season=np.array([fact.season_year for fact in usable], dtype=np.int64),
        ),
        prior_sd_days=np.array([PRIOR_SD_DAYS]),
        confirmed=np.array([bool(fact.record.confirmed) for fact in usable]),
    )
    asked |= {
        fact.record.id: odd_words(fact.residual_days, season_year=fact.season_year)
        for fact, is_odd in zip(usable, odd, strict=True)
        if is_odd
    }
    # Last, so that neither an impossible day nor an odd one puts right ones in doubt.
    asked |= out_of_order(f for f in usable if f.record.id not in asked and not f.record.confirmed)
    kept = np.array([i for i, f in enumerate(usable) if f.record.id not in asked], dtype=np.int64)
    counted = [usable[i] for i in kept]
    sites = _sites_with_enough(counted)
    design = np.column_stack(
        [np.ones(len(counted)), *([float(f.site == site) for f in counted] for site in sites)]
    )
    prior_sd_days = np.array([PRIOR_SD_DAYS, *(SITE_SD_DAYS for _ in sites)])
    effects = engine.shrink(
        residual[kept],
        design=design,
        covariance=covariance[np.ix_(kept, kept)],
        prior_sd_days=prior_sd_days,
    )
    by_site: dict[Site, tuple[float, float]] = {}
    for i, site in enumerate(sites, start=1):
        pick = np.zeros(len(sites) + 1)
        pick[[0, i]] = 1.0
        by_site[site] = (
            float(pick @ effects.mean),
            math.sqrt(float(pick @ effects.covariance @ pick)),
        )
    return Learned(
        offset_days=float(effects.mean[0]),
        sd_days=float(effects.sd[0]),
        n_records=len(counted),
        by_site=by_site,
        by_kind=kind_lessons(
            counted,
            residual[kept],
            whole=covariance[np.ix_(kept, kept)] + (design * prior_sd_days**2) @ design.T,
        ),
        questions=_questions(ordered, asked),
        facts=tuple(facts),
        n_older=n_older,
    )


def _questions(facts: Sequence[Fact], asked: dict[str, str]) -> tuple[DoubtfulRecord, ...]:
    return tuple(
        DoubtfulRecord(f.record, asked[f.record.id]) for f in facts if f.record.id in asked
    )


def covariance_of(facts: Sequence[Fact], *, model_sd_days: float) -> Floats:
    """Covariance of the residuals of facts about the offset, shape (n, n) [days²]."""
    kinds: dict[str, int] = {}
    return engine.error_covariance(
        np.stack([fact.weather_days for fact in facts]),
        season=np.array([fact.season_year for fact in facts], dtype=np.int64),
        cultivar=np.array([kinds.setdefault(f.cultivar.id, len(kinds)) for f in facts]),
        cultivar_sd_days=np.array([fact.sd_days for fact in facts]),
        model_sd_days=model_sd_days,
        seen_sd_days=np.array([SEEN_SD_DAYS[fact.record.seen] for fact in facts]),
    )


def _sites_with_enough(facts: Sequence[Fact]) -> list[Site]:
    found: dict[Site, list[str]] = {}
    for fact in facts:
        found.setdefault(fact.site, []).append(fact.cultivar.id)
    if len(found) < 2:  # nothing to tell apart
        return []
    return sorted(
        site for site, kinds in found.items() if len(kinds) >= SITE_ENOUGH and len(set(kinds)) > 1
    )
