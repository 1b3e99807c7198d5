"""The kinds of facts and their fields, as knowledge/fields.yaml lists them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path
from typing import Any

from stillroom.base.cache import digest, fetch, keep
from stillroom.base.fact import Fact, Value
from stillroom.base.paths import knowledge_dir
from stillroom.base.problem import Problem, ProblemError


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a kind: its type (text, number, truth), unit and allowed values."""

    name: str
    type: str
    unit: str = ""
    values: tuple[Value, ...] = ()
    about: str = ""

    def takes(self, value: Value) -> bool:
        """Whether a value is of the declared type; what is not a number (NaN) is of none."""
        if self.type == "text":
            return isinstance(value, str)
        if self.type == "truth":
            return isinstance(value, bool)
        return not isinstance(value, str | bool) and value == value


@dataclass(frozen=True)
class Fields:
    """Every kind with its fields; ``mark`` names the text they were read from."""

    kinds: Mapping[str, Mapping[str, Field]]
    about: Mapping[str, str] = field(default_factory=dict)
    mark: str = field(default="", compare=False)

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
        return replace(self, kinds={**self.kinds, kind: changed})

    def fit(self, kind: str, name: str, value: Value) -> Value | None:
        """The value in the declared type, or None when it is of another type or not a number."""
        known = self.find(kind, name)
        return value if known is not None and known.takes(value) else None

    def clean(self, fact: Fact) -> Fact:
        """The fact with only what rules can rely on: listed fields of the declared type."""
        known = self.kinds.get(fact.kind, {})
        slots = {n: v for n, v in fact.slots.items() if n in known and known[n].takes(v)}
        return fact if len(slots) == len(fact.slots) else replace(fact, slots=slots)


def _to_json(fields: Fields) -> Any:
    return [
        {kind: [[f.name, f.type, f.unit, list(f.values), f.about] for f in rows.values()]
         for kind, rows in fields.kinds.items()},
        dict(fields.about),
    ]  # fmt: skip


def _from_json(data: Any) -> Fields:
    kinds, about = data
    return Fields(
        {kind: {row[0]: Field(row[0], row[1], row[2], tuple(row[3]), row[4]) for row in rows}
         for kind, rows in kinds.items()},
        about,
    )  # fmt: skip


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
    key = digest("fields", text)
    known = fetch(key)
    if known is not None:
        return replace(_from_json(known), mark=key)
    from stillroom.advice.fieldsread import parse_fields

    made = parse_fields(text, str(file))
    keep(key, _to_json(made))
    return replace(made, mark=key)
