"""The year's work in a yard: every task with its window, what is done, overdue and moved."""

from __future__ import annotations

import hashlib
from datetime import date, timedelta

from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot, Record, SeenTask, Yard
from bloomline.plan.season.outlook import Outlook, kept
from bloomline.plan.season.yard import season_report
from bloomline.plan.work.after import tasks_after
from bloomline.plan.work.before import tasks_before
from bloomline.plan.work.companions import tasks_of_companions
from bloomline.plan.work.flower import tasks_of_flower
from bloomline.plan.work.frost import tasks_of_frost
from bloomline.plan.work.scene import Plant, Scene, usual_day
from bloomline.plan.work.task import Draft, Move, Status, Task, Week, WorkPlan, by_week
from bloomline.plan.work.water import tasks_of_water
from bloomline.reference.tasks import TaskRules, load_task_rules

__all__ = ["Move", "Task", "Week", "WorkPlan", "work_plan"]

# Whoever saw a flower has no more noses to look for.
_SEEN_BY_TASK = {
    "nose": ("nose", "first-flower", "full", "over"),
    "mesh-off": ("nose", "first-flower", "full", "over"),
    "first-flower": ("first-flower", "full", "over"),
}
_CAUSES = (
    "another place",
    "another planting day",
    "another pot, site or set of layers",
    "other dates of the kind in the catalogue",
    "other weather",
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
    drafts = [
        *tasks_before(scene),
        *tasks_of_frost(scene),
        *tasks_of_flower(scene),
        *tasks_after(scene),
        *tasks_of_companions(scene),
        *tasks_of_water(scene),
    ]
    finish = _Finish(scene, today=usual.today)
    tasks = sorted(
        (finish.task(draft) for draft in drafts),
        key=lambda task: (task.best, scene.tasks.order(task.kind), task.earliest, task.key),
    )
    return WorkPlan(
        yard_name=yard.name,
        place_label=report.place_label,
        season_year=report.season_year,
        today=usual.today,
        tasks=tuple(tasks),
        weeks=by_week(tuple(tasks)),
    )


def _plants(outlook: Outlook) -> list[Plant]:
    report = season_report(outlook)
    forecasts = {layer.layer_id: layer for layer in report.layers}
    usual: dict[str, date] = {}
    rules = load_task_rules()
    found = []
    for pot, layer in outlook.yard.layers():
        forecast = forecasts.get(layer.id)
        if forecast is None or layer.state == "lifted" or layer.planted > report.last_day:
            continue
        cultivar = outlook.cultivar_of(layer.cultivar_id)
        if cultivar.id not in usual:
            usual[cultivar.id] = usual_day(
                cultivar, garden=outlook.garden, first_day=report.first_day
            )
        care = rules.aftercare(cultivar.genus, cultivar.group)
        found.append(Plant(pot, layer, cultivar, forecast, care, usual[cultivar.id]))
    return found


class _Finish:
    """Lays ticks, records and memory over the drafts of tasks."""

    def __init__(self, scene: Scene, *, today: date) -> None:
        yard, report = scene.yard, scene.report
        self._today = today
        self._rules: TaskRules = scene.tasks
        self._names = {pot.id: pot.name for pot in yard.pots}
        self._seen = {each.task_key: each for each in yard.seen_tasks}
        self._ticks: dict[str, list[tuple[date, str]]] = {}
        for each in yard.done:
            self._ticks.setdefault(each.task_key, []).append((each.day, each.note))
        self._records: dict[str, list[Record]] = {}
        for record in yard.records:
            if report.first_day <= record.day <= report.last_day:
                self._records.setdefault(record.layer_id, []).append(record)
        self._place = _short(scene.garden)
        self._weather = _short(report.weather_label)
        self._layers = {
            plant.layer.id: (
                _short(*_days_of(plant.layer)),
                _pot_basis(plant.pot, plant.layer, yard),
                _short(*_dates_of(plant.cultivar)),
            )
            for plant in scene.plants
        } | {
            planting.id: (
                _short(planting.planted, planting.taken_out),
                _short(pot.id, pot.site, planting.count),
                _short(planting.companion_id),
            )
            for pot, planting in yard.companions()
        }

    def task(self, draft: Draft) -> Task:
        """The finished task."""
        rule = self._rules.rule(draft.kind)
        window = draft.window
        ticks = sorted(self._ticks.get(draft.key, []))
        day, note = ticks[-1] if ticks else (self._by_record(draft) or draft.done_by_state, "")
        turns = _turns(draft, [tick for tick, _ in ticks])
        if draft.repeat_days is None:
            done = day is not None
        else:
            done = day is not None and day + timedelta(days=draft.repeat_days) > window.latest
        # Who doesn't tick off every watering isn't late with it: it is due on its days.
        begin = day + timedelta(days=1) if day else self._today if draft.repeat_days else date.min
        following = [turn for turn in turns if turn >= begin]
        next_turn = None if done or not following else following[0]
        status = self._status(draft, done=done, next_turn=next_turn, patience=rule.overdue_days)
        basis = self._basis(draft)
        seen = self._seen.get(draft.key)
        moved = _move(seen, draft, basis)
        sequence = (seen.sequence if seen else 0) + (1 if moved else 0)
        return Task(
            key=draft.key,
            kind=draft.kind,
            title=draft.title,
            earliest=window.earliest,
            best=window.best,
            latest=window.latest,
            reason=draft.reason,
            source=draft.source,
            pot_ids=draft.pot_ids,
            pot_names=tuple(self._names[pot_id] for pot_id in draft.pot_ids),
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
            basis=basis,
            sequence=sequence,
        )

    def _by_record(self, draft: Draft) -> date | None:
        """The day on which what a task looks for was recorded."""
        wanted = _SEEN_BY_TASK.get(draft.kind, ())
        days = [
            record.day
            for layer_id in draft.layer_ids
            for record in self._records.get(layer_id, [])
            if record.seen in wanted
        ]
        return min(days, default=None)

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

    def _basis(self, draft: Draft) -> str:
        parts = [self._layers[layer_id] for layer_id in (*draft.layer_ids, *draft.companion_ids)]
        return "-".join(
            (
                self._place,
                _short(sorted(part[0] for part in parts)),
                _short(sorted(part[1] for part in parts)),
                _short(sorted(part[2] for part in parts)),
                self._weather,
            )
        )


def _turns(draft: Draft, ticks: list[date]) -> tuple[date, ...]:
    """The days on which a task falls due; after a tick the count begins anew."""
    if draft.repeat_days is None:
        return (draft.window.best,)
    step = timedelta(days=draft.repeat_days)
    begun = [tick for tick in ticks if tick <= draft.window.latest]
    turns = [max(tick, draft.window.earliest) for tick in begun]
    day = begun[-1] + step if begun else draft.window.best
    day = max(day, draft.window.best)
    while day <= draft.window.latest:
        turns.append(day)
        day += step
    return tuple(dict.fromkeys(turns)) or (draft.window.best,)


def _move(seen: SeenTask | None, draft: Draft, basis: str) -> Move | None:
    if seen is None or seen.best == draft.window.best:
        return None
    return Move(
        was=seen.best,
        days=(draft.window.best - seen.best).days,
        why=_why(seen.basis.split("-"), basis.split("-")),
    )


def _why(before: list[str], now: list[str]) -> str:
    if len(before) != len(now):
        return "what it rested on before is not known"
    causes = [cause for cause, old, new in zip(_CAUSES, before, now, strict=True) if old != new]
    return " and ".join(causes) or "it is reckoned in another way"


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
        pot.sheltered_until,
        yard.site_offsets.get(pot.site, 0.0),
        [each.id for each in pot.layers],
    )
