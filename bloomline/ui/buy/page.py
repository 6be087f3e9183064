"""What to buy: bulbs, compost and pots, what they cost, and what the filled pots weigh."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt, Slot
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QFileDialog,
    QFrame,
    QHBoxLayout,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from bloomline.errors import BloomlineError
from bloomline.files.prices_csv import PriceList, read_prices, write_prices
from bloomline.model.edits import change_money
from bloomline.model.yard import Yard
from bloomline.plan.pot.lifting import load_advice
from bloomline.plan.pot.weight import PotWeight
from bloomline.plan.shop.budget import BudgetPlan, Saving
from bloomline.plan.shop.bulb_lines import BulbLine
from bloomline.plan.shop.price_list import id_finder, name_finder, prices_in_use, with_prices
from bloomline.plan.shop.words import settling_words
from bloomline.ui.buy import changes
from bloomline.ui.buy.budget_card import BudgetCard
from bloomline.ui.buy.columns import (
    bag_columns,
    bulb_columns,
    plant_columns,
    pot_columns,
    weight_columns,
)
from bloomline.ui.buy.jobs import ListedNeeds, Thrift, list_text, listing, save_csv, thrift
from bloomline.ui.buy.list_card import ListCard
from bloomline.ui.buy.paper import PaperTable, list_html
from bloomline.ui.details.cards import AdviceList
from bloomline.ui.document import Document
from bloomline.ui.page_frame import PageFrame
from bloomline.ui.page_kit import EmptyState, ask_and_print, ask_save_path, start_folder
from bloomline.ui.progress import Progress
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import em
from bloomline.ui.units import units_of
from bloomline.words import tr

_TOLD = 6
_PAPER_TOPICS = frozenset({"weight", "price"})


def _is_bought(line: BulbLine) -> bool:
    return line.to_buy > 0


def _is_filled(filled: set[str], weight: PotWeight) -> bool:
    return weight.pot_id in filled


def _typed(does: Callable[..., Yard], line: object, text: str, yard: Yard) -> Yard:
    return does(yard, line, text)


class BuyPage(PageFrame):
    """The shopping list of the yard, with the budget beside it."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, service, parent, name="buy_page")
        self.setAccessibleName(tr("Buy"))
        self._listed: ListedNeeds | None = None
        self._plan: BudgetPlan | None = None
        self._search: Progress | None = None
        self._listing = self._beside(self._take)
        self._saving = self._beside(self._take_plan)
        self._make_parts()
        self._make_actions()
        self._lay_out()
        self._follow_document()

    # Parts

    def _make_parts(self) -> None:
        self.bulbs = ListCard("buy_bulbs", tr("Bulbs"), self)
        self.bulbs.model.typed.connect(self._type_bulbs)
        self.setFocusProxy(self.bulbs.table)
        self.bags = ListCard("buy_bags", tr("Compost, grit and top dressing"), self)
        self.bags.model.typed.connect(self._type_bags)
        self.plants = ListCard("buy_plants", tr("Plants for the top"), self)
        self.plants.model.typed.connect(self._type_plants)
        self.pots = ListCard("buy_pots", tr("Pots to buy"), self)
        self.pots.model.typed.connect(self._type_pots)
        self.weights = ListCard("buy_weights", tr("What the pots hold and weigh"), self)
        self.budget = BudgetCard(self)
        self.budget.budget_chosen.connect(self._set_budget)
        self.budget.saving_wanted.connect(self._save_money)
        self.budget.all_wanted.connect(self._save_all)
        self.budget.stop_wanted.connect(self._stop_search)
        self.advice = AdviceList(self)
        self.empty = EmptyState(
            tr("Nothing to buy: no layer is planned for this season."),
            tr("Look again"),
            self,
        )
        self.empty.button.clicked.connect(self.refresh)

    def _make_actions(self) -> None:
        self._action("action_buy_copy", self.copy)
        self._action("action_buy_csv", self.ask_csv)
        self._action("action_buy_print", self.print_list)
        self._action("action_import_prices", self.ask_prices)
        self._action("action_export_prices", self.ask_export_prices)

    def _lay_out(self) -> None:
        gap = round(em() * 0.7)
        lists = QWidget(self)
        left = QVBoxLayout(lists)
        side = QWidget(self)
        right = QVBoxLayout(side)
        for layout in (left, right):
            layout.setContentsMargins(0, 0, gap, 0)
            layout.setSpacing(gap)
        for card in (self.bulbs, self.plants, self.bags, self.pots, self.weights):
            left.addWidget(card)
        left.addStretch(1)
        right.addWidget(self.budget)
        right.addWidget(self.advice)
        right.addStretch(1)
        across = QWidget(self)
        row = QHBoxLayout(across)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(gap)
        row.addWidget(self._scroll(lists, tr("What to buy")), 1)
        aside = self._scroll(side, tr("Budget and advice"))
        aside.setFixedWidth(round(17 * em()))
        row.addWidget(aside)
        foot = QHBoxLayout()
        for at, action in enumerate(self._actions):
            foot.addWidget(self._button(action))
            if at == 2:
                foot.addStretch(1)
        self.stack = QStackedWidget(self)
        self.stack.addWidget(across)
        self.stack.addWidget(self.empty)
        column = QVBoxLayout(self)
        column.setContentsMargins(gap, gap, gap, gap)
        column.setSpacing(gap)
        column.addWidget(self.notice)
        column.addWidget(self.stack, 1)
        column.addLayout(foot)

    def _scroll(self, widget: QWidget, name: str) -> QScrollArea:
        area = QScrollArea(self)
        area.setAccessibleName(name)
        area.setFrameShape(QFrame.Shape.NoFrame)
        area.setWidgetResizable(True)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setWidget(widget)
        return area

    # Working it out

    def _work_out(self) -> None:
        self._listing.ask(partial(listing, self._outlook))

    @Slot(object)
    def _take(self, answer: object) -> None:
        if not isinstance(answer, ListedNeeds):
            self.notice.tell(str(answer))
            return
        self._listed = answer
        shopping = answer.shopping
        catalogue = self._document.catalogue
        self.bulbs.show_lines(shopping.bulbs, bulb_columns(answer, catalogue=catalogue))
        self.bags.show_lines(shopping.bags, bag_columns(answer))
        self.plants.show_lines(shopping.plants, plant_columns(shopping.currency))
        self.pots.show_lines(shopping.pots, pot_columns(shopping.currency))
        self.weights.show_lines(answer.weights, weight_columns(answer))
        crocks = ""
        if shopping.crocks_l > 0:
            crocks = tr(
                "And {litres} L of broken clay for crocks.", litres=f"{shopping.crocks_l:.0f}"
            )
        self.bags.show_foot(f"{settling_words(shopping)} {crocks}".strip())
        typical = any(line.basis == "typical" for line in shopping.bulbs)
        self.bulbs.show_foot(
            tr("~ a typical price, from memory: type what you pay over it.") if typical else ""
        )
        self.budget.show_list(answer)
        self._show_advice(answer)
        has_any = shopping.bulbs or shopping.plants or shopping.pots
        self.stack.setCurrentIndex(0 if has_any else 1)
        self._ask_plan(answer)

    def _show_advice(self, listed: ListedNeeds) -> None:
        found = list(listed.shopping.advice)
        units = units_of(listed.yard)

        def mass(mass_kg: float) -> str:
            return units.mass(mass_kg, decimals=0)

        found += load_advice(listed.weights, mass=mass)
        self.advice.show_advice(found)

    def _ask_plan(self, listed: ListedNeeds) -> None:
        self._plan = None
        self._stop_search()
        self._saving.drop()
        if listed.shopping.over <= 0:
            self.budget.show_plan(None, listed.shopping)
            return
        self.budget.show_waiting()
        self._search = Progress(self)
        self._search.moved.connect(self.budget.show_far)
        self._saving.ask(partial(thrift, listed.outlook, self._search))

    @Slot()
    def _stop_search(self) -> None:
        if self._search is not None:
            # It stays a child of the page: the search may be telling how far it is this moment.
            self._search.stop.set()
            self._search.moved.disconnect(self.budget.show_far)
            self._search = None
            self.budget.show_stopped()

    def stop(self) -> None:
        """End the work beside the window; safe to call twice."""
        if self._search is not None:
            self._search.stop.set()
        super().stop()

    @Slot(object)
    def _take_plan(self, answer: object) -> None:
        if answer is None:
            return
        if not isinstance(answer, Thrift):
            self.notice.tell(str(answer))
        elif self._listed is not None and answer.yard is self._listed.yard:
            self._plan = answer.plan
            self._search = None
            self.budget.show_plan(answer.plan, self._listed.shopping)

    # Changing the yard

    def _edit(self, name: str, change: Callable[[Yard], Yard]) -> None:
        if not self._document.edit(name, change) and self._listed is not None:
            self._take(self._listed)  # what was typed and refused is taken off again

    @Slot(object, str, str)
    def _type_bulbs(self, line: object, key: str, text: str) -> None:
        catalogue = self._document.catalogue
        names = {
            "stock": tr("Count the cupboard"),
            "pack": tr("Change a pack"),
            "price": tr("Change a price"),
        }
        does: dict[str, Callable[..., Yard]] = {
            "stock": changes.type_stock,
            "pack": partial(changes.type_pack, catalogue=catalogue),
            "price": partial(changes.type_price, catalogue=catalogue),
        }
        self._edit(names[key], lambda yard: does[key](yard, line, text))

    @Slot(object, str, str)
    def _type_bags(self, line: object, key: str, text: str) -> None:
        if key == "have":
            name, does = tr("Count what is at hand"), changes.type_at_hand
        else:
            name, does = tr("Change a price"), changes.type_bag_price
        self._edit(name, partial(_typed, does, line, text))

    @Slot(object, str, str)
    def _type_plants(self, line: object, _key: str, text: str) -> None:
        self._edit(tr("Change a price"), partial(_typed, changes.type_plant_price, line, text))

    @Slot(object, str, str)
    def _type_pots(self, line: object, _key: str, text: str) -> None:
        self._edit(tr("Change a price"), partial(_typed, changes.type_pot_price, line, text))

    @Slot(object)
    def _set_budget(self, budget: float | None) -> None:
        self._document.edit(
            tr("Change the budget"),
            lambda yard: change_money(yard, budget=budget),
            gesture="budget",
        )

    @Slot(object)
    def _save_money(self, saving: Saving) -> None:
        self._document.edit(tr("Save on the list"), saving.apply)

    @Slot(object)
    def _save_all(self, plan: BudgetPlan) -> None:
        self._document.edit(tr("Come under the budget"), plan.applied)

    # Out of the window and in

    @Slot()
    def copy(self) -> None:
        """Put the list on the clipboard as text."""
        if self._listed is not None:
            QGuiApplication.clipboard().setText(list_text(self._listed, self._plan))
            self.message.emit(tr("The list is on the clipboard"))

    @Slot()
    def print_list(self) -> None:
        """Ask for a printer and print the list."""
        if self._listed is not None:
            name = tr("{yard_name}: what to buy", yard_name=self._listed.shopping.yard_name)
            ask_and_print(self, name=name, html=self.html())

    def html(self) -> str:
        """The list, for paper."""
        assert self._listed is not None
        filled = {fill.pot_id for fill in self._listed.shopping.fills}
        crocks = "" if self.bags.foot.isHidden() else self.bags.foot.text()
        tables = (
            PaperTable(
                self.bulbs.heading.text(),
                self.bulbs.model,
                ("name", "packs", "cost", "basis", "order", "plant"),
                widths=(40, 10, 10, 10, 10, 20),
                shown=_is_bought,
            ),
            PaperTable(
                self.bags.heading.text(),
                self.bags.model,
                ("bags", "need", "left", "cost"),
                widths=(58, 14, 16, 12),
                foot=crocks,
            ),
            PaperTable(
                self.plants.heading.text(),
                self.plants.model,
                ("label", "count", "cost", "set_out"),
                widths=(58, 14, 12, 16),
            ),
            PaperTable(
                self.pots.heading.text(),
                self.pots.model,
                ("label", "count", "cost"),
                widths=(74, 14, 12),
            ),
            PaperTable(
                self.weights.heading.text(),
                self.weights.model,
                ("pot", "compost", "mix", "wet", "lift"),
                widths=(24, 13, 25, 13, 25),
                shown=partial(_is_filled, filled),
                ticks=False,
            ),
        )
        money = [self.budget.total.text(), self.budget.parts.text(), self.budget.state.text()]
        if not self.bulbs.foot.isHidden():
            money.append(self.bulbs.foot.text())
        cautions = [each.message for each in self.advice.shown if each.topic in _PAPER_TOPICS]
        return list_html(self._document.yard, tables, [*money, *cautions])

    def _proposed(self, words: str) -> Path:
        name = f"{self._document.yard.name} {words}.csv".replace("/", "-")
        return start_folder(self._document) / name

    @Slot()
    def ask_csv(self) -> None:
        """Ask for a file and save the list to it."""
        title = tr("Save the list as CSV")
        kind = tr("Table (*.csv)")
        proposed = self._proposed(tr("to buy"))
        path = ask_save_path(self, title=title, proposed=proposed, kind=kind)
        if path is not None:
            self.save_csv(path)

    def save_csv(self, path: Path) -> None:
        """Save the list as a table."""
        if self._listed is not None:
            self._try(partial(save_csv, self._listed, path), path)

    @Slot()
    def ask_export_prices(self) -> None:
        """Ask for a file and write the prices in use to it."""
        title = tr("Export prices")
        kind = tr("Table (*.csv)")
        proposed = self._proposed(tr("prices"))
        path = ask_save_path(self, title=title, proposed=proposed, kind=kind)
        if path is not None:
            self.export_prices(path)

    def export_prices(self, path: Path) -> None:
        """Write the prices in use as a price list to edit."""
        if self._listed is None:
            return
        outlook = self._listed.outlook
        prices, unknown = prices_in_use(outlook)
        currency, name_of = outlook.yard.money.currency, name_finder(outlook)
        write = partial(write_prices, path, prices, currency=currency, name_of=name_of)
        if self._try(write, path) and unknown:
            words = tr("{number} prices are not known and stand as 0: fill them in.")
            self.notice.tell(words.format(number=unknown))

    def _try(self, write: Callable[[], None], path: Path) -> bool:
        try:
            write()
        except BloomlineError as error:
            self.notice.tell(str(error))
            return False
        self.message.emit(tr("Saved as {path}", path=path))
        return True

    @Slot()
    def ask_prices(self) -> None:
        """Ask for a price list and lay it over the yard's prices."""
        chosen, _ = QFileDialog.getOpenFileName(
            self,
            tr("Import prices"),
            str(start_folder(self._document)),
            tr("Table (*.csv *.tsv *.txt)"),
            options=QFileDialog.Option.ReadOnly,  # no deleting or renaming from there
        )
        if chosen:
            self.import_prices(Path(chosen))

    def import_prices(self, path: Path) -> None:
        """Lay a price list over the yard's prices, in one step that can be undone."""
        yard = self._document.yard
        try:
            read = read_prices(
                path,
                currency=yard.money.currency,
                id_of=id_finder(self._outlook),
            )
        except BloomlineError as error:
            self.notice.tell(str(error))
            return
        self._document.edit(tr("Import prices"), lambda before: with_prices(before, read.prices))
        self._tell_read(path, read)

    def _tell_read(self, path: Path, read: PriceList) -> None:
        words = tr(
            "{number} prices were read from {name}.", number=len(read.prices), name=path.name
        )
        odd = list(read.warnings)
        for bad in read.bad[:_TOLD]:
            line = tr("line {line}: {problem}")
            odd.append(line.format(line=bad.line, problem=bad.problem))
        if len(read.bad) > _TOLD:
            odd.append(tr("and {number} more", number=len(read.bad) - _TOLD))
        if odd:
            self.notice.tell("\n".join([words, *odd]))
        else:
            self.message.emit(words)
