"""A wish for the season: what, in how many pots, from which day to which, and in which pots."""

from __future__ import annotations

from datetime import timedelta

from PySide6.QtCore import QDate, Slot
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from bloomline.model.cultivar import MonthDay
from bloomline.model.wish import SeasonWish
from bloomline.model.wish_edits import next_wish_id
from bloomline.plan.fill.targets import days_of_wish
from bloomline.plan.fill.wishes import Wishes, settled
from bloomline.plan.season.outlook import Outlook
from bloomline.ui.details.cards import wrapping
from bloomline.ui.details.spin_fields import QuietDateEdit
from bloomline.ui.fill.pots_list import PotsList
from bloomline.ui.shelf.filters import QuietComboBox
from bloomline.ui.theme import em
from bloomline.words import tr


class WishDialog(QDialog):
    """Asks for a new wish, or for changes of one; `wish()` is what is asked for."""

    def __init__(
        self, outlook: Outlook, wish: SeasonWish | None = None, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setObjectName("season_wish")
        self.setWindowTitle(
            tr("A wish for the season") if wish is None else tr("Change a wish for the season")
        )
        self._outlook = outlook
        self._id = next_wish_id(outlook.yard) if wish is None else wish.id
        self.what = QuietComboBox(self)
        self.what.setObjectName("season_wish_what")
        self.what.addItem(tr("in colour"), "colour")
        self.what.addItem(tr("with scent"), "scent")
        self.count = QSpinBox(self)
        self.count.setObjectName("season_wish_count")
        self.count.setRange(1, 1000)
        self.first, self.last = QuietDateEdit(self), QuietDateEdit(self)
        self.first.setObjectName("season_wish_first")
        self.first.setAccessibleName(tr("From"))
        self.last.setObjectName("season_wish_last")
        self.last.setAccessibleName(tr("To"))
        self.where = QuietComboBox(self)
        self.where.setObjectName("season_wish_where")
        self.where.addItem(tr("in any pots of the yard"), False)
        self.where.addItem(tr("in these pots"), True)
        self.pots = PotsList(self)
        self.pots.setObjectName("season_wish_pots")
        self.pots.setAccessibleName(tr("Pots that count"))
        self.pots.show_pots(outlook.yard.pots, checked=False)
        self.problem = wrapping("", "warning", self)
        self.buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel, self
        )
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        self._lay_out()
        self._show(wish)
        for changed in (
            self.where.currentIndexChanged,
            self.count.valueChanged,
            self.pots.changed,
            self.first.dateChanged,
            self.last.dateChanged,
        ):
            changed.connect(self._check)
        self._check()

    def _lay_out(self) -> None:
        days = QHBoxLayout()
        days.addWidget(self.first)
        days.addWidget(QLabel(tr("to"), self))
        days.addWidget(self.last)
        days.addStretch(1)
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.FieldsStayAtSizeHint)
        for words, what, buddy in (
            (tr("&Pots at least"), self.count, self.count),
            (tr("&What"), self.what, self.what),
            (tr("&From"), days, self.first),
            (tr("W&here"), self.where, self.where),
            ("", self.pots, None),
        ):
            label = QLabel(words, self)
            if buddy is not None:
                label.setBuddy(buddy)
            form.addRow(label, what)
        column = QVBoxLayout(self)
        column.addWidget(
            wrapping(
                tr(
                    "The days are of every year. The season shown tells whether it keeps the "
                    "wish, and in how many of the weather years."
                ),
                "muted",
                self,
            )
        )
        column.addLayout(form)
        column.addWidget(self.problem)
        column.addStretch(1)
        column.addWidget(self.buttons)
        self.setMinimumWidth(round(28 * em()))

    def _show(self, wish: SeasonWish | None) -> None:
        if wish is None:
            spring = settled(self._outlook, Wishes(), yards_budget=False)
            assert spring.first is not None and spring.last is not None  # settled
            first, last = spring.first + timedelta(days=19), spring.last - timedelta(days=21)
        else:
            first, last = days_of_wish(self._outlook, wish)
            self.what.setCurrentIndex(self.what.findData(wish.what))
            self.count.setValue(wish.pots_at_least)
            self.where.setCurrentIndex(1 if wish.pot_ids else 0)
            self.pots.choose(wish.pot_ids)
        self.first.setDate(QDate(first.year, first.month, first.day))
        self.last.setDate(QDate(last.year, last.month, last.day))

    @Slot()
    def _check(self, *_: object) -> None:
        is_some = bool(self.where.currentData())
        self.pots.setVisible(is_some)
        words = ""
        chosen = self.pots.pot_ids()
        pots = sum(pot.copies for pot in self._outlook.yard.pots if pot.id in chosen or not is_some)
        if is_some and not pots:
            words = tr("Choose the pots that count.")
        elif self.count.value() > pots:
            words = tr("There are not that many pots: it can't be kept.")
        elif self.last.date() < self.first.date():
            words = tr("The last day lies before the first.")
        elif self.first.date().daysTo(self.last.date()) > 364:
            words = tr("That is more than a year.")
        self.problem.setText(words)
        self.buttons.button(QDialogButtonBox.StandardButton.Ok).setEnabled(not words)

    def wish(self) -> SeasonWish:
        """What is wished for."""
        first, last = self.first.date(), self.last.date()
        return SeasonWish(
            id=self._id,
            what=self.what.currentData(),
            first=MonthDay(first.month(), first.day()),
            last=MonthDay(last.month(), last.day()),
            pots_at_least=self.count.value(),
            pot_ids=self.pots.pot_ids() if self.where.currentData() else (),
        )


def ask_wish(outlook: Outlook, wish: SeasonWish | None, parent: QWidget) -> SeasonWish | None:
    """Ask for a wish, or for changes of one; None when it is given up."""
    dialog = WishDialog(outlook, wish, parent)
    found = dialog.wish() if dialog.exec() == QDialog.DialogCode.Accepted else None
    dialog.deleteLater()
    return found
