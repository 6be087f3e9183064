"""Plantings that are due while their pot isn't free, as the views ask for them."""

from __future__ import annotations

from bloomline.errors import BloomlineError
from bloomline.plan.carry.collision import Conflict
from bloomline.plan.carry.succession import successions
from bloomline.plan.climate.own_weather import recorded_of
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.report import SeasonReport
from bloomline.ui.document import Document


class Successions:
    """The conflicts of the open yard, worked out once for each yard and report."""

    def __init__(self, document: Document) -> None:
        self._document = document
        self._asked: tuple[object, ...] = ()
        self._found: tuple[Conflict, ...] = ()
        self._forecaster: Forecaster | None = None

    def of(self, report: SeasonReport | None) -> tuple[Conflict, ...]:
        """All conflicts by day; none while there is no report."""
        return self._ask(report, None)

    def of_pot(self, pot_id: str, report: SeasonReport | None) -> tuple[Conflict, ...]:
        """The conflicts of a pot, a later start with the date of flower that comes of it.

        None while the report does not yet know all that is planted in the pot.
        """
        return self._ask(report, pot_id)

    def _ask(self, report: SeasonReport | None, pot_id: str | None) -> tuple[Conflict, ...]:
        asked = (self._document.yard, report, pot_id)
        if report is None:
            return ()
        if not self._asked or any(a is not b for a, b in zip(self._asked, asked, strict=True)):
            self._asked = asked
            try:
                self._found = self._work(report, pot_id)
            except BloomlineError:
                self._found = ()  # the yard names what isn't known; others tell so
        return self._found

    def _work(self, report: SeasonReport, pot_id: str | None) -> tuple[Conflict, ...]:
        yard, cultivar_of = self._document.yard, self._document.cultivar
        if pot_id is None:
            return successions(yard, report, cultivar_of=cultivar_of)
        pot = yard.pot(pot_id)
        known = {layer.layer_id for layer in report.layers}
        if any(layer.id not in known for layer in pot.layers):
            return ()
        if self._forecaster is None:
            self._forecaster = Forecaster()
        # Of the other pots only those that could take what is in the way have a part in it.
        empty = [each for each in yard.pots if not each.layers and not each.companions]
        pots = (pot, *(each for each in empty if each.id != pot.id))
        return successions(
            yard.model_copy(update={"pots": pots}),
            report,
            cultivar_of=cultivar_of,
            forecaster=self._forecaster,
            recorded=recorded_of(yard),
        )
