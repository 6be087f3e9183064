"""A kind from its packet: what is typed is questioned field by field, and forecast as it stands."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import Qt, QTimer, Signal, Slot
from PySide6.QtGui import QColor
from PySide6.QtWidgets import (
    QColorDialog,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from bloomline.errors import BloomlineError
from bloomline.model.yard import OwnCultivar
from bloomline.plan.kinds.classes import bulb_types, colours
from bloomline.plan.kinds.packet import PacketEntry, country_of, entry_of, usual_for
from bloomline.plan.kinds.prices import pack_price
from bloomline.plan.kinds.questions import Field
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.packet import Look, look_at
from bloomline.reference.places import load_places
from bloomline.ui.kinds.fields import AskedRow, UsualLength, search_box, swatch
from bloomline.ui.season_service import Beside
from bloomline.ui.theme import em
from bloomline.ui.units import QuietDoubleSpinBox, units_of
from bloomline.words import tr

_REST_MS = 200
_NO_PRICE = -0.01


@dataclass(frozen=True, slots=True)
class Made:
    """What the dialog made: the kind, its pack, and what it costs (None where it wasn't told)."""

    kind: OwnCultivar
    pack: int
    price: float | None


class PacketDialog(QDialog):
    """Type, name and what else the packet says; `made` is what came of it."""

    mixture_requested = Signal(str)
    """It is a pack of several named kinds (what it is called)."""

    def __init__(
        self,
        outlook: Outlook,
        *,
        name: str = "",
        kept: OwnCultivar | None = None,
        plant_in: str = "",
        can_mix: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        """kept : the own kind to be edited. plant_in : the pot it could be planted in at once.

        can_mix : whether who opens it can make a mixture of several kinds.
        """
        super().__init__(parent)
        self.setObjectName("packet")
        self.setWindowTitle(tr("Change an own kind") if kept else tr("A kind from its packet"))
        self.made: Made | None = None
        self.plants = False
        self._outlook, self._kept = outlook.usual, kept
        self._units = units_of(outlook.yard)
        self._types = {each.genus: each for each in bulb_types()}
        self._second_hex: str | None = None
        self._colour_hex = ""
        self._look: Look | None = None
        self._is_due = False
        self._beside = Beside(self)
        self._beside.answered.connect(self._take)
        self._rest = QTimer(self)
        self._rest.setSingleShot(True)
        self._rest.setInterval(_REST_MS)
        self._rest.timeout.connect(self._ask)
        self._build(plant_in)
        if can_mix and kept is None:
            self.mix = self.buttons.addButton(
                tr("A &mixture…"), QDialogButtonBox.ButtonRole.ResetRole
            )
            self.mix.setObjectName("packet_mix")
            self.mix.setToolTip(tr("Several kinds sold or planted as one, each with its share"))
            self.mix.clicked.connect(self._leave_to_mix)
        self._fill(entry_of(kept) if kept else PacketEntry("Tulipa", name=name))
        self._connect()
        self._follow_entry()

    # Parts

    def _build(self, plant_in: str) -> None:
        self.type = search_box(self)
        for each in self._types.values():
            self.type.addItem(tr("{kind} ({genus})", kind=each.label, genus=each.genus), each.genus)
        self.group = QComboBox(self)
        self.name = QLineEdit(self)
        self.flowers = QLineEdit(self)
        self.flowers.setPlaceholderText(tr("April–May, late March, weeks 15–18"))
        self.country = search_box(self)
        self.country.addItem(tr("near London"), "")
        for land in load_places().countries():
            self.country.addItem(land, land)
        self.colour = search_box(self)
        for word, (first, second) in colours().items():
            self.colour.addItem(swatch(first, second), word, (first, second))
        self.pick = QPushButton(tr("Peta&l…"), self)
        self.pick.setToolTip(tr("Choose the colour of the petals"))
        self.height_cm, self.cover_cm, self.size_cm = (
            UsualLength(self, most_cm=most) for most in (999.0, 99.0, 199.0)
        )
        for box in (self.height_cm, self.cover_cm, self.size_cm):
            box.set_units(self._units)
        self.scent = QComboBox(self)
        for words in (tr("none"), tr("light"), tr("strong")):
            self.scent.addItem(words)
        self.pack = QSpinBox(self)
        self.pack.setRange(1, 1000)
        self.price = QuietDoubleSpinBox(self)
        self.price.setRange(_NO_PRICE, 9_999.0)
        self.price.setSpecialValueText(tr("not told"))
        self.price.setSuffix(f" {self._outlook.yard.money.currency}")
        self.about = QLabel(self)
        self.about.setObjectName("packet_about")
        self.about.setWordWrap(True)
        self.about.setTextFormat(Qt.TextFormat.PlainText)
        self.about.setMinimumHeight(round(em() * 4.4))
        self.about.setAlignment(Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft)
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        petals = QWidget(self)
        beside = QHBoxLayout(petals)
        beside.setContentsMargins(0, 0, 0, 0)
        beside.addWidget(self.colour, 1)
        beside.addWidget(self.pick)
        self.rows: dict[Field, AskedRow] = {}
        self.rows["genus"] = AskedRow(
            form, tr("&Type"), self.type, about=tr("Choose, or write a botanical genus")
        )
        AskedRow(form, tr("&Class"), self.group, about=tr("Of a mixed pack it may not be known"))
        self.rows["name"] = AskedRow(form, tr("&Name"), self.name)
        self.rows["flowers"] = AskedRow(
            form,
            tr("&Flowers"),
            self.flowers,
            about=tr("The months or weeks on the packet; empty: as usual for its class"),
        )
        self.rows["country"] = AskedRow(
            form, tr("Countr&y"), self.country, about=tr("For which country the months are meant")
        )
        self.rows["colour"] = AskedRow(form, tr("C&olour"), petals)
        self.colour.setAccessibleName(tr("Colour"))
        self.rows["height"] = AskedRow(form, tr("&Height"), self.height_cm)
        self.rows["cover"] = AskedRow(
            form, tr("&Depth"), self.cover_cm, about=tr("Soil over the tip of the bulb")
        )
        self.rows["size"] = AskedRow(
            form, tr("Si&ze"), self.size_cm, about=tr("Circumference of the bulb: 12/+ is 12 cm")
        )
        AskedRow(form, tr("Sc&ent"), self.scent)
        AskedRow(form, tr("Bul&bs in the pack"), self.pack)
        AskedRow(form, tr("P&rice of the pack"), self.price)
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel, self)
        ok = tr("Change it") if self._kept else tr("Put on the &shelf")
        self.ok = self.buttons.addButton(ok, QDialogButtonBox.ButtonRole.AcceptRole)
        self.ok.setObjectName("packet_ok")
        self.plant: QPushButton | None = None
        if plant_in and self._kept is None:
            self.plant = self.buttons.addButton(
                tr("&Plant in {pot}", pot=plant_in.replace("&", "&&")),
                QDialogButtonBox.ButtonRole.AcceptRole,
            )
            self.plant.setObjectName("packet_plant")
        (self.plant or self.ok).setDefault(True)
        column = QVBoxLayout(self)
        column.addLayout(form)
        column.addWidget(self.about)
        column.addStretch(1)
        column.addWidget(self.buttons)
        self.setMinimumWidth(round(em() * 32))

    def _connect(self) -> None:
        self.type.currentTextChanged.connect(self._follow_type)
        for box in (self.group, self.scent):
            box.currentIndexChanged.connect(self._follow_entry)
        for line in (self.name, self.flowers):
            line.textChanged.connect(self._follow_entry)
        self.country.currentTextChanged.connect(self._follow_entry)
        self.colour.currentTextChanged.connect(self._follow_colour)
        for length in (self.height_cm, self.cover_cm, self.size_cm):
            length.setKeyboardTracking(True)
            length.length_changed.connect(self._follow_entry)
        self.pick.clicked.connect(self._pick_colour)
        self.ok.clicked.connect(self._finish)
        if self.plant is not None:
            self.plant.clicked.connect(self._finish_planting)
        self.buttons.rejected.connect(self.reject)

    def _fill(self, entry: PacketEntry) -> None:
        at = self.type.findData(entry.genus)
        if at < 0:
            self.type.setCurrentIndex(-1)
            self.type.setEditText(entry.genus)
        else:
            self.type.setCurrentIndex(at)
        self._show_groups(entry.group)
        self.name.setText(entry.name)
        self.flowers.setText(entry.flowers)
        country = entry.country if entry.flowers else country_of(self._outlook.yard.place)
        self.country.setCurrentIndex(max(self.country.findData(country), 0))
        self.colour.setCurrentIndex(-1)
        self.colour.setEditText(entry.colour)
        self._show_petals(entry.colour_hex, entry.second_hex)
        for box, value in (
            (self.height_cm, entry.height_cm),
            (self.cover_cm, entry.cover_cm),
            (self.size_cm, entry.size_cm),
        ):
            box.set_length_cm(value or 0.0)
        self.scent.setCurrentIndex(entry.scent)
        kept = self._kept
        self.pack.setValue(kept.typical_pack if kept else 10)
        price = pack_price(self._outlook.yard, kept.id, kept.typical_pack) if kept else None
        self.price.setValue(_NO_PRICE if price is None else price)
        (self.name if not entry.name else self.flowers).setFocus()

    def _show_groups(self, chosen: str) -> None:
        self.group.blockSignals(True)
        self.group.clear()
        self.group.addItem(tr("not known"), "")
        bulb = self._types.get(self._genus())
        for group, number in () if bulb is None else bulb.groups:
            words = (
                group
                if number is None
                else tr("{group} (division {number})", group=group, number=number)
            )
            self.group.addItem(words, group)
        several = self.group.count() > 2
        only = self.group.count() == 2 and not chosen
        self.group.setCurrentIndex(1 if only else max(self.group.findData(chosen), 0))
        self.group.setEnabled(several)
        self.group.blockSignals(False)

    # What is typed

    def _genus(self) -> str:
        text = self.type.currentText().strip()
        at = self.type.findText(text, Qt.MatchFlag.MatchFixedString)
        if at >= 0:
            return str(self.type.itemData(at))
        plain = text.casefold()
        for each in self._types.values():
            if plain in (each.label.casefold(), each.genus.casefold()):
                return each.genus
        return text

    def entry(self) -> PacketEntry:
        """What the fields hold."""
        at = self.country.findText(self.country.currentText(), Qt.MatchFlag.MatchFixedString)
        country = self.country.currentText().strip() if at < 0 else str(self.country.itemData(at))
        return PacketEntry(
            genus=self._genus(),
            group=str(self.group.currentData() or ""),
            name=self.name.text().strip(),
            flowers=self.flowers.text().strip(),
            country=country if self.flowers.text().strip() else "",
            colour=self.colour.currentText().strip(),
            colour_hex=self._colour_hex,
            second_hex=self._second_hex,
            height_cm=self.height_cm.given_cm(),
            cover_cm=self.cover_cm.given_cm(),
            size_cm=self.size_cm.given_cm(),
            scent=self.scent.currentIndex(),
        )

    @Slot()
    def _follow_type(self, *_: object) -> None:
        self._show_groups("")
        self._follow_entry()

    @Slot()
    def _follow_colour(self, *_: object) -> None:
        known = colours().get(self.colour.currentText().strip().casefold())
        if known is not None:
            self._show_petals(*known)
        self._follow_entry()

    def _show_petals(self, colour_hex: str, second_hex: str | None) -> None:
        self._colour_hex, self._second_hex = colour_hex, second_hex
        if colour_hex:
            self.pick.setIcon(swatch(colour_hex, second_hex))

    @Slot()
    def _pick_colour(self) -> None:
        start = QColor(self._colour_hex or "#D8286B")
        chosen = QColorDialog.getColor(start, self, tr("Colour of the petals"))
        if chosen.isValid():
            self._show_petals(chosen.name().upper(), None)
            self._follow_entry()

    # Questioned and forecast

    @Slot()
    def _follow_entry(self, *_: object) -> None:
        self._look = None
        usual = usual_for(self.entry()).typical
        for box, value in (
            (self.height_cm, usual.height_cm),
            (self.cover_cm, usual.cover_cm),
            (self.size_cm, usual.bulb_circumference_cm),
        ):
            box.show_usual(value, self._units)
        self._rest.start()

    @Slot()
    def _ask(self) -> None:
        self._rest.stop()
        self._beside.ask(partial(look_at, self._outlook, self.entry(), self._kept, self._units))

    @Slot(object)
    def _take(self, answer: object) -> None:
        if isinstance(answer, BloomlineError):
            self.about.setText(str(answer))
            self._is_due = False
            return
        if not isinstance(answer, Look) or answer.entry != self.entry():
            return
        self._look = answer
        for field, row in self.rows.items():
            asked = answer.questions.get(field)
            untouched = field == "name" and not self.name.isModified() and not self._is_due
            row.tell("" if asked is None or untouched else asked.words)
        self.about.setText(answer.words)
        self.about.setAccessibleName(answer.words)
        if self._is_due:
            self._finish()

    @Slot()
    def _leave_to_mix(self) -> None:
        name = self.name.text().strip()
        self.reject()
        self.mixture_requested.emit(name)

    @Slot()
    def _finish_planting(self) -> None:
        self.plants = True
        self._finish()

    @Slot()
    def _finish(self) -> None:
        self._is_due = True
        if self._look is None:
            self._ask()  # the answer is a moment away, and comes back here
            return
        self._is_due = False
        grave = [field for field, each in self._look.questions.items() if each.grave]
        kind = self._look.kind
        if grave or kind is None:
            for field in grave:
                self.rows[field].tell(self._look.questions[field].words)
            if grave:
                self.rows[grave[0]].field.setFocus()
            self.plants = False
            return
        price = self.price.value()
        self.made = Made(kind, self.pack.value(), None if price < 0.0 else round(price, 2))
        self.accept()

    def done(self, result: int) -> None:
        self.stop()
        super().done(result)

    def stop(self) -> None:
        """End the work beside the window; safe to call twice."""
        self._rest.stop()
        self._beside.stop()
