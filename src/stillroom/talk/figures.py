"""Computed figures in words: rounded to what they are worth, one unit for the whole range.

An estimate is shown to two digits, because its range is wide; a figure without a range (so much
vinegar to so much water) is shown as it is.
"""

from __future__ import annotations

from collections.abc import Sequence

from stillroom.base.fact import Number
from stillroom.base.quantity import show, two_digits
from stillroom.talk.labels import label_for

_PERCENT = frozenset({"air_humidity", "end_moisture", "present_moisture", "jar_acidity",
                      "jar_salt"})  # fmt: skip
_MONTH = 30.4
_ROUND = ("month", "week")
# Units of a screen by what is measured: name, plural, size, from how many base units on.
_SCALES: dict[tuple[str, str], tuple[tuple[str, str, float, float], ...]] = {
    ("g", "metric"): (("kg", "kg", 1000.0, 1000.0), ("g", "g", 1.0, 0.0)),
    ("g", "us"): (("lb", "lb", 453.59237, 907.0), ("oz", "oz", 28.349523125, 0.0)),
    ("ml", "metric"): (("l", "l", 1000.0, 1000.0), ("ml", "ml", 1.0, 0.0)),
    ("ml", "us"): (
        ("qt", "qt", 946.352946, 1892.0), ("cup", "cups", 236.5882365, 57.0),
        ("tbsp", "tbsp", 14.78676478125, 14.7), ("tsp", "tsp", 4.92892159375, 0.0),
    ),
    ("day", ""): (
        ("month", "months", _MONTH, 75.0), ("week", "weeks", 7.0, 21.0), ("day", "days", 1.0, 0.0),
    ),
    ("min", ""): (("h", "h", 60.0, 120.0), ("min", "min", 1.0, 0.0)),
}  # fmt: skip


def _trim(value: float) -> str:
    text = f"{two_digits(value):,.3f}"
    return text.rstrip("0").rstrip(".")


def _hours(value: float) -> str:
    """Hours, weeks or months: whole from three on, halves below."""
    return f"{value:.0f}" if value >= 3 else f"{round(value * 2) / 2 or value:.1g}"


def _scaled(number: Number, measure: str) -> tuple[tuple[float, float, float], str]:
    """The three values in the unit that suits the likely one, and that unit."""
    scales = _SCALES.get((number.unit, measure)) or _SCALES.get((number.unit, ""))
    values = (number.low, number.likely, number.high)
    if scales is None:
        return values, {"m2": "m²", "count": "", "1": "", "currency": ""}.get(
            number.unit, number.unit
        )
    name, plural, size, _ = next(s for s in scales if abs(number.likely) >= s[3])
    low, likely, high = (value / size for value in values)
    return (low, likely, high), plural if high > 1.05 else name


def _exact(number: Number, measure: str) -> str:
    if number.unit == "count":
        return f"{number.likely:.0f}"
    return show(number.likely, number.unit, measure)


def figure_text(number: Number, measure: str) -> str:
    """A computed figure with its range, the likely value first.

    >>> figure_text(Number("drying_time", 5.85, 8.31, 11.8, "h"), "us")
    'about 8 h, 6 to 12 h'
    >>> figure_text(Number("dry_mass", 228.3, 336.1, 578.8, "g"), "metric")
    'about 340 g (12 oz), 230 to 580 g'
    >>> figure_text(Number("shelf_life", 122, 277, 365, "day"), "us")
    'about 9 months, 4 to 12 months'
    >>> figure_text(Number("jar_count", 1, 1, 1, "count"), "us")
    '1'
    """
    if number.name in _PERCENT:
        texts = [f"{value * 100:.0f}" for value in (number.low, number.likely, number.high)]
        return _ranged(texts, "%", "")
    if number.low == number.high:
        return _exact(number, measure)
    values, unit = _scaled(number, measure)
    if number.unit == "count":
        texts = [f"{value:.0f}" for value in values]
    else:
        show_one = _hours if number.unit == "h" or unit.startswith(_ROUND) else _trim
        texts = [show_one(value) for value in values]
    return _ranged(texts, unit, _other(number, measure))


def _ranged(texts: Sequence[str], unit: str, other: str) -> str:
    low, likely, high = texts
    ending = f" {unit}" if unit else ""
    if low == high:
        return f"about {likely}{ending}{other}"
    return f"about {likely}{ending}{other}, {low} to {high}{ending}"


def _other(number: Number, measure: str) -> str:
    """The likely value in the other measure, in brackets; empty for units of one form only."""
    other = "metric" if measure == "us" else "us"
    if (number.unit, other) not in _SCALES:
        return ""
    (_, likely, _), unit = _scaled(number, other)
    return f" ({_trim(likely)} {unit})"


def figure_sentence(number: Number, measure: str) -> str:
    """A computed figure as the answer to a question.

    >>> figure_sentence(Number("shelf_life", 31, 46, 61, "day"), "us")
    'It keeps about 7 weeks, 4 to 9 weeks.'
    """
    label = label_for("figure", number.name)
    return (label.sentence or f"{label.text}: {{}}.").format(figure_text(number, measure))


def learned(number: Number) -> tuple[str, ...]:
    """What own batches did to a figure, in sentences (journal/learn.py)."""
    return tuple(text for text in number.assumes if text.startswith("Your "))


def distinct(figures: Sequence[Number]) -> list[Number]:
    """Figures without the scale reading where it only repeats the dried weight (no tray on it)."""
    dried = {(n.batch, round(n.likely)) for n in figures if n.name == "dry_mass"}
    return [n for n in figures if n.name != "end_mass" or (n.batch, round(n.likely)) not in dried]
