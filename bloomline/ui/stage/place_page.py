"""The form of one place: what it is like, and when it is to look its best."""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from typing import get_args

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLineEdit, QWidget

from bloomline.model.stage import DisplayPlace, ShelterSite
from bloomline.model.stage_edits import change_stage_place, rename_place
from bloomline.model.yard import Yard
from bloomline.plan.stage.shows import NOSE_CM
from bloomline.reference.sites import load_sites
from bloomline.ui.details.page import Page
from bloomline.ui.details.spin_fields import LengthField
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.ui.stage.wanted_field import WantedField, WantedRows
from bloomline.ui.units import Units
from bloomline.words import tr

_FIELDS = (
    *("kind", "site", "capacity", "width_cm", "sun", "seen_from", "view_weight", "wanted"),
    *("no_trolley", "by_path", "nose_height_cm", "raised_cm", "exposure"),
)
_NONE_IS_ZERO = ("width_cm", "nose_height_cm")


class PlacePage(Page):
    """One place of the yard, every field an edit that can be undone."""

    renamed = Signal(str)
    """The place has another name from now on."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, service, parent)
        self._name: str | None = None
        self.is_renaming = False
        """Whether the name is being changed: the yard has the new one, the form not yet."""
        self._build()
        self.title.hide()
        self.subtitle.hide()
        self.column.addWidget(self.form)
        self.column.addStretch(1)

    def _build(self) -> None:
        form = self.form
        form.line("name", tr("Name"), is_wide=True)
        form.choice(
            "kind",
            tr("Is for"),
            (
                (tr("display"), "display"),
                (tr("rest, out of sight"), "rest"),
                (tr("winter shelter"), "shelter"),
            ),
            about=tr("Shown to whoever looks; out of sight in the open; or under cover in winter"),
        )
        labels = load_sites()
        form.choice(
            "site",
            tr("Cover"),
            tuple((tr(labels[site].label), site) for site in get_args(ShelterSite)),
            about=tr("How cold it gets there: pots that winter here are worked out for that"),
        )
        form.count("capacity", tr("Room for pots"), low=1, high=1000)
        width = form.length(
            "width_cm", tr("Width"), about=tr("Room for pots side by side; 0: only their number")
        )
        form.choice(
            "sun",
            tr("Light"),
            (
                (tr("not said"), None),
                (tr("sun"), "sun"),
                (tr("half shade"), "half-shade"),
                (tr("shade"), "shade"),
                (tr("dark"), "dark"),
            ),
            about=tr("Leaves want light: pots stand in the shade only at rest or in flower"),
        )
        form.line("seen_from", tr("Seen from"), about=tr("For example: the kitchen table"))
        form.number(
            "view_weight",
            tr("View counts"),
            low=0.0,
            high=20.0,
            step=0.5,
            decimals=1,
            about=tr("How many times flowers here count against those of a place of 1"),
        )
        self.wanted = form.add(
            WantedField("wanted", WantedRows(form)), tr("Wanted at its best"), is_wide=True
        )
        form.check("no_trolley", tr("Steps on the way: no trolley"))
        form.check("by_path", tr("By a path: scent counts"))
        nose = form.length(
            "nose_height_cm",
            tr("Nose height"),
            about=tr("Of whoever walks past or sits there; lower for a bench"),
        )
        form.length(
            "raised_cm", tr("Raised"), about=tr("How high pots stand above the ground there")
        )
        form.line("exposure", tr("Remarks"), about=tr("For example: west, sheltered"))
        self._lengths: tuple[tuple[LengthField, str], ...] = (
            (width, tr("any")),
            (nose, tr("as one stands")),
        )
        self.listen(
            {
                "name": tr("name of a place"),
                "kind": tr("use of a place"),
                "site": tr("cover of a place"),
                "capacity": tr("room of a place"),
                "width_cm": tr("width of a place"),
                "sun": tr("light of a place"),
                "seen_from": tr("view of a place"),
                "view_weight": tr("view of a place"),
                "wanted": tr("weeks of a place"),
                "no_trolley": tr("way to a place"),
                "by_path": tr("way to a place"),
                "nose_height_cm": tr("nose height at a place"),
                "raised_cm": tr("height of a place"),
                "exposure": tr("remarks on a place"),
            }
        )

    @property
    def target(self) -> str | None:
        return self._name if self.place is not None else None

    @property
    def place(self) -> DisplayPlace | None:
        """The place that is shown; None where it is gone."""
        return next(
            (each for each in self.document.yard.display_places if each.name == self._name), None
        )

    def show_place(self, name: str | None) -> None:
        """Show another place, or the same under another name."""
        is_other = name != self._name
        self._name = name
        if self.place is None:
            return
        if is_other:
            self.settle()
        else:
            self.refresh()

    def edit_name(self) -> None:
        """Put the keyboard into the name, all of it chosen."""
        line = self.form.fields["name"].editor
        assert isinstance(line, QLineEdit)
        line.setFocus()
        line.selectAll()

    def change(self, key: str, value: object) -> Callable[[Yard], Yard]:
        name = self._name or ""
        if key in _NONE_IS_ZERO and not value:
            value = None

        def apply(yard: Yard) -> Yard:
            if key == "name":
                return rename_place(yard, name, str(value).strip())
            return change_stage_place(yard, name, **{key: value})

        return apply

    def give(self, key: str, value: object, *, gesture: str | None = None) -> bool:
        if key != "name" or self.place is None:
            return super().give(key, value, gesture=gesture)
        at = [each.name for each in self.document.yard.display_places].index(self._name or "")
        self.is_renaming = True
        done = super().give(key, value, gesture=gesture)
        self.is_renaming = False
        self._name = self.document.yard.display_places[at].name
        self.renamed.emit(self._name)
        return done

    def values(self) -> dict[str, object]:
        place = self.place
        if place is None:
            return {}
        values = {key: getattr(place, key) for key in _FIELDS}
        return {"name": place.name, **values, "site": place.site or "shed"}

    def show_units(self, units: Units) -> None:
        super().show_units(units)
        for field, words in self._lengths:
            field.box.setSpecialValueText(words)

    def show_rest(self) -> None:
        place = self.place
        if place is None:
            return
        self.title.setText(escape(place.name))
        shown = place.kind == "display"
        self.form.set_visible("site", place.kind == "shelter")
        for key in ("seen_from", "view_weight", "wanted", "by_path"):
            self.form.set_visible(key, shown)
        for key in ("nose_height_cm", "raised_cm"):
            self.form.set_visible(key, shown and place.by_path)
        usual = self.units.length(NOSE_CM, decimals=0)
        note = tr("{usual}, the nose of whoever walks past", usual=usual)
        is_usual = shown and place.by_path and place.nose_height_cm is None
        self.form.note("nose_height_cm", note if is_usual else "")
