"""Pots that are alike: what follows from equal values is worked out once for all of them.

A nursery has thousands of pots and few that differ in what a question is about.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from operator import attrgetter
from typing import Any, Generic, TypeVar

from bloomline.model.revising import given
from bloomline.model.yard import Layer, Pot

Answer = TypeVar("Answer")

MEASURES = (
    *("shape", "top_width_cm", "bottom_width_cm", "top_length_cm", "bottom_length_cm"),
    *("inside_height_cm", "crocks_cm", "top_dressing_cm", "rim_gap_cm"),
)
"""Fields that say how much room there is in a pot, and at which depth."""

_NAMELESS: dict[str, Any] = {"id": "", "name": ""}
_LAYER, _POT = Layer.model_construct(**_NAMELESS), Pot.model_construct(**_NAMELESS)
"""What is as by default, and nothing else."""


class Kinds(Generic[Answer]):
    """Answers about pots, each worked out once for a kind of pot.

    What is asked about is a bare pot, which has the values named and no other: it is called
    nothing, its layers are called by their places ("0", "1" …), and what isn't named is as it is
    by default. So an answer that needs a value that isn't named is wrong for every pot, not now
    and then. Kept as long as this object, which must not outlive what else `ask` rests on.
    """

    def __init__(
        self, ask: Callable[..., Answer], *, of_pot: Sequence[str], of_layer: Sequence[str]
    ) -> None:
        """Name the fields, two of a layer at least, that answers may rest on."""
        self._ask = ask
        self._of_pot, self._of_layer = tuple(of_pot), tuple(of_layer)
        self._pot_values: Callable[[Pot], tuple[Any, ...]] = attrgetter(*of_pot)
        self._layer_values: Callable[[Layer], tuple[Any, ...]] = attrgetter(*of_layer)
        self._known: dict[tuple[Any, ...], Answer] = {}

    def of(self, pot: Pot, layers: Sequence[Layer], *more: Any) -> Answer:
        """The answer for a pot with some layers in it; `more` (hashable) is asked with it."""
        key = (self._pot_values(pot), tuple(map(self._layer_values, layers)), *more)
        try:
            return self._known[key]
        except KeyError:
            answer = self._known[key] = self._ask(self._bare(key[0], key[1]), *more)
            return answer

    def _bare(self, of_pot: tuple[Any, ...], of_layers: tuple[tuple[Any, ...], ...]) -> Pot:
        layers = tuple(
            [
                given(_LAYER, {"id": str(at), **dict(zip(self._of_layer, values, strict=True))})
                for at, values in enumerate(of_layers)
            ]
        )
        values = dict(zip(self._of_pot, of_pot, strict=True))
        return given(_POT, {"layers": layers, **values})
