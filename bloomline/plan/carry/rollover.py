"""Next year's yard from this one: what stays, what is replaced, what rests until planting time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from bloomline.errors import EditRefusedError
from bloomline.model.companion import CompanionPlanting
from bloomline.model.task_edits import change_many
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.forecast.planting_day import usual_planting_day
from bloomline.plan.pot.layer_life import Fate, Resident, fates
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.tops.companions import companion_of
from bloomline.plan.words.days import as_date
from bloomline.reference.tasks import load_task_rules
from bloomline.words import plural, tr

Action = Literal["stays", "replaced", "rests", "planned anew", "as planned"]

_LAST_SEASON = 2198


@dataclass(frozen=True, slots=True)
class Carried:
    """What became of one layer, in words a gardener reads."""

    pot_id: str
    layer_id: str
    name: str
    action: Action
    planted: date
    words: str


@dataclass(frozen=True, slots=True)
class RollOver:
    """Next season's yard, and what was done about every layer of the old one."""

    yard: Yard
    layers: tuple[Carried, ...]

    def only(self, action: Action) -> tuple[Carried, ...]:
        """The layers about which one thing was done."""
        return tuple(each for each in self.layers if each.action == action)


@kept
def roll_over(outlook: Outlook) -> RollOver:
    """Make next season's yard. Pots, layers' ids, records and ticks are kept.

    Bulbs that live on stay in their pot; those planted for one season are planned anew on the
    next usual day, as are lifted ones and those that lie over bulbs that are dug out, and those
    that were planned and never planted. Days under shelter, days of lifting and companions on
    top move on by a year.
    Raises EditRefusedError at the end of the calendar, UnknownNameError for a cultivar.
    """
    yard, here = outlook.yard, outlook.garden
    if yard.season_year >= _LAST_SEASON:
        raise EditRefusedError(
            tr(
                "there is no season after {season_year} in this program",
                season_year=yard.season_year,
            )
        )
    first_day = yard_axis_start(yard.season_year + 1, garden=here)
    begins = as_date(first_day)
    rules = load_task_rules()
    usual: dict[str, date] = {}
    carried: list[Carried] = []
    layers: dict[str, dict[str, object]] = {}
    pots: dict[str, dict[str, object]] = {}
    for pot in yard.pots:
        if pot.sheltered_until is not None and pot.sheltered_until < begins:
            pots[pot.id] = {"sheltered_until": _next_year(pot.sheltered_until, after=begins)}
            if pot.sheltered_from is not None:
                came = _next_year(pot.sheltered_from, after=begins)
                pots[pot.id]["sheltered_from"] = came
        if any(each.planted < begins for each in pot.companions):
            on_top = tuple(_set_again(each, begins=begins) for each in pot.companions)
            pots.setdefault(pot.id, {})["companions"] = on_top
        residents: list[Resident] = []
        for layer in pot.layers:
            cultivar = outlook.cultivar_of(layer.cultivar_id)
            if cultivar.id not in usual:
                usual[cultivar.id] = usual_planting_day(cultivar, garden=here, first_day=first_day)
            care = rules.aftercare(cultivar.genus, cultivar.group)
            seasons = max(1, usual[cultivar.id].year - layer.planted.year)
            residents.append(Resident(layer, cultivar, care, seasons))
        for resident, fate in zip(residents, fates(residents), strict=True):
            done = _carry(pot, resident, fate, next_day=usual[resident.cultivar.id], begins=begins)
            carried.append(done)
            if changes := _changes(resident.layer, done, begins=begins):
                layers[resident.layer.id] = changes
    rolled = change_many(yard, layers=layers, pots=pots, season_year=yard.season_year + 1)
    return RollOver(rolled, tuple(carried))


def _carry(pot: Pot, resident: Resident, fate: Fate, *, next_day: date, begins: date) -> Carried:
    layer, cultivar = resident.layer, resident.cultivar

    def told(action: Action, planted: date, words: str) -> Carried:
        return Carried(pot.id, layer.id, cultivar.name, action, planted, words)

    bulbs = plural("{n} bulb", "{n} bulbs", layer.count * pot.copies)
    if layer.planted >= begins:
        return told(
            "as planned",
            layer.planted,
            tr("to be planted on {planted}, as it was", planted=layer.planted),
        )
    again = tr("plant the firm ones of {bulbs} again on {next_day}", bulbs=bulbs, next_day=next_day)
    if layer.state == "planned":
        words = tr(
            "was not planted: {bulbs} planned for {next_day} instead",
            bulbs=bulbs,
            next_day=next_day,
        )
        return told("planned anew", next_day, words)
    if fate == "replaced":
        return told(
            "replaced",
            next_day,
            tr("flowers well once only: {bulbs} new on {next_day}", bulbs=bulbs, next_day=next_day),
        )
    if layer.lifted_on is not None and layer.lifted_on <= next_day:
        lifted = tr("lifted") if layer.lifted_on < begins else tr("to be lifted")
        return told(
            "rests",
            next_day,
            tr(
                "{lifted} on {lifted_on}: {again}",
                lifted=lifted,
                lifted_on=layer.lifted_on,
                again=again,
            ),
        )
    if layer.state == "lifted":
        return told("rests", next_day, tr("lifted and in store: {again}", again=again))
    if fate == "stored":
        return told("rests", next_day, tr("tender, in store over winter: {again}", again=again))
    if fate == "lifted" and resident.own_fate == "lifted":
        words = tr(
            "{seasons} seasons in the pot: lift, divide, and {again}, in fresh compost",
            seasons=resident.seasons,
            again=again,
        )
        return told("rests", next_day, words)
    if fate == "lifted":
        return told(
            "rests", next_day, tr("comes out with the layer under it: {again}", again=again)
        )
    longer = (
        "" if cultivar.perennial_in_pot == "long-lived" else tr("; good for 2 to 3 years in a pot")
    )
    return told(
        "stays",
        layer.planted,
        tr("stays in the pot, planted {planted}{longer}", planted=layer.planted, longer=longer),
    )


def _changes(layer: Layer, carried: Carried, *, begins: date) -> dict[str, object]:
    if carried.action == "as planned":
        return {}
    if carried.action == "stays":
        return {} if layer.state == "planted" else {"state": "planted"}
    changes: dict[str, object] = {"planted": carried.planted, "state": "planned"}
    if layer.lifted_on is not None:  # the same succession once more
        changes["lifted_on"] = _next_year(
            layer.lifted_on, after=max(begins, carried.planted + timedelta(days=1))
        )
    return changes


def _set_again(planting: CompanionPlanting, *, begins: date) -> CompanionPlanting:
    """A companion planting as it is in the next season: set out anew, but for evergreens."""
    evergreen = companion_of(planting.companion_id).is_all_year
    if planting.planted >= begins or (evergreen and planting.taken_out is None):
        return planting
    planted = _next_year(planting.planted, after=begins)
    taken_out = planting.taken_out
    if taken_out is not None:
        taken_out = _next_year(taken_out, after=planted + timedelta(days=1))
    return planting.model_copy(update={"planted": planted, "taken_out": taken_out})


def _next_year(day: date, *, after: date) -> date:
    """The same day of the year, first time after a day; 29 February becomes the 28th."""
    for year in (after.year, after.year + 1):
        leap = (day.month, day.day) == (2, 29)
        moved = date(year, 2, 28) if leap else day.replace(year=year)
        if moved >= after:
            return moved
    raise AssertionError("one of two years on end holds the day")
