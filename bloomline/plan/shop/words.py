"""A shopping list as text, JSON and rows of a table."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from bloomline.files.plain_text import advice_lines, advice_object, shorten, table, wrapped
from bloomline.plan.shop.budget_words import amount_words, plan_lines, plan_object
from bloomline.plan.words.benches import times_words
from bloomline.words import short_day_words, tr

if TYPE_CHECKING:
    from bloomline.plan.pot.compost import BagLine, PotCompost
    from bloomline.plan.pot.weight import PotWeight
    from bloomline.plan.shop.budget import BudgetPlan
    from bloomline.plan.shop.bulb_lines import BulbLine
    from bloomline.plan.shop.buying import PotLine, ShoppingList
    from bloomline.plan.tops.plants_to_buy import PlantLine

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


def _packs(line: BulbLine) -> str:
    return " + ".join(f"{n} × {size}" for size, n in line.packs)


def bags_words(line: BagLine) -> str:
    """The bags of a material in words."""
    if line.is_handful:
        return tr("a handful or two of {line_label}, no bag", line_label=line.label)
    return " + ".join(f"{n} × {label}" for label, n in line.bags) or tr("enough at hand")


def _own_basis(cost: Decimal | None) -> str:
    return "unknown" if cost is None else "own"


def shopping_object(
    shopping: ShoppingList, plan: BudgetPlan | None, weights: Sequence[PotWeight]
) -> dict[str, Any]:
    """A shopping list for JSON. Amounts of money are text, so that none is rounded.

    weights : of every pot of the yard.
    """
    from bloomline.plan.pot.lifting import load_advice

    return {
        "yard": shopping.yard_name,
        "season_year": shopping.season_year,
        "currency": shopping.currency,
        "total": amount_words(shopping, shopping.total),
        "bulbs_total": amount_words(shopping, shopping.bulbs_total),
        "bags_total": amount_words(shopping, shopping.bags_total),
        "plants_total": amount_words(shopping, shopping.plants_total),
        "pots_total": amount_words(shopping, shopping.pots_total),
        "budget": amount_words(shopping, shopping.budget),
        "over": amount_words(shopping, shopping.over),
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
                "cost": amount_words(shopping, line.cost),
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
                "at_hand_l": round(line.at_hand_l, 1),
                "bags": [{"label": label, "count": n} for label, n in line.bags],
                "bought_l": round(line.bought_l, 1),
                "left_l": round(line.left_l, 1),
                "cost": amount_words(shopping, line.cost),
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
                "price": amount_words(shopping, line.price),
                "cost": amount_words(shopping, line.cost),
                "pot_ids": list(line.pot_ids),
            }
            for line in shopping.plants
        ],
        "pots": [
            {
                "label": line.label,
                "count": line.count,
                "price": amount_words(shopping, line.price),
                "cost": amount_words(shopping, line.cost),
                "pot_ids": list(line.pot_ids),
            }
            for line in shopping.pots
        ],
        "fills": [
            {
                "pot": {"id": fill.pot_id, "name": fill.pot_name},
                "copies": fill.copies,
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
                "copies": weight.copies,
                "dry_kg": [round(weight.dry_kg.low, 1), round(weight.dry_kg.high, 1)],
                "wet_kg": [round(weight.wet_kg.low, 1), round(weight.wet_kg.high, 1)],
                "press_kg_per_m2": round(weight.press_kg_per_m2),
            }
            for weight in weights
        ],
        "load": [advice_object(each) for each in load_advice(weights)],
        "changes": None if plan is None else plan_object(shopping, plan),
        "advice": [advice_object(each) for each in shopping.advice],
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
            "cost": amount_words(shopping, line.cost),
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
            "in_cupboard": round(line.at_hand_l, 1) or None,
            "to_buy": round(line.need_l - line.at_hand_l, 1),
            "packs": bags_words(line),
            "bought": round(line.bought_l, 1),
            "spare": round(line.left_l, 1),
            "cost": amount_words(shopping, line.cost),
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
            "cost": amount_words(shopping, line.cost),
            "currency": shopping.currency,
            "price_basis": _own_basis(line.cost),
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
            "cost": amount_words(shopping, line.cost),
            "currency": shopping.currency,
            "price_basis": _own_basis(line.cost),
        }
        for line in shopping.pots
    ]
    return rows


def shopping_lines(
    shopping: ShoppingList, plan: BudgetPlan | None, weights: Sequence[PotWeight]
) -> list[str]:
    """A shopping list as text for a page 100 columns wide."""
    lines = [
        tr(
            "{yard_name}, to buy for the season of {season_year}",
            yard_name=shopping.yard_name,
            season_year=shopping.season_year,
        )
    ]
    if not shopping.bulbs and not shopping.plants and not shopping.pots:
        return [*lines, "", tr("Nothing to buy: no layer is planned for this season.")]
    if shopping.bulbs:
        lines += ["", *_bulb_lines(shopping)]
    if shopping.bags:
        lines += ["", *_bag_lines(shopping)]
    if shopping.plants:
        lines += ["", tr("Plants for the top:")]
        lines += [
            tr(
                "  {count} × {line_label}, set out {set_out}{each}",
                count=line.count,
                line_label=line.label,
                set_out=line.set_out,
                each=_each(shopping, line),
            )
            for line in shopping.plants
        ]
    if shopping.pots:
        lines += ["", tr("Pots:")]
        lines += [f"  {line.count} × {line.label}{_each(shopping, line)}" for line in shopping.pots]
    if shopping.fills:
        lines += ["", *_fill_lines(shopping, weights)]
    lines += ["", *_total_lines(shopping)]
    if plan is not None:
        lines += ["", *plan_lines(shopping, plan)]
    told = advice_lines(shopping.advice)
    return [*lines, "", *told] if told else lines


def _each(shopping: ShoppingList, line: PlantLine | PotLine) -> str:
    from bloomline.model.money import written

    if line.price is None or line.cost is None:
        return tr(": price not known")
    each = written(line.price, currency=shopping.currency)
    return tr(
        ": {each} each, {written}",
        each=each,
        written=written(line.cost, currency=shopping.currency),
    )


def _marked(shopping: ShoppingList, cost: Decimal | None, basis: str) -> str:
    if cost is None:
        return "? "
    return f"{amount_words(shopping, cost)}{'~' if basis == 'typical' else ' '}"


def _bulb_lines(shopping: ShoppingList) -> list[str]:
    from bloomline.model.money import sign_of

    rows = [
        (
            line.needed,
            line.in_cupboard or "",
            _packs(line) or "none",
            line.spare,
            _marked(shopping, line.cost, line.basis),
            shorten(line.name, _NAME_WIDTH),
            f"{short_day_words(line.window[0])}–{short_day_words(line.window[1])}",
            line.order_by if line.to_buy else "",
        )
        for line in shopping.bulbs
    ]
    columns = (
        tr("need"),
        tr("have"),
        tr("packs"),
        tr("spare"),
        sign_of(shopping.currency) + " ",
        tr("bulbs"),
        tr("plant"),
        tr("order by"),
    )
    return table(columns, rows, right=(0, 1, 2, 3, 4))


def _bag_lines(shopping: ShoppingList) -> list[str]:
    from bloomline.model.money import sign_of

    sign = sign_of(shopping.currency)
    have = any(line.at_hand_l for line in shopping.bags)
    rows = [
        (
            f"{line.need_l:.0f}",
            *([f"{line.at_hand_l:.0f}"] if have else []),
            left_words(line),
            _marked(shopping, line.cost, line.basis),
            bags_words(line),
        )
        for line in shopping.bags
    ]
    heads = (
        tr("need L"),
        *([tr("have L")] if have else []),
        tr("left L"),
        f"{sign} ",
        tr("for the pots"),
    )
    lines = table(heads, rows, right=tuple(range(len(heads) - 1)))
    if short := settling_words(shopping):
        lines += wrapped(short)
    if shopping.crocks_l > 0:
        lines += wrapped(
            tr("and {crocks_l:.0f} L of broken clay for crocks", crocks_l=shopping.crocks_l)
        )
    return lines


def left_words(line: BagLine) -> str:
    """What is left over of a material, in whole litres."""
    if not line.bags:
        return ""
    return f"{line.left_l:.0f}".replace("-0", "0").replace("-", "−")


def settling_words(shopping: ShoppingList) -> str:
    """What a figure below nothing in the column of what is left means; "" where none is shown."""
    if not any(left_words(line).startswith("−") for line in shopping.bags):
        return ""
    return tr("Left below nothing: the allowance for settling covers it.")


def _fill_lines(shopping: ShoppingList, weights: Sequence[PotWeight]) -> list[str]:
    from bloomline.plan.pot.lifting import load_advice

    rows = [
        (
            f"{fill.loose_l:.0f}",
            f"{fill.volumes.crocks_l:.1f}" if fill.volumes.crocks_l else "",
            tr(
                "{dressing_l:.1f} ({middle:.1f} kg)",
                dressing_l=fill.dressing_l,
                middle=fill.dressing_kg.middle,
            )
            if fill.dressing
            else "",
            f"{weight.wet_kg.low:.0f}–{weight.wet_kg.high:.0f}",
            shorten(times_words(fill.pot_name, fill.copies), 26),
            shorten(tr(fill.recipe.label), 28),
        )
        for fill, weight in _weighed(shopping, weights)
    ]
    columns = (
        tr("compost L"),
        tr("crocks L"),
        tr("dressing L"),
        tr("wet kg"),
        tr("pot"),
        tr("mix by volume"),
    )
    lines = table(columns, rows, right=(0, 1, 2, 3))
    if any(fill.copies > 1 for fill in shopping.fills):
        lines += wrapped(tr("Of one pot each; the bags above are for all of a bench."))
    for advice in load_advice(weights):
        lines += wrapped(advice.message, hang="")
        lines += wrapped(advice.reason, hang="")
    return lines


def _weighed(
    shopping: ShoppingList, weights: Sequence[PotWeight]
) -> list[tuple[PotCompost, PotWeight]]:
    """Each pot to be filled with its weight, out of the weights of all pots."""
    by_id = {weight.pot_id: weight for weight in weights}
    return [(fill, by_id[fill.pot_id]) for fill in shopping.fills]


def parts_words(shopping: ShoppingList) -> str:
    """What the total is made of."""
    from bloomline.model.money import written

    parts = [
        ("bulbs", shopping.bulbs_total),
        (tr("compost and dressing"), shopping.bags_total),
        ("plants", shopping.plants_total),
        ("pots", shopping.pots_total),
    ]
    return ", ".join(
        f"{name} {written(amount, currency=shopping.currency)}"
        for at, (name, amount) in enumerate(parts)
        if at < 2 or amount
    )


def _total_lines(shopping: ShoppingList) -> list[str]:
    from bloomline.model.money import written

    def money(amount: Decimal) -> str:
        return written(amount, currency=shopping.currency)

    lines = wrapped(
        tr(
            "Total {money}: {parts_words}",
            money=money(shopping.total),
            parts_words=parts_words(shopping),
        )
    )
    if any(line.basis == "typical" for line in shopping.bulbs) or any(
        line.basis == "typical" for line in shopping.bags
    ):
        lines.append(tr("~ typical price, from memory"))
    if shopping.unpriced:
        lines += wrapped(tr("? no price known: {unpriced}", unpriced=", ".join(shopping.unpriced)))
    if shopping.budget is not None:
        left = shopping.budget - shopping.total
        words = (
            tr("{money} left", money=money(left))
            if left >= 0
            else tr("{money} over", money=money(shopping.over))
        )
        lines.append(tr("Budget {money}: {words}", money=money(shopping.budget), words=words))
    return lines
