"""What is amiss in pots: looked for once in those that are alike inside, told of each by name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from functools import cache, lru_cache

from bloomline.model.advice import Severity
from bloomline.model.yard import Layer, Pot
from bloomline.plan.pot.advice import PLAIN, Writing, too_wide_words
from bloomline.plan.pot.alike import MEASURES, Kinds
from bloomline.plan.pot.finder import Finder
from bloomline.plan.pot.finding import PotFinding
from bloomline.plan.pot.fitting import CultivarOf
from bloomline.plan.pot.layout import same_time

_RANK = [Severity.WARNING, Severity.CAUTION, Severity.NOTE]
_OF_LAYER = ("cultivar_id", "count", "cover_cm", "planted", "lifted_on", "state")
_Turns = tuple[int | None, ...]
_Alike = tuple[tuple[int, ...], PotFinding]
"""A finding in a bare pot, with the places of its layers."""


def pot_findings(
    pot: Pot,
    *,
    cultivar_of: CultivarOf,
    flowering_days: Mapping[str, float] | None = None,
    writing: Writing = PLAIN,
    with_mending: bool = True,
    about_room: bool = False,
) -> tuple[PotFinding, ...]:
    """Everything amiss in a pot, the gravest first; bulbs that are lifted are left out of it.

    flowering_days : first flower of layers by id, as `date.toordinal`, for their order.
    with_mending : False spares the search for what mends it, for marks that only need to know.
    about_room : only those about bulbs that have no room.
    Raises UnknownNameError for a cultivar.
    """
    (found,) = findings_of(
        [pot],
        cultivar_of=cultivar_of,
        flowering_days=flowering_days,
        writing=writing,
        with_mending=with_mending,
        about_room=about_room,
    )
    return found


def findings_of(
    pots: Iterable[Pot],
    *,
    cultivar_of: CultivarOf,
    flowering_days: Mapping[str, float] | None = None,
    writing: Writing = PLAIN,
    with_mending: bool = True,
    about_room: bool = False,
) -> Iterator[tuple[PotFinding, ...]]:
    """What `pot_findings` says of each pot, pot by pot; only those that differ are looked into."""
    days = flowering_days or {}

    def look(bare: Pot, order: _Turns, together: _Turns) -> list[_Alike]:
        finder = Finder(
            bare,
            cultivar_of=cultivar_of,
            order=_by_place(order),
            together=_by_place(together),
            writing=writing,
        )
        found = finder.found(with_mending=with_mending, about_room=about_room)
        found.sort(key=lambda each: _RANK.index(each.severity))
        return [(tuple(map(int, each.layer_ids)), each) for each in found]

    kinds = Kinds(look, of_pot=MEASURES, of_layer=_OF_LAYER)
    turns_of = cache(_turns)
    for pot in pots:
        inside = [layer for layer in pot.layers if layer.state != "lifted"]
        opens = tuple([days.get(layer.id) for layer in inside])
        found = kinds.of(pot, inside, *(turns_of(opens) if days else ((), ())))
        yield _named(found, pot, inside, opens, cultivar_of=cultivar_of)


def _turns(opens: tuple[float | None, ...]) -> tuple[_Turns, _Turns]:
    """In which turn layers open, by their first flowers: that alone matters inside a pot.

    Then the same with those in one turn that open within days of one another.
    """
    days = {str(at): day for at, day in enumerate(opens) if day is not None}
    about = same_time(days, [*days])
    return _ranked(opens), _ranked([about.get(str(at)) for at in range(len(opens))])


def _ranked(opens: Sequence[float | None]) -> _Turns:
    turns = sorted({day for day in opens if day is not None})
    return tuple([None if day is None else turns.index(day) for day in opens])


def _by_place(order: _Turns) -> dict[str, float]:
    return {str(at): float(turn) for at, turn in enumerate(order) if turn is not None}


def _named(
    found: Iterable[_Alike],
    pot: Pot,
    inside: Sequence[Layer],
    opens: Sequence[float | None],
    *,
    cultivar_of: CultivarOf,
) -> tuple[PotFinding, ...]:
    """What was found in a bare pot, said of one that is alike inside."""
    called = tuple([layer.id for layer in inside])
    named = []
    for places, (code, _, _, _, values, said, _) in found:
        if code == "no_room":
            name = cultivar_of(inside[places[0]].cultivar_id).name
            said = replace(said, message=too_wide_words(name, pot.name))
        elif code == "later_above_earlier":
            upper, lower = (_iso_day(opens[at]) for at in places)
            values = (("flowers", upper), ("lower_flowers", lower))
        ids = tuple([called[at] for at in places])
        named.append(PotFinding(code, pot.id, pot.name, ids, values, said, called))
    return tuple(named)


@lru_cache(maxsize=1024)
def _iso_day(ordinal: float | None) -> str:
    return "" if ordinal is None else date.fromordinal(int(ordinal)).isoformat()
