"""A new yard: which spring is meant, and pots wintered where frost would not kill their bulbs."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date

from bloomline.model.yard import Pot, Site, Yard
from bloomline.plan.fill.answer import Answers
from bloomline.plan.season.outlook import Outlook
from bloomline.words import tr

_WELL_IN_THE_OPEN = 0.4
"""With so many of the wished days in colour nobody carries pots under cover; judgement."""
_NEAR_THE_BEST = 0.75
_SHELTERS: tuple[Site, ...] = ("shed", "garage", "cold-greenhouse")


def default_season_year(today: date, *, southern: bool) -> int:
    """The spring that someone who plans today has in mind."""
    if southern:
        return today.year if today.month < 9 else today.year + 1
    return today.year if today.month < 4 else today.year + 1


def sheltered(outlook: Outlook, ask: Callable[[Outlook], Answers]) -> tuple[Outlook, Answers]:
    """Answers for a yard's pots in the open or, where frost spoils that, wintered under cover.

    ask : looks for answers. Returns the outlook whose pots stand where the answers are for: in
    the open, or under the first cover that comes near the best of all.
    """
    open_answers = ask(outlook)
    if open_answers.stopped or _share(open_answers) >= _WELL_IN_THE_OPEN:
        return outlook, open_answers
    found = [(outlook, open_answers)]
    for wintered in _wintered(outlook):
        found.append((wintered, ask(wintered)))
        if found[-1][1].stopped:
            break
    best = max(_share(answers) for _, answers in found)
    return next(each for each in found if _share(each[1]) >= _NEAR_THE_BEST * best)


def _share(answers: Answers) -> float:
    """Days in colour with the first answer, of those that are wished."""
    first, last = answers.wishes.first, answers.wishes.last
    if not answers.answers or first is None or last is None:
        return 0.0
    return answers.answers[0].days / ((last - first).days + 1)


def _wintered(outlook: Outlook) -> Iterator[Outlook]:
    year = outlook.yard.season_year
    out = date(year, 10, 1) if outlook.garden.is_southern else date(year, 4, 1)
    for site in _SHELTERS:
        pots = tuple(_under_cover(pot, site, out) for pot in outlook.yard.pots)
        yield outlook.with_(yard=outlook.yard.model_copy(update={"pots": pots}))


def _under_cover(pot: Pot, site: Site, out: date) -> Pot:
    return pot.model_copy(update={"site": site, "sheltered_from": None, "sheltered_until": out})


def shelter_words(yard: Yard) -> str:
    """Why the pots of a new yard winter under cover; nothing for pots in the open."""
    sites = {pot.site for pot in yard.pots}
    if "shed" in sites:
        return tr("Frost would kill bulbs in open pots here: keep the pots in a shed until spring.")
    if "garage" in sites:
        return tr(
            "Frost would kill bulbs in open pots and sheds here: keep the pots in a garage "
            "against the house or in a cellar until spring."
        )
    if "cold-greenhouse" in sites:
        return tr(
            "Frost would kill bulbs in open pots here: keep the pots in an unheated "
            "greenhouse until spring."
        )
    return ""
