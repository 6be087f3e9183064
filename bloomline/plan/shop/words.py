"""A shopping list as text, JSON and rows of a table."""

from __future__ import annotations

import textwrap
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from bloomline.files.plain_text import advice_lines, advice_object, shorten, table, wrapped

if TYPE_CHECKING:
    from bloomline.plan.pot.compost import PotCompost
    from bloomline.plan.pot.weight import PotWeight
    from bloomline.plan.shop.budget import BudgetPlan
    from bloomline.plan.shop.buying import BulbLine, ShoppingList

COLUMNS = (
    "kind",
    "id",
    "name",
    "unit",
    "needed",
    "in_cupboard",
    "to_buy",
    "packs",
    "bought",
    "spare",
    "cost",
    "currency",
    "price_basis",
    "planned",
    "usual_day",
    "plant_from",
    "plant_to",
    "order_by",
)
_NAME_WIDTH = 34
_WORDS_WIDTH = 70


def _packs(line: BulbLine) -> str:
    return " + ".join(f"{n} × {size}" for size, n in line.packs)


def _amount(shopping: ShoppingList, cost: Decimal | None) -> str | None:
    from bloomline.model.money import plain, rounded

    if cost is None:
        return None
    return plain(rounded(cost, currency=shopping.currency), currency=shopping.currency)


def shopping_object(
    shopping: ShoppingList, plan: BudgetPlan | None, weights: list[PotWeight]
) -> dict[str, Any]:
    """A shopping list for JSON. Amounts of money are text, so that none is rounded.

    weights : of every pot of the yard.
    """
    from bloomline.plan.pot.lifting import load_advice

    return {
        "yard": shopping.yard_name,
        "season_year": shopping.season_year,
        "currency": shopping.currency,
        "total": _amount(shopping, shopping.total),
        "bulbs_total": _amount(shopping, shopping.bulbs_total),
        "budget": _amount(shopping, shopping.budget),
        "over": _amount(shopping, shopping.over),
        "without_a_price": list(shopping.unpriced),
        "bulbs": [
            {
                "cultivar": {"id": line.cultivar_id, "name": line.name},
                "needed": line.needed,
                "in_cupboard": line.in_cupboard,
                "to_buy": line.to_buy,
                "packs": [{"size": size, "count": n} for size, n in line.packs],
                "bought": line.bought,
                "spare": line.spare,
                "cost": _amount(shopping, line.cost),
                "price_basis": line.basis,
                "planned": line.planned_day.isoformat(),
                "usual_day": line.usual_day.isoformat(),
                "plant_from": line.window[0].isoformat(),
                "plant_to": line.window[1].isoformat(),
                "order_by": line.order_by.isoformat(),
                "pot_ids": list(line.pot_ids),
            }
            for line in shopping.bulbs
        ],
        "bags": [
            {
                "material": line.material,
                "label": line.label,
                "need_l": round(line.need_l, 1),
                "bags": [{"label": label, "count": n} for label, n in line.bags],
                "bought_l": round(line.bought_l, 1),
                "left_l": round(line.left_l, 1),
                "cost": _amount(shopping, line.cost),
                "price_basis": line.basis,
                "source": line.source,
            }
            for line in shopping.bags
        ],
        "crocks_l": round(shopping.crocks_l, 1),
        "plants": [
            {
                "companion": {"id": line.companion_id, "name": line.label},
                "count": line.count,
                "set_out": line.set_out.isoformat(),
                "pot_ids": list(line.pot_ids),
            }
            for line in shopping.plants
        ],
        "pots": [
            {"label": line.label, "count": line.count, "pot_ids": list(line.pot_ids)}
            for line in shopping.pots
        ],
        "fills": [
            {
                "pot": {"id": fill.pot_id, "name": fill.pot_name},
                "mix": {"id": fill.recipe.id, "label": fill.recipe.label},
                "compost_l": round(fill.volumes.compost_l, 1),
                "loose_l": round(fill.loose_l, 1),
                "bulbs_l": round(fill.volumes.bulbs_l, 2),
                "crocks_l": round(fill.volumes.crocks_l, 1),
                "top_dressing_l": round(fill.dressing_l, 2),
                "top_dressing_kg": [
                    round(fill.dressing_kg.low, 1),
                    round(fill.dressing_kg.high, 1),
                ],
                "dry_kg": [round(weight.dry_kg.low, 1), round(weight.dry_kg.high, 1)],
                "wet_kg": [round(weight.wet_kg.low, 1), round(weight.wet_kg.high, 1)],
            }
            for fill, weight in _weighed(shopping, weights)
        ],
        "weights": [
            {
                "pot": {"id": weight.pot_id, "name": weight.pot_name},
                "dry_kg": [round(weight.dry_kg.low, 1), round(weight.dry_kg.high, 1)],
                "wet_kg": [round(weight.wet_kg.low, 1), round(weight.wet_kg.high, 1)],
                "press_kg_per_m2": round(weight.press_kg_per_m2),
            }
            for weight in weights
        ],
        "load": [advice_object(each) for each in load_advice(weights)],
        "changes": None if plan is None else _plan_object(shopping, plan),
        "advice": [advice_object(each) for each in shopping.advice],
    }


def _plan_object(shopping: ShoppingList, plan: BudgetPlan) -> dict[str, Any]:
    return {
        "enough": plan.enough,
        "total_after": _amount(shopping, plan.shopping.total),
        "steps": [
            {
                "kind": each.kind,
                "words": each.words,
                "layer_ids": list(each.layer_ids),
                "saved": _amount(shopping, each.saved),
                "bulbs_fewer": each.bulbs_fewer,
                "weeks_of_colour_before": round(each.weeks_before, 1),
                "weeks_of_colour_after": round(each.weeks_after, 1),
            }
            for each in plan.savings
        ],
    }


def csv_rows(shopping: ShoppingList) -> list[dict[str, Any]]:
    """A shopping list as rows of a table, one a thing."""
    rows: list[dict[str, Any]] = [
        {
            "kind": "bulbs",
            "id": line.cultivar_id,
            "name": line.name,
            "unit": "bulb",
            "needed": line.needed,
            "in_cupboard": line.in_cupboard,
            "to_buy": line.to_buy,
            "packs": _packs(line),
            "bought": line.bought,
            "spare": line.spare,
            "cost": _amount(shopping, line.cost),
            "currency": shopping.currency,
            "price_basis": line.basis,
            "planned": line.planned_day,
            "usual_day": line.usual_day,
            "plant_from": line.window[0],
            "plant_to": line.window[1],
            "order_by": line.order_by,
        }
        for line in shopping.bulbs
    ]
    rows += [
        {
            "kind": "bags",
            "id": line.material,
            "name": line.label,
            "unit": "L",
            "needed": round(line.need_l, 1),
            "to_buy": round(line.need_l, 1),
            "packs": " + ".join(f"{n} × {label}" for label, n in line.bags),
            "bought": round(line.bought_l, 1),
            "spare": round(line.left_l, 1),
            "cost": _amount(shopping, line.cost),
            "currency": shopping.currency,
            "price_basis": line.basis,
        }
        for line in shopping.bags
    ]
    rows += [
        {
            "kind": "plants",
            "id": line.companion_id,
            "name": line.label,
            "unit": "plant",
            "needed": line.count,
            "to_buy": line.count,
            "currency": shopping.currency,
            "price_basis": "unknown",
            "planned": line.set_out,
        }
        for line in shopping.plants
    ]
    rows += [
        {
            "kind": "pots",
            "name": line.label,
            "unit": "pot",
            "needed": line.count,
            "to_buy": line.count,
            "currency": shopping.currency,
            "price_basis": "unknown",
        }
        for line in shopping.pots
    ]
    return rows


def shopping_lines(
    shopping: ShoppingList, plan: BudgetPlan | None, weights: list[PotWeight]
) -> list[str]:
    """A shopping list as text for a page 100 columns wide."""
    lines = [f"{shopping.yard_name}, to buy for the season of {shopping.season_year}"]
    if not shopping.bulbs and not shopping.plants and not shopping.pots:
        return [*lines, "", "Nothing to buy: no layer is planned for this season."]
    if shopping.bulbs:
        lines += ["", *_bulb_lines(shopping)]
    if shopping.bags:
        lines += ["", *_bag_lines(shopping)]
    if shopping.plants:
        lines += ["", "Plants for the top:"]
        lines += [
            f"  {line.count} × {line.label}, set out {line.set_out}" for line in shopping.plants
        ]
    if shopping.pots:
        lines += ["", "Pots:", *(f"  {line.count} × {line.label}" for line in shopping.pots)]
    if shopping.fills:
        lines += ["", *_fill_lines(shopping, weights)]
    lines += ["", *_total_lines(shopping)]
    if plan is not None:
        lines += ["", *_plan_lines(shopping, plan)]
    told = advice_lines(shopping.advice)
    return [*lines, "", *told] if told else lines


def _marked(shopping: ShoppingList, cost: Decimal | None, basis: str) -> str:
    if cost is None:
        return "? "
    return f"{_amount(shopping, cost)}{'~' if basis == 'typical' else ' '}"


def _bulb_lines(shopping: ShoppingList) -> list[str]:
    rows = [
        (
            line.needed,
            line.in_cupboard or "",
            _packs(line) or "none",
            line.spare,
            _marked(shopping, line.cost, line.basis),
            shorten(line.name, _NAME_WIDTH),
            f"{line.window[0]:%d %b}–{line.window[1]:%d %b}",
            line.order_by if line.to_buy else "",
        )
        for line in shopping.bulbs
    ]
    columns = (
        "need",
        "have",
        "packs",
        "spare",
        shopping.currency + " ",
        "bulbs",
        "plant",
        "order by",
    )
    return table(columns, rows, right=(0, 1, 2, 3, 4))


def _bag_lines(shopping: ShoppingList) -> list[str]:
    rows = [
        (
            f"{line.need_l:.0f}",
            f"{line.left_l:.0f}",
            _marked(shopping, line.cost, line.basis),
            " + ".join(f"{n} × {label}" for label, n in line.bags),
        )
        for line in shopping.bags
    ]
    lines = table(
        ("need L", "left L", shopping.currency + " ", "for the pots"), rows, right=(0, 1, 2)
    )
    if shopping.crocks_l > 0:
        lines += wrapped(f"and {shopping.crocks_l:.0f} L of broken clay for crocks")
    return lines


def _fill_lines(shopping: ShoppingList, weights: list[PotWeight]) -> list[str]:
    from bloomline.plan.pot.lifting import load_advice

    rows = [
        (
            f"{fill.loose_l:.0f}",
            f"{fill.volumes.crocks_l:.1f}" if fill.volumes.crocks_l else "",
            f"{fill.dressing_l:.1f} ({fill.dressing_kg.middle:.1f} kg)" if fill.dressing else "",
            f"{weight.wet_kg.low:.0f}–{weight.wet_kg.high:.0f}",
            shorten(fill.pot_name, 26),
            shorten(fill.recipe.label, 28),
        )
        for fill, weight in _weighed(shopping, weights)
    ]
    columns = ("compost L", "crocks L", "dressing L", "wet kg", "pot", "mix by volume")
    lines = table(columns, rows, right=(0, 1, 2, 3))
    for advice in load_advice(weights):
        lines += wrapped(advice.message, hang="")
        lines += wrapped(advice.reason, hang="")
    return lines


def _weighed(
    shopping: ShoppingList, weights: list[PotWeight]
) -> list[tuple[PotCompost, PotWeight]]:
    """Each pot to be filled with its weight, out of the weights of all pots."""
    by_id = {weight.pot_id: weight for weight in weights}
    return [(fill, by_id[fill.pot_id]) for fill in shopping.fills]


def _total_lines(shopping: ShoppingList) -> list[str]:
    from bloomline.model.money import written

    def money(amount: Decimal) -> str:
        return written(amount, currency=shopping.currency)

    rest = shopping.total - shopping.bulbs_total
    lines = [
        f"Total {money(shopping.total)}: bulbs {money(shopping.bulbs_total)}, "
        f"compost and dressing {money(rest)}"
    ]
    if any(line.basis == "typical" for line in shopping.bulbs) or any(
        line.basis == "typical" for line in shopping.bags
    ):
        lines.append("~ typical price, from memory")
    if shopping.unpriced:
        lines += wrapped(f"? no price known: {', '.join(shopping.unpriced)}")
    if shopping.budget is not None:
        left = shopping.budget - shopping.total
        words = f"{money(left)} left" if left >= 0 else f"{money(shopping.over)} over"
        lines.append(f"Budget {money(shopping.budget)}: {words}")
    return lines


def _plan_lines(shopping: ShoppingList, plan: BudgetPlan) -> list[str]:
    from bloomline.model.money import written

    total = written(plan.shopping.total, currency=shopping.currency)
    if not plan.savings:
        return ["No change brings it under the budget."]
    head = "To come under the budget" if plan.enough else "Not enough, but the most that can be"
    lines = [f"{head}, with the least loss of colour:"]
    rows: list[tuple[object, ...]] = []
    for each in plan.savings:
        first, *more = textwrap.wrap(each.words, _WORDS_WIDTH)
        figures = (_amount(shopping, each.saved), each.bulbs_fewer or "", f"{each.weeks_after:.1f}")
        rows += [(*figures, first), *(("", "", "", f"  {words}") for words in more)]
    lines += table(("saves", "bulbs −", "weeks", "change, in this order"), rows, right=(0, 1, 2))
    weeks = plan.savings[0].weeks_before
    lines += wrapped(f"Then {total}. Weeks of colour now {weeks:.1f}; after each change as shown.")
    return lines
