"""Composts to mix by volume, and the bags in which their parts are sold; each with a source."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from types import MappingProxyType

from bloomline.data import data_root
from bloomline.errors import DataError, UnknownNameError
from bloomline.reference.rules import Rules, load_rules
from bloomline.reference.tables import ROW_NUMBER, Row, read_rows

DEFAULT_RECIPE = "multipurpose-grit"
USUAL_DRESSING = "grit"
CURRENCY = "GBP"
"""The currency of all typical prices; they are never converted."""


@lru_cache(maxsize=256)
def _shares(parts: tuple[tuple[str, float], ...]) -> Mapping[str, float]:
    total = sum(amount for _, amount in parts)
    return MappingProxyType({material: amount / total for material, amount in parts})


@dataclass(frozen=True, slots=True)
class Recipe:
    """A mix: `parts` are (id of a compost of the rules, parts by volume)."""

    id: str
    label: str
    parts: tuple[tuple[str, float], ...]
    note: str
    source: str
    basis: str

    @property
    def shares(self) -> Mapping[str, float]:
        """Share of the volume by material; they add up to 1."""
        return _shares(self.parts)

    def drained_kg_per_l(self, rules: Rules) -> tuple[float, float]:
        """Least and most weight after watering and draining. [kg/L]"""
        return (
            sum(s * rules.compost(m).drained_low_kg_per_l for m, s in self.shares.items()),
            sum(s * rules.compost(m).drained_high_kg_per_l for m, s in self.shares.items()),
        )

    def dry_kg_per_l(self, rules: Rules) -> tuple[float, float]:
        """Least and most weight when dry. [kg/L]"""
        return (
            sum(s * rules.compost(m).dry_low_kg_per_l for m, s in self.shares.items()),
            sum(s * rules.compost(m).dry_high_kg_per_l for m, s in self.shares.items()),
        )


@dataclass(frozen=True, slots=True)
class Bag:
    """A bag of a material, sold by volume or by weight; `volume_l` is what it surely fills."""

    id: str
    material: str
    label: str
    volume_l: float
    typical_price: Decimal | None
    words: tuple[str, ...]
    source: str
    basis: str


class SupplyTable:
    """Recipes and bags by id."""

    def __init__(self, recipes: list[Recipe], bags: list[Bag]) -> None:
        self.recipes = {recipe.id: recipe for recipe in recipes}
        self.bags = {bag.id: bag for bag in bags}

    def recipe(self, name: str) -> Recipe:
        """Return a mix by id. Raises UnknownNameError."""
        found = self.recipes.get(name)
        if found is None:
            raise UnknownNameError("compost recipe", name, near=sorted(self.recipes))
        return found

    def bags_of(self, material: str) -> tuple[Bag, ...]:
        """All bags of a material, smallest first."""
        found = [bag for bag in self.bags.values() if bag.material == material]
        return tuple(sorted(found, key=lambda bag: bag.volume_l))

    def material_named(self, text: str) -> str:
        """The material a gardener's words mean ("pea gravel"); grit, the heaviest, if unknown."""
        words = set(re.findall(r"[a-z]+", text.casefold()))
        for bag in self.bags.values():
            if words & {*bag.words, bag.material, *(f"{word}s" for word in bag.words)}:
                return bag.material
        return USUAL_DRESSING


@lru_cache(maxsize=1)
def load_supplies() -> SupplyTable:
    """Return recipes and bags of shared/rules; read once a process. Raises DataError."""
    folder = data_root("shared").joinpath("rules")
    rules = load_rules()
    recipes = [_recipe(row, rules) for row in read_rows(folder.joinpath("compost_recipes.csv"))]
    bags = [_bag(row, rules) for row in read_rows(folder.joinpath("bags.csv"))]
    return SupplyTable(recipes, bags)


def _recipe(row: Row, rules: Rules) -> Recipe:
    parts: list[tuple[str, float]] = []
    for part in row["parts"].split(";"):
        material, _, amount = part.partition(":")
        try:
            parts.append((rules.compost(material).id, float(amount)))
        except (UnknownNameError, ValueError) as error:
            raise _problem("compost_recipes.csv", row, error) from error
    if not all(amount > 0 for _, amount in parts):
        raise _problem("compost_recipes.csv", row, "a part that is not above 0")
    return Recipe(row["id"], row["label"], tuple(parts), row["note"], row["source"], row["basis"])


def _bag(row: Row, rules: Rules) -> Bag:
    try:
        compost = rules.compost(row["material"])
        if row["volume_l"]:
            volume_l = float(row["volume_l"])
        else:  # sold by weight: the heaviest kind fills least
            volume_l = float(row["mass_kg"]) / compost.drained_high_kg_per_l
        price = Decimal(row["typical_price_gbp"]) if row["typical_price_gbp"] else None
    except (UnknownNameError, ValueError, InvalidOperation) as error:
        raise _problem("bags.csv", row, error) from error
    return Bag(
        id=row["id"],
        material=compost.id,
        label=row["label"],
        volume_l=volume_l,
        typical_price=price,
        words=tuple(word for word in row["words"].split(";") if word),
        source=row["source"],
        basis=row["basis"],
    )


def _problem(file: str, row: Row, what: object) -> DataError:
    return DataError(f"shared/rules/{file}", [f"row {row[ROW_NUMBER]}: {what}"])
