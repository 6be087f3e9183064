"""What is amiss in a pot: one kind of finding for check, window, card and shopping list.

Each has a code, its figures, how grave it is, its words, and the one change that mends it, as
far as there is one: a number of bulbs that fits, depths laid out anew, planting days in the
order in which a pot is filled, a measure that was mistyped. A change is offered only when the
finding is gone afterwards and nothing graver has come.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from bloomline.engine.layers import FindingCode, LayerFinding
from bloomline.model.advice import Advice, Severity
from bloomline.model.mending import FieldChange, Mending
from bloomline.model.yard import Layer, Pot
from bloomline.plan.pot.advice import (
    PLAIN,
    Writing,
    finding_advice,
    is_worth_telling,
    many_layers_advice,
    order_advice,
    room_advice,
    size_advice,
)
from bloomline.plan.pot.fitting import CultivarOf, LayerFit, PotFit, fit_pot
from bloomline.plan.pot.layout import left_alone, proper_covers
from bloomline.plan.pot.residence import TOGETHER_DAYS, plantings_of
from bloomline.words import listed, tr

PotFindingCode = (
    FindingCode
    | Literal[
        "too_many", "tight", "no_room", "planted_before_lower", "too_many_layers", "size_doubtful"
    ]
)

WIDEST_CM, LONGEST_CM, HIGHEST_CM = 200.0, 500.0, 150.0
"""Pots larger than this are asked about; judgement, no source: sold containers end well below."""

_ROOM: frozenset[PotFindingCode] = frozenset({"too_many", "no_room"})
_IN_THE_GROUND = ("planted", "flowering")


@dataclass(frozen=True, slots=True)
class PotFinding:
    """Something amiss in a pot.

    layer_ids : the layers concerned, the one it is about first; none for the pot itself.
    values : figures by name, with their unit in it; days are ISO. advice : how grave, in words.
    """

    code: PotFindingCode
    pot_id: str
    pot_name: str
    layer_ids: tuple[str, ...]
    values: tuple[tuple[str, float | str], ...]
    advice: Advice

    @property
    def severity(self) -> Severity:
        """How grave it is."""
        return self.advice.severity

    @property
    def mending(self) -> Mending | None:
        """The one change that mends it."""
        return self.advice.mending

    @property
    def key(self) -> tuple[object, ...]:
        """What it is about, whatever its figures."""
        return self.code, self.layer_ids

    @property
    def is_about_room(self) -> bool:
        """Whether bulbs have no room where they are to lie."""
        return self.code in _ROOM


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
    finder = _Finder(pot, cultivar_of, flowering_days or {}, writing)
    found = list(finder.found())
    wanted = [each for each in found if each.is_about_room or not about_room]
    if with_mending:
        wanted = [finder.mended(each, found) for each in wanted]
    rank = [Severity.WARNING, Severity.CAUTION, Severity.NOTE]
    return tuple(sorted(wanted, key=lambda each: rank.index(each.severity)))


class _Finder:
    """One pot and what is asked of it."""

    def __init__(
        self, pot: Pot, cultivar_of: CultivarOf, days: Mapping[str, float], writing: Writing
    ) -> None:
        inside = tuple(layer for layer in pot.layers if layer.state != "lifted")
        self.pot = pot.model_copy(update={"layers": inside})
        self.cultivar_of = cultivar_of
        self.days = days
        self.writing = writing
        self.names = {layer.id: cultivar_of(layer.cultivar_id).name for layer in inside}
        self.fit: PotFit = fit_pot(self.pot, cultivar_of=cultivar_of, flowering_days=days)
        self._laid: Mending | None = None
        self._after: tuple[PotFinding, ...] | None = None

    def found(self) -> Iterator[PotFinding]:
        """All findings, without what mends them."""
        yield from self._size()
        for fit in self.fit.layers:
            advice = room_advice(fit, self.names[fit.layer_id], self.pot)
            if advice is not None:
                code: PotFindingCode = "too_many" if fit.density is None else "tight"
                values: tuple[tuple[str, float | str], ...] = (
                    ("count", fit.count),
                    ("fit_well", fit.room.usual),
                    ("fit_at_most", fit.room.tight),
                )
                yield self._of("no_room" if fit.room.tight < 1 else code, advice, values, fit)
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
        many = many_layers_advice(self.pot, writing=self.writing)
        if many is not None:
            yield self._of("too_many_layers", many, (("layers", len(self.pot.layers)),))
        yield from self._order()

    def _of(
        self,
        code: PotFindingCode,
        advice: Advice,
        values: tuple[tuple[str, float | str], ...],
        *fits: LayerFit,
    ) -> PotFinding:
        ids = tuple(fit.layer_id for fit in fits)
        return PotFinding(code, self.pot.id, self.pot.name, ids, values, advice)

    def _lying(self, finding: LayerFinding) -> PotFinding:
        fits = [self.fit.layers[finding.index]]
        unit = "cm"
        if finding.other is not None:
            fits.append(self.fit.layers[finding.other])
            unit = "day" if finding.code == "later_above_earlier" else "cm"
        values: tuple[tuple[str, float | str], ...] = (
            (f"value_{unit}", round(finding.value, 2)),
            (f"limit_{unit}", round(finding.limit, 2)),
        )
        if unit == "day":
            values = (
                ("flowers", date.fromordinal(int(finding.value)).isoformat()),
                ("lower_flowers", date.fromordinal(int(finding.limit)).isoformat()),
            )
        advice = finding_advice(finding, self.pot, self.names, writing=self.writing)
        return self._of(finding.code, advice, values, *fits)

    def _size(self) -> Iterator[PotFinding]:
        slips = size_slips(self.pot)
        if not slips:
            return
        advice = size_advice(
            [(_MEASURES[name], float(getattr(self.pot, name)), meant) for name, meant in slips],
            writing=self.writing,
        )
        yield self._of(
            "size_doubtful",
            advice,
            tuple((name, float(getattr(self.pot, name))) for name, _ in slips),
        )

    def _order(self) -> Iterator[PotFinding]:
        """Layers that would be planted before one that lies under them, by the lower one."""
        early = early_uppers(self.pot, cultivar_of=self.cultivar_of)
        fits = {fit.layer_id: fit for fit in self.fit.layers}
        for lower, uppers in early:
            yield self._of(
                "planted_before_lower",
                order_advice(uppers, lower, self.names, writing=self.writing),
                (
                    ("planted", min(each.planted for each in uppers).isoformat()),
                    ("lower_planted", lower.planted.isoformat()),
                ),
                *(fits[each.id] for each in (*uppers, lower)),
            )

    # What mends it

    def mended(self, finding: PotFinding, before: Sequence[PotFinding]) -> PotFinding:
        """The finding with the change that mends it, where there is one."""
        mending = self._mending(finding, before)
        return replace(finding, advice=replace(finding.advice, mending=mending))

    def _mending(self, finding: PotFinding, before: Sequence[PotFinding]) -> Mending | None:
        if finding.code in ("too_many", "tight"):
            return self._fewer(finding)
        if finding.code == "size_doubtful":
            return self._resized()
        if finding.code == "planted_before_lower":
            return self._in_order()
        if finding.code == "too_many_layers":
            return None
        laid, after = self._laid_out()
        if laid is None or finding.key in {each.key for each in after}:
            return None
        grave = [each for each in before if each.severity is not Severity.NOTE]
        graver = [each for each in after if each.severity is not Severity.NOTE]
        return None if {e.key for e in graver} - {e.key for e in grave} else laid

    def _fewer(self, finding: PotFinding) -> Mending | None:
        at = next(
            i for i, each in enumerate(self.fit.layers) if each.layer_id == finding.layer_ids[0]
        )
        fit, verb = self.fit.layers[at], tr("Plant")
        if self.pot.layers[at].state in _IN_THE_GROUND:
            if finding.code == "tight":
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

    def _laid_out(self) -> tuple[Mending | None, tuple[PotFinding, ...]]:
        """The pot's layers at proper depths, and what is amiss then; reckoned once."""
        if self._after is None:
            self._laid, self._after = self._lay_out()
        return self._laid, self._after

    def _lay_out(self) -> tuple[Mending | None, tuple[PotFinding, ...]]:
        pot = self.pot
        rooted = any(layer.state in _IN_THE_GROUND for layer in pot.layers)
        lost = any(each.code == "in_crocks" for each in self.fit.layout.findings)
        # Bulbs in the ground are not moved; but where none can lie so, the note is wrong.
        if left_alone(pot, cultivar_of=self.cultivar_of) and not (rooted and lost):
            return None, ()
        if len(plantings_of(pot, cultivar_of=self.cultivar_of)) > 1:
            return None, ()
        covers = proper_covers(pot, cultivar_of=self.cultivar_of, flowering_days=self.days)
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
                (layer.model_copy(update={"cover_cm": covers[layer.id]}) for layer in pot.layers),
                key=lambda layer: -layer.cover_cm,
            )
        )
        after = pot_findings(
            pot.model_copy(update={"layers": laid}),
            cultivar_of=self.cultivar_of,
            flowering_days=self.days,
            with_mending=False,
        )
        return mending, after


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
