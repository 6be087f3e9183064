"""What the page works out beside the window: the list with weights, and how to save money."""

from __future__ import annotations

import io
from dataclasses import dataclass
from datetime import date
from functools import partial
from pathlib import Path

from bloomline.files.atomic import replace_file
from bloomline.files.plain_text import write_csv
from bloomline.model.yard import Yard
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.pot.weight import PotWeight, pot_weight
from bloomline.plan.season.solve import find_cultivar
from bloomline.plan.shop.budget import BudgetPlan, plan_budget
from bloomline.plan.shop.buying import ShoppingList, shopping_list
from bloomline.plan.shop.words import COLUMNS, csv_rows, shopping_lines
from bloomline.reference.catalogue import Catalogue


@dataclass(frozen=True, slots=True)
class ListedNeeds:
    """A yard, what to buy for it, and what its pots weigh."""

    yard: Yard
    shopping: ShoppingList
    weights: tuple[PotWeight, ...]


@dataclass(frozen=True, slots=True)
class Thrift:
    """How to come under the budget, and the yard that is meant."""

    yard: Yard
    plan: BudgetPlan


def listing(yard: Yard, *, catalogue: Catalogue, today: date) -> ListedNeeds:
    """What to buy for a yard."""
    cultivar_of = partial(find_cultivar, yard, catalogue=catalogue)
    return ListedNeeds(
        yard,
        shopping_list(yard, catalogue=catalogue, today=today),
        tuple(pot_weight(pot, yard=yard, cultivar_of=cultivar_of) for pot in yard.pots),
    )


def thrift(yard: Yard, *, catalogue: Catalogue, forecaster: Forecaster) -> Thrift:
    """The changes that bring a yard's list under its budget."""
    return Thrift(yard, plan_budget(yard, catalogue=catalogue, forecaster=forecaster))


def list_text(listed: ListedNeeds, plan: BudgetPlan | None) -> str:
    """The list as text for a page 100 columns wide."""
    return "\n".join(shopping_lines(listed.shopping, plan, list(listed.weights))) + "\n"


def save_csv(listed: ListedNeeds, path: Path) -> None:
    """Save the list as a table. Raises FileProblemError."""
    text = io.StringIO(newline="")
    write_csv(text, COLUMNS, csv_rows(listed.shopping))
    replace_file(path, text.getvalue().encode())
