"""The conversation in a real pseudo-terminal: paste, history, completion, leaving, resizing."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pexpect
import pyte
import pytest

CALL = ["-m", "stillroom", "--now", "2026-08-14T09:00:00"]
WAIT = 30
_ESCAPE = re.compile(r"\x1b\[[0-9;?]*[a-zA-Z]")
UP, PASTE, PASTED = "\x1b[A", "\x1b[200~", "\x1b[201~"


class Seen:
    """A child in a pseudo-terminal with an emulator that shows what a person would see."""

    def __init__(self, home: Path, *words: str, width: int = 100, **env: str) -> None:
        variables = {**os.environ, "STILLROOM_HOME": str(home), "TERM": "xterm", **env}
        for name in ("COLUMNS", "LINES", "NO_COLOR"):
            if name not in env:
                variables.pop(name, None)
        self.child: Any = pexpect.spawn(
            sys.executable, [*CALL, *words], env=variables, dimensions=(60, width),
            encoding="utf-8", timeout=WAIT,
        )  # fmt: skip
        self.screen = pyte.Screen(width, 60)
        self.stream = pyte.Stream(self.screen)
        self.child.logfile_read = self
        self.raw = ""

    def write(self, text: str) -> None:
        self.raw += text
        self.stream.feed(text)
        if "\x1b[6n" in text:  # the program asks where the cursor is, as terminals answer
            self.child.send("\x1b[1;1R")

    def flush(self) -> None:
        """Nothing is held back."""

    def until(self, words: str) -> None:
        """Wait until the screen shows the words, or has shown them and drawn the prompt anew."""
        for _ in range(WAIT * 10):
            if words in self.text or words in _ESCAPE.sub("", self.raw):
                return
            try:
                self.child.expect(r".+", timeout=0.1)
            except pexpect.TIMEOUT:
                continue
            except pexpect.EOF:
                break
        assert words in self.text, self.text

    @property
    def text(self) -> str:
        return "\n".join(row.rstrip() for row in self.screen.display).strip()

    def left(self) -> int:
        """The exit status, once the program has ended."""
        self.child.expect(pexpect.EOF)
        self.child.close()
        return int(self.child.exitstatus)


@pytest.fixture
def seen(tmp_path: Path) -> Iterator[Seen]:
    terminal = Seen(tmp_path / "home")
    terminal.until("you>")
    yield terminal
    terminal.child.close(force=True)


def test_a_paste_of_several_lines_is_one_note(seen: Seen, tmp_path: Path) -> None:
    seen.child.send(f"{PASTE}2 kg plums, halved\n3 kg tomatoes, sliced 5 mm{PASTED}")
    seen.until("3 kg tomatoes")
    seen.child.send("\r")
    seen.until("Kept as plum-1. Kept as tomato-1.")


def test_leaving_with_ctrl_d_keeps_what_was_said(seen: Seen, tmp_path: Path) -> None:
    seen.child.send("2 kg plums, halved\r")
    seen.until("Kept as plum-1.")
    seen.until("Nothing is due today.")  # the toolbar
    seen.child.sendeof()
    assert seen.left() == 0
    again = subprocess.run(
        [sys.executable, *CALL, "journal"], capture_output=True, text=True, check=True,
        env={**os.environ, "STILLROOM_HOME": str(tmp_path / "home")},
    )  # fmt: skip
    assert "plum-1: in-hand" in again.stdout


def test_ctrl_c_drops_the_line_and_no_more(seen: Seen) -> None:
    seen.child.send("9 kg rubbish nobody meant")
    seen.until("nobody meant")
    seen.child.sendintr()
    seen.child.send("thanks\r")
    seen.until("You're welcome")
    assert "Read: 9 kg" not in seen.text


def test_history_comes_back_over_two_runs(seen: Seen, tmp_path: Path) -> None:
    seen.child.send("thanks\r")
    seen.until("You're welcome")
    seen.child.send("bye\r")
    assert seen.left() == 0
    second = Seen(tmp_path / "home")
    second.until("you>")
    second.child.send(UP)
    second.child.send(UP)
    second.until("you> thanks")
    second.child.close(force=True)


def test_tab_completes_phrases_and_foods(seen: Seen) -> None:
    seen.child.send("what n\t")
    seen.until("you> what needs doing today?")
    seen.child.send("\r")
    seen.until("Nothing is due today.")
    seen.child.send("3 kg courg\t")
    seen.until("3 kg courgette")


def test_another_width_sets_the_next_answer_anew(seen: Seen) -> None:
    seen.child.setwinsize(60, 40)
    seen.screen.resize(60, 40)
    seen.child.send("2 kg plums, halved\r")
    seen.until("Dried weight: about")
    assert all(len(row.rstrip()) <= 40 for row in seen.screen.display)


@pytest.mark.parametrize(
    ("words", "env"),
    [(("--plain",), {}), ((), {"TERM": "dumb"}), (("--plain",), {"NO_COLOR": "1"})],
)
def test_plain_terminals_get_no_escape(
    words: tuple[str, ...], env: dict[str, str], tmp_path: Path
) -> None:
    terminal = Seen(tmp_path / "home", *words, **env)
    terminal.until("you>")
    terminal.child.send("2 kg plums, halved\n")
    terminal.until("Kept as plum-1.")
    assert "\x1b" not in terminal.raw
    terminal.child.sendeof()
    assert terminal.left() == 0


def test_no_color_leaves_no_colour_in_answers(tmp_path: Path) -> None:
    terminal = Seen(tmp_path / "home", NO_COLOR="1")
    terminal.until("you>")
    terminal.child.send("thanks\r")
    terminal.until("You're welcome")
    answer = terminal.raw[terminal.raw.index("You're") - 30 :][:60]
    assert "\x1b[0;1m" not in answer
    terminal.child.close(force=True)


def test_a_pipe_is_answered_line_by_line(tmp_path: Path) -> None:
    ran = subprocess.run(
        [sys.executable, *CALL], input="2 kg plums, halved\nwhy?\nbye\nnever read\n",
        capture_output=True, text=True, check=True,
        env={**os.environ, "STILLROOM_HOME": str(tmp_path), "TERM": "xterm"},
    )  # fmt: skip
    assert ran.stdout.count("you> ") == 2
    assert "\x1b" not in ran.stdout
    assert ran.stderr == ""
    assert "Kept as plum-1." in ran.stdout
