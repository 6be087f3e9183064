"""A piece of advice: what to do, why, and on whose word."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from bloomline.model.mending import Mending


class Severity(StrEnum):
    """How much a piece of advice matters."""

    NOTE = "note"
    CAUTION = "caution"
    WARNING = "warning"


@dataclass(frozen=True, slots=True)
class Advice:
    """One thing to tell the gardener.

    `topic` is a stable word for programs (cold, frost, poison, depth, crowding, date …);
    `message` says what and what helps, `reason` why, `source` on whose word; `mending` is the
    one change that mends it, where there is one; `gap` the first and last of the bare days that
    it tells of.
    """

    severity: Severity
    topic: str
    message: str
    reason: str = ""
    source: str = ""
    mending: Mending | None = None
    gap: tuple[date, date] | None = None

    def mended_by(self, mending: Mending | None) -> Advice:
        """The same with another change that mends it."""
        # Quicker than `replace`, for what is told of thousands of layers.
        return Advice(
            self.severity, self.topic, self.message, self.reason, self.source, mending, self.gap
        )
