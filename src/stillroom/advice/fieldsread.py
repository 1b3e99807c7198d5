"""The text of knowledge/fields.yaml to the kinds of facts and their fields."""

from __future__ import annotations

from stillroom.advice.fields import Field, Fields
from stillroom.advice.yamlread import Branch, Leaf, Node, Reader, Row
from stillroom.base.fact import Value
from stillroom.base.problem import ProblemError

TYPES = {
    "text": "text", "number": "number", "truth": "truth",
    "string": "text", "integer": "number", "bool": "truth", "boolean": "truth", "flag": "truth",
}  # fmt: skip


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
