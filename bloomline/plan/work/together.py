"""One task of many: what is to be done in several pots about the same day is done in one go."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import chain
from operator import attrgetter

from bloomline.plan.work.draft import Draft, Part
from bloomline.plan.work.task import Window
from bloomline.reference.tasks import TaskRule
from bloomline.words import listed, tr

_MOST_POTS = 6
_NUMBERS = re.compile(r"(\d+)").split
_in_order = attrgetter("order")


def by_id(key: str) -> list[str | int]:
    """Order of keys: pot-2 before pot-10. New pots have higher numbers and come last."""
    parts: list[str | int] = [*_NUMBERS(key)]  # words and numbers by turns
    parts[1::2] = map(int, parts[1::2])
    return parts


def put_together(
    drafts: Iterable[Draft],
    *,
    parts_of: Callable[[Draft], Iterator[Part]],
    rule_of: Callable[[str], TaskRule],
    name_of: Callable[[str], str],
) -> list[Draft]:
    """Join drafts of one kind and place whose days lie near enough, as the kind's rule says.

    parts_of : a draft for every pot of which it is said.
    """
    groups: dict[tuple[str, str], list[Draft]] = {}
    for draft in drafts:
        groups.setdefault((draft.kind, draft.title), []).append(draft)
    found: list[Draft] = []
    for (kind, _), mine in groups.items():
        rule = rule_of(kind)
        parts = sorted(chain.from_iterable(map(parts_of, mine)), key=_in_order)
        if rule.together_days is None:
            found += [_joined([part], last=False, name_of=name_of) for part in parts]
            continue
        for near in _near(parts, days=rule.together_days):
            found.append(_joined(near, last=rule.together == "last", name_of=name_of))
    return found


def _near(parts: list[Part], *, days: int) -> list[list[Part]]:
    """Parts in bunches whose best days span no more than some days and whose windows share one.

    parts : in the order of their ids, as those of a bunch are again.
    """
    bunches: list[list[Part]] = []
    shared = _Shared()
    taken: set[int] = set()
    last = date.min
    for part in sorted(parts, key=lambda each: each.draft.window.best):
        window = part.draft.window
        if bunches and window.best <= last:
            # Many have one window, and what all share is the same with one more of them.
            wider = shared if id(window) in taken else shared.with_(window)
            if wider.is_enough:
                bunches[-1].append(part)
                shared = wider
                taken.add(id(window))
                continue
        bunches.append([part])
        last = window.best + timedelta(days=days)
        shared = _Shared().with_(window)
        taken = {id(window)}
    if len(bunches) == 1:
        return [parts]
    return [sorted(bunch, key=_in_order) for bunch in bunches]


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


def _joined(parts: list[Part], *, last: bool, name_of: Callable[[str], str]) -> Draft:
    """One task of several parts, with all that is said of it in its reason."""
    of_parts: tuple[Draft, ...]
    _, keys, pot_ids, layer_ids, of_parts = zip(*parts, strict=True)
    drafts = list(dict.fromkeys(of_parts))
    shared = _Shared()
    for window in dict.fromkeys([each.window for each in drafts]):
        shared = shared.with_(window)
    first_day, last_day = shared.first, shared.last
    if not shared.is_enough:
        first_day, last_day = drafts[0].window.earliest, drafts[0].window.latest
    bests = [each.window.best for each in drafts]
    best = min(max(max(bests) if last else min(bests), first_day), last_day)
    lapses = [each.lapses for each in drafts]
    known = [day for day in lapses if day is not None]
    reasons = dict.fromkeys([each.reason for each in drafts])
    said: Iterable[tuple[str, ...]] = [each.cautions for each in drafts]
    if any(each.heavy for each in drafts):  # which is said with the name of each pot
        said = [_cautions(each, name_of) for each in parts]
    cautions = dict.fromkeys(chain.from_iterable(said))
    words = (*reasons, _told(parts, drafts, name_of=name_of), *cautions)
    return replace(
        drafts[0],
        key=keys[0],
        about=None,
        window=Window(first_day, best, last_day),
        reason=_in_line(" ".join(filter(None, words))),
        more="",
        cautions=(),
        heavy="",
        source="; ".join(dict.fromkeys([each.source for each in drafts])),
        pot_ids=tuple(dict.fromkeys(chain.from_iterable(pot_ids))),
        layer_ids=tuple(dict.fromkeys(chain.from_iterable(layer_ids))),
        minutes=sum([each.minutes for each in of_parts]),
        lapses=max(known) if len(known) == len(lapses) else None,
        parts=tuple(parts),
    )


def _in_line(text: str) -> str:
    """Text with one blank between its words; a list of a nursery's pots is long, and has."""
    return text if "  " not in text and text.isprintable() else " ".join(text.split())


def _cautions(part: Part, name_of: Callable[[str], str]) -> tuple[str, ...]:
    draft = part.draft
    if not draft.heavy:
        return draft.cautions
    return (*draft.cautions, f"{name_of(part.pot_ids[0])}: {draft.heavy}")


def _told(parts: Sequence[Part], drafts: Sequence[Draft], *, name_of: Callable[[str], str]) -> str:
    """What is said of single parts: once where it is the same of all, else with their names."""
    if len({each.more for each in drafts}) == 1:
        return drafts[0].more
    told: dict[str, list[str]] = {}
    what_in = tr("{what} in {names}")
    for each in parts:
        draft = each.draft
        if draft.more:
            name = name_of(each.pot_ids[0])
            what = what_in.format(what=draft.thing, names=name) if draft.thing else name
            told.setdefault(draft.more, []).append(what)
    return " ".join(f"{listed(names)}: {words}" for words, names in told.items())


def _what(parts: Sequence[Part], *, name_of: Callable[[str], str]) -> str:
    """Pots, or what is in them: a and b in one pot, c in another."""
    things: dict[tuple[str, ...], list[str]] = {}
    for each in parts:
        thing = each.draft.thing
        things.setdefault(each.pot_ids, []).extend([thing] if thing else [])
    if not any(things.values()):
        return listed((name_of(pot) for pots in things for pot in pots), most=_MOST_POTS)
    told = []
    what_in = tr("{what} in {names}")
    for pots, what in things.items():
        names = name_of(pots[0]) if len(pots) == 1 else listed(map(name_of, pots))
        if what:
            names = what_in.format(what=what[0] if len(what) == 1 else listed(what), names=names)
        told.append(names)
    return "; ".join(told)


def title_of(draft: Draft, *, name_of: Callable[[str], str]) -> str:
    """The title with its pots."""
    if "{what}" not in draft.title:
        return draft.title
    return draft.title.replace("{what}", _what(draft.each, name_of=name_of))
