"""Numbers in a note and what they measure: hours, degrees, per cent; in digits or as spoken."""

from __future__ import annotations

from dataclasses import dataclass

from stillroom.reader.mention_words import FRACTIONS, Token, forms

_UNITS = {
    "zero": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7,
    "eight": 8, "nine": 9, "ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14,
    "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19,
}  # fmt: skip
_TENS = {
    "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70,
    "eighty": 80, "ninety": 90,
}  # fmt: skip
_LOOSE = {"couple": 2.0, "few": 3.0, "several": 4.0}
_HOURS = {
    "second": 1 / 3600, "minute": 1 / 60, "min": 1 / 60, "hour": 1.0, "hr": 1.0, "h": 1.0,
    "day": 24.0, "night": 12.0, "week": 168.0, "fortnight": 336.0, "month": 730.0, "year": 8760.0,
    "yr": 8760.0, "wk": 168.0,
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
        read = _number(found, at)
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
            return [Measure("H", value * _HOURS[form], end + 1)]
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


def _of_a_room(found: list[Token], at: int) -> bool:
    return any(token.text in _ROOMS for token in found[max(0, at - 5) : at])


def _digits(text: str) -> float | None:
    if text in FRACTIONS:
        return FRACTIONS[text]
    if not text[:1].isdigit() or len(text) > 30:
        return None
    head, _, tail = text.replace(",", "").partition("/")
    try:
        return float(head) / float(tail) if tail else float(head)
    except (ValueError, ZeroDivisionError):
        return None


def _number(found: list[Token], at: int) -> tuple[float, int] | None:
    """The number that starts here, in digits or words, and the token after it."""
    value = _digits(found[at].text)
    if value is not None:
        end = at + 1
        if end < len(found) and (part := _digits(found[end].text)) is not None and part < 1:
            return value + part, end + 1
        return value, end
    return _spoken(found, at)


def _spoken(found: list[Token], at: int) -> tuple[float, int] | None:
    word, following = found[at].text, _text(found, at + 1)
    if word in _LOOSE:
        return _LOOSE[word], at + (2 if following in ("of", "more") else 1)
    if word == "half" and following in ("a", "an") and at + 2 < len(found):
        return 0.5, at + 2
    if word in ("a", "an"):
        return _one(found, at, following)
    return _spelled(found, at) if word in _UNITS or word in _TENS else None


def _text(found: list[Token], at: int) -> str:
    return found[at].text if at < len(found) else ""


def _one(found: list[Token], at: int, following: str) -> tuple[float, int] | None:
    if following in _LOOSE:
        return _spoken(found, at + 1)
    if following == "hundred":
        return _hundreds(found, 100.0, at + 2)
    return (1.0, at + 1) if forms(following) & _HOURS.keys() else None


def _spelled(found: list[Token], at: int) -> tuple[float, int]:
    value, end = _small(found, at)
    following = _text(found, end)
    if following == "hundred":
        return _hundreds(found, value * 100, end + 1)
    # "one thirty five", "two twelve": how an oven or dryer setting is spoken.
    if value < 10 and (following in _TENS or _UNITS.get(following, 0) >= 10):
        more, end = _small(found, end)
        return value * 100 + more, end
    if value < 10 and following in ("oh", "o") and _text(found, end + 1) in _UNITS:
        return value * 100 + _UNITS[found[end + 1].text], end + 2
    if following == "and" and [_text(found, end + 1), _text(found, end + 2)] == ["a", "half"]:
        return value + 0.5, end + 3
    return value, end


def _small(found: list[Token], at: int) -> tuple[float, int]:
    word = found[at].text
    if word in _UNITS:
        return float(_UNITS[word]), at + 1
    unit = _UNITS.get(found[at + 1].text, 0) if at + 1 < len(found) else 0
    return (float(_TENS[word] + unit), at + 2) if 0 < unit < 10 else (float(_TENS[word]), at + 1)


def _hundreds(found: list[Token], value: float, end: int) -> tuple[float, int]:
    skip = end + 1 if end < len(found) and found[end].text == "and" else end
    if skip < len(found) and (found[skip].text in _UNITS or found[skip].text in _TENS):
        more, end = _small(found, skip)
        return value + more, end
    return value, end
