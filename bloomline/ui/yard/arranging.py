"""What arranges the yard's picture by place: what the canvas and the carrying ask of it."""

from __future__ import annotations

from typing import Protocol

from PySide6.QtGui import QFont, QPainter

from bloomline.draw.base.petals import Theme
from bloomline.model.yard import Yard
from bloomline.plan.carry.verdicts import Verdict
from bloomline.ui.yard.painting import View
from bloomline.ui.yard.scene import PotRow


class Places(Protocol):
    """The places among which pots are carried while the yard is arranged by them."""

    @property
    def count(self) -> int:
        """How many there are."""

    def group_at(self, x: float) -> int:
        """The place at an x of the row, by number."""

    def group_of(self, pot_id: str) -> int:
        """The place of a pot, by number."""

    def judge(self, pot_id: str, number: int) -> Verdict:
        """What setting a pot down at a place would do."""


class Grouping(Places, Protocol):
    """Arranges the pots by place and paints the headings over them."""

    @property
    def key(self) -> object:
        """What the row follows from, besides the pots."""

    def row(self, yard: Yard, *, scale: float, em: float) -> PotRow:
        """The pots at a scale, place by place."""

    def head_px(self) -> float:
        """Height of the headings. [px]"""

    def paint(
        self,
        painter: QPainter,
        view: View,
        *,
        theme: Theme,
        font: QFont,
        aim: tuple[int, bool] | None,
    ) -> None:
        """Paint the headings, and mark the place that a pot is carried to."""

    def told(self) -> str:
        """Who stands where, in words."""
