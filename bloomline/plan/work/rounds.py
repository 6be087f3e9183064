"""Rounds: work that recurs, at each pot on its own days."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from functools import partial
from itertools import chain
from operator import attrgetter, itemgetter
from typing import Any

from bloomline.model.yard import Pot
from bloomline.plan.work.alike import Lot
from bloomline.plan.work.draft import About, Call, Draft
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.scene import Scene
from bloomline.plan.work.task import Span, Window

_WEEK_DAYS = 7
_span = partial(tuple.__new__, Span)  # of any row, at once


def call(
    kind: str,
    lot: Lot,
    plants: Sequence[Plant],
    first: date,
    last: date,
    *,
    on: Sequence[Pot | Plant],
    told: str = "",
) -> Call:
    """Days on which a round calls at every pot of a lot, for some of its plants.

    kind, on : what the call is named by, as a task's key is. told : what is said of it.
    """
    return Call(About(lot, kind, tuple(on), tuple(plants)), first, last, told)


def rounds(
    scene: Scene, kind: str, calls: Iterable[Call], *, on: str = "", tells: bool = True
) -> Iterator[tuple[Draft, tuple[Call, ...]]]:
    """Rounds that call at each pot on its own days; what has a gap between is a round anew.

    on : what the first round is called by; the others, and all without it, by their first
    part in the order of ids. tells : whether it says when it calls where, if that differs.
    With each round comes, for each of its spans, the call it is one of.
    """
    rule = scene.tasks.rule(kind)
    title, reason = scene.said(kind)
    turns: Counter[str] = Counter()
    for number, run in enumerate(_spells(calls)):
        mine = sorted(chain.from_iterable([_spans(scene, each) for each in run]), key=itemgetter(0))
        _, spans, called_by = zip(*mine, strict=True)
        keys, pot_ids, layer_ids, _, _ = zip(*spans, strict=True)
        parts = list(dict.fromkeys(keys))
        turns.update(parts)
        called = [_round_key(part, turns[part]) for part in parts]
        first, last = min(each.first for each in run), max(each.last for each in run)
        best = first
        if rule.repeat_days == _WEEK_DAYS:
            # What is done once a week is done on one day, when most have time for it.
            saturday = first + timedelta(days=(5 - first.weekday()) % _WEEK_DAYS)
            best = saturday if saturday <= last else first
        spread = any((each.first, each.last) != (first, last) for each in run)
        key = scene.key(kind, [on]) if on and not number else called[0]
        called_at = sum(_pots(each) * ((each.last - each.first).days + 1) for each in run)
        draft = Draft(
            key=key,
            kind=kind,
            title=title,
            window=Window(first, best, last),
            reason=reason,
            source=rule.source,
            pot_ids=tuple(dict.fromkeys(pot_ids)),
            layer_ids=tuple(dict.fromkeys(chain.from_iterable(layer_ids))),
            minutes=rule.minutes * max(1.0, called_at / ((last - first).days + 1)),
            more=_when(scene, spans) if spread and tells else "",
            repeat_days=rule.repeat_days,
            spans=spans,
            known_as=tuple(dict.fromkeys([key, *called])),
        )
        yield draft, called_by


def _spells(calls: Iterable[Call]) -> list[list[Call]]:
    """Calls in runs without a day between them, so that every turn of a run has its pot."""
    runs: list[list[Call]] = []
    last = date.min
    for each in sorted(calls, key=attrgetter("first")):
        if runs and (each.first - last).days <= 1:
            runs[-1].append(each)
            last = max(last, each.last)
        else:
            runs.append([each])
            last = each.last
    return runs


def _spans(scene: Scene, of: Call) -> list[tuple[tuple[Any, ...], Span, Call]]:
    """A call at each pot, with the order of its key."""
    first, last = of.first, of.last
    return [
        (order, _span((key, pot_id, layer_ids, first, last)), of)
        for order, key, pot_id, layer_ids in scene.each(of.about)
    ]


def _when(scene: Scene, spans: Sequence[Span]) -> str:
    """When a round calls at each pot, in the order of first days."""
    words = {days: scene.span_words(*days) for days in {span[-2:] for span in spans}}
    in_turn = sorted(spans, key=attrgetter("first"))
    told = [f"{scene.names[span.pot_id]}: {words[span[-2:]]}." for span in in_turn]
    return " ".join(dict.fromkeys(told))


def _pots(of: Call) -> int:
    """How many pots a call is at, each of a bench counted."""
    lot = of.about.lot
    return len(lot.pot_ids) * lot.pot.copies


def _round_key(key: str, turn: int) -> str:
    """What a round is called after one of its parts: unlike that part, which stood alone once.

    turn : 1 for the first round that calls at it in the season; later ones are numbered.
    """
    return key.replace(":", ":round:" if turn == 1 else f":round-{turn}:", 1)
