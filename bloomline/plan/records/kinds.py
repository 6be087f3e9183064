"""What records teach of a yard's own kinds: a packet's wide dates become those that were seen.

The dates of catalogued kinds stand on more than one garden, so records move the yard's offset
and leave them alone; a gardener's own kind has nothing but its packet and its class.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bloomline.engine import learning as engine
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import OwnCultivar
from bloomline.plan.records.facts import Fact

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class KindLesson:
    """How far a kind's own dates are off, in its standard deviations.

    score : how many of them it opens late. left : the share of its standard deviation that is
    left. unlearned_sd_days : what that was of its first season. n_records : of it that count.
    """

    name: str
    score: float
    left: float
    unlearned_sd_days: float
    n_records: int

    @property
    def days(self) -> float:
        """How much later it opens in its first season than it was thought to. [days]"""
        return self.score * self.unlearned_sd_days

    @property
    def sd_days(self) -> float:
        """What is still not known of its date then. [days]"""
        return self.left * self.unlearned_sd_days

    def shift_days(self, cultivar: Cultivar, *, established: bool) -> float:
        """How much later it opens than it was thought to. [days]"""
        own = cultivar.ref_sd_days
        if established:
            own = math.hypot(own, cultivar.established_sd_days)
        return self.score * own

    def narrowed(self, cultivar: Cultivar) -> Cultivar:
        """The kind, and the parts of a mixture, with what is left of their uncertainty."""
        return cultivar.model_copy(
            update={
                "ref_sd_days": cultivar.ref_sd_days * self.left,
                "established_sd_days": cultivar.established_sd_days * self.left,
                "parts": tuple(
                    part.model_copy(update={"kind": self.narrowed(part.kind)})
                    for part in cultivar.parts
                ),
            }
        )


def kind_lessons(
    facts: Sequence[Fact], residual_days: Floats, *, whole: Floats
) -> dict[str, KindLesson]:
    """What facts that count say of each own kind among them.

    residual_days : shape (n,). whole : (n, n), their covariance, the yard's offset in it.
    """
    found: dict[str, KindLesson] = {}
    for cultivar in {fact.cultivar.id: fact.cultivar for fact in facts}.values():
        if not isinstance(cultivar, OwnCultivar):
            continue
        scale = np.array([f.sd_days if f.cultivar.id == cultivar.id else 0.0 for f in facts])
        score, left = engine.part_of_errors(residual_days, whole=whole, scale_days=scale)
        found[cultivar.id] = KindLesson(
            cultivar.name, score, left, cultivar.ref_sd_days, int(np.count_nonzero(scale))
        )
    return found
