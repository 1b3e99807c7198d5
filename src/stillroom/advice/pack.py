"""One YAML file to a Pack, with every mistake and its place at once.

Checked here is all that a rule says by itself; what needs the other packs (ids, overrides,
cycles, sources) is checked in check.py and packs.py.
"""

from __future__ import annotations

import re
from bisect import bisect_right

from stillroom.advice.fields import Fields
from stillroom.advice.parts import ALIAS, MAX_PATTERNS, Parts
from stillroom.advice.rule import (
    DEFAULT_PRIORITY,
    STATUSES,
    Advise,
    Case,
    Pack,
    Pattern,
    Proofs,
    Ref,
    Rule,
    Template,
    Warn,
)
from stillroom.advice.words import nearest, placeholders, stray_brace
from stillroom.advice.yamlread import Branch, Leaf, Node, Reader, Row
from stillroom.base.fact import SEVERITIES, TOPICS, Value
from stillroom.base.problem import Problem

PACK_KEYS = (
    "pack", "version", "about", "standing", "locale", "findings", "sources", "switch_off",
    "replace", "rules",
)  # fmt: skip
RULE_KEYS = (
    "id", "title", "status", "priority", "when", "unless", "derive", "advise", "caution", "say",
    "why", "sources", "overrides", "examples", "cases",
)  # fmt: skip
MAX_RULES = 5_000
RULE_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*(?:\.[a-z0-9]+(?:-[a-z0-9]+)*)+")
_NAME = re.compile(r"[a-z0-9]+(?:[-._][a-z0-9]+)*")


class _PackReader:
    """Reads one file; holds what the functions for its parts share."""

    def __init__(self, file: str, fields: Fields) -> None:
        self.file = file
        self.reader = Reader(file)
        self.fields = fields
        self.parts = Parts(self.reader, fields)
        self.unread: tuple[Problem, ...] = ()

    # -- the head -------------------------------------------------------------------------

    def pack(self, text: str, origin: str) -> Pack | None:
        root = self.reader.read(text)
        self.unread = tuple(self.reader.problems)
        if self.unread and root is None:
            return None
        if not isinstance(root, Branch):
            self.reader.fault((1, 1), "not-a-pack", "This file is not a rule pack.",
                              "It starts with: pack: a-name")  # fmt: skip
            return None
        parts = self.parts
        parts.known_keys(root, PACK_KEYS, "a pack")
        name = parts.text(root, "pack")
        if not _NAME.fullmatch(name) or len(name) > 60:
            parts.fault(root.items.get("pack", root), "bad-name",
                        "The pack needs a name of small letters, digits and hyphens.",
                        "pack: my-kitchen")  # fmt: skip
        if not parts.text(root, "version"):
            parts.fault(root, "no-version", "The pack has no version.", "version: 1.0.0")
        if not parts.text(root, "standing"):
            parts.fault(root, "no-standing", "The pack does not say who stands behind it.",
                        "standing: who wrote it, and what they rest on")  # fmt: skip
        findings = self._table(root, "findings")
        self.fields = parts.fields = self.fields.with_values("finding", "is", findings)
        lists = {key: parts.texts(root, key) for key in ("switch_off", "replace")}
        places = dict(parts.places) | {f"sources.{k}": v for k, v in _keys(root, "sources")}
        return Pack(
            name or "unnamed", self.file, parts.text(root, "version"), parts.text(root, "about"),
            parts.text(root, "standing"), origin, self._locale(root), findings,
            self._table(root, "sources"), lists["switch_off"], lists["replace"],
            self._rules(root, name), places,
        )  # fmt: skip

    def _table(self, root: Branch, key: str) -> dict[str, str]:
        node = root.items.get(key)
        if node is None:
            return {}
        if not isinstance(node, Branch):
            self.parts.fault(node, "not-mapping", f"{key!r} is a mapping of names to texts.",
                             f"{key}: {{a-name: what it is}}")  # fmt: skip
            return {}
        for name, place in node.keys.items():
            if not _NAME.fullmatch(name) or len(name) > 60:
                self.parts.fault(place, "bad-name", f"{name[:60]!r} is not a name.",
                                 "Use small letters, digits and hyphens.")  # fmt: skip
        return {name: self.parts.text(node, name) for name in node.items}

    def _locale(self, root: Branch) -> dict[str, Value]:
        node = root.items.get("locale")
        if node is None:
            return {}
        if not isinstance(node, Branch):
            self.parts.fault(node, "not-mapping", "'locale' is a mapping.",
                             "locale: {measure: metric, altitude_m: 1800, law: local}")  # fmt: skip
            return {}
        return {n: item.value for n, item in node.items.items() if isinstance(item, Leaf)}

    def _rules(self, root: Branch, pack: str) -> tuple[Rule, ...]:
        rows = self.parts.rows(root, "rules")
        if "rules" not in root.keys and not {"switch_off", "replace"} & set(root.keys):
            self.parts.fault(root, "no-rules", "The pack has no rules.", "rules: [{id: …}]")
        if len(rows) > MAX_RULES:
            self.parts.fault(root.keys["rules"], "too-many",
                             f"The pack holds {len(rows):,} rules; {MAX_RULES:,} is the most.",
                             "Split it into several packs.")  # fmt: skip
            return ()
        found: dict[str, Rule] = {}
        broken = self._unread(rows)
        for row in rows:
            before = len(self.reader.problems)
            rule = self._rule(row, pack)
            if row.line in broken:
                continue
            if rule.id in found:
                self.parts.fault(row.items["id"], "id-twice", f"The id {rule.id!r} is taken.",
                                 f"Line {found[rule.id].line} has it; choose another.")  # fmt: skip
            elif len(self.reader.problems) == before:
                found[rule.id] = rule
        return tuple(found.values())

    def _unread(self, rows: list[Branch]) -> set[int]:
        """The first lines of rules of which something could not be read.

        What is left of a rule that lost a condition says something else, so it is not used.
        """
        starts = sorted(row.line for row in rows)
        lines = (problem.line for problem in self.unread)
        return {starts[place - 1] for line in lines if (place := bisect_right(starts, line))}

    # -- one rule -------------------------------------------------------------------------

    def _rule(self, row: Branch, pack: str) -> Rule:
        parts = self.parts
        parts.kinds, parts.places = {}, {"": (row.line, row.column)}
        parts.places |= row.keys
        parts.known_keys(row, RULE_KEYS, "a rule")
        when = self._when(row)
        unless = self._unless(row)
        made = (self.parts.template(item) for item in parts.rows(row, "derive"))
        derive = tuple(item for item in made if item is not None)
        advise, caution = self._advise(row), self._caution(row)
        say, why = self._words(row, "say"), self._words(row, "why")
        if not derive and advise is None and caution is None:
            parts.fault(row, "no-effect", "The rule concludes nothing.",
                        "It needs derive, advise or caution.")  # fmt: skip
        if (advise or caution) and not say and "say" not in row.keys:
            parts.fault(row, "no-say", "The rule has nothing to say.", "say: one plain sentence")
        return Rule(
            self._id(row), pack, when, unless, derive, advise, caution, say, why,
            parts.texts(row, "sources"), parts.texts(row, "overrides"), self._priority(row),
            self._status(row), parts.text(row, "title"), row.line, self._proofs(row),
            parts.places,
        )  # fmt: skip

    def _id(self, row: Branch) -> str:
        rid = self.parts.text(row, "id")
        if not RULE_ID.fullmatch(rid) or len(rid) > 80:
            self.parts.fault(row.items.get("id", row), "bad-id",
                             f"{rid[:80]!r} is not a rule id." if rid else "The rule has no id.",
                             "Write topic.short-claim in small letters.")  # fmt: skip
        return rid

    def _when(self, row: Branch) -> tuple[Pattern, ...]:
        parts, found = self.parts, []
        rows = parts.rows(row, "when")
        if not rows:
            parts.fault(row, "no-when", "The rule has no conditions.",
                        "when: [{as: lot, kind: lot}]")  # fmt: skip
        if len(rows) > MAX_PATTERNS:
            parts.fault(row.keys["when"], "too-many",
                        f"A rule holds at most {MAX_PATTERNS} patterns.",
                        "Derive a finding from some of them in a rule of its own.")  # fmt: skip
            return ()
        for index, item in enumerate(rows):
            alias = parts.text(item, "as") or f"p{index + 1}"
            if not ALIAS.fullmatch(alias) or alias in parts.kinds:
                parts.fault(item.items.get("as", item), "bad-alias",
                            f"The name {alias[:40]!r} is taken or not a name.",
                            "Use a new name of small letters, digits and _.")  # fmt: skip
            pattern = parts.pattern(item, alias, f"when.{index}")
            if pattern is not None:
                parts.kinds[alias] = pattern.kind
                found.append(pattern)
        return tuple(found)

    def _unless(self, row: Branch) -> tuple[Pattern, ...]:
        parts, found = self.parts, []
        rows = parts.rows(row, "unless")
        if len(rows) > MAX_PATTERNS:
            parts.fault(row.keys["unless"], "too-many",
                        f"A rule holds at most {MAX_PATTERNS} exceptions.")  # fmt: skip
            return ()
        for index, item in enumerate(rows):
            pattern = parts.pattern(item, f"unless{index + 1}", f"unless.{index}")
            if pattern is not None:
                found.append(pattern)
        return tuple(found)

    def _advise(self, row: Branch) -> Advise | None:
        node, parts = row.items.get("advise"), self.parts
        if node is None:
            return None
        if not isinstance(node, Branch):
            parts.fault(node, "not-mapping", "'advise' is a mapping.", "advise: {topic: surface}")
            return None
        parts.known_keys(node, ("topic", "value", "unit", "batch"), "advise")
        topic = parts.text(node, "topic")
        if topic not in TOPICS:
            parts.fault(
                node.items.get("topic", node),
                "unknown-topic",
                f"There is no topic {topic[:60]!r}.",
                nearest(topic[:60], TOPICS),
            )
        value = self._loose(node, "value")
        unit = parts.text(node, "unit") or None
        if unit is None and isinstance(value, Ref):
            known = self.fields.find(parts.kinds[value.alias], value.field)
            unit = known.unit or None if known else None
        return Advise(topic, value, unit, self._loose(node, "batch"))

    def _caution(self, row: Branch) -> Warn | None:
        node, parts = row.items.get("caution"), self.parts
        if node is None:
            return None
        if not isinstance(node, Branch):
            parts.fault(node, "not-mapping", "'caution' is a mapping.",
                        "caution: {severity: stop, hazard: a-name}")  # fmt: skip
            return None
        parts.known_keys(node, ("severity", "hazard", "batch"), "caution")
        severity, hazard = parts.text(node, "severity"), parts.text(node, "hazard")
        if severity not in SEVERITIES:
            parts.fault(node.items.get("severity", node), "unknown-severity",
                        f"There is no severity {severity[:60]!r}.",
                        nearest(severity[:60], SEVERITIES))  # fmt: skip
        if not _NAME.fullmatch(hazard):
            parts.fault(node.items.get("hazard", node), "bad-name",
                        f"{hazard[:60]!r} is not the name of a hazard.",
                        "Use small letters, digits and hyphens.")  # fmt: skip
        return Warn(severity, hazard, self._loose(node, "batch"))

    def _loose(self, node: Branch, name: str) -> Value | Ref | None:
        """A constant of any type, or a reference to any field."""
        item, parts = node.items.get(name), self.parts
        if item is None:
            return None
        if not isinstance(item, Leaf):
            parts.fault(item, "not-value", f"{name!r} takes one value.")
            return None
        text = item.value
        if not (isinstance(text, str) and text.startswith("$")):
            return text
        alias, _, field = text[1:].partition(".")
        if alias not in parts.kinds:
            parts.fault(item, "unknown-alias", f"No pattern is called {alias[:40]!r}.",
                        nearest(alias[:40], parts.kinds))  # fmt: skip
            return None
        known = parts.field(parts.kinds[alias], field, (item.line, item.column))
        return Ref(alias, field) if known else None

    def _words(self, row: Branch, name: str) -> str:
        text, parts = self.parts.text(row, name), self.parts
        if not text:
            return ""
        node = row.items[name]
        if stray_brace(text):
            parts.fault(node, "bad-placeholder", f"A brace in {name!r} is not a placeholder.",
                        "Write {alias.field} and nothing else in braces.")  # fmt: skip
        for alias, field in placeholders(text):
            if alias not in parts.kinds:
                parts.fault(node, "unknown-alias", f"{name!r} names {alias!r}, which no pattern "
                            "is called.", nearest(alias, parts.kinds))  # fmt: skip
            else:
                parts.field(parts.kinds[alias], field, (node.line, node.column))
        return text

    def _priority(self, row: Branch) -> int:
        node = row.items.get("priority")
        if node is None:
            return DEFAULT_PRIORITY
        value = node.value if isinstance(node, Leaf) else None
        if isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= 9999:
            return value
        self.parts.fault(node, "bad-priority", "The priority is a whole number from 0 to 9999.",
                         "Lower comes first; 100 when left out.")  # fmt: skip
        return DEFAULT_PRIORITY

    def _status(self, row: Branch) -> str:
        status = self.parts.text(row, "status") or "live"
        if status not in STATUSES:
            self.parts.fault(
                row.items["status"],
                "unknown-status",
                f"There is no status {status[:60]!r}.",
                nearest(status[:60], STATUSES),
            )
        return status

    # -- its examples ---------------------------------------------------------------------

    def _proofs(self, row: Branch) -> Proofs:
        notes: dict[str, tuple[str, ...]] = {"fires": (), "silent": ()}
        facts: dict[str, tuple[Case, ...]] = {"fires": (), "silent": ()}
        examples, cases = row.items.get("examples"), row.items.get("cases")
        for node, what in ((examples, "examples"), (cases, "cases")):
            if node is not None and not isinstance(node, Branch):
                self.parts.fault(node, "not-mapping", f"{what!r} is a mapping.",
                                 f"{what}: {{fires: […], silent: […]}}")  # fmt: skip
        if isinstance(examples, Branch):
            self.parts.known_keys(examples, notes, "examples")
            notes = {key: self._notes(examples, key) for key in notes}
        if isinstance(cases, Branch):
            self.parts.known_keys(cases, facts, "cases")
            facts = {key: self._cases(cases.items.get(key)) for key in facts}
        return Proofs(notes["fires"], notes["silent"], facts["fires"], facts["silent"])

    def _notes(self, node: Branch, key: str) -> tuple[str, ...]:
        found = self.parts.texts(node, key)
        for index in range(len(found)):
            place = self.parts.places.pop(f"{key}.{index}")
            self.parts.places[f"examples.{key}.{index}"] = place
        return found

    def _cases(self, node: Node | None) -> tuple[Case, ...]:
        if node is None:
            return ()
        found = []
        for item in node.items if isinstance(node, Row) else [node]:
            if not isinstance(item, Row):
                self.parts.fault(item, "not-list", "A case is a list of facts.",
                                 "fires: [[{kind: lot, food: plum}]]")  # fmt: skip
                continue
            made: list[Template] = []
            for fact in item.items:
                if isinstance(fact, Branch):
                    template = self.parts.template(fact, refs=False)
                    made += [template] if template else []
                else:
                    self.parts.fault(fact, "not-mapping", "A fact is a mapping.")
            found.append(Case(tuple(made)))
        return tuple(found)


def _keys(root: Branch, name: str) -> list[tuple[str, tuple[int, int]]]:
    node = root.items.get(name)
    return list(node.keys.items()) if isinstance(node, Branch) else []


def parse_pack(
    text: str, file: str, fields: Fields, origin: str = "given"
) -> tuple[Pack | None, list[Problem]]:
    """A pack from its text, and everything that is wrong with it.

    Rules with a mistake are left out of the pack; the caller decides whether the rest is used.

    Args:
        text: the YAML text.
        file: its name as the person knows it.
        fields: the kinds of facts and their fields.
        origin: where it comes from (see ``Pack``).
    """
    reader = _PackReader(file, fields)
    pack = reader.pack(text, origin)
    return pack, sorted(reader.reader.problems)
