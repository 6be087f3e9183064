"""What the page Stage works out beside the window: the sheet for the shed door, the calendar."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from bloomline.draw.paper.card import CardPage
from bloomline.draw.paper.stage_sheet import (
    StagePaper,
    sheet_title,
    stage_pages,
    write_stage_sheet,
)
from bloomline.errors import StoppedError
from bloomline.model.yard import Yard
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.stage.rota import stage_plan
from bloomline.plan.work.stage import STAGE_KINDS
from bloomline.plan.work.year import WorkPlan, work_plan
from bloomline.ui.progress import Progress
from bloomline.words import tr


@dataclass(frozen=True, slots=True)
class WrittenSheet:
    """The files that were written."""

    paths: tuple[Path, ...]


@dataclass(frozen=True, slots=True)
class Sheets:
    """Pages to be printed, and what they are called."""

    pages: tuple[CardPage, ...]
    title: str = ""


@dataclass(frozen=True, slots=True)
class WrittenMoves:
    """A calendar that was written, with what the yard is to remember of it."""

    path: Path
    yard: Yard
    work: WorkPlan
    events: int
    sequences: dict[str, int]


def writing_sheet(
    outlook: Outlook, *, path: Path, paper: StagePaper, progress: Progress
) -> WrittenSheet:
    """Write the sheet for the shed door. Raises BloomlineError."""

    def told(share: float) -> None:
        if not progress.go(share):
            raise StoppedError("stopped")

    plan = stage_plan(outlook)
    told(0.0)
    if plan is None:
        return WrittenSheet(())
    cultivar_of = outlook.cultivar_of
    return WrittenSheet(
        write_stage_sheet(plan, path, paper=paper, cultivar_of=cultivar_of, told=told)
    )


def laying_out(outlook: Outlook, *, paper: StagePaper) -> Sheets:
    """Lay the sheet out for a printer."""
    plan = stage_plan(outlook)
    if plan is None:
        return Sheets(())
    pages = stage_pages(plan, paper=paper, cultivar_of=outlook.cultivar_of)
    return Sheets(pages, sheet_title(plan))


def writing_moves(outlook: Outlook, *, path: Path) -> WrittenMoves:
    """Write what is to be carried as a calendar, with the events that the work's has.

    Raises BloomlineError.
    """
    from bloomline.files.ical import calendar_id_of, write_calendar
    from bloomline.plan.work.words import calendar_events

    work = work_plan(outlook)
    tasks = [task for task in work.tasks if task.kind in STAGE_KINDS]
    sequences = write_calendar(
        path,
        calendar_events(tasks, reminders=None),
        calendar_id=calendar_id_of(outlook.yard),
        name=tr("{yard}: pots to carry", yard=work.yard_name),
        now=datetime.now(UTC).replace(microsecond=0),
        alarms=False,
        season=None,
    )
    return WrittenMoves(path, outlook.yard, work, len(tasks), sequences)
