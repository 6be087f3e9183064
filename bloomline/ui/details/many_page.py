"""Details of several pots, or of several layers and companions: one edit goes for all."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from bloomline.model.companion import CompanionPlanting
from bloomline.model.many_edits import change_parts, change_pots
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.words.benches import pot_words
from bloomline.ui.details.cards import Card, wrapping
from bloomline.ui.details.fields import Several
from bloomline.ui.details.layer_form import (
    cultivar_id_of,
    fill_layer_form,
    offer_bulbs,
    show_temperature,
)
from bloomline.ui.details.page import Page
from bloomline.ui.details.pot_form import (
    fill_pot_form,
    offer_places,
    pot_fields,
    show_rows,
    shown_of,
)
from bloomline.ui.document import Document
from bloomline.ui.hands.plain import shown
from bloomline.ui.season_service import SeasonService
from bloomline.ui.selection import Selection, many_words
from bloomline.ui.units import Units
from bloomline.ui.yard.deeds import Deeds
from bloomline.ui.yard.top_words import companion_name
from bloomline.ui.yard.words import kind_name
from bloomline.words import plural, tr

_MOST_NAMES = 12
_OF_COMPANIONS = frozenset({"count", "planted", "notes"})
"""What layers and companions have in common."""


class ManyPage(Page):
    """What is selected, field by field; where values differ a field says so."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, service, parent)
        self._selection = Selection()
        body = self.widget()
        self.names = wrapping("", "", body)
        self.column.addWidget(self.names)
        self.listen(self.build_form())
        card = Card("", body)
        card.setAccessibleName(tr("All that is selected"))
        card.column.addWidget(self.form)
        self.column.addWidget(card)
        self._deeds = Deeds(document, self)
        self._deeds.said.connect(self.refused)
        row = QHBoxLayout()
        for name, words, deed in (
            ("many_duplicate", tr("Duplicate all"), self._deeds.duplicate),
            ("many_delete", tr("Delete all"), self._deeds.delete),
        ):
            button = QPushButton(words, body)
            button.setObjectName(name)
            button.clicked.connect(deed)
            row.addWidget(button)
        row.addStretch(1)
        self.column.addLayout(row)
        self.advice.hide()
        self.money.hide()
        self.column.addStretch(1)

    # For the pages to fill in

    def build_form(self) -> dict[str, str]:
        """Put the fields into the form; what each is called in the undo menu."""
        raise NotImplementedError

    def things(self) -> Sequence[Any]:
        """All that is selected, in the order of the yard."""
        raise NotImplementedError

    def value_of(self, thing: Any, key: str) -> object:
        """What a field shows of one of them."""
        raise NotImplementedError

    def name_of(self, thing: Any) -> str:
        """What one of them is called."""
        raise NotImplementedError

    # Shared

    @property
    def target(self) -> str | None:
        ids = self._selection.ids
        return f"{len(ids)}:{ids[0]}:{ids[-1]}" if ids else None

    @property
    def is_priced(self) -> bool:
        return False

    @property
    def is_there(self) -> bool:
        """Whether the yard still holds all that is shown."""
        return bool(self._selection.ids) and len(self.things()) == len(self._selection.ids)

    def show_selection(self, selection: Selection) -> None:
        """Show other pots or parts."""
        if selection != self._selection:
            self._selection = selection
            self.settle()
        else:
            self.refresh()

    def forget(self) -> None:
        """Show nothing any more."""
        self._selection = Selection()

    def values(self) -> dict[str, object]:
        things = self.things()
        if not things:
            return {}
        document = self.document
        last = document.layer_id or document.companion_id or document.pot_id
        one = next((each for each in things if each.id == last), things[-1])
        found: dict[str, object] = {}
        for key in self.form.fields:
            values = [self.value_of(each, key) for each in things]
            differs = any(value != values[0] for value in values)
            found[key] = Several(self.value_of(one, key)) if differs else values[0]
        return found

    def show_rest(self) -> None:
        things = self.things()
        self.title.setText(many_words(self._selection))
        self.subtitle.setText(tr("What is changed here is changed for all of them, in one step."))
        names = [shown(self.name_of(each)) for each in things[:_MOST_NAMES]]
        left = len(things) - len(names)
        if left > 0:
            names.append(plural("and {n} more", "and {n} more", left))
        self.names.setText("\n".join(names))


class PotsPage(ManyPage):
    """Several pots."""

    def build_form(self) -> dict[str, str]:
        return fill_pot_form(self.form)

    def things(self) -> Sequence[Pot]:
        wanted = set(self._selection.pots)
        return [pot for pot in self.document.yard.pots if pot.id in wanted]

    def value_of(self, thing: Pot, key: str) -> object:
        return shown_of(thing, key)

    def name_of(self, thing: Pot) -> str:
        return pot_words(thing)

    def change(self, key: str, value: object) -> Callable[[Yard], Yard]:
        ids, fields = self._selection.pots, pot_fields(key, value, self.document.yard)
        return lambda yard: change_pots(yard, ids, **fields)

    def refresh(self) -> None:
        offer_places(self.form, self.document.yard)
        super().refresh()

    def show_rest(self) -> None:
        super().show_rest()
        show_rows(self.form, self.things(), self.document.yard)


class PartsPage(ManyPage):
    """Several layers, or companions, or both."""

    def build_form(self) -> dict[str, str]:
        return fill_layer_form(self.form, with_lifting=False)

    def things(self) -> Sequence[Layer | CompanionPlanting]:
        layers, companions = set(self._selection.layers), set(self._selection.companions)
        found: list[Layer | CompanionPlanting] = []
        for pot in self.document.yard.pots:
            found += [each for each in pot.companions if each.id in companions]
            found += [each for each in reversed(pot.layers) if each.id in layers]
        return found

    def value_of(self, thing: Layer | CompanionPlanting, key: str) -> object:
        if key == "cultivar_id":
            return self._kind_of(thing)
        return getattr(thing, key, None)

    def _kind_of(self, thing: Layer | CompanionPlanting) -> str:
        if isinstance(thing, Layer):
            return kind_name(self.document, thing.cultivar_id)
        return companion_name(thing.companion_id)

    def name_of(self, thing: Layer | CompanionPlanting) -> str:
        yard = self.document.yard
        find = yard.layer if isinstance(thing, Layer) else yard.companion
        pot = find(thing.id)[0]
        return tr("{name}, {pot}", name=self._kind_of(thing), pot=pot_words(pot))

    def change(self, key: str, value: object) -> Callable[[Yard], Yard]:
        ids = self._selection.parts

        def apply(yard: Yard) -> Yard:
            given = cultivar_id_of(self.document, str(value)) if key == "cultivar_id" else value
            return change_parts(yard, ids, **{key: given})

        return apply

    def show_units(self, units: Units) -> None:
        super().show_units(units)
        show_temperature(self.form, units)

    def show_rest(self) -> None:
        super().show_rest()
        only_layers = not self._selection.companions
        for key in self.form.fields:
            self.form.set_visible(key, only_layers or key in _OF_COMPANIONS)
        if only_layers:
            chilled = all(getattr(each, "prechill_weeks", 0) > 0 for each in self.things())
            self.form.set_visible("prechill_temperature_c", chilled)
            offer_bulbs(self.form, self.document)
