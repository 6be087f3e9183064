"""What the work page works out beside the window: the plan, and a calendar file of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from bloomline.model.yard import Yard
from bloomline.plan.carry.rollover import RollOver, roll_over
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.work.year import WorkPlan, work_plan


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


def working(outlook: Outlook) -> Worked:
    """The tasks of a yard."""
    return Worked(outlook.yard, work_plan(outlook))


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


def rolling(outlook: Outlook) -> tuple[Yard, RollOver]:
    """Next year's yard, and the yard it was made from."""
    return outlook.yard, roll_over(outlook)
