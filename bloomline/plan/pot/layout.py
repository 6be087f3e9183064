"""Lay out the layers of a pot properly, and say what changed and why.

The latest and tallest go lowest, each layer under its proper cover, with compost between
layers and under the lowest where the pot is deep enough. Layers that open within days of each
other count as equally late, so that their size decides. Of all orders the one with the fewest
grave faults is taken, since a small late bulb may lie too deep below a large early one.
Bulbs that are in the ground already are never moved: a pot that holds any is left as it is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import permutations

from bloomline.engine.layers import (
    FindingCode,
    LayerFinding,
    LayerInput,
    LayerProposal,
    PotFill,
    planting_order,
    propose_layers,
)
from bloomline.engine.potshape import PotShape
from bloomline.model.store_edits import set_covers
from bloomline.model.yard import Pot, Yard
from bloomline.plan.pot.advice import PLAIN, finding_advice
from bloomline.plan.pot.fitting import CultivarOf, fill_of, fit_pot, layer_input, shape_of
from bloomline.plan.pot.residence import plantings_of
from bloomline.reference.rules import load_rules
from bloomline.words import tr

_SLACK_CM = 0.11  # two depths, each laid to a tenth of a centimetre
_MOST_TRIED = 5  # layers of which every order is tried

# From the gravest fault of an order to the slightest; those of a line count the same.
_GRAVITY: tuple[tuple[FindingCode, ...], ...] = (
    ("in_crocks", "layers_collide"),
    ("too_shallow",),
    ("too_deep",),
    ("later_above_earlier",),
    ("taller_above_shorter",),
    ("little_compost_under", "layers_close"),
    ("shallower_than_usual",),
)
_GRAVITY_OF = {code: rank for rank, codes in enumerate(_GRAVITY) for code in codes}


@dataclass(frozen=True, slots=True)
class LayerMove:
    """One layer, its cover and its place counted from the deepest, before and after."""

    layer_id: str
    cultivar_name: str
    from_cover_cm: float
    to_cover_cm: float
    from_place: int
    to_place: int

    @property
    def words(self) -> str:
        """What to do with it."""
        deeper = tr("deeper") if self.to_cover_cm > self.from_cover_cm else tr("higher")
        shift = (
            tr(
                "{from_cover_cm:g} → {to_cover_cm:g} cm of compost above the tip ({deeper})",
                from_cover_cm=self.from_cover_cm,
                to_cover_cm=self.to_cover_cm,
                deeper=deeper,
            )
            if abs(self.to_cover_cm - self.from_cover_cm) > _SLACK_CM
            else tr("stays {to_cover_cm:g} cm below the surface", to_cover_cm=self.to_cover_cm)
        )
        if self.from_place == self.to_place:
            return f"{self.cultivar_name}: {shift}"
        return tr(
            "{cultivar_name}: {shift}; layer {from_place} → {to_place} from the bottom",
            cultivar_name=self.cultivar_name,
            shift=shift,
            from_place=self.from_place + 1,
            to_place=self.to_place + 1,
        )


@dataclass(frozen=True, slots=True)
class PotLayout:
    """A pot laid out.

    moves : layers that change, from the deepest up as they lie afterwards. before, after :
    what is amiss with the layers, in the engine's terms. left_alone : why nothing is done.
    yard : with the pot laid out.
    """

    pot_id: str
    pot_name: str
    moves: tuple[LayerMove, ...]
    before: tuple[LayerFinding, ...]
    after: tuple[LayerFinding, ...]
    left_alone: str
    yard: Yard


def lay_out_pot(
    yard: Yard,
    pot_id: str,
    *,
    cultivar_of: CultivarOf,
    flowering_days: Mapping[str, float] | None = None,
) -> PotLayout:
    """Lay out one pot, unless that would leave it with graver faults than it has.

    flowering_days : first flower of layers by id (any rising number), for their order.
    Raises UnknownNameError for a pot or cultivar.
    """
    pot = yard.pot(pot_id)
    before = worth_telling(
        fit_pot(pot, cultivar_of=cultivar_of, flowering_days=flowering_days).layout.findings
    )
    why = left_alone(pot, cultivar_of=cultivar_of)
    if why:
        return PotLayout(pot.id, pot.name, (), before, before, why, yard)
    days = same_time(flowering_days or {}, [layer.id for layer in pot.layers])
    covers = proper_covers(pot, cultivar_of=cultivar_of, flowering_days=days)
    new = set_covers(yard, pot_id, covers)
    laid = new.pot(pot_id)
    was, after = (
        worth_telling(fit_pot(each, cultivar_of=cultivar_of, flowering_days=days).layout.findings)
        for each in (pot, laid)
    )
    if _faults(after) > _faults(was):  # the gardener's own depths are the better ones
        return PotLayout(pot.id, pot.name, (), before, before, "", yard)
    places = {layer.id: place for place, layer in enumerate(pot.layers)}
    moves = tuple(
        LayerMove(
            layer_id=layer.id,
            cultivar_name=cultivar_of(layer.cultivar_id).name,
            from_cover_cm=pot.layers[places[layer.id]].cover_cm,
            to_cover_cm=layer.cover_cm,
            from_place=places[layer.id],
            to_place=place,
        )
        for place, layer in enumerate(laid.layers)
        if layer != pot.layers[places[layer.id]] or place != places[layer.id]
    )
    return PotLayout(pot.id, pot.name, moves, before, after, "", new if moves else yard)


def proper_covers(
    pot: Pot, *, cultivar_of: CultivarOf, flowering_days: Mapping[str, float]
) -> dict[str, float]:
    """Where the layers of a pot had better lie: cover by layer id, the deepest first. [cm]"""
    days = same_time(flowering_days, [layer.id for layer in pot.layers])
    return covers_in_turn(pot, cultivar_of=cultivar_of, days=days)


def covers_in_turn(
    pot: Pot, *, cultivar_of: CultivarOf, days: Mapping[str, float]
) -> dict[str, float]:
    """As `proper_covers`, for days that are equal where layers open at the same time."""
    proposal = _proposal(pot, cultivar_of=cultivar_of, days=days)
    return {pot.layers[i].id: round(proposal.cover_cm[i], 1) for i in reversed(proposal.order)}


def lay_out_yard(
    yard: Yard,
    *,
    cultivar_of: CultivarOf,
    flowering_days: Mapping[str, float] | None = None,
) -> tuple[Yard, tuple[PotLayout, ...]]:
    """Lay out every pot; the yard afterwards, and what was done pot by pot."""
    done: list[PotLayout] = []
    for pot in yard.pots:
        laid = lay_out_pot(yard, pot.id, cultivar_of=cultivar_of, flowering_days=flowering_days)
        done.append(laid)
        yard = laid.yard
    return yard, tuple(done)


def same_time(days: Mapping[str, float], layer_ids: Sequence[str]) -> dict[str, float]:
    """Flowering days of layers, equal for those that open within days of one another."""
    apart = load_rules().figure("same_time_days").middle
    known = sorted((days[layer_id], layer_id) for layer_id in layer_ids if layer_id in days)
    found: dict[str, float] = {}
    first = 0.0
    for day, layer_id in known:
        if not found or day - first > apart:
            first = day
        found[layer_id] = first
    return found


def worth_telling(findings: Sequence[LayerFinding]) -> tuple[LayerFinding, ...]:
    """Findings that are more than the rounding of depths to a tenth of a centimetre."""
    ordered = ("later_above_earlier", "taller_above_shorter")
    return tuple(
        each
        for each in findings
        if each.code in ordered or abs(each.value - each.limit) > _SLACK_CM
    )


def _proposal(pot: Pot, *, cultivar_of: CultivarOf, days: Mapping[str, float]) -> LayerProposal:
    inputs: list[LayerInput] = []
    for layer in pot.layers:
        kind = cultivar_of(layer.cultivar_id)
        inputs.append(layer_input(kind, cover_cm=kind.cover_cm, flowering_day=days.get(layer.id)))
    return _best(shape_of(pot), fill_of(pot), tuple(inputs))


@lru_cache(maxsize=4096)  # a large yard repeats its plantings
def _best(shape: PotShape, fill: PotFill, inputs: tuple[LayerInput, ...]) -> LayerProposal:
    """The order of layers that leaves the least amiss; the first among equals."""
    as_it_is = tuple(reversed(range(len(inputs))))
    usual = planting_order(inputs)
    orders = [as_it_is, usual]
    if len(inputs) <= _MOST_TRIED:
        orders += permutations(usual)
    best: tuple[tuple[int, ...], LayerProposal] | None = None
    for order in dict.fromkeys(orders):
        proposal = propose_layers(shape, fill=fill, layers=inputs, order=order)
        faults = _faults(worth_telling(proposal.layout.findings))
        if best is None or faults < best[0]:  # the first among equals: no needless change
            best = faults, proposal
        if not any(best[0]):
            break
    assert best is not None  # every pot has an order
    return best[1]


def _faults(findings: Sequence[LayerFinding]) -> tuple[int, ...]:
    """How many faults there are of each gravity, the gravest first: the less the better."""
    faults = [0] * len(_GRAVITY)
    for each in findings:
        faults[_GRAVITY_OF[each.code]] += 1
    return tuple(faults)


def left_alone(pot: Pot, *, cultivar_of: CultivarOf) -> str:
    """Why a pot is not laid out anew; nothing for one that can be."""
    if not pot.layers:
        return "empty"
    rooted = [layer for layer in pot.layers if layer.state in ("planted", "flowering")]
    if rooted:
        names = ", ".join(dict.fromkeys(cultivar_of(layer.cultivar_id).name for layer in rooted))
        return tr("planted already: {names}", names=names)
    if len(plantings_of(pot, cultivar_of=cultivar_of)) > 1:
        return tr("planted more than once in the year: one planting's depths would spoil another's")
    return ""


def finding_words(finding: LayerFinding, pot: Pot, *, cultivar_of: CultivarOf) -> str:
    """What is amiss, in words; `pot` is the one the finding is about."""
    names = {layer.id: cultivar_of(layer.cultivar_id).name for layer in pot.layers}
    return finding_advice(finding, pot, names, writing=PLAIN).message
