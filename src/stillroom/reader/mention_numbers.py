"""Numbers in a note and what they measure: hours, degrees, per cent; in digits or as spoken."""

from __future__ import annotations

from dataclasses import dataclass

from stillroom.reader.mention_spoken import number_at, text_at
from stillroom.reader.mention_words import Token, forms
from stillroom.reader.spoken import ONES

_HOURS = {
    "second": 1 / 3600, "minute": 1 / 60, "min": 1 / 60, "hour": 1.0, "hr": 1.0, "h": 1.0,
    "day": 24.0, "night": 12.0, "week": 168.0, "fortnight": 336.0, "month": 730.0, "year": 8760.0,
    "yr": 8760.0, "wk": 168.0, "hrs": 1.0, "wks": 168.0, "yrs": 8760.0, "sec": 1 / 3600,
    "secs": 1 / 3600,
}  # fmt: skip
_HOUR_PHRASES: dict[str, tuple[tuple[tuple[str, ...], float], ...]] = {
    "overnight": (((), 10.0),),
    "over": ((("night",), 10.0), (("the", "weekend"), 48.0)),
    "all": (
        (("night",), 10.0), (("day",), 10.0), (("afternoon",), 5.0), (("morning",), 4.0),
        (("evening",), 4.0), (("weekend",), 48.0), (("week",), 168.0), (("winter",), 2000.0),
        (("summer",), 2000.0), (("year",), 8760.0), (("through", "the", "night"), 10.0),
    ),
    "whole": (
        (("day",), 10.0), (("night",), 10.0), (("afternoon",), 5.0), (("morning",), 4.0),
        (("weekend",), 48.0), (("week",), 168.0), (("winter",), 2000.0),
    ),
    "since": (
        (("this", "morning"), 5.0), (("breakfast",), 6.0), (("lunch",), 4.0),
        (("lunchtime",), 4.0), (("last", "night"), 12.0), (("yesterday",), 24.0),
        (("dawn",), 8.0), (("noon",), 4.0), (("the", "morning"), 5.0), (("morning",), 5.0),
        (("early",), 5.0), (("milking",), 5.0), (("monday",), 48.0), (("tuesday",), 48.0),
        (("wednesday",), 48.0), (("thursday",), 48.0), (("friday",), 48.0), (("saturday",), 48.0),
        (("sunday",), 48.0), (("last", "week"), 168.0),
    ),
    "half": ((("a", "day"), 6.0), (("the", "day"), 6.0), (("an", "hour"), 0.5), (("hour",), 0.5)),
    "for": ((("hours",), 4.0), (("days",), 72.0), (("weeks",), 500.0), (("months",), 2200.0),
            (("years",), 17520.0), (("ages",), 5.0), (("ever",), 17520.0)),
    "forever": (((), 17520.0),),
    "hours": (((), 4.0),), "days": (((), 72.0),), "weeks": (((), 500.0),),
    "months": (((), 2200.0),), "years": (((), 17520.0),), "indefinitely": (((), 17520.0),),
    "nightfall": (((), 6.0),),
}  # fmt: skip
_HEAT_BEFORE = frozenset(
    [
        "till",
        "until",
        "at",
        "to",
        "about",
        "around",
        "set",
        "setting",
        "setpoint",
        "of",
        "on",
        "reached",
        "hit",
        "below",
        "under",
        "above",
        "over",
        "is",
        "was",
        "reads",
        "read",
        "reading",
        "temp",
        "temperature",
        "thermostat",
        "say",
        "only",
        "near",
        "past",
        "dial",
        "for",
        "just",
        "dryer",
        "oven",
    ]
)
_NO_HEAT_AFTER = frozenset(
    [
        "lb",
        "lbs",
        "oz",
        "g",
        "kg",
        "pound",
        "pounds",
        "ounce",
        "ounces",
        "gram",
        "grams",
        "kilo",
        "kilos",
        "ml",
        "l",
        "litre",
        "litres",
        "liter",
        "cup",
        "cups",
        "%",
        "min",
        "mins",
        "minute",
        "minutes",
        "hour",
        "hours",
        "hr",
        "hrs",
        "h",
        "day",
        "days",
        "week",
        "weeks",
        "month",
        "months",
        "tray",
        "trays",
        "jar",
        "jars",
        "mm",
        "cm",
        "inch",
        "inches",
        "in",
        "pm",
        "am",
        "tsp",
        "tbsp",
        "pint",
        "pints",
        "quart",
        "quarts",
        "year",
        "years",
        "watt",
        "watts",
        "w",
        "small",
        "medium",
        "large",
        "people",
        "ppm",
        "percent",
        "feet",
        "ft",
        "pounds",
        "psi",
    ]
)


_MINUTES = frozenset(range(5, 60))
_ROOMS = frozenset(("kitchen", "room", "outside", "house", "scullery", "weather", "air"))


@dataclass(slots=True, frozen=True)
class Measure:
    """A number: ``kind`` is N plain, H hours, F deg F, P per cent; it ends before ``end``."""

    kind: str
    value: float
    end: int


def measures(found: list[Token]) -> dict[int, list[Measure]]:
    """Every number by the token it starts at, with what it measures when the words say so."""
    out: dict[int, list[Measure]] = {}
    at = 0
    while at < len(found):
        phrase = _hour_phrase(found, at)
        if phrase:
            out.setdefault(at, []).append(phrase)
        read = number_at(found, at)
        if read is None:
            at += 1
            continue
        value, end = read
        kinds = [Measure("N", value, end)]
        kinds += _meaning(found, at, value, end)
        out.setdefault(at, []).extend(kinds)
        at = max(kind.end for kind in kinds)
    return out


def _hour_phrase(found: list[Token], at: int) -> Measure | None:
    for rest, hours in _HOUR_PHRASES.get(found[at].text, ()):
        end = at + 1 + len(rest)
        if tuple(token.text for token in found[at + 1 : end]) == rest:
            return Measure("H", hours, end)
    return None


def _meaning(found: list[Token], at: int, value: float, end: int) -> list[Measure]:
    word = found[end].text if end < len(found) else ""
    if word == "%":
        return [Measure("P", value, end + 1)]
    follow = end + 1 if word in ("deg", "a", "of", "more", "solid", "or") else end
    after = found[follow].text if follow < len(found) else ""
    for form in forms(word) | (forms(after) if word in ("more", "solid", "or") else set()):
        if form in _HOURS and not (form in ("second", "min") and word == "second"):
            return [_with_rest(found, value, _HOURS[form], end + 1)]
    if word in ("f", "c") or (word == "deg" and after in ("f", "c")):
        scale = word if word in ("f", "c") else after
        stop = end + 1 if word in ("f", "c") else end + 2
        return [Measure("F", value if scale == "f" else value * 1.8 + 32, stop)]
    before = found[at - 1].text if at else ""
    if word == "deg" or (
        before in _HEAT_BEFORE and 30 <= value <= 550 and word not in _NO_HEAT_AFTER
    ):
        # A bare number is deg F, but no dryer is set below 80 F and no fridge above it.
        celsius = 44 <= value <= 80 and not _of_a_room(found, at)
        return [Measure("F", value * 1.8 + 32 if celsius else value,
                        end + (word == "deg"))]  # fmt: skip
    return []


_RESTS = {("a", "half"): 0.5, ("a", "quarter"): 0.25, ("three", "quarters"): 0.75,
          ("three", "quarter"): 0.75}  # fmt: skip


def _with_rest(found: list[Token], value: float, hours: float, end: int) -> Measure:
    """An hour and a half; two hours thirty, 2 h 30; an hour or two (the longer is meant)."""
    joint, pair = text_at(found, end), (text_at(found, end + 1), text_at(found, end + 2))
    if joint == "and" and pair in _RESTS:
        return Measure("H", (value + _RESTS[pair]) * hours, end + 3)
    if joint == "or" and value < (more := float(ONES.get(pair[0], 0))) <= value + 3:
        return Measure("H", more * hours, end + 2)
    rest = number_at(found, end) if hours == 1.0 and end < len(found) else None
    if rest is not None and rest[0] in _MINUTES and not found[end].comma:
        after = text_at(found, rest[1])
        if after not in _NO_HEAT_AFTER and after not in ("f", "c", "deg", "of"):
            return Measure("H", value + rest[0] / 60, rest[1])
    return Measure("H", value * hours, end)


def _of_a_room(found: list[Token], at: int) -> bool:
    return any(token.text in _ROOMS for token in found[max(0, at - 5) : at])
