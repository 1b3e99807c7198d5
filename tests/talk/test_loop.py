"""The conversation's loop: leaving off in the middle, and which answer is to which note."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path

import pytest

from stillroom.talk.loop import _answer, _greet
from stillroom.talk.screen import STYLES, plain_text
from stillroom.talk.session import Session


class Interrupted(Session):
    def lines(self, text: str, progress: object = None) -> list[list[object]]:  # type: ignore[override]
        raise KeyboardInterrupt


def test_ctrl_c_in_the_middle_of_an_answer_goes_back_to_the_prompt(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys.stdin, "isatty", lambda: True, raising=False)
    assert _answer(Interrupted(tmp_path), "2 kg plums", colour=False) == 0
    assert "Left off." in capsys.readouterr().out


def test_ctrl_c_ends_a_pipe(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys.stdin, "isatty", lambda: False, raising=False)
    with pytest.raises(KeyboardInterrupt):
        _answer(Interrupted(tmp_path), "2 kg plums", colour=False)


def test_each_answer_to_a_paste_names_its_note(tmp_path: Path) -> None:
    session = Session(tmp_path)
    text = "2 kg plums, halved, pitted\n\nhow long do tomatoes keep once they are dry?"
    first, second = (plain_text(lines, 60).splitlines() for lines in session.lines(text))
    assert first[:1] == ["> 2 kg plums, halved, pitted"]
    assert second[:1] == ["> how long do tomatoes keep once they are dry?"]
    assert first[1]
    assert second[1]


def test_a_single_note_is_not_said_back(tmp_path: Path) -> None:
    (lines,) = Session(tmp_path).lines("2 kg plums, halved, pitted")
    assert not plain_text(lines, 60).startswith(">")


def test_the_first_time_is_greeted_with_three_lines_and_later_ones_with_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("COLUMNS", "120")
    _greet(tmp_path)
    first = capsys.readouterr().out.strip().splitlines()
    Session(tmp_path).lines("2 kg plums, halved")
    _greet(tmp_path)
    later = capsys.readouterr().out.strip().splitlines()
    assert (len(first), len(later)) == (3, 1)


# What xterm and most others show for the named colours; each must be told from either background.
_SHOWN = {"ansired": (205, 0, 0), "ansimagenta": (205, 0, 205)}


def _light(colour: tuple[int, int, int]) -> float:
    """Relative luminance as WCAG 2.1 defines it."""
    linear = [c / 3294.6 if c <= 10 else ((c / 255 + 0.055) / 1.055) ** 2.4 for c in colour]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("role", sorted(STYLES))
def test_colours_can_be_read_on_light_and_dark(role: str) -> None:
    """Large or bold text needs a contrast of 3 to 1 (WCAG 2.1, success criterion 1.4.3)."""
    style = STYLES[role].split()
    for name in [word.removeprefix("fg:") for word in style if word.startswith("fg:")]:
        light = _light(_SHOWN[name])
        assert (1.0 + 0.05) / (light + 0.05) >= 3
        assert (light + 0.05) / 0.05 >= 3
        assert "bold" in style


def test_the_tip_how_to_hear_more_is_not_given_for_ever(tmp_path: Path) -> None:
    session = Session(tmp_path)
    foods = (
        "plums, halved",
        "courgettes, shredded",
        "beets, diced",
        "pears, sliced",
        "figs, halved",
    )
    tips = [
        any(line.role == "hint" for line in lines)
        for food in foods
        for lines in session.lines(f"2 kg {food}")
    ]
    assert tips == [True, True, True, False, False]


@pytest.mark.parametrize("width", [20, 30, 40, 60, 100, 200])
def test_what_is_due_fits_the_toolbar_and_hides_nothing(width: int, tmp_path: Path) -> None:
    session = Session(tmp_path, clock=lambda: datetime(2026, 8, 14, 9))
    foods = ("plums", "courgettes", "tomatoes", "peppers")
    for food in foods:
        session.lines(f"2 kg {food}, on mesh trays")
        session.lines(f"{food} are brittle, 200 g, into a litre jar to condition")
    session.clock = lambda: datetime(2026, 8, 15, 10)
    line = session.due_line(width)
    assert len(line) < width
    shown = line.count("shake ")
    assert shown == len(foods) or f"{len(foods) - shown} more" in line or "4 things" in line
