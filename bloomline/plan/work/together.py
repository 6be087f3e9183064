"""One task of many: what is to be done in several pots about the same day is done in one go."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta

from bloomline.plan.work.task import Draft, Span, Window
from bloomline.reference.tasks import TaskRule
from bloomline.words import listed, tr

_MOST_POTS = 6
_NUMBERS = re.compile(r"(\d+)").split


def by_id(key: str) -> list[tuple[int, str]]:
    """Order of keys: pot-2 before pot-10. New pots have higher numbers and come last."""
    return [(int(part), "") if part.isdecimal() else (-1, part) for part in _NUMBERS(key)]


def put_together(
    drafts: Iterable[Draft], *, rule_of: Callable[[str], TaskRule], name_of: Callable[[str], str]
) -> list[Draft]:
    """Join drafts of one kind and place whose days lie near enough, as the kind's rule says."""
    groups: dict[tuple[str, str], list[Draft]] = {}
    found: list[Draft] = []
    alone: dict[str, bool] = {}
    for draft in drafts:
        kind = draft.kind
        if kind not in alone:
            alone[kind] = rule_of(kind).together_days is None
        if alone[kind] or draft.spans:
            found.append(_reasoned(draft))
        else:
            groups.setdefault((kind, draft.title), []).append(draft)
    for (kind, _), mine in groups.items():
        if len(mine) > 1:
            mine.sort(key=lambda draft: by_id(draft.key))
        rule = rule_of(kind)
        for near in _near(mine, days=rule.together_days or 0):
            found.append(_joined(near, last=rule.together == "last", name_of=name_of))
    return found


def _near(drafts: list[Draft], *, days: int) -> list[list[Draft]]:
    """Drafts in bunches whose best days span no more than some days and whose windows share one.

    drafts : in the order of their ids, as those of a bunch are again.
    """
    order = {id(draft): at for at, draft in enumerate(drafts)}
    bunches: list[list[Draft]] = []
    shared = _Shared()
    last = date.min
    window: Window | None = None
    for draft in sorted(drafts, key=lambda each: each.window.best):
        # Many have one window, and what all share is the same with one more of them.
        again = draft.window == window
        window = draft.window
        if bunches and window.best <= last:
            wider = shared if again else shared.with_(window)
            if wider.is_enough:
                bunches[-1].append(draft)
                shared = wider
                continue
        bunches.append([draft])
        last = window.best + timedelta(days=days)
        shared = _Shared().with_(window)
    if len(bunches) == 1:
        return [drafts]
    return [sorted(bunch, key=lambda draft: order[id(draft)]) for bunch in bunches]


@dataclass(frozen=True, slots=True)
class _Shared:
    """The days that all of some windows have; grace: those that each alone has, 3 at most."""

    first: date = date.min
    last: date = date.max
    grace: int = 3

    def with_(self, window: Window) -> _Shared:
        """The same with one window more."""
        return _Shared(
            max(self.first, window.earliest),
            min(self.last, window.latest),
            min(self.grace, (window.latest - window.earliest).days),
        )

    @property
    def is_enough(self) -> bool:
        """Whether there is a day that suits all, and some days' grace where each alone has it."""
        return (self.last - self.first).days >= self.grace


def _joined(parts: list[Draft], *, last: bool, name_of: Callable[[str], str]) -> Draft:
    if len(parts) == 1:
        return _reasoned(parts[0])
    shared = _Shared()
    for window in dict.fromkeys([each.window for each in parts]):
        shared = shared.with_(window)
    first_day, last_day = shared.first, shared.last
    if not shared.is_enough:
        first_day, last_day = parts[0].window.earliest, parts[0].window.latest
    bests = [each.window.best for each in parts]
    best = min(max(max(bests) if last else min(bests), first_day), last_day)
    lapses = [each.lapses for each in parts]
    known = [day for day in lapses if day is not None]
    whole = replace(
        parts[0],
        window=Window(first_day, best, last_day),
        reason=" ".join(dict.fromkeys(each.reason for each in parts)),
        more=_told(parts, name_of=name_of),
        cautions=tuple(dict.fromkeys(words for each in parts for words in each.cautions)),
        source="; ".join(dict.fromkeys(each.source for each in parts)),
        pot_ids=tuple(dict.fromkeys([pot for each in parts for pot in each.pot_ids])),
        layer_ids=tuple(dict.fromkeys([layer for each in parts for layer in each.layer_ids])),
        companion_ids=tuple(dict.fromkeys([top for each in parts for top in each.companion_ids])),
        minutes=sum([each.minutes for each in parts]),
        lapses=max(known) if len(known) == len(lapses) else None,
        parts=tuple(parts),
    )
    return _reasoned(whole)


def _told(parts: list[Draft], *, name_of: Callable[[str], str]) -> str:
    """What is said of single parts: once where it is the same of all, else with their names."""
    told: dict[str, list[str]] = {}
    for each in parts:
        if each.more:
            told.setdefault(each.more, []).append(_what([each], name_of=name_of))
    if len(told) == 1 and len(next(iter(told.values()))) == len(parts):
        return next(iter(told))
    return " ".join(f"{listed(names)}: {words}" for words, names in told.items())


def _what(parts: Iterable[Draft], *, name_of: Callable[[str], str]) -> str:
    """Pots, or what is in them: a and b in one pot, c in another."""
    parts = list(parts)
    if len(parts) == 1 and len(parts[0].pot_ids) == 1:
        thing, name = parts[0].thing, name_of(parts[0].pot_ids[0])
        return tr("{what} in {names}", what=thing, names=name) if thing else name
    things: dict[tuple[str, ...], list[str]] = {}
    for each in parts:
        things.setdefault(each.pot_ids, []).extend([each.thing] if each.thing else [])
    if not any(things.values()):
        return listed((name_of(pot) for pots in things for pot in pots), most=_MOST_POTS)
    told = []
    for pots, what in things.items():
        names = name_of(pots[0]) if len(pots) == 1 else listed(map(name_of, pots))
        if what:
            all_of = what[0] if len(what) == 1 else listed(what)
            names = tr("{what} in {names}", what=all_of, names=names)
        told.append(names)
    return "; ".join(told)


def _reasoned(draft: Draft) -> Draft:
    """The draft with all that is said of it in its reason."""
    words = (draft.reason, draft.more, *draft.cautions)
    return replace(draft, reason=" ".join(" ".join(words).split()), more="", cautions=())


def title_of(draft: Draft, *, name_of: Callable[[str], str]) -> str:
    """The title with its pots."""
    if "{what}" not in draft.title:
        return draft.title
    return draft.title.replace("{what}", _what(draft.each, name_of=name_of))


def spells(spans: Iterable[Span]) -> list[list[Span]]:
    """Spans in runs without a day between them, so that every turn of a run has its pot.

    spans : in the order of their ids. In each run they stand in the order of their first days,
    then of their ids.
    """
    runs: list[list[Span]] = []
    last = date.min
    for span in sorted(spans, key=lambda each: each.first):
        if runs and (span.first - last).days <= 1:
            runs[-1].append(span)
            last = max(last, span.last)
        else:
            runs.append([span])
            last = span.last
    return runs
