"""The one change that mends something found in a yard: values to set, as one undoable edit."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from bloomline.model.yard import Yard

Value = int | float | date


@dataclass(frozen=True, slots=True)
class FieldChange:
    """A value that a field of a pot or layer is to have."""

    id: str
    field: str
    value: Value


@dataclass(frozen=True, slots=True)
class Mending:
    """What to do about something found.

    words : what the change does, as on a button. pot_id : the pot it mends. pot, layers : the
    fields to set in it; covers of layers are set together, since they lie in turn.
    """

    words: str
    pot_id: str
    pot: tuple[FieldChange, ...] = ()
    layers: tuple[FieldChange, ...] = ()

    def apply(self, yard: Yard) -> Yard:
        """The yard with the change made. Raises UnknownNameError, EditRefusedError."""
        # Here, since advice alone needs no edits, and loading them takes its time.
        from bloomline.model.edits import change_layer, change_pot
        from bloomline.model.store_edits import set_covers

        if self.pot:
            yard = change_pot(yard, self.pot_id, **{each.field: each.value for each in self.pot})
        covers = {
            each.id: float(each.value)
            for each in self.layers
            if each.field == "cover_cm" and not isinstance(each.value, date)
        }
        if covers:
            yard = set_covers(yard, self.pot_id, covers)
        for each in self.layers:
            if each.field != "cover_cm":
                yard = change_layer(yard, each.id, **{each.field: each.value})
        return yard
