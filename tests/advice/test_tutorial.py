"""The tutorial of DEVELOPERS.md works as it stands, step by step."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
import tomllib
from pathlib import Path

from stillroom.advice.packs import GROUP, load_book

DOCUMENT = Path(__file__).resolve().parents[2] / "DEVELOPERS.md"
TEXT = DOCUMENT.read_text(encoding="utf-8").partition("\n## Ten minutes")[2].partition("\n## ")[0]
BLOCKS = [
    (match[1], match[2])
    for match in re.finditer(r"^```(\w+)\n(.*?)^```$", TEXT, re.MULTILINE | re.DOTALL)
]


def blocks(kind: str) -> list[str]:
    return [body for name, body in BLOCKS if name == kind]


def calls(body: str) -> list[tuple[list[str], list[str]]]:
    """The calls of a console block, each with the lines that must be among its output."""
    found: list[tuple[list[str], list[str]]] = []
    for line in body.splitlines():
        if line.startswith("$ stillroom "):
            found.append((shlex.split(line[len("$ stillroom ") :]), []))
        else:
            found[-1][1].append(line.strip())
    return found


def stillroom(folder: Path, words: list[str]) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "stillroom", *words], cwd=folder, capture_output=True, text=True,
        check=False, timeout=60, stdin=subprocess.DEVNULL,
        env={**os.environ, "STILLROOM_HOME": str(folder / "home"), "STILLROOM_ENGINE": "plain",
             "XDG_CACHE_HOME": str(folder / "cache"), "COLUMNS": "100"},
    )  # fmt: skip
    assert "fault of its own" not in done.stderr, done.stderr
    assert "Traceback" not in done.stderr
    return done.stdout


def follow(folder: Path, body: str) -> None:
    for words, lines in calls(body):
        output = " ".join(stillroom(folder, words).split())
        for line in lines:
            assert " ".join(line.split()) in output, (words, output)


def test_tutorial_from_writing_to_trying(tmp_path: Path) -> None:
    pack = tmp_path / "windfall.yaml"
    pack.write_text(blocks("yaml")[0], encoding="utf-8")
    wrong, right, trying = blocks("console")
    follow(tmp_path, wrong)
    pack.write_text(pack.read_text("utf-8").replace("halfed", "halved"), encoding="utf-8")
    follow(tmp_path, right)
    (tmp_path / "packs").mkdir()
    pack.rename(tmp_path / "packs" / pack.name)
    follow(tmp_path, trying)


def test_rule_that_the_tutorial_switches_off_is_there(tmp_path: Path) -> None:
    pack, head = blocks("yaml")
    body = pack.replace("halfed", "halved").replace("rules:", head + "rules:")
    (tmp_path / "windfall.yaml").write_text(body, encoding="utf-8")
    book = load_book(extra=[tmp_path], installed=False)
    assert [p for p in book.problems if p.file.endswith("windfall.yaml")] == []
    (change,) = book.changes
    assert change.rule == "surface.mesh-pieces"
    assert change.rule not in book.by_id


def test_sharing_names_the_entry_point_that_the_program_looks_for() -> None:
    (project,) = (tomllib.loads(body) for body in blocks("toml"))
    assert list(project["project"]["entry-points"]) == [GROUP]
