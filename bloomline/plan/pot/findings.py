"""What is amiss in pots: looked for once in those that are alike inside, told of each by name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date

from bloomline.model.advice import Severity
from bloomline.model.mending import FieldChange, Mending
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

    def look(bare: Pot, order: _Turns, together: _Turns) -> tuple[PotFinding, ...]:
        finder = Finder(
            bare,
            cultivar_of=cultivar_of,
            order=_by_place(order),
            together=_by_place(together),
            writing=writing,
        )
        found = finder.found(with_mending=with_mending, about_room=about_room)
        return tuple(sorted(found, key=lambda each: _RANK.index(each.severity)))

    kinds = Kinds(look, of_pot=MEASURES, of_layer=_OF_LAYER)
    for pot in pots:
        inside = [layer for layer in pot.layers if layer.state != "lifted"]
        ids = [layer.id for layer in inside]
        order = _turns(days, ids)
        together = _turns(same_time(days, ids), ids) if order else ()
        found = kinds.of(pot, inside, order, together)
        yield tuple(_named(found, pot, inside, days, cultivar_of=cultivar_of))


def _turns(days: Mapping[str, float], layer_ids: Sequence[str]) -> _Turns:
    """In which turn layers open: that alone matters inside a pot. Nothing where none is known."""
    if not days:
        return ()
    opens = [days.get(layer_id) for layer_id in layer_ids]
    turns = sorted({day for day in opens if day is not None})
    return tuple([None if day is None else turns.index(day) for day in opens])


def _by_place(order: _Turns) -> dict[str, float]:
    return {str(at): float(turn) for at, turn in enumerate(order) if turn is not None}


def _named(
    found: Iterable[PotFinding],
    pot: Pot,
    inside: Sequence[Layer],
    days: Mapping[str, float],
    *,
    cultivar_of: CultivarOf,
) -> Iterator[PotFinding]:
    """What was found in a bare pot, said of one that is alike inside."""
    called = {str(place): layer.id for place, layer in enumerate(inside)}
    mendings: dict[int, Mending] = {}  # several findings may be mended by the same change
    for each in found:
        ids = tuple([called[place] for place in each.layer_ids])
        advice, values = each.advice, each.values
        if each.code == "no_room":
            name = cultivar_of(inside[int(each.layer_ids[0])].cultivar_id).name
            advice = replace(advice, message=too_wide_words(name, pot.name))
        elif each.code == "later_above_earlier":
            opens, lower_opens = (date.fromordinal(int(days[key])).isoformat() for key in ids)
            values = (("flowers", opens), ("lower_flowers", lower_opens))
        mending = advice.mending
        if mending is not None:
            if id(mending) not in mendings:
                mendings[id(mending)] = _mending_of(mending, pot, called)
            advice = advice.mended_by(mendings[id(mending)])
        yield PotFinding(each.code, pot.id, pot.name, ids, values, advice)


def _mending_of(mending: Mending, pot: Pot, called: Mapping[str, str]) -> Mending:
    return Mending(
        mending.words,
        pot.id,
        tuple([FieldChange(pot.id, each.field, each.value) for each in mending.pot]),
        tuple([FieldChange(called[each.id], each.field, each.value) for each in mending.layers]),
    )
