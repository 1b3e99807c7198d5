"""The documents tell the truth: paths exist, commands run, sessions are what is printed."""

from __future__ import annotations

import argparse
import importlib.util
import re
import shlex
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

from stillroom.talk.options import build_parser

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
TOP = (
    "python3 -m venv .venv && .venv/bin/pip install -q -e . && "
    ".venv/bin/stillroom tell --dry-run --file transcripts_demo/01-courgette-glut.txt",
    "python3 -m venv .venv && .venv/bin/pip install -q -e '.[test]' && .venv/bin/python -m pytest",
)
_FOLDERS = ("src/", "tests/", "rules/", "knowledge/", "transcripts_demo/")
_CODE = re.compile(r"`([^`\n]+)`")


def capture() -> ModuleType:
    spec = importlib.util.spec_from_file_location("capture", ROOT / "tests/talk/capture.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def named_paths(text: str) -> Iterator[str]:
    """Paths in code marks: of the project's folders, or a document of its root."""
    for code in _CODE.findall(text):
        for word in code.split():
            if "<" in word or "…" in word:
                continue
            if word.startswith(_FOLDERS) or re.fullmatch(r"[A-Z]+\.md|pyproject\.toml", word):
                yield word


@pytest.mark.parametrize(
    "document", ["DEVELOPERS.md", "README.md", "rules/README.md", "knowledge/README.md"]
)
def test_every_path_named_exists(document: str) -> None:
    named = set(named_paths((ROOT / document).read_text(encoding="utf-8")))
    missing = [name for name in named if not list(ROOT.glob(name.rstrip("/")))]
    assert not missing


def parsers(parser: argparse.ArgumentParser) -> Iterator[argparse.ArgumentParser]:
    """A parser and all below it."""
    yield parser
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for below in action.choices.values():
                yield from parsers(below)


@pytest.mark.parametrize("parser", list(parsers(build_parser())), ids=lambda parser: parser.prog)
def test_every_help_is_whole(parser: argparse.ArgumentParser) -> None:
    text = parser.format_help()
    assert "%(" not in text
    for action in parser._actions:
        if action.help == argparse.SUPPRESS or isinstance(action, argparse._SubParsersAction):
            continue
        assert action.help, f"{parser.prog} {action.dest} has no help"
        assert not action.help.endswith((".", " ", ",", ":")), action.help
        assert action.help == action.help.strip()


def test_the_two_commands_stand_first() -> None:
    code = [line.strip() for line in README.splitlines() if line.startswith("    ")]
    assert tuple(code[:2]) == TOP


def test_commands_of_the_readme_parse() -> None:
    lines = [line.strip() for line in README.splitlines() if line.startswith("    stillroom ")]
    calls = [re.split(r"\s{2,}", line)[0] for line in lines]
    assert len(calls) >= 6
    for call in calls:
        if '"' in call:
            call = call[: call.rindex('"') + 1]
        build_parser().parse_args(shlex.split(call)[1:])


def _telling(session: str) -> list[str]:
    starts = ("you> ", "Read: ", "STOP. ", "Kept ", "Taken back", "Today: ", "  Rule: ", "Trays ")
    return [row for row in session.splitlines() if row.startswith(starts)]


def test_the_sessions_are_what_is_printed() -> None:
    """The rows that tell what happened; the wording of rules may move on between captures."""
    module = capture()
    now, shown = module.sessions(), module.between(README, "sessions")
    assert _telling(now) == _telling(shown), "run: python tests/talk/capture.py"


def test_the_validation_table_is_what_is_printed() -> None:
    module = capture()
    rows = {}
    for name, text in (
        ("now", module.validation()),
        ("then", module.between(README, "validation")),
    ):
        rows[name] = [
            [cell.strip() for cell in row.split("|")[1:4]]
            for row in text.splitlines()
            if row.startswith("|") and "---" not in row
        ]
    labels = [[row[0] for row in rows[name]] for name in ("now", "then")]
    assert labels[0] == labels[1], "run: python tests/talk/capture.py"
    for fresh, kept in zip(rows["now"][1:], rows["then"][1:], strict=True):
        if not fresh[1].isdigit():  # the heading of the next table
            continue
        share = [float(row[2].rstrip(" %")) for row in (fresh, kept)]
        close = 3 if "%" in fresh[2] else 0.02
        assert abs(share[0] - share[1]) <= close, "run: python tests/talk/capture.py"
