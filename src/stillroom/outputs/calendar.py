"""What is due as iCalendar (RFC 5545). UIDs are stable, so that taking it in again updates.

What happens once to a batch (pack, label, eat by …) keeps its UID when its day moves. What comes
again and again (shake, look, top up brine) is known by its day as well.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

from stillroom.outputs.sheets import cannot_write

RECURRING = frozenset({"shake", "check-dryness", "refresh-brine"})


def uid_for(item: Mapping[str, Any], number: int = 1) -> str:
    """The identity of a due thing.

    Args:
        item: the due thing.
        number: 2 for the second of its kind of the same batch (on the same day, if recurring).

    >>> uid_for({"at": "2026-08-14", "what": "shake", "batch": "tomato-1"})
    'shake-tomato-1-20260814@stillroom'
    >>> uid_for({"at": "2027-02-14", "what": "eat-by", "batch": "tomato-1"}, 2)
    'eat-by-tomato-1-no2@stillroom'
    """
    name = f"{item['what']}-{item['batch']}"
    if item["what"] in RECURRING:
        name += "-" + str(item["at"])[:10].replace("-", "")
    return f"{name}@stillroom" if number == 1 else f"{name}-no{number}@stillroom"


def calendar_bytes(
    due: Sequence[Mapping[str, Any]], now: datetime, sentences: Sequence[str]
) -> bytes:
    """An iCalendar file of all-day events.

    Args:
        due: due things (``at`` ISO date, ``what``, ``batch``).
        now: when the file is made; local when it has no zone.
        sentences: what to do, one a due thing.
    """
    from icalendar import Calendar, Event

    calendar = Calendar()
    calendar.add("prodid", "-//stillroom//due//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", "Stillroom")
    made = now.astimezone(UTC)  # the standard wants this one in UTC
    seen: Counter[str] = Counter()
    for item, sentence in zip(due, sentences, strict=True):
        day = date.fromisoformat(str(item["at"])[:10])
        event = Event()
        seen[uid_for(item)] += 1
        event.add("uid", uid_for(item, seen[uid_for(item)]))
        event.add("dtstamp", made)
        event.add("last-modified", made)
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
