"""What the work page works out beside the window: the plan, and a calendar file of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import partial
from pathlib import Path

from bloomline.model.yard import Yard
from bloomline.plan.carry.rollover import RollOver, roll_over
from bloomline.plan.climate.weather import RecordedWeather
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.season.solve import find_cultivar
from bloomline.plan.season.yard import season_report
from bloomline.plan.work.year import WorkPlan, work_plan
from bloomline.reference.catalogue import Catalogue


@dataclass(frozen=True, slots=True)
class Worked:
    """A plan, and the yard it is of."""

    yard: Yard
    plan: WorkPlan


@dataclass(frozen=True, slots=True)
class WrittenCalendar:
    """A calendar file that was written, and the plan it holds."""

    path: Path
    worked: Worked
    events: int
    sequences: dict[str, int]


def working(
    yard: Yard,
    *,
    catalogue: Catalogue,
    forecaster: Forecaster,
    today: date,
    recorded: RecordedWeather | None,
) -> Worked:
    """The tasks of a yard, over all weather years."""
    report = season_report(yard, catalogue=catalogue, forecaster=forecaster, recorded=recorded)
    plan = work_plan(
        yard,
        report,
        cultivar_of=partial(find_cultivar, yard, catalogue=catalogue),
        forecaster=forecaster,
        today=today,
        recorded=recorded,
    )
    return Worked(yard, plan)


def writing(worked: Worked, *, path: Path, alarms: bool) -> WrittenCalendar:
    """Write the whole plan as a calendar, over an earlier one of this yard if there is one."""
    from bloomline.files.ical import calendar_id_of, write_calendar
    from bloomline.plan.work.words import calendar_events

    plan = worked.plan
    sequences = write_calendar(
        path,
        calendar_events(plan.tasks, reminders="week" if alarms else None),
        calendar_id=calendar_id_of(worked.yard),
        name=f"{plan.yard_name}: work in the pots",
        now=datetime.now(UTC).replace(microsecond=0),
        alarms=alarms,
        season=plan.season_year,
    )
    return WrittenCalendar(path, worked, len(plan.tasks), sequences)


def rolling(yard: Yard, *, catalogue: Catalogue) -> tuple[Yard, RollOver]:
    """Next year's yard, and the yard it was made from."""
    return yard, roll_over(yard, cultivar_of=partial(find_cultivar, yard, catalogue=catalogue))
