"""What the page works out beside the window: the list with weights, and how to save money."""

from __future__ import annotations

import io
from dataclasses import dataclass
from pathlib import Path

from bloomline.files.atomic import replace_file
from bloomline.files.plain_text import write_csv
from bloomline.model.yard import Yard
from bloomline.plan.pot.weight import PotWeight
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.weights import weights
from bloomline.plan.shop.budget import BudgetPlan, StoppedError, plan_budget
from bloomline.plan.shop.buying import ShoppingList, shopping_list
from bloomline.plan.shop.words import COLUMNS, csv_rows, shopping_lines
from bloomline.ui.progress import Progress


@dataclass(frozen=True, slots=True)
class ListedNeeds:
    """What to buy for a yard, and what its pots weigh."""

    outlook: Outlook
    shopping: ShoppingList
    weights: tuple[PotWeight, ...]

    @property
    def yard(self) -> Yard:
        """The yard it is for."""
        return self.outlook.yard


@dataclass(frozen=True, slots=True)
class Thrift:
    """How to come under the budget, and the yard that is meant."""

    yard: Yard
    plan: BudgetPlan


def listing(outlook: Outlook) -> ListedNeeds:
    """What to buy for a yard."""
    return ListedNeeds(outlook, shopping_list(outlook), tuple(weights(outlook).values()))


def thrift(outlook: Outlook, progress: Progress) -> Thrift | None:
    """The changes that bring a yard's list under its budget; None when the search was stopped."""
    try:
        return Thrift(outlook.yard, plan_budget(outlook, go=progress.go))
    except StoppedError:
        return None


def list_text(listed: ListedNeeds, plan: BudgetPlan | None) -> str:
    """The list as text for a page 100 columns wide."""
    return "\n".join(shopping_lines(listed.shopping, plan, listed.weights)) + "\n"


def save_csv(listed: ListedNeeds, path: Path) -> None:
    """Save the list as a table. Raises FileProblemError."""
    text = io.StringIO(newline="")
    write_csv(text, COLUMNS, csv_rows(listed.shopping))
    replace_file(path, text.getvalue().encode())
