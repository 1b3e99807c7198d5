"""Who may import whom: the table of DEVELOPERS.md, "The way through"."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

SOURCE = Path(__file__).parent.parent / "src" / "stillroom"
MAY_IMPORT = {
    "base": set(),
    "science": {"base"},
    "tables": {"base"},
    "reader": {"base", "tables"},
    "enrich": {"base", "tables", "science"},
    "advice": {"base", "tables"},
    "journal": {"base"},
    "outputs": {"base", "science"},
    "talk": {"base", "science", "tables", "reader", "enrich", "advice", "journal", "outputs"},
    "__main__": {"talk"},
}
HEAVY = {"scipy", "numpy", "matplotlib", "reportlab", "prompt_toolkit", "icalendar", "dateutil"}
ONLY_IN = {
    "pint": "base/quantity.py",
    "sqlite3": "journal/events.py",
    "durable": "advice/engine.py",
}
MODULES = sorted(SOURCE.rglob("*.py"))


def _imports(path: Path) -> Iterator[tuple[str, bool]]:
    """Every module imported, and whether at the top of the file."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    top = {id(node) for node in tree.body}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.name, id(node) in top
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: only absolute imports"
            yield node.module or "", id(node) in top


def _package(path: Path) -> str:
    return path.relative_to(SOURCE).parts[0].removesuffix(".py")


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SOURCE)))
def test_module_imports_only_what_its_package_may(path: Path) -> None:
    own = _package(path)
    allowed = MAY_IMPORT.get(own, set()) | {own}
    for name, _ in _imports(path):
        if name.startswith("stillroom."):
            other = name.split(".")[1]
            assert other in allowed, f"{own} may not import {other} ({path.name})"


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(SOURCE)))
def test_module_keeps_heavy_and_guarded_libraries_in_their_place(path: Path) -> None:
    here = path.relative_to(SOURCE).as_posix()
    for name, at_top in _imports(path):
        library = name.split(".")[0]
        assert not (at_top and library in HEAVY), f"{here} loads {library} at start-up"
        if library in ONLY_IN:
            assert here == ONLY_IN[library], f"only {ONLY_IN[library]} may import {library}"


def test_the_table_of_the_developers_says_the_same() -> None:
    text = (SOURCE.parent.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    rows = re.findall(r"^\| `(\w+)` \| [^|]+ \| ([a-z, –]+) \|$", text, re.MULTILINE)
    told = {name: set(re.findall(r"[a-z]+", may)) for name, may in rows if name in MAY_IMPORT}
    told["talk"] = set(told) - {"talk"} if told["talk"] == {"all"} else told["talk"]
    assert told == {name: may for name, may in MAY_IMPORT.items() if name != "__main__"}


def test_packages_have_no_cycle() -> None:
    order: list[str] = []
    left = {name: set(others) for name, others in MAY_IMPORT.items()}
    while left:
        free = [name for name, others in left.items() if others <= set(order)]
        assert free, f"a cycle among {sorted(left)}"
        order += free
        for name in free:
            del left[name]
    assert order[0] == "base"
