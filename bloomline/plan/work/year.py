"""The year's work in a yard: every task with its window, what is done, overdue and moved."""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Callable, Iterable
from datetime import date, timedelta
from functools import cached_property, partial

from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot, SeenTask, Yard
from bloomline.plan.forecast.report import LayerForecast
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.season.solve import solve_yard
from bloomline.plan.season.yard import season_report
from bloomline.plan.work.after import tasks_after
from bloomline.plan.work.before import tasks_before
from bloomline.plan.work.companions import tasks_of_companions
from bloomline.plan.work.draft import Draft
from bloomline.plan.work.emptying import emptyings, tasks_of_emptying
from bloomline.plan.work.flower import tasks_of_flower
from bloomline.plan.work.frost import tasks_of_frost
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.pests import tasks_of_pests
from bloomline.plan.work.scene import Scene, usual_day
from bloomline.plan.work.stage import tasks_of_stage
from bloomline.plan.work.task import Move, Status, Task, Week, WorkPlan, by_week
from bloomline.plan.work.together import put_together, title_of
from bloomline.plan.work.water import tasks_of_water
from bloomline.reference.tasks import AfterCare, TaskRules, load_task_rules
from bloomline.words import marked, tr

__all__ = ["Move", "Task", "Week", "WorkPlan", "work_plan"]

_CAUSES = (
    marked("another place"),
    marked("another planting day"),
    marked("another pot, site or set of layers"),
    marked("other dates of the kind in the catalogue"),
    marked("other weather"),
)


@kept
def work_plan(outlook: Outlook) -> WorkPlan:
    """The tasks of the season, over all weather years.

    Layers the report doesn't hold, and those that are lifted, make no tasks. The clock is the
    outlook's `today`. Raises UnknownNameError for a cultivar.
    """
    usual = outlook.usual
    yard, report = usual.yard, season_report(usual)
    scene = Scene(usual, plants=_plants(usual))
    name_of = scene.names.__getitem__
    found = emptyings(scene)
    # A pot that is emptied in part goes on; its own tasks see to what is left.
    emptied = {each.lot.pot.id: each.day for each in found if not each.left}
    rules = scene.tasks
    drafts = put_together(
        [
            *tasks_before(scene),
            *tasks_of_frost(scene),
            *tasks_of_flower(scene, emptied=emptied),
            *tasks_of_stage(scene, emptied=emptied),
            *tasks_of_pests(scene, emptied=emptied),
            *tasks_of_emptying(scene, found),
            *tasks_after(scene, emptied=emptied),
            *tasks_of_companions(scene),
        ],
        parts_of=scene.parts,
        rule_of=rules.rule,
        name_of=name_of,
    )
    stopped = {
        pot_id: draft.window.best
        for draft in drafts
        if draft.kind == "stop-watering"
        for pot_id in draft.pot_ids
    }
    drafts += put_together(
        tasks_of_water(scene, stopped=stopped, emptied=emptied),
        parts_of=scene.parts,
        rule_of=rules.rule,
        name_of=name_of,
    )
    finish = _Finish(scene, today=usual.today)
    kinds = Counter(draft.kind for draft in drafts)
    off = set(yard.settings.tasks_off)
    tasks = sorted(
        (finish.task(draft) for draft in drafts if draft.kind not in off),
        key=lambda task: (task.best, rules.order(task.kind), task.earliest, task.key),
    )
    return WorkPlan(
        yard_name=yard.name,
        place_label=report.place_label,
        season_year=report.season_year,
        today=usual.today,
        tasks=tuple(tasks),
        weeks=by_week(tuple(tasks)),
        kinds=tuple((rule.kind, kinds[rule.kind]) for rule in rules.rules),
        off=tuple(rule.kind for rule in rules.rules if rule.kind in off),
    )


def _plants(outlook: Outlook) -> list[Plant]:
    """The layers that stand in the season; those of one plot share the forecast of its first."""
    report, rules = season_report(outlook), load_task_rules()
    kinds: dict[str, tuple[Cultivar, AfterCare, date]] = {}
    forecasts: dict[int, LayerForecast] = {}
    found = []
    numbers = solve_yard(outlook).plots.numbers
    for pot, of_pot, plots in zip(outlook.yard.pots, report.pots, numbers, strict=True):
        if not forecasts.keys() >= set(plots):
            made = {each.layer_id: each for each in of_pot.layers}
            for layer, plot in zip(pot.layers, plots, strict=True):
                forecasts.setdefault(plot, made[layer.id])
        here = [
            (layer, plot)
            for layer, plot in zip(pot.layers, plots, strict=True)
            if layer.state != "lifted" and layer.planted <= report.last_day
        ]
        for at, (layer, plot) in enumerate(here):
            if layer.cultivar_id not in kinds:
                kind = outlook.cultivar_of(layer.cultivar_id)
                day = usual_day(kind, garden=outlook.garden, first_day=report.first_day)
                kinds[layer.cultivar_id] = kind, rules.aftercare(kind.genus, kind.group), day
            cultivar, care, day = kinds[layer.cultivar_id]
            found.append(Plant(pot, layer, cultivar, forecasts[plot], care, day, at))
    return found


class _Finish:
    """Lays ticks, records and memory over the drafts of tasks."""

    def __init__(self, scene: Scene, *, today: date) -> None:
        yard = scene.yard
        self._today = today
        self._rules: TaskRules = scene.tasks
        self._names = scene.names
        self._bare_names = {pot.id: pot.name for pot in yard.pots}
        self._copies = {pot.id: pot.copies for pot in yard.pots}
        self._seen = {each.task_key: each for each in yard.seen_tasks}
        self._ticks: dict[str, list[tuple[date, str]]] = {}
        for each in yard.done:
            self._ticks.setdefault(each.task_key, []).append((each.day, each.note))
        # All that `_rest_on` reads: tasks outlive the scene.
        self._grounds = scene.garden, scene.plants, yard, scene.report.weather_label

    def task(self, draft: Draft) -> Task:
        """The finished task."""
        rule = self._rules.rule(draft.kind)
        window = draft.window
        day, note, ticks = self._done(draft)
        turns = _turns(draft, ticks)
        if draft.repeat_days is None:
            done = day is not None
        else:
            done = draft.done_by_state is not None or (
                day is not None and day + timedelta(days=draft.repeat_days) > window.latest
            )
        # Who doesn't tick off every watering isn't late with it: it is due on its days.
        begin = day + timedelta(days=1) if day else self._today if draft.repeat_days else date.min
        following = [turn for turn in turns if turn >= begin]
        next_turn = None if done or not following else following[0]
        status = self._status(draft, done=done, next_turn=next_turn, patience=rule.overdue_days)
        basis = partial(self._basis, (*draft.layer_ids, *draft.companion_ids))
        seen = self._seen.get(draft.key)
        moved = _move(seen, draft, basis)
        sequence = (seen.sequence if seen else 0) + (1 if moved else 0)
        return Task(
            key=draft.key,
            keys=draft.known_as or tuple([each.key for each in draft.each]),
            kind=draft.kind,
            title=title_of(draft, name_of=self._names.__getitem__),
            head=draft.title,
            earliest=window.earliest,
            best=window.best,
            latest=window.latest,
            reason=draft.reason,
            source=draft.source,
            pot_ids=draft.pot_ids,
            pot_names=tuple(map(self._bare_names.__getitem__, draft.pot_ids)),
            layer_ids=draft.layer_ids,
            minutes=max(1, round(draft.minutes)),
            repeat_days=draft.repeat_days,
            done=done,
            done_on=day,
            note=note,
            status=status,
            turns=turns,
            next_turn=next_turn if status != "past" else None,
            moved=moved,
            sequence=sequence,
            spans=draft.spans,
            rests_on=basis,
            pot_copies=tuple(map(self._copies.__getitem__, draft.pot_ids)),
        )

    def _done(self, draft: Draft) -> tuple[date | None, str, list[date]]:
        """The day on which a task was done (last), what was noted, and the days of its ticks.

        One of several parts is done when all are; a round's turn when it was ticked, or when all
        the pots it calls at then were, each by the name it had alone.
        """
        if draft.repeat_days is not None:
            names = draft.known_as or (draft.key,)
            own = [tick for name in names for tick in self._ticks.get(name, [])]
            ticks = sorted({day for day, _ in own} | self._by_parts(draft))
            note = sorted(own)[-1][1] if own else ""
            return (ticks[-1] if ticks else draft.done_by_state), note, ticks
        days = {each.key: each.draft.done_by_state for each in draft.each}
        notes: list[str] = []
        for key in [key for key in days if key in self._ticks]:
            days[key], said = max(self._ticks[key])
            notes += [said] if said else []
        known = [day for day in days.values() if day is not None]
        if len(known) == len(days):
            return max(known), "; ".join(dict.fromkeys(notes)), known
        done = [each for each in draft.each if days[each.key] is not None]
        if done:
            pots = dict.fromkeys(self._names[pot_id] for each in done for pot_id in each.pot_ids)
            notes.append(
                tr(
                    "{count} of {count2} done: {pots}",
                    count=len(done),
                    count2=len(days),
                    pots=", ".join(pots),
                )
            )
        return None, "; ".join(dict.fromkeys(notes)), []

    def _by_parts(self, draft: Draft) -> set[date]:
        """Days by which every pot of a round then had a tick of its own, from before rounds."""
        repeat = timedelta(days=draft.repeat_days or 1)
        ticked = dict.fromkeys([s.key for s in draft.spans if s.key in self._ticks])
        mine = {key: [day for day, _ in self._ticks[key]] for key in ticked}
        return {
            day
            for day in {day for days in mine.values() for day in days}
            if all(
                any(day - repeat < tick <= day for tick in mine.get(span.key, ()))
                for span in draft.spans
                if span.first <= day <= span.last
            )
        }

    def _status(self, draft: Draft, *, done: bool, next_turn: date | None, patience: int) -> Status:
        window, today = draft.window, self._today
        if done:
            return "done"
        if today < window.earliest:
            return "ahead"
        lapses = window.latest + timedelta(days=patience)
        if draft.lapses is not None:
            lapses = max(window.latest, min(lapses, draft.lapses))
        if today > lapses:
            return "past"
        if draft.repeat_days is None:
            return "overdue" if today > window.latest else "due"
        if today > window.latest:
            return "past"  # a turn that was left out can't be made up for
        if next_turn is None:
            return "due"
        missed = today > next_turn + timedelta(days=draft.repeat_days)
        if missed:
            return "overdue"
        return "due" if today >= next_turn else "ahead"

    def _basis(self, planting_ids: Iterable[str]) -> str:
        """What the days of some layers and companions rest on."""
        place, of_plantings, weather = self._rest_on
        parts = [of_plantings[each] for each in planting_ids]
        columns = zip(*parts, strict=True) if parts else ((), (), ())
        return "-".join((place, *(_short(sorted(each)) for each in columns), weather))

    @cached_property
    def _rest_on(self) -> tuple[str, dict[str, tuple[str, str, str]], str]:
        """What days rest on: the place, of each planting three parts, and the weather."""
        garden, plants, yard, weather = self._grounds
        kinds = {plant.cultivar.id: plant.cultivar for plant in plants}
        dates = {name: _short(*_dates_of(kind)) for name, kind in kinds.items()}
        days = {each: _short(*each) for each in {_days_of(plant.layer) for plant in plants}}
        layers = {
            plant.layer.id: (
                days[_days_of(plant.layer)],
                _pot_basis(plant.pot, plant.layer, yard),
                dates[plant.cultivar.id],
            )
            for plant in plants
        }
        companions = {
            planting.id: (
                _short(planting.planted, planting.taken_out),
                _short(pot.id, pot.site, planting.count),
                _short(planting.companion_id),
            )
            for pot, planting in yard.companions()
        }
        return _short(garden), layers | companions, _short(weather)


def _turns(draft: Draft, ticks: list[date]) -> tuple[date, ...]:
    """The days on which a task falls due; after a tick the count begins anew."""
    if draft.repeat_days is None:
        return (draft.window.best,)
    step = timedelta(days=draft.repeat_days)
    begun = [tick for tick in ticks if tick <= draft.window.latest]
    turns = [max(tick, draft.window.earliest) for tick in begun if _calls(draft, tick)]
    day = begun[-1] + step if begun else draft.window.best
    day = max(day, draft.window.best)
    while day <= draft.window.latest:
        if _calls(draft, day):
            turns.append(day)
        day += step
    return tuple(dict.fromkeys(turns)) or (draft.window.best,)


def _calls(draft: Draft, day: date) -> bool:
    """Whether a round has a pot to call at on a day."""
    return not draft.spans or any(span.first <= day <= span.last for span in draft.spans)


def _move(seen: SeenTask | None, draft: Draft, basis: Callable[[], str]) -> Move | None:
    if seen is None or seen.best == draft.window.best:
        return None
    return Move(
        was=seen.best,
        days=(draft.window.best - seen.best).days,
        why=_why(seen.basis.split("-"), basis().split("-")),
    )


def _why(before: list[str], now: list[str]) -> str:
    if len(before) != len(now):
        return tr("what it rested on before is not known")
    causes = [tr(cause) for cause, old, new in zip(_CAUSES, before, now, strict=True) if old != new]
    return tr(" and ").join(causes) or tr("it is reckoned in another way")


def _short(*values: object) -> str:
    return hashlib.sha256(repr(values).encode()).hexdigest()[:8]


def _days_of(layer: Layer) -> tuple[object, ...]:
    """The days that were chosen for a layer; what is rarely set stands last, where it is set."""
    days = (layer.planted, layer.prechill_weeks)
    return days if layer.lifted_on is None else (*days, layer.lifted_on)


def _dates_of(cultivar: Cultivar) -> tuple[object, ...]:
    return (
        cultivar.id,
        cultivar.ref_start,
        cultivar.ref_end,
        cultivar.ref_planted,
        cultivar.chill_weeks_min,
        cultivar.chill_weeks_best,
        cultivar.established_shift_days,
    )


def _pot_basis(pot: Pot, layer: Layer, yard: Yard) -> str:
    return _short(
        layer.id,
        pot.id,
        pot.top_width_cm,
        pot.bottom_width_cm,
        pot.wall_cm,
        pot.material,
        pot.site,
        # A pot that came in on no set day is what it was before there was such a day.
        *([pot.sheltered_from] if pot.sheltered_from is not None else []),
        pot.sheltered_until,
        yard.site_offsets.get(pot.site, 0.0),
        [each.id for each in pot.layers],
    )
