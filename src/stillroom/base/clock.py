"""The clock is an argument: everything that needs the time is given ``now``."""

from __future__ import annotations

from datetime import datetime

from stillroom.base.problem import Problem, ProblemError

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
"""Each at its number in ``datetime.weekday``."""


def local_now() -> datetime:
    """The wall clock, local and without a zone, as a cook reads it."""
    return datetime.now().astimezone().replace(tzinfo=None, microsecond=0)


def parse_now(text: str) -> datetime:
    """The moment that ``--now`` names.

    Raises:
        ProblemError: the text is not an ISO date and time.

    >>> parse_now("2026-08-14T09:00:00")
    datetime.datetime(2026, 8, 14, 9, 0)
    """
    try:
        moment = datetime.fromisoformat(text)
    except ValueError as error:
        raise ProblemError(
            Problem(
                name="bad-now",
                text=f"--now {text!r} is not a date and time.",
                remedy="Write it like 2026-08-14T09:00:00.",
            )
        ) from error
    if moment.tzinfo is not None:
        moment = moment.astimezone().replace(tzinfo=None)
    return moment
