"""What carrying a pot to a place on a day would do, and giving it back to the rota."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import partial

from bloomline.model.stage_edits import fix_stand, free_stand
from bloomline.model.yard import Yard
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.weights import weights
from bloomline.plan.stage.limits import why_never
from bloomline.plan.stage.rota import StagePlan, Stay
from bloomline.plan.stage.words import place_words
from bloomline.plan.words.benches import pot_words
from bloomline.words import day_words, span_words, tr


@dataclass(frozen=True, slots=True)
class StandVerdict:
    """Whether a pot can stand at a place by hand.

    words : what will be, or why not. name : of the step to undo. apply : makes the new yard, None
    where it can't be.
    """

    words: str
    name: str = ""
    apply: Callable[[Yard], Yard] | None = None


def why_not(outlook: Outlook, pot_id: str, place: str | None) -> str | None:
    """Why a pot can't be carried to a place by hand, whenever that is; None where it can.

    place : None for its own spot. Weight, way and width are held against it. Raises
    UnknownNameError.
    """
    yard = outlook.yard
    pot = yard.pot(pot_id)
    target = None if place is None else yard.display_place(place)
    why = why_never(pot, weights(outlook)[pot_id], target)
    return None if why is None else tr("{pot}: {why}", pot=pot_words(pot), why=why)


def judge_stand(
    outlook: Outlook,
    plan: StagePlan,
    pot_id: str,
    place: str | None,
    day: date,
    *,
    for_good: bool = False,
) -> StandVerdict:
    """Judge a stand from a day on, until the rota would carry the pot on in any case.

    place : None for its own spot; where it stands already it is kept there. for_good : for the
    rest of the season instead. Weight, way and width are held against it at once, what else
    stands there only by the next rota, which tells. Raises UnknownNameError.
    """
    yard = outlook.yard
    pot = yard.pot(pot_id)
    target = None if place is None else yard.display_place(place)
    stay = plan.stay_of(pot_id, day)
    if stay is None:
        return StandVerdict(_outside(plan))
    why = why_not(outlook, pot_id, place)
    if why is not None:
        return StandVerdict(why)
    here = stay.place == place
    first = stay.first if here else day
    last = None if for_good else _last_of(plan, stay)
    values = {"pot": pot_words(pot), "place": place_words(place)}
    if last is None:
        words = tr("{pot}: at {place} from {first} on", first=day_words(first), **values)
    else:
        words = tr("{pot}: at {place}, {span}", span=span_words(first, last), **values)
    if target is not None and target.cover is not None:
        words = tr("{words}; its season is worked out for there too", words=words)
    return StandVerdict(
        words,
        tr("Let a pot stay where it is") if here else tr("Carry a pot to a place"),
        partial(fix_stand, pot_id=pot_id, place=place, first=first, last=last),
    )


def judge_freeing(plan: StagePlan, stay: Stay) -> StandVerdict:
    """Judge leaving a stay to the rota again."""
    if not stay.by_hand:
        return StandVerdict(
            tr("{pot}: the rota has chosen this, nothing is fixed by hand", pot=stay.called)
        )
    return StandVerdict(
        tr("{pot}: the rota chooses again", pot=stay.called),
        tr("Leave a pot to the rota"),
        partial(free_stand, pot_id=stay.pot_id, first=stay.first, last=_last_of(plan, stay)),
    )


def _last_of(plan: StagePlan, stay: Stay) -> date | None:
    """The last day of a stay; None where it lasts as long as the rota."""
    return None if stay.last >= plan.last_day else stay.last


def _outside(plan: StagePlan) -> str:
    return tr(
        "The rota runs from {first} to {last}.",
        first=plan.weeks[0],
        last=plan.last_day,
    )
