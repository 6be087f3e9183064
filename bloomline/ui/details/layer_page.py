"""Details of a layer: what it is, how deep and how many, its forecast and advice."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from bloomline.model import edits
from bloomline.model.yard import Yard
from bloomline.plan.carry.collision import free_band
from bloomline.plan.kinds.mixtures import parts_words
from bloomline.plan.pot.fitting import LayerFit, fit_pot, how_many
from bloomline.plan.season.advice import flowering_days
from bloomline.plan.words.benches import pot_words
from bloomline.ui.details.cards import Card, wrapping
from bloomline.ui.details.conflicts_card import ConflictsCard
from bloomline.ui.details.forecast_card import ForecastCard
from bloomline.ui.details.history_card import HistoryCard
from bloomline.ui.details.layer_form import (
    IS_LIFTED,
    cultivar_id_of,
    fill_layer_form,
    offer_bulbs,
    show_temperature,
)
from bloomline.ui.details.page import Page
from bloomline.ui.details.plan_view import PlanView
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.ui.shelf.words import rich_name
from bloomline.ui.units import Units
from bloomline.words import tr

_USUAL_STAY_DAYS = 240  # from planting to dry leaves, where there is no forecast


class LayerPage(Page):
    """The selected layer."""

    mixture_requested = Signal(str)
    """Make the bulbs of a layer a mixture, or change theirs (layer id)."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, service, parent)
        self._layer_id: str | None = None
        self.to_pot = QPushButton(self.widget())
        self.to_pot.setObjectName("details_to_pot")
        self.to_pot.setToolTip(tr("Show the details of the pot"))
        self.to_pot.clicked.connect(self._select_pot)
        # A long name must not widen the panel.
        self.to_pot.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.to_pot.setStyleSheet("text-align: left; padding: 3px 8px;")
        self.column.addWidget(self.to_pot)
        self._build_form()
        card = Card("", self.widget())
        card.setAccessibleName(tr("Layer"))
        card.column.addWidget(self.form)
        self.parts = wrapping("", "muted", card)
        self.mix = QPushButton(card)
        self.mix.setObjectName("details_mix")
        self.mix.setToolTip(tr("Several kinds sold or planted as one, each with its share"))
        self.mix.clicked.connect(self._ask_mixture)
        card.column.addWidget(self.parts)
        card.column.addWidget(self.mix, 0, Qt.AlignmentFlag.AlignLeft)
        self.plan = PlanView(card)
        card.column.addWidget(self.plan)
        self.forecast = ForecastCard(self.widget())
        self.conflicts = ConflictsCard(self.widget())
        self.conflicts.chosen.connect(self.settle_conflict)
        self.column.addWidget(card)
        self.column.addWidget(self.conflicts)
        self.column.addWidget(self.forecast)
        self.history = HistoryCard(self.widget())
        self.column.addWidget(self.history)
        self.column.addWidget(self.advice)
        self.column.addStretch(1)

    def _build_form(self) -> None:
        self.listen(fill_layer_form(self.form, with_lifting=True))

    @property
    def target(self) -> str | None:
        return self._layer_id

    def show_layer(self, layer_id: str) -> None:
        """Show another layer."""
        if layer_id != self._layer_id:
            self._layer_id = layer_id
            self.settle()
        else:
            self.refresh()

    @property
    def is_there(self) -> bool:
        return any(layer.id == self._layer_id for _, layer in self.document.yard.layers())

    def forget(self) -> None:
        """Show no layer any more."""
        self._layer_id = None

    def change(self, key: str, value: object) -> Callable[[Yard], Yard]:
        layer_id = self._layer_id or ""

        if key == IS_LIFTED:
            day = self._usual_lifting() if value else None
            return lambda yard: edits.change_layer(yard, layer_id, lifted_on=day)

        def apply(yard: Yard) -> Yard:
            given = cultivar_id_of(self.document, str(value)) if key == "cultivar_id" else value
            return edits.change_layer(yard, layer_id, **{key: given})

        return apply

    def _usual_lifting(self) -> date:
        """When the pot is free of them: leaves died down, or flowers over of what is not kept."""
        layer = self.document.yard.layer(self._layer_id or "")[1]
        report = self.service.report
        layers = report.layers if report is not None else ()
        found = next((each for each in layers if each.layer_id == layer.id), None)
        band = None
        if found is not None:
            band = free_band(found, self.document.cultivar(layer.cultivar_id))
        if band is not None and band.p50 > layer.planted:
            return band.p50
        return layer.planted + timedelta(days=_USUAL_STAY_DAYS)

    def values(self) -> dict[str, object]:
        if self._layer_id is None:
            return {}
        layer = self.document.yard.layer(self._layer_id)[1]
        keys = [key for key in self.form.fields if key != IS_LIFTED]
        shown: dict[str, object] = {key: getattr(layer, key) for key in keys}
        shown[IS_LIFTED] = layer.lifted_on is not None
        shown["cultivar_id"] = self.document.cultivar(layer.cultivar_id).name
        return shown

    def show_units(self, units: Units) -> None:
        super().show_units(units)
        show_temperature(self.form, units)

    def show_rest(self) -> None:
        if self._layer_id is None:
            return
        yard = self.document.yard
        pot, layer = yard.layer(self._layer_id)
        cultivar = self.document.cultivar(layer.cultivar_id)
        self.title.setText(rich_name(cultivar.name))
        place = len(pot.layers) - pot.layers.index(layer)
        self.subtitle.setText(
            tr(
                "{kind} · {colour} · {height} · layer {place} of {all} from the top",
                kind=cultivar.common_type,
                colour=cultivar.colour,
                height=self.units.length(cultivar.height_cm),
                place=place,
                all=len(pot.layers),
            )
        )
        self.parts.setText(tr("Mixed: {parts}", parts=parts_words(cultivar)))
        self.parts.setVisible(bool(cultivar.parts))
        self.mix.setText(tr("Change the mixture…") if cultivar.parts else tr("Make it a mixture…"))
        self.to_pot.setText(tr("Pot: {pot}", pot=pot_words(pot).replace("&", "&&")))
        self.form.set_visible("prechill_temperature_c", layer.prechill_weeks > 0)
        self.form.set_visible("lifted_on", layer.lifted_on is not None)
        self.conflicts.show_conflicts(self.conflicts_of(pot.id, layer.id))
        offer_bulbs(self.form, self.document)
        report = self.service.report
        fit = fit_pot(
            pot, cultivar_of=self.document.cultivar, flowering_days=flowering_days(report)
        )
        here = next(each for each in fit.layers if each.layer_id == layer.id)
        self._note_room(here)
        self.plan.show_fit(here if here.room.tight > 0 else None)
        found = None
        if report is not None:
            found = next((each for each in report.layers if each.layer_id == layer.id), None)
            if found is not None and found.cultivar_id != layer.cultivar_id:
                found = None  # the report is of a moment ago
        self.forecast.show_forecast(found, report, cultivar)
        self.history.show_records([r for r in yard.records if r.layer_id == layer.id])
        self.advise(layer_id=layer.id)

    def _note_room(self, fit: LayerFit) -> None:
        units = self.units
        self.form.note(
            "count",
            tr(
                "{usual} fit well here, {most} at most",
                usual=how_many(fit.room.usual),
                most=how_many(fit.room.tight),
            ),
            grave=fit.density is None,
        )
        self.form.note(
            "cover_cm",
            tr(
                "below the rim: tip {tip}, base {base}",
                tip=units.length(fit.tip_from_rim_cm, decimals=1),
                base=units.length(fit.base_from_rim_cm, decimals=1),
            ),
            grave=fit.compost_under_cm < -1e-6,
        )

    @Slot()
    def _ask_mixture(self) -> None:
        if self._layer_id is not None:
            self.mixture_requested.emit(self._layer_id)

    @Slot()
    def _select_pot(self) -> None:
        if self._layer_id is not None:
            self.document.select(pot_id=self.document.yard.layer(self._layer_id)[0].id)
