"""What the pots of a yard weigh."""

from __future__ import annotations

from collections.abc import Mapping

from bloomline.plan.pot.weight import PotWeight, weights_of
from bloomline.plan.season.outlook import Outlook, kept


@kept
def weights(outlook: Outlook) -> Mapping[str, PotWeight]:
    """Every pot with all its bulbs, by pot id. Raises UnknownNameError for a cultivar or a mix."""
    yard = outlook.yard
    found = weights_of(yard.pots, yard=yard, cultivar_of=outlook.cultivar_of)
    return {weight.pot_id: weight for weight in found}
