"""The cheapest change that keeps a wish for the season, as an answer like all others."""

from __future__ import annotations

from dataclasses import replace

from bloomline.model.wish import SeasonWish
from bloomline.plan.fill.answer import Answers, Before, answer_of
from bloomline.plan.fill.money import Purse
from bloomline.plan.fill.targets import cheapest_change, days_of_wish, targets
from bloomline.plan.fill.wishes import Go, Watched, Wishes, settled
from bloomline.plan.season.outlook import Outlook
from bloomline.words import tr


def keep_wish(
    outlook: Outlook, wish: SeasonWish, wishes: Wishes, *, go: Go | None = None
) -> Answers:
    """Layers that make the season keep a wish of the yard; `nothing` says why there are none.

    wishes : further ones of the kinds; their days are those of the wish.
    """
    outlook = outlook.usual
    watched = Watched(go)
    first, last = days_of_wish(outlook, wish)
    asked = settled(outlook, replace(wishes, first=first, last=last))
    now = next(each for each in targets(outlook) if each.wish == wish)
    if now.is_kept:
        return Answers((), asked, tr("It is kept already: {words}.", words=now.words()))
    found = cheapest_change(outlook, wish, wishes=asked, go=watched)
    if found is None or (asked.budget is not None and found.cost > asked.budget):
        return Answers(
            (),
            asked,
            tr("No change was found that keeps it with these wishes and this money."),
            stopped=watched.ended,
        )
    pots = list(dict.fromkeys(pot_id for pot_id, _ in found.layers))
    answer = answer_of(
        Before.of(outlook, asked, pots, Purse(outlook)),
        list(found.layers),
        title=tr("Cheapest change found"),
        score=found.target.days,
        bound=None,
    )
    if asked.budget is not None and answer.counted_cost > asked.budget:
        return Answers((), asked, tr("The cheapest change that was found costs more than that."))
    why = (tr("Then {words}.", words=found.target.words()),)
    return Answers((replace(answer, why=why),), asked, "", stopped=watched.ended)
