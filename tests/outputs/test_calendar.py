"""The calendar, read back with the library that wrote it and with vobject, a second one."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar

from stillroom.base.problem import ProblemError
from stillroom.outputs.calendar import calendar_bytes, uid_for, write_calendar

NOW = datetime(2026, 8, 14, 9, 0, tzinfo=UTC)
DUE: list[dict[str, Any]] = [
    {"at": "2026-08-14", "what": "shake", "batch": "plum-1"},
    {"at": "2026-08-15", "what": "shake", "batch": "plum-1"},
    {"at": "2026-08-15", "what": "pack", "batch": "plum-1"},
    {"at": "2026-08-16T14:00:00", "what": "check-dryness", "batch": "tomato-2"},
    {"at": "2026-08-16T18:00:00", "what": "check-dryness", "batch": "tomato-2"},
    {"at": "2026-12-01", "what": "eat-by", "batch": "beet-1"},
    {"at": "2026-12-09", "what": "eat-by", "batch": "beet-1"},
]
SAID = [f'Number {n}; "schnell", süß, and a comma, too.\nSecond line' for n in range(7)]


def events(data: bytes) -> dict[str, Any]:
    found = Calendar.from_ical(data)
    return {str(event["uid"]): event for event in found.walk("VEVENT")}


def test_icalendar_reads_every_event_back() -> None:
    found = events(calendar_bytes(DUE, NOW, SAID))
    assert len(found) == len(DUE)
    for item, said, event in zip(DUE, SAID, found.values(), strict=True):
        day = date.fromisoformat(item["at"][:10])
        assert event["dtstart"].dt == day
        assert event["dtend"].dt == day + timedelta(days=1)
        assert str(event["summary"]) == f"{item['what']} {item['batch']}"
        assert str(event["description"]) == said
        assert event["dtstamp"].dt == NOW


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_a_second_library_reads_the_same() -> None:
    vobject = pytest.importorskip("vobject")
    data = calendar_bytes(DUE, NOW, SAID)
    found = vobject.readOne(data.decode()).vevent_list
    assert [event.uid.value for event in found] == list(events(data))
    assert [event.dtstart.value for event in found] == [
        date.fromisoformat(item["at"][:10]) for item in DUE
    ]
    assert [event.description.value for event in found] == SAID


def test_file_keeps_the_line_rules_of_rfc_5545() -> None:
    """Lines end with CR LF and are at most 75 octets (RFC 5545, 3.1)."""
    data = calendar_bytes(DUE, NOW, ["é" * 200] * 7)
    lines = data.split(b"\r\n")
    assert lines[0] == b"BEGIN:VCALENDAR"
    assert lines[-2:] == [b"END:VCALENDAR", b""]
    assert all(len(line) <= 75 and b"\n" not in line for line in lines)
    assert b"VERSION:2.0" in lines
    assert any(line.startswith(b"PRODID:") for line in lines)


def test_uids_are_unique_and_the_same_when_written_again() -> None:
    one = events(calendar_bytes(DUE, NOW, SAID))
    two = events(calendar_bytes(DUE, NOW + timedelta(days=1), SAID))
    assert list(one) == list(two)
    assert len(set(one)) == len(DUE)


def test_a_thing_that_moves_keeps_its_uid_and_a_recurring_one_goes_by_its_day() -> None:
    moved = [{**item, "at": "2027-01-01"} for item in DUE]
    assert uid_for(DUE[2]) == uid_for(moved[2])
    assert uid_for(DUE[5]) == uid_for(moved[5])
    assert uid_for(DUE[0]) != uid_for(moved[0])


def test_a_later_file_updates_an_earlier_one() -> None:
    """What a calendar does that takes both in: by UID, the newer stamp wins (RFC 5545, 3.8.7)."""
    later = [{**DUE[2], "at": "2026-08-20"}]
    old = events(calendar_bytes(DUE, NOW, SAID))
    new = events(calendar_bytes(later, NOW + timedelta(days=2), ["Pack plum-1."]))
    (uid,) = new
    assert uid in old
    assert new[uid]["dtstamp"].dt > old[uid]["dtstamp"].dt
    assert {**old, **new}[uid]["dtstart"].dt == date(2026, 8, 20)


def test_stamp_is_in_utc_whatever_the_cooks_clock() -> None:
    local = NOW.astimezone().replace(tzinfo=None)
    (first, *_) = events(calendar_bytes(DUE, local, SAID)).values()
    assert first["dtstamp"].dt == NOW
    assert b"DTSTAMP:20260814T090000Z" in calendar_bytes(DUE, local, SAID)


def test_nothing_due_is_a_calendar_without_events() -> None:
    assert events(calendar_bytes([], NOW, [])) == {}


def test_file_holds_the_same_bytes(tmp_path: Path) -> None:
    write_calendar(tmp_path / "due.ics", DUE, NOW, SAID)
    assert (tmp_path / "due.ics").read_bytes() == calendar_bytes(DUE, NOW, SAID)


def test_a_place_that_cannot_be_written_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(ProblemError, match="Cannot be written"):
        write_calendar(tmp_path / "no" / "due.ics", DUE, NOW, SAID)
