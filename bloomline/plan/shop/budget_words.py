"""What could be done for less, in words, for JSON and for a page of text."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING, Any

from bloomline.files.plain_text import broken, table, wrapped
from bloomline.words import marked, tr

if TYPE_CHECKING:
    from bloomline.plan.shop.budget import BudgetPlan
    from bloomline.plan.shop.buying import ShoppingList

_WORDS_WIDTH = 70

MEASURE = marked(
    "How sets of changes are judged: no layer left out where that can be; then the most weeks of "
    "colour of the yard; then the fewest layers left out; then the fullest show, where a layer "
    "with half its bulbs keeps its weeks and seven tenths of its show."
)


def outcome_words(shopping: ShoppingList, plan: BudgetPlan) -> str:
    """What is left of colour and bulbs after the changes, and how near to the best that is."""
    from bloomline.model.money import written

    before, after = f"{plan.weeks_before:.1f}", f"{plan.weeks_after:.1f}"
    # Cheaper kinds may flower for longer, and "18.9 of 18.6 weeks" would be no share.
    sentence = (
        tr(
            "Then {written}: {after} weeks of colour in place of {before}, {bulbs_after} of "
            "{bulbs_before} bulbs."
        )
        if float(after) > float(before)
        else tr(
            "Then {written}: {after} of {before} weeks of colour, {bulbs_after} of "
            "{bulbs_before} bulbs."
        )
    )
    words = sentence.format(
        written=written(plan.shopping.total, currency=shopping.currency),
        after=after,
        before=before,
        bulbs_after=plan.bulbs_after,
        bulbs_before=plan.bulbs_before,
    )
    if plan.exact:
        return tr("{words} No other set of the changes looked at keeps more.", words=words)
    if not plan.enough:
        return words
    short = max(plan.weeks_at_best - plan.weeks_after, 0.0)
    return tr(
        "{words} Within {short:.1f} weeks of the best; too many sets to try them all.",
        words=words,
        short=short,
    )


def state_words(shopping: ShoppingList) -> str:
    """How the list stands to its budget."""
    from bloomline.model.money import written

    currency = shopping.currency
    if shopping.budget is None:
        return tr("No budget is set.")
    if shopping.over > 0:
        return tr("▲ {over} over the budget", over=written(shopping.over, currency=currency))
    return tr("✓ {left} left", left=written(shopping.budget - shopping.total, currency=currency))


def amount_words(shopping: ShoppingList, cost: Decimal | None) -> str | None:
    """An amount without its sign; None where it is not known."""
    from bloomline.model.money import plain, rounded

    if cost is None:
        return None
    return plain(rounded(cost, currency=shopping.currency), currency=shopping.currency)


def plan_object(shopping: ShoppingList, plan: BudgetPlan) -> dict[str, Any]:
    """Changes for JSON."""
    return {
        "enough": plan.enough,
        "total_after": amount_words(shopping, plan.shopping.total),
        "weeks_of_colour_before": round(plan.weeks_before, 1),
        "weeks_of_colour_after": round(plan.weeks_after, 1),
        "bulbs_before": plan.bulbs_before,
        "bulbs_after": plan.bulbs_after,
        "is_the_best_set": plan.exact,
        "weeks_of_colour_at_best": round(plan.weeks_at_best, 1),
        "steps": [
            {
                "kind": each.kind,
                "words": each.words,
                "layer_ids": list(each.layer_ids),
                "saved": amount_words(shopping, each.saved),
                "bulbs_fewer": each.bulbs_fewer,
                "weeks_of_colour_before": round(each.weeks_before, 1),
                "weeks_of_colour_after": round(each.weeks_after, 1),
            }
            for each in plan.savings
        ],
    }


def plan_lines(shopping: ShoppingList, plan: BudgetPlan) -> list[str]:
    """Changes as text for a page 100 columns wide."""
    if not plan.savings:
        return [tr("No change brings it under the budget.")]
    head = (
        tr("To come under the budget")
        if plan.enough
        else tr("Not enough, but the most that can be")
    )
    lines = [tr("{head}, with the least loss of colour:", head=head)]
    rows: list[tuple[object, ...]] = []
    for each in plan.savings:
        first, *more = broken(each.words, _WORDS_WIDTH)
        figures = (
            amount_words(shopping, each.saved) or "",
            each.bulbs_fewer or "",
            f"{each.weeks_after:.1f}",
        )
        rows += [(*figures, first), *(("", "", "", f"  {words}") for words in more)]
    lines += table(
        (tr("saves"), tr("bulbs −"), tr("weeks"), tr("change, in this order")),
        rows,
        right=(0, 1, 2),
    )
    lines += wrapped(outcome_words(shopping, plan), hang="")
    lines += wrapped(tr(MEASURE), hang="")
    return lines
