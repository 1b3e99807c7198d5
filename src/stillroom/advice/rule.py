"""What a rule is once it has been read: plain records that hold no YAML and no code."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from typing import Any

from stillroom.advice.words import placeholders
from stillroom.base.fact import Value

OPERATORS = ("above", "below", "at_least", "at_most", "not", "known")
STATUSES = ("live", "draft", "retired")
DEFAULT_PRIORITY = 100
STAND_INS = {"food": "the food", "batch": "this batch", "plural": "the food"}


@dataclass(frozen=True, slots=True)
class Ref:
    """``$alias.field``: the value that another pattern's fact carries."""

    alias: str
    field: str

    def __str__(self) -> str:
        return f"${self.alias}.{self.field}"


Operand = Value | Ref | tuple[Value, ...]


@dataclass(frozen=True, slots=True)
class Check:
    """One condition on one field.

    ``op`` is ``is`` (a constant or a Ref), ``any`` (a tuple), or one of ``OPERATORS``.
    """

    field: str
    op: str
    value: Operand


@dataclass(frozen=True, slots=True)
class Pattern:
    """One fact that must be there (``when``) or must not (``unless``)."""

    alias: str
    kind: str
    tests: tuple[Check, ...]


@dataclass(frozen=True, slots=True)
class Template:
    """A fact to add when the rule holds."""

    kind: str
    slots: tuple[tuple[str, Value | Ref], ...]


@dataclass(frozen=True, slots=True)
class Advise:
    """The ruling that a rule gives; ``batch`` None means that of the first fact that has one."""

    topic: str
    value: Value | Ref | None = None
    unit: str | None = None
    batch: Value | Ref | None = None


@dataclass(frozen=True, slots=True)
class Warn:
    """The caution that a rule gives."""

    severity: str
    hazard: str
    batch: Value | Ref | None = None


@dataclass(frozen=True, slots=True)
class Case:
    """Facts that a rule must fire on, or stay silent on: for what no note can say."""

    facts: tuple[Template, ...]


@dataclass(frozen=True, slots=True)
class Proofs:
    """The examples of a rule: notes and bare facts, each for firing and for silence."""

    fires: tuple[str, ...] = ()
    silent: tuple[str, ...] = ()
    fires_facts: tuple[Case, ...] = ()
    silent_facts: tuple[Case, ...] = ()


@dataclass(frozen=True)
class Rule:
    """One rule of a pack.

    ``places`` maps a part such as ``when.0.cut`` to its line and column; a rule that comes
    from the cache has neither places nor proofs.
    """

    id: str
    pack: str
    when: tuple[Pattern, ...]
    unless: tuple[Pattern, ...] = ()
    derive: tuple[Template, ...] = ()
    advise: Advise | None = None
    caution: Warn | None = None
    say: str = ""
    why: str = ""
    sources: tuple[str, ...] = ()
    overrides: tuple[str, ...] = ()
    priority: int = DEFAULT_PRIORITY
    status: str = "live"
    title: str = ""
    line: int = 0
    proofs: Proofs = field(default_factory=Proofs, compare=False)
    places: Mapping[str, tuple[int, int]] = field(default_factory=dict, compare=False, repr=False)

    @property
    def stops(self) -> bool:
        """Whether the rule raises a ``stop``, which nothing may take away."""
        return self.caution is not None and self.caution.severity == "stop"

    @property
    def named(self) -> tuple[tuple[str, str], ...]:
        """The (alias, field) pairs without which a ruling cannot be said.

        The food and the batch are not among them: "the food" and "this batch" stand in.
        """
        found = [pair for pair in placeholders(self.say) if pair[1] not in STAND_INS]
        if self.advise and isinstance(self.advise.value, Ref):
            found.append((self.advise.value.alias, self.advise.value.field))
        return tuple(found)

    def place(self, part: str = "") -> tuple[int, int]:
        """Line and column of a part, or of the nearest whole that has one."""
        while part:
            if part in self.places:
                return self.places[part]
            part = part.rpartition(".")[0]
        return self.places.get("", (self.line, 0))


@dataclass(frozen=True)
class Pack:
    """A file of rules with what its author says about it.

    Args:
        file: the file as the person knows it.
        origin: ``built-in``, ``installed``, ``home`` or ``given``.
        locale: conditions the pack is written for (altitude, law, measure), plain text by name.
        findings: names that its rules may derive beyond those of knowledge/fields.yaml.
        sources: its own sources, id to a line of text.
        switch_off: ids of earlier packs' rules that are not to be used.
        replace: ids of earlier packs' rules whose place this pack's rule of that id takes.
    """

    name: str
    file: str
    version: str = ""
    about: str = ""
    standing: str = ""
    origin: str = "given"
    locale: Mapping[str, Value] = field(default_factory=dict)
    findings: Mapping[str, str] = field(default_factory=dict)
    sources: Mapping[str, str] = field(default_factory=dict)
    switch_off: tuple[str, ...] = ()
    replace: tuple[str, ...] = ()
    rules: tuple[Rule, ...] = ()
    places: Mapping[str, tuple[int, int]] = field(default_factory=dict, compare=False, repr=False)


def _pack_value(value: Any) -> Any:
    if isinstance(value, Ref):
        return {"$": [value.alias, value.field]}
    return list(value) if isinstance(value, tuple) else value


def _unpack_value(value: Any) -> Any:
    if isinstance(value, dict):
        alias, name = value["$"]
        return Ref(alias, name)
    return tuple(value) if isinstance(value, list) else value


def _patterns(items: tuple[Pattern, ...]) -> list[Any]:
    return [
        [p.alias, p.kind, [[t.field, t.op, _pack_value(t.value)] for t in p.tests]] for p in items
    ]


def _from_patterns(items: list[Any]) -> tuple[Pattern, ...]:
    return tuple(
        Pattern(alias, kind, tuple(Check(n, op, _unpack_value(v)) for n, op, v in tests))
        for alias, kind, tests in items
    )


def rule_to_json(rule: Rule) -> list[Any]:
    """A rule as JSON values, without proofs and places; for the cache."""
    advise, warn = rule.advise, rule.caution
    return [
        rule.id,
        _patterns(rule.when),
        _patterns(rule.unless),
        [[t.kind, [[n, _pack_value(v)] for n, v in t.slots]] for t in rule.derive],
        advise
        and [advise.topic, _pack_value(advise.value), advise.unit, _pack_value(advise.batch)],
        warn and [warn.severity, warn.hazard, _pack_value(warn.batch)],
        rule.say, rule.why, list(rule.sources), list(rule.overrides), rule.priority, rule.status,
        rule.title, rule.line,
    ]  # fmt: skip


def rule_from_json(data: list[Any], pack: str) -> Rule:
    """Rebuild what ``rule_to_json`` wrote.

    Raises:
        ValueError: the data has another shape (TypeError and KeyError likewise).
    """
    (rid, when, unless, derive, advise, warn, say, why, sources, overrides, priority, status,
     title, line) = data  # fmt: skip
    return Rule(
        rid, pack, _from_patterns(when), _from_patterns(unless),
        tuple(Template(k, tuple((n, _unpack_value(v)) for n, v in slots)) for k, slots in derive),
        advise and Advise(advise[0], _unpack_value(advise[1]), advise[2], _unpack_value(advise[3])),
        warn and Warn(warn[0], warn[1], _unpack_value(warn[2])),
        say, why, tuple(sources), tuple(overrides), priority, status, title, line,
    )  # fmt: skip


_HEAD = ("name", "file", "version", "about", "standing", "origin")


def pack_to_json(pack: Pack) -> dict[str, Any]:
    """A pack as JSON values; for the cache."""
    data: dict[str, Any] = {name: getattr(pack, name) for name in _HEAD}
    for name in ("locale", "findings", "sources"):
        data[name] = dict(getattr(pack, name))
    data["switch_off"], data["replace"] = list(pack.switch_off), list(pack.replace)
    data["rules"] = [rule_to_json(rule) for rule in pack.rules]
    return data


def pack_from_json(data: dict[str, Any]) -> Pack:
    """Rebuild what ``pack_to_json`` wrote.

    Raises:
        ValueError: the data has another shape (TypeError and KeyError likewise).
    """
    known = {item.name for item in fields(Pack)} - {"places"}
    slots = {name: data[name] for name in known}
    slots["rules"] = tuple(rule_from_json(rule, data["name"]) for rule in data["rules"])
    slots["switch_off"], slots["replace"] = tuple(data["switch_off"]), tuple(data["replace"])
    return Pack(**slots)
