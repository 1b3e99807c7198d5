"""What a note says: statements with their slots, concept mentions, and what was not understood.

The slot names and values are those of the machine-readable interface (DEVELOPERS.md, "Statements").
Lengths are mm, temperatures deg C, masses g, volumes ml, durations h.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from datetime import datetime
from typing import Any

SEASONINGS = frozenset({"vinegar", "salt", "sugar"})
"""Parts of a brine or mix that never give it its name."""


@dataclass(frozen=True)
class Amount:
    """How much was said, and the same in SI.

    ``value`` stands alone, or ``low`` and ``high`` stand in its place for a range; the ``si``
    fields follow. ``si_unit`` is ``g``, ``ml`` or ``count``.
    """

    unit: str
    si_unit: str
    value: float | None = None
    si: float | None = None
    low: float | None = None
    high: float | None = None
    si_low: float | None = None
    si_high: float | None = None

    @property
    def si_likely(self) -> float:
        """The amount in SI; the middle of a range."""
        if self.si is not None:
            return self.si
        return ((self.si_low or 0.0) + (self.si_high or 0.0)) / 2

    def as_json(self) -> dict[str, Any]:
        """The slot as the interface prints it: only the fields that are there."""
        order = ("value", "low", "high", "unit", "si", "si_low", "si_high", "si_unit")
        return {
            name: (round(value, 4) if isinstance(value, float) else value)
            for name in order
            if (value := getattr(self, name)) is not None
        }


OVERVIEW = "overview"
"""The topic of a question after the whole way of drying a food."""


@dataclass(frozen=True)
class Statement:
    """One thing said about one food, or one thing asked.

    ``start`` and ``end`` bound the stretch of the note in ``text``. The slots down to ``batch``
    are those of the interface; the rest is what the journal, the talk and the rules need beyond it:

    Args:
        at: the moment the statement is about, when the note says ("since nine", "yesterday").
        share: the part of a batch meant, 0..1 ("half of the tomatoes").
        which: how a batch was pointed at: today, yesterday, other, another, first, last, old,
            both, all, rest.
        tray: the tray's number ("tray three").
        tare_g: empty weight of the tray or vessel, when given.
        replaces: for ``amend``: the value that was wrong ("410, not 140"), as an SI number.
        undo: a bare "scratch that".
        dried: the note calls the food dried.
        altitude_m: for ``set``.
        humidity: relative humidity of the kitchen as said, 0 to 1, for ``set``.
        price_per_kwh: for ``set``, in ``currency``.
        currency: ISO 4217 code, or the symbol said.
        measure: ``us`` or ``metric``, for ``set``.
        asked: for ``ask``: the words that make the question (for "why 52?").
        topic: for a why-question: the kind of question its matter belongs to ("why shake them" is
            of conditioning).
        intended: the speaker means to do it and has not ("I'd like to pickle the rest"); it is
            advised on, and changes no batch.
        whatif: the question supposes something that has not happened; nothing of it is kept.
        dated: the note says that the vessel was labelled or dated.
        juice: it speaks of juice drawn off food: collected, or (``use``) used.
        juice_ml: how much of it [ml]; where ``amount`` is the same figure, it is the juice's.
        guesses: pairs (heard, taken) for each word read as another word.
    """

    act: str
    text: str
    start: int = 0
    end: int = 0
    food: str | None = None
    amount: Amount | None = None
    size: str | None = None
    cut: str | None = None
    thickness_mm: float | None = None
    prep: tuple[str, ...] = ()
    surface: str | None = None
    temperature_c: float | None = None
    trays: float | None = None
    hours: float | None = None
    day: int | None = None
    sign: tuple[str, ...] = ()
    vessel: str | None = None
    vessel_ml: float | None = None
    vessel_count: float | None = None
    seal: str | None = None
    place: str | None = None
    about: str | None = None
    batch: str | None = None
    at: datetime | None = None
    share: float | None = None
    which: str | None = None
    tray: int | None = None
    tare_g: float | None = None
    replaces: float | None = None
    undo: bool = False
    dried: bool = False
    altitude_m: float | None = None
    humidity: float | None = None
    price_per_kwh: float | None = None
    currency: str | None = None
    measure: str | None = None
    asked: str | None = None
    topic: str | None = None
    whatif: bool = False
    intended: bool = False
    dated: bool = False
    juice: bool = False
    juice_ml: float | None = None
    guesses: tuple[tuple[str, str], ...] = ()

    def having(self, **slots: Any) -> Statement:
        """A copy with these slots changed."""
        return replace(self, **slots)

    def as_json(self) -> dict[str, Any]:
        """The statement as the interface prints it: only what was said."""
        out: dict[str, Any] = {}
        for item in fields(self):
            if item.name in ("start", "end"):
                continue
            value = getattr(self, item.name)
            if value is None or value == () or value is False:
                continue
            if isinstance(value, Amount):
                value = value.as_json()
            elif isinstance(value, datetime):
                value = value.isoformat()
            elif item.name == "guesses":
                value = [list(pair) for pair in value]
            elif isinstance(value, tuple):
                value = list(value)
            elif isinstance(value, float):
                value = round(value, 4)
            out[item.name] = value
        return out

    @classmethod
    def from_json(cls, data: Mapping[str, Any]) -> Statement:
        """Rebuild a statement that ``as_json`` wrote; unknown keys are dropped (a newer writer)."""
        known = {item.name for item in fields(cls)}
        slots = {key: value for key, value in data.items() if key in known}
        if isinstance(slots.get("amount"), Mapping):
            slots["amount"] = Amount(**slots["amount"])
        if isinstance(slots.get("at"), str):
            slots["at"] = datetime.fromisoformat(slots["at"])
        for name in ("prep", "sign"):
            if name in slots:
                slots[name] = tuple(slots[name])
        if "guesses" in slots:
            slots["guesses"] = tuple((heard, taken) for heard, taken in slots["guesses"])
        return cls(**slots)


@dataclass(frozen=True)
class Mention:
    """A concept of knowledge/concepts.csv that a note's words name, with where it stands.

    ``sentence`` numbers the sentence of the note from 0, so that a rule can ask for two
    concepts in one sentence. ``negated`` is true for "no fizzing", "never froze it".
    """

    concept: str
    text: str
    start: int
    end: int
    sentence: int = 0
    negated: bool = False


@dataclass(frozen=True)
class Reading:
    """One note, read.

    Args:
        note: the note word for word.
        statements: in the order of the note.
        mentions: concept mentions, for the hazard rules.
        unread: stretches that look like they matter and were not understood.
        doubts: near misses to ask about: (heard, the foods it may be).
        chat: greeting, thanks, outside, or empty: what kind of talk a note without statements is.
    """

    note: str
    statements: tuple[Statement, ...] = ()
    mentions: tuple[Mention, ...] = ()
    unread: tuple[str, ...] = ()
    doubts: tuple[tuple[str, tuple[str, ...]], ...] = ()
    chat: str = ""


@dataclass(frozen=True)
class Context:
    """What the conversation already knows when a note is read; all of it may be empty.

    Args:
        now: the clock.
        measure: ``us`` or ``metric``: what a cup, a tablespoon and a bare degree are.
        foods: foods lately spoken of, newest first (for "them", "those", "and the peppers?").
        last: the newest statements, oldest first (for follow-ups and amends).
        asked: the slot that our own last question asked for, such as ``thickness_mm``.
        asked_batch: the batch that question was about.
        batches: open batches, (name, food, stage) each.
    """

    now: datetime
    measure: str = "us"
    foods: tuple[str, ...] = ()
    last: tuple[Statement, ...] = ()
    asked: str | None = None
    asked_batch: str | None = None
    batches: tuple[tuple[str, str | None, str], ...] = field(default=())
