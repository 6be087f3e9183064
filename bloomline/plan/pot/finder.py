"""The search for what is amiss in a pot, and for the one change that mends it.

Each finding has a code, its figures, how grave it is, its words, and what mends it, as far as
anything does: a number of bulbs that fits, depths laid out anew, planting days in the order in
which a pot is filled, a measure that was mistyped. A change is offered only when the finding is
gone afterwards and nothing graver has come.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence, Set
from datetime import date
from functools import partial
from typing import NamedTuple

from bloomline.engine.layers import LayerFinding
from bloomline.model.advice import Advice, Severity
from bloomline.model.mending import FieldChange, Mending
from bloomline.model.revising import given
from bloomline.model.yard import Layer, Pot
from bloomline.plan.pot.advice import (
    Writing,
    finding_advice,
    is_worth_telling,
    many_layers_advice,
    order_advice,
    room_advice,
    size_advice,
)
from bloomline.plan.pot.finding import ROOM, SEVERITIES, PotFinding, PotFindingCode, Values
from bloomline.plan.pot.fitting import CultivarOf, PotFit, fit_pot
from bloomline.plan.pot.layout import covers_in_turn, left_alone
from bloomline.plan.pot.residence import TOGETHER_DAYS, plantings_of
from bloomline.words import listed, tr

WIDEST_CM, LONGEST_CM, HIGHEST_CM = 200.0, 500.0, 150.0
"""Pots larger than this are asked about; judgement, no source: sold containers end well below."""

_IN_THE_GROUND = ("planted", "flowering")

_Key = tuple[object, ...]


class Noted(NamedTuple):
    """A finding that is put in words by `say` when it is told."""

    code: PotFindingCode
    layer_ids: tuple[str, ...]
    values: Values
    say: Callable[[], Advice]

    @property
    def key(self) -> _Key:
        """What it is about, whatever its figures."""
        return self.code, self.layer_ids

    @property
    def is_grave(self) -> bool:
        """Whether it is more than a note."""
        return SEVERITIES[self.code] is not Severity.NOTE

    @property
    def is_about_room(self) -> bool:
        """Whether bulbs have no room where they are to lie."""
        return self.code in ROOM


class Finder:
    """One pot, none of whose bulbs are lifted, and what is asked of it.

    order : turns in which layers open, by id, any rising number; together : the same for layers
    that open within days of one another. Figures that are days of flower are left out, and so is
    the pot's name: both are said by `findings`, since pots that are alike inside differ in them.
    """

    def __init__(
        self,
        pot: Pot,
        *,
        cultivar_of: CultivarOf,
        order: Mapping[str, float],
        together: Mapping[str, float],
        writing: Writing,
    ) -> None:
        """Look into the pot. Raises UnknownNameError for a cultivar."""
        self.pot = pot
        self.cultivar_of = cultivar_of
        self.order, self.together = order, together
        self.writing = writing
        self.names = {layer.id: cultivar_of(layer.cultivar_id).name for layer in pot.layers}
        self.fit: PotFit = fit_pot(pot, cultivar_of=cultivar_of, flowering_days=order)
        self._laid: tuple[Mending | None, Set[_Key]] | None = None

    def found(self, *, with_mending: bool, about_room: bool) -> list[PotFinding]:
        """All findings, or those about room, with what mends them if that is wanted."""
        noted = [
            each
            for each in (self._room() if about_room else self.noted())
            if each.is_about_room or not about_room
        ]
        pot, called = self.pot, tuple([layer.id for layer in self.pot.layers])
        found = []
        for code, ids, values, say in noted:
            said = say()
            mending = self._mending(code, ids, noted) if with_mending else None
            said = said if mending is None else said.mended_by(mending)
            found.append(PotFinding(code, pot.id, pot.name, ids, values, said, called))
        return found

    def noted(self) -> Iterator[Noted]:
        """All findings, not yet in words."""
        yield from self._size()
        yield from self._room()
        yield from self._depths()
        many = many_layers_advice(self.pot, writing=self.writing)
        if many is not None:
            yield Noted("too_many_layers", (), (("layers", len(self.pot.layers)),), lambda: many)
        yield from self._planting_order()

    def _room(self) -> Iterator[Noted]:
        for fit in self.fit.layers:
            room = fit.room
            if fit.count <= room.usual and room.tight >= 1:
                continue
            code: PotFindingCode = (
                "no_room" if room.tight < 1 else "too_many" if fit.count > room.tight else "tight"
            )
            values = (("count", fit.count), ("fit_well", room.usual), ("fit_at_most", room.tight))
            say = partial(room_advice, code, fit, self.names[fit.layer_id], self.pot)
            yield Noted(code, (fit.layer_id,), values, say)

    def _depths(self) -> Iterator[Noted]:
        findings = self.fit.layout.findings
        # A layer in the crocks lies wrong in every other way too: that is said once.
        lost = {each.index for each in findings if each.code == "in_crocks"}
        # Later and taller above another are one fault of order.
        later = {(e.index, e.other) for e in findings if e.code == "later_above_earlier"}
        for each in findings:
            is_said = (each.code != "in_crocks" and lost & {each.index, each.other}) or (
                each.code == "taller_above_shorter" and (each.index, each.other) in later
            )
            if not is_said and is_worth_telling(each):
                yield self._lying(each)

    def _lying(self, finding: LayerFinding) -> Noted:
        fits = self.fit.layers
        ids: tuple[str, ...] = (fits[finding.index].layer_id,)
        if finding.other is not None:
            ids += (fits[finding.other].layer_id,)
        values: Values = (
            ("value_cm", round(finding.value, 2)),
            ("limit_cm", round(finding.limit, 2)),
        )
        if finding.code == "later_above_earlier":
            values = ()
        say = partial(finding_advice, finding, self.pot, self.names, writing=self.writing)
        return Noted(finding.code, ids, values, say)

    def _size(self) -> Iterator[Noted]:
        slips = size_slips(self.pot)
        if slips:
            sizes = {name: float(getattr(self.pot, name)) for name, _ in slips}
            told = [(_MEASURES[name], sizes[name], meant) for name, meant in slips]
            say = partial(size_advice, told, writing=self.writing)
            yield Noted("size_doubtful", (), tuple(sizes.items()), say)

    def _planting_order(self) -> Iterator[Noted]:
        """Layers that would be planted before one that lies under them, by the lower one."""
        for lower, uppers in early_uppers(self.pot, cultivar_of=self.cultivar_of):
            yield Noted(
                "planted_before_lower",
                tuple(each.id for each in (*uppers, lower)),
                (
                    ("planted", min(each.planted for each in uppers).isoformat()),
                    ("lower_planted", lower.planted.isoformat()),
                ),
                partial(order_advice, uppers, lower, self.names, writing=self.writing),
            )

    # What mends it

    def _mending(
        self, code: PotFindingCode, layer_ids: tuple[str, ...], before: Sequence[Noted]
    ) -> Mending | None:
        if code in ("too_many", "tight"):
            return self._fewer(code, layer_ids[0])
        if code == "size_doubtful":
            return self._resized()
        if code == "planted_before_lower":
            return self._in_order()
        if code == "too_many_layers":
            return None
        if self._laid is None:
            self._laid = self._lay_out(before)
        laid, left = self._laid
        return None if (code, layer_ids) in left else laid

    def _fewer(self, code: PotFindingCode, layer_id: str) -> Mending | None:
        at = next(i for i, each in enumerate(self.fit.layers) if each.layer_id == layer_id)
        fit, verb = self.fit.layers[at], tr("Plant")
        if self.pot.layers[at].state in _IN_THE_GROUND:
            if code == "tight":
                return None  # they lie there, and can
            verb = tr("Note")
        count = max(fit.room.usual, 1)
        return Mending(
            tr("{verb} {count} instead of {count2}", verb=verb, count=count, count2=fit.count),
            self.pot.id,
            layers=(FieldChange(fit.layer_id, "count", count),),
        )

    def _resized(self) -> Mending:
        slips = size_slips(self.pot)
        sizes = listed(f"{self.writing.length(meant)} {_MEASURES[name]}" for name, meant in slips)
        return Mending(
            tr("Make it {sizes}", sizes=sizes),
            self.pot.id,
            pot=tuple(FieldChange(self.pot.id, name, meant) for name, meant in slips),
        )

    def _in_order(self) -> Mending | None:
        """Plant each layer no earlier than what lies under it; the later days stay."""
        days = {layer.id: layer.planted for layer in self.pot.layers}
        changed: dict[str, date] = {}
        for lower, uppers in reversed(early_uppers(self.pot, cultivar_of=self.cultivar_of)):
            for layer in uppers:
                if layer.state in _IN_THE_GROUND:
                    return None
                day = max(changed.get(layer.id, days[layer.id]), lower.planted)
                if layer.lifted_on is not None and layer.lifted_on <= day:
                    return None
                changed[layer.id] = day
        said: dict[date, list[str]] = {}
        for layer_id, day in changed.items():
            said.setdefault(day, []).append(self.names[layer_id])
        words = "; ".join(
            tr("{names} on {day}", names=listed(names), day=self.writing.day(day))
            for day, names in said.items()
        )
        return Mending(
            tr("Plant {words}", words=words),
            self.pot.id,
            layers=tuple(FieldChange(name, "planted", day) for name, day in changed.items()),
        )

    def _lay_out(self, before: Sequence[Noted]) -> tuple[Mending | None, Set[_Key]]:
        """Lay the pot's layers at proper depths, and what is amiss then; not for graver faults."""
        pot = self.pot
        rooted = any(layer.state in _IN_THE_GROUND for layer in pot.layers)
        lost = any(each.code == "in_crocks" for each in self.fit.layout.findings)
        # Bulbs in the ground are not moved; but where none can lie so, the note is wrong.
        if left_alone(pot, cultivar_of=self.cultivar_of) and not (rooted and lost):
            return None, set()
        if len(plantings_of(pot, cultivar_of=self.cultivar_of)) > 1:
            return None, set()
        covers = covers_in_turn(pot, cultivar_of=self.cultivar_of, days=self.together)
        was = {layer.id: layer.cover_cm for layer in pot.layers}
        depths = ", ".join(
            f"{self.names[layer_id]} {self.writing.length(cover)}"
            for layer_id, cover in covers.items()
            if cover != was[layer_id]
        )
        verb = tr("Note as their depths") if rooted else tr("Lay out the pot")
        mending = Mending(
            f"{verb}: {depths}",
            pot.id,
            layers=tuple(FieldChange(name, "cover_cm", cover) for name, cover in covers.items()),
        )
        laid = tuple(
            sorted(
                (given(layer, {"cover_cm": covers[layer.id]}) for layer in pot.layers),
                key=lambda layer: -layer.cover_cm,
            )
        )
        finder = Finder(
            given(pot, {"layers": laid}),
            cultivar_of=self.cultivar_of,
            order=self.order,
            together=self.together,
            writing=self.writing,
        )
        after = list(finder.noted())
        graver = {each.key for each in after if each.is_grave}
        if graver - {each.key for each in before if each.is_grave}:
            return None, set()
        return mending, {each.key for each in after}


_MEASURES: Mapping[str, str] = {
    "top_width_cm": "wide at the top",
    "bottom_width_cm": "wide at the bottom",
    "top_length_cm": "long at the top",
    "bottom_length_cm": "long at the bottom",
    "inside_height_cm": "high",
}
_LIMITS: Mapping[str, float] = {
    "top_width_cm": WIDEST_CM,
    "bottom_width_cm": WIDEST_CM,
    "top_length_cm": LONGEST_CM,
    "bottom_length_cm": LONGEST_CM,
    "inside_height_cm": HIGHEST_CM,
}


def size_slips(pot: Pot) -> tuple[tuple[str, float], ...]:
    """Measures of a pot larger than any pot's, each with a tenth of it, which may be meant. [cm]"""
    found: list[tuple[str, float]] = []
    for name, limit in _LIMITS.items():
        value = getattr(pot, name)
        if value is not None and value > limit:
            found.append((name, round(value / 10.0, 1)))
    meant = dict(found)
    low = pot.inside_height_cm - pot.compost_depth_cm + 1.0
    if meant.get("inside_height_cm", low) < low:
        found = [each for each in found if each[0] != "inside_height_cm"]
    return tuple(found)


def early_uppers(
    pot: Pot, *, cultivar_of: CultivarOf
) -> tuple[tuple[Layer, tuple[Layer, ...]], ...]:
    """Layers that are due before one under them in the same planting, by the lower one.

    Each is told with the one under it that is planted last. Bulbs that all lie in the ground
    already went in somehow; further apart than `TOGETHER_DAYS` it is another planting.
    """
    groups = plantings_of(pot, cultivar_of=cultivar_of)
    found: dict[str, list[Layer]] = {}
    lowers: dict[str, Layer] = {}
    for at, upper in enumerate(pot.layers):
        under = [
            lower
            for other, lower in enumerate(pot.layers)
            if lower.cover_cm > upper.cover_cm
            and lower.state not in _IN_THE_GROUND
            and 0 < (lower.planted - upper.planted).days <= TOGETHER_DAYS
            and any(at in group and other in group for group in groups)
        ]
        if under:
            last = max(under, key=lambda layer: layer.planted)
            lowers[last.id] = last
            found.setdefault(last.id, []).append(upper)
    return tuple((lowers[name], tuple(uppers)) for name, uppers in found.items())
