"""Units: the only module that imports pint.

A person's unit word is looked up in knowledge/units.csv first and only its row's definition goes
to pint, because pint reads words of its own in surprising ways (a pinch is a pico-inch to it).
Inside, amounts are g, ml, mm, h, deg C; the screen shows the speaker's measure with the other
in brackets.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import floor, log10
from typing import TYPE_CHECKING

from stillroom.base.cache import digest, fetch, keep
from stillroom.base.files import read_csv
from stillroom.base.paths import knowledge_dir

if TYPE_CHECKING:
    from pint import UnitRegistry

_BASE = {"mass": "gram", "volume": "milliliter", "length": "millimeter", "time": "hour",
         "count": "count"}  # fmt: skip
SI_UNIT = {"mass": "g", "volume": "ml", "length": "mm", "time": "h", "count": "count"}
_COLUMNS = ("id", "words", "dimension", "is", "measure", "note", "source")


@dataclass(frozen=True)
class Unit:
    """One unit of knowledge/units.csv; ``si`` is its size in the base unit of its dimension."""

    id: str
    words: tuple[str, ...]
    dimension: str
    si: float
    si_unit: str


@cache
def _registry() -> UnitRegistry[float]:
    """A small registry with our base units only: pint's own file is slow to load."""
    from pint import UnitRegistry

    registry: UnitRegistry[float] = UnitRegistry(None)
    for dimension, base in _BASE.items():
        registry.define(f"{base} = [{dimension}]")
    return registry


@cache
def units(measure: str = "us") -> dict[str, Unit]:
    """Every unit by id, with the sizes of one measure.

    Args:
        measure: ``us`` (cup 236.6 ml) or ``metric`` (cup 250 ml).
    """
    rows = [row for row in read_csv(knowledge_dir() / "units.csv", _COLUMNS)
            if row["measure"] in ("", measure)]  # fmt: skip
    sizes = _sizes([f"{row['is']} in {_BASE[row['dimension']]}" for row in rows])
    return {
        row["id"]: Unit(
            row["id"], tuple(row["words"].split("|")), row["dimension"], size,
            SI_UNIT[row["dimension"]],
        )
        for row, size in zip(rows, sizes, strict=True)
    }  # fmt: skip


def _sizes(definitions: list[str]) -> list[float]:
    """Sizes by pint, ``1000 gram in gram``; kept, because pint takes longer to load than to ask."""
    key = digest("units", *definitions)
    known = fetch(key)
    if (
        isinstance(known, list)
        and len(known) == len(definitions)
        and all(isinstance(size, float) for size in known)
    ):
        return known
    pairs = [text.split(" in ") for text in definitions]
    sizes = [float(_registry().Quantity(what).to(base).magnitude) for what, base in pairs]
    keep(key, sizes)
    return sizes


@cache
def unit_words() -> dict[str, str]:
    """Unit id by word as typed; ``T`` and ``t`` differ, other words are matched in lower case."""
    return {word: unit.id for unit in units().values() for word in unit.words}


def unit_for(word: str, measure: str = "us") -> Unit | None:
    """The unit that a word names, or None.

    >>> unit_for("Pounds").si
    453.59237
    >>> unit_for("T").id, unit_for("t").id
    ('tbsp', 'tsp')
    """
    words = unit_words()
    name = words.get(word) or words.get(word.lower()) or words.get(word.lower().rstrip("."))
    return units(measure)[name] if name else None


def to_celsius(value: float, scale: str) -> float:
    """A temperature in deg C.

    Args:
        value: as said.
        scale: ``F`` or ``C``.

    >>> to_celsius(125, "F")
    51.67
    """
    return value if scale == "C" else (value - 32) / 1.8


def to_fahrenheit(celsius: float) -> float:
    """A temperature in deg F."""
    return celsius * 1.8 + 32


def _trim(value: float, digits: int = 0) -> str:
    text = f"{value:,.{digits}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _grams(value: float) -> str:
    if abs(value) >= 1000:
        return f"{_trim(value / 1000, 2)} kg"
    return f"{_trim(value, 0 if abs(value) >= 10 else 1)} g"


def _pounds(value: float) -> str:
    ounces = value / 28.349523125
    if abs(ounces) >= 32:
        return f"{_trim(ounces / 16, 1)} lb"
    return f"{_trim(ounces, 1 if abs(ounces) < 10 else 0)} oz"


def _metric_volume(value: float) -> str:
    if abs(value) >= 1000:
        return f"{_trim(value / 1000, 2)} l"
    return f"{_trim(value, 0 if abs(value) >= 10 else 1)} ml"


def _us_volume(value: float) -> str:
    for name, size in (("qt", 946.352946), ("cup", 236.5882365), ("tbsp", 14.78676478125)):
        if abs(value) >= (2 * size if name == "qt" else 0.245 * size if name == "cup" else size):
            number = value / size
            plural = "s" if name == "cup" and number > 1.005 else ""
            return f"{_trim(number, 2 if number < 4 else 1)} {name}{plural}"
    return f"{_trim(value / 4.92892159375, 2)} tsp"


_PLAIN = {"h": "h", "kWh": "kWh", "m2": "m²", "day": "days", "min": "min", "count": "", "1": ""}


def two_digits(value: float) -> float:
    """A figure rounded to two digits that count.

    >>> two_digits(336.1), two_digits(5.664), two_digits(0)
    (340.0, 5.7, 0.0)
    """
    if value == 0:
        return 0.0
    return round(value, 1 - floor(log10(abs(value))))


def show(value: float, unit: str, measure: str = "us", *, both: bool = True) -> str:
    """A figure as a cook reads it, the other measure in brackets.

    Args:
        value: in ``unit``.
        unit: degC, g, ml, mm, or a unit that has one form only (h, kWh, m2, day, min, count, 1).
        measure: ``us`` or ``metric``: which one comes first.
        both: add the other measure in brackets.

    >>> show(52, "degC", "metric"), show(3628.74, "g", "us")
    ('52 °C (126 °F)', '8 lb (3.63 kg)')
    """
    if unit == "degC":
        metric, us = f"{_trim(value)} °C", f"{_trim(to_fahrenheit(value))} °F"
    elif unit == "g":
        metric, us = _grams(value), _pounds(value)
    elif unit == "ml":
        metric, us = _metric_volume(value), _us_volume(value)
    elif unit == "mm":
        metric, us = f"{_trim(value, 1)} mm", f"{_trim(value / 25.4, 2)} in"
    elif unit == "1":
        return f"{_trim(value, 2)}"
    elif unit == "day" and abs(value) >= 60:
        return f"{_trim(value / 30.4)} months"
    else:
        name = _PLAIN.get(unit, unit)
        return f"{_trim(value, 0 if abs(value) >= 10 else 1)} {name}".rstrip()
    first, second = (us, metric) if measure == "us" else (metric, us)
    return f"{first} ({second})" if both else first
