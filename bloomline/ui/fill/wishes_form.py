"""What is wished for: days, money, scent, colours and limits, as a form."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

from PySide6.QtCore import QDate, Signal, Slot
from PySide6.QtWidgets import QCheckBox, QFormLayout, QHBoxLayout, QLabel, QSpinBox, QWidget

from bloomline.errors import UsageError
from bloomline.model.colours import Family
from bloomline.model.money import digits_of, sign_of
from bloomline.plan.fill.likings import likings
from bloomline.plan.fill.wishes import COLOUR_RULES, ColourRule, Wishes, settled
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.words.colours import colour_words
from bloomline.ui.details.spin_fields import QuietDateEdit
from bloomline.ui.fill.kinds_field import KindsField
from bloomline.ui.fill.pots_list import PotsList
from bloomline.ui.shelf.filters import QuietComboBox
from bloomline.ui.units import LengthSpinBox, QuietDoubleSpinBox, units_of
from bloomline.words import tr

_MOST_MONEY = 100_000.0
_MOST_KINDS = 30
_WITH_COLOUR = ("single", "white")


def rule_words(rule: ColourRule) -> str:
    """Which colours a rule puts together, in words."""
    return {
        "any": tr("any colours"),
        "near": tr("colours near each other"),
        "contrast": tr("colours in contrast"),
        "single": tr("one colour"),
        "white": tr("white with one colour"),
    }[rule]


class WishesForm(QWidget):
    """Tells when a wish has changed; `wishes()` is what is wished for now."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None, *, of_pots: bool = False) -> None:
        """of_pots : scent may be wished for in some pots alone."""
        super().__init__(parent)
        self.setObjectName("wishes")
        self.first, self.last = (self._day(name) for name in ("wish_first", "wish_last"))
        self.first.setAccessibleName(tr("In colour from"))
        self.last.setAccessibleName(tr("In colour to"))
        self.budget = QuietDoubleSpinBox(self)
        self.budget.setObjectName("wish_budget")
        self.budget.setRange(0.0, _MOST_MONEY)
        self.budget.setSingleStep(5.0)
        self.budget.setSpecialValueText(tr("no limit"))
        self.bulbs_only = self._box("wish_bulbs_only", tr("for bulbs alone, compost comes e&xtra"))
        words = tr("&Scent in") if of_pots else tr("&Scent in every pot")
        self.scent = self._box("wish_scent", words)
        self.where = QuietComboBox(self)
        self.where.setObjectName("wish_scent_where")
        self.where.setAccessibleName(tr("Where scent is wished for"))
        self.where.addItem(tr("every pot"), False)
        self.where.addItem(tr("these pots only"), True)
        self.where.setVisible(of_pots)
        self.scent_pots = PotsList(self)
        self.scent_pots.setObjectName("wish_scent_pots")
        self.scent_pots.setAccessibleName(tr("Pots with scent"))
        self.liked = KindsField(tr("Kinds that are liked"), self, name="wish_liked")
        self.not_liked = KindsField(tr("Kinds that are not liked"), self, name="wish_not_liked")
        self.rule = QuietComboBox(self)
        self.rule.setObjectName("wish_rule")
        for rule in COLOUR_RULES:
            self.rule.addItem(rule_words(rule), rule)
        self.colour = QuietComboBox(self)
        self.colour.setObjectName("wish_colour")
        self.colour.setAccessibleName(tr("Which colour"))
        self.colour.addItem(tr("whichever is best"), None)
        for family in Family:
            self.colour.addItem(colour_words(family), family.value)  # as a plain word for Qt
        self.tallest = LengthSpinBox(self, most_cm=300.0)
        self.tallest.setObjectName("wish_height")
        self.tallest.setSpecialValueText(tr("any height"))
        self.kinds = QSpinBox(self)
        self.kinds.setObjectName("wish_kinds")
        self.kinds.setRange(0, _MOST_KINDS)
        self.kinds.setSpecialValueText(tr("any number"))
        self.harmless = self._box("wish_harmless", tr("Nothing that harms pets or children"))
        self.harmless.setToolTip(tr("Leaves out all kinds that do harm when eaten."))
        self.cupboard = self._box("wish_cupboard", tr("What lies in the c&upboard first"))
        self.easy = self._box("wish_easy", tr("E&asy kinds only"))
        self.easy.setToolTip(tr("Kinds that hardly ever fail at your place and need no help."))
        self.robust = self._box("wish_robust", tr("Only days that are sure"))
        self.robust.setToolTip(tr("A day counts only where it is in colour in eight years of ten."))
        self._lay_out()
        for box in (self.budget, self.tallest):
            box.valueChanged.connect(self._tell)
        self.kinds.valueChanged.connect(self._tell)
        self.rule.currentIndexChanged.connect(self._rule_chosen)
        self.colour.currentIndexChanged.connect(self._tell)
        self.scent_pots.changed.connect(self._tell)
        for field in (self.liked, self.not_liked):
            field.changed.connect(self._tell)
        for chosen in (self.scent.toggled, self.where.currentIndexChanged):
            chosen.connect(self._scent_chosen)
        self._showing = False
        self._rule_chosen()
        self._scent_chosen()

    def _day(self, name: str) -> QuietDateEdit:
        edit = QuietDateEdit(self)
        edit.setObjectName(name)
        edit.setCalendarPopup(True)
        edit.dateChanged.connect(self._tell)
        return edit

    def _box(self, name: str, words: str) -> QCheckBox:
        box = QCheckBox(words, self)
        box.setObjectName(name)
        box.toggled.connect(self._tell)
        return box

    def _lay_out(self) -> None:
        days = QHBoxLayout()
        days.addWidget(self.first)
        days.addWidget(QLabel(tr("to"), self))
        days.addWidget(self.last)
        days.addStretch(1)
        scent = QHBoxLayout()
        scent.addWidget(self.scent)
        scent.addWidget(self.where)
        scent.addStretch(1)
        colours = QHBoxLayout()
        colours.addWidget(self.rule)
        colours.addWidget(self.colour)
        colours.addStretch(1)
        self.form = QFormLayout(self)
        self.form.setContentsMargins(0, 0, 0, 0)
        self.form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.FieldsStayAtSizeHint)
        for words, what, buddy in (
            (tr("&In colour from"), days, self.first),
            (tr("Mone&y for it"), self.budget, self.budget),
            ("", self.bulbs_only, None),
            (tr("&Colours"), colours, self.rule),
            (tr("No taller than"), self.tallest, self.tallest),
            (tr("&Kinds at most"), self.kinds, self.kinds),
            (tr("Liked kinds"), self.liked, self.liked.line),
            (tr("Not like&d"), self.not_liked, self.not_liked.line),
        ):
            label = QLabel(words, self)
            if buddy is not None:
                label.setBuddy(buddy)
            self.form.addRow(label, what)
        self.form.addRow("", scent)
        self.form.addRow("", self.scent_pots)
        for box in (self.harmless, self.easy, self.cupboard, self.robust):
            self.form.addRow("", box)

    def show_outlook(self, outlook: Outlook) -> None:
        """Show the wishes that a yard begins with: its spring, its budget, its pets."""
        self._showing = True
        wishes = settled(outlook, Wishes())
        assert wishes.first is not None and wishes.last is not None  # settled
        currency = outlook.yard.money.currency
        self.first.setDate(QDate(wishes.first))  # type: ignore[call-overload]
        self.last.setDate(QDate(wishes.last))  # type: ignore[call-overload]
        self.budget.setDecimals(digits_of(currency))
        self.budget.setPrefix(f"{sign_of(currency)} ")
        self.budget.setValue(float(wishes.budget or 0))
        self.tallest.set_units(units_of(outlook.yard))
        self.harmless.setChecked(outlook.yard.settings.pets)
        self.cupboard.setVisible(bool(outlook.yard.cupboard))
        self.follow(outlook)
        self._showing = False

    def follow(self, outlook: Outlook) -> None:
        """Show the pots and kinds that there are now; what was wished for stays so."""
        self.scent_pots.show_pots(outlook.yard.pots, checked=False)
        known = likings(outlook)
        self.liked.show_known(known)
        self.not_liked.show_known(known)

    def wishes(self) -> Wishes:
        """What is wished for."""
        amount = Decimal(repr(round(self.budget.value(), self.budget.decimals())))
        rule: ColourRule = self.rule.currentData()
        wishes = Wishes(
            first=_as_date(self.first.date()),
            last=_as_date(self.last.date()),
            scent=self.scent.isChecked(),
            scent_pots=self.scent_pots.pot_ids() if self._scent_is_somewhere else (),
            liked=self.liked.values,
            not_liked=self.not_liked.values,
            colours=rule,
            height_most_cm=self.tallest.length_cm or None,
            harmless=self.harmless.isChecked(),
            cupboard_first=self.cupboard.isChecked(),
            easy=self.easy.isChecked(),
            budget=amount if amount > 0 else None,
            bulbs_only=self.bulbs_only.isChecked(),
            kinds_most=self.kinds.value() or None,
            robust=self.robust.isChecked(),
        )
        if rule in _WITH_COLOUR:
            word = self.colour.currentData()
            return replace(wishes, colour=None if word is None else Family(word))
        return wishes

    def check(self, outlook: Outlook) -> None:
        """Raises UsageError for days that are none of the season, in words for the gardener."""
        if self._scent_is_somewhere and not self.scent_pots.pot_ids():
            raise UsageError(tr("Choose the pots that are to have scent, or wish for no scent."))
        settled(outlook, self.wishes())

    @property
    def _scent_is_somewhere(self) -> bool:
        return self.scent.isChecked() and bool(self.where.currentData())

    @Slot()
    def _scent_chosen(self, *_: object) -> None:
        self.where.setEnabled(self.scent.isChecked())
        self.scent_pots.setVisible(self._scent_is_somewhere)
        self._tell()

    @Slot()
    def _rule_chosen(self, *_: object) -> None:
        self.colour.setVisible(self.rule.currentData() in _WITH_COLOUR)
        self._tell()

    @Slot()
    def _tell(self, *_: object) -> None:
        if not self._showing:
            self.changed.emit()


def _as_date(day: QDate) -> date:
    return date(day.year(), day.month(), day.day())
