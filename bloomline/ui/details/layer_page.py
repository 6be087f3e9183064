"""Details of a layer: what it is, how deep and how many, its forecast and advice."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

from PySide6.QtCore import QStringListModel, Qt, Slot
from PySide6.QtWidgets import QCompleter, QPushButton, QSizePolicy, QWidget

from bloomline.errors import BloomlineError, UnknownNameError
from bloomline.model import edits
from bloomline.model.yard import Yard
from bloomline.plan.carry.collision import free_band
from bloomline.plan.pot.fitting import LayerFit, fit_pot, how_many
from bloomline.plan.season.advice import flowering_days
from bloomline.ui.details.cards import Card
from bloomline.ui.details.conflicts_card import ConflictsCard
from bloomline.ui.details.fields import LineField, NumberField
from bloomline.ui.details.forecast_card import ForecastCard
from bloomline.ui.details.history_card import HistoryCard
from bloomline.ui.details.page import Page
from bloomline.ui.details.plan_view import PlanView
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.ui.shelf.words import rich_name
from bloomline.ui.units import Units
from bloomline.words import tr

_IS_LIFTED = "is_lifted_on"
_USUAL_STAY_DAYS = 240  # from planting to dry leaves, where there is no forecast


class LayerPage(Page):
    """The selected layer."""

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
        self._names_shown: tuple[str, ...] = ()

    def _build_form(self) -> None:
        form = self.form
        self.kind: LineField = form.line(
            "cultivar_id",
            tr("Bulb"),
            about=tr("Type part of a name and choose from the list"),
        )
        self._completions = QStringListModel(self)
        completer = QCompleter(self._completions, self)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.setMaxVisibleItems(12)
        self.kind.line.setCompleter(completer)
        completer.activated.connect(self._completed)
        form.count(
            "count",
            tr("Number"),
            low=0,
            high=99_999,
            about=tr("Bulbs in this layer"),
        )
        form.length(
            "cover_cm",
            tr("Depth"),
            about=tr("Compost above the tips of the bulbs, from the compost surface"),
        )
        form.day("planted", tr("Planted"), about=tr("The day of planting, planned or done"))
        form.check(
            _IS_LIFTED,
            tr("Leaves the pot on a set day"),
            about=tr("The day on which these bulbs are lifted, planned or done"),
        )
        form.day("lifted_on", tr("Lifted on"), about=tr("From that day on they are not in the pot"))
        form.choice(
            "state",
            tr("State"),
            (
                (tr("planned"), "planned"),
                (tr("planted"), "planted"),
                (tr("flowering seen"), "flowering"),
                (tr("lifted"), "lifted"),
            ),
            about=tr("Planned bulbs are on the shopping list, others are not"),
        )
        form.number(
            "prechill_weeks",
            tr("Pre-chilled"),
            low=0,
            high=999,
            decimals=1,
            suffix=tr(" weeks"),
            about=tr("Weeks of cold that the bulbs had before planting"),
        )
        self.chill_temperature: NumberField = form.number(
            "prechill_temperature_c",
            tr("at"),
            low=-99,
            high=199,
            none_words=tr("not noted"),
            about=tr("Temperature at which the bulbs were kept cold"),
        )
        self.chill_temperature.box.setAccessibleName(tr("Pre-chilled at"))
        form.notes("notes", tr("Notes"))
        self.listen(
            {
                "cultivar_id": tr("bulb"),
                "count": tr("number"),
                "cover_cm": tr("depth"),
                "planted": tr("planting date"),
                _IS_LIFTED: tr("day of lifting"),
                "lifted_on": tr("day of lifting"),
                "state": tr("state"),
                "prechill_weeks": tr("pre-chilling"),
                "prechill_temperature_c": tr("pre-chilling temperature"),
                "notes": tr("notes"),
            }
        )

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

    def forget(self) -> None:
        """Show no layer any more."""
        self._layer_id = None

    def change(self, key: str, value: object) -> Callable[[Yard], Yard]:
        layer_id = self._layer_id or ""

        if key == _IS_LIFTED:
            day = self._usual_lifting() if value else None
            return lambda yard: edits.change_layer(yard, layer_id, lifted_on=day)

        def apply(yard: Yard) -> Yard:
            given = self._cultivar_id(str(value)) if key == "cultivar_id" else value
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

    def _cultivar_id(self, text: str) -> str:
        """The kind meant by what is typed. Raises UnknownNameError with near names."""
        catalogue = self.document.catalogue.with_own(self.document.yard.own_cultivars)
        try:
            return catalogue.find(text).id
        except UnknownNameError as error:
            if error.what == "single cultivar":
                raise BloomlineError(
                    tr("Several bulbs go by that name: {names}", names=", ".join(error.near))
                ) from None
            near = ", ".join(error.near)
            words = tr("No bulb is called “{name}”", name=text)
            if near:
                words += tr("; did you mean {names}?", names=near)
            raise BloomlineError(words) from None

    def values(self) -> dict[str, object]:
        if self._layer_id is None:
            return {}
        layer = self.document.yard.layer(self._layer_id)[1]
        keys = [key for key in self.form.fields if key != _IS_LIFTED]
        shown: dict[str, object] = {key: getattr(layer, key) for key in keys}
        shown[_IS_LIFTED] = layer.lifted_on is not None
        shown["cultivar_id"] = self.document.cultivar(layer.cultivar_id).name
        return shown

    def show_units(self, units: Units) -> None:
        super().show_units(units)
        if units.imperial:
            self.chill_temperature.show_scale(factor=1.8, offset=32.0, suffix=" °F")
        else:
            self.chill_temperature.show_scale(factor=1.0, suffix=" °C")

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
        self.to_pot.setText(tr("Pot: {pot}", pot=pot.name.replace("&", "&&")))
        self.form.set_visible("prechill_temperature_c", layer.prechill_weeks > 0)
        self.form.set_visible("lifted_on", layer.lifted_on is not None)
        self.conflicts.show_conflicts(self.conflicts_of(pot.id, layer.id))
        self._offer_names()
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

    def _offer_names(self) -> None:
        own = self.document.yard.own_cultivars
        names = tuple(c.name for c in self.document.catalogue.with_own(own))
        if names != self._names_shown:
            self._names_shown = names
            self._completions.setStringList(sorted(names))

    @Slot(str)
    def _completed(self, _name: str) -> None:
        self.kind.line.setModified(True)
        self.kind.flush()

    @Slot()
    def _select_pot(self) -> None:
        if self._layer_id is not None:
            self.document.select(pot_id=self.document.yard.layer(self._layer_id)[0].id)
