"""What the tasks of a yard are worked out from: each layer's days, and each pot's frosts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date, timedelta
from functools import partial
from typing import Any, TypeVar

from bloomline.model.cultivar import Cultivar, MonthDay
from bloomline.model.yard import SHELTERED_SITES, Pot
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.surroundings import Standing, standing_of
from bloomline.plan.forecast.planting_day import usual_planting_day
from bloomline.plan.forecast.report import Band
from bloomline.plan.pot.layer_life import Fate, Resident, fates
from bloomline.plan.pot.lifting import moving_words
from bloomline.plan.pot.weight import PotWeight, kinds_of_weight
from bloomline.plan.season.nights import Frosts, hard_frosts, nights, root_limit_c
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.yard import season_report
from bloomline.plan.stage.rota import stage_plan
from bloomline.plan.words.benches import pot_words
from bloomline.plan.words.days import as_day
from bloomline.plan.work.alike import Lot, lots
from bloomline.plan.work.draft import About, Draft, Part
from bloomline.plan.work.parts import Plant, Stay, Tops
from bloomline.plan.work.task import Window
from bloomline.plan.work.together import by_id
from bloomline.reference.rules import Rules, load_rules
from bloomline.reference.tasks import TaskRule, TaskRules, load_task_rules
from bloomline.words import day_words, span_words, tr

Answer = TypeVar("Answer")

_LILIES = "lily-cats"
_GRACE_DAYS = 3  # left for what falls due as a pot is planted; judgement
_BEFORE_PLANTING = frozenset({"order", "buy", "prechill", "plant"})
_part = partial(tuple.__new__, Part)  # of any row, at once
_SEVERE = 2  # level of harm that can be severe or fatal


class Scene:
    """A yard, its season and the rules, with what several tasks need worked out once."""

    def __init__(self, outlook: Outlook, *, plants: Iterable[Plant]) -> None:
        self.yard = outlook.yard
        self.report = season_report(outlook)
        self.garden = outlook.garden
        self.first_day = self.report.first_day
        self.tasks: TaskRules = load_task_rules()
        self.rules: Rules = load_rules()
        self.plants = tuple(plants)
        self.names = {pot.id: pot_words(pot) for pot in self.yard.pots}
        self.pots: dict[str, tuple[Pot, list[Plant]]] = {}
        for plant in self.plants:
            self.pots.setdefault(plant.pot.id, (plant.pot, []))[1].append(plant)
        self._known: dict[object, Any] = {}
        self._season = str(self.yard.season_year)
        self._places: dict[Standing, int] = {}
        self._weights = kinds_of_weight(yard=self.yard, cultivar_of=outlook.cultivar_of)
        self.nights = nights(outlook)
        self.stage = stage_plan(outlook)
        # A rota tells pots apart that are alike.
        each = self.pots.values()
        self.lots = lots(each) if self.stage is None else [Lot([one]) for one in each]
        self._lot_of = {lot.pot.id: lot for lot in self.lots}
        ids = [*self.pots, *(plant.layer.id for plant in self.plants)]
        self._order = {of: at for at, of in enumerate(sorted(ids, key=lambda of: by_id(f"{of}:")))}
        self.fates: dict[str, Fate] = {}
        for lot in self.lots:
            alike = tuple([(p.cultivar.id, p.layer.cover_cm, p.seasons) for p in lot.plants])
            found = self.once(("fates", alike), partial(_fates, lot.plants))
            for plant, fate in zip(lot.plants, found, strict=True):
                self.fates[plant.layer.id] = fate

    def once(self, question: object, answer: Callable[[], Answer]) -> Answer:
        """What is the same of many layers or pots, worked out for the first of them.

        question : hashable, all that the answer rests on beside the scene; a word of its own
        comes first.
        """
        found: Answer
        try:
            found = self._known[question]
        except KeyError:
            found = self._known[question] = answer()
        return found

    def draft(
        self,
        kind: str,
        plants: Iterable[Plant],
        window: Window,
        *,
        on: Sequence[Pot | Plant | str],
        called: str = "",
        words: Mapping[str, object] | None = None,
        thing: str = "",
        more: str = "",
        cautions: Iterable[str] = (),
        heavy: str = "",
        done: date | None = None,
        lapses: date | None = None,
        times: int | None = None,
    ) -> Draft:
        """Make a task about some plants.

        on : what its key is made of; a pot or a plant is that of each pot of a lot, and the task
        is then one of each of them. called : what the key begins with, the kind unless told.
        words : what is filled into title and reason; pots come into a title later. thing : what
        of the pot it is about. more : what is said of it besides the rule's reason. heavy : a
        caution on the pot, by its name. times : how often it is done; once in every pot, those
        of a bench each, unless told, as of what is done before there is a pot to go to.
        """
        rule = self.tasks.rule(kind)
        mine = tuple(plants)
        pots = {plant.pot.id: plant.pot.copies for plant in mine}
        bulbs = sum([plant.layer.count * plant.pot.copies for plant in mine])
        if kind not in _BEFORE_PLANTING:
            window = self._once_planted(mine, window)
        if words:
            title, reason = _said(rule, words)
        else:
            title, reason = self.said(kind)
        names = [each for each in on if isinstance(each, str)]
        about = None
        if len(names) < len(on):
            about = About(self._lot_of[mine[0].pot.id], called or kind, tuple(on), mine)
        return Draft(
            key="" if about else self.key(kind, names),
            kind=kind,
            title=title,
            window=window,
            reason=reason,
            source=rule.source,
            pot_ids=() if about else tuple(pots),
            layer_ids=() if about else tuple([plant.layer.id for plant in mine]),
            minutes=rule.minutes * (times or max(1, sum(pots.values())))
            + rule.seconds_per_bulb * bulbs / 60.0,
            about=about,
            thing=thing,
            more=more,
            cautions=tuple([words for words in cautions if words]),
            heavy=heavy,
            repeat_days=rule.repeat_days,
            done_by_state=done,
            lapses=lapses,
        )

    def said(self, kind: str) -> tuple[str, str]:
        """Title and reason of a kind whose words have no gaps but for its pots."""
        return self.once(("said", kind), lambda: _said(self.tasks.rule(kind), {}))

    def _once_planted(self, plants: Sequence[Plant], window: Window) -> Window:
        """A window that doesn't begin before there is something in each pot of some plants."""
        first = window.earliest
        for pot_id in {plant.pot.id for plant in plants}:
            day = self._filled_on(pot_id)
            if day is not None and day > first:
                first = day
        if first == window.earliest:
            return window
        best = max(window.best, first)
        return Window(first, best, max(window.latest, best + timedelta(days=_GRACE_DAYS)))

    def _filled_on(self, pot_id: str) -> date | None:
        return self.once(("filled", pot_id), lambda: _filled_from(self.pots[pot_id][1]))

    def parts(self, draft: Draft) -> Iterator[Part]:
        """A draft for every pot of which it is said."""
        if draft.about is None:
            order = tuple(by_id(draft.key))
            return iter([Part(order, draft.key, draft.pot_ids, draft.layer_ids, draft)])
        return (
            _part((order, key, (pot_id,), layer_ids, draft))
            for order, key, pot_id, layer_ids in self.each(draft.about)
        )

    def each(self, about: About) -> list[tuple[tuple[Any, ...], str, str, tuple[str, ...]]]:
        """Of every pot of a lot the order of a key, the key, its id, and the ids of layers.

        Asked thousands of times of a few pots each, so what most are about is made at once.
        """
        lot, called, order, season = about.lot, about.called, self._order, self._season
        of_plants = [lot.ids(plant) for plant in about.plants]
        layer_ids = zip(*of_plants, strict=True)
        columns = [lot.ids(each) for each in about.on]
        if len(columns) == 1:
            rows = zip(columns[0], lot.pot_ids, layer_ids, strict=True)
            return [
                ((called, order[of]), f"{called}:{of}:{season}", pot_id, ids)
                for of, pot_id, ids in rows
            ]
        orders = [
            column if isinstance(each, str) else [order[of] for of in column]
            for each, column in zip(about.on, columns, strict=True)
        ]
        ranks, names = zip(*orders, strict=True), zip(*columns, strict=True)
        return [
            ((called, *rank), f"{called}:{':'.join(of)}:{season}", pot_id, ids)
            for rank, of, pot_id, ids in zip(ranks, names, lot.pot_ids, layer_ids, strict=True)
        ]

    def draft_on_top(
        self, kind: str, top: Tops, window: Window, *, words: Mapping[str, object]
    ) -> Draft:
        """Make a task about companions on top of a pot."""
        rule = self.tasks.rule(kind)
        return Draft(
            key=self.key(kind, [top.planting.id]),
            kind=kind,
            title=tr(rule.title, **words),
            window=window,
            reason=" ".join(tr(rule.reason, **_worded(words)).split()),
            source=rule.source,
            pot_ids=(top.pot.id,),
            layer_ids=(),
            companion_ids=(top.planting.id,),
            minutes=top.pot.copies
            * (rule.minutes + rule.seconds_per_bulb * top.planting.count / 60.0),
        )

    def key(self, kind: str, on: Iterable[str]) -> str:
        """What a task is called: kind, what it is about, season.

        Two ids at most, of 64 signs each, so that none is too long for a yard to keep.
        """
        return ":".join([kind, *on, self._season])

    def from_band(self, kind: str, band: Band) -> Window:
        """The window of a task that hangs on a band of days."""
        return self.once(("window", kind, band), lambda: self._from_band(kind, band))

    def _from_band(self, kind: str, band: Band) -> Window:
        rule = self.tasks.rule(kind)
        return Window.of(
            band.p10 + timedelta(days=rule.earliest_days),
            band.p50 + timedelta(days=rule.best_days),
            band.p90 + timedelta(days=rule.latest_days),
        )

    def from_day(self, kind: str, day: date) -> Window:
        """The window of a task that hangs on a single day."""
        return self.from_band(kind, Band(day, day, day))

    def frosts(self, pot: Pot, *, root_limit_c: float, after: date | None = None) -> Frosts:
        """When frost comes to a pot: to its air (0 °C), and to its roots below a limit.

        after : count from this day on; otherwise over the cold half of the season.
        """
        return self.once(
            ("frosts", self.place(pot), root_limit_c, after),
            lambda: self.nights.frosts(pot, root_limit_c=root_limit_c, after=after),
        )

    def compost_c(self, pot: Pot, day: date) -> float:
        """How warm the compost of a pot is on a day, its middle year over a week. [°C]"""
        return self.once(("compost", self.place(pot), day), lambda: self.nights.compost_c(pot, day))

    def place(self, pot: Pot) -> int:
        """A number of how a pot stands, the same for all pots that stand alike."""
        return self.once(
            ("place", pot.id),
            lambda: self._places.setdefault(standing_of(pot), len(self._places)),
        )

    def root_limit_c(self, plants: Iterable[Plant]) -> tuple[float, Plant]:
        """The warmest working limit of roots among plants, and whose it is. [°C]"""
        known = list(plants)
        limit, at = root_limit_c([plant.cultivar for plant in known], rules=self.rules)
        return limit, known[at]

    def weight(self, pot: Pot) -> PotWeight:
        """What a pot weighs, as card and shopping list have it, without its name."""
        return self._weights.of(pot, pot.layers)

    def heavy_words(self, pot: Pot) -> str:
        """The advice on lifting a pot, as card and shopping list give it; or nothing."""
        return self.once(("heavy", pot.id), lambda: moving_words(self.weight(pot)))

    def frosts_outside(self, pot: Pot, *, after: date | None = None) -> Frosts:
        """When frost comes to a pot once it stands in the open, whatever its site is."""
        return self.nights.frosts_outside(pot, after=after)

    def handling_words(self, cultivars: Iterable[Cultivar], *, bulbs: bool = True) -> list[str]:
        """Cautions for whoever handles some kinds, a sentence each.

        bulbs : whether the bulbs themselves are handled, or only the plant above them.
        """
        sorts = dict.fromkeys([(each.genus, each.group) for each in cultivars])
        return list(self.once(("handling", bulbs, *sorts), lambda: self._handling(sorts, bulbs)))

    def _handling(self, sorts: Iterable[tuple[str, str]], bulbs: bool) -> list[str]:
        known = [self.rules.toxicity(genus, group) for genus, group in sorts]
        harms = [harm for harm in known if harm is not None]
        found = []
        if any(harm.gloves for harm in harms):
            tulips = any(harm.genus == "Tulipa" for harm in harms)
            found.append(tr("Wear gloves (nitrile for tulips).") if tulips else tr("Wear gloves."))
        if bulbs and any(harm.genus == "Lilium" for harm in harms):
            found.append(tr(self.rules.caution(_LILIES).message))
        severe = [harm for harm in harms if harm.level >= _SEVERE and harm.genus != "Lilium"]
        if bulbs and severe:
            found.append(tr("Poisonous when eaten: keep the bulbs from children and pets."))
        return found

    def cat_words(self, plants: Iterable[Plant]) -> list[str]:
        """The caution for lilies, if there are any."""
        if any(plant.cultivar.genus == "Lilium" for plant in plants):
            return [tr(self.rules.caution(_LILIES).message)]
        return []

    def stay(self, plant: Plant) -> Stay | None:
        """When a tender plant is carried in or stored; None for others, or without hard frost."""
        if plant.care.rest not in ("tender", "shelter"):
            return None  # as `hard_frosts` has it, for most kinds
        return self.once(("stay", plant.layer.id), lambda: self._stay(plant))

    def _stay(self, plant: Plant) -> Stay | None:
        start, end = plant.forecast.start, plant.forecast.end
        if start is None or end is None:
            return None
        frosts = hard_frosts(self.nights, plant.pot, plant.cultivar, plant.forecast, plant.care)
        if frosts is None or frosts.first_air is None:
            return None
        kind = "store" if plant.care.rest == "tender" else "carry-in"
        window = self.from_day(kind, frosts.first_air)
        flowers_over = end.p50 + timedelta(days=2)
        # Who flowers until the frost is left to it, up to the first frost of a usual year.
        last = max(window.latest, frosts.usual_air or window.latest)
        if flowers_over > window.best:
            best = min(flowers_over, last)
            window = Window.of(window.earliest, best, max(best, window.latest))
        late = flowers_over > last
        frost = frosts.first_air
        return Stay(kind, window, frost, late)

    def span_words(self, first: date, last: date) -> str:
        """Two days as a span."""
        return self.once(("span", first, last), lambda: span_words(first, last))

    def is_sheltered(self, pot: Pot) -> bool:
        """Whether a pot winters under cover."""
        return pot.site in SHELTERED_SITES


def _fates(plants: Sequence[Plant]) -> list[Fate]:
    """What becomes of each layer of a pot."""
    return fates(
        [
            Resident(
                # In the year's work a layer that is planned will have been planted by then.
                plant.layer.model_copy(update={"state": "planted"}),
                plant.cultivar,
                plant.care,
                plant.seasons,
            )
            for plant in plants
        ]
    )


def _filled_from(plants: Iterable[Plant]) -> date | None:
    """The day before which nothing is in a pot, None where bulbs are from before."""
    if any(plant.forecast.established for plant in plants):
        return None
    return min(plant.layer.planted for plant in plants)


def _said(rule: TaskRule, words: Mapping[str, object]) -> tuple[str, str]:
    """Title and reason of a task, with {what} where the pots come in."""
    filled = {"what": "{what}", **words}
    return tr(rule.title, **filled), tr(rule.reason, **_worded(filled))


def _worded(words: Mapping[str, object]) -> dict[str, object]:
    """What is filled into a reason, with days as people write them."""
    return {
        name: day_words(value) if isinstance(value, date) else value
        for name, value in words.items()
    }


def usual_day(cultivar: Cultivar, *, garden: Garden, first_day: date) -> date:
    """The usual planting day of a kind in the season that begins on a day."""
    return usual_planting_day(cultivar, garden=garden, first_day=as_day(first_day))


def days_from(reference: MonthDay, day: MonthDay) -> int:
    """Days from one day of the year to another, the shorter way round."""
    return (day.day_of_year - reference.day_of_year + 182) % 365 - 182
