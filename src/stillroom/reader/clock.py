"""The time of day as a note tells it: "half past eight", "at 9.30", "quarter to six"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from stillroom.reader.spoken import small_number

_LEADS = {"at", "since", "from", "about", "around", "started", "by", "before", "after", "roughly",
          "on", "past", "just", "till", "until"}  # fmt: skip
_SURE = {"started", "in", "on", "going", "start", "gone", "yesterday", "loaded", "running", "out",
         "off"}  # fmt: skip
_NOT_CLOCK = {"°", "degrees", "c", "f", "lb", "kg", "g", "oz", "percent", "%", "trays", "tray",
              "hours", "hour", "jars", "mm", "pounds", "kilos", "racks", "minutes",
              "days"}  # fmt: skip
_ENDS = {"", ".", ",", "!", "not", "and", "this", "in", "instead"}
_MINUTES = {"five": 5, "ten": 10, "quarter": 15, "twenty": 20, "half": 30, "5": 5, "10": 10,
            "15": 15, "20": 20, "25": 25}  # fmt: skip
_SPOKEN_MINUTES = {"fifteen", "thirty", "twenty", "forty", "fifty", "ten"}


@dataclass(frozen=True, slots=True)
class Clock:
    """A time of day; ``half`` is am, pm, o (o'clock) or empty; ``after`` is the next place."""

    hour: int
    minute: int
    half: str
    after: int


class ClockReader:
    """Finds times of day among the words of one note."""

    def __init__(self, lows: Sequence[str], *, repair: bool = False) -> None:
        self.lows = lows
        self.repair = repair  # "no, at seven": nothing else is put right by a bare hour

    def low(self, at: int) -> str:
        """The word at a place, empty outside."""
        return self.lows[at] if 0 <= at < len(self.lows) else ""

    def read(self, at: int) -> Clock | None:
        """The time of day that begins at a place, or None."""
        low = self.low(at)
        if not (low[:1].isdigit() or low in _MINUTES or small_number(low) is not None):
            return None
        return self._past_or_to(at) or self._half_nine(at) or self._hour(at)

    def _past_or_to(self, at: int) -> Clock | None:
        """Half past eight, a quarter to six, ten past nine, twenty five to seven."""
        minutes = _MINUTES.get(self.low(at))
        if minutes is None:
            return None
        place = at + 1
        if minutes == 20 and self.low(place) == "five":
            minutes, place = 25, place + 1
        place += self.low(place) in ("minutes", "min")
        joint, hour = self.low(place), small_number(self.low(place + 1))
        half = self.low(at) in ("half", "quarter")
        if joint not in ("past", "to", "after") or not hour or hour > 12 or hour != int(hour):
            return None
        if self.low(place + 2) in _NOT_CLOCK or (
            joint != "past" and not half and not self._led(at)
        ):
            return None
        total = int(hour) * 60 + (-minutes if joint == "to" else minutes)
        return Clock(total // 60 % 24, total % 60, self._half(place + 2), place + 2)

    def _half_nine(self, at: int) -> Clock | None:
        """Since half nine: half past nine, as it is said in Britain and Ireland."""
        hour = small_number(self.low(at + 1))
        if self.low(at) != "half" or not hour or hour > 12 or not self._led(at):
            return None
        if self.low(at + 2) in _NOT_CLOCK:
            return None
        return Clock(int(hour), 30, self._half(at + 2), at + 2)

    def _led(self, at: int) -> bool:
        before = (
            self.low(at - 2) if self.low(at - 1) in ("a", "about", "around") else self.low(at - 1)
        )
        return before in _LEADS

    def _hour(self, at: int) -> Clock | None:
        """9.30, 21:15, nine o'clock, nine thirty in the morning, since nine."""
        dotted = re.fullmatch(r"(\d{1,2})\.([0-5]\d)", self.low(at))
        if dotted:
            hour, minute, after, written = int(dotted[1]), int(dotted[2]), at + 1, False
        else:
            found = small_number(self.low(at))
            if found is None or found != int(found):
                return None
            hour, (minute, after, written) = int(found), self._minute(at + 1)
        if hour > 23:
            return None
        half = self._half(after)
        if half and half != "o" and hour > 12:
            half = ""
        # "at one thirty" is heat more often than a clock, so a spoken time needs more than that.
        if not written and not half and not self._stands(at, after):
            return None
        return Clock(hour, minute, half, after)

    def _minute(self, after: int) -> tuple[int, int, bool]:
        """Minutes said after an hour, the place after them, whether they were written."""
        if self.low(after) == ":" and re.fullmatch(r"[0-5]\d", self.low(after + 1)):
            return int(self.low(after + 1)), after + 2, True
        if self.low(after) in _SPOKEN_MINUTES:
            minute, place = int(small_number(self.low(after)) or 0), after + 1
            rest = small_number(self.low(place)) or 0
            if minute >= 20 and 0 < rest < 10 and self.low(place).isalpha():
                return minute + int(rest), place + 1, False
            return minute, place, False
        return 0, after, False

    def _half(self, at: int) -> str:
        """Morning or afternoon, from the words after the hour."""
        low, after, beyond = self.low(at), self.low(at + 1), self.low(at + 2)
        if low in ("am", "pm"):
            return low
        if low in ("a", "p") and after == "m":
            return low + "m"
        if low in ("o'clock", "oclock"):
            return self._half(at + 1) or "o"
        if (low, after) == ("this", "morning") or (low == "in" and beyond == "morning"):
            return "am"
        if (low, after) in (
            ("last", "night"),
            ("this", "evening"),
            ("this", "afternoon"),
            ("at", "night"),
        ):
            return "pm"
        return (
            "pm" if low == "tonight" or (low == "in" and beyond in ("evening", "afternoon")) else ""
        )

    def _stands(self, at: int, after: int) -> bool:
        """A bare hour counts as a clock only after since, from, started at."""
        before, behind = self.low(at - 1), self.low(after)
        if behind in _NOT_CLOCK or before not in _LEADS:
            return False
        if self.repair and before in ("at", "since", "from") and behind in _ENDS:
            return True
        return before in ("since", "started") or self.low(at - 2) in _SURE
