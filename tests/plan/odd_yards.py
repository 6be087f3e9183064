"""Yards with invented records, some of them wrong in the ways in which entries go wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from bloomline.model.yard import Record
from bloomline.plan.records.facts import Fact

SLIPS = ("month", "swapped", "layer", "any")
"""A month too many or too few; day and month swapped; another layer's day; any day at all."""


def told(facts: Sequence[Fact], rng: np.random.Generator, *, offset: float) -> list[Fact]:
    """Facts as they would be seen: offset, the season's weather, cultivar, model and eye."""
    seasons = sorted({fact.season_year for fact in facts})
    year = {season: int(rng.integers(facts[0].weather_days.size)) for season in seasons}
    kind = {fact.cultivar.id: rng.normal() for fact in facts}
    model = {(fact.cultivar.id, fact.season_year): rng.normal(0.0, 2.0) for fact in facts}
    found = []
    for fact in facts:
        days = offset + fact.weather_days[year[fact.season_year]]
        days += kind[fact.cultivar.id] * fact.sd_days
        days += model[fact.cultivar.id, fact.season_year] + rng.normal(0.0, 1.5)
        found.append(replace(fact, residual_days=float(days)))
    return found


def records_of(facts: Sequence[Fact]) -> list[Record]:
    """Records on the days on which facts say that things were seen."""
    return [
        fact.record.model_copy(
            update={"day": fact.expected + timedelta(days=round(fact.residual_days))}
        )
        for fact in facts
        if fact.expected is not None
    ]


def with_slips(
    records: Sequence[Record], rng: np.random.Generator, *, share: float
) -> tuple[list[Record], set[str]]:
    """The same records with a share of them wrong, and the ids of those."""
    wrong = {int(i) for i in rng.choice(len(records), int(len(records) * share), replace=False)}
    out = []
    for i, record in enumerate(records):
        day = record.day
        if i in wrong:
            slip = SLIPS[int(rng.integers(len(SLIPS)))]
            if slip == "layer":
                other = records[int(rng.integers(len(records)))].day
                day = date(day.year, other.month, min(other.day, 28))
            elif slip == "swapped" and day.day <= 12 and day.day != day.month:
                day = date(day.year, day.day, day.month)
            elif slip == "any":
                day = date(day.year, 1, 1) + timedelta(days=int(rng.integers(365)))
            else:
                day += timedelta(days=int(rng.choice([-31, -30, 30, 31])))
        out.append(record.model_copy(update={"day": day}))
    return out, {records[i].id for i in wrong}
