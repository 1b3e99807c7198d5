"""The small parts of a rule: texts, values, references, patterns, facts to derive."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from stillroom.advice.fields import Field, Fields
from stillroom.advice.rule import OPERATORS, Check, Operand, Pattern, Ref, Template
from stillroom.advice.words import nearest
from stillroom.advice.yamlread import Branch, Leaf, Node, Reader, Row
from stillroom.base.fact import Value

MAX_PATTERNS = 8
MAX_TESTS = 16
MAX_LIST = 120
MAX_CONSTANT = 200
MAX_NUMBER = 1e12
MIN_NUMBER = 1e-3
ALIAS = re.compile(r"[a-z][a-z0-9_]{0,39}")
_REF = re.compile(r"\$([a-z][a-z0-9_]{0,39})\.([a-z][a-z0-9_]{0,39})")
_ORDER = ("above", "below", "at_least", "at_most")


class Parts:
    """Reads the parts of rules; faults go to the reader with their place.

    ``kinds`` of the rule in hand (alias to kind) is set by the caller as patterns are read.
    """

    def __init__(self, reader: Reader, fields: Fields) -> None:
        self.reader = reader
        self.fields = fields
        self.kinds: dict[str, str] = {}
        self.places: dict[str, tuple[int, int]] = {}

    def fault(self, node: Node | tuple[int, int], name: str, text: str, remedy: str = "") -> None:
        """Note a fault at a node or place."""
        place = node if isinstance(node, tuple) else (node.line, node.column)
        self.reader.fault(place, name, text, remedy)

    def known_keys(self, branch: Branch, keys: Iterable[str], what: str) -> None:
        """Fault every key that is not one of ``keys``."""
        allowed = list(keys)
        for name, place in branch.keys.items():
            if name not in allowed:
                self.fault(place, "unknown-key", f"{name[:60]!r} is not a part of {what}.",
                           nearest(name[:60], allowed))  # fmt: skip

    def text(self, branch: Branch, name: str) -> str:
        """A text, or empty when there is none."""
        node = branch.items.get(name)
        if node is None:
            return ""
        if not isinstance(node, Leaf) or not isinstance(node.value, str):
            if isinstance(node, Leaf) and not isinstance(node.value, bool):
                return str(node.value)
            self.fault(node, "not-text", f"{name!r} needs a text.", "Put it in quotes.")
            return ""
        return node.value.strip()

    def texts(self, branch: Branch, name: str) -> tuple[str, ...]:
        """A list of texts, or empty; a single text counts as a list of one."""
        node = branch.items.get(name)
        rows = node.items if isinstance(node, Row) else [] if node is None else [node]
        found = []
        for index, item in enumerate(rows):
            if isinstance(item, Leaf) and not isinstance(item.value, bool):
                self.places[f"{name}.{index}"] = (item.line, item.column)
                found.append(str(item.value).strip())
            else:
                self.fault(item, "not-text", f"{name!r} needs a list of texts.", f"{name}: [one]")
        return tuple(found)

    def rows(self, branch: Branch, name: str) -> list[Branch]:
        """A list of mappings, or empty."""
        node = branch.items.get(name)
        if node is None:
            return []
        if isinstance(node, Branch):
            node = Row([node], node.line, node.column)
        if isinstance(node, Leaf):
            self.fault(node, "not-list", f"{name!r} needs a list.", f"{name}: [{{kind: lot}}]")
            return []
        found = []
        for item in node.items:
            if isinstance(item, Branch):
                found.append(item)
            else:
                self.fault(item, "not-mapping", f"Each entry of {name!r} is a mapping.",
                           "{as: lot, kind: lot}")  # fmt: skip
        return found

    def kind(self, branch: Branch, what: str) -> str | None:
        """The ``kind`` of a pattern or fact, checked."""
        name = self.text(branch, "kind")
        if name in self.fields.kinds:
            return name
        if name:
            self.fault(branch.items["kind"], "unknown-kind", f"There is no kind of fact {name!r}.",
                       nearest(name, self.fields.kinds))  # fmt: skip
        else:
            self.fault(branch, "no-kind", f"This {what} names no kind.", "kind: lot")
        return None

    def field(self, kind: str, name: str, place: tuple[int, int]) -> Field | None:
        """The field of a kind, checked."""
        known = self.fields.find(kind, name)
        if known is None:
            self.fault(place, "unknown-field", f"A {kind!r} fact has no field {name[:60]!r}.",
                       nearest(name[:60], self.fields.kinds[kind]))  # fmt: skip
        return known

    def ref(self, leaf: Leaf, known: Field) -> Ref | None:
        """A ``$alias.field`` whose type must be that of ``known``."""
        match = _REF.fullmatch(str(leaf.value))
        if match is None:
            self.fault(
                leaf, "bad-ref", f"{leaf.value!r} is not a reference.", "Write $alias.field."
            )
            return None
        alias, name = match[1], match[2]
        if alias not in self.kinds:
            self.fault(leaf, "unknown-alias", f"No pattern before this is called {alias!r}.",
                       nearest(alias, self.kinds))  # fmt: skip
            return None
        other = self.field(self.kinds[alias], name, (leaf.line, leaf.column))
        if other is None:
            return None
        if other.type != known.type:
            self.fault(leaf, "type-clash", f"${alias}.{name} is a {other.type}, "
                       f"{known.name!r} is a {known.type}.", "Compare like with like.")  # fmt: skip
            return None
        return Ref(alias, name)

    def constant(self, leaf: Leaf, known: Field) -> Value | None:
        """A constant of the field's type and among its values."""
        value = leaf.value
        if known.type == "text" and not isinstance(value, str) and not isinstance(value, bool):
            value = str(value)
        if self.fields_type(value) != known.type:
            self.fault(leaf, "wrong-type", f"{known.name!r} takes a {known.type}, "
                       f"not {str(value)[:60]!r}.", _example(known))  # fmt: skip
            return None
        if known.values and value not in known.values:
            self.fault(leaf, "unknown-value", f"{known.name!r} is never {str(value)[:60]!r}.",
                       nearest(str(value)[:60], [str(item) for item in known.values]))  # fmt: skip
            return None
        if isinstance(value, str) and len(value) > MAX_CONSTANT:
            self.fault(leaf, "too-long", f"A value of {len(value)} characters is too long.",
                       f"Keep it under {MAX_CONSTANT}.")  # fmt: skip
            return None
        return self._sized(leaf, value)

    def _sized(self, leaf: Leaf, value: Value) -> Value | None:
        if isinstance(value, bool | str) or value == 0:
            return value
        if not MIN_NUMBER <= abs(value) <= MAX_NUMBER:
            self.fault(leaf, "number-size", f"The number {value!r} is out of bounds.",
                       "Sizes run from 0.001 to 1e12, and 0.")  # fmt: skip
            return None
        return value

    @staticmethod
    def fields_type(value: Value) -> str:
        """The name of a value's type as fields.yaml writes it."""
        return (
            "truth" if isinstance(value, bool) else "text" if isinstance(value, str) else "number"
        )

    def value(self, node: Node, known: Field) -> Value | Ref | None:
        """A constant or a reference."""
        if not isinstance(node, Leaf):
            self.fault(node, "not-value", f"{known.name!r} takes one value.", _example(known))
            return None
        if isinstance(node.value, str) and node.value.startswith("$"):
            return self.ref(node, known)
        return self.constant(node, known)

    def _list(self, node: Row, known: Field) -> tuple[Value, ...] | None:
        if not node.items or len(node.items) > MAX_LIST:
            self.fault(node, "list-size", f"A list holds 1 to {MAX_LIST} values.")
            return None
        found: list[Value] = []
        for item in node.items:
            if not isinstance(item, Leaf):
                self.fault(item, "not-value", "A list holds plain values.", _example(known))
                continue
            value = self.constant(item, known)
            if value is not None:
                found.append(value)
        return tuple(dict.fromkeys(found)) if len(found) == len(node.items) else None

    def tests(self, node: Node, known: Field) -> list[Check]:
        """The tests that one field's entry stands for."""
        if isinstance(node, Row):
            values = self._list(node, known)
            return [] if values is None else [Check(known.name, "any", values)]
        if isinstance(node, Leaf):
            value = self.value(node, known)
            return [] if value is None else [Check(known.name, "is", value)]
        self.known_keys(node, OPERATORS, "a condition")
        made = [self._operator(op, item, known) for op, item in node.items.items()
                if op in OPERATORS]  # fmt: skip
        if not node.keys:
            self.fault(node, "no-test", f"{known.name!r} has no condition.", _example(known))
        return [test for test in made if test is not None]

    def _operator(self, op: str, node: Node, known: Field) -> Check | None:
        value: Operand | None
        if op == "known":
            if isinstance(node, Leaf) and isinstance(node.value, bool):
                return Check(known.name, op, node.value)
            self.fault(node, "wrong-type", "'known' takes true or false.")
            return None
        if op in _ORDER and known.type != "number":
            self.fault(node, "wrong-type", f"{op!r} compares numbers; {known.name!r} is a "
                       f"{known.type}.", "Use a list of the values.")  # fmt: skip
            return None
        value = (
            self._list(node, known)
            if op == "not" and isinstance(node, Row)
            else self.value(node, known)
        )
        return None if value is None else Check(known.name, op, value)

    def pattern(self, branch: Branch, alias: str, path: str) -> Pattern | None:
        """One pattern of ``when`` or ``unless``."""
        self.places[path] = (branch.line, branch.column)
        kind = self.kind(branch, "pattern")
        if kind is None:
            return None
        tests: list[Check] = []
        for name, place in branch.keys.items():
            if name in ("as", "kind"):
                continue
            self.places[f"{path}.{name}"] = place
            known = self.field(kind, name, place)
            if known is not None and name in branch.items:
                tests += self.tests(branch.items[name], known)
        if len(tests) > MAX_TESTS:
            self.fault(branch, "too-many", f"A pattern holds at most {MAX_TESTS} conditions.")
        order = sorted(tests, key=lambda test: isinstance(test.value, Ref))
        return Pattern(alias, kind, tuple(order))

    def template(self, branch: Branch, *, refs: bool = True) -> Template | None:
        """A fact to derive (or, without ``refs``, a fact of a case)."""
        kind = self.kind(branch, "fact")
        if kind is None:
            return None
        slots: list[tuple[str, Value | Ref]] = []
        for name, node in branch.items.items():
            if name == "kind":
                continue
            known = self.field(kind, name, branch.keys[name])
            if known is None:
                continue
            value = self.value(node, known)
            if isinstance(value, Ref) and not refs:
                self.fault(node, "bad-ref", "A case holds plain values only.")
            elif value is not None:
                slots.append((name, value))
        return Template(kind, tuple(slots))


def _example(known: Field) -> str:
    shown: Mapping[str, str] = {"number": "12.5", "truth": "true", "text": "a word"}
    value = str(known.values[0]) if known.values else shown[known.type]
    return f"For example {known.name}: {value}."
