"""Details of the yard: name, season, pets, thresholds, units, sites, money, notes."""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from typing import get_args

from PySide6.QtWidgets import QWidget

from bloomline.model import edits
from bloomline.model.yard import Pot, Site, Yard
from bloomline.plan.season.words import figure
from bloomline.reference.sites import load_sites
from bloomline.ui.details.cards import Card
from bloomline.ui.details.form import Form
from bloomline.ui.details.page import Page
from bloomline.ui.details.spin_fields import NumberField
from bloomline.ui.document import Document
from bloomline.ui.hands.plain import unbroken
from bloomline.ui.season_service import SeasonService
from bloomline.ui.stage.scent_card import ScentCard
from bloomline.ui.units import Units
from bloomline.words import tr

_SETTINGS = ("pets", "bare_threshold", "crowd_limit", "units")
_MONEY = ("currency", "budget")
_OFFSET = "offset_"


class YardPage(Page):
    """The yard, shown when nothing is selected."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, service, parent)
        body = self.widget()
        self._offsets: list[NumberField] = []
        self._counted: tuple[tuple[Pot, ...], str] | None = None
        self._build_form(self.form)
        card = Card("", body)
        card.setAccessibleName(tr("Yard"))
        card.column.addWidget(self.form)
        self.column.addWidget(card)
        self.scent = ScentCard(document, service, body)
        self.column.addWidget(self.scent)
        self.column.addWidget(self.advice)
        self.column.addStretch(1)

    def _build_form(self, form: Form) -> None:
        form.line(
            "name",
            tr("Name"),
            about=tr("Stands over charts, lists and papers"),
            is_wide=True,
        )
        form.count(
            "season_year",
            tr("Spring of"),
            low=0,
            high=9999,
            about=tr("The year whose spring is shown; planting dates stay as they are"),
        )
        form.check(
            "pets",
            tr("Pets or small children come here"),
            about=tr("Poisonous bulbs are then pointed out more strongly"),
        )
        form.number(
            "bare_threshold",
            tr("Bare below"),
            low=0,
            high=100,
            step=5,
            factor=100.0,
            suffix=tr(" % chance"),
            about=tr("A day of the season is hatched as bare when colour is less likely than this"),
        )
        form.count(
            "crowd_limit",
            tr("Crowded above"),
            low=0,
            high=9999,
            about=tr("A day is crowded when more layers than this are in flower"),
        )
        form.choice(
            "units",
            tr("Units"),
            (
                (tr("the system's"), None),
                (tr("cm, kg, °C"), "metric"),
                (tr("inches, pounds, °F"), "imperial"),
            ),
            about=tr("How figures are shown; the file keeps cm, kg and °C"),
        )
        form.heading(tr("Warmer (+) or colder (−) here than usual"))
        labels = {site: tr(rule.label) for site, rule in load_sites().items()}
        for site in get_args(Site):
            self._offsets.append(
                form.number(
                    f"{_OFFSET}{site}",
                    labels.get(site, site).capitalize(),
                    low=-99,
                    high=99,
                    step=0.5,
                    decimals=1,
                    about=tr(
                        "Warmer (+) or colder (−) here than the program takes such a place to be"
                    ),
                )
            )
        form.heading(tr("Money"))
        form.line("currency", tr("Currency"), about=tr("Three letters, such as GBP"))
        form.number(
            "budget",
            tr("Budget"),
            low=-1,
            high=1e9,
            step=5,
            decimals=2,
            none_words=tr("no limit"),
            about=tr("The most that the shopping list is to cost"),
        )
        form.notes("notes", tr("Notes"))
        names = {
            "name": tr("name of the yard"),
            "season_year": tr("season"),
            "pets": tr("pets"),
            "bare_threshold": tr("limit for bare days"),
            "crowd_limit": tr("limit for crowded days"),
            "units": tr("units"),
            "currency": tr("currency"),
            "budget": tr("budget"),
            "notes": tr("notes"),
        }
        names |= {field.key: tr("warmth of a site") for field in self._offsets}
        self.listen(names)

    @property
    def target(self) -> str | None:
        return "yard"

    @property
    def is_whole_yard(self) -> bool:
        return True

    def change(self, key: str, value: object) -> Callable[[Yard], Yard]:
        def apply(yard: Yard) -> Yard:
            if key == "name":
                return edits.rename_yard(yard, str(value))
            if key == "notes":
                return edits.set_notes(yard, str(value))
            if key == "season_year" and isinstance(value, int):
                return edits.set_season_year(yard, value)
            if key in _SETTINGS:
                return edits.change_settings(yard, **{key: value})
            if key == "currency":
                return edits.change_money(yard, currency=str(value).strip().upper())
            if key in _MONEY:
                return edits.change_money(yard, **{key: value})
            offset = float(value) if isinstance(value, int | float) else 0.0
            site: Site = next(s for s in get_args(Site) if key == f"{_OFFSET}{s}")
            return edits.set_site_offset(yard, site, offset or None)

        return apply

    def values(self) -> dict[str, object]:
        yard = self.document.yard
        shown: dict[str, object] = {
            "name": yard.name,
            "season_year": yard.season_year,
            "notes": yard.notes,
            **{key: getattr(yard.settings, key) for key in _SETTINGS},
            **{key: getattr(yard.money, key) for key in _MONEY},
        }
        for site in get_args(Site):
            shown[f"{_OFFSET}{site}"] = yard.site_offsets.get(site, 0.0)
        return shown

    def show_units(self, units: Units) -> None:
        super().show_units(units)
        for field in self._offsets:
            if units.imperial:
                field.show_scale(factor=1.8, suffix=" °F")
            else:
                field.show_scale(factor=1.0, suffix=" °C")

    def show_rest(self) -> None:
        yard, report = self.document.yard, self.service.report
        self.title.setText(escape(yard.name))
        if self._counted is None or self._counted[0] is not yard.pots:
            self._counted = yard.pots, _counted_words(yard.pots)
        words = self._counted[1]
        if report is not None and not report.has_layers:
            words += f"\n{report.place_label}"
        elif report is not None:
            bare = report.bare_days
            days = tr("{n} bare days", n=figure(bare.expected))
            if report.weather_year is None:
                days = tr(
                    "{days} ({low}–{high} in eight years of ten)",
                    days=days,
                    low=figure(bare.p10),
                    high=figure(bare.p90),
                )
            words += "\n" + tr(
                "{colour} weeks of colour · {bare} · {place}",
                colour=figure(report.weeks_of_colour.expected),
                bare=days,
                place=report.place_label,
            )
        self.subtitle.setText(unbroken(words))
        self.scent.follow()
        self.advise()

    def stop(self) -> None:
        super().stop()
        self.scent.stop()


def _counted_words(pots: tuple[Pot, ...]) -> str:
    """What stands in a yard, every copy of a pot counted."""
    copies = layers = bulbs = 0
    for pot in pots:
        copies += pot.copies
        layers += pot.copies * len(pot.layers)
        bulbs += pot.copies * sum([layer.count for layer in pot.layers])
    return tr(
        "Pots: {pots} · layers: {layers} · bulbs: {bulbs}", pots=copies, layers=layers, bulbs=bulbs
    )
