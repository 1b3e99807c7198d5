"""Long work says how far it is: a counter on a terminal, words in plain mode, nothing in a pipe."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pyte
import pytest

from stillroom.talk.progress import DELAY_S, Progress


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


class Clock:
    """Half a second goes by at each look."""

    def __init__(self) -> None:
        self.now = 0.0

    def __call__(self) -> float:
        self.now += 0.5
        return self.now


def worked(stream: io.StringIO, notes: int = 40, *, plain: bool = False, end: bool = True) -> str:
    progress = Progress("Reading notes", plain=plain, stream=stream, clock=Clock())
    for _ in progress.over(range(notes), notes):
        pass
    if end:
        progress.__exit__(None, None, None)
    return stream.getvalue()


@pytest.fixture(autouse=True)
def _terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "40")


def rows(written: str) -> list[str]:
    screen = pyte.Screen(40, 4)
    pyte.Stream(screen).feed(written)
    return [row.rstrip() for row in screen.display]


def test_a_terminal_shows_a_counter_on_one_row() -> None:
    assert rows(worked(Terminal(), end=False)) == ["Reading notes: 39 of 40 (97 %)", "", "", ""]


def test_nothing_is_left_of_the_counter() -> None:
    assert rows(worked(Terminal())) == ["", "", "", ""]


def test_a_counter_never_wraps(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "20")
    shown = worked(Terminal(), end=False)
    assert max(len(part) for part in shown.split("\r\x1b[K")) < 20


def test_a_pipe_gets_nothing() -> None:
    assert worked(io.StringIO()) == ""


@pytest.mark.parametrize(("term", "plain"), [("xterm", True), ("dumb", False), ("", False)])
def test_plain_and_dumb_terminals_get_one_line_of_words(
    term: str, plain: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TERM", term)
    assert worked(Terminal(), plain=plain) == "Reading notes; this takes a moment.\n"


def test_short_work_says_nothing() -> None:
    assert DELAY_S > 0.5
    assert worked(Terminal(), notes=1) == ""


def test_a_total_that_is_not_known_is_left_out() -> None:
    stream = Terminal()
    progress = Progress("Notes done", stream=stream, clock=Clock())
    progress(7)
    progress(8)
    assert rows(stream.getvalue())[0] == "Notes done: 8"


def test_calls_in_a_pipe_keep_standard_error_clean(tmp_path: Path) -> None:
    note = tmp_path / "note.txt"
    note.write_text("2 kg plums, halved\n\n1 kg tomatoes, sliced 5 mm\n", encoding="utf-8")
    ran = subprocess.run(
        [sys.executable, "-m", "stillroom", "tell", "--dry-run", "--file", str(note)],
        capture_output=True, text=True, check=True,
        env={**os.environ, "STILLROOM_HOME": str(tmp_path)},
    )  # fmt: skip
    assert ran.stderr == ""
