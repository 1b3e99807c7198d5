"""Screens as a terminal shows them, at a phone's and a desk's width, held against golden texts."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pyte
import pytest
from screen_answers import ANSWERS, TITLES

from stillroom.talk import screen
from stillroom.talk.screen import plain_text, set_lines, wants_colour, write
from stillroom.talk.wording import answer_lines

GOLDEN = Path(__file__).parent / "golden"
FORMS: dict[str, dict[str, bool]] = {"chat": {}, "tell": {"sources": True}, "more": {"more": True}}


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def shown(text: str, width: int) -> str:
    """What a terminal of that width shows of a text."""
    emulator = pyte.Screen(width, 300)
    pyte.Stream(emulator).feed(text.replace("\r", "").replace("\n", "\r\n"))
    return "\n".join(row.rstrip() for row in emulator.display).rstrip() + "\n"


@pytest.mark.parametrize("width", [40, 100])
@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("name", ANSWERS)
def test_screen(name: str, form: str, width: int, golden: Callable[[Path, str], None]) -> None:
    lines = answer_lines(ANSWERS[name], TITLES, **FORMS[form])
    text = plain_text(lines, width)
    assert max(len(row) for row in text.splitlines()) <= min(width, screen.WIDEST)
    on_screen = shown(text, width)
    assert on_screen.split() == text.split(), "the terminal lost or wrapped a word"
    golden(GOLDEN / f"{name}-{form}-{width}.txt", on_screen)


@pytest.mark.parametrize("name", ANSWERS)
def test_the_short_form_of_a_batch_is_short(name: str) -> None:
    rows = set_lines(answer_lines(ANSWERS[name], TITLES), 80)
    batch = [text for role, text in rows if role in ("figure", "ruling")]
    batches = max(1, sum(role == "head" for role, _ in rows))
    assert len(batch) <= 12 * batches


@pytest.mark.parametrize("name", ANSWERS)
@pytest.mark.parametrize("form", FORMS)
def test_nothing_is_said_twice(name: str, form: str) -> None:
    lines = answer_lines(ANSWERS[name], TITLES, **FORMS[form])
    texts = [(line.label, line.text) for line in lines]
    assert len(texts) == len(set(texts))


def test_marks_point_at_a_listed_source() -> None:
    for form in FORMS.values():
        lines = answer_lines(ANSWERS["glut"], TITLES, **form)
        listed = {line.label for line in lines if line.role == "source"}
        used = {f"[{mark}]" for line in lines for mark in line.marks}
        assert used <= listed


def test_a_stop_stands_first_and_hides_the_how_to() -> None:
    lines = answer_lines(ANSWERS["stop"], TITLES)
    assert lines[0].role == "stop"
    assert not [line for line in lines if line.role in ("figure", "ruling")]


@pytest.mark.parametrize("width", [1, 20, 33, 59, 60, 61, 200])
def test_any_width_keeps_every_word(width: int) -> None:
    lines = answer_lines(ANSWERS["two-batches"], TITLES, sources=True)
    text = "".join(plain_text(lines, max(20, width)).split())
    assert "solidsheet" in text
    assert "Howthickaretheplumscut?" in text


def test_colour_changes_no_word(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.delenv("NO_COLOR", raising=False)
    lines = answer_lines(ANSWERS["stop"], TITLES)
    plain, coloured = Terminal(), Terminal()
    write(lines, plain, colour=False)
    write(lines, coloured, colour=True)
    assert shown(coloured.getvalue(), 80).split() == shown(plain.getvalue(), 80).split()


@pytest.mark.parametrize(
    ("env", "expected"),
    [({"TERM": "xterm"}, True), ({"TERM": "xterm", "NO_COLOR": "1"}, False),
     ({"TERM": "dumb"}, False), ({"TERM": ""}, False)],
)  # fmt: skip
def test_no_color(env: dict[str, str], expected: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    for name, value in env.items():
        monkeypatch.setenv(name, value)
    assert wants_colour(Terminal()) is expected
    assert wants_colour(io.StringIO()) is False


def test_a_pipe_gets_no_escape(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    stream: Any = io.StringIO()
    write(answer_lines(ANSWERS["stop"], TITLES), stream)
    assert "\x1b" not in stream.getvalue()
