"""What the tasks of a yard are worked out from: each layer's days, and each pot's frosts."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.flowering import Surroundings
from bloomline.model.cultivar import Cultivar, MonthDay
from bloomline.model.yard import SHELTERED_SITES, Pot
from bloomline.plan.climate.garden import Garden
from bloomline.plan.climate.surroundings import Standing, standing_of, surroundings_of
from bloomline.plan.forecast.planting_day import usual_planting_day
from bloomline.plan.forecast.report import Band
from bloomline.plan.pot.layer_life import Fate, Resident, fates
from bloomline.plan.pot.lifting import moving_words
from bloomline.plan.pot.weight import PotWeight, pot_weight
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.solve import weather_of
from bloomline.plan.season.yard import season_report
from bloomline.plan.words.days import as_day
from bloomline.plan.work.nights import Nights, nights_of
from bloomline.plan.work.parts import Frosts, Plant, Stay, Tops
from bloomline.plan.work.task import Draft, Span, Window
from bloomline.plan.work.together import by_id, spells
from bloomline.reference.rules import Rules, load_rules
from bloomline.reference.tasks import TaskRules, load_task_rules
from bloomline.words import day_words, span_words, tr

EARLY_SHARE = 0.1  # "in one year of ten"
_COLD_HALF_FIRST, _COLD_HALF_LAST = 31, 396  # axis days: July to June in the north
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
        self._law = outlook.forecaster.growth_law
        self._places: dict[Standing, Surroundings] = {}
        self._nights: dict[Surroundings, Nights] = {}
        self._frosts: dict[tuple[Surroundings, float, date | None], Frosts] = {}
        self._compost_c: dict[tuple[Surroundings, date], float] = {}
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
    ) -> Draft:
        """Make a task about some plants.

        on : the ids its key is made of. words : what is filled into title and reason; pots come
        into a title later. thing : what of the pot it is about. more : what is said of it besides
        the rule's reason.
        """
        rule = self.tasks.rule(kind)
        about = tuple(plants)
        pot_ids = tuple(dict.fromkeys(plant.pot.id for plant in about))
        bulbs = sum(plant.layer.count for plant in about)
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
            minutes=rule.minutes * max(1, len(pot_ids)) + rule.seconds_per_bulb * bulbs / 60.0,
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
        names = {pot.id: pot.name for pot in self.yard.pots}
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
            at_once = sum((s.last - s.first).days + 1 for s in mine) / ((last - first).days + 1)
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
            minutes=rule.minutes + rule.seconds_per_bulb * top.planting.count / 60.0,
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
        question = (self._place(pot), root_limit_c, after)
        if question not in self._frosts:
            self._frosts[question] = self._frosts_at(*question)
        return self._frosts[question]

    def _frosts_at(self, place: Surroundings, root_limit_c: float, after: date | None) -> Frosts:
        here = self._nights_at(place)
        air, root = here.air_c, here.root_c
        first, last = _COLD_HALF_FIRST, _COLD_HALF_LAST
        if after is not None:
            first = max(0, min((after - self.first_day).days, air.shape[1] - 1))
            last = air.shape[1]
        too_cold = root[:, first:last] < root_limit_c
        nights = np.flatnonzero(too_cold.any(axis=0))
        return Frosts(
            first_air=self._day(_early(air[:, first:last] <= 0.0), first),
            usual_air=self._day(_early(air[:, first:last] <= 0.0, share=0.5), first),
            last_air=self._day(_late(air[:, first:last] <= 0.0), first),
            first_root=self._day(_early(too_cold), first),
            last_root=self._day(_late(too_cold), first),
            root_range=(
                self.first_day + timedelta(days=first + int(nights[0])),
                self.first_day + timedelta(days=first + int(nights[-1])),
            )
            if len(nights)
            else None,
            root_share=float(too_cold.any(axis=1).mean()),
        )

    def _day(self, index: int | None, first: int) -> date | None:
        return None if index is None else self.first_day + timedelta(days=first + index)

    def compost_c(self, pot: Pot, day: date) -> float:
        """How warm the compost of a pot is on a day, its middle year over a week. [°C]"""
        question = (self._place(pot), day)
        if question not in self._compost_c:
            mean = self._nights_at(question[0]).root_mean_c
            at = min(max((day - self.first_day).days, 0), mean.shape[1] - 1)
            week = mean[:, max(at - 3, 0) : at + 4].mean(axis=1)
            self._compost_c[question] = float(np.median(week))
        return self._compost_c[question]

    def _place(self, pot: Pot) -> Surroundings:
        standing = standing_of(pot, site_offset_c=self.yard.site_offsets.get(pot.site, 0.0))
        if standing not in self._places:
            first_day = as_day(self.first_day)
            self._places[standing] = surroundings_of(standing, first_day=first_day, law=self._law)
        return self._places[standing]

    def _nights_at(self, place: Surroundings) -> Nights:
        if place not in self._nights:
            # Days are walked once for all pots of the yard.
            wanted = {self._place(pot) for pot, _ in self.pots.values()} | {place}
            new = [each for each in wanted if each not in self._nights]
            self._nights.update(zip(new, nights_of(weather_of(self._outlook), new), strict=True))
        return self._nights[place]

    def root_limit_c(self, plants: Iterable[Plant]) -> tuple[float, Plant]:
        """The warmest working limit of roots among plants, and whose it is. [°C]"""
        limits = [
            (self.rules.lethal_c(p.cultivar.genus, p.cultivar.group).roots_c, at, p)
            for at, p in enumerate(plants)
        ]
        limit, _, plant = max(limits, key=lambda each: (each[0], -each[1]))
        return limit, plant

    def weight(self, pot: Pot) -> PotWeight:
        """What a pot weighs, as card and shopping list have it."""
        if pot.id not in self._weights:
            self._weights[pot.id] = pot_weight(
                pot, yard=self.yard, cultivar_of=self._outlook.cultivar_of
            )
        return self._weights[pot.id]

    def can_be_moved(self, pot: Pot) -> bool:
        """Whether a pot is light enough, when watered, to be carried about for show."""
        return self.weight(pot).wet_kg.high <= self.tasks.rule("forward").limit

    def heavy_words(self, pot: Pot) -> str:
        """The advice on lifting a pot, as card and shopping list give it; or nothing."""
        if pot.id not in self._heavy:
            self._heavy[pot.id] = moving_words(self.weight(pot))
        return self._heavy[pot.id]

    def frosts_outside(self, pot: Pot, *, after: date | None = None) -> Frosts:
        """When frost comes to a pot once it stands in the open, whatever its site is."""
        there = pot.model_copy(update={"site": "open", "sheltered_until": None})
        return self.frosts(there, root_limit_c=0.0, after=after)

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
        if start is None or end is None or plant.care.rest not in ("tender", "shelter"):
            return None
        limit = self.rules.lethal_c(plant.cultivar.genus, plant.cultivar.group).bulb_c
        if limit < self.tasks.rule("store").limit:
            return None
        over = plant.forecast.leaves_over or end
        after = max(end.p10, over.p10 - timedelta(days=60))
        if plant.care.rest == "tender":  # one that flowers until the frost must not wait for it
            after = start.p50
        frosts = self.frosts(plant.pot, root_limit_c=limit, after=after)
        if frosts.first_air is None:
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


def _early(hit: NDArray[np.bool_], *, share: float = EARLY_SHARE) -> int | None:
    """The day by which a share of the years has been hit for the first time."""
    days = np.where(hit.any(axis=1), np.argmax(hit, axis=1), hit.shape[1])
    day = int(np.sort(days)[int(share * (len(days) - 1))])
    return None if day >= hit.shape[1] else day


def _late(hit: NDArray[np.bool_]) -> int | None:
    """The day by which nine years of ten have been hit for the last time."""
    backwards = _early(hit[:, ::-1])
    return None if backwards is None else hit.shape[1] - 1 - backwards
