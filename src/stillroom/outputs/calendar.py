"""What is due as iCalendar (RFC 5545). UIDs are stable, so that taking it in again updates."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

from stillroom.outputs.sheets import cannot_write


def uid_for(item: Mapping[str, Any]) -> str:
    """The identity of a due thing: the same for the same thing on the same day.

    >>> uid_for({"at": "2026-08-14", "what": "shake", "batch": "tomato-1"})
    'shake-tomato-1-20260814@stillroom'
    """
    day = str(item["at"])[:10].replace("-", "")
    return f"{item['what']}-{item['batch']}-{day}@stillroom"


def calendar_bytes(
    due: Sequence[Mapping[str, Any]], now: datetime, sentences: Sequence[str]
) -> bytes:
    """An iCalendar file of all-day events.

    Args:
        due: due things (``at`` ISO date, ``what``, ``batch``).
        now: when the file is made.
        sentences: what to do, one a due thing.
    """
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", "-//stillroom//due//EN")
    calendar.add("version", "2.0")
    for item, sentence in zip(due, sentences, strict=True):
        day = date.fromisoformat(str(item["at"])[:10])
        event = Event()
        event.add("uid", uid_for(item))
        event.add("dtstamp", now)
        event.add("dtstart", day)
        event.add("dtend", day + timedelta(days=1))
        event.add("summary", f"{item['what']} {item['batch']}")
        event.add("description", sentence)
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    found: bytes = calendar.to_ical()
    return found


def write_calendar(
    path: Path, due: Sequence[Mapping[str, Any]], now: datetime, sentences: Sequence[str]
) -> None:
    """Write the calendar to a file.

    Raises:
        ProblemError: the file cannot be written.
    """
    try:
        path.write_bytes(calendar_bytes(due, now, sentences))
    except OSError as error:
        raise cannot_write(path, error) from error
