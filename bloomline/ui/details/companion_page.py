"""Details of companions on top of a pot: how many, from when to when, season, frost, poison."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from bloomline.errors import BloomlineError
from bloomline.model.companion import CompanionPlanting
from bloomline.model.companion_edits import change_companion, remove_companion
from bloomline.model.cultivar import Companion
from bloomline.model.yard import Yard
from bloomline.plan.forecast.report import CompanionForecast
from bloomline.plan.tops.companions import companion_of, planting_span, season_on
from bloomline.plan.tops.stand import days_in_pot, share_of_one
from bloomline.plan.words.benches import pot_words
from bloomline.plan.words.shares import of_ten
from bloomline.reference.catalogue import load_companions
from bloomline.ui.details.cards import Card, wrapping
from bloomline.ui.details.conflicts_card import ConflictsCard
from bloomline.ui.details.fields import ChoiceField
from bloomline.ui.details.page import Page
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.ui.shelf.words import rich_name
from bloomline.ui.yard.top_words import companion_name
from bloomline.words import short_day_words, tr

_IS_TAKEN_OUT = "is_taken_out"
_HALF_A_YEAR = timedelta(days=182)


class CompanionPage(Page):
    """The selected companions."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, service, parent)
        self._planting_id: str | None = None
        body = self.widget()
        self.to_pot = QPushButton(body)
        self.to_pot.setObjectName("companion_to_pot")
        self.to_pot.setToolTip(tr("Show the details of the pot"))
        self.to_pot.clicked.connect(self._select_pot)
        self.to_pot.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.to_pot.setStyleSheet("text-align: left; padding: 3px 8px;")
        self._build_form()
        card = Card("", body)
        card.setAccessibleName(tr("Companions"))
        card.column.addWidget(self.form)
        self.remove = QPushButton(tr("Take away"), card)
        self.remove.setObjectName("companion_remove")
        self.remove.setToolTip(tr("Take these companions off the pot, as if never planned"))
        self.remove.clicked.connect(self._remove)
        card.column.addWidget(self.remove, 0, Qt.AlignmentFlag.AlignLeft)
        self.about = Card(tr("Season, by date"), body)
        self.lines = wrapping("", "", self.about)
        self.source = wrapping("", "muted", self.about)
        self.about.column.addWidget(self.lines)
        self.about.column.addWidget(self.source)
        self.conflicts = ConflictsCard(body)
        self.conflicts.chosen.connect(self.settle_conflict)
        for widget in (self.to_pot, card, self.conflicts, self.about, self.advice):
            self.column.addWidget(widget)
        self.column.addStretch(1)

    def _build_form(self) -> None:
        form = self.form
        self.kind: ChoiceField = form.choice(
            "companion_id",
            tr("Plant"),
            tuple((each.name, each.id) for each in load_companions()),
            about=tr("What stands on top of the bulbs"),
        )
        form.count("count", tr("Number"), low=0, high=9_999, about=tr("Plants on top of this pot"))
        form.day("planted", tr("Planted"), about=tr("The day on which they are set out"))
        form.check(
            _IS_TAKEN_OUT,
            tr("Taken out on a set day"),
            about=tr("When off, they stay until their season is over"),
        )
        form.day("taken_out", tr("Taken out"), about=tr("From that day on they are not there"))
        form.notes("notes", tr("Notes"))
        self.listen(
            {
                "companion_id": tr("companion"),
                "count": tr("number of companions"),
                "planted": tr("planting date"),
                _IS_TAKEN_OUT: tr("day of taking out"),
                "taken_out": tr("day of taking out"),
                "notes": tr("notes"),
            }
        )

    @property
    def target(self) -> str | None:
        return self._planting_id

    def show_companion(self, planting_id: str) -> None:
        """Show other companions."""
        if planting_id != self._planting_id:
            self._planting_id = planting_id
            self.settle()
        else:
            self.refresh()

    @property
    def is_there(self) -> bool:
        yard = self.document.yard
        return any(planting.id == self._planting_id for _, planting in yard.companions())

    def forget(self) -> None:
        """Show no companions any more."""
        self._planting_id = None

    def change(self, key: str, value: object) -> Callable[[Yard], Yard]:
        planting_id = self._planting_id or ""
        fields: dict[str, object] = {key: value}
        if key == _IS_TAKEN_OUT:
            fields = {"taken_out": self._usual_end() if value else None}
        return lambda yard: change_companion(yard, planting_id, **fields)

    def _planting(self) -> CompanionPlanting:
        return self.document.yard.companion(self._planting_id or "")[1]

    @property
    def _is_southern(self) -> bool:
        return self.document.yard.place.latitude_deg < 0

    def _usual_end(self) -> date:
        """The day after its season; for those in leaf all year half a year after planting."""
        planting = self._planting()
        half_a_year = planting.planted + _HALF_A_YEAR
        try:
            if companion_of(planting.companion_id).is_all_year:
                return half_a_year
            last = days_in_pot(planting, southern=self._is_southern)[1]
        except BloomlineError:
            return half_a_year
        return last + timedelta(days=1)

    def values(self) -> dict[str, object]:
        if self._planting_id is None:
            return {}
        planting = self._planting()
        shown = {key: getattr(planting, key) for key in self.form.fields if key != _IS_TAKEN_OUT}
        shown[_IS_TAKEN_OUT] = planting.taken_out is not None
        return shown

    def show_rest(self) -> None:
        if self._planting_id is None:
            return
        pot, planting = self.document.yard.companion(self._planting_id)
        self.title.setText(rich_name(companion_name(planting.companion_id)))
        self.to_pot.setText(tr("Pot: {pot}", pot=pot_words(pot).replace("&", "&&")))
        self.form.set_visible("taken_out", planting.taken_out is not None)
        report = self.service.report
        found = next(
            (
                each
                for each in (report.companions if report is not None else ())
                if each.planting_id == planting.id and each.companion_id == planting.companion_id
            ),
            None,
        )
        self.conflicts.show_conflicts(self.conflicts_of(pot.id, planting.id))
        try:
            companion = companion_of(planting.companion_id)
        except BloomlineError as error:
            self.subtitle.setText("")
            self.lines.setText(str(error))
            self.source.setText("")
            return
        self.subtitle.setText(
            tr(
                "{colour} · {height} · on top, season by date",
                colour=companion.colour,
                height=self.units.length(companion.height_cm),
            )
        )
        share = planting.count * share_of_one(pot, companion.id)
        self.form.note(
            "count",
            tr("they take {percent} % of the surface", percent=f"{100 * share:.0f}"),
            grave=share > 1.0,
        )
        self.lines.setText("\n".join(self._told(companion, planting, found)))
        self.source.setText(tr("Source: {source}", source=companion.source))
        self.advice.show_advice(found.advice if found is not None else ())
        self.advice.setVisible(bool(found is not None and found.advice))

    def _told(
        self,
        companion: Companion,
        planting: CompanionPlanting,
        forecast: CompanionForecast | None,
    ) -> list[str]:
        southern = self._is_southern
        season = season_on(
            companion, planting.planted, taken_out=planting.taken_out, southern=southern
        )
        lines = []
        if season is None:
            lines.append(tr("Taken out before its season begins"))
        elif companion.is_all_year and planting.taken_out is None:
            lines.append(tr("In leaf all year"))
        else:
            words = (
                tr("In leaf {first} to {last}")
                if companion.is_leaf
                else tr("In flower {first} to {last}")
            )
            lines.append(
                words.format(
                    first=short_day_words(season[0], year=True),
                    last=short_day_words(season[1], year=True),
                )
            )
        first, last = planting_span(companion, planting.planted, southern=southern)
        lines.append(
            tr(
                "Usually planted {first} to {last}, {apart} apart",
                first=short_day_words(first),
                last=short_day_words(last),
                apart=self.units.length(companion.spacing_cm),
            )
        )
        scent = (tr("No scent"), tr("Light scent"), tr("Strong scent"))
        lines.append(scent[companion.scent])
        stands = self.units.temperature(companion.lowest_air_c)
        if forecast is None:
            lines.append(tr("Stands air down to {low}", low=stands))
        elif forecast.killed_share > 0.0:
            lines.append(
                tr(
                    "Stands air down to {low}; frost takes it in {share} here",
                    low=stands,
                    share=of_ten(forecast.killed_share, "year"),
                )
            )
        else:
            lines.append(
                tr("Stands air down to {low}; no weather year here was colder", low=stands)
            )
        poison = (
            tr("No harm to pets is known")
            if not companion.toxic_pets
            else tr("Harmful if eaten: {what}", what=companion.toxic_note)
        )
        return [*lines, poison]

    @Slot()
    def _select_pot(self) -> None:
        if self._planting_id is not None:
            self.document.select(pot_id=self.document.yard.companion(self._planting_id)[0].id)

    @Slot()
    def _remove(self) -> None:
        planting_id = self._planting_id
        if planting_id is None:
            return
        pot, planting = self.document.yard.companion(planting_id)
        name = tr("Take away {name}", name=companion_name(planting.companion_id))
        if self.document.edit(name, lambda yard: remove_companion(yard, planting_id)):
            self.document.select(pot_id=pot.id)
