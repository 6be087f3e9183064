"""Pots that differ in ids and names alone: their tasks are worked out once and said of each."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import dataclass

from bloomline.model.yard import Pot
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.task import Draft

_OWN = frozenset({"id", "name", "notes", "to_buy", "layers", "companions"})
"""What pots and layers may differ in and be alike; whether a pot is to be bought is no work."""


@dataclass(frozen=True, slots=True)
class _Said:
    """A draft as it is said of every pot that is alike.

    about : which layer its key begins with, by number in the pot; None for the pot itself.
    behind : what stands behind that in the key. layers : which it is about, by number.
    named : the caution that begins with the pot's name, by number, and the rest of it.
    """

    draft: Draft
    about: int | None
    behind: str
    layers: tuple[int, ...]
    named: tuple[int, str] | None


class Alike:
    """Knows which pots are alike, and what was said of the first of them.

    Of a pot alone are its ids, which lead the keys of its tasks, and its name, which may stand
    before a caution.
    """

    def __init__(
        self,
        pots: Iterable[tuple[Pot, list[Plant]]],
        *,
        names: dict[str, str],
        heavy_words: Callable[[Pot], str],
    ) -> None:
        """names : of pots by id. heavy_words : the caution on a pot's weight, without its name."""
        self._names = names
        self._heavy_words = heavy_words
        numbers: dict[Hashable, int] = {}
        self._groups: dict[str, int] = {}
        for pot, plants in pots:
            ids = [plant.layer.id for plant in plants]
            if pot.id not in ids:  # else a key doesn't tell which of the two leads it
                number = numbers.setdefault(_likeness(pot, plants), len(numbers))
                self._groups[pot.id] = number
        self._said: dict[Hashable, tuple[_Said, ...] | None] = {}

    def drafts(
        self,
        family: str,
        pot: Pot,
        plants: list[Plant],
        make: Callable[[], Iterable[Draft]],
        *also: Hashable,
    ) -> Iterator[Draft]:
        """The tasks of one family for a pot.

        plants : all that is in it, in one order. make : makes them for this pot. also : what
        they rest on beside pot, layers, kinds, forecasts and what the whole yard shares.
        """
        group = self._groups.get(pot.id)
        if group is None:
            yield from make()
            return
        question = (family, group, also)
        if question not in self._said:
            drafts = list(make())
            self._said[question] = self._without_ids(drafts, pot, plants)
            yield from drafts
            return
        said = self._said[question]
        if said is None:
            yield from make()
            return
        for each in said:
            yield self._of(each, pot, plants)

    def _without_ids(
        self, drafts: list[Draft], pot: Pot, plants: list[Plant]
    ) -> tuple[_Said, ...] | None:
        """What is the same of pots that are alike; None where a key doesn't show its ids."""
        at = {plant.layer.id: number for number, plant in enumerate(plants)}
        said = []
        for draft in drafts:
            about, _, behind = draft.key.partition(":")[2].partition(":")
            if about != pot.id and about not in at:
                return None
            heavy = self._heavy_words(pot) if draft.cautions else ""
            own = f"{self._names[pot.id]}: {heavy}"
            named = (draft.cautions.index(own), heavy) if own in draft.cautions else None
            layers = tuple([at[layer_id] for layer_id in draft.layer_ids])
            said.append(_Said(draft, at.get(about), f":{behind}", layers, named))
        return tuple(said)

    def _of(self, said: _Said, pot: Pot, plants: list[Plant]) -> Draft:
        draft, cautions = said.draft, said.draft.cautions
        about = pot.id if said.about is None else plants[said.about].layer.id
        if said.named is not None:
            number, words = said.named
            own = f"{self._names[pot.id]}: {words}"
            cautions = (*cautions[:number], own, *cautions[number + 1 :])
        return Draft(
            f"{draft.key.partition(':')[0]}:{about}{said.behind}",
            draft.kind,
            draft.title,
            draft.window,
            draft.reason,
            draft.source,
            (pot.id,),
            tuple([plants[number].layer.id for number in said.layers]),
            draft.minutes,
            draft.thing,
            draft.more,
            cautions,
            draft.repeat_days,
            draft.done_by_state,
            draft.lapses,
        )


def _likeness(pot: Pot, plants: list[Plant]) -> Hashable:
    """All that tasks of a pot can rest on and that is its own, but for ids and names."""
    parts: list[Hashable] = [each for name, each in pot.__dict__.items() if name not in _OWN]
    for plant in plants:
        forecast = plant.forecast
        parts += [each for name, each in plant.layer.__dict__.items() if name not in _OWN]
        parts += (
            *(forecast.established, forecast.planted, forecast.height_cm),
            *(forecast.nose, forecast.start, forecast.full, forecast.end, forecast.leaves_over),
            *(forecast.cold_weeks, forecast.cold_plan),
        )
    # What is no plant of the season still weighs, and what stands on top may be minded.
    others = pot.layers if len(plants) < len(pot.layers) else ()
    for other in (*others, *pot.companions):
        parts += [each for name, each in other.__dict__.items() if name not in _OWN]
    return tuple(parts)
