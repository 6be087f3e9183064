"""Plantings that are due while their pot isn't free, as the views ask for them."""

from __future__ import annotations

from bloomline.errors import BloomlineError
from bloomline.plan.report import SeasonReport
from bloomline.plan.succession import Conflict, successions
from bloomline.ui.document import Document


class Successions:
    """The conflicts of the open yard, worked out once for each yard and report."""

    def __init__(self, document: Document) -> None:
        self._document = document
        self._of: tuple[object, object] = (None, None)
        self._found: tuple[Conflict, ...] = ()

    def of(self, report: SeasonReport | None) -> tuple[Conflict, ...]:
        """The conflicts by day; none while there is no report, or none that fits the yard."""
        yard = self._document.yard
        if report is None:
            return ()
        if self._of[0] is not yard or self._of[1] is not report:
            self._of = (yard, report)
            try:
                self._found = successions(yard, report, cultivar_of=self._document.cultivar)
            except BloomlineError:
                self._found = ()  # the yard names what isn't known; others tell so
        return self._found
