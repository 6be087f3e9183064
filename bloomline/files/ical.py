"""Tasks as an iCalendar file (RFC 5545) that a calendar program may read again and again.

Each event has the same UID in every export, so that reading a later file changes what is there
instead of doubling it. The file that is written over is read first: an event that changed gets
the next SEQUENCE and a new DTSTAMP, one that didn't stays as it was, one that is gone is
cancelled. Days are whole days without a time zone; DTEND is the day after the last.
"""

from __future__ import annotations

import hashlib
import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from bloomline import __version__
from bloomline.errors import FileProblemError
from bloomline.files.atomic import read_limited, replace_file
from bloomline.model.yard import Yard

if TYPE_CHECKING:
    from icalendar import Calendar, Event

MAX_BYTES = 64 * 1024**2
_OURS = "-//bloomline//"
_ID = "X-BLOOMLINE-CALENDAR"
_KEY = "X-BLOOMLINE-TASK"
_UID_SPACE = uuid.UUID("6f1c3d0e-9f5b-5d0c-8b8e-3a1f6f0d7c52")  # fixed for ever
_ALARM_HOUR = 8
# What differs between two exports of an event that says the same.
_STAMPS = frozenset({"DTSTAMP", "SEQUENCE", "LAST-MODIFIED"})


class OtherCalendarError(FileProblemError):
    """The file holds a calendar that isn't this yard's, and is left alone."""


@dataclass(frozen=True, slots=True)
class CalendarEvent:
    """One task as a calendar shows it: a day, or the first of recurring days.

    key : what the task is called from one export to the next. until : last day on which a
    recurring one may fall. sequence : at least this, however often it was exported. remind :
    what an alarm says, where alarms are wanted; None for an event without one.
    """

    key: str
    day: date
    title: str
    description: str
    categories: tuple[str, ...] = ()
    repeat_days: int | None = None
    until: date | None = None
    sequence: int = 0
    remind: str | None = None


def calendar_id_of(yard: Yard) -> str:
    """What a yard is called in calendars: its own id, else one made of its name.

    An id kept in the yard outlives a change of name; see `remember_tasks`.
    """
    if yard.calendar_id is not None:
        return yard.calendar_id
    return hashlib.sha256(yard.name.encode()).hexdigest()[:32]


def event_uid(calendar_id: str, key: str) -> str:
    """The UID of a task: a name-based UUID (RFC 9562, version 5), as RFC 7986 5.3 wishes."""
    return str(uuid.uuid5(_UID_SPACE, f"{calendar_id}/{key}"))


def write_calendar(
    path: Path,
    events: Iterable[CalendarEvent],
    *,
    calendar_id: str,
    name: str,
    now: datetime,
    alarms: bool = False,
    season: int | None = None,
) -> dict[str, int]:
    """Write events to a file, in place of what an earlier export of this yard left there.

    Returns the SEQUENCE of each event by its key, for the yard to remember: a calendar program
    passes over an event whose number is lower than one it has read, from whichever file.

    season : cancel tasks of that season that are no longer among the events; None to leave
    the others as they are. now : with a time zone.
    Raises OtherCalendarError, FileProblemError.
    """
    previous = read_limited(path, limit=MAX_BYTES) if path.exists() else None
    try:
        data = calendar_bytes(
            events,
            calendar_id=calendar_id,
            name=name,
            now=now,
            alarms=alarms,
            season=season,
            previous=previous,
        )
    except OtherCalendarError as error:
        raise OtherCalendarError(str(path), error.problem) from None
    replace_file(path, data)
    return _sequences(data)


def calendar_bytes(
    events: Iterable[CalendarEvent],
    *,
    calendar_id: str,
    name: str,
    now: datetime,
    alarms: bool = False,
    season: int | None = None,
    previous: bytes | None = None,
) -> bytes:
    """The content of the file; see `write_calendar`. Raises OtherCalendarError."""
    from icalendar import Calendar

    before = {} if previous is None else _read_ours(previous, calendar_id=calendar_id)
    calendar = Calendar()
    calendar.add("prodid", f"{_OURS}bloomline {__version__}//EN")
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", name)
    calendar.add("x-wr-calname", name)
    calendar.add(_ID, calendar_id)
    written: set[str] = set()
    for event in events:
        made = _event(event, calendar_id=calendar_id, alarms=alarms)
        uid = str(made["uid"])
        if uid in written:
            raise ValueError(f"two events have the key “{event.key}”")
        written.add(uid)
        calendar.add_component(_stamped(made, before.get(uid), least=event.sequence, now=now))
    for uid, old in before.items():
        if uid not in written:
            gone = season is not None and str(old.get(_KEY, "")).endswith(f":{season}")
            calendar.add_component(_cancelled(old, now=now) if gone else old)
    return bytes(calendar.to_ical())


def _sequences(data: bytes) -> dict[str, int]:
    from icalendar import Calendar

    events = Calendar.from_ical(data.decode("utf-8")).walk("VEVENT")
    return {str(event[_KEY]): _sequence(cast("Event", event)) for event in events if _KEY in event}


def _event(event: CalendarEvent, *, calendar_id: str, alarms: bool) -> Event:
    from icalendar import Alarm, Event

    made = Event()
    made.add("uid", event_uid(calendar_id, event.key))
    made.add("summary", _clean(event.title))
    made.add("dtstart", event.day)
    made.add("dtend", event.day + timedelta(days=1))
    if event.repeat_days is not None and event.until is not None and event.until > event.day:
        made.add("rrule", {"freq": "daily", "interval": event.repeat_days, "until": event.until})
    made.add("description", _clean(event.description))
    if event.categories:
        made.add("categories", [_clean(each) for each in event.categories])
    made.add("transp", "TRANSPARENT")
    made.add("status", "CONFIRMED")
    made.add(_KEY, event.key)
    if alarms and event.remind is not None:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", _clean(event.remind))
        alarm.add("trigger", timedelta(hours=_ALARM_HOUR))
        made.add_component(alarm)
    return made


def _stamped(made: Event, old: Event | None, *, least: int, now: datetime) -> Event:
    """Give an event its SEQUENCE and DTSTAMP: those it had when it says the same as before."""
    if old is not None and _says(old) == _says(made) and _sequence(old) >= least:
        return old
    sequence = least if old is None else max(_sequence(old) + 1, least)
    made.add("sequence", sequence)
    made.add("dtstamp", now)
    return made


def _cancelled(old: Event, *, now: datetime) -> Event:
    if str(old.get("status", "")) == "CANCELLED":
        return old
    sequence = _sequence(old) + 1
    for name in ("status", "sequence", "dtstamp"):
        old.pop(name, None)
    old.subcomponents.clear()
    old.add("status", "CANCELLED")
    old.add("sequence", sequence)
    old.add("dtstamp", now)
    return old


def _says(event: Event) -> list[bytes]:
    return sorted(
        line
        for line in event.to_ical().replace(b"\r\n ", b"").split(b"\r\n")
        if line.split(b":")[0].split(b";")[0].decode() not in _STAMPS
    )


def _sequence(event: Event) -> int:
    try:
        return max(0, int(event.get("sequence", 0)))
    except (TypeError, ValueError):
        return 0


def _read_ours(data: bytes, *, calendar_id: str) -> dict[str, Event]:
    """The events of an earlier export by their UID. Raises OtherCalendarError."""
    from icalendar import Calendar

    try:
        # As text: the library words its errors for text only.
        calendar: Calendar = Calendar.from_ical(data.decode("utf-8"))
        product, owner = str(calendar.get("prodid", "")), str(calendar.get(_ID, ""))
        events: list[Any] = list(calendar.walk("VEVENT"))
    except (ValueError, KeyError, IndexError, AttributeError, TypeError):
        product, owner, events = "", "", []
    if not product.startswith(_OURS):
        raise OtherCalendarError(
            "", "is there already and no calendar of ours; choose another name for the file"
        )
    if owner != calendar_id:
        raise OtherCalendarError(
            "",
            "holds the tasks of another yard, or of this one under another name; choose another "
            "name for the file, or take the old one away",
        )
    return {str(event["uid"]): event for event in events if "uid" in event}


def _clean(text: str) -> str:
    """Text without the control characters that RFC 5545 3.1 forbids; line ends stay."""
    return "".join(c for c in text if c in "\n\t" or (c.isprintable() or c == " "))
