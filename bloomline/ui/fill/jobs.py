"""What the suggestions need from the planner, worked out beside the window."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bloomline.model.yard import Yard
from bloomline.plan.fill.answer import Answer, Answers
from bloomline.plan.fill.new_yard import sheltered
from bloomline.plan.fill.pot import suggest_pot
from bloomline.plan.fill.wishes import Go, Wishes
from bloomline.plan.fill.yard import fill_yard
from bloomline.plan.forecast.report import SeasonReport
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.yard import season_report


@dataclass(frozen=True, slots=True)
class Suggested:
    """Answers, and the season of the yard with each of them."""

    outlook: Outlook
    wishes: Wishes
    answers: Answers
    reports: tuple[SeasonReport, ...]

    def after(self, answer: Answer) -> Outlook:
        """The outlook with an answer planted."""
        return self.outlook.what_if(yard=answer.yard)

    def filled(self, answer: Answer) -> Yard:
        """The yard with an answer planted, and of its pots those that the answer fills."""
        wanted = {each.pot_id for each in answer.layers}
        pots = tuple(pot for pot in answer.yard.pots if pot.id in wanted)
        return answer.yard.model_copy(update={"pots": pots})


def suggested(
    outlook: Outlook, wishes: Wishes, pot_ids: Sequence[str], *, go: Go | None = None
) -> Suggested:
    """Ways to fill some pots of a yard. Raises UsageError for wishes that make no sense."""
    return _with_seasons(outlook, wishes, _fill(outlook, wishes, pot_ids, go))


def suggested_for_new(
    outlook: Outlook, wishes: Wishes, pot_ids: Sequence[str], *, go: Go | None = None
) -> Suggested:
    """The same for a yard that is only being made, whose pots may winter under cover."""
    outlook, answers = sheltered(outlook, lambda asked: _fill(asked, wishes, pot_ids, go))
    return _with_seasons(outlook, wishes, answers)


def _fill(outlook: Outlook, wishes: Wishes, pot_ids: Sequence[str], go: Go | None) -> Answers:
    if len(pot_ids) == 1:
        return suggest_pot(outlook, pot_ids[0], wishes, go=go)
    return fill_yard(outlook, wishes, pot_ids=pot_ids, go=go)


def _with_seasons(outlook: Outlook, wishes: Wishes, answers: Answers) -> Suggested:
    reports = tuple(season_report(outlook.what_if(yard=each.yard)) for each in answers.answers)
    return Suggested(outlook, wishes, answers, reports)
