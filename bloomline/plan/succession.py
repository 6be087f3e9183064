"""What follows what in a pot through the year, where two plantings collide, and what helps."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from bloomline.model import edits
from bloomline.model.companion import CompanionPlanting
from bloomline.model.companion_edits import change_companion, move_companion
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.calendar import as_day
from bloomline.plan.companions import companion_of, planting_span
from bloomline.plan.compost import pot_compost
from bloomline.plan.day_words import day_words
from bloomline.plan.fitting import CultivarOf
from bloomline.plan.forecaster import Forecaster, Planting
from bloomline.plan.garden import Garden, garden_of
from bloomline.plan.planting_day import usual_planting_day, usual_planting_span
from bloomline.plan.report import Band, LayerForecast, SeasonReport
from bloomline.plan.surroundings import standing_of

ConflictKind = Literal["leaf", "flower", "resting"]
ChoiceKey = Literal["lift", "second-pot", "later"]

TOGETHER_DAYS = 75
"""Plantings of a pot within one autumn or spring are one planting; judgement, no source."""
CLEAR_CM = 1.0
"""So much compost is left over bulbs that stay; judgement, no source."""

_SINGLE_SEASON = "replace"
_KINDS: tuple[ConflictKind, ...] = ("flower", "leaf", "resting")


@dataclass(frozen=True, slots=True)
class Choice:
    """A way out of a conflict. `words` say what it costs; `why_not` why it can't be taken."""

    key: ChoiceKey
    title: str
    words: str
    available: bool
    why_not: str
    apply: Callable[[Yard], Yard]


@dataclass(frozen=True, slots=True)
class Conflict:
    """A planting that is due while others stand in its way.

    kind : they flower, are in leaf, or rest where the new ones are to lie. new_ids,
    blocking_ids : ids of layers and of companion plantings. free : when the way is free,
    None where bulbs stay for good.
    """

    pot_id: str
    pot_name: str
    kind: ConflictKind
    new_ids: tuple[str, ...]
    blocking_ids: tuple[str, ...]
    due: date
    free: Band | None
    words: str
    choices: tuple[Choice, ...]


@dataclass(frozen=True, slots=True)
class _Blocker:
    """A layer in the way, what is forecast of it, and when it no longer is."""

    layer: Layer
    cultivar: Cultivar
    forecast: LayerForecast
    kind: ConflictKind
    free: Band | None
    must_go: bool  # it would lie where the new ones go, even at rest

    @property
    def is_kept(self) -> bool:
        """Whether its bulbs flower again in later years."""
        return self.cultivar.perennial_in_pot != _SINGLE_SEASON

    def is_lost_on(self, day: date) -> bool:
        """Whether taking it out on a day would lose this season's flowers."""
        start = self.forecast.start
        return start is not None and start.p50 > day


def successions(
    yard: Yard,
    report: SeasonReport,
    *,
    cultivar_of: CultivarOf,
    garden: Garden | None = None,
    forecaster: Forecaster | None = None,
) -> tuple[Conflict, ...]:
    """Every planting of the season that is due while its pot isn't free, by day.

    garden : as the report was made with. forecaster : lets a later start tell its new date.
    Raises UnknownNameError for a cultivar or companion.
    """
    desk = _Desk(yard, report, cultivar_of, garden or garden_of(yard.place), forecaster)
    found = [conflict for pot in yard.pots for conflict in desk.conflicts(pot)]
    return tuple(sorted(found, key=lambda each: (each.due, each.pot_id)))


def free_band(forecast: LayerForecast, cultivar: Cultivar) -> Band | None:
    """When bulbs no longer need their pot.

    Kinds kept for one season don't once they have flowered, others once their leaves are over.
    """
    if cultivar.perennial_in_pot == _SINGLE_SEASON:
        return forecast.end
    return forecast.leaves_over or forecast.end


class _Desk:
    """A yard and its report, asked pot by pot."""

    def __init__(
        self,
        yard: Yard,
        report: SeasonReport,
        cultivar_of: CultivarOf,
        garden: Garden,
        forecaster: Forecaster | None,
    ) -> None:
        self.yard = yard
        self.report = report
        self.cultivar_of = cultivar_of
        self.garden = garden
        self.forecaster = forecaster
        self.forecasts = {layer.layer_id: layer for layer in report.layers}

    def conflicts(self, pot: Pot) -> Iterator[Conflict]:
        """The conflicts of one pot, a planting day each."""
        newcomers: list[Layer | CompanionPlanting] = [*pot.layers, *pot.companions]
        inside = [
            new for new in newcomers if self.report.first_day <= new.planted <= self.report.last_day
        ]
        for due in sorted({new.planted for new in inside}):
            group = [new for new in inside if new.planted == due]
            told: dict[str, _Blocker] = {}
            blocked = []
            for new in group:
                found = [
                    blocker
                    for layer in pot.layers
                    if (blocker := self._blocker(layer, new)) is not None
                ]
                if found:
                    blocked.append(new)
                    for each in found:
                        known = told.get(each.layer.id)
                        if known is None or each.must_go:
                            told[each.layer.id] = each
            if blocked:
                yield self._conflict(pot, due, blocked, list(told.values()))

    def _blocker(self, layer: Layer, new: Layer | CompanionPlanting) -> _Blocker | None:
        due = new.planted
        forecast = self.forecasts.get(layer.id)
        if forecast is None or layer.state == "lifted":
            return None
        if (due - layer.planted).days <= TOGETHER_DAYS:
            return None
        if layer.lifted_on is not None and layer.lifted_on <= due:
            return None
        cultivar = self.cultivar_of(layer.cultivar_id)
        once = cultivar.perennial_in_pot == _SINGLE_SEASON
        free = free_band(forecast, cultivar)

        is_dug_up = self._digs_to(new) > layer.cover_cm - CLEAR_CM

        def told(kind: ConflictKind, until: Band | None) -> _Blocker:
            return _Blocker(layer, cultivar, forecast, kind, until, is_dug_up and not once)

        if forecast.start is not None and forecast.end is not None and free is not None:
            shows = forecast.nose or forecast.start
            if forecast.start.p50 <= due <= forecast.end.p50:
                return told("flower", free)
            if shows.p50 <= due < free.p50:
                return told("leaf", free)
            if once and due >= free.p50:
                return None
        return told("resting", None) if is_dug_up else None

    def _digs_to(self, new: Layer | CompanionPlanting) -> float:
        """Depth to which a planting turns the compost over. [cm]

        Companions find room over bulbs that don't show.
        """
        if isinstance(new, CompanionPlanting):
            return 0.0
        return new.cover_cm + self.cultivar_of(new.cultivar_id).bulb_height_cm

    def _conflict(
        self,
        pot: Pot,
        due: date,
        blocked: list[Layer | CompanionPlanting],
        blockers: list[_Blocker],
    ) -> Conflict:
        kinds = [k for k in _KINDS if any(each.kind == k for each in blockers)]
        bands = [each.free for each in blockers if each.free is not None]
        free = max(bands, key=lambda band: band.p50) if bands else None
        new = _listed([self._name(each) for each in blocked])
        verb = "is" if len(blocked) == 1 else "are"
        told = [_told(k, [each for each in blockers if each.kind == k]) for k in kinds]
        words = f"{new} {verb} due on {day_words(due)}, while {' and '.join(told)}"
        choices = (
            self._lift(due, blockers),
            self._second_pot(pot, blocked),
            self._later(pot, due, blocked, blockers, free),
        )
        return Conflict(
            pot_id=pot.id,
            pot_name=pot.name,
            kind=kinds[0],
            new_ids=tuple(each.id for each in blocked),
            blocking_ids=tuple(each.layer.id for each in blockers),
            due=due,
            free=free,
            words=f"{words}.",
            choices=choices,
        )

    def _name(self, new: Layer | CompanionPlanting) -> str:
        if isinstance(new, Layer):
            return self.cultivar_of(new.cultivar_id).name
        return companion_of(new.companion_id).name

    # The three ways out

    def _lift(self, due: date, blockers: list[_Blocker]) -> Choice:
        unseen = [each for each in blockers if each.is_lost_on(due)]
        ids = [each.layer.id for each in blockers]
        names = _listed([each.cultivar.name for each in blockers])
        over = [each.forecast.leaves_over for each in blockers]
        if not any(each.is_kept for each in blockers):
            title = f"Take out {names} on {day_words(due)}"
            words = (
                "Cut what still flowers for the vase. These bulbs are bought anew each year, so "
                "nothing is lost but the last days of flower."
            )
        elif all(band is not None and band.p50 <= due for band in over):
            title = f"Lift {names} on {day_words(due)}"
            words = (
                "Their leaves have died down, so nothing is lost: store them as their kind wants "
                "it and plant them again at their time. Wear gloves: dry skins irritate."
            )
        else:
            title = f"Lift {names} in the green on {day_words(due)}"
            words = (
                "Lift them with soil on their roots, heel them in at the same depth elsewhere, "
                "and water until the leaves have died down; next year's flower is the poorer for "
                "it. Wear gloves: sap and dry skins of many bulbs irritate."
            )

        def apply(yard: Yard) -> Yard:
            for layer_id in ids:
                yard = edits.change_layer(yard, layer_id, lifted_on=due)
            return yard

        why_not = ""
        if unseen:
            lost = _listed([each.cultivar.name for each in unseen])
            why_not = f"{lost} would be lost before flowering."
        return Choice("lift", title, words, not unseen, why_not, apply)

    def _second_pot(self, pot: Pot, blocked: list[Layer | CompanionPlanting]) -> Choice:
        names = _listed([self._name(each) for each in blocked])
        deepest = max(
            (
                each.cover_cm + self.cultivar_of(each.cultivar_id).bulb_height_cm
                for each in blocked
                if isinstance(each, Layer)
            ),
            default=0.0,
        )
        empty = next(
            (
                other
                for other in self.yard.pots
                if other.id != pot.id
                and not other.layers
                and not other.companions
                and other.compost_depth_cm >= deepest
            ),
            None,
        )
        bare = pot.model_copy(update={"layers": (), "companions": ()})
        litres = pot_compost(bare, yard=self.yard, cultivar_of=self.cultivar_of).loose_l
        if empty is not None:
            title = f"Plant {names} in {empty.name}"
            words = "That pot stands empty."
        else:
            title = f"Plant {names} in a second pot"
            words = (
                f"One more pot like {pot.name}, to be bought, and about {litres:.0f} L of compost."
            )

        def apply(yard: Yard) -> Yard:
            to = empty
            if to is None or all(other.id != to.id for other in yard.pots):
                to = _sister(yard, yard.pot(pot.id))
                at = next(i for i, other in enumerate(yard.pots) if other.id == pot.id)
                yard = edits.add_pot(yard, to, index=at + 1)
            for each in blocked:
                move = edits.move_layer if isinstance(each, Layer) else move_companion
                yard = move(yard, each.id, to.id)
            return yard

        return Choice("second-pot", title, words, True, "", apply)

    def _later(
        self,
        pot: Pot,
        due: date,
        blocked: list[Layer | CompanionPlanting],
        blockers: list[_Blocker],
        free: Band | None,
    ) -> Choice:
        day = due if free is None else free.p90 + timedelta(days=1)
        names = _listed([self._name(each) for each in blocked])
        title = f"Plant {names} on {day_words(day)}" if free is not None else "Plant later"
        lifted = [each for each in blockers if each.must_go]
        why_not = ""
        words = f"{(day - due).days} days later."
        if free is None:
            why_not = "Waiting doesn't help: bulbs lie in the way, and stay."
        else:
            lasts = [(self._last_day(each), each) for each in blocked]
            last, first_late = min(lasts, key=lambda pair: pair[0])
            lost = [each for each in blockers if each.must_go and each.is_lost_on(day)]
            if lost:
                names = _listed([each.cultivar.name for each in lost])
                why_not = f"{names} would be dug up before flowering."
            elif day > last:
                why_not = (
                    f"Too late for {self._name(first_late)}: it is planted until about "
                    f"{day_words(last)} here."
                )
            else:
                words += self._new_dates(pot, day, blocked)
                if lifted:
                    words += (
                        f" {_listed([each.cultivar.name for each in lifted])} would lie where the "
                        "new ones go, and come out at rest then, without harm."
                    )

        def apply(yard: Yard) -> Yard:
            for each in blocked:
                change = edits.change_layer if isinstance(each, Layer) else change_companion
                yard = change(yard, each.id, planted=day)
            for blocker in lifted:
                yard = edits.change_layer(yard, blocker.layer.id, lifted_on=day)
            return yard

        return Choice("later", title, words, not why_not, why_not, apply)

    def _last_day(self, new: Layer | CompanionPlanting) -> date:
        """The last usual planting day of a newcomer at this place."""
        if isinstance(new, CompanionPlanting):
            southern = self.garden.is_southern
            return planting_span(companion_of(new.companion_id), new.planted, southern=southern)[1]
        cultivar = self.cultivar_of(new.cultivar_id)
        usual = usual_planting_day(
            cultivar, garden=self.garden, first_day=as_day(self.report.first_day)
        )
        # The season before or after it, for bulbs planted at the end of this axis.
        spans = [
            usual_planting_span(cultivar, usual=usual + timedelta(days=days)) for days in (0, 365)
        ]
        return min(spans, key=lambda span: abs((span[1] - new.planted).days))[1]

    def _new_dates(self, pot: Pot, day: date, blocked: list[Layer | CompanionPlanting]) -> str:
        """When newcomers flower if they are planted on a day, where that can be told."""
        if self.forecaster is None:
            return ""
        told = []
        offset = self.yard.site_offsets.get(pot.site, 0.0)
        for each in blocked:
            if not isinstance(each, Layer) or self.forecasts[each.id].start is None:
                continue
            cultivar = self.cultivar_of(each.cultivar_id)
            standing = standing_of(pot, site_offset_c=offset)
            solved = self.forecaster.solve(
                [Planting(cultivar, day, standing)],
                garden=self.garden,
                first_day=as_day(self.report.first_day),
            )
            if solved.flowering_share()[0] < 0.5:
                told.append(f"{cultivar.name} would hardly flower this season")
                continue
            start = solved.date_of(float(solved.bands(solved.days.start).p50[0]))
            told.append(f"{cultivar.name} then opens about {day_words(start)}")
        return f" {'; '.join(told)}." if told else ""


def _sister(yard: Yard, pot: Pot) -> Pot:
    """An empty pot like another, still to be bought."""
    changes = {
        "id": edits.next_id(yard, "pot"),
        "name": edits.free_name(yard, pot.name),
        "layers": (),
        "companions": (),
        "to_buy": True,
        "display_place": None,
        "notes": "",
    }
    return pot.model_copy(update=changes)


def _listed(names: list[str]) -> str:
    unique = list(dict.fromkeys(names))
    if len(unique) == 1:
        return unique[0]
    return f"{', '.join(unique[:-1])} and {unique[-1]}"


def _told(kind: ConflictKind, blockers: list[_Blocker]) -> str:
    """What stands in the way, and until when."""
    names = list(dict.fromkeys(each.cultivar.name for each in blockers))
    many = len(names) > 1
    if kind == "resting":
        return f"{_listed(names)} {'lie' if many else 'lies'} in the compost where it is dug"
    words = f"{_listed(names)} {'are' if many else 'is'} still in {kind}"
    bands = [each.free for each in blockers if each.free is not None]
    if not bands:
        return words
    free = max(bands, key=lambda band: band.p50)
    return (
        f"{words} until about {day_words(free.p50)} "
        f"({day_words(free.p10)} to {day_words(free.p90)})"
    )
