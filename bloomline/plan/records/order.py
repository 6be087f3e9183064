"""Records of one layer that contradict one another: a stage seen before an earlier one."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from bloomline.plan.records.facts import Fact
from bloomline.plan.records.stages import SEEN_ORDER, SEEN_SD_DAYS, SEEN_WORDS
from bloomline.words import tr

_CLEARLY_SD = 1.0
"""By so many standard deviations more one of two is clearly the odd one; judgement, no source."""


def out_of_order(facts: Iterable[Fact]) -> dict[str, str]:
    """What is wrong between usable records of one layer in one season, by record id.

    The record at odds with most others is questioned, so that one wrong day doesn't put the
    right ones in doubt; of those that contradict one another alike the one clearly further from
    its forecast, and all where that doesn't tell. Of a bench each may be of another pot, so that
    its records contradict nothing.
    """
    by_layer: dict[tuple[str, int], list[Fact]] = {}
    for fact in facts:
        if fact.pot.copies > 1:
            continue
        by_layer.setdefault((fact.record.layer_id, fact.season_year), []).append(fact)
    told: dict[str, str] = {}
    for some in by_layer.values():
        told |= _told(some)
    return told


def _told(facts: list[Fact]) -> dict[str, str]:
    told: dict[str, str] = {}
    clash = _clashes(facts)
    apart = np.array([_apart_sd(fact) for fact in facts])
    while True:
        n_against = clash.sum(axis=1)
        most = int(n_against.max())
        if most == 0:
            return told
        worst = np.flatnonzero(n_against == most)
        gone = worst[apart[worst] > apart[worst].max() - _CLEARLY_SD]
        for i in gone:
            # Against the nearest of those it contradicts.
            others = np.flatnonzero(clash[i])
            days = [abs((facts[k].record.day - facts[i].record.day).days) for k in others]
            told[facts[i].record.id] = _words(facts[i], facts[others[int(np.argmin(days))]])
        clash[gone, :] = False
        clash[:, gone] = False


def _clashes(facts: list[Fact]) -> NDArray[np.bool_]:
    """Which pairs contradict one another, shape (n, n)."""
    stage = np.array([SEEN_ORDER.index(fact.record.seen) for fact in facts])
    day = np.array([fact.record.day.toordinal() for fact in facts])
    wrong = (stage[:, None] < stage) & (day < day[:, None])
    return np.asarray(wrong | wrong.T)


def _apart_sd(fact: Fact) -> float:
    """How far a record lies from its forecast, in standard deviations."""
    weather = float(np.var(fact.weather_days))
    spread = fact.sd_days**2 + SEEN_SD_DAYS[fact.record.seen] ** 2 + weather
    return float(abs(fact.residual_days) / np.sqrt(spread))


def _words(fact: Fact, other: Fact) -> str:
    stages = [SEEN_ORDER.index(each.record.seen) for each in (fact, other)]
    way = tr("before") if stages[0] > stages[1] else tr("after")
    own, their = (SEEN_WORDS[each.record.seen] for each in (fact, other))
    return tr(
        "{own} lies {way} {their}, seen on {day}",
        own=own,
        way=way,
        their=their,
        day=other.record.day,
    )
