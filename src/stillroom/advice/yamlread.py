"""YAML as a tree of values with line and column, and nothing that a stranger could abuse.

Only plain data comes through: no tags, no anchors, no merge keys, no dates, no ``yes`` for true.
A file is limited in size and depth, each collection is visited once, and every fault is collected.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from stillroom.advice.packtext import MAX_BYTES
from stillroom.base.problem import Problem

MAX_DEPTH = 12
MAX_NODES = 600_000
MAX_TEXT = 2_000
_NUMBER = re.compile(r"[-+]?(\d{1,15}(\.\d{0,15})?|\.\d{1,15})([eE][-+]?\d{1,2})?")
_CORE = "tag:yaml.org,2002:"
_PLAIN_TAGS = {
    _CORE + name
    for name in ("str", "int", "float", "bool", "null", "timestamp", "merge", "value", "map", "seq")
}


@dataclass(slots=True)
class Leaf:
    """A text, number or truth value; ``plain`` when it was written without quotes."""

    value: str | float | int | bool
    line: int
    column: int
    plain: bool = True


@dataclass(slots=True)
class Branch:
    """A mapping; each key with its own place."""

    items: dict[str, Node]
    keys: dict[str, tuple[int, int]]
    line: int
    column: int


@dataclass(slots=True)
class Row:
    """A list."""

    items: list[Node]
    line: int
    column: int


Node = Leaf | Branch | Row


def scalar(text: str) -> str | float | int | bool:
    """The value of an unquoted word: true, false, a decimal number, or the text itself.

    >>> scalar("25"), scalar("0.5"), scalar("no"), scalar("1:30"), scalar("010")
    (25, 0.5, 'no', '1:30', 10)
    """
    if text in ("true", "false"):
        return text == "true"
    if _NUMBER.fullmatch(text):
        number = float(text)
        return int(text) if text.lstrip("+-").isdigit() else number
    return text


@cache
def _loader() -> Any:
    """PyYAML's safe loader without its guessing at types, which ``scalar`` does in its own way."""
    import yaml

    tags = {yaml.ScalarNode: "str", yaml.SequenceNode: "seq", yaml.MappingNode: "map"}

    class Untyped(getattr(yaml, "CSafeLoader", yaml.SafeLoader)):  # type: ignore[misc]
        def resolve(self, kind: Any, _value: Any, _implicit: Any) -> str:
            return _CORE + tags[kind]

    return Untyped


class Reader:
    """Walks one file's YAML nodes; faults go to ``problems``.

    Args:
        file: the file's name as the person knows it.
        own: a file of the program itself, which may use anchors.
    """

    def __init__(self, file: str, *, own: bool = False) -> None:
        self.file = file
        self._own = own
        self.problems: list[Problem] = []
        self._seen: set[int] = set()
        self._nodes = 0

    def fault(self, place: tuple[int, int], name: str, text: str, remedy: str = "") -> None:
        """Note a fault at a line and column."""
        self.problems.append(Problem(self.file, place[0], place[1], name, text, remedy))

    def read(self, text: str) -> Node | None:
        """The tree of a whole file, or None when there is none; see ``problems``."""
        import yaml

        if len(text) > MAX_BYTES:
            self.fault(
                (0, 0), "too-big", f"The file is larger than {MAX_BYTES:,} characters.",
                "Split it into several packs.",
            )  # fmt: skip
            return None
        try:
            root = yaml.compose(text, Loader=_loader())
        except yaml.MarkedYAMLError as error:
            mark = error.problem_mark or error.context_mark
            place = (mark.line + 1, mark.column + 1) if mark else (0, 0)
            self.fault(place, "not-yaml", f"This is not YAML: {error.problem or error.context}.",
                       "Look at the indent, the quotes and the colons here.")  # fmt: skip
            return None
        except (yaml.YAMLError, RecursionError, ValueError) as error:
            words = str(error).splitlines() or ["nested too deeply"]
            self.fault((0, 0), "not-yaml", f"This is not YAML: {words[0]}.",
                       "Save it as plain UTF-8 text.")  # fmt: skip
            return None
        return None if root is None else self._walk(root, 0)

    def _walk(self, node: Any, depth: int) -> Node | None:
        place = (node.start_mark.line + 1, node.start_mark.column + 1)
        self._nodes += 1
        if self._nodes > MAX_NODES:
            if self._nodes == MAX_NODES + 1:
                self.fault(place, "too-big", f"The file holds more than {MAX_NODES:,} values.",
                           "Split it into several packs.")  # fmt: skip
            return None
        if depth > MAX_DEPTH:
            self.fault(place, "too-deep", f"Nested more than {MAX_DEPTH} deep.",
                       "A pack needs no such depth.")  # fmt: skip
            return None
        if id(node) in self._seen and not self._own:
            self.fault(place, "alias", "Anchors and aliases (& and *) are not read.",
                       "Write the value out where it is needed.")  # fmt: skip
            return None
        self._seen.add(id(node))
        if node.tag not in _PLAIN_TAGS:
            self.fault(place, "tag", f"The tag {node.tag.removeprefix(_CORE)[:60]!r} is not read.",
                       "A pack holds plain text, numbers, true and false.")  # fmt: skip
            return None
        if node.id == "scalar":
            return self._leaf(node, place)
        return (
            self._row(node, place, depth)
            if node.id == "sequence"
            else self._branch(node, place, depth)
        )

    def _leaf(self, node: Any, place: tuple[int, int]) -> Leaf | None:
        text: str = node.value
        if len(text) > MAX_TEXT:
            self.fault(place, "too-long", f"A text of {len(text):,} characters is too long.",
                       f"Keep it under {MAX_TEXT:,}.")  # fmt: skip
            return None
        plain = not node.style
        if plain and text in ("", "~", "null"):
            if self._own:
                return None
            self.fault(place, "empty", "There is nothing here.", "Write a value or leave it out.")
            return None
        return Leaf(scalar(text) if plain else text, *place, plain)

    def _row(self, node: Any, place: tuple[int, int], depth: int) -> Row:
        walked = (self._walk(item, depth + 1) for item in node.value)
        return Row([item for item in walked if item is not None], *place)

    def _branch(self, node: Any, place: tuple[int, int], depth: int) -> Branch:
        branch = Branch({}, {}, *place)
        for key, value in node.value:
            spot = (key.start_mark.line + 1, key.start_mark.column + 1)
            if key.id != "scalar":
                self.fault(spot, "bad-key", "A list or mapping cannot be a key.")
                continue
            name: str = key.value
            if name in branch.keys:
                self.fault(spot, "twice", f"{name[:60]!r} stands twice here.",
                           f"The first is in line {branch.keys[name][0]}; keep one.")  # fmt: skip
                continue
            branch.keys[name] = spot
            found = self._walk(value, depth + 1)
            if found is not None:
                branch.items[name] = found
        return branch


def walk(node: Node) -> Iterator[Node]:
    """The node and everything below it."""
    yield node
    below = (
        node.items.values()
        if isinstance(node, Branch)
        else (node.items if isinstance(node, Row) else ())
    )
    for item in below:
        yield from walk(item)
