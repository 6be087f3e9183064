"""Calendar files, read back by a second library (vobject) than the one that wrote them."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta

import pytest
import vobject
from dateutil.rrule import rrulestr
from hypothesis import given
from hypothesis import strategies as st

from bloomline.errors import FileProblemError
from bloomline.files.ical import (
    CalendarEvent,
    OtherCalendarError,
    calendar_bytes,
    calendar_id_of,
    event_uid,
    write_calendar,
)

NOW = datetime(2027, 3, 1, 8, 0, tzinfo=UTC)
LATER = NOW + timedelta(days=7)
PLANT = CalendarEvent(
    key="plant:layer-1:2027",
    day=date(2027, 3, 10),
    title="Plant 9 × Tulipa 'Shirley'",
    description="In good time; before frost, with gloves.",
    categories=("Garden", "plant"),
)
FEED = CalendarEvent(
    key="feed:pot-1:2027",
    day=date(2027, 4, 1),
    title="Feed",
    description="Green leaves.",
    repeat_days=8,
    until=date(2027, 4, 25),
)


def written(*events, previous=None, now=NOW, **fields):
    fields = {"calendar_id": "abc", "name": "Yard", **fields}
    return calendar_bytes(events, now=now, previous=previous, **fields)


def read(data):
    """The events of a file as the second library sees them, by UID."""
    calendar = vobject.readOne(data.decode())
    return {event.uid.value: event for event in calendar.contents.get("vevent", [])}


def sequence(event):
    return int(event.sequence.value)


class CalendarProgram:
    """Imports as RFC 5546 2.1.5 says: a UID that is known is replaced by a later revision."""

    def __init__(self):
        self.events = {}

    def take(self, data):
        for uid, event in read(data).items():
            known = self.events.get(uid)
            revision = (sequence(event), event.dtstamp.value)
            if known is None or revision >= (sequence(known), known.dtstamp.value):
                self.events[uid] = event

    def shown(self):
        return {
            event.summary.value: event.dtstart.value
            for event in self.events.values()
            if event.status.value != "CANCELLED"
        }


def test_a_task_is_a_whole_day_whose_end_is_the_next():
    (event,) = read(written(PLANT)).values()
    assert event.summary.value == PLANT.title
    assert event.description.value == PLANT.description
    assert event.dtstart.value == PLANT.day
    assert event.dtend.value == PLANT.day + timedelta(days=1)
    assert event.transp.value == "TRANSPARENT"
    assert event.categories.value == ["Garden", "plant"]
    assert event.dtstamp.value == NOW
    assert sequence(event) == 0
    assert b"DTSTART;VALUE=DATE:20270310\r\nDTEND;VALUE=DATE:20270311\r\n" in written(PLANT)


def test_a_recurring_task_recurs_until_its_last_day():
    (event,) = read(written(FEED)).values()
    start = datetime(2027, 4, 1)
    days = [day.date() for day in rrulestr(event.rrule.value, dtstart=start)]
    assert days == [date(2027, 4, day) for day in (1, 9, 17, 25)]


def test_alarms_come_only_when_wanted_and_where_they_make_sense():
    def alarms(event, **fields):
        (made,) = read(written(event, **fields)).values()
        return made.contents.get("valarm", [])

    rings = CalendarEvent(**{**as_fields(PLANT), "remind": "Plant, and feed"})
    assert alarms(PLANT) == alarms(rings) == alarms(PLANT, alarms=True) == []
    (alarm,) = alarms(rings, alarms=True)
    assert alarm.description.value == "Plant, and feed"
    assert alarm.trigger.value == timedelta(hours=8)
    assert alarm.action.value == "DISPLAY"


def test_the_same_tasks_written_again_are_the_same_file():
    first = written(PLANT, FEED, alarms=True)
    assert written(PLANT, FEED, alarms=True, previous=first, now=LATER) == first


def test_what_changed_gets_the_next_sequence_and_the_rest_stays():
    first = written(PLANT, FEED)
    moved = CalendarEvent(**{**as_fields(PLANT), "day": date(2027, 3, 12)})
    second = read(written(moved, FEED, previous=first, now=LATER))
    plant = second[event_uid("abc", PLANT.key)]
    feed = second[event_uid("abc", FEED.key)]
    assert (sequence(plant), plant.dtstamp.value) == (1, LATER)
    assert (sequence(feed), feed.dtstamp.value) == (0, NOW)


def test_a_calendar_that_imports_twice_updates_and_does_not_double():
    program = CalendarProgram()
    first = written(PLANT, FEED)
    program.take(first)
    program.take(first)
    assert len(program.shown()) == 2
    moved = CalendarEvent(**{**as_fields(PLANT), "day": date(2027, 3, 12)})
    second = written(moved, FEED, previous=first, now=LATER)
    program.take(second)
    assert program.shown() == {PLANT.title: date(2027, 3, 12), FEED.title: FEED.day}
    third = written(FEED, previous=second, now=LATER, season=2027)
    program.take(third)
    assert program.shown() == {FEED.title: FEED.day}
    # The old file, read again by mistake, brings nothing back.
    program.take(first)
    assert program.shown() == {FEED.title: FEED.day}
    back = written(PLANT, FEED, previous=third, now=LATER, season=2027)
    program.take(back)
    assert program.shown() == {PLANT.title: PLANT.day, FEED.title: FEED.day}


def test_without_the_earlier_file_the_yards_own_count_raises_the_sequence():
    program = CalendarProgram()
    program.take(written(PLANT))
    moved = CalendarEvent(**{**as_fields(PLANT), "day": date(2027, 3, 12), "sequence": 3})
    program.take(written(moved, now=LATER))
    assert program.shown() == {PLANT.title: date(2027, 3, 12)}
    assert [sequence(event) for event in program.events.values()] == [3]


def test_tasks_that_are_gone_are_cancelled_once_and_those_of_other_seasons_kept():
    old = CalendarEvent("plant:layer-1:2026", date(2025, 10, 1), "Plant", "")
    first = written(old, PLANT)
    second = written(previous=first, now=LATER, season=2027)
    events = read(second)
    gone, kept = (events[event_uid("abc", each.key)] for each in (PLANT, old))
    assert (gone.status.value, sequence(gone), gone.dtstamp.value) == ("CANCELLED", 1, LATER)
    assert (kept.status.value, sequence(kept)) == ("CONFIRMED", 0)
    again = LATER + timedelta(days=1)
    assert written(previous=second, now=again, season=2027) == second
    assert len(read(written(previous=first))) == 2


def test_uids_are_stable_and_differ_by_yard_and_task():
    # A name-based UUID never changes; this one was written by the first version.
    assert event_uid("abc", PLANT.key) == "b53ee0bb-8bb0-5994-ac49-88fee98757f9"
    assert len({event_uid(a, b) for a in ("abc", "abd") for b in ("x", "y")}) == 4
    assert re.fullmatch(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}", event_uid("abc", "x"))


def test_a_yards_own_id_outlives_its_name():
    from bloomline.model.edits import rename_yard
    from bloomline.model.task_edits import remember_tasks
    from bloomline.model.yard import PlaceChoice, Yard

    place = PlaceChoice(name="Ottermere", latitude_deg=52.4, longitude_deg=-1.3)
    yard = Yard(name="Old name", place=place, season_year=2027)
    kept = remember_tasks(yard, {}, calendar_id=calendar_id_of(yard))
    assert calendar_id_of(rename_yard(kept, "New name")) == calendar_id_of(yard)
    assert calendar_id_of(rename_yard(yard, "New name")) != calendar_id_of(yard)


def test_lines_are_folded_at_75_octets_and_end_in_crlf():
    """RFC 5545 3.1: no line longer than 75 octets, without the line break."""
    long = CalendarEvent("a:b:2027", PLANT.day, "Pflanzen: " + "Ä€🌷ü" * 60, "ß" * 300)
    data = written(long)
    assert data.endswith(b"END:VCALENDAR\r\n")
    assert b"\n" not in data.replace(b"\r\n", b"")
    assert max(len(line) for line in data.split(b"\r\n")) <= 75
    (event,) = read(data).values()
    assert (event.summary.value, event.description.value) == (long.title, long.description)


@given(st.text(max_size=80), st.text(max_size=300))
def test_any_text_survives_but_for_control_characters(title, description):
    event = CalendarEvent("a:b:2027", PLANT.day, title, description)
    data = written(event)
    assert max(len(line) for line in data.split(b"\r\n")) <= 75
    assert written(event, previous=data, now=LATER) == data
    assert not re.search(rb"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]", data)


def test_a_calendar_that_is_not_ours_is_left_alone(tmp_path):
    path = tmp_path / "work.ics"
    for content in (
        b"BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//someone//else//EN\r\nEND:VCALENDAR\r\n",
        b"no calendar at all",
        b"",
        b"\xff\xfe\x00",
        b"BEGIN:VEVENT\r\nEND:VEVENT\r\n",
    ):
        path.write_bytes(content)
        with pytest.raises(OtherCalendarError, match="no calendar of ours") as caught:
            write_calendar(path, [PLANT], calendar_id="abc", name="Yard", now=NOW)
        assert str(path) in str(caught.value)
        assert path.read_bytes() == content


def test_another_yards_calendar_is_left_alone(tmp_path):
    path = tmp_path / "work.ics"
    write_calendar(path, [PLANT], calendar_id="abc", name="Yard", now=NOW)
    before = path.read_bytes()
    with pytest.raises(OtherCalendarError, match="another yard"):
        write_calendar(path, [PLANT], calendar_id="xyz", name="Other", now=NOW)
    assert path.read_bytes() == before
    write_calendar(path, [PLANT, FEED], calendar_id="abc", name="Yard", now=LATER)
    assert len(read(path.read_bytes())) == 2


def test_a_folder_that_is_not_there_is_said(tmp_path):
    with pytest.raises(FileProblemError, match="can't be written"):
        write_calendar(
            tmp_path / "none" / "a.ics", [PLANT], calendar_id="abc", name="Yard", now=NOW
        )


def test_two_events_with_one_key_are_a_mistake():
    with pytest.raises(ValueError, match="plant:layer-1:2027"):
        written(PLANT, PLANT)


def as_fields(event):
    return {name: getattr(event, name) for name in event.__slots__}
