"""The command line as a script or a cook calls it: exit statuses, bad input, options anywhere."""

from __future__ import annotations

import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

Call = Callable[..., Any]
NOW = ("--now", "2026-08-14T09:00:00")
GOOD = "2 kg plums, halved, pitted"
STOPPED = "can I vacuum seal courgettes that are still bendy and put them on the shelf?"
# What a note may be; each must be answered in words, with the status beside it.
ODD_NOTES = {
    "a word": ("asdf", "Not understood"),
    "pictures": ("\N{TOMATO}\N{TOMATO}\N{TOMATO}", "Not understood"),
    "another language": ("das Wetter ist heute ziemlich schlecht", "Not understood"),
    "punctuation": ("?!...,,;;", "Not understood"),
    "control signs": ("plums\x07\x1b[2J\x9b", ""),
    "nothing of it": ("0 kg plums", "nothing to work out for 0 kg"),
    "a minus": ("-3 kg plums", "minus"),
    "far too much": ("1000000000 kg plums", "more than any house dries"),
    "no number": ("nan kg plums", ""),
    "unknown unit": ("3 flurbs of plums", ""),
    "unknown food": ("3 kg zorkfruit", ""),
    "conflict": ("2 kg plums, halved, no whole, at 60 C, no at 50 C", "plums"),
    "right to left": ("٣ كيلو خوخ", ""),
    "a formula": ("=cmd|' /C calc'!A0", ""),
    "a brace": ("2 kg plums {lot.food} %s {0}", "plums"),
    "a long word": ("a" * 5000, "Not understood"),
}


@pytest.mark.parametrize("name", ODD_NOTES)
def test_odd_notes_are_answered_in_words(name: str, call: Call) -> None:
    note, expected = ODD_NOTES[name]
    ran = call("tell", *NOW, "--", note) if note.startswith("-") else call("tell", *NOW, note)
    assert ran.status == 0, ran.err
    assert ran.out.strip()
    assert expected in " ".join(ran.out.split())
    assert "Traceback" not in ran.out + ran.err
    assert "fault of its own" not in ran.err


@pytest.mark.parametrize("name", ODD_NOTES)
def test_odd_notes_are_kept(name: str, call: Call, home: Path) -> None:
    note, _ = ODD_NOTES[name]
    call("tell", *NOW, "--", note)
    call("journal", "export", str(home / "all.jsonl"))
    kept = (home / "all.jsonl").read_text(encoding="utf-8") if home.exists() else ""
    wanted = note.strip()[:40]
    texts = [json.dumps(wanted)[1:-1], json.dumps(wanted, ensure_ascii=False)[1:-1]]
    assert any(text in kept for text in texts)


def test_exit_statuses(call: Call, home: Path, tmp_path: Path) -> None:
    assert call("tell", *NOW, GOOD).status == 0
    assert call("tell", *NOW, "--dry-run", STOPPED).status == 1
    assert call("tell", *NOW, "").status == 2
    assert call("tell", "--no-such-option", GOOD).status == 2
    assert call("no-such-command").status == 2
    assert call("tell", "--now", "yesterday-ish", GOOD).status == 2
    assert call("tell", "--rules", str(tmp_path / "none"), GOOD).status == 2
    assert call("tell", "--file", str(tmp_path / "none.txt")).status == 2
    damaged = tmp_path / "bad.yaml"
    damaged.write_text("pack: [", encoding="utf-8")
    assert call("tell", *NOW, "--dry-run", "--rules", str(damaged), GOOD).status == 3


def test_a_damaged_journal_is_said_in_a_sentence(call: Call, home: Path) -> None:
    home.mkdir()
    (home / "journal.sqlite3").write_bytes(b"not a journal" * 100)
    ran = call("tell", *NOW, GOOD)
    assert ran.status == 3
    assert ran.err.startswith("stillroom: ")
    assert "Traceback" not in ran.err
    assert (home / "journal.sqlite3").read_bytes() == b"not a journal" * 100


@pytest.mark.parametrize(
    ("data", "status", "words"),
    [(b"", 2, "empty"), (b" \n\t\n", 2, "empty"), (b"\0\1\2" * 50, 2, "not text"),
     (b"x" * 4_000_001, 2, "longer than"), (b"2 kg plums, halved\xff\xfe", 0, ""),
     (b"\xef\xbb\xbf2 kg plums, halved", 0, "")],
)  # fmt: skip
def test_standard_input(data: bytes, status: int, words: str, call: Call) -> None:
    ran = call("tell", *NOW, "--dry-run", "-", given=data)
    assert ran.status == status
    assert words in ran.err
    assert len(ran.err.splitlines()) <= 1


def test_a_megabyte_of_words_is_answered(call: Call) -> None:
    ran = call("tell", *NOW, "--dry-run", "-", given=b"lorem ipsum dolor " * 58_000)
    assert ran.status == 0
    assert len(ran.out) < 5_000


@pytest.mark.parametrize(
    "words",
    [("--measure", "us", "tell", "--dry-run", GOOD), ("tell", "--measure", "us", "--dry-run", GOOD),
     ("tell", "--dry-run", GOOD, "--measure", "us")],
)  # fmt: skip
def test_options_stand_before_or_after_the_command(words: tuple[str, ...], call: Call) -> None:
    ran = call(*words, *NOW)
    assert ran.status == 0
    assert "oz (" in ran.out


def test_home_option_wins_over_the_environment(call: Call, home: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    call("--home", str(other), "tell", *NOW, GOOD)
    assert (other / "journal.sqlite3").exists()
    assert not home.exists()


def test_a_dry_run_keeps_nothing(call: Call, home: Path) -> None:
    call("tell", *NOW, "--dry-run", GOOD)
    assert json.loads(call("journal", "--json", *NOW).out)["batches"] == []


def test_json_is_one_object_and_nothing_else(call: Call) -> None:
    ran = call("tell", *NOW, "--dry-run", "--json", GOOD)
    assert json.loads(ran.out)["statements"][0]["food"] == "plum"
    assert ran.err == ""


def test_version(call: Call) -> None:
    ran = call("--version")
    assert ran.status == 0
    assert ran.out.startswith("stillroom ")


@pytest.mark.parametrize("shell", ["bash", "zsh", "tcsh"])
def test_completion_of_the_shell(shell: str, call: Call) -> None:
    ran = call("completion", shell)
    assert ran.status == 0
    assert "stillroom" in ran.out
    assert "journal" in ran.out


def test_an_answer_into_a_closed_pipe_ends_quietly(tmp_path: Path) -> None:
    env = {**os.environ, "STILLROOM_HOME": str(tmp_path)}
    command = f"{sys.executable} -m stillroom tell --dry-run '{GOOD}' | true"
    ran = subprocess.run(
        ["bash", "-c", command], capture_output=True, text=True, env=env, check=False
    )
    assert "Traceback" not in ran.stderr


def test_the_note_is_on_disk_before_the_answer_is_read(call: Call, home: Path) -> None:
    call("tell", *NOW, GOOD)
    with closing(sqlite3.connect(home / "journal.sqlite3")) as base:
        tables = [row[0] for row in base.execute("select name from sqlite_master")]
    assert tables
