"""When something happened, as a note tells it: "since nine", "last night", "on the 3rd of May"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from stillroom.base.clock import WEEKDAYS
from stillroom.base.quantity import unit_for
from stillroom.reader.clock import Clock, ClockReader
from stillroom.reader.dates import DateReader, day_of
from stillroom.reader.figures import FigureReader
from stillroom.reader.pieces import Piece

_PARTS = {
    "morning": 8, "afternoon": 15, "evening": 19, "night": 21, "noon": 12, "midday": 12,
    "midnight": 0, "lunchtime": 12, "lunch": 12, "breakfast": 8, "teatime": 17, "dinner": 18,
    "supper": 19, "dawn": 6, "dusk": 20,
}  # fmt: skip
_SHORT_DAYS = {"mon": 0, "tue": 1, "tues": 1, "wed": 2, "weds": 2, "thu": 3, "thur": 3, "thurs": 3,
               "fri": 4, "sat": 5}  # fmt: skip
_BEFORE_DAY = {"on", "last", "since", "from", "this", "of"}
_TO_COME = {"for", "by", "until", "till", "next", "every", "each", "before", "come", "to"}
_CALENDAR = {"month": "months", "months": "months", "year": "years", "years": "years"}
_WHOLE_DAYS = {"day", "week", "fortnight", "month"}
_LONGEST_AGO = 6  # words between the number and "ago"
_MOST_H = 24 * 366 * 20.0
_SOON = timedelta(minutes=5)


class Times:
    """Finds the first moment in a stretch of words; every moment lies at or before ``now``."""

    def __init__(self, lows: Sequence[str], now: datetime, *, repair: bool = False) -> None:
        self.lows, self.now = lows, now
        self.clocks, self.dates = ClockReader(lows, repair=repair), DateReader(lows)

    def low(self, at: int) -> str:
        """The word at a place, empty outside."""
        return self.lows[at] if 0 <= at < len(self.lows) else ""

    def find(self, first: int, last: int) -> datetime | None:
        """The moment said between two tokens, or None."""
        day: datetime | None = None
        clock: Clock | None = None
        part, at = "", first
        while at <= last:
            ago = self._ago(at)
            if ago is not None:
                return ago
            said = self.dates.read(at)
            if said is not None:
                day, at = day or day_of(said, self.now), said.after
                continue
            day = day or (None if self._owns(at) else self._day(at))
            clock = clock or self.clocks.read(at)
            if not part and self.low(at) in _PARTS and self._timed(at):
                part = self.low(at)
            at += 1
        found = self._settle(day, clock, part)
        return found if found is None or found <= self.now + _SOON else None

    def _owns(self, at: int) -> bool:
        """Yesterday's plums, Monday's run: which ones are meant, not when."""
        return self.low(at + 1) in ("'s", "’s") or self.lows[at + 1 : at + 3] == ["night", "'s"]

    def _timed(self, at: int) -> bool:
        before = self.low(at - 1)
        if self.low(at) in ("noon", "midday", "midnight") and (
            before in ("about", "around", "by") or self.low(at + 1) in ("today", "yesterday", "on")
        ):
            return True
        return before in (
            "this", "last", "yesterday", "since", "at", "in", "the", *WEEKDAYS, *_SHORT_DAYS
        ) and (before != "the" or self.low(at - 2) == "in")  # fmt: skip

    # so long ago

    def _ago(self, at: int) -> datetime | None:
        """Two hours ago, a fortnight ago, two and a half hours or so ago, three months ago."""
        if self.low(at) != "ago":
            return None
        unit_at = at - 1
        if self.low(unit_at) == "so" and self.low(unit_at - 1) == "or":
            unit_at -= 2
        half = self.low(unit_at) == "half" and self.low(unit_at - 2) == "and"
        if half:  # "an hour and a half ago"
            unit_at -= 3
        number = self._number_before(unit_at)
        if number is None:
            return None
        number += 0.5 * half
        if self.low(unit_at) in _CALENDAR:
            return self._calendar_ago(number, _CALENDAR[self.low(unit_at)])
        unit = unit_for(self.low(unit_at))
        if unit is None or unit.dimension != "time" or number * unit.si > _MOST_H:
            return None
        return self._back(number * unit.si, whole=unit.id in _WHOLE_DAYS)

    def _number_before(self, unit_at: int) -> float | None:
        """The number that ends just before a unit."""
        first = max(0, unit_at - _LONGEST_AGO)
        reader = FigureReader([_piece(low) for low in self.lows[first : unit_at + 1]])
        for at in range(unit_at - first):
            figure = reader.read(at)
            if figure is not None and figure.after == unit_at - first:
                return figure.value
        return 1.0 if self.low(unit_at - 1) in ("a", "an") else None

    def _calendar_ago(self, number: float, unit: str) -> datetime | None:
        """So many months or years back, to the same day of the month where there is one."""
        months = round(number * (12 if unit == "years" else 1))
        if not 0 < months <= 240:
            return None
        from dateutil.relativedelta import relativedelta

        moment: datetime = self.now - relativedelta(months=months)
        return moment

    def _back(self, hours: float, *, whole: bool) -> datetime:
        """Hours back as they pass, whatever the clocks did between; days by the calendar."""
        if whole:
            return self.now - timedelta(hours=hours)
        moment = self.now.astimezone(UTC) - timedelta(hours=hours)
        return moment.astimezone().replace(tzinfo=None, fold=0)

    # days

    def _day(self, at: int) -> datetime | None:
        low = self.low(at)
        if low in ("today", "tonight") or (low == "this" and self.low(at + 1) in _PARTS):
            return self.now
        if low == "yesterday":
            back = 2 if self.low(at - 1) == "before" and self.low(at - 2) == "day" else 1
            return self.now - timedelta(days=back)
        if low == "last":
            return self._last(self.low(at + 1), self.low(at + 2))
        return self._weekday(at)

    def _last(self, word: str, after: str) -> datetime | None:
        """Last night, the night before last, last week, last month."""
        if word in ("night", "evening"):
            return self.now - timedelta(days=1)
        if word in ("week", "fortnight") and after not in ("'s", "of"):
            return self.now - timedelta(days=7 if word == "week" else 14)
        if word in ("month", "year") and after not in ("'s", "of"):
            return self._calendar_ago(1, _CALENDAR[word])
        return None

    def _weekday(self, at: int) -> datetime | None:
        """Tuesday, last Tuesday, a week last Tuesday; one to come tells no moment."""
        low, before = self.low(at), self.low(at - 1)
        index = WEEKDAYS.index(low) if low in WEEKDAYS else _SHORT_DAYS.get(low)
        if index is None or before in _TO_COME or self.low(at + 1) in ("'s", "week"):
            return None
        if low not in WEEKDAYS and before not in _BEFORE_DAY:
            return None
        back = (self.now.weekday() - index) % 7 or 7
        earlier = self.low(at - 2) if before in ("last", "on") else before
        back += {"week": 7, "fortnight": 14}.get(earlier, 0)
        return self.now - timedelta(days=back)

    # putting them together

    def _settle(self, day: datetime | None, clock: Clock | None, part: str) -> datetime | None:
        if clock is not None:
            return self._latest(day, self._hours(clock, part), clock.minute)
        if part:
            moment = (day or self.now).replace(hour=_PARTS[part], minute=0, second=0, microsecond=0)
            return moment if day or moment <= self.now else moment - timedelta(days=1)
        if day and day.date() != self.now.date():
            return day.replace(hour=12, minute=0, second=0, microsecond=0)
        return None

    def _hours(self, clock: Clock, part: str) -> list[int]:
        """The hours of the day that a clock can mean."""
        hour = clock.hour
        if clock.half in ("am", "pm") and hour <= 12:
            return [hour % 12 + (12 if clock.half == "pm" else 0)]
        if part in ("morning", "breakfast", "dawn") or hour > 12:
            return [hour]
        if part in ("afternoon", "evening", "night"):
            return [hour % 12 + 12]
        return [hour % 24, (hour + 12) % 24]

    def _latest(self, day: datetime | None, hours: Sequence[int], minute: int) -> datetime:
        days = [day] if day else [self.now, self.now - timedelta(days=1)]
        moments = [
            _existing(one.replace(hour=hour, minute=minute, second=0, microsecond=0))
            for one in days
            for hour in hours
        ]
        past = [moment for moment in moments if moment <= self.now + _SOON]
        if day is not None and day.date() != self.now.date():
            return min(moments) if min(hours) >= 5 or len(hours) == 1 else max(moments)
        return max(past) if past else min(moments)


def _existing(moment: datetime) -> datetime:
    """The same clock time, moved on where the clocks skipped it in spring.

    Which fold moves a skipped time on differs between Python 3.11 and later, so the later is taken.
    """
    both = (moment.replace(fold=fold).astimezone() for fold in (0, 1))
    return max(one.replace(tzinfo=None, fold=0) for one in both)


def _piece(low: str) -> Piece:
    kind = "num" if re.match(r"\.?\d", low) else "frac" if low in "½¼¾⅓⅔⅛" else "word"
    return Piece(kind, low, low, 0, 0)
