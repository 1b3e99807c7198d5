"""Facts that rules are tried on, and what comes out: rulings, numbers, cautions, reasons."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from stillroom.base.problem import Problem

Value = str | float | int | bool

SEVERITIES = ("stop", "caution", "note")
TOPICS = (
    "prep", "pretreat", "cut", "temperature", "time", "surface", "loading", "dryness",
    "conditioning", "packaging", "storage", "shelf-life", "rehydrate", "powder", "mix", "brine",
    "jar", "juice", "plan", "label", "stock", "serve",
)  # fmt: skip


@dataclass(frozen=True)
class Fact:
    """A flat record in working memory.

    Args:
        kind: a kind of knowledge/fields.yaml.
        slots: field name to text, number or truth value; a field not known is left out.
        words: stretches of the note that it rests on, word for word.
        sources: ids of knowledge/sources.csv that it rests on.
    """

    kind: str
    slots: Mapping[str, Value] = field(default_factory=dict)
    words: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()

    @property
    def key(self) -> tuple[str, tuple[tuple[str, str, Value], ...]]:
        """Two facts with the same key say the same; types are kept apart (1, 1.0, "1", True)."""
        return self.kind, tuple(
            sorted((name, type(value).__name__, value) for name, value in self.slots.items())
        )

    def get(self, name: str, default: Value | None = None) -> Value | None:
        """The value of a field, or ``default`` when the fact does not carry it."""
        return self.slots.get(name, default)


@dataclass(frozen=True)
class Firing:
    """A rule that held, with the facts that made it hold and the facts that it added."""

    rule: str
    pack: str
    bound: tuple[tuple[str, Fact], ...]
    derived: tuple[Fact, ...] = ()


@dataclass(frozen=True)
class Ruling:
    """One piece of advice on one topic."""

    topic: str
    text: str
    rule: str
    batch: str | None = None
    value: Value | None = None
    unit: str | None = None
    why: str = ""
    sources: tuple[str, ...] = ()
    because: tuple[str, ...] = ()
    priority: int = 100


@dataclass(frozen=True)
class Caution:
    """A warning; ``severity`` is one of ``SEVERITIES`` and ``stop`` is never hidden."""

    severity: str
    hazard: str
    text: str
    rule: str
    why: str = ""
    batch: str | None = None
    sources: tuple[str, ...] = ()
    because: tuple[str, ...] = ()


@dataclass(frozen=True)
class Number:
    """A computed figure with its range, what it assumes and what drives the range.

    ``low <= likely <= high``; the unit is fixed by the name (DEVELOPERS.md, "Numbers").
    """

    name: str
    low: float
    likely: float
    high: float
    unit: str
    batch: str | None = None
    assumes: tuple[str, ...] = ()
    driver: str = ""
    sources: tuple[str, ...] = ()
    because: tuple[str, ...] = ()


@dataclass(frozen=True)
class Advice:
    """What the rules make of the facts: rulings, cautions gravest first, and the trace.

    ``problems`` says where rules were cut short, so that no answer looks whole that is not.
    """

    rulings: tuple[Ruling, ...] = ()
    cautions: tuple[Caution, ...] = ()
    firings: tuple[Firing, ...] = ()
    facts: tuple[Fact, ...] = ()
    engine: str = ""
    problems: tuple[Problem, ...] = ()
