"""From a firing to words: what it says, what it rests on, and the chain behind it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from stillroom.advice.fields import Fields
from stillroom.advice.rule import STAND_INS, Ref, Rule
from stillroom.advice.words import PLACEHOLDER, placeholders
from stillroom.base.fact import Fact, Firing, Value
from stillroom.base.quantity import show, two_digits

MAX_SHOWN = 160
NUMBER_UNITS = {
    "mass": "g", "volume": "ml", "drying_time": "h", "soak_time": "min", "blanch_time": "min",
    "energy": "kWh", "area": "m2", "count": "count", "shelf_life": "day",
}  # fmt: skip
_BLANK = re.compile(r"\s+")


@dataclass(frozen=True)
class Wording:
    """How values are shown: measure, names of foods, and the units of fields."""

    fields: Fields
    measure: str = "us"
    names: Mapping[str, str] = field(default_factory=dict)

    def value(self, fact: Fact, name: str) -> str:
        """One field of a fact as a cook reads it."""
        value = fact.slots.get(name)
        if value is None:
            return STAND_INS.get(name, "an unknown amount" if self._numeric(fact, name) else "it")
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, str):
            return self._text(fact, name, value)
        unit = self._unit(fact, name)
        if fact.kind == "number":  # an estimate claims no more than two digits, in one measure
            return show(two_digits(float(value)), unit, self.measure, both=False)
        return show(float(value), unit, self.measure)

    def _numeric(self, fact: Fact, name: str) -> bool:
        known = self.fields.find(fact.kind, name)
        return known is not None and known.type == "number"

    def _unit(self, fact: Fact, name: str) -> str:
        known = self.fields.find(fact.kind, name)
        if fact.kind == "number" and name in ("low", "likely", "high"):
            figure = str(fact.slots.get("name", ""))
            ends = (unit for end, unit in NUMBER_UNITS.items() if figure.endswith(end))
            return next(ends, "1")
        return (known.unit if known else "") or "1"

    def _text(self, fact: Fact, name: str, value: str) -> str:
        if name in ("food", "plural"):
            return self.names.get(value, value)
        known = self.fields.find(fact.kind, name)
        shown = value.replace("-", " ") if known is not None and known.values else value
        shown = _BLANK.sub(" ", "".join(c for c in shown if c.isprintable() or c.isspace())).strip()
        return shown if len(shown) <= MAX_SHOWN else shown[: MAX_SHOWN - 1] + "…"

    def fill(self, text: str, bound: Mapping[str, Fact]) -> str:
        """A text with its placeholders filled; the first letter of the sentence is a capital."""
        filled = PLACEHOLDER.sub(lambda m: self.value(bound[m[1]], m[2]), text)
        return filled[:1].upper() + filled[1:]


def resolve(value: Value | Ref | None, bound: Mapping[str, Fact]) -> Value | None:
    """A constant, or what a reference points at."""
    if isinstance(value, Ref):
        return bound[value.alias].slots.get(value.field)
    return value


def batch_of(wanted: Value | Ref | None, bound: Mapping[str, Fact]) -> str | None:
    """The batch named, or that of the first fact that carries one."""
    found = resolve(wanted, bound)
    if found is None:
        found = next((f.slots["batch"] for f in bound.values() if "batch" in f.slots), None)
    return None if found is None else str(found)


def words_of(firing: Firing) -> tuple[str, ...]:
    """The words of the note that a firing rests on."""
    return tuple(dict.fromkeys(word for _, fact in firing.bound for word in fact.words))


def sources_of(rule: Rule, bound: Mapping[str, Fact]) -> tuple[str, ...]:
    """The sources of a rule, then those of the facts whose figures it gives."""
    named = [alias for alias, _ in placeholders(rule.say)]
    if rule.advise and isinstance(rule.advise.value, Ref):
        named.insert(0, rule.advise.value.alias)
    more = (source for alias in named for source in bound[alias].sources)
    return tuple(dict.fromkeys((*rule.sources, *more)))
