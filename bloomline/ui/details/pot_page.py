"""Details of a pot: its measures, where it stands, its layers, and what is amiss."""

from __future__ import annotations

from collections.abc import Callable
from html import escape

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from bloomline.errors import BloomlineError
from bloomline.model import edits
from bloomline.model.companion_edits import remove_companion
from bloomline.model.yard import Pot, Yard
from bloomline.plan.pot.layout import lay_out_pot
from bloomline.plan.season.advice import flowering_days
from bloomline.plan.season.colour import pot_summary
from bloomline.plan.words.benches import pot_words
from bloomline.ui.details.cards import Card, wrapping
from bloomline.ui.details.companions_card import CompanionsCard
from bloomline.ui.details.conflicts_card import ConflictsCard
from bloomline.ui.details.page import Page
from bloomline.ui.details.pot_form import (
    fill_pot_form,
    offer_places,
    pot_fields,
    show_rows,
    shown_of,
)
from bloomline.ui.details.wrapping_button import WrappingButton
from bloomline.ui.document import Document
from bloomline.ui.hands.plain import shown
from bloomline.ui.season_service import SeasonService
from bloomline.ui.shelf.planting import plant_on_selected_pot
from bloomline.ui.theme import em
from bloomline.ui.yard.top_words import companion_name
from bloomline.words import tr


class PotPage(Page):
    """The selected pot."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, service, parent)
        self._pot_id: str | None = None
        body = self.widget()
        self._build_form()
        card = Card("", body)
        card.setAccessibleName(tr("Pot"))
        card.column.addWidget(self.form)
        self.layers_card = Card(tr("Layers, from the top"), body)
        self._layer_column = QVBoxLayout()
        self._layer_column.setSpacing(round(em() * 0.2))
        self.layers_card.column.addLayout(self._layer_column)
        self.no_layers = wrapping(
            tr("No bulbs yet: drag one here from the shelf, or press Enter on it there."),
            "muted",
            self.layers_card,
        )
        self.layers_card.column.addWidget(self.no_layers)
        self.suggest = QPushButton(tr("Suggest layers…"), self.layers_card)
        self.suggest.setObjectName("details_suggest")
        self.suggest.setToolTip(tr("Whole fillings of this pot that do well here, to choose from"))
        self.suggest.clicked.connect(self.suggest_layers)
        self.layers_card.column.addWidget(self.suggest, 0, Qt.AlignmentFlag.AlignLeft)
        self.lay_out = QPushButton(tr("Lay out the layers properly"), self.layers_card)
        self.lay_out.setObjectName("details_lay_out")
        self.lay_out.setToolTip(
            tr(
                "Latest and tallest lowest, each at its usual depth, with compost between and "
                "under the layers as far as the pot allows"
            )
        )
        self.lay_out.clicked.connect(self.lay_out_properly)
        self.layers_card.column.addWidget(self.lay_out, 0, Qt.AlignmentFlag.AlignLeft)
        self.laid_out = wrapping("", "muted", self.layers_card)
        self.laid_out.setVisible(False)
        self.layers_card.column.addWidget(self.laid_out)
        self._buttons: list[WrappingButton] = []
        self.companions = CompanionsCard(body)
        self.companions.picked.connect(self._select_companion)
        self.companions.removed.connect(self._remove_companion)
        self.companions.wanted.connect(self._plant_companion)
        self.conflicts = ConflictsCard(body)
        self.conflicts.chosen.connect(self.settle_conflict)
        for widget in (self.conflicts, self.layers_card, self.companions, card, self.advice):
            self.column.addWidget(widget)
        self.column.addStretch(1)

    @Slot()
    def suggest_layers(self) -> None:
        """Ask which of some fillings to plant in this pot."""
        from bloomline.ui.fill.dialog import suggest_layers  # only when it is asked for

        if self._pot_id is not None:
            suggest_layers(self.document, self._pot_id, self.window())

    def _build_form(self) -> None:
        self.form.line(
            "name", tr("Name"), about=tr("Stands under the pot, in the season and on labels")
        )
        self.listen({"name": tr("pot name"), **fill_pot_form(self.form)})

    @property
    def target(self) -> str | None:
        return self._pot_id

    def show_pot(self, pot_id: str) -> None:
        """Show another pot."""
        if pot_id != self._pot_id:
            self._pot_id = pot_id
            self.laid_out.setVisible(False)
            self.settle()
        else:
            self.refresh()

    @property
    def is_there(self) -> bool:
        return any(pot.id == self._pot_id for pot in self.document.yard.pots)

    def forget(self) -> None:
        """Show no pot any more."""
        self._pot_id = None

    def change(self, key: str, value: object) -> Callable[[Yard], Yard]:
        pot_id = self._pot_id or ""
        fields = pot_fields(key, value, self.document.yard)
        return lambda yard: edits.change_pot(yard, pot_id, **fields)

    def values(self) -> dict[str, object]:
        if self._pot_id is None:
            return {}
        pot = self.document.yard.pot(self._pot_id)
        return {key: shown_of(pot, key) for key in self.form.fields}

    def refresh(self) -> None:
        offer_places(self.form, self.document.yard)
        super().refresh()

    def show_rest(self) -> None:
        if self._pot_id is None:
            return
        pot = self.document.yard.pot(self._pot_id)
        self.title.setText(escape(shown(pot_words(pot))))
        self.subtitle.setText(self._summary(pot))
        show_rows(self.form, [pot], self.document.yard)
        self.form.note(
            "crocks_cm",
            tr(
                "{depth} of compost are left",
                depth=self.units.length(pot.compost_depth_cm, decimals=1),
            ),
        )
        self._show_layers(pot)
        self.companions.show_pot(pot, southern=self.document.yard.place.latitude_deg < 0)
        self.conflicts.show_conflicts(self.conflicts_of(pot.id))
        self.advise(pot_id=pot.id)

    def _summary(self, pot: Pot) -> str:
        report = self.service.report
        found = None
        if report is not None:
            found = next((each for each in report.pots if each.pot_id == pot.id), None)
        parts = [pot_summary(pot, self.units)]
        if found is not None and found.layers:
            parts.append(
                tr(
                    "{colour} weeks of colour, {scent} of scent",
                    colour=f"{found.weeks_of_colour.expected:.0f}",
                    scent=f"{found.weeks_of_scent.expected:.0f}",
                )
            )
        return "\n".join(parts)

    def _show_layers(self, pot: Pot) -> None:
        while len(self._buttons) < len(pot.layers):
            button = WrappingButton("", self.layers_card)
            button.clicked.connect(self._select_layer)
            self._buttons.append(button)
            self._layer_column.addWidget(button)
        for i, button in enumerate(self._buttons):
            button.setVisible(i < len(pot.layers))
            if i < len(pot.layers):
                layer = pot.layers[-1 - i]
                words = tr(
                    "{count} × {name}, {depth} deep",
                    count=layer.count,
                    name=self.document.cultivar(layer.cultivar_id).name,
                    depth=self.units.length(layer.cover_cm, decimals=1),
                )
                button.set_words(words)
                button.setAccessibleDescription(tr("Shows the details of this layer"))
                button.setProperty("layer_id", layer.id)
        self.no_layers.setVisible(not pot.layers)
        self.lay_out.setVisible(bool(pot.layers))

    @Slot()
    def _select_layer(self) -> None:
        button = self.sender()
        layer_id = button.property("layer_id") if button is not None else None
        if isinstance(layer_id, str):
            self.document.select(layer_id=layer_id)

    @Slot(str)
    def _select_companion(self, planting_id: str) -> None:
        self.document.select(companion_id=planting_id)

    @Slot(str)
    def _remove_companion(self, planting_id: str) -> None:
        planting = self.document.yard.companion(planting_id)[1]
        name = tr("Take away {name}", name=companion_name(planting.companion_id))
        self.document.edit(name, lambda yard: remove_companion(yard, planting_id))

    @Slot(str)
    def _plant_companion(self, companion_id: str) -> None:
        reason = plant_on_selected_pot(self.document, companion_id)
        if reason:
            self.refused.emit(reason)

    @Slot()
    def lay_out_properly(self) -> None:
        """Give the layers their proper depths and order, and say what that changed."""
        if self._pot_id is None:
            return
        try:
            laid = lay_out_pot(
                self.document.yard,
                self._pot_id,
                cultivar_of=self.document.cultivar,
                flowering_days=flowering_days(self.service.report),
            )
        except BloomlineError as error:
            self._tell_laid_out(str(error))
            return
        if laid.left_alone:
            self._tell_laid_out(
                tr("Left as it is; {why}. Bulbs in the ground are not moved.", why=laid.left_alone)
            )
            return
        name = tr("Lay out the layers of {pot}", pot=laid.pot_name)
        if laid.moves and self.document.edit(name, lambda _yard: laid.yard):
            moved = [
                tr(
                    "{name}: {old} → {new} deep",
                    name=move.cultivar_name,
                    old=self.units.length(move.from_cover_cm, decimals=1),
                    new=self.units.length(move.to_cover_cm, decimals=1),
                )
                for move in reversed(laid.moves)
            ]
            self._tell_laid_out(tr("Changed: {what}", what="; ".join(moved)))
        elif laid.after:
            self._tell_laid_out(tr("The layers lie as well as they can in this pot already."))
        else:
            self._tell_laid_out(tr("The layers lie properly already."))

    def _tell_laid_out(self, words: str) -> None:
        self.laid_out.setText(words)
        self.laid_out.setVisible(True)
