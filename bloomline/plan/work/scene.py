"""What the tasks of a yard are worked out from: each layer's days, and each pot's frosts."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta

from bloomline.model.cultivar import Cultivar, MonthDay
from bloomline.model.yard import SHELTERED_SITES, Pot
from bloomline.plan.climate.garden import Garden
from bloomline.plan.forecast.planting_day import usual_planting_day
from bloomline.plan.forecast.report import Band
from bloomline.plan.pot.layer_life import Fate, Resident, fates
from bloomline.plan.pot.lifting import carried_by, moving_words
from bloomline.plan.pot.weight import PotWeight, pot_weight
from bloomline.plan.season.nights import Frosts, hard_frosts, nights, root_limit_c
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.yard import season_report
from bloomline.plan.stage.rota import stage_plan
from bloomline.plan.words.benches import pot_words
from bloomline.plan.words.days import as_day
from bloomline.plan.work.parts import Plant, Stay, Tops
from bloomline.plan.work.task import Draft, Span, Window
from bloomline.plan.work.together import by_id, spells
from bloomline.reference.rules import Rules, load_rules
from bloomline.reference.tasks import TaskRules, load_task_rules
from bloomline.words import day_words, span_words, tr

_LILIES = "lily-cats"
_WEEK_DAYS = 7
_GRACE_DAYS = 3  # left for what falls due as a pot is planted; judgement
_BEFORE_PLANTING = frozenset({"order", "buy", "prechill", "plant"})
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
        self.pots: dict[str, tuple[Pot, list[Plant]]] = {}
        for plant in self.plants:
            self.pots.setdefault(plant.pot.id, (plant.pot, []))[1].append(plant)
        self.fates: dict[str, Fate] = {}
        for _, mine in self.pots.values():
            # In the year's work a layer that is planned will have been planted by then.
            residents = [
                Resident(
                    plant.layer.model_copy(update={"state": "planted"}),
                    plant.cultivar,
                    plant.care,
                    plant.seasons,
                )
                for plant in mine
            ]
            for plant, fate in zip(mine, fates(residents), strict=True):
                self.fates[plant.layer.id] = fate
        self._outlook = outlook
        self.nights = nights(outlook)
        self.stage = stage_plan(outlook)
        self._weights: dict[str, PotWeight] = {}
        self._heavy: dict[str, str] = {}

    def draft(
        self,
        kind: str,
        plants: Iterable[Plant],
        window: Window,
        *,
        on: Iterable[str],
        words: Mapping[str, object] | None = None,
        thing: str = "",
        more: str = "",
        cautions: Iterable[str] = (),
        done: date | None = None,
        lapses: date | None = None,
        spans: tuple[Span, ...] = (),
        times: int | None = None,
    ) -> Draft:
        """Make a task about some plants.

        on : the ids its key is made of. words : what is filled into title and reason; pots come
        into a title later. thing : what of the pot it is about. more : what is said of it besides
        the rule's reason. times : how often it is done; once in every pot, those of a bench each,
        unless told, as of what is done before there is a pot to go to.
        """
        rule = self.tasks.rule(kind)
        about = tuple(plants)
        pots = {plant.pot.id: plant.pot.copies for plant in about}
        pot_ids = tuple(pots)
        bulbs = sum(plant.layer.count * plant.pot.copies for plant in about)
        filled = {"what": "{what}", **(words or {})}
        if kind not in _BEFORE_PLANTING and not spans:
            window = self._once_planted(pot_ids, window)
        return Draft(
            key=self.key(kind, on),
            kind=kind,
            title=tr(rule.title, **filled),
            window=window,
            reason=tr(rule.reason, **_worded(filled)),
            source=rule.source,
            pot_ids=pot_ids,
            layer_ids=tuple(plant.layer.id for plant in about),
            minutes=rule.minutes * (times or max(1, sum(pots.values())))
            + rule.seconds_per_bulb * bulbs / 60.0,
            thing=thing,
            more=more,
            cautions=tuple(words for words in cautions if words),
            repeat_days=rule.repeat_days,
            done_by_state=done,
            lapses=lapses,
            spans=spans,
        )

    def _once_planted(self, pot_ids: Iterable[str], window: Window) -> Window:
        """A window that doesn't begin before there is something in each of some pots."""
        filled = [
            min(plant.layer.planted for plant in self.pots[pot_id][1])
            for pot_id in pot_ids
            if not any(plant.forecast.established for plant in self.pots[pot_id][1])
        ]
        first = max(filled, default=window.earliest)
        if first <= window.earliest:
            return window
        best = max(window.best, first)
        return Window(first, best, max(window.latest, best + timedelta(days=_GRACE_DAYS)))

    def rounds(self, kind: str, spans: Iterable[Span], *, on: str = "") -> Iterator[Draft]:
        """Rounds that call at each pot on its own days; what has a gap between is a round anew.

        on : what the first round is called by; the others, and all without it, by their first
        part in the order of ids.
        """
        rule = self.tasks.rule(kind)
        names = {pot.id: pot_words(pot) for pot in self.yard.pots}
        copies = {pot.id: pot.copies for pot in self.yard.pots}
        layers = {plant.layer.id: plant for plant in self.plants}
        turns: Counter[str] = Counter()
        for number, run in enumerate(spells(spans)):
            mine = sorted(run, key=lambda span: by_id(span.key))
            parts = list(dict.fromkeys(span.key for span in mine))
            turns.update(parts)
            called = [_round_key(part, turns[part]) for part in parts]
            first, last = min(s.first for s in mine), max(s.last for s in mine)
            best = first
            if rule.repeat_days == _WEEK_DAYS:
                # What is done once a week is done on one day, when most have time for it.
                saturday = first + timedelta(days=(5 - first.weekday()) % _WEEK_DAYS)
                best = saturday if saturday <= last else first
            spread = {(s.first, s.last) for s in mine} != {(first, last)}
            told = [f"{names[s.pot_id]}: {span_words(s.first, s.last)}." for s in run]
            plants = [layers[each] for s in mine for each in s.layer_ids if each in layers]
            draft = self.draft(
                kind,
                list({plant.layer.id: plant for plant in plants}.values()),
                Window(first, best, last),
                on=[],
                more=" ".join(dict.fromkeys(told)) if spread else "",
                spans=tuple(mine),
            )
            key = self.key(kind, [on]) if on and not number else called[0]
            called_at = sum(copies[s.pot_id] * ((s.last - s.first).days + 1) for s in mine)
            at_once = called_at / ((last - first).days + 1)
            yield replace(
                draft,
                key=key,
                known_as=tuple(dict.fromkeys([key, *called])),
                pot_ids=tuple(dict.fromkeys(s.pot_id for s in mine)),
                minutes=rule.minutes * max(1.0, at_once),
            )

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
        """What a task is called: kind, what it is about, season."""
        named = ":".join([kind, *on, str(self.yard.season_year)])
        if len(named) <= 200:
            return named
        short = hashlib.sha256(named.encode()).hexdigest()[:32]
        return f"{kind}:{short}:{self.yard.season_year}"

    def from_band(self, kind: str, band: Band) -> Window:
        """The window of a task that hangs on a band of days."""
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
        return self.nights.frosts(pot, root_limit_c=root_limit_c, after=after)

    def compost_c(self, pot: Pot, day: date) -> float:
        """How warm the compost of a pot is on a day, its middle year over a week. [°C]"""
        return self.nights.compost_c(pot, day)

    def root_limit_c(self, plants: Iterable[Plant]) -> tuple[float, Plant]:
        """The warmest working limit of roots among plants, and whose it is. [°C]"""
        known = list(plants)
        limit, at = root_limit_c([plant.cultivar for plant in known], rules=self.rules)
        return limit, known[at]

    def weight(self, pot: Pot) -> PotWeight:
        """What a pot weighs, as card and shopping list have it."""
        if pot.id not in self._weights:
            self._weights[pot.id] = pot_weight(
                pot, yard=self.yard, cultivar_of=self._outlook.cultivar_of
            )
        return self._weights[pot.id]

    def can_be_moved(self, pot: Pot) -> bool:
        """Whether a pot is light enough, when watered, to be carried about for show."""
        return carried_by(self.weight(pot)) != "nobody"

    def heavy_words(self, pot: Pot) -> str:
        """The advice on lifting a pot, as card and shopping list give it; or nothing."""
        if pot.id not in self._heavy:
            self._heavy[pot.id] = moving_words(self.weight(pot))
        return self._heavy[pot.id]

    def frosts_outside(self, pot: Pot, *, after: date | None = None) -> Frosts:
        """When frost comes to a pot once it stands in the open, whatever its site is."""
        return self.nights.frosts_outside(pot, after=after)

    def handling_words(self, cultivars: Iterable[Cultivar], *, bulbs: bool = True) -> list[str]:
        """Cautions for whoever handles some kinds, a sentence each.

        bulbs : whether the bulbs themselves are handled, or only the plant above them.
        """
        known = [self.rules.toxicity(each.genus, each.group) for each in cultivars]
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

    def is_sheltered(self, pot: Pot) -> bool:
        """Whether a pot winters under cover."""
        return pot.site in SHELTERED_SITES


def _round_key(key: str, turn: int) -> str:
    """What a round is called after one of its parts: unlike that part, which stood alone once.

    turn : 1 for the first round that calls at it in the season; later ones are numbered.
    """
    kind, rest = key.split(":", 1)
    return f"{kind}:round:{rest}" if turn == 1 else f"{kind}:round-{turn}:{rest}"


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
