"""The kinds of facts and their fields, as knowledge/fields.yaml lists them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path

from stillroom.advice.yamlread import Branch, Leaf, Node, Reader, Row
from stillroom.base.fact import Fact, Value
from stillroom.base.paths import knowledge_dir
from stillroom.base.problem import Problem, ProblemError

TYPES = {
    "text": "text", "number": "number", "truth": "truth",
    "string": "text", "integer": "number", "bool": "truth", "boolean": "truth", "flag": "truth",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a kind: its type (text, number, truth), unit and allowed values."""

    name: str
    type: str
    unit: str = ""
    values: tuple[Value, ...] = ()
    about: str = ""


@dataclass(frozen=True)
class Fields:
    """Every kind with its fields."""

    kinds: Mapping[str, Mapping[str, Field]]
    about: Mapping[str, str] = field(default_factory=dict)

    def find(self, kind: str, name: str) -> Field | None:
        """The field, or None when kind or field is not listed."""
        return self.kinds.get(kind, {}).get(name)

    def with_values(self, kind: str, name: str, more: Iterable[str]) -> Fields:
        """A copy where a field allows more values; for names that a pack adds itself."""
        known = self.find(kind, name)
        extra = tuple(value for value in more if known and value not in known.values)
        if known is None or not known.values or not extra:
            return self
        changed = {**self.kinds[kind], name: replace(known, values=known.values + extra)}
        return Fields({**self.kinds, kind: changed}, self.about)

    def fit(self, kind: str, name: str, value: Value) -> Value | None:
        """The value in the declared type, or None when it is of another type or not a number."""
        known = self.find(kind, name)
        if known is None or value != value:
            return None
        if known.type == "text":
            return value if isinstance(value, str) else None
        if known.type == "truth":
            return value if isinstance(value, bool) else None
        return None if isinstance(value, bool | str) else value

    def clean(self, fact: Fact) -> Fact:
        """The fact with only what rules can rely on: listed fields of the declared type."""
        slots = {n: v for n, v in fact.slots.items() if self.fit(fact.kind, n, v) is not None}
        return fact if len(slots) == len(fact.slots) else replace(fact, slots=slots)


def _text(branch: Branch, name: str) -> str:
    found = branch.items.get(name)
    return str(found.value) if isinstance(found, Leaf) else ""


def _values(node: Node | None) -> tuple[Value, ...]:
    if isinstance(node, Branch):
        return tuple(node.items) or tuple(node.keys)
    if not isinstance(node, Row):
        return ()
    return tuple(item.value for item in node.items if isinstance(item, Leaf))


def _one_field(reader: Reader, name: str, node: Node, place: tuple[int, int]) -> Field:
    if not isinstance(node, Branch):
        reader.fault(place, "bad-field", f"The field {name!r} needs a mapping.", "{type: text}")
        return Field(name, "text")
    kind = TYPES.get(_text(node, "type"))
    if kind is None:
        reader.fault(place, "bad-type", f"The field {name!r} has no known type.",
                     "Write text, number or truth.")  # fmt: skip
    return Field(
        name, kind or "text", _text(node, "unit"), _values(node.items.get("values")),
        _text(node, "about"),
    )  # fmt: skip


def parse_fields(text: str, file: str) -> Fields:
    """The fields that a file lists.

    Raises:
        ProblemError: the file has another shape.
    """
    reader = Reader(file, own=True)
    root = reader.read(text)
    listed = root.items.get("kinds") if isinstance(root, Branch) else None
    kinds: dict[str, dict[str, Field]] = {}
    about: dict[str, str] = {}
    if isinstance(listed, Branch):
        for kind, node in listed.items.items():
            inner = node.items.get("fields") if isinstance(node, Branch) else None
            if isinstance(node, Branch):
                about[kind] = _text(node, "about")
            rows = inner.items if isinstance(inner, Branch) else {}
            kinds[kind] = {
                name: _one_field(reader, name, item, (item.line, item.column))
                for name, item in rows.items()
            }
    if not kinds:
        reader.fault((0, 0), "no-kinds", "There are no kinds here.", "kinds: {lot: {fields: {…}}}")
    if reader.problems:
        raise ProblemError(reader.problems, exit_status=3)
    return Fields(kinds, about)


@cache
def load_fields(path: Path | None = None) -> Fields:
    """The fields of knowledge/fields.yaml.

    Raises:
        ProblemError: it is missing or damaged.
    """
    file = path or knowledge_dir() / "fields.yaml"
    try:
        text = file.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise ProblemError(
            Problem(str(file), 0, 0, "unreadable", f"The list of facts cannot be read: {error}."),
            exit_status=3,
        ) from error
    return parse_fields(text, str(file))
