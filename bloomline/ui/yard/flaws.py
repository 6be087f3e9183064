"""What is amiss in the pots of the picture: kept while a pot stays as it is."""

from __future__ import annotations

from bloomline.errors import BloomlineError
from bloomline.model.advice import Severity
from bloomline.model.yard import Pot
from bloomline.plan.pot.advice import Writing
from bloomline.plan.pot.finding import PotFinding
from bloomline.plan.pot.findings import pot_findings
from bloomline.ui.document import Document
from bloomline.ui.units import units_of
from bloomline.words import short_day_words, tr


class Flaws:
    """Findings that ask for a change, pot by pot; notes are left to the details."""

    def __init__(self, document: Document) -> None:
        self._document = document
        self._kept: dict[str, tuple[Pot, object, tuple[PotFinding, ...]]] = {}

    def of(self, pot: Pot) -> tuple[PotFinding, ...]:
        """What of a pot does not fit, lies wrong or comes in the wrong order."""
        yard = self._document.yard
        around = (yard.own_cultivars, yard.settings)
        kept = self._kept.get(pot.id)
        if kept is None or kept[0] is not pot or kept[1] != around:
            kept = (pot, around, self._found(pot))
            self._kept[pot.id] = kept
        return kept[2]

    def _found(self, pot: Pot) -> tuple[PotFinding, ...]:
        units = units_of(self._document.yard)
        writing = Writing(length=lambda cm: units.length(cm, decimals=1), day=short_day_words)
        try:
            found = pot_findings(
                pot, cultivar_of=self._document.cultivar, writing=writing, with_mending=False
            )
        except BloomlineError:  # a kind that isn't known: the yard is painted all the same
            return ()
        return tuple(each for each in found if each.severity is not Severity.NOTE)

    def layers_of(self, pot: Pot) -> frozenset[str]:
        """Layers of a pot that are marked in the picture."""
        return frozenset(each.layer_ids[0] for each in self.of(pot) if each.layer_ids)

    def words_of(self, pot: Pot, layer_id: str | None = None) -> list[str]:
        """What is amiss with a layer, or else with its pot, in sentences."""
        return [
            each.advice.message
            for each in self.of(pot)
            if layer_id is None or layer_id in each.layer_ids
        ]

    def mark_of(self, pot: Pot) -> str:
        """What stands behind the line under a pot's name; nothing where all is well."""
        count = len(self.of(pot))
        if not count:
            return ""
        return " · " + tr("! {count} to mend", count=count)
