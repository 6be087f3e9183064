"""Why an answer: what it brings, why not the next best, what it rests on, and what it gives up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from bloomline.model.money import written
from bloomline.model.yard import Pot
from bloomline.plan.fill.answer import Answer, Before
from bloomline.plan.fill.candidates import Reason, candidates, stand_of
from bloomline.plan.fill.choices import PotChoices
from bloomline.plan.fill.room import staying
from bloomline.plan.fill.wishes import KNOWN_DAYS, LAYER_DAYS, Wishes, again_days
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.solve import learned_of, weather_of
from bloomline.plan.season.words import figure, rounded
from bloomline.plan.shop.bulb_lines import offers_for
from bloomline.words import listed, plural, tr

_MOST_NAMES = 4
_SAME_DAYS = 0.05  # less is not seen in a figure of one decimal


@dataclass(frozen=True, slots=True)
class NextBest:
    """What could have been taken instead: its kinds, and how much less it scores. [days]

    pot_name : of the one pot that is filled otherwise, where it is one of several.
    """

    names: tuple[str, ...]
    less: float
    pot_name: str = ""


def explained(
    before: Before,
    answers: Sequence[Answer],
    *,
    next_best: NextBest | None,
    taste_days: float = 0.0,
) -> tuple[Answer, ...]:
    """Answers with the words that belong to them.

    taste_days : that the first has less than it could for what counts beside colour.
    """
    told = []
    for at, answer in enumerate(answers):
        why = [_brings(before, answer), *_in_turn(answer), *_left_alone(before, answer)]
        if at == 0 and next_best is not None:
            why.append(_not_the_next(next_best))
        why.append(_rests_on(before, answer))
        why += _counts(before, answer)
        why.append(_tastes(len(before.pot_ids)))
        if at == 0 and rounded(taste_days, 1) >= 0.1:
            why.append(_taste_costs(taste_days))
        told.append(replace(answer, why=tuple(why), gives_up=_gives_up(before, answers, at)))
    return tuple(told)


def _brings(before: Before, answer: Answer) -> str:
    wishes = before.wishes
    assert wishes.first is not None and wishes.last is not None
    return tr(
        "In colour on {days} of the {all_days} days from {first} to {last} in the mean, "
        "{more} more than without.",
        days=figure(answer.days, 1),
        all_days=(wishes.last - wishes.first).days + 1,
        first=wishes.first,
        last=wishes.last,
        more=figure(answer.days_gained, 1),
    )


def _in_turn(answer: Answer) -> list[str]:
    """Who flowers when, each kind once, by its first flower."""
    seen: dict[str, str] = {}
    in_turn = sorted(answer.layers, key=lambda e: e.opens.p50 if e.opens else date.max)
    for each in in_turn:
        if each.name not in seen and each.opens is not None and each.over is not None:
            seen[each.name] = tr(
                "{name} from about {opens} to {over}",
                name=each.name,
                opens=each.opens.p50,
                over=each.over.p50,
            )
    if not seen or len(seen) > 6:
        return []
    return [tr("In flower: {kinds}.", kinds="; ".join(seen.values()))]


def _left_alone(before: Before, answer: Answer) -> list[str]:
    """Pots that might be filled and are not."""
    filled = {each.pot_id for each in answer.layers}
    names = [before.outlook.yard.pot(each).name for each in before.pot_ids if each not in filled]
    if not names:
        return []
    if len(names) > _MOST_NAMES:
        return [plural("{n} pot stays as it is.", "{n} pots stay as they are.", len(names))]
    return [
        plural("{pots} stays as it is.", "{pots} stay as they are.", len(names), pots=listed(names))
    ]


def _not_the_next(other: NextBest) -> str:
    names = listed(list(other.names)) or tr("nothing")
    if other.pot_name and other.less < _SAME_DAYS:
        return tr(
            "The next best, {names} in {pot} instead, is as good to within a day at these depths.",
            names=names,
            pot=other.pot_name,
        )
    if other.pot_name:
        return tr(
            "The next best, {names} in {pot} instead, counts {less} days less.",
            names=names,
            pot=other.pot_name,
            less=figure(other.less, 1),
        )
    if other.less < _SAME_DAYS:
        return tr(
            "The next best, {names}, is as good to within a day at these depths.", names=names
        )
    return tr(
        "The next best, {names}, counts {less} days less.", names=names, less=figure(other.less, 1)
    )


def _rests_on(before: Before, answer: Answer) -> str:
    outlook = before.outlook
    years = weather_of(outlook).n_years
    vague = [
        each.name
        for each in {each.layer.cultivar_id: each for each in answer.layers}.values()
        if outlook.cultivar_of(each.layer.cultivar_id).date_basis == "memory"
    ]
    words = tr(
        "It rests on {years} weather years ({place}) and on what is not known of each date.",
        years=years,
        place=outlook.garden.label,
    )
    if vague:
        words += " " + tr("From memory are the dates of {names}.", names=listed(vague))
    bases = {
        offers_for(outlook.cultivar_of(each.layer.cultivar_id), outlook.yard)[1]
        for each in answer.layers
    }
    if "typical" in bases:
        words += " " + tr("Prices that you have not entered are typical ones, from memory.")
    return words


def _counts(before: Before, answer: Answer) -> list[str]:
    """What the answer counts by the measure, and out of what."""
    yard, each = answer.counted.yard, answer.counted
    parts = [tr("{taste} for taste", taste=figure(each.taste, 1))]
    if before.wishes.scent:
        parts.insert(0, tr("{scent} for scent", scent=figure(each.scent, 1)))
    pots = figure(each.pots, 1)
    if yard is None or len(before.pot_ids) == 1:
        parts.insert(0, tr("{days} of colour gained in the pot", days=pots))
    else:
        parts.insert(0, tr("{days} gained in the mean of the pots", days=pots))
    if yard is not None:
        parts.insert(0, tr("{days} of colour gained in the yard", days=figure(yard, 1)))
    sure = [tr("Only days count that are in colour in eight years of ten.")]
    return [
        *(sure if before.wishes.robust else ()),
        plural(
            "It counts {some} day: {parts}.",
            "It counts {some} days: {parts}.",
            each.total,
            some=figure(each.total, 1),
            parts=listed(parts),
        ),
    ]


def _tastes(n_pots: int) -> str:
    """What counts beside days of colour."""
    if n_pots > 1:
        return tr(
            "Beside colour a layer counts {layer} days, a well-known type {known}, and a kind "
            "that comes again in another pot {again} days less: a taste.",
            layer=figure(LAYER_DAYS, 1),
            known=figure(KNOWN_DAYS, 1),
            again=figure(again_days(n_pots), 1),
        )
    return tr(
        "Beside colour a layer counts {layer} days and a well-known type {known}: a taste.",
        layer=figure(LAYER_DAYS, 1),
        known=figure(KNOWN_DAYS, 1),
    )


def _taste_costs(days: float) -> str:
    return plural(
        "That taste costs {some} day here.",
        "That taste costs {some} days here.",
        days,
        some=figure(days, 1),
    )


def _gives_up(before: Before, answers: Sequence[Answer], at: int) -> str:
    """What an answer has less of than another one."""
    mine = answers[at]
    others = [each for n, each in enumerate(answers) if n != at]
    if not others:
        return ""
    currency = before.outlook.yard.money.currency
    parts = []
    days = max(each.days for each in others) - mine.days
    if rounded(days, 1) >= 0.1:
        parts.append(
            plural("{some} day of colour", "{some} days of colour", days, some=figure(days, 1))
        )
    in_pots = max(each.pot_days for each in others) - mine.pot_days
    if len(before.pot_ids) == 1 and rounded(abs(in_pots - days), 1) >= 0.1 <= rounded(in_pots, 1):
        parts.append(
            plural(
                "{some} day of colour in the pot",
                "{some} days of colour in the pot",
                in_pots,
                some=figure(in_pots, 1),
            )
        )
    if len(before.pot_ids) > 1 and rounded(in_pots, 1) >= 0.1:
        parts.append(
            plural(
                "{some} day of colour in the mean of the pots",
                "{some} days of colour in the mean of the pots",
                in_pots,
                some=figure(in_pots, 1),
            )
        )
    scent = max(each.scent_days for each in others) - mine.scent_days
    if before.wishes.scent and rounded(scent, 1) >= 0.1:
        parts.append(
            plural("{some} day with scent", "{some} days with scent", scent, some=figure(scent, 1))
        )
    bulbs = max(each.bulbs for each in others) - mine.bulbs
    if bulbs > 0:
        parts.append(plural("{n} bulb", "{n} bulbs", bulbs))
    dearer = mine.cost - min(each.cost for each in others)
    told = []
    if parts:
        told.append(tr("Beside the best of the others it lacks {parts}.", parts=listed(parts)))
    if dearer > 0:
        more = written(dearer, currency=currency)
        told.append(tr("It costs {money} more than the cheapest.", money=more))
    return " ".join(told) or tr("The others are better in nothing.")


def nothing_words(
    outlook: Outlook, wishes: Wishes, found: Sequence[PotChoices], pots: Sequence[Pot]
) -> str:
    """Why nothing can be planted in some pots, and which wish to give up."""
    pot = pots[0]
    shift = learned_of(outlook).offset_at(pot.site)
    at_best = candidates(outlook, wishes, stand_of(outlook, pot), shift)
    left = dict(at_best.left_out)
    if not len(at_best):
        return _no_kind(outlook, left)
    if not any(each.priced for each in found):
        return tr(
            "There is no room left beside the layers that stay in {pot_names}. Take one out, "
            "or add a pot.",
            pot_names=listed([each.name for each in pots[:_MOST_NAMES]]),
        )
    least = _least_money(found)
    if wishes.budget is not None and least is not None and least > float(wishes.budget):
        return tr(
            "The money does not go far enough: the least that brings a day of colour costs "
            "{least}. Allow more, or count the bulbs alone.",
            least=_money(outlook, least),
        )
    if wishes.scent and any(len(each.sets) > 1 for each in found):
        return tr("No scented kind flowers on those days here. Look again without scent.")
    if any(staying(outlook, each.pot, on=each.planted) for each in found):
        return tr(
            "No kind that fits there, and leaves in peace what stays or is to be planted, adds a "
            "day of colour. Try other days, or make room."
        )
    return tr("No kind that fits there adds a day of colour. Try other days, or a larger pot.")


def _no_kind(outlook: Outlook, left: Mapping[Reason, int]) -> str:
    """Why no kind at all is left, by what leaves out most of them."""
    grounds: dict[Reason, str] = {
        "disliked": tr("No kind meets every wish. Allow some of those that you ruled out."),
        "harmful": tr(
            "No kind meets every wish. Allow some that are poisonous or irritant, if they can "
            "stand out of reach of children and pets."
        ),
        "tall": tr("No kind meets every wish. Allow taller plants."),
        "colour": tr("No kind meets every wish. Allow more colours."),
        "not easy": tr("No kind meets every wish. Allow kinds that are less sure to flower."),
    }
    wished = [(n, name) for name, n in left.items() if name in grounds]
    late = left.get("too late", 0)
    if wished and max(wished)[0] >= late:
        return grounds[max(wished)[1]]
    if late >= left.get("out of season", 0) + left.get("does badly", 0):
        return tr(
            "It is too late to plant any of that for the season of {year}. Look at the season of "
            "{next_year}.",
            year=outlook.yard.season_year,
            next_year=outlook.yard.season_year + 1,
        )
    return tr("No kind that does well here flowers on those days. Try other days.")


def _least_money(found: Sequence[PotChoices]) -> float | None:
    """The least that a single kind costs, with what filling the pot costs."""
    costs = [each.bags + a.cost for each in found for a in each.priced if a.cost is not None]
    return min(costs, default=None)


def _money(outlook: Outlook, amount: float) -> str:
    currency = outlook.yard.money.currency
    return written(Decimal(str(round(amount, 2))), currency=currency)
