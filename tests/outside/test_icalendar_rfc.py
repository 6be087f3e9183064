"""Calendar files against the examples that RFC 5545 (September 2009) prints."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import vobject

from bloomline.files.ical import CalendarEvent, calendar_bytes

NOW = datetime(2007, 1, 1, tzinfo=UTC)


def written(**fields):
    event = {"key": "a:b:2007", "day": date(2007, 6, 28), "title": "", "description": ""}
    made = CalendarEvent(**{**event, **fields})
    return calendar_bytes([made], calendar_id="abc", name="RFC", now=NOW)


def test_folding_of_section_3_1():
    """The section's long description, and the folded form it prints, say the same."""
    long = "This is a long description that exists on a long line."
    folded = b"DESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line.\r\n"
    data = written(description=long)
    line = b"DESCRIPTION:" + long.encode() + b"\r\n"
    assert line in data  # 66 octets need no fold
    assert len(line.rstrip()) <= 75
    by_hand = data.replace(line, folded)
    assert vobject.readOne(by_hand.decode()).vevent.description.value == long
    # Read as the earlier export, the folded form is no change: the file stays as it was.
    again = calendar_bytes(
        [CalendarEvent("a:b:2007", date(2007, 6, 28), "", long)],
        calendar_id="abc",
        name="RFC",
        now=NOW + timedelta(days=1),
        previous=by_hand,
    )
    assert again == data


def test_text_of_section_3_3_11():
    """A line break is written as backslash n; comma, semicolon, backslash are escaped."""
    text = "Project XYZ Final Review\nConference Room - 3B\nCome Prepared."
    data = written(description=text).replace(b"\r\n ", b"")
    assert rb"DESCRIPTION:Project XYZ Final Review\nConference Room - 3B\nCome Prepared." in data
    data = written(title="a, b; c \\ d: e").replace(b"\r\n ", b"")
    assert rb"SUMMARY:a\, b\; c \\ d: e" in data
    assert vobject.readOne(data.decode()).vevent.summary.value == "a, b; c \\ d: e"


def test_days_of_section_3_6_1():
    """An event of whole days ends on the day after its last: DTEND is non-inclusive.

    The section's festival runs from 28 June to 8 July 2007 and ends on DTEND 20070709.
    """
    data = written(title="Festival")
    assert b"DTSTART;VALUE=DATE:20070628\r\n" in data
    assert b"DTEND;VALUE=DATE:20070629\r\n" in data
    assert b"TRANSP:TRANSPARENT\r\n" in data


def test_properties_of_sections_3_7_and_3_8():
    """PRODID and VERSION once (3.7.3, 3.7.4); UID, DTSTAMP in UTC, SEQUENCE (3.8.4.7, 3.8.7)."""
    data = written(categories=("APPOINTMENT", "EDUCATION"))
    for line, times in ((b"\r\nVERSION:2.0\r\n", 1), (b"\r\nPRODID:", 1), (b"\r\nUID:", 1)):
        assert data.count(line) == times
    assert b"\r\nDTSTAMP:20070101T000000Z\r\n" in data
    assert b"\r\nSEQUENCE:0\r\n" in data
    assert b"\r\nCATEGORIES:APPOINTMENT,EDUCATION\r\n" in data  # the example of 3.8.1.2
    assert data.startswith(b"BEGIN:VCALENDAR\r\n")


def test_recurrence_of_section_3_8_5_3():
    """UNTIL has the type of DTSTART: a date for days (section 3.3.10)."""
    data = written(repeat_days=10, until=date(2007, 8, 1)).replace(b"\r\n ", b"")
    assert b"RRULE:FREQ=DAILY;UNTIL=20070801;INTERVAL=10\r\n" in data
