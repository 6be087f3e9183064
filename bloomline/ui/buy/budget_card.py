"""The budget: what all costs, what is over, and the changes that cost least colour."""

from __future__ import annotations

from decimal import Decimal

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QProgressBar,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bloomline.model.money import digits_of, sign_of, written
from bloomline.plan.shop.budget import BudgetPlan, Saving
from bloomline.plan.shop.budget_words import MEASURE, outcome_words, state_words
from bloomline.plan.shop.buying import ShoppingList
from bloomline.plan.shop.words import parts_words
from bloomline.ui.buy.jobs import ListedNeeds
from bloomline.ui.details.cards import Card, wrapping
from bloomline.ui.dressed import say_as
from bloomline.ui.theme import em
from bloomline.ui.units import QuietDoubleSpinBox
from bloomline.words import tr

_MOST = 1_000_000.0
_SHOWN = 12


class SavingRow(QFrame):
    """One change and the button that does it."""

    wanted = Signal(object)

    def __init__(self, saving: Saving, currency: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._saving = saving
        self.words = wrapping(saving.words, "", self)
        saved = written(saving.saved, currency=currency)
        self.effect = wrapping(
            tr(
                "Saves {saved}; weeks of colour {before} → {after}, bulbs −{bulbs}",
                saved=saved,
                before=f"{saving.weeks_before:.1f}",
                after=f"{saving.weeks_after:.1f}",
                bulbs=saving.bulbs_fewer,
            ),
            "muted",
            self,
        )
        self.button = QPushButton(tr("Do this"), self)
        self.button.setAccessibleName(tr("Do this: {words}", words=saving.words))
        self.button.setAccessibleDescription(self.effect.text())
        self.button.clicked.connect(self._do)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, round(em() * 0.3), 0, round(em() * 0.3))
        column.setSpacing(round(em() * 0.15))
        column.addWidget(self.words)
        column.addWidget(self.effect)
        column.addWidget(self.button, 0, Qt.AlignmentFlag.AlignLeft)

    @Slot()
    def _do(self) -> None:
        self.wanted.emit(self._saving)


class BudgetCard(Card):
    """Shows a list's money; tells what the gardener chooses."""

    budget_chosen = Signal(object)
    """An amount, or None for no budget."""
    saving_wanted = Signal(object)
    all_wanted = Signal(object)
    """A BudgetPlan, all of whose changes are to be done."""
    stop_wanted = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("", parent)
        self.setAccessibleName(tr("Budget"))
        self.heading.setText(tr("Budget"))
        self.heading.show()
        self.budget = QuietDoubleSpinBox(self)
        self.budget.setObjectName("buy_budget")
        self.budget.setAccessibleName(tr("Budget"))
        self.budget.setRange(0.0, _MOST)
        self.budget.setSpecialValueText(tr("none"))
        self.budget.setSingleStep(5.0)
        self.budget.valueChanged.connect(self._choose)
        self.currency = QLabel(self)
        row = QHBoxLayout()
        row.addWidget(self.budget)
        row.addWidget(self.currency)
        row.addStretch(1)
        self.column.addLayout(row)
        self.total = wrapping("", "heading", self)
        self.parts = wrapping("", "muted", self)
        self.state = wrapping("", "", self)
        self.thrift = wrapping("", "", self)
        for label in (self.total, self.parts, self.state, self.thrift):
            self.column.addWidget(label)
        self.far = QProgressBar(self)
        self.far.setAccessibleName(tr("How far the search is"))
        self.stop = QPushButton(tr("Stop looking"), self)
        self.stop.clicked.connect(self.stop_wanted)
        self.outcome = wrapping("", "", self)
        self.measure = wrapping("", "muted", self)
        self.all = QPushButton(tr("Do all of this"), self)
        self.all.clicked.connect(self._do_all)
        for widget in (self.far, self.stop, self.outcome, self.all, self.measure):
            self.column.addWidget(widget)
            widget.hide()
        self.rows: list[SavingRow] = []
        self._plan: BudgetPlan | None = None
        self._showing = False

    def show_list(self, listed: ListedNeeds) -> None:
        """Show what a list costs."""
        shopping = listed.shopping
        currency = shopping.currency
        self._showing = True
        self.budget.setDecimals(digits_of(currency))
        if not self.budget.hasFocus() or self.budget.value() != float(shopping.budget or 0):
            self.budget.setValue(float(shopping.budget or 0))
        self._showing = False
        self.currency.setText(sign_of(currency))
        self.total.setText(tr("Total {total}", total=written(shopping.total, currency=currency)))
        parts = parts_words(shopping)
        self.parts.setText(parts[:1].upper() + parts[1:])
        say_as(self.state, "warning" if shopping.over > 0 else "")
        self.state.setText(state_words(shopping))

    def show_waiting(self) -> None:
        """Say that savings are looked for."""
        self._clear()
        self.thrift.setText(tr("Looking for what to save…"))
        self.far.setValue(0)
        for widget in (self.thrift, self.far, self.stop):
            widget.show()

    @Slot(int)
    def show_far(self, hundredths: int) -> None:
        """Show how far the search is."""
        self.far.setValue(hundredths)

    def show_stopped(self) -> None:
        """Say that the search was stopped."""
        self._clear()
        self.thrift.setText(tr("Stopped. It looks again when something changes."))
        self.thrift.show()

    def show_plan(self, plan: BudgetPlan | None, shopping: ShoppingList) -> None:
        """Show the changes, the gentlest first and layers left out last."""
        self._clear()
        self._plan = plan
        currency = shopping.currency
        if plan is None:
            self.thrift.hide()
            return
        words = tr("To come under it, with the least loss of colour:")
        if not plan.savings:
            words = tr("No change brings it under the budget.")
        elif not plan.enough:
            words = tr("Not enough, but the most that can be saved:")
        self.thrift.setText(words)
        self.thrift.show()
        for saving in plan.savings[:_SHOWN]:
            row = SavingRow(saving, currency, self)
            row.wanted.connect(self.saving_wanted)
            self.rows.append(row)
            self.column.addWidget(row)
        if plan.savings:
            more = len(plan.savings) - len(self.rows)
            told = [outcome_words(shopping, plan)]
            if more > 0:
                told.insert(0, tr("And {number} more changes.", number=more))
            self.outcome.setText(" ".join(told))
            self.measure.setText(tr(MEASURE))
            for widget in (self.outcome, self.all, self.measure):
                self.column.removeWidget(widget)
                self.column.addWidget(widget)
                widget.show()

    @Slot()
    def _do_all(self) -> None:
        if self._plan is not None:
            self.all_wanted.emit(self._plan)

    def _clear(self) -> None:
        for widget in (self.far, self.stop, self.outcome, self.all, self.measure):
            widget.hide()
        for row in self.rows:
            self.column.removeWidget(row)
            row.hide()
            row.deleteLater()
        self.rows.clear()

    @Slot(float)
    def _choose(self, value: float) -> None:
        if not self._showing:
            amount = Decimal(repr(round(value, self.budget.decimals())))
            self.budget_chosen.emit(float(amount) if amount > 0 else None)
