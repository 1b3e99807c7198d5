"""Calendar dates in a note: "the 3rd of September", "Sept 12", "2026-09-03", "on the 12th".

Finding the words of a date is done here and costs no import; what they mean is left to dateutil,
which is loaded only for a note that has such words.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cache

_MONTHS = {
    "january", "jan", "february", "feb", "march", "mar", "april", "apr", "may", "june", "jun",
    "july", "jul", "august", "aug", "september", "sept", "sep", "october", "oct", "november",
    "nov", "december", "dec",
}  # fmt: skip
_VERBS = {"may", "march", "mar"}
_ORDINALS = [
    "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
    "eleventh", "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth",
    "eighteenth", "nineteenth", "twentieth",
]  # fmt: skip
_SUFFIXES = {"st", "nd", "rd", "th"}
_ON = {"on", "since", "from", "dated", "of", "until", "till", "by", "before", "after", "and"}
_NOT_YET = {"by", "until", "till", "before", "for", "use", "best", "due", "next", "expires"}
_THINGS = {
    "tray", "trays", "day", "days", "batch", "batches", "jar", "jars", "shelf", "rack", "load",
    "lot", "bag", "time", "one", "row", "floor", "week", "go", "run", "crop", "picking",
}  # fmt: skip
_KITCHEN_PARTS = {"2", "3", "4", "8", "16"}
_JOINTS = {"-", "/", "–"}
_YEARS_BACK = 5
_WRITTEN = re.compile(
    r"(19|20)\d\d([-/])\d{1,2}\2\d{1,2}|\d{1,2}([-/.])\d{1,2}\3((19|20)\d\d|\d\d)"
)


@dataclass(frozen=True, slots=True)
class SaidDate:
    """A date in the words of a note, from ``first`` up to but not including ``after``.

    ``text`` is what dateutil is given: with a year, with day and month, or with a day alone.
    """

    first: int
    after: int
    text: str
    parts: int
    ahead: bool = False


class DateReader:
    """Finds dates among the words of one note."""

    def __init__(self, lows: Sequence[str]) -> None:
        self.lows = lows

    def low(self, at: int) -> str:
        """The word at a place, empty outside."""
        return self.lows[at] if 0 <= at < len(self.lows) else ""

    def read(self, at: int) -> SaidDate | None:
        """The date that begins at a place, or None."""
        low = self.low(at)
        if low in _MONTHS:
            found = self._month_first(at)
        elif low[:1].isdigit():
            found = self._written(at) or self._day_first(at)
        elif low in _ORDINALS or low in ("twenty", "thirty"):
            found = self._day_first(at)
        else:
            found = None
        if found is None:
            return None
        before = self.low(at - 2) if self.low(at - 1) == "the" else self.low(at - 1)
        return SaidDate(at, found.after, found.text, found.parts, before in _NOT_YET)

    def _day(self, at: int) -> tuple[int, int, bool] | None:
        """A day of the month, the place after it, and whether it was said as an ordinal."""
        low = self.low(at)
        if low.isdecimal() and len(low) < 3 and 1 <= int(low) <= 31:
            suffixed = self.low(at + 1) in _SUFFIXES
            return int(low), at + 1 + suffixed, suffixed
        if low in _ORDINALS:
            return _ORDINALS.index(low) + 1, at + 1, True
        if low == "thirtieth":
            return 30, at + 1, True
        if low in ("twenty", "thirty") and self.low(at + 1) in _ORDINALS[:9]:
            day = (20 if low == "twenty" else 30) + _ORDINALS.index(self.low(at + 1)) + 1
            return (day, at + 2, True) if day < 32 else None
        return None

    def _year(self, at: int) -> tuple[str, int]:
        """A year of four figures and the place after it."""
        place = at + 1 if self.low(at) == "," else at
        low = self.low(place)
        return (low, place + 1) if re.fullmatch(r"(19|20)\d\d", low) else ("", at)

    def _day_first(self, at: int) -> SaidDate | None:
        """12 Sept, the 3rd of September, on the 12th."""
        day = self._day(at)
        if day is None:
            return None
        number, after, ordinal = day
        place = after + 1 if self.low(after) == "of" else after
        month = self.low(place)
        if month in _MONTHS and (month not in _VERBS or ordinal or not self._acting(place)):
            year, end = self._year(self._dotted(place))
            return SaidDate(at, end, f"{number} {month} {year}".strip(), 3 if year else 2)
        alone = ordinal and self.low(at)[:1].isdigit() and self.low(at - 1) == "the"
        if alone and self.low(at - 2) in _ON and self.low(after) not in _THINGS:
            return SaidDate(at, after, str(number), 1)
        return None

    def _acting(self, at: int) -> bool:
        """I may, we march: a month's name that is a verb here."""
        return self.low(at) == "may" and self.low(at - 1) in ("i", "we", "they", "you", "it")

    def _dotted(self, at: int) -> int:
        """The place after a month's name and the full stop that shortens it."""
        short = self.low(at + 1) == "." and len(self.low(at)) < 5 and self.low(at) != "may"
        return at + 1 + short

    def _month_first(self, at: int) -> SaidDate | None:
        """Sept 12, September the 3rd."""
        month = self.low(at)
        place = self._dotted(at)
        place += self.low(place) == "the"
        day = self._day(place)
        if day is None:
            return None
        number, after, ordinal = day
        if not ordinal and (self._acting(at) or self._measured(after)):
            return None
        if month in _VERBS and not ordinal and self.low(at - 1) not in _ON | {"", ",", ".", "\n"}:
            return None
        year, end = self._year(after)
        return SaidDate(at, end, f"{number} {month} {year}".strip(), 3 if year else 2)

    def _measured(self, at: int) -> bool:
        """Whether a number is an amount: "in March 3 kg", "Sept 12 trays"."""
        if self.low(at) == ":":
            return bool(re.fullmatch(r"[0-5]\d", self.low(at + 1)))
        return self.low(at) in _units() or self.low(at) in _THINGS or self.low(at) in ("%", "°")

    def _written(self, at: int) -> SaidDate | None:
        """2026-09-03, 03/09/2026, 3.9.2026, on 13/9."""
        low = self.low(at)
        if "/" not in low and "." not in low and self.low(at + 1) not in _JOINTS:
            return None
        for size in (2, 3, 5):
            text = "".join(self.low(place) for place in range(at, at + size))
            if self.low(at + size - 1) and _WRITTEN.fullmatch(text):
                return SaidDate(at, at + size, text, 3)
        if re.fullmatch(r"\d{1,2}/\d{1,2}", low) and self.low(at - 1) in ("on", "since", "dated"):
            top, bottom = low.split("/")
            part = int(top) < int(bottom) and bottom in _KITCHEN_PARTS
            if not part and not self._measured(at + 1):
                return SaidDate(at, at + 1, f"{top}/{bottom}", 2)
        return None


@cache
def _units() -> frozenset[str]:
    from stillroom.base.quantity import unit_words

    return frozenset(unit_words())


def day_of(said: SaidDate, now: datetime) -> datetime | None:
    """The day that a date means, at the hour of ``now``: the newest one not after now.

    "03/09/2026" is read both ways round where both are days; the one nearer before now is
    meant, because notes tell of the season at hand.

    Returns:
        None where no such day is past, and for a day that is only looked ahead to.
    """
    if said.ahead:
        return None
    if said.parts == 1:
        return _in_month(int(said.text), now)
    texts = [said.text] if said.parts == 3 else [
        f"{said.text}{'/' if '/' in said.text else ' '}{now.year - back}"
        for back in range(_YEARS_BACK)
    ]  # fmt: skip
    days = [day for text in texts for day in _parsed(text, now)]
    past = [day for day in days if day <= now]
    return max(past) if past else None


def _parsed(text: str, now: datetime) -> list[datetime]:
    """What a full date can mean, day first and month first."""
    from dateutil.parser import ParserError, parse

    out: list[datetime] = []
    for dayfirst in (False,) if text[:4].isdecimal() else (True, False):
        try:
            out.append(parse(text, dayfirst=dayfirst, default=now))
        except (ParserError, OverflowError):
            continue
    return out


def _in_month(day: int, now: datetime) -> datetime | None:
    """The 12th, said alone: of this month or of the last one that has it."""
    from dateutil.relativedelta import relativedelta

    months: Iterator[datetime] = (now + relativedelta(months=-back, day=day) for back in range(3))
    return next((moment for moment in months if moment.day == day and moment <= now), None)
