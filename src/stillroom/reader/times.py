"""When something happened, as a note tells it: "since nine", "last night", "yesterday at noon"."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from stillroom.reader.figures import small_number

_PARTS = {
    "morning": 8, "afternoon": 15, "evening": 19, "night": 21, "noon": 12, "midday": 12,
    "midnight": 0, "lunchtime": 12, "lunch": 12, "breakfast": 8, "teatime": 17, "dinner": 18,
    "supper": 19, "dawn": 6, "dusk": 20,
}  # fmt: skip
_WEEKDAYS = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]
_LEADS = {
    "at",
    "since",
    "from",
    "about",
    "around",
    "started",
    "by",
    "before",
    "after",
    "roughly",
    "on",
}
_AGO = {
    "hour": 1,
    "hours": 1,
    "day": 24,
    "days": 24,
    "week": 168,
    "weeks": 168,
    "minutes": 1 / 60,
    "minute": 1 / 60,
}
_NOT_CLOCK = {
    "°",
    "degrees",
    "c",
    "f",
    "lb",
    "kg",
    "g",
    "oz",
    "percent",
    "%",
    "trays",
    "tray",
    "hours",
    "hour",
    "jars",
    "mm",
}


class Times:
    """Finds the first moment in a stretch of words; every moment lies at or before ``now``."""

    def __init__(self, lows: Sequence[str], now: datetime) -> None:
        self.lows, self.now = lows, now

    def low(self, at: int) -> str:
        """The word at a place, empty outside."""
        return self.lows[at] if 0 <= at < len(self.lows) else ""

    def find(self, first: int, last: int) -> datetime | None:
        """The moment said between two tokens, or None."""
        day: datetime | None = None
        clock: tuple[int, int, str] | None = None
        part = ""
        for at in range(first, last + 1):
            ago = self._ago(at)
            if ago is not None:
                return ago
            day = day or self._day(at)
            clock = clock or self._clock(at, last)
            if not part and self.low(at) in _PARTS and self._timed(at):
                part = self.low(at)
        return self._settle(day, clock, part)

    def _timed(self, at: int) -> bool:
        before = self.low(at - 1)
        return before in ("this", "last", "yesterday", "since", "at", "in", "the", *_WEEKDAYS) and (
            before != "the" or self.low(at - 2) == "in"
        )

    def _ago(self, at: int) -> datetime | None:
        if self.low(at) != "ago" or self.low(at - 1) not in _AGO:
            return None
        number = 1.0 if self.low(at - 2) in ("a", "an") else small_number(self.low(at - 2))
        if number is None or number > 400:
            return None
        return self.now - timedelta(hours=number * _AGO[self.low(at - 1)])

    def _day(self, at: int) -> datetime | None:
        low = self.low(at)
        if low in ("today", "tonight") or (low == "this" and self.low(at + 1) in _PARTS):
            return self.now
        if low == "yesterday":
            back = 2 if self.low(at - 1) == "before" and self.low(at - 2) == "day" else 1
            return self.now - timedelta(days=back)
        if low == "last" and self.low(at + 1) in ("night", "evening"):
            return self.now - timedelta(days=1)
        if low in _WEEKDAYS and self.low(at - 1) in ("on", "last", "since", "from", "this", "of"):
            back = (self.now.weekday() - _WEEKDAYS.index(low)) % 7 or 7
            return self.now - timedelta(days=back)
        return None

    def _clock(self, at: int, last: int) -> tuple[int, int, str] | None:
        low = self.low(at)
        if low in ("half", "quarter") and self.low(at + 1) in ("past", "to"):
            hour = small_number(self.low(at + 2))
            if hour is None or hour > 23:
                return None
            minutes = 30 if low == "half" else 15
            total = int(hour) * 60 + (minutes if self.low(at + 1) == "past" else -minutes)
            return total // 60 % 24, total % 60, self._half(at + 3)
        hour = small_number(low)
        if hour is None or hour != int(hour) or hour > 23 or at > last:
            return None
        after = at + 1
        minute = 0
        written = self.low(after) == ":" and self.low(after + 1).isdecimal()
        if written:
            minute, after = int(self.low(after + 1)[:2]) % 60, after + 2
        elif self.low(after) in ("thirty", "fifteen", "twenty"):
            minute, after = int(small_number(self.low(after)) or 0), after + 1
        half = self._half(after)
        # "at one thirty" is heat more often than a clock, so a spoken time needs more than that.
        if not written and not half and not self._stands(at, after):
            return None
        return int(hour), minute, half

    def _half(self, at: int) -> str:
        low = self.low(at)
        if low in ("am", "pm"):
            return low
        if low in ("o'clock", "oclock"):
            return self._half(at + 1) or "o"
        if (low == "this" and self.low(at + 1) == "morning") or (
            low == "in" and self.low(at + 2) == "morning"
        ):
            return "am"
        if (low == "last" and self.low(at + 1) == "night") or (
            low == "in" and self.low(at + 2) in ("evening", "afternoon")
        ):
            return "pm"
        return ""

    def _stands(self, at: int, after: int) -> bool:
        """A bare hour counts as a clock only after since, from, started at."""
        before, behind = self.low(at - 1), self.low(after)
        if behind in _NOT_CLOCK or before not in _LEADS:
            return False
        return before in ("since", "started") or self.low(at - 2) in (
            "started",
            "in",
            "on",
            "going",
            "start",
            "gone",
            "yesterday",
            "loaded",
        )

    def _settle(
        self, day: datetime | None, clock: tuple[int, int, str] | None, part: str
    ) -> datetime | None:
        if clock is None:
            if part:
                base = day or self.now
                return base.replace(hour=_PARTS[part], minute=0, second=0, microsecond=0)
            return (
                day.replace(hour=12, minute=0, second=0, microsecond=0)
                if day and day.date() != self.now.date()
                else None
            )
        hour, minute, half = clock
        if half in ("am", "pm") and hour <= 12:
            hours = [hour % 12 + (12 if half == "pm" else 0)]
        elif part in ("morning", "breakfast", "dawn") or hour > 12:
            hours = [hour]
        elif part in ("afternoon", "evening", "night"):
            hours = [hour % 12 + 12]
        else:
            hours = [hour % 24, (hour + 12) % 24]
        return self._latest(day, hours, minute)

    def _latest(self, day: datetime | None, hours: Sequence[int], minute: int) -> datetime:
        days = [day] if day else [self.now, self.now - timedelta(days=1)]
        moments = [
            one.replace(hour=hour, minute=minute, second=0, microsecond=0)
            for one in days
            for hour in hours
        ]
        past = [moment for moment in moments if moment <= self.now + timedelta(minutes=5)]
        if day is not None and day.date() != self.now.date():
            return min(moments) if min(hours) >= 5 or len(hours) == 1 else max(moments)
        return max(past) if past else min(moments)
